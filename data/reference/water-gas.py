"""Equilibrium constant of CO + H2O = CO2 + H2, computed with Cantera 3.2.0.

    python3 water-gas.py > water-gas.csv

Needs cantera==3.2.0 (its own data file nasa_gas.yaml) and nothing else.
"""

import math

import cantera as ct

assert ct.__version__ == "3.2.0", ct.__version__

REACTION = {"CO": -1, "H2O": -1, "CO2": 1, "H2": 1}


def main():
    by_name = {s.name: s for s in ct.Species.list_from_file("nasa_gas.yaml")}
    gas = ct.Solution(thermo="ideal-gas", species=[by_name[name] for name in REACTION])
    print("temperature_K,constant,inverse")
    for t in range(800, 2500, 100):
        gas.TP = t, 1e5
        change = sum(n * g for n, g in zip(REACTION.values(), gas.standard_gibbs_RT))
        print(f"{t},{math.exp(-change):.9g},{math.exp(change):.9g}")


if __name__ == "__main__":
    main()
