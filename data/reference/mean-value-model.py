"""A published mean-value model of a boosted spark-ignition engine, solved with SciPy.

    python3 data/reference/mean-value-model.py

Needs scipy==1.17.1. Writes mean-value-steady.csv (wastegate shut, throttle wide open, lambda 1) and
mean-value-step.csv (the throttle opens at 2500 rev/min). Parameters: companion files to Eriksson and Nielsen,
Modeling and Control of Engines and Drivelines, 2014. It shares nothing with the library but these numbers.
"""

import csv
import math
import pathlib

from scipy.integrate import solve_ivp
from scipy.optimize import brentq, fsolve

HERE = pathlib.Path(__file__).resolve().parent
CP, G, R = 1005.2, 1.4, 287.2
CPE, GE, RE = 1256.67, 1.3, 290.0
AFR = 14.0
P0, T0 = 101.3e3, 293.0
VD, RC = 1.953e-3, 10.8
H_FILTER, H_COOLER, H_EXHAUST = 1.59598e8, 3.4678e8, 2.1027e8
DC, K1, K2 = 0.0394, 0.31972, 18.1518
ETA, Q11, Q12, Q22, W_BEST, X_BEST, LEAST = 0.736335, 35.0283, -3.31011, 0.730446, 0.13473, 2.09997, 0.3
KT1, KT2, KT3, KT4, DT = 0.0292, 1.93171, 0.637445, 0.41274, 0.0383
FRICTION = 9.7187e-7
BREATHING = [1.7338e-9, -8.3904e-7, 1.3625e-4, -7.4009e-3, 0.93581]


def breathing(p_im, p_em):
    c = 0.0
    for k in BREATHING:
        c = c * (p_im / 1e3) + k
    return c * (RC - (p_em / p_im) ** (1 / GE)) / (RC - 1)


def before_compressor(w):
    return P0 - w * w * H_FILTER * T0 / P0


def efficiency(w, pr, p1):
    """The fit takes the flow as it is, corrected to the ambient state."""
    x1 = w * (P0 / p1) - W_BEST
    x2 = math.sqrt(max(pr - 1, 0.0)) + 1 - X_BEST
    return max(ETA - (Q11 * x1 * x1 + 2 * Q12 * x1 * x2 + Q22 * x2 * x2), LEAST)


def flow_of(omega, pr, p1):
    u2 = omega * DC / 2
    psi = 2 * CP * T0 * (pr ** ((G - 1) / G) - 1) / u2**2
    return p1 * u2 * math.pi * DC**2 / 2 / (R * T0) * math.sqrt(max((1 - K1 * psi**2) / K2, 0.0))


def outlet(w, pr, p1):
    return T0 * (1 + (pr ** ((G - 1) / G) - 1) / efficiency(w, pr, p1))


def cooled(w, t2):
    eff = -0.564164 + 0.00465003 * (T0 + t2) / 2 - 2.99972 * w
    return t2 - eff * (t2 - T0)


def turbine(w_e, p_em, omega):
    """Flow, power, efficiency, blade speed ratio, with the pressure behind it closed by the exhaust system."""
    t_em = 1146.83 + 843.36 * w_e

    def behind(p4):
        pi = p4 / p_em
        c0 = math.sqrt(2 * CPE * t_em * (1 - pi ** ((GE - 1) / GE)))
        bsr = omega * DT / 2 / c0
        eta = KT3 * (1 - ((bsr - KT4) / KT4) ** 2)
        drop = eta * t_em * (1 - pi ** ((GE - 1) / GE))
        w = p_em / 1e3 / math.sqrt(t_em) * KT1 * math.sqrt(max(1 - pi**KT2, 0.0))
        return w, w * CPE * drop, eta, bsr, t_em, t_em - drop

    def gap(p4):
        w, *_, t4 = behind(p4)
        return p4 - P0 - w * w * H_EXHAUST * t4 / p4

    p4 = brentq(gap, P0, p_em * (1 - 1e-9), xtol=1e-9, rtol=1e-14)
    return behind(p4) + (p4,)


