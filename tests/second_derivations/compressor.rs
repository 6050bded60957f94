//! Compression: outlet state, density, power, and flow brought to another inlet.

use super::matter::{Fluid, real_air};
use super::numeric::bisect;
use super::reference::{Worst, plain};
use shaftwork::compressor as c;
use shaftwork::gas::{polytropic_efficiency, polytropic_temperature};
use shaftwork::prelude::*;

/// Inlet temperature, pressure ratio and efficiency, from no compression at all to the hottest that the table of
/// real air reaches.
const STATES: [[f64; 3]; 7] = [
    [298.15, 1.0, 0.7],
    [298.15, 1.02, 1.0],
    [255.0, 2.0, 0.72],
    [288.15, 3.2, 0.60],
    [313.15, 2.6, 0.78],
    [330.0, 6.0, 0.40],
    [290.0, 12.0, 0.80],
];

// The work of a lossless compression is the integral of v dp, marched with T along it; what the machine takes is
// that over its efficiency, and all of it is left in the gas as cp dT. First and second law, any textbook of
// thermodynamics. The library looks up enthalpy and entropy polynomials instead and divides no volume. Tolerance:
// 0.1 % of the rise: the heat capacities of Lemmon's air and of TM-4513 differ by about that much below 900 K.
#[test]
fn outlet_temperature_by_marching_the_work_of_the_flow() {
    let (air, library) = (Fluid::air(), Gas::dry_air());
    let mut worst = Worst::new();
    for [inlet, pi, efficiency] in STATES {
        let found = c::outlet_temperature(&library, kelvin(inlet), plain(pi), plain(efficiency)).unwrap();
        let [_, work] = air.lossless(inlet, pi);
        let outlet = air.heated(inlet, work / efficiency);
        // At a ratio of one nothing rises: a hundredth of a kelvin stands for the rise there.
        worst.see((found.kelvin() - outlet) / (outlet - inlet).max(0.01), format!("{inlet} K, {pi}"));
    }
    worst.holds("compressor::outlet_temperature, share of the rise", 1e-3);
}

// The same march read the other way: the work without loss over the work that the outlet's temperature shows. Where
// nothing is compressed no efficiency shows. The hand form is put to the same march with constant heat capacities,
// where it has to be exact: 1e-9.
#[test]
fn efficiency_and_hand_form_by_the_same_march() {
    let (air, library) = (Fluid::air(), Gas::dry_air());
    let [mut efficiencies, mut outlets] = [(); 2].map(|()| Worst::new());
    for [inlet, pi, efficiency] in STATES {
        let [_, work] = air.lossless(inlet, pi);
        if pi > 1.0 {
            // A little less of it, since a lossless machine marched with other heat capacities may come out above one.
            let efficiency = 0.98 * efficiency;
            let outlet = kelvin(air.heated(inlet, work / efficiency));
            let found = c::isentropic_efficiency(&library, kelvin(inlet), outlet, plain(pi)).unwrap();
            efficiencies.see(found.si() / efficiency - 1.0, format!("{inlet} K, {pi}"));
        }
        for gamma in [1.4, 1.3, 1.6] {
            let fluid = Fluid::perfect(gamma, 287.05);
            let [_, work] = fluid.lossless(inlet, pi);
            let outlet = fluid.heated(inlet, work / efficiency);
            let (eta, g) = (plain(efficiency), plain(gamma));
            let found = c::outlet_temperature_constant_gamma(kelvin(inlet), plain(pi), eta, g).unwrap();
            outlets.see(found.si() / outlet - 1.0, format!("{pi}, gamma {gamma}"));
        }
    }
    efficiencies.holds("compressor::isentropic_efficiency", 1e-3);
    outlets.holds("compressor::outlet_temperature_constant_gamma", 1e-9);
}

// The same work, as mechanical power: what the air takes up between two temperatures, one the end of a marched
// compression, is the flow times the integral of v dp over the efficiency. And as a table: enthalpies of the
// reference equation of real air at 50 kPa, where cp is 0.1 % above that of the ideal gas. Tolerance
// 0.15 % for both.
#[test]
fn power_by_the_work_of_the_flow_and_by_a_table_of_enthalpies() {
    let (air, library) = (Fluid::air(), Gas::dry_air());
    let mut worst = Worst::new();
    let mut see = |flow: f64, from: f64, to: f64, expected: f64| {
        let found = c::power(&library, kg_per_s(flow), kelvin(from), kelvin(to)).unwrap();
        worst.see(found.si() / expected - 1.0, format!("{from} to {to} K"));
    };
    for [inlet, pi, efficiency] in &STATES[1..] {
        let [_, work] = air.lossless(*inlet, *pi);
        see(0.25, *inlet, air.heated(*inlet, work / efficiency), 0.25 * work / efficiency);
    }
    let enthalpy = real_air("enthalpy_change_J_kg");
    let thin = |t: f64| enthalpy(t, 50e3);
    for (flow, from, to) in
        [(0.05, 250.0, 300.0), (0.3, 300.0, 350.0), (0.3, 300.0, 500.0), (2.0, 350.0, 1000.0)]
    {
        see(flow, from, to, flow * (thin(to) - thin(from)));
    }
    worst.holds("compressor::power", 1.5e-3);
}

