//! The air an engine draws, cylinder by cylinder.

use super::matter::{AIR, MOLAR};
use super::numeric::simpson;
use super::reference::{Worst, plain};
use shaftwork::engine as e;
use shaftwork::prelude::*;
use std::f64::consts::{PI, TAU};

/// Piston's way from top dead centre at a crank angle: crank of half the stroke, rod of 1.7 strokes.
pub fn piston(stroke: f64, angle: f64) -> f64 {
    let (crank, rod) = (0.5 * stroke, 1.7 * stroke);
    crank * (1.0 - angle.cos()) + rod - (rod * rod - (crank * angle.sin()).powi(2)).sqrt()
}

/// Area of a circle as that of a polygon of so many corners (Archimedes).
pub fn disc(diameter: f64) -> f64 {
    let corners = 100_000.0;
    0.125 * corners * diameter * diameter * (TAU / corners).sin()
}

/// Suction strokes of all cylinders in a minute, counted one by one: each cylinder draws in every second turn.
fn fillings(cylinders: u32, turns: u32) -> f64 {
    let draws = |turn: u32, cylinder: u32| (turn + cylinder).is_multiple_of(2);
    let of_turn = |turn| (0..cylinders).filter(|&cylinder| draws(turn, cylinder)).count();
    (0..turns).map(of_turn).sum::<usize>() as f64
}

/// Engines: cylinders, bore, stroke and turns in a minute, even where an odd number of cylinders is counted.
const ENGINES: [(u32, f64, f64, u32); 5] = [
    (4, 0.084, 0.084, 6700),
    (1, 0.052, 0.049, 11_000),
    (3, 0.071, 0.082, 2500),
    (12, 0.088, 0.066, 9000),
    (6, 0.092, 0.09, 96),
];

// Counting: in a minute each cylinder draws every second turn; a filling is a volume at manifold pressure and
// temperature, n = p V/(Ru T) moles of it times the volumetric efficiency (definition), of air at 28.96546 g/mol
// (CIPM-2007). Volume: Archimedes' polygon times the way of a crank drive, not pi/4 B^2 S. Tolerance 3e-5: the two
// molar masses of air differ by 1.3e-5, the polygon by 1e-9.
#[test]
fn air_flow_by_counting_fillings_and_moles() {
    let (air, [mut flows, mut pressures]) = (Gas::dry_air(), [(); 2].map(|()| Worst::new()));
    for (cylinders, bore, stroke, turns) in ENGINES {
        for (p, t, breathing) in [(210e3, 325.0, 0.97), (35e3, 300.0, 0.6), (500e3, 420.0, 1.2)] {
            let volume = disc(bore) * (piston(stroke, PI) - piston(stroke, 0.0));
            let moles = breathing * p * volume / (MOLAR * t);
            let flow = fillings(cylinders, turns) * moles * AIR / 60.0;
            let engine = Engine::four_stroke(cylinders, m(bore), m(stroke), plain(9.2)).unwrap();
            let displacement = engine.displacement().unwrap();
            let (speed, share, hot) = (rpm(f64::from(turns)), fraction(breathing), kelvin(t));
            let found = e::air_flow(&air, pa(p), hot, share, displacement, speed).unwrap();
            flows.see(found.si() / flow - 1.0, format!("{cylinders} cylinders, {p} Pa"));
            if flow >= 1e-4 {
                let back =
                    e::manifold_pressure(&air, kg_per_s(flow), hot, share, displacement, speed).unwrap();
                pressures.see(back.si() / p - 1.0, format!("{cylinders} cylinders, {p} Pa"));
            }
        }
    }
    flows.holds("engine::air_flow", 3e-5);
    pressures.holds("engine::manifold_pressure", 3e-5);
}

// The piston's speed integrated over a turn of the crank drive: mean speed is the way travelled in that time, up
// and down. Volume of a cylinder as above. The speed is differenced over 2e-5 of a radian: 1e-6.
#[test]
fn piston_speed_and_swept_volume_by_a_crank_drive() {
    let [mut speeds, mut volumes] = [(); 2].map(|()| Worst::new());
    for (_, bore, stroke, turns) in ENGINES {
        let omega = f64::from(turns) / 60.0 * TAU;
        let step = 1e-5;
        let speed = |angle: f64| {
            let way = piston(stroke, angle + step) - piston(stroke, angle - step);
            (way / (2.0 * step) * omega).abs()
        };
        let half = simpson(speed, [0.0, PI], 200) / omega;
        let mean = 2.0 * half / (TAU / omega);
        let found = e::mean_piston_speed(m(stroke), rad_per_s(omega)).unwrap();
        speeds.see(found.si() / mean - 1.0, turns);
        let volume = disc(bore) * half;
        volumes.see(e::swept_volume(m(bore), m(stroke)).unwrap().si() / volume - 1.0, bore);
    }
    speeds.holds("engine::mean_piston_speed", 1e-6);
    volumes.holds("engine::swept_volume", 1e-6);
}
