//! Balanced states against the same relations written again in Python and closed by SciPy.

#[path = "support/reference.rs"]
mod reference;

use reference::{Worst, table};
use shaftwork::prelude::*;

/// The installation that balance-scipy.py states.
fn installation() -> Installation {
    let loss = |kpa: f64, at: f64| Loss::new(kpa_diff(kpa), kg_per_s(at)).unwrap();
    let engine = Engine::four_stroke(4, mm(84.0), mm(84.0), CompressionRatio::new(9.2).unwrap()).unwrap();
    let heptane = Component::n_heptane().density();
    Installation {
        engine: engine.volumetric_efficiency(fraction(0.97)).unwrap(),
        site: Site::at_altitude(m(0.0)).unwrap(),
        intake: Intake { loss: loss(3.0, 0.25), heating: kelvin_diff(2.0) },
        cooler: ChargeCooler::new(Effectiveness::new(0.75).unwrap(), loss(8.0, 0.22)),
        exhaust: Exhaust {
            temperature: kelvin(1173.15),
            seen_at: None,
            pipe: None,
            back_pressure: loss(9.0, 0.27),
            efficiency: TurbineEfficiency::with_bearings(Efficiency::new(0.66).unwrap()),
            most_expansion: ExpansionRatio::new(3.0).unwrap(),
        },
        injectors: Injectors::new(4, cc_per_min(680.0), bar_diff(3.0), heptane, bar_diff(3.5)).unwrap(),
        limits: UserLimits::default(),
    }
}

// balance-scipy.csv: SciPy 1.17.1, scipy.optimize.root.
#[test]
fn balanced_states_are_those_that_scipy_finds() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/data/demo/map-b.csv");
    let candidate = Candidate::with_map("B", CompressorMap::from_csv(file).unwrap());
    let installation = installation();
    let lambda = Lambda::new(0.85).unwrap();
    let plan = FuelPlan { fuel: Fuel::gasoline().unwrap(), lambda, most_boost: None };
    let mut worst = Worst::new();
    let rows = table("balance-scipy.csv");
    assert_eq!(rows.len(), 6);
    for row in rows {
        let turbine = Turbine::from_effective_area(m2(row.number("area")), fraction(0.1))
            .and_then(|turbine| turbine.with_wheel(mm(63.0)))
            .unwrap();
        let target = row.number("target");
        let (target, gate) = if target > 0.0 { (target, Gate::Regulating) } else { (600e3, Gate::Shut) };
        let control = Control::manifold(pa(target)).unwrap();
        let speed = rpm(row.number("rpm"));
        let line = operating_line(&installation, &candidate, &turbine, &plan, control, &[speed]).unwrap();
        let point = line.points[0].1.as_ref().unwrap();
        assert_eq!(point.gate, gate);
        for (name, ours) in [
            ("air", point.air.si()),
            ("ratio", point.ratio.si()),
            ("shaft", point.shaft_speed.si()),
            ("efficiency", point.efficiency.si()),
            ("outlet", point.outlet_temperature.si()),
            ("manifold", point.manifold_pressure.si()),
            ("cooled", point.manifold_temperature.si()),
            ("exhaust", point.exhaust_pressure.si()),
            ("expansion", point.expansion.si()),
            ("turbine_efficiency", point.turbine_efficiency.si()),
            ("power", point.power.si()),
            ("wastegate", 1.0 + point.wastegate.si()),
            ("shaft_power", point.shaft_power.si()),
        ] {
            let theirs = row.number(name) + if name == "wastegate" { 1.0 } else { 0.0 };
            worst.see(ours / theirs - 1.0, format!("{:.0} rpm, {name}", speed.rpm()));
        }
    }
    worst.holds("states against SciPy", 1e-6);
}
