//! Turbines and shafts with published numbers: what goes in comes out.

#[path = "support/reference.rs"]
mod reference;

use reference::{Example, close, close_relative, plain};
use shaftwork::prelude::*;
use shaftwork::turbine as t;

// NASA TM X-2350, table of the hot loop's shaft: ideal turbine power, efficiency, power out (kW), ten rows. Row six of the
// scan reads 26.995; 26.695 is what goes with its efficiency and power.
#[test]
fn powers_of_a_measured_turbine() {
    for (ideal, efficiency, out) in [
        (21.610, 0.862, 18.639),
        (12.239, 0.850, 10.403),
        (16.023, 0.855, 13.708),
        (19.649, 0.860, 16.908),
        (23.460, 0.863, 20.258),
        (26.695, 0.867, 23.148),
        (30.717, 0.869, 26.699),
        (34.114, 0.871, 29.730),
        (36.999, 0.872, 32.289),
        (41.903, 0.872, 36.548),
    ] {
        let wheel = TurbineEfficiency::of_wheel_alone(plain(efficiency));
        let power = t::power(kg_per_s(0.3), kj_per_kg(ideal / 0.3 * wheel.overall().si())).unwrap();
        close_relative(power.kw(), out, 1e-3);
    }
}

// The same table's first row, the whole shaft: compressor 7.594/0.746, alternator 7.142/0.929, windage 0.46, bearings 0.34 kW.
// What is left over is 0.13 % of the ideal turbine power.
#[test]
fn balance_of_a_measured_shaft() {
    let (compressor, alternator, windage, bearings): (f64, f64, f64, f64) =
        (7.594 / 0.746, 7.142 / 0.929, 0.46, 0.34);
    let turbine = 21.610 * 0.862;
    close((turbine - compressor - alternator - windage - bearings) / 21.610, -0.0013, 1e-3);
    // Bearings counted apart or by a mechanical efficiency: the same power to what the shaft drives.
    let mechanical = 1.0 - bearings / turbine;
    let overall = TurbineEfficiency::of_wheel(plain(0.862), plain(mechanical)).overall();
    close_relative(overall.si() * 21.610, turbine - bearings, 1e-12);
    // 36 000 rev/min: the friction figure behind 0.34 kW gives it back.
    let speed = rpm(36_000.0);
    let friction = nms(340.0 / speed.si().powi(2));
    close(t::bearing_power(friction, speed).unwrap().kw(), 0.34, 1e-12);
}

// Cengel and Boles, problem 7-214 (statement second-hand; both sets of properties in the table): turbine to compressor.
#[test]
fn a_textbook_turbocharger_from_turbine_to_compressor() {
    for name in ["cengel-boles-7-214", "cengel-boles-7-214-air-tables"] {
        let example = Example::named(name);
        let given = |quantity| example.given(quantity);
        let drop = deg_c(given("turbine_inlet_temperature")) - deg_c(given("turbine_outlet_temperature"));
        let power = t::power(kg_per_s(given("exhaust_flow")), kj_per_kg_k(given("cp_gas")) * drop).unwrap();
        let taken = power * given("mechanical_efficiency");
        let each = taken / kg_per_s(given("air_flow"));
        let rise = each.si() / kj_per_kg_k(given("cp_air")).si();
        example.answers(
            "compressor_outlet_temperature",
            "degC",
            given("compressor_inlet_temperature") + rise,
        );
        let inlet = deg_c(given("compressor_inlet_temperature"));
        let pi = given("compressor_outlet_pressure") / given("compressor_inlet_pressure");
        let ideal = shaftwork::compressor::outlet_temperature_constant_gamma(
            inlet,
            plain(pi),
            plain(1.0),
            plain(given("gamma_air")),
        );
        example.answers("compressor_efficiency", "1", (ideal.unwrap() - inlet).si() / rise);
    }
}

// Dixon and Hall, example 8.2 (second-hand): PR 1.5, W sqrt(T)/p 1.44e-5, N/sqrt(T) 2410, torque/p 4.59e-6 of a 72.5 mm
// wheel; overall efficiency 0.7317. Air with gamma 1.4, cp 1005.
#[test]
fn dixon_efficiency_from_torque() {
    let (t01, p01): (f64, f64) = (600.0, 400e3);
    let speed = rpm(2410.0 * t01.sqrt());
    let flow = kg_per_s(1.44e-5 * p01 / t01.sqrt());
    let out = t::outlet_temperature_constant_gamma(kelvin(t01), plain(1.5), plain(1.0), plain(1.4)).unwrap();
    let ideal = flow * (j_per_kg_k(1005.0) * (kelvin(t01) - out));
    let shaft = speed * nm(4.59e-6 * p01);
    close_relative(shaft / ideal, 0.7317, 1e-3);
    // Its blade speed ratio, by the same figures.
    let blade = t::blade_speed(speed, mm(72.5 / 2.0)).unwrap();
    let velocity = m_per_s((2.0 * (ideal / flow).si()).sqrt());
    close(t::blade_speed_ratio(blade, velocity).unwrap().si(), 0.617, 0.001);
}

// Gorla and Khan, example 7.11 (second-hand): radial inflow without exit swirl, work U^2: 1145 K, 310 to 100 kPa, 0.90, cp
// 1147, so 539.45 m/s.
#[test]
fn gorla_khan_blade_speed() {
    let gamma = 1.0 / (1.0 - 0.2498);
    let out =
        t::outlet_temperature_constant_gamma(kelvin(1145.0), plain(3.1), plain(0.9), plain(gamma)).unwrap();
    let work = 1147.0 * (1145.0 - out.kelvin());
    close(work.sqrt(), 539.45, 0.1);
}

// Arasu, example 6.2 (second-hand): 557 K, PR 4, 6.5 kg/s, 18 000 rev/min, 0.42 m: 1018.4 kW, 85.58 %. Its wheel is larger than
// the formula of blade speed accepts, so half of it at twice the speed.
#[test]
fn arasu_power_and_efficiency() {
    let blade = t::blade_speed(rpm(36_000.0), mm(105.0 - 5.0)).unwrap() * (105.0 / 100.0);
    let work = blade * blade;
    close_relative((kg_per_s(6.5) * work).kw(), 1018.4, 2e-4);
    let out =
        t::outlet_temperature_constant_gamma(kelvin(557.0), plain(4.0), plain(1.0), plain(1.4)).unwrap();
    close(work.si() / (1005.0 * (557.0 - out.kelvin())), 0.8558, 3e-4);
}
