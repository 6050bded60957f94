"""Saturation pressure over liquid water: IAPWS-95 by CoolProp 8.0.0, and Hyland-Wexler (1983).

    python3 water-saturation.py > water-saturation.csv

Needs CoolProp==8.0.0 for the first column; the second is the formula below.
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
    print("temperature_K,iapws95_Pa,hyland_wexler_Pa")
    for celsius in range(0, 65, 5):
        t = celsius + 273.15
        print(f"{t:.2f},{PropsSI('P', 'T', t, 'Q', 0, 'Water'):.8g},{hyland_wexler(t):.8g}")


if __name__ == "__main__":
    main()
