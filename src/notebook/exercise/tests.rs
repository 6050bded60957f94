use super::*;
use crate::quantity::units::*;
use serde_json::Value;

fn key(exercise: &Exercise) -> Value {
    serde_json::from_str(&exercise.key()).unwrap()
}

#[test]
fn a_key_holds_what_marking_needs() {
    let name = "flow \"hot\" \\ é";
    let key = key(&exercise(name, lb_per_min(25.0), percent(1.0)).unwrap());
    assert_eq!(
        (&key["name"], &key["quantity"], &key["shown"]),
        (&name.into(), &"a mass flow".into(), &"kg/s".into())
    );
    // 1 lb = 0.45359237 kg (international yard and pound agreement, 1959).
    assert_eq!(key["value"].as_f64().unwrap(), 25.0 * (0.453_592_37 / 60.0));
    assert_eq!(key["within"], 0.01);
    assert_eq!(key["other_zero"], Value::Null);
    let units = key["units"].as_array().unwrap();
    assert_eq!(units.len(), MassFlow::UNITS.len());
    for (unit, ours) in units.iter().zip(MassFlow::UNITS) {
        assert_eq!(unit["label"], ours.label);
        assert_eq!(unit["factor"].as_f64(), Some(ours.factor), "{}", ours.label);
        assert_eq!(unit["offset"], 0.0);
        let aliases: Vec<&str> =
            unit["aliases"].as_array().unwrap().iter().map(|alias| alias.as_str().unwrap()).collect();
        assert_eq!(aliases, ours.aliases);
    }
}

/// The scripts read the committed outputs, so those must be what this code writes.
#[test]
fn the_committed_notebook_carries_these_keys() {
    let notebook: Value =
        serde_json::from_str(include_str!("../../../notebooks/exercises/first_boost.ipynb")).unwrap();
    let cells = notebook["cells"].as_array().unwrap().iter();
    let outputs = cells.flat_map(|cell| cell["outputs"].as_array().into_iter().flatten());
    let keys: Vec<&Value> = outputs.filter_map(|output| output["data"].get(KEY_TYPE)).collect();
    let named = |name: &str| *keys.iter().find(|key| key["name"] == name).unwrap();
    let displacement = litre(named("displacement")["value"].as_f64().unwrap() * 1e3);
    let manifold = pa(named("manifold pressure")["value"].as_f64().unwrap());
    let flow = corrected_kg_per_s(named("corrected flow")["value"].as_f64().unwrap());
    let written = [
        exercise("displacement", displacement, percent(1.0)),
        exercise("manifold pressure", manifold, percent(1.0)).and_then(|e| e.barometer(kpa(101.325))),
        exercise("corrected flow", flow, percent(1.0)),
    ];
    for exercise in written.map(Result::unwrap) {
        let mut ours = key(&exercise);
        // What the mistakes lead to is proved where the notebook is run, and marked in the test of the scripts.
        ours["mistakes"] = named(&exercise.name)["mistakes"].clone();
        assert_eq!(&ours, named(&exercise.name));
    }
}

fn hot() -> Result<Exercise, ExerciseError> {
    exercise("outlet temperature", worked().1, percent(0.5))
}

fn worked() -> (Derivation, Temperature) {
    use crate::compressor::outlet_temperature_constant_gamma as outlet;
    let ratio = PressureRatio::new(2.0).unwrap();
    let (efficiency, gamma) = (Efficiency::new(0.7).unwrap(), HeatCapacityRatio::new(1.4).unwrap());
    let record = outlet::record(deg_c(25.0), ratio, efficiency, gamma).unwrap();
    (record, outlet(deg_c(25.0), ratio, efficiency, gamma).unwrap())
}

fn mistakes(exercise: &Exercise) -> Vec<(String, f64)> {
    let told = key(exercise)["mistakes"].clone();
    let one = |one: &Value| (one["words"].as_str().unwrap().to_string(), one["value"].as_f64().unwrap());
    told.as_array().unwrap().iter().map(one).collect()
}

#[test]
fn a_key_holds_what_mistakes_lead_to() {
    assert_eq!(mistakes(&hot().unwrap()), []);
    let own = hot().unwrap().mistake("turned \"round\"", kelvin(300.0)).unwrap();
    assert_eq!(mistakes(&own), [("turned \"round\"".to_string(), 300.0)]);
    let both = mistakes(&own.steps(&worked().0).unwrap());
    assert_eq!(both[0].1, 300.0);
    // By hand: 25 (1 + (2^(0.4/1.4) - 1)/0.7) = 32.82 degC.
    let celsius = "inlet total temperature (T_01) entered in degC; the formula takes K";
    let told: Vec<f64> = both.iter().filter(|one| one.0 == celsius).map(|one| one.1).collect();
    assert!((told[0] - 305.97).abs() < 0.05 && (told[1] - 32.82).abs() < 0.05, "{told:?}");
    // What is stated by hand is not told again by the formula.
    let stated = kelvin(told[0]);
    let again = hot().unwrap().mistake("Celsius", stated).unwrap().steps(&worked().0).unwrap();
    let of_it = mistakes(&again).iter().filter(|one| (one.1 - told[0]).abs() < 1e-6).count();
    assert_eq!(of_it, 1);
}

