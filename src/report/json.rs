//! The sizing as JSON: every value with its unit and the function that gave it.

use super::{dependence, json_cures, json_estimated, json_rise};
use crate::compressor::{Combined, MiddleBand};
use crate::registry;
use crate::shaft::{
    Candidate, Doubt, MostPower, NOT_JUDGED, NotFound, OperatingPoint, Stop, Verdict, answer,
};
use crate::study::{Entry, Sizing, Study};
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// Name and number of the layout.
pub(super) const SCHEMA: &str = "shaftwork-results/6";

/// Writes a sizing as JSON.
pub fn json(sizing: &Sizing) -> String {
    let study = &sizing.study;
    let [from, to] = study.target.ends();
    let inputs: Vec<Value> = study
        .inputs
        .iter()
        .map(|input| {
            json!({
                "key": input.key, "typed": input.typed, "line": input.line, "source": input.source,
                "grade": input.grade.map(|grade| grade.words()), "band": input.band,
            })
        })
        .collect();
    let assumptions: Vec<Value> = study
        .assumptions
        .iter()
        .map(|a| json!({ "key": a.key, "what": a.what, "value": a.value, "band": a.band, "grade": a.grade.words() }))
        .collect();
    let value = json!({
        "schema": SCHEMA,
        "version": env!("CARGO_PKG_VERSION"),
        "title": study.title,
        "invented": study.invented,
        "target": { "power": study.target.power(), "from": from, "to": to, "boost_by": study.driving.boost_by },
        "sweep": json_rise::sweep(&study.driving),
        "site": {
            "altitude": study.installation.site.altitude(),
            "pressure": study.installation.site.pressure(),
            "temperature": study.installation.site.temperature(),
            "vapour": study.installation.site.vapour(),
        },
        "elsewhere": study.elsewhere.iter().map(|place| json!({
            "name": place.name, "pressure": place.site.pressure(), "temperature": place.site.temperature(),
        })).collect::<Vec<_>>(),
        "results": (0..sizing.entries.len()).map(|index| entry(sizing, index)).collect::<Vec<_>>(),
        "not_sized": sizing.not_sized.iter().map(|one| {
            let candidate = &study.candidates[one.candidate];
            json!({
                "candidate": candidate.name(), "inducer": candidate.reading(),
                "housing": candidate.housings()[one.housing].name, "fuel": study.fuels[one.fuel].fuel.name(),
                "missing": one.missing.words(), "place": one.place, "why": one.why.to_string(),
            })
        }).collect::<Vec<_>>(),
        "estimated_maps": json_estimated::maps(study),
        "not_judged": NOT_JUDGED,
        "inputs": inputs,
        "assumptions": assumptions,
        "formulas": versions(),
        "dependence": dependence(sizing),
        "files": study.files.iter().map(|file| json!({ "name": file.name, "text": file.text })).collect::<Vec<_>>(),
    });
    format!("{value:#}\n")
}

/// The version of every formula.
fn versions() -> Value {
    registry::formulas()
        .map(|formula| (formula.name.to_string(), json!(formula.version)))
        .collect::<Map<_, _>>()
        .into()
}

/// Which result rests on which inputs: a list of names, and for each result their places in it.
fn dependence(sizing: &Sizing) -> Value {
    let all = dependence::of(sizing);
    let names: BTreeSet<&String> = all.values().flatten().collect();
    let place: BTreeMap<&String, String> =
        names.iter().enumerate().map(|(index, name)| (*name, index.to_string())).collect();
    let results: Map<String, Value> = all
        .iter()
        .map(|(result, inputs)| {
            let places: Vec<&str> = inputs.iter().map(|name| place[name].as_str()).collect();
            (result.clone(), json!(places.join(" ")))
        })
        .collect();
    json!({ "inputs": names, "results": results })
}

fn entry(sizing: &Sizing, index: usize) -> Value {
    let entry: &Entry = &sizing.entries[index];
    let cures = sizing.cures.iter().flatten().find(|cures| cures.entry == index);
    let candidate = &sizing.study.candidates[entry.candidate];
    let plan = &sizing.study.fuels[entry.fuel];
    let doubts = match &entry.judgement.verdict {
        Verdict::Open(doubts) => doubts.iter().map(doubt).collect(),
        _ => Vec::new(),
    };
    let mut value = json!({
        "candidate": candidate.name(),
        "inducer": candidate.reading(),
        "map": candidate.map().provenance(),
        "housing": candidate.housings()[entry.housing].name,
        "turbine_area": candidate.housings()[entry.housing].turbine.area(),
        "fuel": plan.fuel.name(),
        "lambda": plan.lambda,
        "reaches_target": answer(&entry.judgement.verdict),
        "doubts": doubts,
        "most_power": most(&entry.judgement.most),
        "points": entry.judgement.points.iter().map(|(speed, found)| {
            let mut value = Map::new();
            value.insert("engine_speed".into(), json!(speed));
            match found {
                Ok(found) => point(&mut value, found),
                Err(error) => outside(&mut value, error),
            }
            Value::Object(value)
        }).collect::<Vec<_>>(),
        "rise": json_rise::rise(sizing, &entry.rise),
        "cures": json_cures::cures(cures),
    });
    if let Some(combined) = candidate.evidence() {
        value["evidence"] = evidence(&sizing.study, candidate, combined);
    }
    value
}

/// What each piece of evidence was worth; under `reading` its weight beside the other readings.
fn evidence(study: &Study, candidate: &Candidate, combined: &Combined) -> Value {
    let known = |band: &MiddleBand| json!({ "pressure_ratio": band.ratio, "choke_flow": band.choke });
    let pieces = combined.pieces().iter().map(|piece| {
        json!({
            "name": piece.name, "uncertainty_from": piece.basis, "share": piece.share,
            "deviation_in_sigma": piece.deviation, "weight": piece.weight, "outlier": piece.is_outlier(),
            "without_it": known(&piece.without),
        })
    });
    let weights = study.reading_weights(candidate.name());
    let own =
        weights.as_ref().and_then(|all| all.iter().find(|one| Some(one.reading) == candidate.reading()));
    json!({
        "known_within": known(&combined.known()),
        "squared_deviations": combined.squares(), "disagrees": combined.disagrees(),
        "estimate_share": combined.prior_share(),
        "pieces": pieces.collect::<Vec<_>>(),
        "reading": own.map(|one| json!({ "weight_before": one.before, "weight_after": one.after })),
    })
}

fn stop(stop: &Stop) -> Value {
    json!({ "limit": stop.limit.words(), "engine_speed": stop.speed })
}

fn most(most: &MostPower) -> Value {
    json!({
        "power": most.power, "low": most.low, "high": most.high,
        "stopped_by": most.stop.as_ref().map(stop),
    })
}

fn doubt(doubt: &Doubt) -> Value {
    json!({
        "limit": doubt.limit.words(), "engine_speed": doubt.speed, "margin": doubt.margin,
    })
}

fn point(value: &mut Map<String, Value>, point: &OperatingPoint) {
    for row in point.rows() {
        value.insert(row.key.into(), json!({ "value": row.value, "unit": row.unit, "by": row.by }));
    }
    let margins = point.margins.iter().map(|margin| {
        json!({
            "limit": margin.limit.words(), "margin": margin.margin,
            "worse": margin.worse, "better": margin.better,
        })
    });
    value.insert("margins".into(), margins.collect());
}

fn outside(value: &mut Map<String, Value>, error: &NotFound) {
    value.insert("outside".into(), json!(error.limit().map(|limit| limit.words())));
    value.insert("why".into(), json!(error.to_string()));
}
