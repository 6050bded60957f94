"""Recomputes every row of formula-checks.csv that is not published.

    python3 formula-checks.py

Rows "by hand" by the arithmetic below, written from the definitions and not from the library's code; rows of a
"reference library" by that library. Needs cantera==3.2.0, CoolProp==8.0.0 and fluids==1.3.1. Exit code 1 where a
value lies outside its tolerance or a row has no way to be recomputed.
"""

import csv
import importlib.metadata
import pathlib
import sys
from math import asin, atan, cos, degrees, exp, hypot, log, pi, radians, sin, sqrt, tan

import cantera as ct
import CoolProp.CoolProp as cp
import fluids

for package, version in {"cantera": "3.2.0", "CoolProp": "8.0.0", "fluids": "1.3.1"}.items():
    assert importlib.metadata.version(package) == version, package

HERE = pathlib.Path(__file__).parent
RU = 8.31446261815324  # J/(mol K)
C, H, O = 12.011, 1.008, 15.999  # g/mol
WATER = 18.015  # g/mol
AIR = 28.9650856  # g/mol: N2 0.78084, O2 0.209476, Ar 0.00934, CO2 0.000314, normalised
OXYGEN = 0.209476 / 0.99997  # mole fraction in dry air
G0, LAPSE, R_STANDARD, EARTH = 9.80665, 0.0065, 287.05287, 6356766.0  # ISO 2533:1975


def bisect(gap, low, high):
    """The root of a gap that rises from below zero to above it."""
    assert gap(low) < 0 < gap(high)
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if gap(middle) < 0 else (low, middle)
    return (low + high) / 2


class Gas:
    """A mixture of gas-compositions.csv in Cantera."""

    NAMES = ["N2", "O2", "Ar", "CO2", "H2O", "CO", "H2"]

    def __init__(self, mixture):
        rows = csv.DictReader((HERE / "gas-compositions.csv").read_text().splitlines())
        row = next(row for row in rows if row["mixture"] == mixture)
        species = {s.name: s for s in ct.Species.list_from_file("nasa_gas.yaml")}
        self.state = ct.Solution(thermo="ideal-gas", species=[species[name] for name in self.NAMES])
        self.x = [float(row["x_" + name]) for name in self.NAMES]
        self.r = RU / (self.at(300).mean_molecular_weight / 1000)

    def at(self, t, p=1e5):
        self.state.TPX = t, p, self.x
        return self.state

    def cp(self, t):
        return self.at(t).cp_mass

    def gamma(self, t):
        return self.cp(t) / self.at(t).cv_mass

    def h(self, t):
        return self.at(t).enthalpy_mass

    def s(self, t):
        return self.at(t).entropy_mass

    def t_of_h(self, h):
        self.at(300).HP = h, 1e5
        return self.state.T

    def isentropic(self, t, ratio):
        state = self.at(t)
        state.SP = state.s, 1e5 * ratio
        return state.T

    def work(self, t, ratio):
        """Enthalpy change along an isentrope."""
        return self.h(self.isentropic(t, ratio)) - self.h(t)

    def at_mach(self, total, mach):
        return bisect(lambda t: self.h(t) + mach**2 * self.gamma(t) * self.r * t / 2 - self.h(total), 200, total)


# Reference libraries, by formula and source.


def polytropic(g, t1, ratio, eta):
    rise = g.r * log(ratio) * (1 / eta if ratio > 1 else eta)
    return bisect(lambda t: g.s(t) - g.s(t1) - rise, 200, 3000)


def water_gas(t):
    g = {s.name: s.thermo.h(t) - t * s.thermo.s(t) for s in ct.Species.list_from_file("nasa_gas.yaml")}
    return exp(-(g["CO"] + g["H2O"] - g["CO2"] - g["H2"]) / (1000 * RU * t))


def real_heat_capacity_error(p, t):
    ideal = cp.PropsSI("CP0MASS", "T", t, "P", p, "Air")
    return cp.PropsSI("CPMASS", "T", t, "P", p, "Air") / ideal - 1


def station(reading, altitude):
    """The standard atmosphere at an altitude raised by the one that the reading stands for."""
    def pressure(height):  # of a geopotential height
        return fluids.ATMOSPHERE_1976(EARTH * height / (EARTH - height)).P
    shift = bisect(lambda height: reading - pressure(height), -900, 900)
    return pressure(fluids.ATMOSPHERE_1976(altitude).H + shift)


def unburned_share(g, a, q):
    """Heat of burning CO and H2 to CO2 and steam at 298.15 K."""
    molar = {s.name: s.thermo.h(298.15) / 1000 for s in ct.Species.list_from_file("nasa_gas.yaml") if s.name in g.NAMES}
    x = dict(zip(g.NAMES, g.x))
    released = x["CO"] * (molar["CO"] + molar["O2"] / 2 - molar["CO2"])
    released += x["H2"] * (molar["H2"] + molar["O2"] / 2 - molar["H2O"])
    return released * g.r / RU * (1 + a) / q


