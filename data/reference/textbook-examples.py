"""Recomputes every answer of textbook-examples.csv from its given rows.

    python3 textbook-examples.py

Standard library only. Exit code 1 where a value lies outside its tolerance.
"""

import csv
import pathlib
import sys
from math import atan, cos, degrees, pi, radians, sqrt


def gorla_khan(g):
    slip = 1 - g["slip_constant"] * pi / g["blade_count"]
    work = g["power_input_factor"] * slip * g["tip_speed"] ** 2
    exponent = g["gamma"] / (g["gamma"] - 1)
    t1 = g["inlet_total_temperature"]
    ratio = (1 + g["isentropic_efficiency"] * work / (g["cp"] * t1)) ** exponent
    yield "slip_factor", "1", slip
    yield "specific_work", "kJ/kg", work / 1000
    yield "total_pressure_ratio", "1", ratio
    yield "outlet_total_temperature", "K", t1 + work / g["cp"]
    yield "outlet_total_pressure", "bar", g["inlet_total_pressure"] * ratio
    yield "shaft_power", "kW", g["mass_flow"] * work / g["mechanical_efficiency"] / 1000


def turbocharger(g):
    offset = g.get("celsius_offset", 273.15)
    t1, t3 = g["compressor_inlet_temperature"], g["turbine_inlet_temperature"]
    rise = (g["compressor_outlet_pressure"] / g["compressor_inlet_pressure"]) ** (1 - 1 / g["gamma_air"])
    fall = (g["turbine_outlet_pressure"] / g["turbine_inlet_pressure"]) ** (1 - 1 / g["gamma_gas"])
    t2 = t1 * (1 + (rise - 1) / g["compressor_efficiency"])
    t4 = t3 * (1 - g["turbine_efficiency"] * (1 - fall))
    turbine = (1 + 1 / g["air_fuel_ratio"]) * g["cp_gas"] * (t3 - t4)
    share = g["cp_air"] * (t2 - t1) / turbine
    yield "compressor_outlet_temperature", "K", t2
    yield "compressor_outlet_temperature", "degC", t2 - offset
    yield "turbine_outlet_temperature", "K", t4
    yield "turbine_outlet_temperature", "degC", t4 - offset
    yield "compressor_over_turbine_power", "1", share
    yield "compressor_over_turbine_power", "%", 100 * share
    yield "mechanical_loss", "%", 100 * (1 - share)


def stone(g):
    t3 = g["turbine_inlet_temperature"] + 273.15
    drop = g["turbine_inlet_temperature"] - g["turbine_outlet_temperature"]
    fall = (g["turbine_outlet_pressure"] / g["turbine_inlet_pressure"]) ** (1 - 1 / g["gamma_gas"])
    power = g["mass_flow"] * g["cp_gas"] * drop
    raised = power * (g["raised_inlet_temperature"] + 273.15) / t3
    yield "turbine_efficiency", "1", drop / (t3 * (1 - fall))
    yield "turbine_power", "kW", power
    yield "turbine_power_raised_inlet", "kW", raised
    yield "turbine_power_gain", "kW", raised - power


def cengel(g):
    power = g["exhaust_flow"] * g["cp_gas"] * (g["turbine_inlet_temperature"] - g["turbine_outlet_temperature"])
    rise = g["mechanical_efficiency"] * power / (g["air_flow"] * g["cp_air"])
    t1 = g["compressor_inlet_temperature"] + 273.15
    ratio = g["compressor_outlet_pressure"] / g["compressor_inlet_pressure"]
    yield "compressor_outlet_temperature", "degC", g["compressor_inlet_temperature"] + rise
    yield "compressor_efficiency", "1", t1 * (ratio ** (1 - 1 / g["gamma_air"]) - 1) / rise


def power_balance(g):
    drop = 1 - g["turbine_expansion_ratio"] ** -(1 - 1 / g["gamma_gas"])
    rise = (g["overall_efficiency"] * (1 + 1 / g["air_fuel_ratio"]) * g["cp_gas"] / g["cp_air"]
            * g["turbine_inlet_total_temperature"] / g["inlet_total_temperature"] * drop)
    yield "compressor_pressure_ratio", "1", (1 + rise) ** (g["gamma_air"] / (g["gamma_air"] - 1))


def choke_parameter(gamma, gas_constant):
    return sqrt(gamma / gas_constant) * (2 / (gamma + 1)) ** ((gamma + 1) / (2 * (gamma - 1)))


def rotor_choke(g):
    gamma = g["gamma"]
    relative = 1 + (gamma - 1) / 2 * g["blade_speed_over_sound_speed"] ** 2  # T01,rel over T01
    total = g["inlet_total_pressure"] * relative ** (gamma / (gamma - 1))
    yield ("choke_flow", "kg/s", choke_parameter(gamma, g["gas_constant"]) * g["throat_area"] * total
           / sqrt(g["inlet_total_temperature"] * relative))


def choke_constant(g):
    yield "choke_flow_parameter", "sqrt(kg K/J)", choke_parameter(g["gamma"], g["gas_constant"])


