//! The way of boost in time: the rotor's energy, the order of the moments, and what practice expects.

#[path = "support/balance.rs"]
mod balance;
#[path = "support/reference.rs"]
mod reference;

use balance::{Case, cases, read, through};
use reference::{between, close_relative};
use shaftwork::charge::inlet_pressure;
use shaftwork::compressor::{self, corrected_speed, mass_flow_from_corrected, outlet_temperature};
use shaftwork::engine::{dry_air_flow, exhaust_flow, fuel_for_air};
use shaftwork::gas::{WaterGas, burn, humidity_ratio};
use shaftwork::prelude::*;
use shaftwork::turbine::{self, expansion_work, outlet_pressure};

const INERTIA: f64 = 6e-5;

fn stores(inertia: f64, charge: f64) -> Stores {
    Stores::new(kg_m2(inertia), litre(charge), litre(1.5)).unwrap()
}

fn arrival(case: &Case<'_>, stores: Stores, sweep: Sweep) -> Arrival {
    let Case { installation, candidate, turbine, plan } = *case;
    let sweeper = Sweeper::new(installation, candidate, turbine, plan, stores).unwrap();
    sweeper.arrival(sweep, kpa(70.0), kpa(170.0), second(30.0)).unwrap()
}

fn ninety(case: &Case<'_>, stores: Stores) -> f64 {
    arrival(case, stores, Sweep::Held(rpm(4700.0))).ninety.unwrap().0.si()
}

/// Turbine power less compressor power at a moment, by the plain formulas; `None` off the map.
fn spare_power(case: &Case<'_>, at: &SweepMoment) -> Option<f64> {
    let Installation { site, intake, exhaust, .. } = case.installation;
    let map = case.candidate.map();
    let (t_ref, p_ref) = (map.reference().temperature(), map.reference().pressure());
    let inlet = case.installation.inlet_temperature();
    let turning = corrected_speed(at.shaft_speed, inlet, t_ref).unwrap();
    let [flow, ratio, efficiency] = read(map, turning.si(), at.position.si())?;
    let ratio = PressureRatio::new(ratio).unwrap();
    // The filter's loss goes with the flow, which goes with the pressure behind the filter.
    let mut air = kg_per_s(0.1);
    for _ in 0..60 {
        let p1 = inlet_pressure(site.pressure(), intake.loss.at(air).unwrap()).unwrap();
        air = mass_flow_from_corrected(corrected_kg_per_s(flow), inlet, p1, t_ref, p_ref).unwrap();
    }
    let gas = site.air().unwrap();
    let outlet = outlet_temperature(&gas, inlet, ratio, Efficiency::new(efficiency).unwrap()).unwrap();
    let taken = compressor::power(&gas, air, inlet, outlet).unwrap();
    let dry = dry_air_flow(air, humidity_ratio(site.vapour()).unwrap()).unwrap();
    let fuel = fuel_for_air(dry, case.plan.lambda, case.plan.fuel.stoichiometric_ratio().unwrap()).unwrap();
    let loss = exhaust.back_pressure.at(exhaust_flow(air, fuel).unwrap()).unwrap();
    let p4 = outlet_pressure(site.pressure(), loss).unwrap();
    let expansion = ExpansionRatio::new(at.exhaust_pressure.si() / p4.si()).unwrap();
    let products = burn(&case.plan.fuel, case.plan.lambda, &gas, WaterGas::default()).unwrap().gas;
    let (passed, efficiency) = through(
        case,
        &products,
        (at.exhaust_pressure, at.exhaust_temperature, at.exhaust_temperature),
        (expansion, at.shaft_speed),
    );
    let work = expansion_work(&products, at.exhaust_temperature, expansion, efficiency).unwrap();
    Some(turbine::power(passed, work).unwrap().si() - taken.si())
}

