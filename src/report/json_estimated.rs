//! The estimated maps in the results: of each speed line both ends and the best point, with their deviations.

use crate::compressor::{EstimatedPoint, LineInBrief};
use crate::study::Study;
use serde_json::{Value, json};

pub(super) fn maps(study: &Study) -> Vec<Value> {
    super::estimated::told(study)
        .map(|(candidate, lines)| {
            let reference = candidate.map().reference();
            json!({
                "candidate": candidate.name(),
                "inducer": candidate.reading(),
                "map": candidate.map().provenance(),
                "reference": { "temperature": reference.temperature(), "pressure": reference.pressure() },
                "lines": lines.iter().map(line).collect::<Vec<_>>(),
            })
        })
        .collect()
}

/// The deviations are one standard deviation, those of flow and pressure ratio as shares.
fn line(line: &LineInBrief) -> Value {
    let point = |at: &EstimatedPoint| json!({ "corrected_flow": at.flow, "pressure_ratio": at.ratio, "efficiency": at.efficiency });
    json!({
        "corrected_speed": line.speed,
        "tip_speed": line.tip_speed,
        "surge": point(&line.surge),
        "best": point(&line.best),
        "choke": point(&line.choke),
        "sigma": {
            "surge_flow": line.surge_sigma,
            "choke_flow": line.choke_sigma,
            "best_pressure_ratio": line.band.ratio,
            "best_efficiency": line.band.efficiency,
        },
    })
}
