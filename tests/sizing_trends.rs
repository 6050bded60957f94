//! How a sizing answers to the place, the day, the fuel and the engine.
#![cfg(feature = "study")]

#[path = "support/reference.rs"]
mod reference;

use core::f64::consts::PI;
use proptest::prelude::*;
use reference::{between, close_relative, seeded};
use shaftwork::formula::Property;
use shaftwork::gas::{WaterGas, burn, isentropic_temperature};
use shaftwork::prelude::*;
use std::cell::Cell;

/// Candidate C of the demonstration with its larger housing on the ethanol blend, 180 kW at 6700 rev/min.
fn point(edit: impl FnOnce(&mut Installation, &mut FuelPlan)) -> OperatingPoint {
    let study = Study::demo().unwrap();
    let (mut installation, mut plan) = (study.installation, study.fuels[1].clone());
    edit(&mut installation, &mut plan);
    let unit = study.candidates.last().unwrap();
    let target = Target::crank(kw(180.0), rpm(6700.0));
    operating_point(&installation, unit, &unit.housings()[1].turbine, &plan, target).unwrap()
}
#[track_caller]
fn rises<T: PartialOrd + core::fmt::Debug>(values: impl IntoIterator<Item = T>) {
    let values: Vec<T> = values.into_iter().collect();
    assert!(values.len() > 1 && values.windows(2).all(|pair| pair[0] < pair[1]), "{values:?}");
}

// Property: thinner air asks for more pressure ratio, more corrected flow and more expansion for one power.
#[test]
fn height() {
    let sites =
        [0.0, 1150.0, 3000.0].map(|h| Site::at_altitude(m(h)).unwrap().air_temperature(deg_c(24.0)).unwrap());
    rises(sites.iter().rev().map(Site::pressure));
    let points = sites.map(|site| point(|installation, _| installation.site = site));
    rises(points.iter().map(|p| p.ratio));
    rises(points.iter().map(|p| p.corrected_flow));
    rises(points.iter().map(|p| p.drive.ratio));
    rises(points.iter().map(|p| p.shaft_speed));
    // The engine needs about the same air: only the pumping differs.
    points.iter().for_each(|p| close_relative(p.demand.air.si(), points[0].demand.air.si(), 0.02));
}

// Property: on a hotter day the charge is hotter, and one power needs more boost; the air is dry here.
#[test]
fn heat() {
    let day = |t| Site::at_altitude(m(1150.0)).unwrap().air_temperature(deg_c(t)).unwrap();
    let points = [0.0, 24.0, 45.0].map(|t| point(|installation, _| installation.site = day(t)));
    rises(points.iter().map(|p| p.manifold_temperature));
    rises(points.iter().map(|p| p.boost));
    rises(points.iter().map(|p| p.ratio));
    points.iter().for_each(|p| close_relative(p.demand.air.si(), points[0].demand.air.si(), 0.02));
}

// Property: on a damp day the same dry air brings its water along: more flow, more boost.
#[test]
fn damp() {
    let day = |rh| {
        Site::at_altitude(m(1150.0)).unwrap().air_temperature(deg_c(30.0)).unwrap().humidity(rh).unwrap()
    };
    let points = [0.0, 0.4, 0.9].map(|rh| point(|i, _| i.site = day(RelativeHumidity::new(rh).unwrap())));
    rises(points.iter().map(|p| p.demand.air));
    rises(points.iter().map(|p| p.boost));
    // 90 % at 30 degC and 88.25 kPa by hand: 3.82 kPa of vapour, 0.0281 of water to one of dry air.
    between(points[2].demand.air / points[0].demand.air, 1.023, 1.035);
}

// Property: a restriction before or after the compressor, a poor cooler and a blocked exhaust all cost boost or drive.
#[test]
fn losses() {
    let loss = |kpa| Loss::new(kpa_diff(kpa), kg_per_s(0.25)).unwrap();
    let with =
        |edit: &dyn Fn(&mut Installation, f64), values: [f64; 2]| values.map(|v| point(|i, _| edit(i, v)));
    rises(with(&|i, v| i.intake.loss = loss(v), [1.0, 6.0]).map(|p| p.ratio));
    rises(
        with(&|i, v| i.cooler = ChargeCooler::new(i.cooler.effectiveness(), loss(v)), [4.0, 16.0])
            .map(|p| p.ratio),
    );
    let cooler = |i: &mut Installation, v| {
        i.cooler = ChargeCooler::new(Effectiveness::new(v).unwrap(), *i.cooler.loss())
    };
    rises(with(&|i, v| cooler(i, 1.0 - v), [0.2, 0.5]).map(|p| p.manifold_pressure));
    rises(with(&|i, v| i.exhaust.back_pressure = loss(v), [5.0, 25.0]).map(|p| p.drive.pressure));
    rises(with(&|i, v| i.exhaust.temperature = deg_c(-v), [-1000.0, -800.0]).map(|p| p.drive.ratio));
}

