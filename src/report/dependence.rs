//! Which result rests on which inputs, by the recorded graphs.

use crate::record::Record;
use crate::study::Sizing;
use std::collections::{BTreeMap, BTreeSet};

/// The names of the inputs behind each result, by the result's path as in [`super::flat`].
pub(super) type Dependence = BTreeMap<String, BTreeSet<String>>;

/// What a steadily held boost rests on beside the state at the target.
const HELD: [&str; 2] = ["exhaust.wastegate", "engine.speed_limit"];
/// What the arrival of boost rests on beside that state.
const IN_GEAR: [&str; 7] = [
    "sweep.from",
    "sweep.rate",
    "sweep.start",
    "cooler.charge_volume",
    "exhaust.volume",
    "turbine.inertia",
    "engine.speed_limit",
];

/// What is said of a limit that is met: words, and the key in the results file.
pub(super) const LIMITS: [(&str, &str); 2] = [("met at", "power"), ("engine speed", "engine_speed")];
/// What is said of a change: words, and the place in the results file.
pub(super) const CHANGED: [(&str, &str); 4] = [
    ("most power", "/power"),
    ("stopped by", "/stopped_by"),
    ("boost held", "/held/is"),
    ("boost held, engine speed", "/held/engine_speed"),
];

/// "B, A/R 20.8 mm, on ethanol blend: limit surge".
pub(super) fn of_limit(label: &str, limit: &str) -> String {
    format!("{label}: limit {limit}")
}
/// "B, A/R 20.8 mm, on ethanol blend: with half the back pressure".
pub(super) fn of_change(label: &str, change: &str) -> String {
    format!("{label}: with {change}")
}

pub(super) fn of(sizing: &Sizing) -> Dependence {
    let mut all = Dependence::new();
    let mut behind_entries = Vec::new();
    for (index, entry) in sizing.entries.iter().enumerate() {
        let label = sizing.study.label(entry);
        let mut behind_verdict = BTreeSet::new();
        let mut behind_state = BTreeSet::new();
        for (point, (speed, _)) in entry.judgement.points.iter().enumerate() {
            // A point outside the map has no record: there is no number that anything could rest on.
            let Ok(record) = sizing.record_at(index, point) else { continue };
            for output in record.outputs() {
                let inputs = names_below(&record, output.node);
                if output.key.starts_with("margin") {
                    behind_verdict.extend(inputs.iter().cloned());
                } else {
                    behind_state.extend(inputs.iter().cloned());
                }
                all.insert(format!("{label}, {:.0} rpm: {}", speed.rpm(), output.key), inputs);
            }
        }
        let most = sizing.record_of_most(index).ok().flatten();
        if entry.judgement.points.iter().any(|(_, found)| found.is_err()) {
            // Outside the map the verdict is that of the sides of its band, as the most power's.
            behind_verdict.extend(most.iter().flat_map(all_names));
        }
        all.insert(format!("{label}: reaches target"), behind_verdict.clone());
        if behind_state.is_empty() {
            // Without a point at the target the boost of the most power is waited for.
            let outputs = most.iter().flat_map(|record| record.outputs().iter().map(move |of| (record, of)));
            let state = outputs.filter(|(_, of)| !of.key.starts_with("margin"));
            behind_state.extend(state.flat_map(|(record, of)| names_below(record, of.node)));
        }
        let inputs = |keys: &[&str]| -> BTreeSet<String> {
            keys.iter().filter_map(|key| sizing.study.driven_by(entry, key)).collect()
        };
        let asked = &behind_state | &inputs(&["fuel.most_boost"]);
        let [held, in_gear] = [&asked | &inputs(&HELD), &asked | &inputs(&IN_GEAR)];
        all.insert(format!("{label}: boost asked for"), asked);
        behind_entries.push(&(&behind_verdict | &held) | &most.iter().flat_map(all_names).collect());
        for (result, inputs) in [
            ("held", &held),
            ("held, engine speed", &held),
            ("in gear, time", &in_gear),
            ("in gear, engine speed", &in_gear),
        ] {
            all.insert(format!("{label}: boost {result}"), inputs.clone());
        }
        let Some(record) = most else { continue };
        let at_estimate = record.output("power").map(|node| names_below(&record, node)).unwrap_or_default();
        // The sides of the band may be stopped by another limit.
        let mut at_sides = at_estimate.clone();
        for output in record.outputs().iter().filter(|output| output.key.starts_with("margin")) {
            at_sides.extend(names_below(&record, output.node));
        }
        all.insert(format!("{label}: most power"), at_estimate);
        for side in ["low", "high", "stopped by", "stopped at"] {
            all.insert(format!("{label}: most power, {side}"), at_sides.clone());
        }
    }
    cures(sizing, &behind_entries, &mut all);
    all
}

/// A limit rests on what the verdict rests on. A change may take another housing or fuel, so that it rests on all of its
/// candidate.
fn cures(sizing: &Sizing, behind: &[BTreeSet<String>], all: &mut Dependence) {
    for cures in sizing.cures.iter().flatten() {
        let entry = &sizing.entries[cures.entry];
        let label = sizing.study.label(entry);
        for met in &cures.met {
            let path = of_limit(&label, met.limit.words());
            all.extend(LIMITS.map(|(what, _)| (format!("{path}, {what}"), behind[cures.entry].clone())));
        }
        let same = sizing.entries.iter().zip(behind).filter(|(other, _)| other.candidate == entry.candidate);
        let inputs: BTreeSet<String> = same.flat_map(|(_, inputs)| inputs.iter().cloned()).collect();
        for remedy in &cures.remedies {
            let path = of_change(&label, &remedy.what);
            all.extend(CHANGED.map(|(what, _)| (format!("{path}, {what}"), inputs.clone())));
        }
    }
}

fn all_names(record: &Record) -> impl Iterator<Item = String> + '_ {
    record.nodes().iter().filter_map(crate::record::Node::input_name)
}

fn names_below(record: &Record, node: usize) -> BTreeSet<String> {
    let own = record.nodes()[node].input_name();
    record.below(node).filter_map(crate::record::Node::input_name).chain(own).collect()
}