LIBRARY = {
    "nasa-tm-4513": {
        "gas::heat_capacity": lambda g, t: g.cp(t),
        "gas::heat_capacity_ratio": lambda g, t: g.gamma(t),
        "gas::gas_constant": lambda g: g.r,
        "gas::speed_of_sound": lambda g, t: g.at(t).sound_speed,
        "gas::isentropic_temperature": lambda g, t, ratio: g.isentropic(t, ratio),
        "gas::polytropic_temperature": polytropic,
        "gas::polytropic_efficiency": lambda g, t1, t2, ratio: g.r * log(ratio) / (g.s(t2) - g.s(t1)),
        "gas::static_temperature": lambda g, t, v: g.t_of_h(g.h(t) - v**2 / 2),
        "gas::total_temperature": lambda g, t, v: g.t_of_h(g.h(t) + v**2 / 2),
        "gas::static_temperature_at_mach": lambda g, t, mach: g.at_mach(t, mach),
        "gas::static_pressure": lambda g, p, total, t: p * exp((g.s(t) - g.s(total)) / g.r),
        "gas::total_pressure": lambda g, p, t, total: p * exp((g.s(total) - g.s(t)) / g.r),
        "gas::water_gas_constant": lambda t: water_gas(t),
        "compressor::outlet_temperature": lambda g, t, ratio, eta: g.t_of_h(g.h(t) + g.work(t, ratio) / eta),
        "compressor::isentropic_efficiency": lambda g, t1, t2, ratio: g.work(t1, ratio) / (g.h(t2) - g.h(t1)),
        "compressor::housing_heat": lambda g, w, t1, t2: w * (g.h(t2) - g.h(t1)),
        "turbine::exhaust_at_wheel": lambda g, t, q, w: g.t_of_h(g.h(t) - q / w),
        "compressor::power": lambda g, w, t1, t2: w * (g.h(t2) - g.h(t1)),
        "compressor::tip_speed_for_ratio": lambda g, t, ratio, eta, work: sqrt(g.work(t, ratio) / eta / work),
        "compressor::tip_mach": lambda g, u, t: u / g.at(t).sound_speed,
        "turbine::expansion_ratio": lambda g, t, w, eta: exp(
            (g.s(t) - g.s(g.t_of_h(g.h(t) - w / eta))) / g.r),
        "engine::air_heat": lambda g, t, a: a * (g.h(t) - g.h(298.15)),
        "engine::heat_at_temperature": lambda g, t: g.h(t) - g.h(298.15),
        "engine::unburned_share": unburned_share,
        "engine::exhaust_temperature": lambda g, q: g.t_of_h(g.h(298.15) + q),
        "turbine::ideal_velocity": lambda g, t, ratio: sqrt(-2 * g.work(t, 1 / ratio)),
        "turbine::expansion_work": lambda g, t, ratio, eta: -eta * g.work(t, 1 / ratio),
    },
    "lemmon-2000": {
        "gas::heat_capacity": lambda g, t: cp.PropsSI("CPMASS", "T", t, "P", 1e5, "Air"),
        "gas::density": lambda g, p, t: cp.PropsSI("DMASS", "T", t, "P", p, "Air"),
        "gas::speed_of_sound": lambda g, t: cp.PropsSI("A", "T", t, "P", 1e5, "Air"),
        "gas::isentropic_temperature": lambda g, t, ratio: cp.PropsSI(
            "T", "S", cp.PropsSI("S", "T", t, "P", 1e5, "Air"), "P", 1e5 * ratio, "Air"),
        "compressor::tip_mach": lambda g, u, t: u / cp.PropsSI("A", "T", t, "P", 1e5, "Air"),
        "gas::ideal_density_error": lambda p, t: cp.PropsSI("Z", "T", t, "P", p, "Air") - 1,
        "gas::ideal_heat_capacity_error": real_heat_capacity_error,
    },
    "lemmon-jacobsen-2004": {
        "gas::viscosity": lambda t: cp.PropsSI("VISCOSITY", "T", t, "P", 1e5, "Air"),
    },
    "iapws-95": {
        "gas::saturation_pressure": lambda t: cp.PropsSI("P", "T", t, "Q", 0, "Water"),
        "gas::vapour_fraction": lambda phi, t, p: phi * cp.PropsSI("P", "T", t, "Q", 0, "Water") / p,
    },
    "coolprop-humid-air": {
        "gas::vapour_fraction": lambda phi, t, p: cp.HAPropsSI("Y", "T", t, "P", p, "R", phi),
        "gas::humidity_ratio": lambda x: cp.HAPropsSI("W", "T", 300, "P", 101325, "Y", x),
        "gas::vapour_fraction_from_ratio": lambda w: cp.HAPropsSI("Y", "T", 300, "P", 101325, "W", w),
    },
    "iso-2533": {
        "site::geopotential_altitude": lambda h: fluids.ATMOSPHERE_1976(h).H,
        "site::standard_temperature": lambda h: fluids.ATMOSPHERE_1976(h).T,
        "site::standard_pressure": lambda h: fluids.ATMOSPHERE_1976(h).P,
        "site::station_pressure": station,
    },
}

