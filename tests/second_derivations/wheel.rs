//! The measured wheel: the tip speed a pressure ratio needs, and what the inducer passes.

use super::engine::disc;
use super::matter::Fluid;
use super::numeric::{bisect, march};
use super::reference::{Worst, plain};
use shaftwork::compressor as c;
use shaftwork::prelude::*;
use std::f64::consts::PI;

// Euler's equation of turbomachines: torque is the flow times radius times the swirl the wheel gives it, work is
// torque times speed, all of it taken from the shaft. Tip speed is found by halving until a kilogram takes up the
// marched work of the compression over its efficiency. Tolerance 0.03 %: half of what the heat
// capacities differ by.
#[test]
fn tip_speed_by_angular_momentum() {
    let (air, library) = (Fluid::air(), Gas::dry_air());
    let mut worst = Worst::new();
    for (inlet, pi, efficiency, swirl) in [
        (298.15, 1.05, 0.7, 0.7),
        (296.56, 4.5, 0.84, 0.777),
        (310.0, 2.4, 0.66, 0.63),
        (288.15, 9.0, 0.75, 1.2),
    ] {
        let [_, ideal] = air.lossless(inlet, pi);
        let radius = 0.03;
        let taken = |tip: f64| {
            let torque = radius * (swirl * tip);
            torque * (tip / radius)
        };
        let tip = bisect(|tip| taken(tip) - ideal / efficiency, [0.0, 1000.0]);
        let found =
            c::tip_speed_for_ratio(&library, kelvin(inlet), plain(pi), plain(efficiency), fraction(swirl));
        worst.see(found.unwrap().si() / tip - 1.0, pi);
    }
    worst.holds("compressor::tip_speed_for_ratio", 3e-4);
}

/// The most that passes a throat moving with the blades, per area. The blade's motion brings the still inlet air to
/// rest relative to the blade, a lossless rise of U^2/2 in enthalpy: dT = dh/cp, and v dp = dh with v = R T/p. From
/// that rest the throat passes the greatest mass flow of any throat pressure.
fn rotating_choke(fluid: &Fluid, t: f64, p: f64, blade: f64) -> f64 {
    let slope = |_, [t, _]: [f64; 2]| [1.0 / fluid.cp(t), 1.0 / (fluid.r * t)];
    let [at_rest, risen] = march(slope, [0.0, 0.5 * blade * blade], [t, 0.0], 100);
    fluid.most_flow(at_rest, p * risen.exp(), 4.0)
}

// Choke in the rotating frame, by the two marches above. Constant heat capacities as in the formula: 1e-8 for the
// marches. The blade at rest is an edge.
#[test]
fn inducer_choke_by_two_marches() {
    let mut worst = Worst::new();
    for (t, p, blade, gamma, r) in [
        (298.15, 95e3, 0.0, 1.4, 287.05),
        (288.15, 101.325e3, 250.0, 1.4, 287.05),
        (313.15, 80e3, 420.0, 1.398, 288.9),
        (290.0, 100e3, 150.0, 1.3, 189.0),
        (300.0, 60e3, 650.0, 1.6, 208.0),
    ] {
        let throat = 600e-6;
        let passed = throat * rotating_choke(&Fluid::perfect(gamma, r), t, p, blade);
        let (speed, g) = (m_per_s(blade), plain(gamma));
        let found = c::inducer_choke_flow(m2(throat), kelvin(t), pa(p), speed, g, j_per_kg_k(r));
        worst.see(found.unwrap().si() / passed - 1.0, format!("{blade} m/s, gamma {gamma}"));
    }
    worst.holds("compressor::inducer_choke_flow", 1e-8);
}

// A measured wheel as a whole: work of the flow marched, tip speed by angular momentum, the blade's speed at the
// radius that halves the annulus between hub and tip, the annulus as two polygons, choke by two marches. The shares
// that the library assumes where nothing was measured are its stated inputs. Tolerance 0.05 %: half of what the heat
// capacities differ by, and gamma at the inlet.
#[test]
fn choke_of_a_measured_wheel_by_its_own_route() {
    let air = Fluid::air();
    let mut worst = Worst::new();
    for (inducer, exducer, hub, t, p, pi, efficiency) in [
        (0.0464, 0.061, None, 297.15, 85e3, 2.9, 0.70),
        (0.0482, 0.061, Some(0.0150), 302.15, 88e3, 2.2, 0.74),
        (0.0800, 0.110, None, 288.15, 101.325e3, 1.05, 0.65),
        (0.0350, 0.050, Some(0.0120), 310.0, 70e3, 4.0, 0.60),
    ] {
        let mut wheel = CompressorWheel::new(m(inducer), m(exducer)).unwrap();
        if let Some(hub) = hub {
            wheel = wheel.hub(m(hub)).unwrap();
        }
        let inlet = InletState { temperature: kelvin(t), pressure: pa(p) };
        let found = wheel.choke(plain(pi), plain(efficiency), &inlet).unwrap()[0];

        let hub = hub.unwrap_or(c::HUB_RATIO * inducer);
        let [_, ideal] = air.lossless(t, pi);
        let tip = bisect(|tip| c::WORK_COEFFICIENT * tip * tip - ideal / efficiency, [0.0, 900.0]);
        let turns = tip / (PI * exducer);
        let annulus = |diameter: f64| disc(diameter) - disc(hub);
        let halves = bisect(|d| annulus(d) - 0.5 * annulus(inducer), [hub, inducer]);
        let blade = turns * PI * halves;
        let fluid = Fluid::perfect(air.gamma(t), air.r);
        let passed = c::THROAT_SHARE * annulus(inducer) * rotating_choke(&fluid, t, p, blade);
        worst.see(found.flow.si() / passed - 1.0, format!("{inducer} m, {pi}"));
        worst.see(found.tip_speed.si() / tip - 1.0, format!("{inducer} m, {pi}, tip"));
        worst.see(found.speed.rpm() / (60.0 * turns) - 1.0, format!("{inducer} m, {pi}, turns"));
        worst.see(found.trim.si() / (100.0 * disc(inducer) / disc(exducer)) - 1.0, inducer);
        let back = c::tip_speed(m(exducer), rpm(60.0 * turns)).unwrap();
        worst.see(back.si() / tip - 1.0, exducer);
    }
    worst.holds("compressor::CompressorWheel::choke", 5e-4);
}
