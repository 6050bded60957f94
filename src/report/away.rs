//! The same engine at other places, in words.

use super::alive::{near, onset};
use super::pick::label;
use crate::formula::FormulaError;
use crate::quantity::significant;
use crate::shaft::{BalancedPoint, NotFound};
use crate::study::{Away, Entry, Sizing};

/// The heads of [`rows`].
pub(super) fn heads(sizing: &Sizing) -> [String; 8] {
    let upper = upper(sizing);
    [
        "candidate".into(),
        "fuel".into(),
        "place".into(),
        "control".into(),
        "boost, absolute".into(),
        "held steadily".into(),
        format!("power at {upper:.0} rpm"),
        "shaft speed, wastegate there".into(),
    ]
}

/// What is looked at, where the study names another place.
pub(super) fn setting(sizing: &Sizing) -> Option<String> {
    let study = &sizing.study;
    let places: Vec<String> = study
        .elsewhere
        .iter()
        .map(|place| {
            let [barometer, air] = [place.site.pressure().kpa(), place.site.temperature().deg_c()];
            format!("{} ({} kPa, {} degC)", place.name, significant(barometer, 3), significant(air, 3))
        })
        .collect();
    let home = significant(study.installation.site.pressure().kpa(), 3);
    (!places.is_empty()).then(|| {
        format!(
            "The boost of the table above ({home} kPa at the study's own place) held at {}: a control by gauge pressure \
             holds the same pressure above the barometer, one by absolute pressure the same pressure; then the \
             turbocharger turns faster the higher the place.",
            places.join(", ")
        )
    })
}

/// A line for each place and control.
pub(super) fn rows(sizing: &Sizing, entry: &Entry) -> Vec<[String; 8]> {
    let Ok(rise) = &entry.rise else { return Vec::new() };
    let [candidate, fuel] = label(sizing, entry);
    let told = |away: &Result<Away, FormulaError>| {
        let [place, control, boost, held, power, there] = match away {
            Ok(away) => cells(sizing, away),
            Err(error) => {
                let none = String::new;
                [none(), none(), none(), none(), none(), error.to_string()]
            }
        };
        [candidate.clone(), fuel.clone(), place, control, boost, held, power, there]
    };
    rise.away.iter().map(told).collect()
}

fn cells(sizing: &Sizing, away: &Away) -> [String; 6] {
    let over = if away.over_fuel { ", above the fuel's limit" } else { "" };
    let [power, there] = match at_upper(sizing, away) {
        Some(Ok(at)) => [
            format!("{} kW", significant(at.power.kw(), 3)),
            format!("{}, {}", near(at.shaft_speed), at.gate.words()),
        ],
        Some(Err(error)) => {
            ["none".into(), error.limit().map_or_else(|| error.to_string(), |limit| limit.words().into())]
        }
        None => ["none".into(), String::new()],
    };
    [
        sizing.study.elsewhere[away.place].name.clone(),
        away.holds.words().into(),
        format!("{} kPa{over}", significant(away.line.control.target().kpa(), 3)),
        onset(away.line.threshold.held()),
        power,
        there,
    ]
}

/// The state nearest to the target's upper end.
pub(super) fn at_upper<'a>(sizing: &Sizing, away: &'a Away) -> Option<&'a Result<BalancedPoint, NotFound>> {
    let upper = upper(sizing);
    let off = |rpm: f64| (rpm - upper).abs();
    let points = away.line.points.iter();
    points.min_by(|a, b| off(a.0.rpm()).total_cmp(&off(b.0.rpm()))).map(|(_, found)| found)
}

fn upper(sizing: &Sizing) -> f64 {
    sizing.study.target.ends()[1].rpm()
}