# By hand, by formula.


def rich_carbon_dioxide(carbon, hydrogen, oxygen, constant):
    def gap(x):  # moles of CO2: CO, H2O and H2 follow from the balances of C, O and H
        co, h2o = carbon - x, oxygen - carbon - x
        return constant * x * (hydrogen / 2 - h2o) - co * h2o
    low = max(0.0, oxygen - carbon - hydrogen / 2)  # hydrogen is used up
    return bisect(gap, low, min(carbon, oxygen - carbon))


def virial(t):
    """Second virial coefficient of air by Pitzer's correlation, m3/mol."""
    tr = t / 132.5
    return RU * 132.5 / 3.786e6 * (0.083 - 0.422 / tr**1.6 + 0.035 * (0.139 - 0.172 / tr**4.2))


def heat_capacity_error(p, t):
    step = 0.01 * t  # the second derivative by differences, Richardson's rule on two steps
    def second(d):
        return (virial(t + d) - 2 * virial(t) + virial(t - d)) / d**2
    bend = (4 * second(step / 2) - second(step)) / 3
    return -t * p * bend / (1005 * 0.02896508)


def oxygen_need(wc, wh, wo):
    """Moles of O2 per gram of fuel."""
    return wc / C + wh / H / 4 - wo / O / 2


def mass_share(v, a, b):
    return 1 / (1 + (1 - v) * b / (v * a))


def atoms(carbon, hydrogen, oxygen):
    masses = [carbon * C, hydrogen * H, oxygen * O]
    return [mass / sum(masses) for mass in masses]


def standard(height):
    """Pressure of the standard atmosphere at a geopotential height."""
    return 101325 * exp(G0 / (LAPSE * R_STANDARD) * log(1 - LAPSE * height / 288.15))


def density_altitude(rho):
    def thinner(height):
        return rho - standard(height) / (R_STANDARD * (288.15 - LAPSE * height))
    return bisect(thinner, -5000, 9000)


def friction(piston_speed, bmep, bore):
    bar = (0.464 + 0.0072 * piston_speed**1.8) * 1.85 + 0.0215 * bmep / 1e5
    return 0.487e5 * bar * sqrt(0.075 / bore)


def corrected(t, t_ref):
    return sqrt(t / t_ref)


def choke(area, t, p, u, gamma, r):
    """Through the total state in the rotating frame and the choking constant."""
    relative = 1 + (gamma - 1) / 2 * u**2 / (gamma * r * t)
    constant = sqrt(gamma / r) * (2 / (gamma + 1)) ** ((gamma + 1) / (2 * (gamma - 1)))
    return area * constant * p * relative ** (gamma / (gamma - 1)) / sqrt(t * relative)


def nozzle(area, p, t, ratio, gamma, r):
    """Through the Mach number behind the expansion: density times velocity."""
    mach = min(1, sqrt(2 / (gamma - 1) * (ratio ** ((gamma - 1) / gamma) - 1)))
    cold = t / (1 + (gamma - 1) / 2 * mach**2)
    density = p / (r * t) * (cold / t) ** (1 / (gamma - 1))
    return area * density * mach * sqrt(gamma * r * cold)


def effective_area(over, radius, width, exit_area, density):
    angle = atan(2 * pi * width * density / over)
    return 1 / hypot(1 / (2 * pi * radius * width * cos(angle)), 1 / exit_area)


def mean_inducer_angle(tip_angle, tip, hub):
    """Radial elements: the tangent over the radius is the same at the tip as at the mean."""
    mean_radius = sqrt(((tip / 2) ** 2 + (hub / 2) ** 2) / 2)
    return atan(tan(tip_angle) / (tip / 2) * mean_radius)


def slip_factor(backsweep, full, splitters, radius_ratio):
    z = full + 0.7 * splitters
    sigma = 1 - exp(0.5 * log(cos(backsweep)) - 0.7 * log(z))
    limit = 1 / exp(8.16 * cos(backsweep) / z)
    if radius_ratio <= limit:
        return sigma
    return sigma - sigma * ((radius_ratio - limit) / (1 - limit)) ** 3


def triangle(u, sigma, radial, backsweep):
    """Tangential velocity behind the wheel."""
    return u - (1 - sigma) * u - radial * tan(backsweep)