def inducer_angle(g):
    mach, gamma = g["relative_mach_number"], g["gamma"]

    def flow(angle):  # proportional to mass flow at given speed of rotation
        b = radians(angle)
        mach_axial = mach * cos(b)
        rise = 1 + (gamma - 1) / 2 * mach_axial ** 2
        return mach ** 3 * (1 - cos(b) ** 2) * cos(b) / rise ** (1 / (gamma - 1) + 1.5)

    yield "relative_flow_angle", "deg", max((i / 1000 for i in range(90000)), key=flow)


def disc_stress(g):
    for speed in (400, 500, 550):
        stress = (3 + g["poisson_ratio"]) / 8 * g["density"] * speed ** 2
        yield f"centre_stress_{speed}", "MPa", stress / 1e6
    yield "thin_ring_stress_500", "MPa", g["density"] * 500 ** 2 / 1e6


def critical_ratio(g):
    yield "critical_pressure_ratio", "1", (2 / (g["gamma"] + 1)) ** (g["gamma"] / (g["gamma"] - 1))


def housing(g):
    angle = atan(2 * pi * g["wheel_inlet_width"] * g["density_ratio"] / g["area_over_radius"])
    volute = 2 * pi * g["wheel_inlet_radius"] * g["wheel_inlet_width"] * cos(angle)
    yield "flow_angle", "deg", degrees(angle)
    yield "volute_area", "mm2", volute
    yield "effective_area", "mm2", 1 / sqrt(1 / volute ** 2 + 1 / g["rotor_area"] ** 2)


def injector_pressure(g):
    yield ("new_static_flow", "cm3/min",
           g["static_flow"] * sqrt(g["new_pressure_difference"] / g["pressure_difference"]))


def injector_fuel(g):
    gasoline = g["static_flow"] * 1e-6 / 60 * g["density_gasoline"]
    root = sqrt(g["density_ethanol"] / g["density_gasoline"])
    yield "mass_flow_gasoline", "kg/s", gasoline
    yield "mass_flow_ethanol", "kg/s", gasoline * root
    yield "mass_flow_change", "%", 100 * (root - 1)
    yield "volume_flow_change", "%", 100 * (1 / root - 1)


def injector_sizing(g):
    flow = g["power"] * g["specific_fuel_consumption"] / 3.6e6  # kg/s
    rho, v = g["density_gasoline"], g["ethanol_volume_fraction"]
    rho_blend = (1 - v) * rho + v * g["density_ethanol"]
    heat = ((1 - v) * rho * g["heating_value_gasoline"] + v * g["density_ethanol"] * g["heating_value_ethanol"]) / rho_blend
    blend = flow * g["heating_value_gasoline"] / heat
    share = 1 / (g["injector_count"] * g["duty_cycle"])
    yield "fuel_mass_flow", "kg/s", flow
    yield "fuel_volume_flow", "L/h", flow / rho * 3.6e6
    yield "injector_mass_flow", "g/s", flow * share * 1000
    yield "injector_volume_flow", "cm3/min", flow * share / rho * 6e7
    yield "blend_mass_flow", "kg/s", blend
    yield "blend_injector_volume_flow", "cm3/min", blend * share / rho_blend * 6e7
    yield "blend_gasoline_rating", "cm3/min", blend * share / sqrt(rho * rho_blend) * 6e7
    yield "blend_volume_ratio", "1", blend / flow * rho / rho_blend
    yield "blend_mass_ratio", "1", blend / flow


METHODS = {
    "gorla-khan": gorla_khan, "gupta": turbocharger, "nag": turbocharger, "stone": stone,
    "cengel-boles": cengel, "power-balance": power_balance, "rotor-choke": rotor_choke,
    "choke-constant": choke_constant, "inducer-angle": inducer_angle, "disc-stress": disc_stress,
    "critical-ratio": critical_ratio, "housing": housing, "injector-pressure": injector_pressure,
    "injector-fuel": injector_fuel, "injector-sizing": injector_sizing,
}


def main():
    table = pathlib.Path(__file__).with_name("textbook-examples.csv")
    rows = list(csv.DictReader(table.read_text().splitlines()))
    wrong = 0
    for example in dict.fromkeys(r["example"] for r in rows):
        mine = [r for r in rows if r["example"] == example]
        given = {r["quantity"]: float(r["value"]) for r in mine if r["role"] == "given"}
        method = next(f for name, f in METHODS.items() if example.startswith(name))
        computed = {(quantity, unit): value for quantity, unit, value in method(given)}
        for r in mine:
            if r["role"] == "answer":
                value = computed[r["quantity"], r["unit"]]
                good = abs(value - float(r["value"])) <= float(r["tolerance"]) * (1 + 1e-9)
                wrong += not good
                print(f"{'ok ' if good else 'BAD'} {example} {r['quantity']}: {r['value']} {r['unit']}, recomputed {value:.9g}")
    print(f"{wrong} outside tolerance")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