// What the rotor's energy gains is what turbine and compressor leave over; integrated by trapezoids, whose error is that
// of the steps.
#[test]
fn the_energy_of_the_rotor_balances() {
    let case = cases()[4];
    for sweep in [Sweep::Held(rpm(4700.0)), Sweep::Rising(rpm(4300.0), rpm_per_s(600.0))] {
        let arrival = arrival(&case, stores(INERTIA, 8.0), sweep);
        let found: Vec<(f64, f64, f64)> = arrival
            .moments
            .iter()
            .filter_map(|at| Some((at.time.si(), at.shaft_speed.si(), spare_power(&case, at)?)))
            .collect();
        assert!(found.len() > arrival.moments.len() / 2, "{} of {}", found.len(), arrival.moments.len());
        let work: f64 =
            found.windows(2).map(|pair| 0.5 * (pair[0].2 + pair[1].2) * (pair[1].0 - pair[0].0)).sum();
        let (first, last) = (found[0], found[found.len() - 1]);
        let gained = 0.5 * INERTIA * (last.1.powi(2) - first.1.powi(2));
        println!("gained {gained:.3} J, work {work:.3} J over {} moments", found.len());
        close_relative(work, gained, 2e-3);
    }
}

#[test]
fn moments_follow_each_other_and_boost_comes_in_order() {
    let case = cases()[4];
    let arrival = arrival(&case, stores(INERTIA, 8.0), Sweep::Held(rpm(4700.0)));
    let [ninety, whole] = [arrival.ninety, arrival.whole].map(|found| found.unwrap().0);
    assert!(ninety < whole);
    for pair in arrival.moments.windows(2) {
        assert!(pair[0].time < pair[1].time, "{:?}", pair[1]);
    }
    let last = arrival.moments.last().unwrap();
    close_relative(last.time.si(), whole.si(), 1e-12);
    close_relative(last.manifold_pressure.si(), arrival.target.si(), 1e-8);
    close_relative(last.speed.rpm(), 4700.0, 1e-12);
    let there = arrival.moments.iter().find(|moment| moment.time == ninety).unwrap();
    let barometer = case.installation.site.pressure().si();
    let expected = barometer + 0.9 * (arrival.target.si() - barometer);
    close_relative(there.manifold_pressure.si(), expected, 1e-8);
}

// Common practice, no source: the rotor's inertia sets the time, the volume of the pipes adds to it.
#[test]
fn inertia_and_volume_delay_boost() {
    let case = cases()[4];
    let once = ninety(&case, stores(2.0 * INERTIA, 1.0));
    let twice = ninety(&case, stores(4.0 * INERTIA, 1.0));
    between(twice / once, 1.8, 2.2);
    let bigger = ninety(&case, stores(2.0 * INERTIA, 20.0));
    assert!(bigger > 1.01 * once, "{bigger} {once}");
}

// Nothing is judged while a motion is followed, so what sets it in motion is judged before.
#[test]
fn a_pace_that_no_vehicle_has_is_refused() {
    let study = Study::demo().unwrap();
    let b = study.candidates.iter().find(|candidate| candidate.name() == "B").unwrap();
    let stores = Stores::new(kg_m2(4e-5), litre(7.0), litre(2.5)).unwrap();
    let turbine = &b.housings()[0].turbine;
    let sweeper = Sweeper::new(&study.installation, b, turbine, &study.fuels[1], stores).unwrap();
    let gear = Gear {
        mass: kg(650.0),
        wheel: m(0.3),
        gearing: fraction(6.0),
        driveline: Efficiency::new(0.9).unwrap(),
        turning: fraction(1.15),
        resistance: percent(3.0),
    };
    let arrival = |sweep| sweeper.arrival(sweep, kpa(60.0), kpa(180.0), second(6.0));
    let from = rpm(3500.0);
    assert!(arrival(Sweep::InGear(from, gear)).is_ok());
    for wrong in [
        Sweep::InGear(from, Gear { mass: kg(0.0), ..gear }),
        Sweep::InGear(from, Gear { wheel: m(f64::NAN), ..gear }),
        Sweep::Rising(from, rpm_per_s(f64::INFINITY)),
        Sweep::Rising(from, rpm_per_s(1e6)),
    ] {
        assert!(matches!(arrival(wrong), Err(SweepError::Formula(_))), "{wrong:?}");
    }
}
