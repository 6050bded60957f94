"""Exhaust temperature from an engine's energy balance: python3 exhaust-temperature.py > exhaust-temperature.csv

Needs cantera==3.2.0. Composition by bisection of the water-gas equilibrium (K 3.5) with the CO2 of the air in it, then
enthalpies with formation, so that CO and H2 carry their heat without being counted apart. The fuel's enthalpy follows from
its heating value: products less air of the stoichiometric reaction at 298.15 K, plus the heating value.
"""

import importlib.metadata

import cantera as ct

assert importlib.metadata.version("cantera") == "3.2.0"

AIR = {"N2": 0.78084, "O2": 0.209476, "AR": 0.00934, "CO2": 0.000314}
C, H, O = 12.011, 1.008, 15.999
species = {s.name: s for s in ct.Species.list_from_file("nasa_gas.yaml")}
gas = ct.Solution(thermo="ideal-gas", species=[species[n] for n in ["N2", "O2", "Ar", "CO2", "H2O", "CO", "H2"]])


def enthalpy(t, moles):
    """Of so many moles, J per mole of carbon of the fuel, and their mass in kg."""
    gas.TPX = t, 1e5, moles
    total = sum(moles.values())
    return gas.enthalpy_mole / 1000 * total, gas.mean_molecular_weight / 1000 * total


def air(oxygen):
    return {("Ar" if n == "AR" else n): oxygen * x / AIR["O2"] for n, x in AIR.items()}


def products(b, o, oxygen, need):
    supply = air(oxygen)
    carbon = 1 + supply["CO2"]
    atoms = o + 2 * oxygen + 2 * supply["CO2"]
    out = {"N2": supply["N2"], "Ar": supply["Ar"]}
    if oxygen >= need:
        return out | {"CO2": carbon, "H2O": b / 2, "O2": oxygen - need}
    low, high = max(0.0, atoms - carbon - b / 2), min(carbon, atoms - carbon)
    for _ in range(200):
        x = (low + high) / 2
        co, h2o = carbon - x, atoms - carbon - x
        if 3.5 * x * (b / 2 - h2o) < co * h2o:
            low = x
        else:
            high = x
    return out | {"CO2": x, "H2O": h2o, "CO": co, "H2": b / 2 - h2o}


print("fuel,lambda,heating_value,brake,walls,manifold,temperature,unburned_share,sensible_share")
for name, b, o, lam, lower, brake, walls in [
    ("CH1.85", 1.85, 0, 1.00, 43e6, 0.30, 0.27),
    ("CH1.85", 1.85, 0, 0.85, 43e6, 0.26, 0.22),
    ("CH1.85", 1.85, 0, 0.80, 43e6, 0.245, 0.205),
    ("C2H6O", 3, 0.5, 1.00, 26.83e6, 0.31, 0.26),
    ("C2H6O", 3, 0.5, 0.85, 26.83e6, 0.27, 0.21),
]:
    fuel = (C + b * H + o * O) / 1000  # kg per mole of carbon
    need = 1 + b / 4 - o / 2
    burned = enthalpy(298.15, products(b, o, need, need))[0]
    fuel_enthalpy = burned - enthalpy(298.15, air(need))[0] + lower * fuel
    out = products(b, o, lam * need, need)
    heat = fuel_enthalpy + enthalpy(313.15, air(lam * need))[0] - (brake + walls) * lower * fuel
    low, high = 400.0, 3000.0
    for _ in range(100):
        t = (low + high) / 2
        low, high = (t, high) if enthalpy(t, out)[0] < heat else (low, t)
    cold = enthalpy(298.15, out)[0]
    chemical = (cold - burned - (lam - 1) * enthalpy(298.15, air(need))[0]) / (lower * fuel)
    sensible = (heat - cold) / (lower * fuel)
    print(f"{name},{lam:.2f},{lower:.0f},{brake},{walls},313.15,{t:.3f},{chemical:.5f},{sensible:.5f}")
