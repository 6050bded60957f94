//! Verdicts in words, the same in every face.

use super::judge::{Doubt, MostPower, Stop, Verdict};
use super::limits::Limit;
use crate::quantity::{Power, significant};

/// The verdict in a word.
pub(crate) fn answer(verdict: &Verdict) -> &'static str {
    match verdict {
        Verdict::Reaches => "yes",
        Verdict::Open(_) => "open",
        Verdict::FallsShort(_) => "no",
    }
}

/// "253 kW (239 to 253)".
pub(crate) fn most_words(most: &MostPower) -> String {
    let number = |power: &Option<Power>| power.map_or("none".into(), |power| significant(power.kw(), 3));
    let middle = most.power.map_or("none".into(), |power| format!("{} kW", significant(power.kw(), 3)));
    let [middle_number, low, high] = [number(&most.power), number(&most.low), number(&most.high)];
    if low == high && low == middle_number { middle } else { format!("{middle} ({low} to {high})") }
}

/// "torque limit at 6200 rpm".
pub(crate) fn stop_words(stop: &Option<Stop>) -> String {
    stop.as_ref().map_or("nothing up to 2.3 times the target".into(), |stop| {
        format!("{} at {:.0} rpm", stop.limit.words(), stop.speed.rpm())
    })
}

/// "expansion ratio: exceeded by 4.9 % at the estimate (6200 rpm), kept within its band".
pub(crate) fn doubt_words(doubt: &Doubt) -> String {
    if doubt.limit == Limit::BelowMap {
        return format!(
            "at {:.0} rpm the point lies below the lowest speed line, where the map says nothing",
            doubt.speed.rpm()
        );
    }
    let (limit, rpm) = (doubt.limit.words(), doubt.speed.rpm());
    let Some(margin) = doubt.margin else {
        return format!("{limit}: outside the estimated map ({rpm:.0} rpm), may be inside within its band");
    };
    let [here, there] =
        if margin.si() < 0.0 { ["exceeded", "may be kept"] } else { ["kept", "may be exceeded"] };
    format!(
        "{limit}: {here} by {} % at the estimate ({rpm:.0} rpm), {there} within its band",
        significant(margin.percent().abs(), 2),
    )
}
