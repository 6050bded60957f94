"""Isentropic end states with variable specific heat, computed with Cantera 3.2.0.

    python3 isentropic-cantera.py > isentropic-cantera.csv

Reads gas-compositions.csv beside it. The end state is found by Cantera's own
entropy-pressure and enthalpy-pressure solvers, not by inverting anything by hand.
"""

import csv
import pathlib

import cantera as ct

assert ct.__version__ == "3.2.0", ct.__version__

SPECIES = ["N2", "O2", "Ar", "CO2", "H2O", "CO", "H2"]
# mixture, inlet temperature K, inlet pressure Pa, outlet pressure Pa, isentropic efficiency
CASES = [("dry_air", 298.15, 100000, round(100000 * ratio), 0.75) for ratio in (1.5, 2, 2.5, 3, 4)] + [
    ("CH1.85_lambda_1.00", 1173.15, 200000, 101325, 0.70),
    ("CH1.85_lambda_0.85", 1223.15, 200000, 101325, 0.70),
    ("CH1.85_lambda_0.70", 1073.15, 180000, 101325, 0.70),
    ("CH1.85_lambda_1.30", 1123.15, 250000, 110000, 0.70),
    ("C2H6O_lambda_0.85", 1123.15, 300000, 110000, 0.70),
    ("C2H6O_lambda_1.00", 1273.15, 160000, 105000, 0.70),
]


def main():
    by_name = {s.name: s for s in ct.Species.list_from_file("nasa_gas.yaml")}
    gas = ct.Solution(thermo="ideal-gas", species=[by_name[name] for name in SPECIES])
    table = pathlib.Path(__file__).with_name("gas-compositions.csv")
    rows = csv.DictReader(table.read_text().splitlines())
    composition = {r["mixture"]: [float(r["x_" + name]) for name in SPECIES] for r in rows}
    print("mixture,process,inlet_temperature_K,inlet_pressure_Pa,outlet_pressure_Pa,"
          "isentropic_temperature_K,isentropic_enthalpy_change_J_kg,efficiency,outlet_temperature_K")
    for mixture, t1, p1, p2, efficiency in CASES:
        gas.TPX = t1, p1, composition[mixture]
        h1, s1 = gas.enthalpy_mass, gas.entropy_mass
        gas.SP = s1, p2
        isentropic, dh = gas.T, gas.enthalpy_mass - h1
        compression = p2 > p1
        gas.HP = h1 + (dh / efficiency if compression else dh * efficiency), p2
        print(f"{mixture},{'compression' if compression else 'expansion'},{t1:g},{p1},{p2},"
              f"{isentropic:.10g},{dh:.10g},{efficiency:g},{gas.T:.10g}")


if __name__ == "__main__":
    main()
