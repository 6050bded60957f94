//! Which result rests on which inputs, by the recorded graphs.

use crate::record::Record;
use crate::study::Sizing;
use std::collections::{BTreeMap, BTreeSet};

/// The names of the inputs behind each result, by the result's path as in [`super::flat`].
pub(super) type Dependence = BTreeMap<String, BTreeSet<String>>;

pub(super) fn of(sizing: &Sizing) -> Dependence {
    let mut all = Dependence::new();
    for (index, entry) in sizing.entries.iter().enumerate() {
        let label = sizing.study.label(entry);
        let mut behind_verdict = BTreeSet::new();
        for (point, (speed, _)) in entry.judgement.points.iter().enumerate() {
            // A point outside the map has no record: there is no number that anything could rest on.
            let Ok(record) = sizing.record_at(index, point) else { continue };
            for output in record.outputs() {
                let inputs = names_below(&record, output.node);
                if output.key.starts_with("margin") {
                    behind_verdict.extend(inputs.iter().cloned());
                }
                all.insert(format!("{label}, {:.0} rpm: {}", speed.rpm(), output.key), inputs);
            }
        }
        all.insert(format!("{label}: reaches target"), behind_verdict.clone());
        let Ok(Some(record)) = sizing.record_of_most(index) else { continue };
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
    all
}

fn names_below(record: &Record, node: usize) -> BTreeSet<String> {
    let own = record.nodes()[node].input_name();
    record.below(node).filter_map(crate::record::Node::input_name).chain(own).collect()
}
