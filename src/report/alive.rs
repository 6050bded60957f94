//! When a candidate comes alive, in words: in gear first, then held steadily.

use crate::quantity::{ShaftSpeed, significant};
use crate::shaft::{Arrival, Onset, Threshold};
use crate::study::{Driving, NoRise, Rise, Sizing};

/// How the boost is waited for, in one line.
pub(crate) fn setting(sizing: &Sizing) -> String {
    let Driving { from, rate, start, wastegate, .. } = sizing.study.driving;
    let gate = wastegate.map_or("always large enough".into(), |gate| {
        format!(
            "{} mm, {} mm2 effective",
            significant(gate.bore().mm(), 3),
            significant(gate.area().mm2(), 3)
        )
    });
    format!(
        "In gear the throttle opens at {} with the manifold at {} kPa, the engine speed rises by {:.0} rpm/s, and the \
         wastegate stays shut until the boost is there. Held steadily, with the engine speed still: wastegate {gate}.",
        rpm(from),
        significant(start.kpa(), 3),
        rate.rpm_per_s(),
    )
}

/// How the boost of one candidate comes, a line for each thing to say.
pub(crate) fn lines(sizing: &Sizing, rise: &Result<Rise, NoRise>) -> Vec<String> {
    let rise = match rise {
        Ok(rise) => rise,
        Err(none) => return vec![none.to_string()],
    };
    let driving = &sizing.study.driving;
    let mut lines = vec![format!("boost of {}", in_gear(rise, driving))];
    lines.push(format!("held steadily {}", held(&rise.line.threshold)));
    if let Some(by) = driving.boost_by {
        lines.push(by_then(rise, by));
    }
    lines.push(asked_for(rise).into());
    let flags = rise.arrival.as_ref().map(flags).unwrap_or_default();
    if !flags.is_empty() {
        lines.push(format!("in gear {}", flags.join("; ")));
    }
    lines
}

/// "203 kPa there 0.85 s after opening the throttle at 3000 rpm in gear (900 rpm/s), at 3770 rpm".
fn in_gear(rise: &Rise, driving: &Driving) -> String {
    let pressure = significant(rise.pressure().kpa(), 3);
    let opened = format!(
        "opening the throttle at {} in gear ({:.0} rpm/s)",
        rpm(driving.from),
        driving.rate.rpm_per_s()
    );
    match &rise.arrival {
        Err(error) => format!("{pressure} kPa absolute: its arrival was not worked out: {error}"),
        Ok(arrival) => match (arrival.whole, arrival.ninety) {
            (Some((time, speed)), _) => {
                let time = significant(time.si(), 2);
                format!("{pressure} kPa absolute there {time} s after {opened}, at {}", rpm(speed))
            }
            (None, ninety) => {
                let part = ninety.map_or("nor 90 % of it".into(), |(time, speed)| {
                    format!("90 % of it {} s after, at {}", significant(time.si(), 2), rpm(speed))
                });
                let end = arrival.moments.last().map_or(String::new(), |last| rpm(last.speed));
                format!("{pressure} kPa absolute not there before {end} after {opened}; {part}")
            }
        },
    }
}

/// "from 3380 rpm (exhaust from 3060 rpm, surge line from 3380 rpm)".
pub(crate) fn held(threshold: &Threshold) -> String {
    let [exhaust, surge] = [threshold.exhaust, threshold.surge].map(onset);
    format!("{} (exhaust {exhaust}, surge line {surge})", onset(threshold.held()))
}

pub(crate) fn onset(onset: Onset) -> String {
    match onset {
        Onset::At(speed) => format!("from {}", rpm(speed)),
        Onset::Below(speed) => format!("already at {}", rpm(speed)),
        Onset::Above(speed) => format!("not up to {}", rpm(speed)),
        Onset::Unknown => "not known".into(),
    }
}

/// "useful boost by 3600 rpm: no in gear (90 % of it), yes held steadily".
fn by_then(rise: &Rise, by: ShaftSpeed) -> String {
    let [in_gear, held] = rise.there_by(by).map(said);
    format!(
        "useful boost by {}: {in_gear} in gear (90 % of it there), {held} held steadily (all of it)",
        rpm(by)
    )
}

pub(crate) fn said(answer: Option<bool>) -> &'static str {
    match answer {
        Some(true) => "yes",
        Some(false) => "no",
        None => "not known",
    }
}

pub(crate) fn asked_for(rise: &Rise) -> &'static str {
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
    let below = arrival.leaves_map().then_some("part of the way is below the map: fan laws");
    let surge = arrival.crosses_surge().then_some("it crosses the surge line");
    below.into_iter().chain(surge).collect()
}

fn rpm(speed: ShaftSpeed) -> String {
    format!("{:.0} rpm", speed.rpm())
}
