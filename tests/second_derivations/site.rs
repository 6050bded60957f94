//! The standard atmosphere by the weight of its air.

use super::matter::{AIR, MOLAR};
use super::numeric::{bisect, march, simpson};
use super::reference::Worst;
use shaftwork::prelude::*;
use shaftwork::site as s;

/// Standard gravity in m/s2, by definition.
const G: f64 = 9.806_65;
/// Mean radius of the Earth in m; the standard takes 6 356 766 m, which moves the pressure by 1e-6 at 5 km.
const EARTH: f64 = 6_371_000.0;
/// The standard's fall of temperature, for each metre that standard gravity would make of the work of climbing.
const LAPSE: f64 = 0.0065;

/// Specific gas constant of air from CIPM-2007.
fn r() -> f64 {
    MOLAR / AIR
}

/// Climbs from sea level: ln p and T after dp/dz = -rho g(z), rho = p/(R T), with gravity that falls with the square
/// of the distance from the Earth's centre.
fn climb(pressure: f64, temperature: f64, height: f64) -> [f64; 2] {
    let slope = |z: f64, [_, t]: [f64; 2]| {
        let g = G * (EARTH / (EARTH + z)).powi(2);
        [-g / (r() * t), -LAPSE * g / G]
    };
    march(slope, [0.0, height], [pressure.ln(), temperature], 500)
}

// The hydrostatic equation marched upwards: a layer of air weighs rho g dz (Pascal). Neither the closed power nor
// the geopotential altitude is used. Tolerance 3e-5: the gas constant here is 287.047 against 287.05287 of ISO
// 2533, 1.9e-5 apart, times an exponent's change of up to 0.63 at 5 km; radius and march add 1e-6.
#[test]
fn standard_pressure_and_temperature_by_the_weight_of_air() {
    let [mut pressures, mut temperatures] = [(); 2].map(|()| Worst::new());
    for height in [-500.0, 0.0, 300.0, 1150.0, 2500.0, 5000.0] {
        let [ln_p, t] = climb(101_325.0, 288.15, height);
        let found = s::standard_pressure(m(height)).unwrap();
        pressures.see(found.si() / ln_p.exp() - 1.0, height);
        temperatures.see(s::standard_temperature(m(height)).unwrap().si() / t - 1.0, height);
    }
    pressures.holds("site::standard_pressure", 3e-5);
    temperatures.holds("site::standard_temperature", 1e-6);
}

// The work of climbing against gravity, g(z) dz summed up, in metres of standard gravity (definition of geopotential).
// Tolerance 0.02 m: the two radii of the Earth are 0.009 m apart at 5 km.
#[test]
fn geopotential_altitude_by_the_work_of_climbing() {
    let mut worst = Worst::new();
    for height in [-500.0, 0.0, 1150.0, 5000.0] {
        let climbed = simpson(|z| (EARTH / (EARTH + z)).powi(2), [0.0, height], 50);
        worst.see(s::geopotential_altitude(m(height)).unwrap().si() - climbed, height);
    }
    worst.holds("site::geopotential_altitude, metres", 0.02);
}

// An altimeter set to the reading: find in the standard atmosphere the state whose pressure is the reading, by
// marching from sea level in pressure (dz = -dp/(rho g)), and climb from there. Tolerance as above.
#[test]
fn station_pressure_by_climbing_from_the_reading() {
    let mut worst = Worst::new();
    for (reading, height) in [
        (101_325.0, 1150.0),
        (98_000.0, 0.0),
        (98_000.0, 1150.0),
        (103_800.0, 2200.0),
        (90_000.0, 5000.0),
        (110_000.0, -500.0),
    ] {
        let slope = |_, [t]: [f64; 1]| [LAPSE * r() * t / G];
        let [t] = march(slope, [101_325_f64.ln(), f64::ln(reading)], [288.15], 100);
        let [ln_p, _] = climb(reading, t, height);
        let found = s::station_pressure(pa_sea_level(reading), m(height)).unwrap();
        worst.see(found.si() / ln_p.exp() - 1.0, format!("{reading} Pa, {height} m"));
    }
    worst.holds("site::station_pressure", 3e-5);
}

// Climb until the air is as thin as asked: density is p/(R T) along the march under standard gravity, the altitude
// found by halving. Tolerance 0.5 m: the gas constants, 1.9e-5 of 1.225 kg/m3, are 0.2 m of altitude.
#[test]
fn density_altitude_by_climbing_until_the_air_is_thin() {
    let mut worst = Worst::new();
    for density in [0.65, 0.8, 0.95, 1.1116, 1.225, 1.4] {
        let at = |height: f64| {
            let slope = |_, [_, t]: [f64; 2]| [-G / (r() * t), -LAPSE];
            let [ln_p, t] = march(slope, [0.0, height], [101_325_f64.ln(), 288.15], 200);
            ln_p.exp() / (r() * t)
        };
        let height = bisect(|height| at(height) - density, [-3000.0, 9000.0]);
        let found = s::density_altitude(kg_per_m3(density)).unwrap();
        worst.see(found.si() - height, density);
    }
    worst.holds("site::density_altitude, metres", 0.5);
}
