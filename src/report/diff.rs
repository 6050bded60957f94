//! Two saved results side by side: what was put in differently, and what moved because of it.

use super::flat::{Item, items, moved};
use super::saved::{Saved, SavedError, version_words};
use core::fmt::Write;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// The differences of two saved results.
#[derive(Clone, Debug, PartialEq)]
pub struct Diff {
    /// Inputs that differ: name, in the first, in the second.
    pub inputs: Vec<[String; 3]>,
    /// Assumptions that only one of them makes, or that differ, in words.
    pub assumptions: Vec<String>,
    /// Formulas whose versions differ, in words.
    pub formulas: Vec<String>,
    /// Results that moved.
    pub results: Vec<Moved>,
    /// Results that rest on a changed input and did not move.
    pub unmoved: Vec<String>,
}

/// A result that moved.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// Its name.
    pub name: String,
    /// In the first and in the second.
    pub values: [String; 2],
    /// By how much.
    pub by: String,
    /// The changed inputs that it rests on.
    pub because: Vec<String>,
}

/// Compares two results files.
///
/// # Errors
///
/// [`SavedError`] for a file that cannot be read.
pub fn diff(first: &Path, second: &Path) -> Result<Diff, SavedError> {
    let (a, b) = (Saved::read(first)?, Saved::read(second)?);
    let inputs = changed_inputs(&a, &b);
    let formulas = a.versions_against(&b.value);
    let names: BTreeSet<&str> = inputs.iter().map(|[name, ..]| name.as_str()).collect();
    // What only one of them was asked for has not moved.
    let both = a.has_cures() && b.has_cures();
    let (before, after) = (items(&a.value, both), items(&b.value, both));
    let all: BTreeSet<&String> = before.keys().chain(after.keys()).collect();
    let (mut results, mut unmoved) = (Vec::new(), Vec::new());
    for name in all {
        let of = |all: &BTreeMap<String, Item>| all.get(name).cloned().unwrap_or(Item::Nothing);
        let (first, second) = (of(&before), of(&after));
        let behind = |name: &str| -> Vec<String> {
            let all: BTreeSet<&str> =
                a.inputs_behind(name).into_iter().chain(b.inputs_behind(name)).collect();
            all.intersection(&names).map(ToString::to_string).collect()
        };
        let mut because = behind(name);
        // A point that came into being, or went, rests on all that decides whether it exists.
        if first == Item::Nothing || second == Item::Nothing {
            let label = name.rsplit_once(" rpm: ").and_then(|(point, _)| point.rsplit_once(", "));
            because.extend(
                label.map_or_else(Vec::new, |(label, _)| behind(&format!("{label}: reaches target"))),
            );
            because.sort();
            because.dedup();
        }
        match moved(&first, &second) {
            Some(by) => results.push(Moved {
                name: name.clone(),
                values: [first.to_string(), second.to_string()],
                by,
                because,
            }),
            None if !because.is_empty() => unmoved.push(name.clone()),
            None => {}
        }
    }
    // What a reader asks first comes first.
    results.sort_by_key(|moved| moved.name.contains(" rpm: "));
    Ok(Diff {
        inputs,
        assumptions: changed_assumptions(&a.value, &b.value),
        formulas: formulas.into_iter().map(|(name, a, b)| version_words(&name, a, b)).collect(),
        results,
        unmoved,
    })
}

/// Typed inputs by key, the defaults that stand where none is typed, and the files of maps.
fn inputs(saved: &Saved) -> BTreeMap<String, String> {
    let text = |value: &Value| value.as_str().unwrap_or_default().to_string();
    let typed = saved.value["inputs"].as_array().into_iter().flatten();
    let mut all: BTreeMap<String, String> =
        typed.map(|input| (text(&input["key"]), text(&input["typed"]))).collect();
    let defaults = saved.value["assumptions"].as_array().into_iter().flatten();
    for default in defaults.filter(|default| default["key"].as_str().is_some_and(|key| !key.is_empty())) {
        all.insert(format!("default of {}", text(&default["key"])), text(&default["value"]));
    }
    for file in saved.files().into_iter().skip(1) {
        let summary =
            format!("{} lines, check number {:08x}", file.text.lines().count(), check_number(&file.text));
        all.insert(format!("file {}", file.name), summary);
    }
    all
}

fn changed_inputs(a: &Saved, b: &Saved) -> Vec<[String; 3]> {
    let (a, b) = (inputs(a), inputs(b));
    let names: BTreeSet<&String> = a.keys().chain(b.keys()).collect();
    let of = |all: &BTreeMap<String, String>, name: &str| {
        all.get(name).cloned().unwrap_or_else(|| "not given".into())
    };
    names
        .into_iter()
        .map(|name| [name.clone(), of(&a, name), of(&b, name)])
        .filter(|[_, first, second]| first != second)
        .collect()
}

fn changed_assumptions(a: &Value, b: &Value) -> Vec<String> {
    let list = |value: &Value| -> BTreeMap<String, String> {
        let all = value["assumptions"].as_array().into_iter().flatten();
        all.map(|entry| {
            let text = |key: &str| entry[key].as_str().unwrap_or_default().to_string();
            (text("what"), format!("{} ({}, {})", text("value"), text("band"), text("grade")))
        })
        .collect()
    };
    let (a, b) = (list(a), list(b));
    let names: BTreeSet<&String> = a.keys().chain(b.keys()).collect();
    let mut changed = Vec::new();
    for name in names {
        match (a.get(name), b.get(name)) {
            (Some(first), Some(second)) if first != second => {
                changed.push(format!("{name}: {first} became {second}"))
            }
            (Some(first), None) => changed.push(format!("{name}: {first} is no longer assumed")),
            (None, Some(second)) => changed.push(format!("{name}: {second} is assumed now")),
            _ => {}
        }
    }
    changed
}

/// A check number of a text (32-bit FNV-1a), so that two versions of a map can be told apart.
fn check_number(text: &str) -> u32 {
    text.bytes().fold(0x811c_9dc5, |hash, byte| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193))
}

impl core::fmt::Display for Diff {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let mut out = String::new();
        writeln!(out, "INPUTS THAT DIFFER ({})", self.inputs.len())?;
        for [name, first, second] in &self.inputs {
            writeln!(out, "  {name}: {first} became {second}")?;
        }
        writeln!(out, "ASSUMPTIONS THAT DIFFER ({})", self.assumptions.len())?;
        for words in &self.assumptions {
            writeln!(out, "  {words}")?;
        }
        writeln!(out, "FORMULAS OF OTHER VERSIONS ({})", self.formulas.len())?;
        for words in &self.formulas {
            writeln!(out, "  {words}")?;
        }
        writeln!(
            out,
            "RESULTS THAT MOVED ({}), with the changed inputs that each rests on",
            self.results.len()
        )?;
        for moved in &self.results {
            let [first, second] = &moved.values;
            let because = if moved.because.is_empty() {
                "no changed input leads here; another limit applies, or a formula changed".to_string()
            } else {
                moved.because.join(", ")
            };
            writeln!(out, "  {}: {first} became {second} ({}) <- {because}", moved.name, moved.by)?;
        }
        writeln!(out, "{} results rest on a changed input and did not move", self.unmoved.len())?;
        f.write_str(&out)
    }
}
