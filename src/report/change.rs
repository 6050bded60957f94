//! What a gear change does to the boost, in words.

use super::alive::near;
use super::pick::label;
use crate::quantity::{ShaftSpeed, Time, significant};
use crate::shaft::{Recovery, SweepError};
use crate::study::{Entry, Sizing, Vehicle};

/// The heads of [`row`].
pub(super) const HEADS: [&str; 6] = [
    "candidate",
    "fuel",
    "90 % of the boost back after",
    "all of it after",
    "a recirculation valve has to pass",
    "on the way",
];

/// How the gear is changed, where the study tells of it.
pub(super) fn setting(sizing: &Sizing) -> Option<String> {
    let Vehicle { number, change, .. } = sizing.study.driving.vehicle?;
    let change = change?;
    let how =
        if change.automatic { "under load by the gearbox" } else { "by hand, the throttle nearly shut" };
    let valve = change.shift.valve.map_or("no recirculation valve".into(), |area| {
        format!("a recirculation valve of {} mm2 effective", significant(area.mm2(), 3))
    });
    Some(format!(
        "From gear {number} to {} at {:.0} rpm, {how}, in {} s with {valve}; the engine lands at {}. Times count from the \
         throttle's opening; the boost before is the one in the table above, wherever it can be held.",
        number + 1,
        change.shift.from.rpm(),
        significant(change.shift.lasts.si(), 2),
        near(change.lands),
    ))
}

/// What it does to the boost of an entry; nothing where no boost is waited for.
pub(super) fn row(sizing: &Sizing, entry: &Entry) -> Option<[String; 6]> {
    let recovery = entry.rise.as_ref().ok()?.recovery.as_ref()?;
    let [candidate, fuel] = label(sizing, entry);
    let [ninety, whole, passes, remark] = cells(recovery);
    Some([candidate, fuel, ninety, whole, passes, remark])
}

fn cells(recovery: &Result<Recovery, SweepError>) -> [String; 4] {
    let Recovery { meanwhile, after, valve_passes } = match recovery {
        Ok(recovery) => recovery,
        Err(error) => {
            return ["not worked out".into(), String::new(), String::new(), error.to_string()];
        }
    };
    let there = |found: Option<(Time, ShaftSpeed)>| match found {
        Some((time, _)) if time.si() < 0.005 => "at once".into(),
        Some((time, speed)) => format!("{} s, at {}", significant(time.si(), 2), near(speed)),
        None => "not within 20 s".to_string(),
    };
    let surge = meanwhile.moments.iter().any(|moment| moment.position.si() < -1e-6);
    let remark = if surge { "left of the surge line" } else { "right of the surge line" };
    let passes = format!("{} g/s", significant(valve_passes.g_per_s(), 2));
    [there(after.ninety), there(after.whole), passes, remark.into()]
}
