//! What a sizing says: verdict first, each number with its unit, and the function behind it exists.
#![cfg(feature = "cli")]

use serde_json::Value;
use shaftwork::study::{Sizing, Study};
use shaftwork::{registry, report};
use std::collections::BTreeSet;
use std::sync::OnceLock;

fn demo() -> &'static Sizing {
    static DEMO: OnceLock<Sizing> = OnceLock::new();
    DEMO.get_or_init(|| Study::demo().unwrap().size().unwrap())
}
fn results() -> Value {
    serde_json::from_str(&report::json(demo())).unwrap()
}

#[test]
fn the_verdict_comes_before_the_details() {
    let printed = report::text(demo());
    let place = |words: &str| printed.find(words).unwrap_or_else(|| panic!("no {words}"));
    let order =
        ["VERDICT", "Not judged yet", "WHAT LEAVES A VERDICT OPEN", "margin to", "ASSUMPTIONS", "CAUTIONS"];
    assert!(order.map(place).is_sorted());
    let verdict = &printed[..place("Not judged yet")];
    for words in
        ["A, inducer 46.4 mm, A/R 17.8 mm", "B, A/R 20.8 mm", "C, A/R 26.9 mm", "yes", "open", "no ", "kW"]
    {
        assert!(verdict.contains(words), "{words}");
    }
}

#[test]
fn the_layout_of_the_results() {
    let results = results();
    assert_eq!(results["schema"], "shaftwork-results/7");
    assert_eq!(results["version"], env!("CARGO_PKG_VERSION"));
    assert_eq!(results["invented"], true);
    let entries = results["results"].as_array().unwrap();
    assert_eq!(entries.len(), 10);
    for entry in entries {
        assert!(["yes", "open", "no"].contains(&entry["reaches_target"].as_str().unwrap()));
        assert_eq!(entry["reaches_target"] == "open", !entry["doubts"].as_array().unwrap().is_empty());
        assert_eq!(entry["reading"].is_null(), entry["candidate"] != "A");
        assert!(entry["most_power"]["power"]["value"].as_f64().unwrap() > 1e5);
        assert_eq!(entry["points"].as_array().unwrap().len(), 3);
    }
    for list in ["not_judged", "inputs", "assumptions"] {
        assert!(!results[list].as_array().unwrap().is_empty(), "{list}");
    }
}

/// Calls `see` with the key and the value of everything in the tree.
fn walk(value: &Value, key: &str, see: &mut impl FnMut(&str, &Value)) {
    see(key, value);
    match value {
        Value::Object(map) => map.iter().for_each(|(key, value)| walk(value, key, see)),
        Value::Array(list) => list.iter().for_each(|value| walk(value, key, see)),
        _ => {}
    }
}

/// Keys whose values are bare numbers. Beside the line of an input stand the ends of a margin's band,
/// whose unit is that of the margin.
const BARE: [&str; 3] = ["line", "worse", "better"];

// Property: a number stands in an object with its unit, and there is none that is not finite.
#[test]
fn every_number_has_its_unit() {
    let (mut numbers, mut bare) = (0, BTreeSet::new());
    walk(&results(), "", &mut |key, value| match value {
        Value::Object(map) if map.contains_key("unit") || map.get("value").is_some_and(Value::is_number) => {
            numbers += 1;
            assert!(map["value"].is_f64() && map["unit"].is_string(), "{key}: {map:?}");
            assert!(map.keys().all(|key| ["value", "unit", "by"].contains(&key.as_str())), "{key}: {map:?}");
        }
        // The version of a formula, under its name.
        Value::Number(_) if key.contains("::") => {}
        Value::Number(_) if key != "value" => drop(bare.insert(key.to_string())),
        _ => {}
    });
    assert!(numbers > 500, "{numbers}");
    let extra: Vec<_> = bare.iter().filter(|key| !BARE.contains(&key.as_str())).collect();
    assert!(extra.is_empty(), "{extra:?}");
}

/// Paths of the library that are no formulas, each named here so that a lost one does not compile.
macro_rules! paths {
    ($($($part:ident)::+),+ $(,)?) => { [$({
        #[allow(unused_imports)]
        use shaftwork::$($part)::+;
        path(&[$(stringify!($part)),+])
    }),+] };
}
fn path(parts: &[&str]) -> String {
    parts.join("::")
}

/// What may stand as the origin of a number: formulas, other functions and types, and plain words.
fn origins() -> BTreeSet<String> {
    let _ = shaftwork::compressor::CompressorMap::at_point;
    let methods = ["compressor::CompressorMap::at_point"];
    let words = ["asked for"];
    let others = paths![shaft::operating_point];
    let formulas = registry::formulas().map(|formula| formula.name.to_string());
    formulas.chain(others).chain(methods.into_iter().chain(words).map(String::from)).collect()
}

#[test]
fn every_number_of_a_point_has_an_origin_that_exists() {
    let (origins, mut named) = (origins(), 0);
    walk(&results(), "", &mut |key, value| {
        if key == "by" {
            named += 1;
            assert!(origins.contains(value.as_str().unwrap()), "{value}");
        }
    });
    assert!(named > 400, "{named}");
}

#[test]
fn every_function_in_the_text_exists() {
    let origins = origins();
    let text = report::text(demo());
    let words = text.split(|c: char| !(c.is_ascii_alphanumeric() || c == '_' || c == ':'));
    let paths: BTreeSet<&str> = words.filter(|word| word.contains("::")).collect();
    assert!(paths.len() > 15, "{paths:?}");
    let lost: Vec<_> = paths.iter().filter(|path| !origins.contains(**path)).collect();
    assert!(lost.is_empty(), "{lost:?}");
}
