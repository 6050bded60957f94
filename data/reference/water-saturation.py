"""Saturation of water: IAPWS-95 by CoolProp 8.0.0, and the pressure by Hyland-Wexler (1983).

    python3 water-saturation.py > water-saturation.csv

Needs CoolProp==8.0.0; the column of Hyland and Wexler is the formula below.
"""

import math

import CoolProp
from CoolProp.CoolProp import PropsSI

assert CoolProp.__version__ == "8.0.0", CoolProp.__version__


def hyland_wexler(t):
    """Pa over liquid water, t in K, 273.15 to 473.15 K."""
    return math.exp(-5.8002206e3 / t + 1.3914993 - 4.8640239e-2 * t + 4.1764768e-5 * t**2
                    - 1.4452093e-8 * t**3 + 6.5459673 * math.log(t))


def main():
    print("temperature_K,iapws95_Pa,hyland_wexler_Pa,latent_heat_J_kg,liquid_volume_m3_kg,vapour_volume_m3_kg")
    for celsius in range(0, 65, 5):
        t = celsius + 273.15
        pressure = PropsSI("P", "T", t, "Q", 0, "Water")
        liquid, vapour = ([PropsSI(name, "T", t, "Q", q, "Water") for name in "HD"] for q in (0, 1))
        print(f"{t:.2f},{pressure:.8g},{hyland_wexler(t):.8g},{vapour[0] - liquid[0]:.8g},"
              f"{1 / liquid[1]:.8g},{1 / vapour[1]:.8g}")


if __name__ == "__main__":
    main()
