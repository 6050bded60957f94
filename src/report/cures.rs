//! What stops each candidate, in order, and what would help, as text.

use super::pick::label;
use super::text::columns;
use crate::quantity::{Quantity, ShaftSpeed, significant};
use crate::shaft::{Met, Onset, Remedy};
use crate::study::{Cures, Sizing};

/// Writes what [`Sizing::cures`] found as text.
pub fn cures(sizing: &Sizing, found: &[Cures]) -> String {
    let mut out = String::from("\nWHAT STOPS EACH, IN ORDER, AND WHAT WOULD HELP\n");
    for cures in found {
        let [name, fuel] = label(sizing, &sizing.entries[cures.entry]);
        let boost = cures
            .control
            .map_or(String::new(), |control| format!("; boost asked for {}", control.target().both()));
        out.push_str(&format!("\n{name}, on {fuel}{boost}\n"));
        // Writing to a String cannot fail.
        let _ = columns(&mut out, &order(&cures.met));
        out.push('\n');
        let _ = columns(&mut out, &helps(&cures.remedies));
    }
    out.push_str(
        "\n  Beyond an edge of the map a power is rough: the fan laws or a run-on line stand in for the map. Each cure is\n  \
         one change, all else as it is; what it costs, and what it does to the engine's life, is not weighed here.\n",
    );
    out
}

fn order(met: &[Met]) -> Vec<[String; 3]> {
    let mut lines = vec![["limit".to_string(), "met at".into(), String::new()]];
    lines.extend(met.iter().map(|met| {
        let beyond = if met.beyond_map { "beyond the map" } else { "" };
        let at = format!("{:.0} kW, {:.0} rpm", met.power.kw(), met.speed.rpm());
        [met.limit.words().to_string(), at, beyond.to_string()]
    }));
    lines
}

fn helps(found: &[Remedy]) -> Vec<[String; 5]> {
    let heads = ["change", "most power", "gain", "stopped first by", "boost held from"].map(String::from);
    let mut lines = vec![heads];
    lines.extend(found.iter().enumerate().map(|(index, remedy)| {
        let power = remedy.power.map_or("none".into(), |power| format!("{:.0} kW", power.kw()));
        let gain = if index == 0 { String::new() } else { format!("{:+.1} kW", remedy.gain.kw()) };
        let stop = remedy.stop.map_or("nothing looked at", |limit| limit.words());
        [remedy.what.clone(), power, gain, stop.to_string(), remedy.held_from.map_or(String::new(), since)]
    }));
    lines
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