def steady(rpm, start):
    def gaps(x):
        w, omega, pr, p_em = x[0], x[1] * 1e4, x[2], x[3] * 1e5
        p1 = before_compressor(w)
        t2 = outlet(w, pr, p1)
        p_im = p1 * pr - w * w * H_COOLER * t2 / (p1 * pr)
        t_im = cooled(w, t2)
        engine = breathing(p_im, p_em) * VD * rpm / 120 * p_im / (R * t_im)
        w_e = w * (1 + 1 / AFR)
        w_t, power, *_ = turbine(w_e, p_em, omega)
        compressor = w * CP * (t2 - T0)
        return [
            flow_of(omega, pr, p1) / w - 1,
            engine / w - 1,
            w_t / w_e - 1,
            (power - compressor - FRICTION * omega**2) / 1e3,
        ]

    x, info, ok, why = fsolve(gaps, start, xtol=1e-13, full_output=True)
    if max(abs(g) for g in gaps(x)) > 1e-9:
        raise SystemExit(f"{rpm}: {why}")
    w, omega, pr, p_em = x[0], x[1] * 1e4, x[2], x[3] * 1e5
    p1 = before_compressor(w)
    t2 = outlet(w, pr, p1)
    p_im = p1 * pr - w * w * H_COOLER * t2 / (p1 * pr)
    w_t, power, eta_t, bsr, t_em, t4, p4 = turbine(w * (1 + 1 / AFR), p_em, omega)
    return x, dict(
        rpm=rpm, shaft_rpm=omega * 30 / math.pi, air=w, ratio=pr, outlet=t2, manifold=p_im, cooled=cooled(w, t2),
        exhaust=p_em, exhaust_temperature=t_em, blade_speed_ratio=bsr, efficiency=efficiency(w, pr, p1),
        turbine_efficiency=eta_t, compressor_power=w * CP * (t2 - T0), turbine_power=power,
    )


V_IM, V_EM, INERTIA = 7e-3, 2e-3, 2.55e-5


def passed(omega, p_im):
    """Air flow and outlet temperature of the compressor for a speed and a manifold pressure."""

    def p2_of(w, p1):
        return brentq(
            lambda p2: p2 - w * w * H_COOLER * outlet(w, p2 / p1, p1) / p2 - p_im, p_im, 2 * p_im, xtol=1e-9, rtol=1e-14)

    def gap(w):
        p1 = before_compressor(w)
        return flow_of(omega, p2_of(w, p1) / p1, p1) - w

    w = brentq(gap, 1e-4, 0.15, xtol=1e-15, rtol=1e-14)
    p1 = before_compressor(w)
    return w, outlet(w, p2_of(w, p1) / p1, p1)


def step(rpm, inertia, start, until):
    """Pressures and shaft speed in time; manifold and exhaust fill at their own temperatures."""

    def rates(_, y):
        omega, p_im, p_em = y[0] * 1e4, y[1] * 1e5, y[2] * 1e5
        w, t2 = passed(omega, p_im)
        t_im = cooled(w, t2)
        engine = breathing(p_im, p_em) * VD * rpm / 120 * p_im / (R * t_im)
        w_e = engine * (1 + 1 / AFR)
        w_t, power, _, _, t_em, *_ = turbine(w_e, p_em, omega)
        compressor = w * CP * (t2 - T0)
        return [
            ((power - compressor) / omega - FRICTION * omega) / inertia / 1e4,
            R * t_im / V_IM * (w - engine) / 1e5,
            RE * t_em / V_EM * (w_e - w_t) / 1e5,
        ]

    times = [0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0]
    found = solve_ivp(rates, (0, until), start, method="Radau", rtol=1e-9, atol=1e-11, t_eval=times, dense_output=False)
    if not found.success:
        raise SystemExit(found.message)
    return [(t, *(v * k for v, k in zip(y, (1e4, 1e5, 1e5)))) for t, y in zip(found.t, found.y.T)]


def write(name, header, rows):
    with open(HERE / name, "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(header)
        out.writerows([[f"{value:.10g}" for value in row] for row in rows])


if __name__ == "__main__":
    x, rows = [0.0274, 0.404, 1.0587, 1.0911], []
    for rpm in (1500, 2000, 2500, 3000):
        x, row = steady(rpm, x)
        rows.append(row)
    write("mean-value-steady.csv", list(rows[0]), [row.values() for row in rows])
    start = [40e3 * math.pi / 30 / 1e4, 1.04, 1.06]
    rows = []
    for factor in (1, 2):
        rows += [(factor * INERTIA, *row) for row in step(2500, factor * INERTIA, start, 4.0)]
    write("mean-value-step.csv", ["inertia", "time", "omega", "manifold", "exhaust"], rows)
