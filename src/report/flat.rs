//! A results file as a list of named results.

use super::dependence::{CHANGED, LIMITS, of_change, of_limit};
use crate::study::combination;
use serde_json::Value;
use std::collections::BTreeMap;

/// One result: a number with its unit, or words.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Item {
    Number(f64, String),
    Words(String),
    Nothing,
}

impl core::fmt::Display for Item {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Number(value, unit) if unit.is_empty() => {
                f.write_str(&crate::quantity::significant(*value, 7))
            }
            Self::Number(value, unit) => write!(f, "{} {unit}", crate::quantity::significant(*value, 7)),
            Self::Words(words) => f.write_str(words),
            Self::Nothing => f.write_str("none"),
        }
    }
}

/// Everything that a results file says about its candidates, by path; what would help only `with_cures`.
pub(super) fn items(results: &Value, with_cures: bool) -> BTreeMap<String, Item> {
    let mut all = BTreeMap::new();
    for entry in results["not_sized"].as_array().into_iter().flatten() {
        let missing = entry["missing"].as_str().unwrap_or_default();
        all.insert(format!("{}: {missing}", named(entry)), item(&entry["why"]));
    }
    for entry in results["results"].as_array().into_iter().flatten() {
        let label = named(entry);
        all.insert(format!("{label}: reaches target"), item(&entry["reaches_target"]));
        let most = &entry["most_power"];
        let path = format!("{label}: most power");
        all.insert(path.clone(), item(&most["power"]));
        all.insert(format!("{path}, low"), item(&most["low"]));
        all.insert(format!("{path}, high"), item(&most["high"]));
        all.insert(format!("{path}, stopped by"), item(&most["stopped_by"]["limit"]));
        all.insert(format!("{path}, stopped at"), item(&most["stopped_by"]["engine_speed"]));
        let rise = &entry["rise"];
        let [held, whole] = [&rise["held"], &rise["arrival"]["whole"]];
        all.insert(format!("{label}: boost asked for"), item(&rise["manifold_pressure"]));
        all.insert(format!("{label}: boost held"), item(&held["is"]));
        all.insert(format!("{label}: boost held, engine speed"), item(&held["engine_speed"]));
        all.insert(format!("{label}: boost in gear, time"), item(&whole["time"]));
        all.insert(format!("{label}: boost in gear, engine speed"), item(&whole["engine_speed"]));
        if with_cures {
            cures(&mut all, &label, &entry["cures"]);
        }
        for point in entry["points"].as_array().into_iter().flatten() {
            let rpm =
                point["engine_speed"]["value"].as_f64().unwrap_or(f64::NAN) * 30.0 / core::f64::consts::PI;
            let path = format!("{label}, {rpm:.0} rpm");
            for (key, value) in point.as_object().into_iter().flatten() {
                match (key.as_str(), value) {
                    ("engine_speed" | "why", _) => {}
                    ("margins", margins) => {
                        for margin in margins.as_array().into_iter().flatten() {
                            let limit = margin["limit"].as_str().unwrap_or_default();
                            all.insert(format!("{path}: margin to {limit}"), item(&margin["margin"]));
                        }
                    }
                    (key, value) => {
                        all.insert(format!("{path}: {key}"), item(value));
                    }
                }
            }
        }
    }
    all
}

/// The name of a combination.
fn named(entry: &Value) -> String {
    let text = |key: &str| entry[key].as_str().unwrap_or_default();
    let read = entry["reading"]["words"].as_str().map(|reading| format!(", {reading}"));
    let candidate = text("candidate").to_string() + &read.unwrap_or_default();
    combination(&candidate, text("housing"), text("fuel"))
}

/// The limits that are met and the changes, where they were asked for.
fn cures(all: &mut BTreeMap<String, Item>, label: &str, cures: &Value) {
    let list = |key: &str| cures[key].as_array().into_iter().flatten();
    for met in list("limits") {
        let path = of_limit(label, met["limit"].as_str().unwrap_or_default());
        for (what, key) in LIMITS {
            all.insert(format!("{path}, {what}"), item(&met[key]));
        }
    }
    for change in list("changes") {
        let path = of_change(label, change["change"].as_str().unwrap_or_default());
        for (what, key) in CHANGED {
            all.insert(format!("{path}, {what}"), item(change.pointer(key).unwrap_or(&Value::Null)));
        }
    }
}

fn item(value: &Value) -> Item {
    match (value, value["value"].as_f64()) {
        (_, Some(number)) => Item::Number(number, value["unit"].as_str().unwrap_or_default().into()),
        (Value::String(words), _) => Item::Words(words.clone()),
        _ => Item::Nothing,
    }
}

/// Relative difference of two results that counts as none: what is solved for has settled to 1e-10.
pub(super) const SAME: f64 = 1e-9;

/// The share by which a number moved, or whether words did. Numbers that pass through zero, as margins do, are
/// measured by one.
pub(super) fn moved(before: &Item, after: &Item) -> Option<String> {
    match (before, after) {
        (Item::Number(a, unit), Item::Number(b, other)) if unit == other => {
            let size = if unit.is_empty() { a.abs().max(1.0) } else { a.abs() };
            let share = (b - a) / if size > 0.0 { size } else { 1.0 };
            // Not a number on both sides would be the same; on one side it is a difference.
            let same = share.abs() <= SAME || a.to_bits() == b.to_bits();
            let percent = 100.0 * share;
            (!same).then(|| {
                if percent.abs() >= 0.01 { format!("{percent:+.2} %") } else { format!("{share:+.1e}") }
            })
        }
        (a, b) => (a != b).then(|| "other".to_string()),
    }
}
