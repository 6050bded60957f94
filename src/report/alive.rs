//! When a candidate comes alive, in words: in gear first, then held steadily.

use super::pick::label;
use crate::quantity::{ShaftSpeed, Time, significant};
#[cfg(feature = "notebook")]
use crate::shaft::Threshold;
use crate::shaft::{Arrival, Onset, OperatingLine};
use crate::study::{Driving, Entry, Rise, Sizing, Vehicle};

/// How the boost is waited for, in one line.
pub(crate) fn setting(sizing: &Sizing) -> String {
    let Driving { from, rate, start, wastegate, vehicle, .. } = sizing.study.driving;
    let gate = wastegate.map_or("always large enough".into(), |gate| {
        let [bore, area, spring] = [gate.bore().mm(), gate.area().mm2(), gate.spring().kpa_gauge()]
            .map(|value| significant(value, 3));
        format!("{bore} mm, {area} mm2 effective, spring {spring} kPa gauge")
    });
    let by = sizing.study.driving.boost_by.map_or(String::new(), |by| {
        format!(
            " By {}: first whether 90 % of the boost is there in gear, then whether all of it can be held steadily.",
            rpm(by)
        )
    });
    let pace = vehicle.map_or_else(
        || format!("the engine speed rises by {:.0} rpm/s", rate.rpm_per_s()),
        |Vehicle { number, gear, .. }| {
            format!(
                "the engine pulls {} kg in gear {number}, {} turns to one of a wheel of {} mm",
                significant(gear.mass.kg(), 3),
                significant(gear.gearing.si(), 3),
                significant(gear.wheel.mm(), 3)
            )
        },
    );
    format!(
        "In gear the throttle opens at {} with the manifold at {} kPa, {pace}, and the \
         wastegate stays shut until the boost is there. Held steadily, with the engine speed still: wastegate {gate}; in brackets with the turbine's \
         area, and an estimated map, one standard deviation either way.{by}",
        rpm(from),
        significant(start.kpa(), 3),
    )
}

/// The heads of [`row`]; those who ask for boost by no engine speed get no answer.
pub(super) fn heads(sizing: &Sizing) -> [String; 7] {
    let by = sizing.study.driving.boost_by.map_or(String::new(), |by| format!("by {}?", rpm(by)));
    ["candidate", "fuel", "boost, absolute", "in gear, there after", "held steadily", &by, "which is"]
        .map(String::from)
}

/// How boost comes with one candidate, in cells.
pub(super) fn row(sizing: &Sizing, entry: &Entry) -> [String; 7] {
    let [candidate, fuel] = label(sizing, entry);
    let Ok(rise) = &entry.rise else {
        return [candidate, fuel, "none".into(), String::new(), String::new(), String::new(), String::new()];
    };
    let by = sizing.study.driving.boost_by.map_or(String::new(), |by| {
        let [in_gear, held] = rise.there_by(by).map(said);
        format!("{in_gear}, {held}")
    });
    let boost = format!("{} kPa", significant(rise.pressure().kpa(), 3));
    [candidate, fuel, boost, in_gear(rise), decided(rise), by, kind(rise).into()]
}

/// What else is to be said, each with those of whom it is.
pub(super) fn remarks(sizing: &Sizing) -> Vec<(String, Vec<String>)> {
    let mut said: Vec<(String, Vec<String>)> = Vec::new();
    for entry in &sizing.entries {
        let whose = label(sizing, entry).join(", on ");
        for remark in remarks_on(sizing, entry) {
            match said.iter_mut().find(|(known, _)| *known == remark) {
                Some((_, all)) => all.push(whose.clone()),
                None => said.push((remark, vec![whose.clone()])),
            }
        }
    }
    said
}

fn remarks_on(sizing: &Sizing, entry: &Entry) -> Vec<String> {
    let rise = match &entry.rise {
        Ok(rise) => rise,
        Err(none) => return vec![none.to_string()],
    };
    let mut all = match &rise.arrival {
        Ok(arrival) => flags(arrival).into_iter().map(|flag| format!("in gear, {flag}")).collect(),
        Err(error) => vec![format!("its arrival was not worked out: {error}")],
    };
    all.extend(too_much_torque(sizing, rise));
    all
}

/// "0.85 s, at 3770 rpm".
pub(super) fn in_gear(rise: &Rise) -> String {
    let Ok(arrival) = &rise.arrival else { return "not worked out".into() };
    let there =
        |(time, speed): (Time, ShaftSpeed)| format!("{} s, at {}", significant(time.si(), 2), near(speed));
    match (arrival.whole, arrival.ninety) {
        (Some(whole), _) => there(whole),
        (None, Some(ninety)) => format!("90 % {}, no more", there(ninety)),
        (None, None) => "not before the sweep ends".into(),
    }
}

