//! From fuel to work: cycles counted, and their pressure integrated.

use super::engine::{disc, piston};
use super::matter::{AIR, OXYGEN, molar_mass};
use super::numeric::{march, simpson};
use super::reference::{Worst, plain};
use shaftwork::engine as e;
use shaftwork::prelude::*;
use std::f64::consts::{PI, TAU};

// One firing at a time: it has to indicate its share of the power, so the fuel in the cylinder carries that over
// the efficiency; its molecules of C H O need x + y/4 - z/2 of oxygen, lambda times that is in the charge, and air
// goes with it in moles. Firings in a second give the flows. The formula is handed heating value and ratio per
// mass, computed here. Nothing but rounding is different: 1e-12.
#[test]
fn air_and_fuel_by_one_firing() {
    let [mut airs, mut fuels, mut moists] = [(); 3].map(|()| Worst::new());
    for (power, turns, cylinders, efficiency, lambda) in [
        (300e3, 6700.0, 4.0, 0.33, 0.85),
        (60e3, 3000.0, 3.0, 0.37, 1.0),
        (1e3, 900.0, 4.0, 0.15, 1.6),
        (700e3, 8000.0, 8.0, 0.30, 0.6),
    ] {
        for (x, y, z, joules) in
            [(8.0, 18.0, 0.0, 5.065e6), (2.0, 6.0, 1.0, 1.235e6), (1.0, 4.0, 1.0, 0.638e6)]
        {
            let mass = molar_mass(&[('C', x), ('H', y), ('O', z)]);
            let needed = x + y / 4.0 - z / 2.0;

            let firings = cylinders * turns / 2.0 / 60.0;
            let moles = power / firings / efficiency / joules;
            let air = firings * lambda * needed * moles / OXYGEN * AIR;
            let fuel = firings * moles * mass;

            let (lambda, ratio) = (plain(lambda), plain(needed / OXYGEN * AIR / mass));
            let found =
                e::air_for_power(watt(power), plain(efficiency), j_per_kg(joules / mass), lambda, ratio);
            let found = found.unwrap();
            airs.see(found.si() / air - 1.0, power);
            fuels.see(e::fuel_for_air(kg_per_s(air), lambda, ratio).unwrap().si() / fuel - 1.0, power);
            // Water comes with the air: so many grams with each kilogram.
            for grams in [0.0, 8.0, 150.0] {
                let moist = e::moist_air_flow(kg_per_s(air), plain(grams * 1e-3)).unwrap();
                moists.see(moist.si() / (air + air / 1000.0 * grams) - 1.0, grams);
            }
        }
    }
    airs.holds("engine::air_for_power", 1e-12);
    fuels.holds("engine::fuel_for_air", 1e-12);
    moists.holds("engine::moist_air_flow", 1e-12);
}

// Work of a cycle as the integral of p dV: with one pressure on the piston while it goes down in power and another
// over the rest of the four strokes, the mean effective pressure is their difference whatever the engine. The
// torque on the crank, gas force times lever, is integrated over the 720 degrees and its mean gives the power.
// Tolerance 1e-6: lever by differences over 2e-5 of a radian, pi by a polygon.
#[test]
fn mean_effective_pressure_and_torque_from_an_indicator_diagram() {
    let [mut pressures, mut torques] = [(); 2].map(|()| Worst::new());
    for (cylinders, bore, stroke, turns, high, low) in [
        (4_u32, 0.084, 0.084, 6700.0, 25e5, 1e5),
        (1, 0.052, 0.049, 11_000.0, 12e5, 1e5),
        (6, 0.09, 0.12, 1500.0, 40e5, 2e5),
        (3, 0.07, 0.07, 900.0, 2e5, 1.2e5),
    ] {
        let step = 1e-5;
        let lever = |angle: f64| (piston(stroke, angle + step) - piston(stroke, angle - step)) / (2.0 * step);
        let torque = |pressure: f64| move |angle: f64| pressure * disc(bore) * lever(angle);
        let stroke_of = |number: f64| [number * PI, (number + 1.0) * PI];
        let work = simpson(torque(high), stroke_of(0.0), 100)
            + (1..4).map(|n| simpson(torque(low), stroke_of(f64::from(n)), 100)).sum::<f64>();
        let mean_torque = f64::from(cylinders) * work / (2.0 * TAU);
        let power = f64::from(cylinders) * work * turns / 2.0 / 60.0;

        let engine = Engine::four_stroke(cylinders, m(bore), m(stroke), plain(9.2)).unwrap();
        let (displacement, speed) = (engine.displacement().unwrap(), rpm(turns));
        let found = e::mean_effective_pressure(watt(power), displacement, speed).unwrap();
        pressures.see(found.si() / (high - low) - 1.0, turns);

        let running = e::Running::new(plain(0.9), kpa_diff(20.0));
        let target = Target::crank(watt(power), speed);
        let demand = air_demand(&engine, &Fuel::gasoline().unwrap(), running, target).unwrap();
        torques.see(demand.torque.si() / mean_torque - 1.0, turns);
        pressures.see(demand.brake_pressure.si() / (high - low) - 1.0, turns);
    }
    pressures.holds("engine::mean_effective_pressure", 1e-6);
    torques.holds("torque of engine::air_demand", 1e-6);
}

// The ideal cycle stroke by stroke: compression and expansion without heat, dT/T = -(gamma - 1) dV/V, marched in
// the volume together with the work p dV; heat in and out at constant volume (Otto cycle, any textbook). Efficiency
// is the work of both strokes over the heat brought in. Rich, the oxygen burns lambda kilograms of each kilogram
// supplied. The effective gamma of 1.35 is the formula's own definition. Tolerance 1e-7 for the march.
#[test]
fn indicated_efficiency_by_marching_the_cycle() {
    let mut worst = Worst::new();
    let gamma = 1.35;
    for (compression, share, lambda) in
        [(6.0, 0.9, 1.0), (9.2, 0.677, 0.85), (10.8, 0.65, 1.3), (16.0, 0.4, 0.7), (12.5, 0.7, 0.999)]
    {
        // One mole-like unit of gas: p V = T, heat capacity at constant volume 1/(gamma - 1).
        let stroke = |t: f64, from: f64, to: f64| {
            let slope = |v: f64, [t, _]: [f64; 2]| [-(gamma - 1.0) * t / v, t / v];
            march(slope, [from, to], [t, 0.0], 400)
        };
        let supplied = 2000.0;
        let burned = if lambda < 1.0 { lambda * supplied } else { supplied };
        let [hot, taken] = stroke(300.0, compression, 1.0);
        let [_, given] = stroke(hot + burned * (gamma - 1.0), 1.0, compression);
        let efficiency = share * (given + taken) / supplied;
        let found = e::indicated_efficiency(plain(compression), fraction(share), plain(lambda)).unwrap();
        worst.see(found.si() / efficiency - 1.0, format!("{compression}, lambda {lambda}"));
    }
    worst.holds("engine::indicated_efficiency", 1e-7);
}