def disc_friction(u, r, mean_density, density, mu, w):
    re = density * u * r / mu
    # Below the crossing the laminar line is the higher of the two, above it the turbulent one.
    f = max(2.67 / sqrt(re), 0.0622 / re**0.2)
    return f * mean_density * r**2 * u**3 / 4 / w


def leakage(u, dp, length, clearance, z, density, w):
    velocity = 0.816 * sqrt(2 * dp / density)
    leaked = density * z * clearance * length * velocity
    return leaked / w * velocity * u / 2


def diffusion_factor(entry, leaving, work, z, diameters, k):
    span = z * (1 - diameters) / pi + 2 * diameters
    return 1 - leaving / entry + k * work * leaving / (entry * span)


def wheel_friction(velocity, length, diameter, rho, mu):
    coefficient = 0.0412 * (mu / (rho * velocity * diameter)) ** 0.1925
    return 4 * coefficient * length / diameter * velocity**2 / 2


def clearance_loss(clearance, width, shape, z, densities, swirl, axial):
    root = sqrt(4 * pi / (width * z) * (shape / (1 + densities)) * (axial / swirl))
    return 0.6 * clearance / width * swirl**2 * root


def choking_loss(share, relative):
    x = max(0, 11 - 10 / share)
    return (0.05 * x + x**7) / 2 * relative**2 / 2


def lagrange(at, points):
    """The parabola through three points."""
    (a, fa), (b, fb), (c, fc) = points
    return (fa * (at - b) * (at - c) / ((a - b) * (a - c)) + fb * (at - a) * (at - c) / ((b - a) * (b - c))
            + fc * (at - a) * (at - b) / ((c - a) * (c - b)))


def reverse_flow_angle(width_ratio, mach):
    chart = {0.05: (80.8, 78.6, 73.9), 0.1: (76.7, 73.3, 67.2), 0.2: (73.9, 70.6, 60)}
    lines = [(log(b), lagrange(mach, list(zip((0, 0.8, 1.6), angles)))) for b, angles in chart.items()]
    return radians(lagrange(log(width_ratio), lines))


def matched_vane_throat(throat, radii, mach):
    """Choke flows per area in units of rho_01 a_01: the inducer's in its turning frame, the vanes' behind the wheel."""
    inducer = (1 + (radii * mach) ** 2 / 5) ** 3 / 1.2**3
    hot = 1 + 0.3 * mach**2
    vanes = (1 + 0.88 * (hot - 1)) ** 3.5 / sqrt(hot) / 1.2**3
    return throat * inducer / vanes


def psi(ratio, gamma):
    """Flow parameter of a nozzle: W sqrt(R T)/(A p)."""
    return nozzle(1, 1, 1, ratio, gamma, 1)


def head_ratio(head, mach, gamma):
    """Total temperature of the turning gas at the rim, then the isentrope."""
    return (1 + head * (gamma - 1) / 2 * mach**2) ** (1 / (1 - 1 / gamma))


def choked_area(area, head, exponent, ratio, nu, gamma):
    mach = nu * sqrt(2 / (gamma - 1) * (1 - ratio ** (1 / gamma - 1)))  # U = nu C0 over the speed of sound
    share = sqrt(1 - (head_ratio(head, mach, gamma) / ratio) ** exponent)
    return area * psi(ratio, gamma) / (psi(20, gamma) * share)


def critical_share(ratio, gamma):
    """Square of the ideal velocity over that of the critical speed of sound."""
    return (gamma + 1) / (gamma - 1) * (1 - ratio ** (1 / gamma - 1))


def pulses(ratio, swing, gamma):
    """Eight midpoints of half a period; the other half holds the same pressures."""
    def power(p):
        return psi(p, gamma) * p * (1 - p ** (1 / gamma - 1)) if p > 1 else 0
    phases = [radians(180 * (i + 0.5) / 8 - 90) for i in range(8)]
    return sum(power(ratio * (1 + swing * sin(phase))) for phase in phases) / 8 / power(ratio)


