//! What stops each candidate, in order, and what would help, as text.

use super::pick::label;
use super::text::columns;
use crate::quantity::{Pressure, Quantity, ShaftSpeed, significant};
use crate::shaft::{Control, Met, NotFound, Onset, Remedy, UserLimits, limits_in_order, remedies};
use crate::study::{Entry, Sizing};

/// The limits that each candidate meets as its power rises, in order, and the cures that were worked out, ranked by the
/// power they give.
///
/// # Errors
///
/// [`NotFound`] for inputs that a formula refuses.
pub fn cures(sizing: &Sizing) -> Result<String, NotFound> {
    let mut out = String::from("\nWHAT STOPS EACH, IN ORDER, AND WHAT WOULD HELP\n");
    for entry in &sizing.entries {
        let study = &sizing.study;
        let candidate = &study.candidates[entry.candidate];
        let turbine = &candidate.housings()[entry.housing].turbine;
        let plan = &study.fuels[entry.fuel];
        let user = UserLimits::default();
        let met = limits_in_order(&study.installation, candidate, turbine, plan, &study.target, &user)?;
        let control = Control::manifold(boost_of(sizing, entry))?;
        let plans = (plan, study.fuels.as_slice());
        let found = remedies(&study.installation, candidate, turbine, plans, &study.target, control, &user)?;
        let [name, fuel] = label(sizing, entry);
        out.push_str(&format!("\n{name}, on {fuel}; boost asked for {}\n", control.target().both()));
        // Writing to a String cannot fail.
        let _ = columns(&mut out, &order(&met));
        out.push('\n');
        let _ = columns(&mut out, &helps(&found));
    }
    out.push_str(
        "\n  Beyond an edge of the map a power is rough: the fan laws or a run-on line stand in for the map. Each cure is\n  \
         one change, all else as it is; what it costs, and what it does to the engine's life, is not weighed here.\n",
    );
    Ok(out)
}

/// The boost that the target needs where it has a point, else what the fuel allows, else twice the barometer.
fn boost_of(sizing: &Sizing, entry: &Entry) -> Pressure {
    let site = sizing.study.installation.site.pressure();
    let allowed = sizing.study.fuels[entry.fuel].most_boost.map(|boost| boost.absolute(site));
    let points = entry.judgement.points.iter().filter_map(|(_, point)| point.as_ref().ok());
    let needed = points.map(|point| point.manifold_pressure).max_by(|a, b| a.si().total_cmp(&b.si()));
    match (needed, allowed) {
        (Some(needed), Some(allowed)) => {
            if needed < allowed {
                needed
            } else {
                allowed
            }
        }
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => site * 2.0,
    }
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
        [remedy.what.clone(), power, gain, stop.to_string(), since(remedy.held_from)]
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