// Fuels at equal lambda and efficiency, against gasoline, by hand from data/fuel/components.csv (ethanol 793.69 kg/m3,
// 26.818 MJ/kg and 9.0041, gasoline 745 kg/m3, 43.0 MJ/kg and 14.5736): fuel by mass LHV_0/LHV, by volume times rho_0/rho, injectors open times
// sqrt(rho_0/rho), air (AFR/LHV)/(AFR_0/LHV_0). Half of the last digit; by volume 21, 31 and 39 % more.
#[test]
fn blends_of_ethanol() {
    let blend = |share| Fuel::ethanol_blend(percent(share), &Gasoline::typical()).unwrap();
    let lambda = Lambda::new(0.85).unwrap();
    let at = |fuel: &Fuel| {
        let running = Running::new(lambda, kpa_diff(20.0));
        let study = Study::demo().unwrap();
        let target = Target::crank(kw(180.0), rpm(6700.0));
        let demand = air_demand(&study.installation.engine, fuel, running, target).unwrap();
        let whole = point(|_, plan| *plan = FuelPlan { fuel: fuel.clone(), lambda, most_boost: None });
        (demand, study.installation.injectors, whole)
    };
    let gasoline = blend(0.0);
    let (base, injectors, whole) = at(&gasoline);
    let mut points = vec![whole.clone()];
    for (share, ratio, by_mass, by_volume, open, air) in [
        (51.0, 11.6451, 1.2467, 1.2065, 1.2264, 0.9962),
        (71.0, 10.5476, 1.3737, 1.3128, 1.3429, 0.9942),
        (83.0, 9.9022, 1.4612, 1.3860, 1.4231, 0.9928),
    ] {
        let fuel = blend(share);
        let (demand, _, found) = at(&fuel);
        close_relative(fuel.stoichiometric_ratio().unwrap().si(), ratio, 1e-4);
        close_relative(demand.fuel / base.fuel, by_mass, 5e-5);
        close_relative(demand.consumption / base.consumption, by_mass, 5e-5);
        let volume = demand.fuel.si() / fuel.density().si() / (base.fuel.si() / gasoline.density().si());
        close_relative(volume, by_volume, 5e-5);
        let duty =
            injectors.duty(demand.fuel, &fuel).unwrap() / injectors.duty(base.fuel, &gasoline).unwrap();
        close_relative(duty, open, 5e-5);
        close_relative(demand.air / base.air, air, 1e-4);
        // At the operating point the pumping changes a little too.
        close_relative(found.demand.fuel / whole.demand.fuel, by_mass, 0.01);
        close_relative(found.duty / whole.duty, open, 0.01);
        close_relative(found.demand.air / whole.demand.air, 1.0, 0.02);
        points.push(found);
    }
    rises(points.iter().map(|p| p.demand.fuel));
    rises(points.iter().map(|p| p.duty));
    rises(points.iter().map(|p| p.demand.consumption));
    rises(points.iter().rev().map(|p| p.demand.air));
}

// Property: below its lowest speed line an estimated map says no more than a published one, on any day.
#[test]
fn a_wheel_without_boost() {
    let study = Study::demo().unwrap();
    let (mut around, unit) = (study.installation, &study.candidates[0]);
    for celsius in 0..=40 {
        around.site = around.site.clone().air_temperature(deg_c(f64::from(celsius))).unwrap();
        let target = Target::crank(kw(30.0), rpm(6700.0));
        let found = operating_point(&around, unit, &unit.housings()[0].turbine, &study.fuels[1], target);
        assert_eq!(found.unwrap_err().limit(), Some(Limit::BelowMap), "{celsius} degC");
    }
}

/// A map made of that of candidate C by its flows.
fn scaled_map(by: f64) -> CompressorMap {
    let text = include_str!("../data/demo/map-c.csv");
    let scaled = text.lines().map(|line| {
        let fields: Vec<&str> = line.split(',').collect();
        match fields.get(1).and_then(|flow| flow.parse::<f64>().ok()) {
            Some(flow) => format!("{},{},{},{}\n", fields[0], flow * by, fields[2], fields[3]),
            None => format!("{line}\n"),
        }
    });
    CompressorMap::from_csv_text("scaled.csv", &scaled.collect::<String>()).unwrap()
}

