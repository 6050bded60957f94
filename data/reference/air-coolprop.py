"""Dry air as a real gas, computed with CoolProp 8.0.0.

    python3 air-coolprop.py > air-coolprop.csv

Needs CoolProp==8.0.0 and nothing else. One fluid, 'Air': the pseudo-pure
equation of state of Lemmon et al. (2000), viscosity of Lemmon and Jacobsen (2004).
"""

import CoolProp
from CoolProp.CoolProp import PropsSI

assert CoolProp.__version__ == "8.0.0", CoolProp.__version__

TEMPERATURES = [250, 300, 350, 400, 500, 600, 800, 1000, 1200, 1500]
PRESSURES = [0.5e5, 1e5, 2e5, 3e5, 5e5]


def air(quantity, temperature, pressure):
    return PropsSI(quantity, "T", temperature, "P", pressure, "Air")


def main():
    h0, s0 = (air(quantity, 298.15, 1e5) for quantity in "HS")
    print("temperature_K,pressure_Pa,cp_J_kgK,enthalpy_change_J_kg,entropy_change_J_kgK,density_kg_m3,"
          "compressibility,speed_of_sound_m_s,viscosity_Pa_s")
    for p in PRESSURES:
        for t in TEMPERATURES:
            cp, h, s, density, z, sound, viscosity = (air(q, t, p) for q in "CHSDZAV")
            print(f"{t},{p:g},{cp:.9g},{h - h0:.9g},{s - s0:.9g},{density:.9g},{z:.9g},{sound:.9g},{viscosity:.6g}")


if __name__ == "__main__":
    main()
