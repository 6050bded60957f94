"""The balance of compressor, engine and turbine on one shaft, closed by SciPy.

    python3 data/reference/balance-scipy.py > data/reference/balance-scipy.csv

Needs scipy==1.17.1. The same relations as the library, written a second time in Python: dry air and rich products by the
polynomials of data/gas/species.csv, map-b.csv of the demonstration by scipy.interpolate.PchipInterpolator along the
lines and over them, end states by Newton's method, the four unknowns by scipy.optimize.root (MINPACK's hybrd).
Starts are fixed numbers, none of them comes from the library.
"""

import csv
import math
import pathlib

import scipy
from scipy.interpolate import PchipInterpolator
from scipy.optimize import root

DATA = pathlib.Path(__file__).resolve().parents[1]
RU = 8.31446261815324
SPECIES = ["N2", "O2", "Ar", "CO2", "H2O", "CO", "H2"]
AIR = [0.78084, 0.209476, 0.00934, 0.000314, 0.0, 0.0, 0.0]
CARBON, HYDROGEN = 12.011, 1.008

# The installation, SI units: sea level of the standard atmosphere, an invented engine.
P0, T0 = 101325.0, 288.15
BORE, STROKE, CYLINDERS, RC, ETA_V, WORK = 0.084, 0.084, 4, 9.2, 0.97, 0.677
HEATING, FILTER, COOLER, EXHAUST = 2.0, (3e3, 0.25), (8e3, 0.22), (9e3, 0.27)
EFFECTIVENESS, T3, ETA_T = 0.75, 1173.15, 0.66
LAMBDA, HC, LHV, WATER_GAS = 0.85, 1.85, 43.0e6, 3.5
WHEEL = 0.063
HEAD, RISE, PR_D, NU_D = 0.8751, 3.09328, 2.0, 0.70
BEST, FALL = 0.6968, 1.689
VD = CYLINDERS * math.pi / 4 * BORE**2 * STROKE
T_REF, P_REF = 298.15, 100e3

# What the wastegate does, effective area of the turbine, engine speed in rev/min, manifold pressure held.
CASES = [("hold", 600e-6, 3800.0, 180e3), ("hold", 600e-6, 4600.0, 190e3), ("hold", 600e-6, 5400.0, 200e3),
         ("hold", 600e-6, 6200.0, 180e3), ("shut", 1100e-6, 4200.0, 0.0), ("shut", 1100e-6, 4600.0, 0.0)]


class Gas:
    """Properties per mass; a list of mole fractions."""

    def __init__(self, moles):
        with open(DATA / "gas" / "species.csv", encoding="utf-8") as file:
            rows = {row["species"]: row for row in csv.DictReader(file)}
        total = sum(moles)
        self.x = [n / total for n in moles]
        self.mass = 1e-3 * sum(x * float(rows[s]["molar_mass"]) for s, x in zip(SPECIES, self.x))
        self.r = RU / self.mass
        self.a = [[sum(x * float(rows[s][f"{side}_{k}"]) for s, x in zip(SPECIES, self.x)) for k in range(1, 8)]
                  for side in ("low", "high")]

    def cp(self, t):
        a = self.a[t >= 1000.0]
        return self.r * (a[0] + t * (a[1] + t * (a[2] + t * (a[3] + t * a[4]))))

    def h(self, t):
        a = self.a[t >= 1000.0]
        return self.r * (t * (a[0] + t * (a[1] / 2 + t * (a[2] / 3 + t * (a[3] / 4 + t * a[4] / 5)))) + a[5])

    def s(self, t):
        a = self.a[t >= 1000.0]
        return self.r * (a[0] * math.log(t) + t * (a[1] + t * (a[2] / 2 + t * (a[3] / 3 + t * a[4] / 4))) + a[6])

    def of_h(self, h, t):
        for _ in range(50):
            step = (self.h(t) - h) / self.cp(t)
            t -= step
            if abs(step) < 1e-10 * t:
                return t
        raise ArithmeticError

    def isentropic(self, t1, ratio):
        s, t = self.s(t1) + self.r * math.log(ratio), t1 * ratio ** (self.r / self.cp(t1))
        for _ in range(50):
            step = (self.s(t) - s) * t / self.cp(t)
            t -= step
            if abs(step) < 1e-10 * t:
                return t
        raise ArithmeticError


