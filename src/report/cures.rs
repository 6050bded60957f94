//! What stops each candidate, in order, and what would help: the words, and the text.

use super::pick::label;
use super::text::columns;
use crate::quantity::{Power, ShaftSpeed, significant};
use crate::shaft::{Met, Onset, Remedy};
use crate::study::{Cures, Sizing};

/// What is said below the tables, in lines.
pub(super) const ROUGH: [&str; 3] = [
    "Beyond an edge of the map a power is rough: the fan laws or a run-on line stand in for the map. Each change is made",
    "alone, all else as it is; what it costs, and what it does to the engine's life, is not weighed here. The bands of the",
    "verdict hold here too: a gain that is small beside them decides nothing.",
];
/// The heads of the limits.
pub(super) const LIMITS: [&str; 4] = ["limit", "met at", "engine speed", ""];
/// The heads of the changes.
pub(super) const CHANGES: [&str; 5] =
    ["change", "most power", "gain", "then stopped first by", "boost held from"];

/// Writes what [`Sizing::with_cures`] found as text; nothing where it was not asked for.
pub(super) fn text(out: &mut String, sizing: &Sizing) -> core::fmt::Result {
    let Some(found) = &sizing.cures else { return Ok(()) };
    out.push_str("\nWHAT STOPS IT, AND WHAT WOULD HELP\n");
    for cures in found {
        let [name, fuel] = label(sizing, &sizing.entries[cures.entry]);
        out.push_str(&format!("\n  {name}, on {fuel}{}\n", asked_for(cures)));
        let mut lines = vec![LIMITS.map(String::from)];
        lines.extend(cures.met.iter().map(|met| limit(met, sizing.study.target.power())));
        under_each_other(&mut lines, &[1, 2]);
        columns(out, &lines)?;
        out.push('\n');
        let mut lines = vec![CHANGES.map(String::from)];
        lines.extend(cures.remedies.iter().enumerate().map(change));
        under_each_other(&mut lines, &[1, 2, 4]);
        columns(out, &lines)?;
    }
    out.push_str(&format!("\n  {}\n", ROUGH.join("\n  ")));
    Ok(())
}

/// "; boost asked for 203 kPa absolute", or nothing.
pub(super) fn asked_for(cures: &Cures) -> String {
    cures.control.map_or(String::new(), |control| {
        format!("; boost asked for {} kPa absolute", significant(control.target().kpa(), 3))
    })
}

/// Cells under [`LIMITS`].
pub(super) fn limit(met: &Met, target: Power) -> [String; 4] {
    let notes = [(met.power < target, "short of the target"), (met.beyond_map, "beyond the map")];
    let notes: Vec<&str> = notes.into_iter().filter_map(|(is, note)| is.then_some(note)).collect();
    [met.limit.words().into(), kw(met.power), format!("{:.0} rpm", met.speed.rpm()), notes.join(", ")]
}

/// Cells under [`CHANGES`]; the first of the list is the car as it is.
pub(super) fn change((index, remedy): (usize, &Remedy)) -> [String; 5] {
    let gain = match remedy.power {
        _ if index == 0 => String::new(),
        None => String::new(),
        Some(_) if remedy.gain.kw().abs() < LEAST_GAIN => "none".into(),
        Some(_) => gained(remedy.gain),
    };
    let [power, stop] = match (remedy.power, remedy.stop) {
        (Some(power), Some(stop)) => [kw(power), stop.words().into()],
        _ => ["none found".to_string(), String::new()],
    };
    [remedy.what.clone(), power, gain, stop, remedy.held_from.map_or(String::new(), since)]
}

/// Less than this counts as no gain, in kW.
const LEAST_GAIN: f64 = 0.1;

/// "+0.8 kW", "+12 kW".
fn gained(gain: Power) -> String {
    let digits = if gain.kw().abs() < 10.0 { 1 } else { 0 };
    format!("{:+.digits$} kW", gain.kw())
}

fn kw(power: Power) -> String {
    format!("{:.0} kW", power.kw())
}

fn since(onset: Onset) -> String {
    let rpm = |speed: ShaftSpeed| format!("{} rpm", significant(speed.rpm(), 3));
    match onset {
        Onset::At(speed) => rpm(speed),
        Onset::Below(speed) => format!("below {}", rpm(speed)),
        Onset::Above(speed) => format!("not by {}", rpm(speed)),
        Onset::Unknown => "not known".into(),
    }
}

/// Puts the numbers of columns, below their heads, under each other.
fn under_each_other<const N: usize>(lines: &mut [[String; N]], columns: &[usize]) {
    for &column in columns {
        let wide = lines.iter().skip(1).map(|line| line[column].chars().count()).max().unwrap_or(0);
        for line in lines.iter_mut().skip(1) {
            line[column] = format!("{:>wide$}", line[column]);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Quantity;
    use crate::shaft::Limit;

    #[test]
    fn a_change_in_words() {
        let kw = |kw: f64| Power::from_si_unchecked(1e3 * kw);
        let remedy = |power: Option<f64>, gain: f64| Remedy {
            what: "half the back pressure".into(),
            power: power.map(kw),
            stop: power.map(|_| Limit::Choke),
            held_from: Some(Onset::Below(ShaftSpeed::from_si_unchecked(200.0))),
            gain: kw(gain),
        };
        let told = |index: usize, power: Option<f64>, gain: f64| change((index, &remedy(power, gain)));
        assert_eq!(
            told(1, Some(201.3), 0.84),
            ["half the back pressure", "201 kW", "+0.8 kW", "choke", "below 1910 rpm"]
        );
        assert_eq!(told(1, Some(212.3), 11.8)[2], "+12 kW");
        assert_eq!(told(1, Some(190.3), -10.2)[2], "-10 kW");
        assert_eq!(told(1, Some(200.5), 0.04)[2], "none");
        assert_eq!(told(0, Some(200.5), 0.0)[2], "");
        // Where nothing runs there is no loss to be told in kilowatts.
        assert_eq!(told(1, None, -200.5)[1..4], ["none found", "", ""]);
    }
}