// Density of real air at both ends, read from the table of the reference equation (Lemmon et al. 2000): no gas
// law at all. Tolerance 0.25 %: Z of real air moves by up to 0.2 % between the states of a pair.
#[test]
fn density_ratio_from_a_table_of_real_air() {
    let density = real_air("density_kg_m3");
    let mut worst = Worst::new();
    for ((t1, p1), (t2, p2)) in [
        ((300.0, 1e5), (300.0, 1e5)),
        ((300.0, 1e5), (350.0, 1e5)),
        ((300.0, 1e5), (400.0, 2e5)),
        ((250.0, 1e5), (350.0, 2e5)),
        ((300.0, 1e5), (500.0, 3e5)),
        ((300.0, 5e4), (600.0, 5e5)),
        ((350.0, 1e5), (800.0, 5e5)),
    ] {
        let found = c::density_ratio(plain(p2 / p1), kelvin(t1), kelvin(t2)).unwrap().si();
        worst.see(found * density(t1, p1) / density(t2, p2) - 1.0, format!("{t1} K to {t2} K, {p2} Pa"));
    }
    worst.holds("compressor::density_ratio", 2.5e-3);
}

// Similarity of compressible flow, taken at its word: a pipe of given area at the inlet carries the flow at some
// Mach number, found by halving over the marched expansion from rest; the same Mach number at the reference state
// carries the corrected flow. No root of a temperature ratio is written here. Speeds: the same tip Mach number.
// A gas of constant heat capacities obeys exactly, 1e-8 for the march; air's gamma moves with temperature, 5e-4.
#[test]
fn corrected_flow_and_speed_by_equal_mach_numbers() {
    const AREA: f64 = 2e-3;
    for (fluid, tolerance) in [(Fluid::perfect(1.4, 287.05), 1e-8), (Fluid::air(), 5e-4)] {
        let stream = |[t, p]: [f64; 2], fall: f64| fluid.stream(t, p, fall);
        let [mut flows, mut speeds] = [(); 2].map(|()| Worst::new());
        for (flow, inlet, reference) in [
            (0.20, [298.15, 100e3], [298.15, 100e3]),
            (0.18, [318.15, 86e3], [298.15, 100e3]),
            (0.22, [305.0, 60e3], [288.15, 101.325e3]),
            (0.25, [273.15, 101e3], [302.6, 96.2e3]),
            (0.33, [330.0, 80e3], [300.0, 100e3]),
            (0.004, [308.15, 100e3], [305.0, 95e3]),
        ] {
            let fall = bisect(|fall| AREA * stream(inlet, fall)[1] - flow, [0.0, 0.55]);
            let mach = stream(inlet, fall)[0];
            let there = bisect(|fall| stream(reference, fall)[0] - mach, [0.0, 0.55]);
            let corrected = AREA * stream(reference, there)[1];
            let ([t, p], [t_ref, p_ref]) = (inlet, reference);
            let [t, t_ref] = [t, t_ref].map(kelvin);
            let found = c::corrected_mass_flow(kg_per_s(flow), t, pa(p), t_ref, pa(p_ref)).unwrap();
            flows.see(found.si() / corrected - 1.0, format!("{t}, {p} Pa, Mach {mach:.3}"));
            let given = corrected_kg_per_s(corrected);
            let back = c::mass_flow_from_corrected(given, t, pa(p), t_ref, pa(p_ref)).unwrap();
            flows.see(back.si() / flow - 1.0, format!("{t}, {p} Pa, Mach {mach:.3}, back"));

            let sound = |t: Temperature| (fluid.gamma(t.si()) * fluid.r * t.si()).sqrt();
            let (tip, radius) = (450.0, 0.0305);
            let found = c::corrected_speed(rad_per_s(tip / radius), t, t_ref).unwrap();
            let same = tip / radius * sound(t_ref) / sound(t);
            speeds.see(found.si() / same - 1.0, t);
            let back = c::shaft_speed_from_corrected(corrected_rad_per_s(same), t, t_ref).unwrap();
            speeds.see(back.si() * radius / tip - 1.0, t);
        }
        flows.holds("compressor::corrected_mass_flow, mass_flow_from_corrected", tolerance);
        speeds.holds("compressor::corrected_speed, shaft_speed_from_corrected", tolerance);
    }
}

// Polytropic efficiency by what it means: many small machines in series, each with that efficiency, the work of
// each marched as above. Three hundred of them differ from the limit by 0.03 % of the change, the heat
// capacities by up to 0.06 %: 0.1 % together. Expansion gives off the efficiency's share of the work.
#[test]
fn polytropic_temperature_by_many_small_machines() {
    let (air, library) = (Fluid::air(), Gas::dry_air());
    let mut worst = Worst::new();
    for [inlet, pi, efficiency] in
        [[298.15, 1.0, 0.8], [288.15, 2.5, 0.80], [310.0, 8.0, 0.70], [900.0, 0.4, 0.75], [500.0, 0.2, 1.0]]
    {
        let (mut t, count) = (inlet, 300);
        for _ in 0..count {
            let [_, work] = air.lossless(t, pi.powf(1.0 / f64::from(count)));
            t = air.heated(t, if pi > 1.0 { work / efficiency } else { work * efficiency });
        }
        let found = polytropic_temperature(&library, kelvin(inlet), plain(pi), plain(efficiency)).unwrap();
        worst.see((found.kelvin() - t) / (t - inlet).abs().max(0.01), format!("{inlet} K, {pi}"));
        if pi > 1.0 {
            let found = polytropic_efficiency(&library, kelvin(inlet), kelvin(t), plain(pi)).unwrap();
            worst.see(found.si() / efficiency - 1.0, format!("{inlet} K, {pi}, back"));
        }
    }
    worst.holds("gas::polytropic_temperature, polytropic_efficiency, share of the change", 1e-3);
}
