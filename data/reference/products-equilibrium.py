"""Combustion products of five fuels from lambda 0.6 to 2.5, computed with Cantera 3.2.0.

    python3 products-equilibrium.py > products-equilibrium.csv

Needs cantera==3.2.0 (its own data file nasa_gas.yaml) and nothing else.
Rich, frozen: bisection on the moles of CO. Rich at a temperature: Cantera's own equilibrium
over six species, which is given neither a constant nor a reaction. Lean: complete combustion.
"""

import cantera as ct

assert ct.__version__ == "3.2.0", ct.__version__

SPECIES = ["N2", "O2", "Ar", "CO2", "H2O", "CO", "H2"]
AIR = {"N2": 0.78084, "O2": 0.209476, "Ar": 0.00934, "CO2": 0.000314}
FROZEN = 3.5  # x_CO x_H2O / (x_CO2 x_H2)
TEMPERATURES = [1200, 1700]
LAMBDAS = [0.6, 0.7, 0.8, 0.9, 1.0, 1.2, 1.6, 2.5]
HUMID = {"lambdas": [0.85, 1.2], "vapour": 0.02}  # mole fraction of vapour in the air
CARBON, HYDROGEN, OXYGEN = 12.011, 1.008, 15.999  # g/mol
# atoms C, H, O; lower heating value of the liquid, J/kg
FUELS = {
    "CH1.85": ((1, 1.85, 0), 43.0e6),
    "C2H6O": ((2, 6, 1), 26.818e6),
    "CH4O": ((1, 4, 1), 19.935e6),
    "C8H18": ((8, 18, 0), 44.347e6),
}
BLEND = {"C2H6O": 0.71 * 793.69, "CH1.85": 0.29 * 745.0}  # kg in 1 m3


def molar_mass(atoms):
    return sum(n * w for n, w in zip(atoms, (CARBON, HYDROGEN, OXYGEN)))


def blend():
    """Atoms per carbon and heating value, both weighted by mass."""
    moles = {name: kg / molar_mass(FUELS[name][0]) for name, kg in BLEND.items()}
    atoms = [sum(moles[name] * FUELS[name][0][i] for name in BLEND) for i in range(3)]
    heat = sum(kg * FUELS[name][1] for name, kg in BLEND.items()) / sum(BLEND.values())
    return tuple(n / atoms[0] for n in atoms), heat


def charge(atoms, lam, vapour):
    """Moles of air's species, vapour included, for one formula of fuel."""
    oxygen_needed = atoms[0] + atoms[1] / 4 - atoms[2] / 2
    air = {name: lam * oxygen_needed * x / AIR["O2"] for name, x in AIR.items()}
    return air | {"H2O": sum(air.values()) * vapour / (1 - vapour)}


def elements(atoms, air):
    """Moles of C, H, O in fuel and air together."""
    return (atoms[0] + air["CO2"], atoms[1] + 2 * air["H2O"],
            atoms[2] + 2 * air["O2"] + 2 * air["CO2"] + air["H2O"])


def complete(atoms, air, lam):
    c, h, o = elements(atoms, air)
    oxygen = 0.0 if lam == 1 else (o - 2 * c - h / 2) / 2
    return {"N2": air["N2"], "Ar": air["Ar"], "CO2": c, "H2O": h / 2, "O2": oxygen}


def frozen(atoms, air):
    c, h, o = elements(atoms, air)

    def split(co):
        return {"CO": co, "CO2": c - co, "H2O": o - 2 * c + co, "H2": h / 2 - o + 2 * c - co}

    low, high = max(0.0, 2 * c - o), min(c, h / 2 - o + 2 * c)
    for _ in range(200):
        x = split((low + high) / 2)
        if x["CO"] * x["H2O"] < FROZEN * x["CO2"] * x["H2"]:
            low = x["CO"]
        else:
            high = x["CO"]
    return {"N2": air["N2"], "Ar": air["Ar"]} | x


def solution(names):
    by_name = {s.name: s for s in ct.Species.list_from_file("nasa_gas.yaml")}
    return ct.Solution(thermo="ideal-gas", species=[by_name[name] for name in names])


def equilibrium(gas, atoms, air, temperature):
    """Cantera's equilibrium, started from the same elements burned to CO2 before any H2."""
    c, h, o = elements(atoms, air)
    co2 = min(c, o - c)
    start = {"N2": air["N2"], "Ar": air["Ar"], "CO2": co2, "CO": c - co2,
             "H2O": o - c - co2, "H2": h / 2 - (o - c - co2)}
    gas.TPX = temperature, 1e5, start
    gas.equilibrate("TP", rtol=1e-13, max_steps=10000)
    return dict(zip(gas.species_names, gas.X))


def unburned(gas, x):
    """Heat of burning the CO and H2 to CO2 and vapour at 298.15 K, J per kg of products."""
    h = {n: gas.species(n).thermo.h(298.15) for n in SPECIES}  # J/kmol
    heat = x["CO"] * (h["CO"] + h["O2"] / 2 - h["CO2"]) + x["H2"] * (h["H2"] + h["O2"] / 2 - h["H2O"])
    gas.TPX = 298.15, 1e5, x
    return heat / gas.mean_molecular_weight, gas.mean_molecular_weight


def main():
    whole = solution(SPECIES)
    rich = solution([name for name in SPECIES if name != "O2"])
    fuels = FUELS | {"ethanol71_CH1.85": blend()}
    cases = [(name, lam, 0.0) for name in fuels for lam in LAMBDAS]
    cases += [("CH1.85", lam, HUMID["vapour"]) for lam in HUMID["lambdas"]]
    print("fuel,carbon,hydrogen,oxygen,lambda,vapour_in_air,water_gas," + ",".join("x_" + n for n in SPECIES)
          + ",molar_mass_g_mol,unburned_J_kg,fuel_heating_value_J_kg,unburned_fraction")
    for name, lam, vapour in cases:
        atoms, heat = fuels[name]
        air = charge(atoms, lam, vapour)
        if lam < 1:
            closures = {"frozen_3.5": frozen(atoms, air)}
            closures |= {f"equilibrium_{t}K": equilibrium(rich, atoms, air, t) for t in TEMPERATURES}
        else:
            closures = {"complete": complete(atoms, air, lam)}
        whole.X = air
        mass_of_air = sum(air.values()) * whole.mean_molecular_weight
        mass_of_fuel = molar_mass(atoms)
        for closure, moles in closures.items():
            x = {n: moles.get(n, 0.0) / sum(moles.values()) for n in SPECIES}
            lost, mass = unburned(whole, x)
            fraction = lost * (mass_of_fuel + mass_of_air) / (mass_of_fuel * heat)
            print(f"{name}," + ",".join(f"{n:.12g}" for n in atoms) + f",{lam:g},{vapour:g},{closure},"
                  + ",".join(f"{x[n]:.10g}" for n in SPECIES)
                  + f",{mass:.9g},{lost:.8g},{heat:.9g},{fraction:.8g}")


if __name__ == "__main__":
    main()