/// A mistake that a barometer explains, for an answer that is no pressure.
#[test]
fn a_ratio_takes_a_barometer_with_its_steps() {
    use crate::charge::required_pressure_ratio as ratio;
    let inputs = (kpa(180.0), kpa_diff(6.0), kpa(100.0), kpa_diff(4.0));
    let answer = ratio(inputs.0, inputs.1, inputs.2, inputs.3).unwrap();
    let record = ratio::record(inputs.0, inputs.1, inputs.2, inputs.3).unwrap();
    let plain = exercise("r", answer, percent(1.0)).unwrap();
    assert!(matches!(plain.clone().barometer(kpa(100.0)), Err(ExerciseError::NotAPressure { .. })));
    let told = mistakes(&plain.steps(&record).unwrap().barometer(kpa(100.0)).unwrap());
    assert!(
        told.iter().any(|(words, value)| words.contains("as gauge") && (value - 86.0 / 96.0).abs() < 1e-9)
    );
    // The barometer itself as gauge would be zero, and the ratio negative: nobody answers that.
    assert!(told.iter().all(|(_, value)| *value > 0.0), "{told:?}");
}

#[test]
fn steps_and_mistakes_that_tell_nothing_are_refused() {
    let words = |error: ExerciseError| error.to_string();
    let other = exercise("t", kelvin(300.0), percent(1.0)).unwrap().steps(&worked().0).unwrap_err();
    assert!(words(other).contains("they give another answer"));
    let flow = exercise("w", kg_per_s(0.2), percent(1.0)).unwrap().steps(&worked().0).unwrap_err();
    assert!(words(flow).contains("they give a temperature, and a mass flow is asked for"));
    let (ratio, efficiency) = (PressureRatio::new(2.0).unwrap(), Efficiency::new(0.7).unwrap());
    let air = crate::gas::Gas::dry_air();
    let root = crate::compressor::outlet_temperature::record(&air, deg_c(25.0), ratio, efficiency).unwrap();
    let answer = kelvin(root.lines.last().unwrap().value);
    let refused = exercise("t", answer, percent(1.0)).unwrap().steps(&root).unwrap_err();
    assert!(words(refused).contains("they hold a root or a table"));
    for (text, value, why) in [
        ("", 300.0, "one line of 1 to 120 characters"),
        (" a", 300.0, "one line of 1 to 120 characters"),
        ("a\u{1b}", 300.0, "one line of 1 to 120 characters"),
        ("a", f64::NAN, "a finite number other than zero"),
        ("a", 0.0, "a finite number other than zero"),
        ("a", worked().1.si() * 1.004, "would be marked right"),
    ] {
        let error = words(hot().unwrap().mistake(text, kelvin(value)).unwrap_err());
        assert!(error.contains(why), "{error}");
    }
    let error = words(hot().unwrap().mistake("a", kelvin_diff(50.0)).unwrap_err());
    assert!(error.contains("it gives a temperature difference, and a temperature is asked for"), "{error}");
}

#[test]
fn a_temperature_carries_its_zeros() {
    let key = key(&exercise("t", deg_c(127.0), percent(1.0)).unwrap());
    assert!((key["value"].as_f64().unwrap() - 400.15).abs() < 1e-9);
    let celsius = key["units"].as_array().unwrap().iter().find(|unit| unit["label"] == "degC").unwrap();
    assert_eq!(celsius["offset"], 273.15);
}

#[test]
fn a_barometer_ties_gauge_to_absolute() {
    let absolute = exercise("p", kpa(200.0), percent(1.0)).unwrap();
    assert_eq!(key(&absolute)["other_zero"], Value::Null);
    let absolute = key(&absolute.barometer(kpa(98.0)).unwrap());
    assert_eq!(absolute["other_zero"]["shift"], 98_000.0);
    assert_eq!(absolute["other_zero"]["quantity"], "a gauge pressure");
    let gauge = key(&exercise("p", kpa_gauge(102.0), percent(1.0)).unwrap().barometer(kpa(98.0)).unwrap());
    assert_eq!(gauge["other_zero"]["shift"], -98_000.0);
    assert_eq!(gauge["other_zero"]["units"][0]["label"], "Pa");
}

#[test]
fn what_cannot_be_asked_is_refused() {
    let flow = |name: &str, value: f64, within: f64| {
        exercise(name, kg_per_s(value), fraction(within)).unwrap_err().to_string()
    };
    for name in ["", " a", "a\nb", "a = b", "a # b", "a\u{1b}[2J", &"x".repeat(81)] {
        assert!(flow(name, 0.2, 0.01).starts_with("the name of an exercise is one line"), "{name:?}");
    }
    for value in [f64::NAN, f64::INFINITY, 0.0] {
        assert!(flow("a", value, 0.01).contains("a finite number other than zero"), "{value}");
    }
    for within in [f64::NAN, f64::INFINITY, 0.0, -0.01, 0.51] {
        assert!(flow("a", 0.2, within).contains("at most 0.5 of itself"), "{within}");
    }
    let error = exercise("a", kg_per_s(0.2), percent(1.0)).unwrap().barometer(kpa(100.0)).unwrap_err();
    assert!(error.to_string().contains("asks for a mass flow"), "{error}");
    for barometer in [f64::NAN, 49.0, 111.0, f64::INFINITY] {
        let error = exercise("a", kpa(200.0), percent(1.0)).unwrap().barometer(kpa(barometer)).unwrap_err();
        assert!(error.to_string().contains("outside 50 to 110 kPa"), "{error}");
    }
}