HAND = {
    "gas::gas_constant": lambda g: RU / (AIR / 1000),
    "gas::density": lambda g, p, t: p * (AIR / 1000) / (RU * t),
    "gas::static_temperature_at_mach": lambda g, t, mach: t / (1 + 0.2 * mach**2),
    "gas::static_pressure": lambda g, p, total, t: p * (t / total) ** 3.5,
    "gas::total_pressure": lambda g, p, t, total: p * (total / t) ** 3.5,
    "gas::humidity_ratio": lambda x: x * WATER / ((1 - x) * AIR),
    "gas::vapour_fraction_from_ratio": lambda w: w / WATER / (w / WATER + 1 / AIR),
    "gas::oxygen_lost": lambda x: 1 - (OXYGEN * (1 - x)) / OXYGEN,
    "gas::rich_carbon_dioxide": rich_carbon_dioxide,
    "gas::viscosity": lambda t: 1.458e-6 * t * sqrt(t) / (t + 110.4),
    "gas::ideal_density_error": lambda p, t: virial(t) * p / (RU * t),
    "gas::ideal_heat_capacity_error": heat_capacity_error,
    "fuel::stoichiometric_air_fuel_ratio": lambda wc, wh, wo: oxygen_need(wc, wh, wo) / OXYGEN * AIR,
    "fuel::blend_density": lambda v, a, b: b + v * (a - b),
    "fuel::blend_mass_fraction": mass_share,
    "fuel::blend_air_fuel_ratio": lambda v, a, b, ra, rb: (v * a * ra + (1 - v) * b * rb) / (v * a + (1 - v) * b),
    "fuel::blend_heating_value": lambda v, a, b, qa, qb: (v * a * qa + (1 - v) * b * qb) / (v * a + (1 - v) * b),
    "fuel::blend_volume_fraction": lambda w, a, b: w * b / (w * b + (1 - w) * a),
    "fuel::carbon_fraction": lambda *n: atoms(*n)[0],
    "fuel::hydrogen_fraction": lambda *n: atoms(*n)[1],
    "fuel::oxygen_fraction": lambda *n: atoms(*n)[2],
    "fuel::blend_element": lambda w, a, b: b + w * (a - b),
    "fuel::density_at_temperature": lambda rho, beta, t: rho - rho * beta * (t - 288.15),
    "fuel::blend_mole_fraction": lambda w, a, b: w * b / (w * b + (1 - w) * a),
    "fuel::blend_molar_mass": lambda w, a, b: a * b / (w * b + (1 - w) * a),
    "fuel::blend_octane": lambda x, a, b: b + x * (a - b),
    "fuel::charge_cooling": lambda q, s, lam, afr, air, fuel: s * q / (lam * afr * air + fuel),
    "fuel::volume_for_energy": lambda q, rho, q0, rho0: (1 / (q * rho)) / (1 / (q0 * rho0)),
    "site::density_altitude": density_altitude,
    "site::correction_j1349": lambda p, t: 1.18 * (99 / (p / 1000)) * sqrt(t / 298) - 0.18,
    "site::correction_iso1585": lambda p, t: exp(1.2 * log(99e3 / p) + 0.6 * log(t / 298)),
    "engine::swept_volume": lambda bore, stroke: pi * (bore / 2) ** 2 * stroke,
    "engine::displacement": lambda n, v: n * v,
    "engine::mean_piston_speed": lambda stroke, omega: 2 * stroke * omega / (2 * pi),
    "engine::air_flow": lambda g, p, t, eta, v, omega: eta * v * omega / (2 * pi) / 2 * p / (RU / (AIR / 1000) * t),
    "engine::manifold_pressure": lambda g, w, t, eta, v, omega: (
        w * RU / (AIR / 1000) * t / (eta * v * omega / (2 * pi) / 2)),
    "engine::indicated_efficiency": lambda rc, k, lam: (1 - 1 / rc**0.35) * k * min(1, lam),
    "engine::mean_effective_pressure": lambda power, v, omega: power / (v * omega / (2 * pi) / 2),
    "engine::friction_pressure": friction,
    "engine::crank_power": lambda power, eta: power / eta,
    "engine::torque": lambda power, omega: power / omega,
    "engine::pumping_pressure": lambda exhaust, manifold: exhaust - manifold,
    "engine::indicated_power": lambda power, b, f, p: power + power * f / b + power * p / b,
    "engine::specific_consumption": lambda fuel, power: fuel / power,
    "engine::exhaust_flow": lambda air, fuel: air + fuel,
    "engine::air_for_power": lambda power, eta, q, lam, afr: power / eta / q * lam * afr,
    "engine::fuel_for_air": lambda air, lam, afr: air / lam / afr,
    "engine::moist_air_flow": lambda dry, w: dry + w * dry,
    "engine::dry_air_flow": lambda moist, w: moist - moist * w / (1 + w),
    "engine::breathing_against": lambda eta, rc, p3, pm: eta * (rc / (rc - 1) - exp(log(p3 / pm) / 1.3) / (rc - 1)),
    "engine::brake_pressure": lambda imep, pmep, sp, bore: bisect(
        lambda b: b + friction(sp, b, bore) + pmep - imep, -2e6, 1e7),
    "engine::power_of_pressure": lambda mep, v, omega: mep * v * (omega / (2 * pi) / 2),
    "engine::power_of_fuel": lambda fuel, q, eta: fuel * eta * q,
    "charge::delivered_pressure": lambda p, ratio, loss, theta: theta * p * ratio - theta * loss,
    "shaft::power_to_drive": lambda compressor, bearings: compressor + bearings,
    "shaft::engine_acceleration": lambda m, eta, i, r, mass, delta, f: (
        (m * eta * i / r / mass - f * G0) / delta * i / r),
    "engine::exhaust_heat": lambda q, b, w, u, air, a: (q - q * b - q * w - q * u + air) / (1 + a),
    "engine::air_per_fuel": lambda lam, afr, w: lam * afr + lam * afr * w,
    "engine::piston_share": lambda eta, p, v, omega, fuel, q: eta - p * v * (omega / (2 * pi) / 2) / fuel / q,
    "engine::wall_share": lambda q, i, u, air, a, heat: (q - q * i - q * u + air - heat - heat * a) / q,
    "engine::wall_share_at_flow": lambda w, known, fuel: w * exp(0.2 * log(known / fuel)),
    "turbine::divided_efficiency": lambda eta, k: eta - eta * k,
    "turbine::pulsed_power": lambda p, f, k: p + p * k * f - p * k,
    "turbine::still_power": lambda p, f, k: p / (1 - k + k * f),
    "shaft::mean_pressure_margin": lambda limit, p: (limit - p) / p,
    "shaft::restrictor_margin": lambda choke, w: (choke - w) / w,
    "shaft::temperature_margin": lambda limit, t: (limit - t) / t,
    "shaft::exhaust_pressure_margin": lambda r, p3, pm: r / (p3 / pm) - 1,
    "engine::pipe_outlet_temperature": lambda t1, wall, h, w, heat: wall + (t1 - wall) / exp(h / w / heat),
    "engine::pipe_inlet_temperature": lambda t2, wall, h, w, heat: wall + (t2 - wall) * exp(h / w / heat),
    "engine::exhaust_of_fuel": lambda fuel, a: fuel + fuel * a,
    "engine::pipe_conductance": lambda w, d, l, mu, heat, out: 1 / (
        1 / (0.07 * (w * d / (pi / 4 * d**2) / mu) ** 0.75 * mu * heat / 0.7 * pi * l) + 1 / (out * pi * d * l)),
    "compressor::heated_outlet": lambda cold, hot, k, w, heat: hot - (hot - cold) / exp(k / w / heat),
    "compressor::unheated_outlet": lambda out, hot, k, w, heat: hot - (hot - out) * exp(k / w / heat),
    "engine::ignition_efficiency": lambda a: 1 - 3.217 * (degrees(a) / 100) ** 2 - 4.722 * (degrees(a) / 100) ** 3,
    "engine::retard_share": lambda a, each: each * degrees(a) / 10,
    "engine::retarded_brake_share": lambda b, indicated, eta: b - indicated + indicated * eta,
    "charge::required_pressure_ratio": lambda pm, cooler, p0, filt: (pm + cooler) / (p0 - filt),
    "charge::inlet_pressure": lambda p0, loss: p0 - loss,
    "charge::inlet_temperature": lambda t0, heating: t0 + heating,
    "charge::compression_asked": lambda ratio: max(1, ratio),
    "charge::boost": lambda pm, p0: pm - p0,
    "charge::loss_at_flow": lambda loss, w, ref: loss * w**2 / ref**2,
    "charge::cooled_temperature": lambda hot, cold, eps: (1 - eps) * hot + eps * cold,
    "charge::cooler_density_ratio": lambda p, loss, hot, cold: (p - loss) / p * hot / cold,
    "charge::choked_throat_flow": lambda cd, d, p, t, gamma, r: nozzle(cd * pi * (d / 2) ** 2, p, t, 20, gamma, r),
    "compressor::corrected_mass_flow": lambda w, t, p, t_ref, p_ref: w * corrected(t, t_ref) * p_ref / p,
    "compressor::mass_flow_from_corrected": lambda w, t, p, t_ref, p_ref: w * corrected(t_ref, t) * p / p_ref,
    "compressor::corrected_speed": lambda n, t, t_ref: n * corrected(t_ref, t),
    "compressor::shaft_speed_from_corrected": lambda n, t, t_ref: n * corrected(t, t_ref),
    "compressor::outlet_temperature_constant_gamma": lambda t, ratio, eta, gamma: (
        t + t * (exp((1 - 1 / gamma) * log(ratio)) - 1) / eta),
    "compressor::density_ratio": lambda ratio, t1, t2: ratio / (t2 / t1),
    "compressor::trim": lambda inducer, exducer: 100 * (inducer / exducer) ** 2,
    "compressor::corrected_speed_at_tip_speed": lambda u, d: 2 * u / d,
    "compressor::similar_flow": lambda w, a, b: w * (b / a) ** 2,
    "compressor::similar_speed": lambda n, a, b: n * a / b,
    "compressor::trimmed_flow": lambda w, a, b, n: w * ((b / a) ** 2) ** n,
    "compressor::inducer_area": lambda tip, hub: pi * ((tip / 2) ** 2 - (hub / 2) ** 2),
    "compressor::hub_diameter": lambda tip, share: share * tip,
    "compressor::throat_from_share": lambda area, share: share * area,
    "compressor::mean_inducer_angle": mean_inducer_angle,
    "compressor::throat_area": lambda area, angle: 0.9 * area / sqrt(1 + tan(angle) ** 2),
    "compressor::slip_factor": slip_factor,
    "compressor::blade_work": lambda u, sigma, radial, angle: u * triangle(u, sigma, radial, angle),
    "compressor::disc_friction": disc_friction,
    "compressor::blade_pressure": lambda w, r, swirl, z, mean_radius, height, length: (
        w * swirl * r / mean_radius / (z * height * length)),  # torque over mean radius and area
    "compressor::leakage": leakage,
    "compressor::incidence_loss": lambda u, axial, angle: 0.3 * (axial * (u / axial - tan(angle))) ** 2,
    "compressor::diffusion_factor": diffusion_factor,
    "compressor::loading_loss": lambda df, u: 0.05 * df**2 * u**2,
    "compressor::friction_loss": wheel_friction,
    "compressor::clearance_loss": clearance_loss,
    "compressor::mixing_loss": lambda radial, b: (1 - b / (1 - 0.366)) ** 2 * radial**2 / 2,
    "compressor::choking_loss": choking_loss,
    "compressor::mach_loss": lambda phi, mach, work: (0.05 + 3 * phi * max(0, mach - 0.8)) * phi * max(0, mach - 0.8) * work,
    "compressor::volute_loss": lambda radial, swirl: radial**2 / 2 + 0.2 * swirl**2 / 2,
    "compressor::diffuser_friction": lambda rho, c, b, mu: 0.01 * exp(0.2 * log(1.8e5 * mu / (rho * c * 2 * b))),
    "compressor::reverse_flow_angle": reverse_flow_angle,
    "compressor::vane_throat_area": lambda r, b, angle: 1.1 * 2 * pi * r * b / sqrt(1 + tan(angle) ** 2),
    "compressor::vane_inlet_angle": lambda r, b, area: pi / 2 - asin(area / (1.1 * 2 * pi * r * b)),
    "compressor::matched_vane_throat": matched_vane_throat,
    "compressor::vane_incidence_loss": lambda radial, swirl, angle: (
        (hypot(radial, swirl) * sin(atan(swirl / radial) - angle)) ** 2 / 2),
    "compressor::vane_channel_loss": lambda c, part, area: (
        c**2 / 2 * ((1 - area**-2) - part * (1 - area**-2))),  # ideal recovery less the real one
    "compressor::inducer_blade_speed": lambda tip, hub, omega: omega * hypot(tip / 2, hub / 2) / sqrt(2),
    "compressor::shaft_speed_for_tip_speed": lambda u, d: u / (d / 2),
    "compressor::tip_speed": lambda d, omega: omega * d / 2,
    "compressor::inducer_choke_flow": choke,
    "compressor::surge_margin": lambda ws, ps, w, p: (ps / ws) / (p / w) - 1,
    "compressor::choke_margin": lambda choke_flow, w: choke_flow / w - 1,
    "turbine::expansion_ratio_constant_gamma": lambda t, w, eta, heat, gamma: exp(
        log(1 - w / (eta * heat * t)) / (1 / gamma - 1)),
    "turbine::outlet_temperature_constant_gamma": lambda t, ratio, eta, gamma: (
        t - eta * t * (1 - exp((1 / gamma - 1) * log(ratio)))),
    "turbine::effective_area": effective_area,
    "turbine::nozzle_flow": nozzle,
    "turbine::square_root_flow": lambda area, k, p, t, ratio, r: area * p * sqrt((1 - exp(-k * log(ratio))) / (r * t)),
    "turbine::blade_speed": lambda omega, r: omega * r,
    "turbine::blade_mach": lambda u, t, gamma, r: u / sqrt(gamma * r * t),
    "turbine::zero_flow_ratio": head_ratio,
    "turbine::choked_area": choked_area,
    "turbine::choked_flow": lambda area, p, t, gamma, r: nozzle(area, p, t, 20, gamma, r),
    "turbine::swallowing_flow": lambda w, n, ratio, zero: w * sqrt(1 - exp(n * log(zero / ratio))),
    "turbine::blade_speed_ratio": lambda u, ideal: u / ideal,
    "turbine::efficiency_parabola": lambda peak, bend, best, nu: peak - peak * bend * (best - nu) ** 2,
    "turbine::efficiency_power": lambda peak, e, best, nu: peak - peak * exp(e * log(abs(best - nu) / best)),
    "turbine::wheel_reynolds": lambda w, mu, r: w / r / mu,
    "turbine::reynolds_efficiency": lambda eta, ref, re: 1 - (1 - eta) * exp(0.237 * log(ref / re)),
    "turbine::clearance_efficiency": lambda eta, k, ref, eps: eta - eta * k * (eps - ref),
    "turbine::heat_share": lambda power, heat: 1 / (1 + heat / power),
    "turbine::journal_friction": lambda mu, d, width, gap, n: n * (mu * (d / 2) / gap) * (pi * d * width) * (d / 2),
    "turbine::rolling_friction": lambda k, saved: k - k * saved,
    "turbine::bearing_power": lambda k, omega: (k * omega) * omega,
    "turbine::scaled_inertia": lambda j, ref, d: j * (d / ref) ** 3 * (d / ref) ** 2,
    "turbine::admission_asymmetry": lambda w1, w2, a1, a2: abs(w1 * a2 - w2 * a1) / (w1 * a2 + w2 * a1),
    "turbine::partial_admission": lambda eta, loss, a: eta - eta * loss * a,
    "turbine::pulse_factor": pulses,
    "turbine::orifice_flow": lambda cd, d, p, t, ratio, gamma, r: nozzle(cd * pi * (d / 2) ** 2, p, t, ratio, gamma, r),
    "turbine::orifice_bore": lambda w, cd, p, t, ratio, gamma, r: bisect(
        lambda d: nozzle(cd * pi * (d / 2) ** 2, p, t, ratio, gamma, r) - w, 0, 1),
    "turbine::recirculated_flow": lambda compressor, engine: compressor - engine,
    "turbine::boosted_pressure": lambda p0, boost: boost + p0,
    "turbine::test_gas_factor": lambda gamma, r, test, rt: nozzle(1, 1, 1, 20, gamma, r) / nozzle(1, 1, 1, 20, test, rt),
    "turbine::equivalent_expansion": lambda ratio, gamma, test: bisect(
        lambda e: critical_share(e, test) - critical_share(ratio, gamma), 1, 100),
    "turbine::equivalent_speed": lambda n, t, gamma, r, ref, test, rt: (
        n / sqrt(2 * gamma / (gamma + 1) * r * t) * sqrt(2 * test / (test + 1) * rt * ref)),
    "turbine::flow_from_equivalent": lambda w, k, p, t, ref, t_ref: w * k * p / ref / sqrt(t / t_ref),
    "turbine::outlet_pressure": lambda p0, loss: p0 + loss,
    "turbine::inlet_pressure": lambda p4, ratio: p4 * ratio,
    "turbine::power": lambda w, work: w * work,
    "turbine::work_asked": lambda power, w: power / w,
    "turbine::wastegate_share": lambda turbine, exhaust: (exhaust - turbine) / exhaust,
    "turbine::wheel_radius": lambda d: d / 2,
    "turbine::wheel_width": lambda d, share: share * d,
    "turbine::wheel_exit": lambda r, share: share * pi * r**2,
    "supply::injector_flow": lambda q, rho_t, dp_t, dp, rho: q * rho_t * sqrt(dp * rho / (dp_t * rho_t)),
    "supply::all_injectors": lambda n, w: n * w,
    "supply::injector_duty": lambda fuel, all_open: fuel / all_open,
    "shaft::torque_margin": lambda limit, torque: limit / torque - 1,
    "shaft::boost_margin": lambda boost, p0, pm: (boost + p0) / pm - 1,
    "shaft::speed_margin": lambda limit, n: limit / max(1, n) - 1,
    "shaft::duty_margin": lambda limit, duty: limit / duty - 1,
    "shaft::expansion_margin": lambda limit, ratio: limit / ratio - 1,
    "shaft::inducer_choke_margin": lambda choke_flow, w: choke_flow / w - 1,
    "shaft::middle_speed": lambda a, b: (a + b) / 2,
}


def recomputed(row, gases={}):
    """The value of a row, or nothing where it is published."""
    if row["kind"] == "published":
        return None
    if row["kind"] == "by hand":
        method = HAND[row["formula"]]
    else:
        key = row["source"].split("[")[1].split("]")[0]
        method = LIBRARY[key][row["formula"]]
    inputs = [float(value) for value in row["inputs"].split(";") if value]
    if row["gas"]:
        inputs.insert(0, gases.setdefault(row["gas"], Gas(row["gas"])))
    return method(*inputs)


def main():
    wrong = 0
    for row in csv.DictReader((HERE / "formula-checks.csv").read_text().splitlines()):
        value = recomputed(row)
        if value is None:
            continue
        error = value / float(row["expected"]) - 1
        good = abs(error) <= min(float(row["tolerance"]), 1e-8)
        wrong += not good
        print(f"{'ok ' if good else 'BAD'} {row['formula']} {row['inputs']}: {row['expected']}, recomputed {value:.10g}")
    print(f"{wrong} rows differ")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