def burned(air):
    """Rich products of CH_HC: elements balanced, CO2 from x_CO x_H2O = K x_CO2 x_H2."""
    needed = 1 + HC / 4
    per_oxygen = LAMBDA * needed / air.x[1]
    n2, o2, ar, co2 = (per_oxygen * x for x in air.x[:4])
    c, h, o = 1 + co2, HC, 2 * o2 + 2 * co2
    w, hh = o - c, h / 2
    # (c - x)(w - x) = K x (hh - w + x)
    qa, qb, qc = 1 - WATER_GAS, -(c + w) - WATER_GAS * (hh - w), c * w
    roots = [(-qb + sign * math.sqrt(qb * qb - 4 * qa * qc)) / (2 * qa) for sign in (1, -1)]
    x = next(r for r in roots if 0 < r < min(c, w))
    return Gas([n2, 0.0, ar, x, w - x, c - x, hh - (w - x)])


class Map:
    def __init__(self):
        lines = {}
        for row in csv.reader(x for x in (DATA / "demo" / "map-b.csv").read_text().splitlines() if x[0] != "#"):
            if row[0][0].isdigit():
                lines.setdefault(float(row[0]) * math.pi / 30, []).append([float(x) for x in row[1:]])
        self.speeds = list(lines)
        self.lines = []
        for rows in lines.values():
            widest, highest = max(r[0] for r in rows), max(r[1] for r in rows)
            length = [0.0]
            for a, b in zip(rows, rows[1:]):
                length.append(length[-1] + math.hypot((b[0] - a[0]) / widest, (b[1] - a[1]) / highest))
            self.lines.append(PchipInterpolator([part / length[-1] for part in length], rows))
        self.flow = max(rows[-1][0] for rows in lines.values())

    def __call__(self, n, s):
        return PchipInterpolator(self.speeds, [line(s) for line in self.lines])(n)


AIR_GAS = Gas(AIR)
PRODUCTS = burned(AIR_GAS)
MAP = Map()
AFR = (1 + HC / 4) / AIR_GAS.x[1] * AIR_GAS.mass * 1e3 / (CARBON + HC * HYDROGEN)
# What depends on the gas alone.
GAMMA = PRODUCTS.cp(T3) / (PRODUCTS.cp(T3) - PRODUCTS.r)
M = (GAMMA - 1) / GAMMA
CRITICAL = ((GAMMA + 1) / 2) ** (1 / M)


def psi(ratio):
    return ratio ** (-2 / GAMMA) - ratio ** (-(GAMMA + 1) / GAMMA)


ZERO_D = (1 + HEAD * NU_D**2 * (1 - PR_D**-M)) ** (1 / M)
CHOKED_SHARE = math.sqrt(psi(min(PR_D, CRITICAL)) / psi(CRITICAL)) / math.sqrt(1 - (PR_D / ZERO_D) ** -RISE)
PSI_C = math.sqrt(GAMMA) * (2 / (GAMMA + 1)) ** ((GAMMA + 1) / (2 * (GAMMA - 1)))
EFFICIENCY = (1 - RC**-0.35) * WORK * LAMBDA
ROOT_BORE = math.sqrt(0.075 / BORE)


def loss(stated, flow):
    return stated[0] * (flow / stated[1]) ** 2