/// "from 3380 rpm (3380 to 3610), surge line": what comes last decides; in brackets with the turbine's
/// area and an estimated map one standard deviation either way.
fn decided(rise: &Rise) -> String {
    let threshold = &rise.line.threshold;
    let held = threshold.held();
    let whose = match (threshold.exhaust == held, threshold.surge == held) {
        (true, false) => ", exhaust",
        (false, true) => ", surge line",
        _ => "",
    };
    format!("{}{}{whose}", onset(held), spread(rise).unwrap_or_default())
}

/// " (3380 to 3610)", where the bands of the turbine's area and of an estimated map move the threshold by as much as is
/// shown.
pub(super) fn spread(rise: &Rise) -> Option<String> {
    let held = |line: &OperatingLine| match line.threshold.held() {
        Onset::At(speed) => Some((speed.rpm(), "")),
        Onset::Below(speed) => Some((speed.rpm(), "below ")),
        Onset::Above(speed) => Some((speed.rpm(), "above ")),
        Onset::Unknown => None,
    };
    let middle = held(&rise.line)?;
    let of =
        |sides: &[Option<OperatingLine>; 2]| sides.iter().flatten().map(held).collect::<Option<Vec<_>>>();
    let groups = [of(&rise.sides)?, of(&rise.map_sides)?];
    let all = groups.iter().flatten().chain([&middle]);
    let ends = if all.clone().all(|(_, words)| words.is_empty()) {
        // Area and map are independent: what each does on a side adds as squares.
        [-1.0, 1.0].map(|side: f64| {
            let most = |group: &Vec<(f64, &str)>| {
                group.iter().fold(0.0_f64, |most, (speed, _)| most.max(side * (speed - middle.0)))
            };
            (middle.0 + side * groups.iter().map(most).fold(0.0, f64::hypot), "")
        })
    } else {
        let mut all: Vec<_> = all.collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        [**all.first()?, **all.last()?]
    };
    let [low, high] = ends.map(|(speed, words)| format!("{words}{}", significant(speed, 3)));
    (low != high).then(|| format!(" ({low} to {high})"))
}

pub(super) fn kind(rise: &Rise) -> &'static str {
    if rise.by_spring {
        return "what the spring holds";
    }
    match (rise.for_target, rise.by_fuel) {
        (true, false) => "for the target",
        (_, true) => "the most on this fuel",
        (false, false) => "of the most power",
    }
}

/// "from 3380 rpm (exhaust from 3060 rpm, surge line from 3380 rpm)".
#[cfg(feature = "notebook")]
pub(crate) fn held(threshold: &Threshold) -> String {
    let [exhaust, surge] = [threshold.exhaust, threshold.surge].map(onset);
    format!("{} (exhaust {exhaust}, surge line {surge})", onset(threshold.held()))
}

pub(crate) fn onset(onset: Onset) -> String {
    match onset {
        Onset::At(speed) => format!("from {}", near(speed)),
        Onset::Below(speed) => format!("already at {}", rpm(speed)),
        Onset::Above(speed) => format!("not up to {}", rpm(speed)),
        Onset::Unknown => "not known".into(),
    }
}

pub(crate) fn said(answer: Option<bool>) -> &'static str {
    match answer {
        Some(true) => "yes",
        Some(false) => "no",
        None => "not known",
    }
}

#[cfg(feature = "cli")]
pub(crate) fn asked_for(rise: &Rise) -> &'static str {
    if rise.by_spring {
        return "it is what the wastegate's spring holds by itself; less cannot be held";
    }
    match (rise.for_target, rise.by_fuel) {
        (true, false) => "it is the boost that the target needs",
        (true, true) => "it is the most boost on this fuel; the target needs more",
        (false, false) => "it is the boost of the most power; the target lies outside the map",
        (false, true) => {
            "it is the most boost on this fuel; the most power needs more, the target lies outside the map"
        }
    }
}

/// What is to be known of a sweep beside its time.
pub(crate) fn flags(arrival: &Arrival) -> Vec<&'static str> {
    let below =
        arrival.leaves_map().then_some("part of the way lies below the lowest speed line: fan laws stand in");
    let surge = arrival.crosses_surge().then_some("it crosses the surge line");
    below.into_iter().chain(surge).collect()
}

/// Where the boost held makes more torque than the limit, the most of it.
fn too_much_torque(sizing: &Sizing, rise: &Rise) -> Option<String> {
    let limit = sizing.study.installation.engine.most_torque()?;
    let found =
        rise.line.points.iter().filter_map(|(speed, found)| Some((*speed, found.as_ref().ok()?.torque)));
    let (speed, torque) = found.max_by(|a, b| a.1.si().total_cmp(&b.1.si()))?;
    (torque > limit).then(|| {
        format!(
            "held as it is, its torque reaches {} N m at {}, above the limit of {} N m: hold less boost there",
            significant(torque.si(), 3),
            near(speed),
            significant(limit.si(), 3)
        )
    })
}

/// A speed as typed.
fn rpm(speed: ShaftSpeed) -> String {
    format!("{:.0} rpm", speed.rpm())
}

/// A speed that was worked out: more than three figures would promise too much.
pub(crate) fn near(speed: ShaftSpeed) -> String {
    format!("{} rpm", significant(speed.rpm(), 3))
}
