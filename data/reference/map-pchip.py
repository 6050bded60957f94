"""The demonstration maps read at speed and position, computed with SciPy 1.16.2.

    python3 map-pchip.py > map-pchip.csv

Needs scipy==1.16.2. Along each line scipy.interpolate.PchipInterpolator over the length of the line (in fractions of
its greatest flow and pressure ratio), then once more over the speeds of all lines. Reads the maps in data/demo.
"""

import csv
import math
import pathlib

import scipy
from scipy.interpolate import PchipInterpolator

assert scipy.__version__ == "1.16.2", scipy.__version__

SHARES = [0.0, 0.07, 0.31, 0.5, 0.62, 0.88, 1.0]
POSITIONS = [0.0, 0.04, 0.33, 0.71, 0.97, 1.0]


UNITS = {"rpm": 1.0, "krpm": 1000.0, "kg/s": 1.0, "lb/min": 0.45359237 / 60.0, "-": 1.0, "%": 0.01}


def lines(name):
    """Speed in rev/min, with the rows of its line: flow in kg/s, pressure ratio, efficiency."""
    path = pathlib.Path(__file__).parents[1] / "demo" / name
    rows = csv.reader(line for line in path.read_text().splitlines() if not line.startswith("#"))
    factors = [UNITS[column.split("[")[1].rstrip("]")] for column in next(rows)]
    found = {}
    for row in rows:
        speed, *values = (float(field) * factor for field, factor in zip(row, factors))
        found.setdefault(speed, []).append(values)
    return found


def along(rows):
    widest, highest = (max(row[k] for row in rows) for k in (0, 1))
    length = [0.0]
    for a, b in zip(rows, rows[1:]):
        length.append(length[-1] + math.hypot((b[0] - a[0]) / widest, (b[1] - a[1]) / highest))
    return PchipInterpolator([part / length[-1] for part in length], rows)


def main():
    print("map,speed_rpm,position,flow_kg_per_s,ratio,efficiency,flow_by_krpm,ratio_by_krpm,efficiency_by_krpm")
    for name in ["map-b.csv", "map-c.csv"]:
        curves = {speed: along(rows) for speed, rows in lines(name).items()}
        speeds = list(curves)
        for share in SHARES:
            speed = round(speeds[0] + (speeds[-1] - speeds[0]) * share)
            for position in POSITIONS:
                across = PchipInterpolator(speeds, [curves[n](position) for n in speeds])
                values = [*across(speed), *(1000.0 * across(speed, 1))]
                print(f"{name},{speed},{position}," + ",".join(f"{value:.12g}" for value in values))


if __name__ == "__main__":
    main()
