//! Expansion, the flow a turbine swallows, and the balance that drives the compressor.

use super::matter::Fluid;
use super::numeric::bisect;
use super::reference::{Worst, exhaust, plain};
use shaftwork::gas::heat_capacity_ratio;
use shaftwork::prelude::*;
use shaftwork::turbine as t;

/// Exhaust of gasoline, rich, at stoichiometry and lean, and of a blend.
fn gases() -> Vec<Gas> {
    let gasoline = Fuel::gasoline().unwrap();
    let blend = Fuel::ethanol_blend(percent(71.0), &Gasoline::typical()).unwrap();
    [(&gasoline, 0.75), (&gasoline, 1.0), (&gasoline, 1.3), (&blend, 0.85)]
        .map(|(fuel, lambda)| Gas::products(fuel, plain(lambda)).unwrap())
        .into()
}

// The turbine's work is its efficiency times the integral of v dp (first law of a steady flow, lossless), marched
// in ln p with heat capacities by Shomate's equation and molar masses from the isotopes; only the composition is
// the library's. The expansion ratio for a work is found by halving over the same march. Tolerance 0.1 % of the
// work: TM-4513's seven terms lie up to 0.3 % below Shomate's for N2, 0.4 % for CO2, and 0.5 % above for H2O, and
// that cancels for the most part. The ratio answers a change of work with up to two and a half times as much.
#[test]
fn expansion_work_and_ratio_by_marching_the_work_of_the_flow() {
    let [mut works, mut ratios] = [(); 2].map(|()| Worst::new());
    for gas in gases() {
        let fluid = Fluid::exhaust(&gas);
        for (inlet, ratio, efficiency) in [
            (1173.15, 1.0, 0.66),
            (1173.15, 1.01, 0.66),
            (1173.15, 2.2, 0.66),
            (900.0, 1.6, 1.0),
            (1323.15, 3.0, 0.72),
            (1100.0, 5.0, 0.40),
            (1500.0, 6.0, 0.70),
            (560.0, 1.3, 0.60),
        ] {
            let given_off = |ratio: f64| -efficiency * fluid.lossless(inlet, 1.0 / ratio)[1];
            let (hot, at) = (kelvin(inlet), format!("{inlet} K, {ratio}, {}", gas.name()));
            let work = t::expansion_work(&gas, hot, plain(ratio), plain(efficiency)).unwrap().si();
            works.see((work - given_off(ratio)) / given_off(ratio).max(10.0), &at);

            let work = given_off(ratio);
            let found = t::expansion_ratio(&gas, hot, j_per_kg(work), plain(efficiency)).unwrap().si();
            ratios.see((found - ratio) / (ratio - 1.0).max(1e-4), &at);
        }
    }
    works.holds("turbine::expansion_work", 1e-3);
    ratios.holds("turbine::expansion_ratio, share of the ratio less one", 2.5e-3);
}

// The hand forms on the same march with constant heat capacities, where they have to be exact: 1e-8, since the march
// is asked for a ratio of pressures and the ratio answers for small differences of work.
#[test]
fn hand_forms_by_the_march_of_a_perfect_gas() {
    let [mut ratios, mut outlets] = [(); 2].map(|()| Worst::new());
    for (gamma, cp) in [(1.33, 1150.0), (1.25, 1300.0), (1.4, 1005.0)] {
        let fluid = Fluid::perfect(gamma, cp * (gamma - 1.0) / gamma);
        for (inlet, ratio, efficiency) in [(1173.15, 1.0, 0.7), (1173.15, 2.4, 0.66), (900.0, 8.0, 1.0)] {
            let [_, work] = fluid.lossless(inlet, 1.0 / ratio);
            let outlet = fluid.heated(inlet, efficiency * work);
            let (hot, eta, g) = (kelvin(inlet), plain(efficiency), plain(gamma));
            let given = j_per_kg(-efficiency * work);
            let found = t::expansion_ratio_constant_gamma(hot, given, eta, j_per_kg_k(cp), g).unwrap();
            ratios.see(found.si() / ratio - 1.0, format!("{ratio}, gamma {gamma}"));
            let found = t::outlet_temperature_constant_gamma(hot, plain(ratio), eta, g).unwrap();
            outlets.see(found.si() / outlet - 1.0, format!("{ratio}, gamma {gamma}"));
        }
    }
    ratios.holds("turbine::expansion_ratio_constant_gamma", 1e-8);
    outlets.holds("turbine::outlet_temperature_constant_gamma", 1e-8);
}

// No throat pressure passes more than the greatest of rho V along the marched expansion: the flow is that greatest
// value between the inlet and the back pressure. No critical ratio and no powers of the pressure are used.
// Constant heat capacities as in the formula: 1e-7, the width of the search at the back pressure.
#[test]
fn nozzle_flow_is_the_greatest_that_any_throat_pressure_passes() {
    let mut worst = Worst::new();
    for (gamma, r) in [(1.4, 287.05), (1.3, 290.0), (1.1, 300.0), (1.666, 208.1)] {
        let fluid = Fluid::perfect(gamma, r);
        for ratio in [1.001, 1.05, 1.4, 1.7, 1.8, 1.9, 2.1, 3.0, 12.0] {
            for (area, p, inlet) in [(550e-6, 190e3, 1173.15), (1e-4, 101.325e3, 288.15)] {
                let found =
                    t::nozzle_flow(m2(area), pa(p), kelvin(inlet), plain(ratio), plain(gamma), j_per_kg_k(r));
                let passed = area * fluid.most_flow(inlet, p, ratio);
                worst.see(found.unwrap().si() / passed - 1.0, format!("gamma {gamma}, ratio {ratio}"));
            }
        }
    }
    worst.holds("turbine::nozzle_flow", 1e-7);
}

