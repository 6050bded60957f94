"""Humid air as a real mixture, computed with CoolProp 8.0.0.

    python3 humid-air-coolprop.py > humid-air-coolprop.csv

Needs CoolProp==8.0.0 and nothing else. The enhancement factor is what the
mole fraction of vapour exceeds RH pws / p by; pws is IAPWS-95, over liquid water.
"""

import CoolProp
from CoolProp.CoolProp import HAPropsSI, PropsSI

assert CoolProp.__version__ == "8.0.0", CoolProp.__version__

# the first just above the triple point: below it CoolProp takes saturation over ice
TEMPERATURES = [273.17, 283.15, 293.15, 303.15, 313.15, 323.15]
PRESSURES = [70000, 101325]
HUMIDITIES = [0.1, 0.5, 0.9]


def main():
    print("temperature_K,pressure_Pa,relative_humidity,humidity_ratio,vapour_mole_fraction,density_kg_m3,"
          "cp_J_kgK,dew_point_K,enhancement_factor")
    for p in PRESSURES:
        for t in TEMPERATURES:
            saturation = PropsSI("P", "T", t, "Q", 0, "Water")
            for rh in HUMIDITIES:
                w, x, volume, cp, dew = (HAPropsSI(q, "T", t, "P", p, "R", rh)
                                         for q in ("W", "psi_w", "Vha", "Cha", "D"))
                print(f"{t:g},{p},{rh:g},{w:.9g},{x:.9g},{1 / volume:.9g},{cp:.9g},{dew:.8g},"
                      f"{x * p / (rh * saturation):.8g}")


if __name__ == "__main__":
    main()
