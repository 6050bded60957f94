//! The way of the air: losses along it and the charge cooler.

use super::matter::{Fluid, real_air};
use super::numeric::{bisect, march, simpson};
use super::reference::{Worst, close, plain};
use shaftwork::charge as c;
use shaftwork::prelude::*;

// The pressures marched along the way: the filter takes its loss in slices, the compressor multiplies what is left
// by Pi, the cooler takes its loss in slices, and what arrives has to be the manifold's pressure. Pi is found by
// halving. Rounding only: 1e-12.
#[test]
fn required_pressure_ratio_by_walking_the_chain() {
    let mut worst = Worst::new();
    for (manifold, cooler, ambient, filter) in [
        (200e3, 8e3, 101_325.0, 4e3),
        (310e3, 25e3, 70e3, 6e3),
        (95e3, 0.0, 101_325.0, 0.0),
        (150e3, 100e3, 88e3, 30e3),
        (900e3, 12e3, 110e3, 2e3),
    ] {
        let slices = 1000;
        let through = |start: f64, loss: f64| (0..slices).fold(start, |p, _| p - loss / f64::from(slices));
        let arrives = |pi: f64| through(through(ambient, filter) * pi, cooler);
        let pi = bisect(|pi| arrives(pi) - manifold, [0.1, 20.0]);
        let found =
            c::required_pressure_ratio(pa(manifold), pa_diff(cooler), pa(ambient), pa_diff(filter)).unwrap();
        worst.see(found.si() / pi - 1.0, manifold);
    }
    worst.holds("charge::required_pressure_ratio", 1e-12);
}

// A duct of turbulent flow: wall friction takes f/D of the velocity head for each length (Darcy and Weisbach), with
// the velocity that continuity asks for at a fixed density; marched over the length. Its friction factor is set so
// that the reference flow loses what was stated. Rounding only: 1e-12.
#[test]
fn loss_at_flow_by_friction_along_a_duct() {
    let mut worst = Worst::new();
    for (loss, reference, flow) in [(8e3, 0.25, 0.25), (8e3, 0.25, 0.03), (3e3, 0.1, 0.4), (0.0, 0.2, 0.3)] {
        let (area, density, diameter, length) = (2e-3, 1.9, 0.05, 1.4);
        let lost = |friction: f64, flow: f64| {
            let speed = flow / (density * area);
            let slope = |_, _: [f64; 1]| [friction / diameter * 0.5 * density * speed * speed];
            march(slope, [0.0, length], [0.0], 200)[0]
        };
        let friction = loss / lost(1.0, reference);
        let found = c::loss_at_flow(pa_diff(loss), kg_per_s(flow), kg_per_s(reference)).unwrap();
        worst.see((found.si() - lost(friction, flow)) / loss.max(1.0), flow);
    }
    worst.holds("charge::loss_at_flow", 1e-12);
}

/// Mean outlet temperature of the charge after a cross-flow cooler of unmixed streams, cell by cell: each cell
/// passes heat by the difference of its mean temperatures, and each stream changes by that heat over its capacity.
fn cross_flow(hot: f64, cold: f64, capacities: [f64; 2], conductance: f64) -> f64 {
    const CELLS: usize = 60;
    let [charge, coolant] = capacities.map(|c| c / CELLS as f64);
    let k = conductance / (CELLS * CELLS) as f64;
    let mut coolant_t = [cold; CELLS];
    let lanes = (0..CELLS).map(|_| {
        coolant_t.iter_mut().fold(hot, |t, own| {
            let heat = k * (t - *own) / (1.0 + 0.5 * k * (1.0 / charge + 1.0 / coolant));
            *own += heat / coolant;
            t - heat / charge
        })
    });
    lanes.sum::<f64>() / CELLS as f64
}

// Kays and London: the effectiveness of an exchanger follows from its size and the capacity rates, not from the
// temperatures. A cooler is marched in cells on a bench; heat given over the most that could be gives its
// effectiveness; the same cooler is marched again in the engine, and the formula has to say what comes out. Cells
// are linear in the temperatures, so only rounding is left: 1e-9 K.
#[test]
fn cooled_temperature_by_marching_a_cross_flow_cooler() {
    let mut worst = Worst::new();
    for (charge, coolant, conductance) in
        [(250.0, 600.0, 500.0), (150.0, 150.0, 200.0), (300.0, 2000.0, 1500.0), (200.0, 400.0, 0.0)]
    {
        let capacities = [charge, coolant];
        let bench = cross_flow(393.15, 298.15, capacities, conductance);
        // Without a surface the last bit may say that heat was taken.
        let given = (charge * (393.15 - bench)).max(0.0);
        let most = charge.min(coolant) * (393.15 - 298.15);
        for (hot, cold) in [(455.0, 303.15), (340.0, 333.15), (300.0, 300.0), (290.0, 320.0)] {
            let out = cross_flow(hot, cold, capacities, conductance);
            let found = c::cooled_temperature(kelvin(hot), kelvin(cold), plain(given / most)).unwrap();
            worst.see(found.si() - out, format!("{conductance} W/K, {hot} K"));
        }
    }
    worst.holds("charge::cooled_temperature, kelvin", 1e-9);
    // The cells themselves: equal streams at one transfer unit give 0.476 in the tables of Kays and London (from
    // memory).
    close((400.0 - cross_flow(400.0, 300.0, [1.0, 1.0], 1.0)) / 100.0, 0.476, 1e-3);
}

// Heat counted: the charge gives off the effectiveness' share of all it could give down to the coolant's temperature,
// with the heat capacity of real air, which moves with temperature; the formula counts kelvins instead. What that
// costs is the tolerance: 0.4 % of the drop where the charge comes at 500 K.
#[test]
fn cooled_temperature_by_counting_heat() {
    let air = Fluid::air();
    let mut worst = Worst::new();
    for (hot, cold, share) in
        [(420.0, 300.0, 0.72), (360.0, 310.0, 0.6), (500.0, 290.0, 0.72), (500.0, 290.0, 1.0)]
    {
        let heat = |from: f64, to: f64| simpson(|t| air.cp(t), [to, from], 50);
        let given = share * heat(hot, cold);
        let out = bisect(|t| heat(hot, t) - given, [hot, cold - 1.0]);
        let found = c::cooled_temperature(kelvin(hot), kelvin(cold), plain(share)).unwrap();
        worst.see((found.si() - out) / (hot - out), format!("{hot} K"));
    }
    worst.holds("charge::cooled_temperature, share of the drop, cp(T)", 4e-3);
}

// Densities of real air before and after, read from the table of the reference equation: no gas law. Tolerance
// 0.25 % for the real gas, as for the compressor's density ratio.
#[test]
fn cooler_density_ratio_from_a_table_of_real_air() {
    let density = real_air("density_kg_m3");
    let mut worst = Worst::new();
    for (hot, before, cold, after) in [
        (400.0, 3e5, 300.0, 2e5),
        (500.0, 3e5, 350.0, 3e5),
        (400.0, 2e5, 350.0, 1e5),
        (350.0, 1e5, 350.0, 1e5),
    ] {
        let loss = pa_diff(before - after);
        let found = c::cooler_density_ratio(pa(before), loss, kelvin(hot), kelvin(cold)).unwrap();
        worst.see(found.si() * density(hot, before) / density(cold, after) - 1.0, format!("{hot} K"));
    }
    worst.holds("charge::cooler_density_ratio", 2.5e-3);
}