// The same with the exhaust's own cp(T) by Shomate's equation: the formula holds gamma at its inlet value while
// the gas cools. That choice costs up to 0.17 % of flow where the throat chokes; 0.25 % is allowed.
#[test]
fn nozzle_flow_of_a_gas_whose_gamma_moves() {
    let mut worst = Worst::new();
    for gas in gases() {
        let fluid = Fluid::exhaust(&gas);
        for (inlet, ratio) in [(1173.15, 1.2), (1173.15, 1.8), (1323.15, 3.0), (1000.0, 2.2)] {
            let hot = kelvin(inlet);
            let gamma = heat_capacity_ratio(&gas, hot).unwrap();
            let found = t::nozzle_flow(mm2(550.0), kpa(180.0), hot, plain(ratio), gamma, gas.gas_constant());
            let passed = 550e-6 * fluid.most_flow(inlet, 180e3, ratio);
            worst
                .see(found.unwrap().si() / passed - 1.0, format!("{inlet} K, ratio {ratio}, {}", gas.name()));
        }
    }
    worst.holds("turbine::nozzle_flow, gamma of the inlet", 2.5e-3);
}

// Velocity triangles: fluid of angular momentum c_0 R, given by the throat, comes to the wheel with the swirl
// c_0 R/r (free vortex) and the radial speed that continuity asks for; the two heads, of that velocity and of the
// wheel's exit, add up, and the effective area is the one that passes the flow at their sum (Bernoulli). Nothing is
// integrated: 1e-12 for rounding.
#[test]
fn effective_area_by_velocities_and_heads() {
    let mut worst = Worst::new();
    for (over, radius, width, exit, lighter) in [
        (0.020, 0.030, 0.010, 600e-6, 1.0),
        (0.0178, 0.030, 0.010, 848e-6, 0.78),
        (0.040, 0.024, 0.008, 500e-6, 0.9),
        (0.005, 0.045, 0.013, 2000e-6, 0.7),
        (0.1, 0.02, 0.004, 150e-6, 0.5),
    ] {
        let (flow, density) = (0.2, 0.6);
        let at_wheel = density * lighter;
        let throat = over * 0.05;
        let momentum = flow / (density * throat) * 0.05;
        let swirl = momentum / radius;
        let radial = flow / (at_wheel * std::f64::consts::TAU * radius * width);
        let head = |speed: f64| 0.5 * at_wheel * speed * speed;
        let heads = head(swirl.hypot(radial)) + head(flow / (at_wheel * exit));
        let area = flow / (2.0 * at_wheel * heads).sqrt();
        let found = t::effective_area(m(over), m(radius), m(width), m2(exit), plain(lighter)).unwrap();
        worst.see(found.si() / area - 1.0, over);
    }
    worst.holds("turbine::effective_area", 1e-12);
}

// The power balance anew: flow as the greatest of rho V, work as the integral of v dp, halving in the expansion
// ratio. Gamma is taken once, at the inlet, by Shomate's equation. Tolerance 0.05 %, of the ratio less one and of
// the flow, 0.1 % of the least ratio less one: the heat capacities, whose differences cancel for this gas.
#[test]
fn turbine_drive_by_its_own_balance() {
    let gas = exhaust();
    let fluid = Fluid::exhaust(&gas);
    let [mut ratios, mut flows, mut least] = [(); 3].map(|()| Worst::new());
    for (flow, inlet, outlet, area, efficiency, power) in [
        (0.26, 1173.15, 95e3, 550e-6, 0.66, 26e3),
        (0.26, 1173.15, 95e3, 350e-6, 0.66, 33e3),
        (0.20, 1100.0, 105e3, 900e-6, 0.60, 12e3),
        (0.10, 1000.0, 90e3, 300e-6, 0.62, 1e3),
        (0.35, 1250.0, 120e3, 500e-6, 0.70, 20e3),
        (0.08, 1150.0, 100e3, 700e-6, 0.65, 18e3),
    ] {
        let drive = turbine_drive(
            &gas,
            kg_per_s(flow),
            kelvin(inlet),
            pa(outlet),
            m2(area),
            plain(efficiency),
            watt(power),
        );
        let drive = drive.unwrap();
        let throat = Fluid::perfect(fluid.gamma(inlet), fluid.r);
        let passed = |ratio: f64| area * throat.most_flow(inlet, ratio * outlet, ratio);
        let work = |ratio: f64| -efficiency * fluid.lossless(inlet, 1.0 / ratio)[1];
        let ratio = bisect(|ratio| passed(ratio) * work(ratio) - power, [1.0, 8.0]);
        let alone = bisect(|ratio| flow * work(ratio) - power, [1.0, 8.0]);
        let at = format!("{power} W, ratio {ratio:.3}");
        ratios.see((drive.ratio.si() - ratio) / (ratio - 1.0), &at);
        ratios.see((drive.pressure.si() / outlet - ratio) / (ratio - 1.0), &at);
        least.see((drive.least.si() - alone) / (alone - 1.0), &at);
        flows.see((1.0 - drive.wastegate.si()) * flow / passed(ratio) - 1.0, &at);
    }
    ratios.holds("shaft::turbine_drive, share of the ratio less one", 5e-4);
    least.holds("shaft::turbine_drive, least ratio less one", 1e-3);
    flows.holds("shaft::turbine_drive, flow through the turbine", 5e-4);
}