/// Air, pumping and shaft of a point, recomputed.
fn balances(p: &OperatingPoint, around: &Installation, plan: &FuelPlan) -> [f64; 3] {
    let (air, hot) = (around.air().unwrap(), p.drive.temperature);
    let density = p.manifold_pressure.si() / (air.gas_constant().si() * p.manifold_temperature.si());
    let swept = around.engine.displacement().unwrap().si() * p.demand.speed.si() / (4.0 * PI);
    let compression = around.engine.compression_ratio().si();
    let left = (p.drive.pressure.si() / p.manifold_pressure.si()).powf(1.0 / 1.3);
    let breathing = around.engine.breathing().si() * (compression - left) / (compression - 1.0);
    let drawn = breathing * swept * density;
    let gas = burn(&plan.fuel, plan.lambda, &air, WaterGas::default()).unwrap().gas;
    let cold =
        isentropic_temperature(&gas, hot, PressureRatio::new(1.0 / p.drive.ratio.si()).unwrap()).unwrap();
    let work =
        around.exhaust.efficiency.overall().si() * (gas.h().value(hot.si()) - gas.h().value(cold.si()));
    let given = (p.demand.air.si() + p.demand.fuel.si()) * (1.0 - p.drive.wastegate.si()) * work;
    [
        drawn / p.demand.air.si() - 1.0,
        // Without boost there is nothing to drive.
        (given - p.compressor_power.si()) / p.compressor_power.si().max(1.0),
        (p.demand.pumping.si() - (p.drive.pressure.si() - p.manifold_pressure.si()))
            / p.manifold_pressure.si(),
    ]
}

// Property: for any engine, place and unit there is a point with closed balances, a limit, or a reason; no NaN.
#[test]
fn any_engine_has_a_point_or_a_reason() {
    let (points, limits, reasons) = (Cell::new(0), Cell::new(0), Cell::new(0));
    let count = |cell: &Cell<u32>| cell.set(cell.get() + 1);
    let study = Study::demo().unwrap();
    let engine = (2..=8_u32, 70.0..100.0_f64, 70.0..100.0_f64, 8.0..12.0_f64);
    let place = (0.0..3000.0_f64, -20.0..45.0_f64);
    // From 14 bar on every one of them needs boost.
    let load = (14.0..28.0_f64, 2500.0..7500.0_f64);
    let unit = (0.6..1.7_f64, 0.6..1.6_f64, any::<bool>(), 0.0..85.0_f64);
    proptest!(seeded(120), |(engine in engine, place in place, load in load, unit in unit)| {
        let (cylinders, bore, stroke, compression) = engine;
        let compression = CompressionRatio::new(compression).unwrap();
        let around = Installation {
            engine: Engine::four_stroke(cylinders, mm(bore), mm(stroke), compression).unwrap(),
            site: Site::at_altitude(m(place.0)).unwrap().air_temperature(deg_c(place.1)).unwrap(),
            ..study.installation.clone()
        };
        let speed = rpm(load.1);
        let power = around.engine.displacement().unwrap().si() * speed.si() / (4.0 * PI) * load.0 * 1e5;
        // A kilogram of air a second carries about a megawatt: the unit is of about the right size.
        let size = power / 245e3;
        let turbine = Turbine::from_effective_area(mm2((700.0 * size * unit.1).max(25.0)), percent(20.0)).unwrap();
        let candidate = if unit.2 {
            Candidate::with_map("map", scaled_map(size * unit.0))
        } else {
            let inducer = (48.0 * (size * unit.0).sqrt()).max(16.0);
            let wheel = WheelGeometry::builder(mm(inducer), mm((inducer * 1.3).max(20.0))).build().unwrap();
            Candidate::with_geometry("wheel", wheel).unwrap()
        };
        let fuel = Fuel::ethanol_blend(percent(unit.3), &Gasoline::typical()).unwrap();
        let losses = |kpa: f64| Loss::new(kpa_diff(kpa), kg_per_s(0.25 * size)).unwrap();
        let around = Installation {
            intake: Intake { loss: losses(3.0), ..around.intake },
            cooler: ChargeCooler::new(around.cooler.effectiveness(), losses(8.0)),
            exhaust: Exhaust { back_pressure: losses(9.0), ..around.exhaust },
            ..around
        };
        let plan = FuelPlan { fuel, lambda: Lambda::new(0.85).unwrap(), most_boost: None };
        match operating_point(&around, &candidate, &turbine, &plan, Target::crank(watt(power), speed)) {
            Ok(point) => {
                count(&points);
                for row in point.rows() {
                    prop_assert!(row.value.is_finite(), "{:?}", row);
                }
                for off in balances(&point, &around, &plan) {
                    prop_assert!(off.abs() <= 1e-6, "{:e}", off);
                }
            }
            Err(error) if error.limit().is_some() => count(&limits),
            Err(error) => {
                count(&reasons);
                prop_assert!(matches!(error, NotFound::Formula(_)), "{}", error);
                prop_assert!(error.to_string().contains("is outside"), "{}", error);
            }
        }
    });
    println!("{points:?} found, {limits:?} limits, {reasons:?} reasons");
    between(f64::from(points.get()), 40.0, 120.0);
    assert!(limits.get() > 0);
}
