"""Ethanol and gasoline blends by volume, from the masses of their elements.

    python3 blends.py > blends.csv

Standard library only. The air-fuel ratio comes from the oxygen that the carbon,
hydrogen and oxygen of one kilogram of blend need, not from mixing two ratios.
"""

CARBON, HYDROGEN, OXYGEN, NITROGEN, ARGON = 12.011, 1.008, 15.999, 14.007, 39.95  # g/mol
# dry air, mole parts
N2, O2, AR, CO2 = 0.78084, 0.209476, 0.00934, 0.000314
# formula atoms (C, H, O), density kg/m3, lower heating value MJ/kg
GASOLINE = ((1, 1.85, 0), 745.0, 43.0)
ETHANOL = ((2, 6, 1), 789.4, 26.83)
VOLUME_FRACTIONS = [0, 0.10, 0.20, 0.30, 0.50, 0.83, 0.85, 1]


def element_masses(atoms, mass):
    """Kilograms of carbon, hydrogen and oxygen in `mass` kilograms of fuel."""
    weights = [n * w for n, w in zip(atoms, (CARBON, HYDROGEN, OXYGEN))]
    return [mass * w / sum(weights) for w in weights]


def main():
    air_per_mole_oxygen = (N2 * 2 * NITROGEN + O2 * 2 * OXYGEN + AR * ARGON
                           + CO2 * (CARBON + 2 * OXYGEN)) / O2
    print("volume_fraction_ethanol,mass_fraction_ethanol,density_kg_m3,"
          "stoichiometric_air_fuel_ratio,lower_heating_value_MJ_kg")
    for v in VOLUME_FRACTIONS:
        kg_ethanol, kg_gasoline = v * ETHANOL[1], (1 - v) * GASOLINE[1]  # in 1 m3, no excess volume
        mass = kg_ethanol + kg_gasoline
        c, h, o = (a + b for a, b in zip(element_masses(ETHANOL[0], kg_ethanol),
                                         element_masses(GASOLINE[0], kg_gasoline)))
        oxygen = c / CARBON + h / (4 * HYDROGEN) - o / (2 * OXYGEN)  # kmol O2 per m3
        heat = kg_ethanol * ETHANOL[2] + kg_gasoline * GASOLINE[2]
        print(f"{v:g},{kg_ethanol / mass:.8f},{mass:.4f},"
              f"{oxygen * air_per_mole_oxygen / mass:.8f},{heat / mass:.8f}")


if __name__ == "__main__":
    main()
