//! Injectors: a fluid pushed through an orifice, and squirts counted.

use super::numeric::march;
use super::reference::Worst;
use shaftwork::prelude::*;
use shaftwork::supply as s;
use std::f64::consts::PI;

/// Exit speed of a parcel of fluid that the fall of pressure along the orifice pushes: Newton's second law over its
/// volume, marched in steps of ten nanoseconds until it is through. The pressure falls as a half wave of a cosine.
fn exit_speed(density: f64, drop: f64) -> f64 {
    let (length, step) = (1e-3, 1e-8);
    let push = |x: f64| {
        let wave = (PI * x / length).sin().max(0.0);
        drop * PI / (2.0 * length) * wave / density
    };
    // It comes with a millionth of the head already turned into speed, else it would never leave.
    let mut parcel = [0.0, (2e-6 * drop / density).sqrt()];
    while parcel[0] < length {
        parcel = march(|_, [x, v]: [f64; 2]| [v, push(x)], [0.0, step], parcel, 1);
    }
    parcel[1]
}

// Newton's second law for the fluid instead of Bernoulli's root: the bench's flow over the bench's exit speed is
// the effective area of the hole, and the same hole passes density times area times the new exit speed. Tolerance
// 3e-6 for the march; the millionth of head that starts it cancels between bench and use.
#[test]
fn injector_flow_by_accelerating_the_fluid() {
    let mut worst = Worst::new();
    for (rated, bench_density, bench_drop, drop, density) in [
        (650e-6 / 60.0, 688.0, 3e5, 3e5, 688.0),
        (650e-6 / 60.0, 688.0, 3e5, 4e5, 745.0),
        (330e-6 / 60.0, 688.0, 3e5, 1.8e5, 790.0),
        (1200e-6 / 60.0, 730.0, 2.7e5, 6e5, 795.0),
        (900e-6 / 60.0, 700.0, 1e7, 3.5e7, 745.0),
        (200e-6 / 60.0, 690.0, 3e5, 5e4, 560.0),
    ] {
        let area = rated / exit_speed(bench_density, bench_drop);
        let flow = density * area * exit_speed(density, drop);
        let (rated, bench) = (m3_per_s(rated), kg_per_m3(bench_density));
        let found =
            s::injector_flow(rated, bench, pa_diff(bench_drop), pa_diff(drop), kg_per_m3(density)).unwrap();
        worst.see(found.si() / flow - 1.0, drop);
    }
    worst.holds("supply::injector_flow", 3e-6);
}

// Squirts counted: each injector opens once in two turns; a minute's fuel over its squirts is one squirt, that over
// the flow of the open injector is the time it is open, and that over the time of two turns is the duty. Rounding
// only: 1e-12.
#[test]
fn injector_duty_by_counting_squirts() {
    let mut worst = Worst::new();
    for (count, turns, fuel, one) in [
        (4_u32, 6700_u32, 0.0214, 0.0071),
        (6, 1000, 1.2e-3, 0.004),
        (8, 8000, 0.06, 0.0075),
        (1, 900, 1e-4, 0.004),
    ] {
        let squirts = (0..turns).filter(|turn| turn % 2 == 0).count() as f64 * f64::from(count);
        let each = fuel * 60.0 / squirts;
        let open = each / one;
        let two_turns = 2.0 * 60.0 / f64::from(turns);
        let found = s::injector_duty(kg_per_s(fuel), kg_per_s(f64::from(count) * one)).unwrap();
        worst.see(found.si() / (open / two_turns) - 1.0, turns);
    }
    worst.holds("supply::injector_duty", 1e-12);
}
