//! The slopes of a balanced state to its inputs against central differences of the line solved again.

#[path = "support/balance.rs"]
mod balance;
#[path = "support/reference.rs"]
mod reference;

use balance::{Case, study};
use reference::Worst;
use shaftwork::prelude::*;

/// What an input is moved in.
#[derive(Clone)]
struct Moved {
    installation: Installation,
    turbine: Turbine,
    plan: FuelPlan,
}

impl Moved {
    fn case(&self) -> Case<'_> {
        Case {
            installation: &self.installation,
            candidate: &study().candidates[2],
            turbine: &self.turbine,
            plan: &self.plan,
        }
    }
}

fn base(area_over_radius: f64) -> Moved {
    let study = study();
    Moved {
        installation: study.installation.clone(),
        turbine: Turbine::from_area_over_radius(mm(area_over_radius), mm(63.0)).unwrap(),
        plan: FuelPlan { fuel: blend(0.10), ..study.fuels[0].clone() },
    }
}

fn blend(ethanol: f64) -> Fuel {
    Fuel::ethanol_blend(fraction(ethanol), &Gasoline::typical()).unwrap()
}

/// The inputs that are moved.
const KEYS: [&str; 11] = [
    "engine.bore",
    "engine.volumetric_efficiency",
    "engine.compression_ratio",
    "cooler.effectiveness",
    "fuel.lambda",
    "fuel.share",
    "site.altitude",
    "turbine.wheel",
    "turbine.area_over_radius",
    "exhaust.back_pressure",
    "exhaust.temperature",
];

fn moved(from: &Moved, key: &str, value: f64) -> Moved {
    let mut to = from.clone();
    let engine = &from.installation.engine;
    let (bore, ratio, breathing) = (engine.bore(), engine.compression_ratio(), engine.breathing());
    let engine = |bore, ratio, breathing| {
        Engine::four_stroke(4, bore, engine.stroke(), ratio)
            .unwrap()
            .volumetric_efficiency(breathing)
            .unwrap()
    };
    let exhaust = &mut to.installation.exhaust;
    let (over, wheel) = (from.turbine.area_over_radius().unwrap(), from.turbine.wheel().unwrap());
    match key {
        "engine.bore" => to.installation.engine = engine(m(value), ratio, breathing),
        "engine.volumetric_efficiency" => to.installation.engine = engine(bore, ratio, fraction(value)),
        "engine.compression_ratio" => {
            to.installation.engine = engine(bore, CompressionRatio::new(value).unwrap(), breathing);
        }
        "cooler.effectiveness" => {
            let loss = *from.installation.cooler.loss();
            to.installation.cooler = ChargeCooler::new(Effectiveness::new(value).unwrap(), loss);
        }
        "fuel.lambda" => to.plan.lambda = Lambda::new(value).unwrap(),
        "fuel.share" => to.plan.fuel = blend(value),
        "site.altitude" => {
            let humid = RelativeHumidity::new(0.40).unwrap();
            let site = Site::at_altitude(m(value)).and_then(|site| site.air_temperature(deg_c(24.0)));
            to.installation.site = site.and_then(|site| site.humidity(humid)).unwrap();
        }
        "turbine.wheel" => to.turbine = Turbine::from_area_over_radius(over, m(value)).unwrap(),
        "turbine.area_over_radius" => to.turbine = Turbine::from_area_over_radius(m(value), wheel).unwrap(),
        "exhaust.back_pressure" => {
            exhaust.back_pressure = Loss::new(pa_diff(value), exhaust.back_pressure.stated_at()).unwrap();
        }
        "exhaust.temperature" => exhaust.temperature = kelvin(value),
        _ => panic!("{key}"),
    }
    to
}

fn outputs(of: &Moved, control: Control, speed: f64) -> [f64; 6] {
    let point = of.case().one(control, speed).unwrap();
    [
        point.power.si(),
        point.manifold_pressure.si(),
        point.exhaust_pressure.si(),
        point.shaft_speed.si(),
        point.manifold_temperature.si(),
        point.wastegate.si(),
    ]
}

/// At an engine speed where the wastegate does what is said.
fn compare(from: &Moved, control: Control, speed: f64, gate: Gate) {
    let case = from.case();
    let point = case.one(control, speed).unwrap();
    assert_eq!(point.gate, gate);
    let slopes =
        input_slopes(case.installation, case.candidate, case.turbine, case.plan, control, rpm(speed))
            .unwrap();
    let sizes = outputs(from, control, speed).map(|size| size.abs().max(0.1));
    let mut worst = Worst::new();
    for key in KEYS {
        let row = slopes.iter().find(|row| row.key == key).unwrap_or_else(|| panic!("no slope to {key}"));
        let ours = [
            row.power,
            row.manifold_pressure,
            row.exhaust_pressure,
            row.shaft_speed,
            row.manifold_temperature,
            row.wastegate,
        ];
        let half = 2e-5 * row.value;
        let [low, high] = [-half, half].map(|by| outputs(&moved(from, key, row.value + by), control, speed));
        for k in 0..6 {
            let differences = (high[k] - low[k]) / (2.0 * half);
            // Where an output does not answer, what counts is the output's own size.
            let size = differences.abs().max(1e-3 * sizes[k] / row.value);
            worst.see((ours[k] - differences) / size, format!("{key}, output {k}"));
        }
    }
    worst.holds("slopes against central differences", 1e-4);
}

#[test]
fn slopes_with_the_wastegate_regulating() {
    let from = base(20.8);
    compare(&from, Control::manifold(pa(190e3)).unwrap(), 5500.0, Gate::Regulating);
}

#[test]
fn slopes_with_the_wastegate_shut() {
    let from = base(60.0);
    let control = from.case().most_boost();
    let speeds: Vec<ShaftSpeed> = (0..10).map(|k| rpm(3000.0 + 200.0 * f64::from(k))).collect();
    let Onset::At(threshold) = from.case().line(control, &speeds).threshold.exhaust else {
        panic!("no threshold")
    };
    compare(&from, control, threshold.rpm() - 100.0, Gate::Shut);
}
