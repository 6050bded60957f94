"""Gas properties of dry air and combustion products, computed with Cantera 3.2.0.

    python3 gas-cantera.py > gas-cantera.csv
    python3 gas-cantera.py compositions > gas-compositions.csv

Needs cantera==3.2.0 (its own data file nasa_gas.yaml) and nothing else.
Compositions come from the element balances and the water-gas relation,
solved by bisection, not from a closed formula.
"""

import sys

import cantera as ct

assert ct.__version__ == "3.2.0", ct.__version__

SPECIES = ["N2", "O2", "Ar", "CO2", "H2O", "CO", "H2"]
AIR = {"N2": 0.78084, "O2": 0.209476, "Ar": 0.00934, "CO2": 0.000314}
WATER_GAS = 3.5  # x_CO x_H2O / (x_CO2 x_H2), frozen
TEMPERATURES = [200, 250, 298.15, 300, 400, 500, 600, 800, 1000, 1100, 1200, 1300, 1500, 2000, 2500]
# mixture: (C, H, O atoms in the fuel, lambda)
PRODUCTS = {
    "CH1.85_lambda_0.70": (1, 1.85, 0, 0.70),
    "CH1.85_lambda_0.85": (1, 1.85, 0, 0.85),
    "CH1.85_lambda_1.00": (1, 1.85, 0, 1.00),
    "CH1.85_lambda_1.30": (1, 1.85, 0, 1.30),
    "C2H6O_lambda_0.85": (2, 6, 1, 0.85),
    "C2H6O_lambda_1.00": (2, 6, 1, 1.00),
}


def normalised(amounts):
    total = sum(amounts.values())
    return {name: amounts.get(name, 0.0) / total for name in SPECIES}


def products(carbon, hydrogen, oxygen, lam):
    """Moles of products, from the atoms of fuel plus air (the CO2 of the air included)."""
    oxygen_needed = carbon + hydrogen / 4 - oxygen / 2
    air = {name: lam * oxygen_needed * x / AIR["O2"] for name, x in AIR.items()}
    c = carbon + air["CO2"]
    h = hydrogen
    o = oxygen + 2 * air["O2"] + 2 * air["CO2"]
    out = {"N2": air["N2"], "Ar": air["Ar"]}
    if lam >= 1:
        out["CO2"], out["H2O"] = c, h / 2
        out["O2"] = 0.0 if lam == 1 else (o - 2 * c - h / 2) / 2
        return out

    def split(co):
        co2 = c - co  # carbon balance
        h2o = o - 2 * co2 - co  # oxygen balance
        return co2, h2o, h / 2 - h2o  # hydrogen balance

    def residual(co):
        co2, h2o, h2 = split(co)
        return co * h2o - WATER_GAS * co2 * h2

    low = max(0.0, 2 * c - o)  # no water left
    high = min(c, h / 2 + 2 * c - o)  # no CO2 or no hydrogen left
    assert residual(low) < 0 < residual(high)
    for _ in range(200):
        co = (low + high) / 2
        if residual(co) < 0:
            low = co
        else:
            high = co
    out["CO"] = co
    out["CO2"], out["H2O"], out["H2"] = split(co)
    return out


def mixtures():
    table = {"dry_air": normalised(AIR)}
    for name, fuel in PRODUCTS.items():
        table[name] = normalised(products(*fuel))
    return table


def solution():
    by_name = {s.name: s for s in ct.Species.list_from_file("nasa_gas.yaml")}
    return ct.Solution(thermo="ideal-gas", species=[by_name[name] for name in SPECIES])


def main():
    if sys.argv[1:] == ["compositions"]:
        print("mixture," + ",".join("x_" + name for name in SPECIES))
        for mixture, x in mixtures().items():
            print(mixture + "," + ",".join(f"{x[name]:.10g}" for name in SPECIES))
        return
    gas = solution()
    print("mixture,temperature_K,cp_J_kgK,enthalpy_J_kg,entropy_1bar_J_kgK,gamma,molar_mass_g_mol")
    for mixture, x in mixtures().items():
        for t in TEMPERATURES:
            gas.TPX = t, 1e5, x
            cp = gas.cp_mass
            # standard-state entropy at 1 bar without the mixing term, J/(kg K)
            s0 = sum(x[n] * gas.species(n).thermo.s(t) for n in SPECIES) / gas.mean_molecular_weight
            print(f"{mixture},{t:g},{cp:.10g},{gas.enthalpy_mass:.10g},{s0:.10g},"
                  f"{cp / gas.cv_mass:.10g},{gas.mean_molecular_weight:.10g}")


if __name__ == "__main__":
    main()