def state(area, rpm, air, n, s, expansion):
    n, s, air, expansion = float(n), float(s), float(air), float(expansion)
    omega = rpm * math.pi / 30
    t1, p1 = T0 + HEATING, P0 - loss(FILTER, air)
    corrected, ratio, efficiency = map(float, MAP(n, s))
    passed = corrected * (p1 / P_REF) / math.sqrt(t1 / T_REF)
    manifold = p1 * ratio - loss(COOLER, air)
    h1 = AIR_GAS.h(t1)
    ideal = AIR_GAS.isentropic(t1, ratio)
    h2 = h1 + (AIR_GAS.h(ideal) - h1) / efficiency
    t2 = AIR_GAS.of_h(h2, ideal)
    cooled = t2 - EFFECTIVENESS * (t2 - T0)
    p4 = P0 + loss(EXHAUST, air * (1 + 1 / (LAMBDA * AFR)))
    p3 = p4 * expansion
    blade = n * math.sqrt(t1 / T_REF) * WHEEL / 2
    root_rt = math.sqrt(PRODUCTS.r * T3)
    mach2 = blade**2 / (GAMMA * PRODUCTS.r * T3)
    zero = (1 + HEAD * (GAMMA - 1) / 2 * mach2) ** (1 / M)
    rise = 1 - (expansion / zero) ** -RISE
    if rise < 0.0025:
        raise ArithmeticError("the turbine hardly flows")
    turbine = area * CHOKED_SHARE * p3 * PSI_C / root_rt * math.sqrt(rise)
    drop = PRODUCTS.h(T3) - PRODUCTS.h(PRODUCTS.isentropic(T3, 1 / expansion))
    nu = blade / math.sqrt(2 * drop)
    eta = max(ETA_T * (1 - abs(1 - nu / BEST) ** FALL), 0.05)
    breathing = ETA_V * (RC - (p3 / manifold) ** (1 / 1.3)) / (RC - 1)
    engine = breathing * VD * omega / (4 * math.pi) * manifold / (cooled * AIR_GAS.r)
    fuel = engine / (LAMBDA * AFR)
    imep = fuel * LHV * EFFICIENCY / (VD * omega / (4 * math.pi))
    friction = 0.487 * 1.85e5 * (0.464 + 0.0072 * (STROKE * omega / math.pi) ** 1.8) * ROOT_BORE
    bmep = (imep - (p3 - manifold) - friction) / (1 + 0.0215 * 0.487 * ROOT_BORE)
    return {
        "air": air, "ratio": ratio, "shaft": n * math.sqrt(t1 / T_REF), "efficiency": efficiency, "outlet": t2,
        "manifold": manifold, "cooled": cooled, "exhaust": p3, "expansion": expansion, "turbine_efficiency": eta,
        "power": bmep * VD * omega / (4 * math.pi), "wastegate": 1 - turbine / (engine + fuel),
        "shaft_power": air * (h2 - h1),
        "gaps": [engine / air - 1, passed / air - 1, (turbine * drop * eta - air * (h2 - h1)) / (air * 1e5)],
    }


def gaps(x, mode, area, rpm, target):
    at = state(area, rpm, x[0] * MAP.flow, x[1] * MAP.speeds[-1], x[2], 1 + x[3] ** 2)
    return [*at["gaps"], at["manifold"] / target - 1 if mode == "hold" else at["wastegate"]]


STARTS = [[0.5, 0.8, 0.4, 0.9], [0.3, 0.6, 0.3, 0.6], [0.7, 0.9, 0.5, 1.0], [0.25, 0.5, 0.5, 0.5]]


def solve(mode, area, rpm, target, starts=STARTS):
    for start in starts:
        try:
            found = root(gaps, start, (mode, area, rpm, target), tol=1e-12)
        except (ArithmeticError, ValueError):
            continue
        if max(map(abs, found.fun)) < 1e-9 and 0 <= found.x[2] <= 1:
            return found.x
    raise SystemExit(f"no balance: {mode} {area} {rpm} {target}")


def main():
    assert scipy.__version__ == "1.17.1", scipy.__version__
    names = ["air", "ratio", "shaft", "efficiency", "outlet", "manifold", "cooled", "exhaust", "expansion",
             "turbine_efficiency", "power", "wastegate", "shaft_power"]
    print("mode,area,rpm,target," + ",".join(names))
    for mode, area, rpm, target in CASES:
        x = solve(mode, area, rpm, target)
        at = state(area, rpm, x[0] * MAP.flow, x[1] * MAP.speeds[-1], x[2], 1 + x[3] ** 2)
        print(f"{mode},{area:g},{rpm:.0f},{target:.0f}," + ",".join(f"{at[name]:.12g}" for name in names))


if __name__ == "__main__":
    main()
