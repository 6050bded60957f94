"""Viscosity of dry air and combustion products by kinetic theory, computed with Cantera 3.2.0.

    python3 viscosity-exhaust.py > viscosity-exhaust.csv

Needs cantera==3.2.0 (its own data file gri30.yaml). Reads gas-compositions.csv beside it.
"""

import csv
import pathlib

import cantera as ct

assert ct.__version__ == "3.2.0", ct.__version__

MIXTURES = ["dry_air", "CH1.85_lambda_0.85", "CH1.85_lambda_1.00"]
TEMPERATURES = [300, 500, 800, 1000, 1200, 1500]


def main():
    gas = ct.Solution("gri30.yaml", transport_model="mixture-averaged")
    table = pathlib.Path(__file__).with_name("gas-compositions.csv")
    rows = {row["mixture"]: row for row in csv.DictReader(table.read_text().splitlines())}
    print("mixture,temperature_K,pressure_Pa,viscosity_Pa_s")
    for mixture in MIXTURES:
        # gri30.yaml writes AR
        x = {key[2:].upper(): float(value) for key, value in rows[mixture].items() if key != "mixture"}
        for t in TEMPERATURES:
            gas.TPX = t, 1e5, x
            print(f"{mixture},{t},{gas.P:g},{gas.viscosity:.6g}")


if __name__ == "__main__":
    main()
