"""Standard atmosphere, computed with ambiance 1.3.1.

    python3 iso2533.py > iso2533.csv

The rows marked 'from memory' are not computed: they are the table entries of the
standard as remembered, kept here so that one file holds both.
"""

import importlib.metadata

import ambiance

assert importlib.metadata.version("ambiance") == "1.3.1"

GEOPOTENTIAL = [0, 1000, 3000, 5000]
GEOMETRIC = [0, 500, 1000, 1500, 1609.344, 2000, 2500, 3000, 4000, 5000]
FROM_MEMORY = [
    "geopotential,0,288.15,101325,1.22500,from memory",
    "geopotential,1000,281.65,89874.56,1.111643,from memory",
    "geopotential,3000,268.65,70108.53,0.909122,from memory",
    "geopotential,5000,255.65,54019.89,0.736116,from memory",
]


def row(kind, altitude, geometric):
    state = ambiance.Atmosphere(geometric)
    print(f"{kind},{altitude},{state.temperature[0]:.9g},{state.pressure[0]:.9g},"
          f"{state.density[0]:.9g},computed")


def main():
    print("altitude_kind,altitude_m,temperature_K,pressure_Pa,density_kg_m3,evidence")
    for line in FROM_MEMORY:
        print(line)
    for altitude in GEOPOTENTIAL:
        row("geopotential", altitude, ambiance.Atmosphere.geop2geom_height(altitude))
    for altitude in GEOMETRIC:
        row("geometric", altitude, altitude)


if __name__ == "__main__":
    main()
