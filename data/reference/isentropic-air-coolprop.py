"""Isentropic compression of dry air as a real gas, computed with CoolProp 8.0.0.

    python3 isentropic-air-coolprop.py > isentropic-air-coolprop.csv

Needs CoolProp==8.0.0 and nothing else; its own entropy-pressure solver finds the end state.
"""

import CoolProp
from CoolProp.CoolProp import PropsSI

assert CoolProp.__version__ == "8.0.0", CoolProp.__version__

INLET_TEMPERATURE, INLET_PRESSURE = 298.15, 1e5
RATIOS = [1.5, 2, 2.5, 3, 4]


def main():
    h1, s1 = (PropsSI(q, "T", INLET_TEMPERATURE, "P", INLET_PRESSURE, "Air") for q in "HS")
    print("inlet_temperature_K,inlet_pressure_Pa,pressure_ratio,isentropic_temperature_K,isentropic_enthalpy_change_J_kg")
    for ratio in RATIOS:
        t2, h2 = (PropsSI(q, "P", ratio * INLET_PRESSURE, "S", s1, "Air") for q in "TH")
        print(f"{INLET_TEMPERATURE:g},{INLET_PRESSURE:g},{ratio:g},{t2:.10g},{h2 - h1:.10g}")


if __name__ == "__main__":
    main()
