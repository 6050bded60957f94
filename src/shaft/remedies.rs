//! What would give more: each cure worked out, ranked by what it changes.

use super::balance::{Control, Onset, operating_line};
use super::limits::Limit;
use super::operating::NotFound;
use super::reach::limits_in_order;
use super::{Candidate, FuelPlan, Installation, PowerBand};
use crate::charge::{ChargeCooler, Loss};
use crate::formula::FormulaError;
use crate::quantity::*;
use crate::turbine::Turbine;

/// A cure, and what it comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// What is changed, in words.
    pub what: String,
    /// The most power held over the band with it.
    pub power: Option<Power>,
    /// What stops it then.
    pub stop: Option<Limit>,
    /// From which engine speed the boost asked for can be held then, if one was.
    pub held_from: Option<Onset>,
    /// Change of the most power.
    pub gain: Power,
}

/// How much a cure changes a part: a size that can be bought or built.
const SIZE: f64 = 0.10;
const BETTER_COOLER: f64 = 0.10;
const BEST_COOLER: f64 = 0.95;

/// One way the car could be.
struct Way<'a> {
    what: String,
    installation: Installation,
    candidate: Candidate,
    turbine: Turbine,
    plan: &'a FuelPlan,
}

/// Works out what each change would do to the most power and to the arrival of boost, and ranks them by power: the other
/// housings of the unit and its turbine 10 % smaller and larger, the compressor 10 % smaller and larger in flow, the other
/// fuels, a better cooler, half the loss of the filter, half the back pressure. The first entry is the car as it is. A lower
/// target is always a cure: the power of that first entry is what it would have to be.
///
/// # Errors
///
/// [`NotFound`] for inputs that a formula refuses.
pub fn remedies(
    installation: &Installation,
    candidate: &Candidate,
    turbine: &Turbine,
    plans: (&FuelPlan, &[FuelPlan]),
    band: &PowerBand,
    control: Option<Control>,
) -> Result<Vec<Remedy>, NotFound> {
    let (plan, others) = plans;
    let as_it_is = || Way {
        what: "as it is".into(),
        installation: installation.clone(),
        candidate: candidate.clone(),
        turbine: turbine.clone(),
        plan,
    };
    let mut ways = vec![as_it_is()];
    for housing in candidate.housings().iter().filter(|housing| housing.turbine != *turbine) {
        let what = format!("housing {}", housing.name);
        ways.push(Way { what, turbine: housing.turbine.clone(), ..as_it_is() });
    }
    for (words, factor) in [("smaller", 1.0 - SIZE), ("larger", 1.0 + SIZE)] {
        let percent = 100.0 * SIZE;
        let what = format!("turbine area {percent:.0} % {words}");
        ways.push(Way { what, turbine: turbine.scaled(factor), ..as_it_is() });
        if let Some(candidate) = candidate.with_flow_scaled(factor) {
            let what = format!("compressor {percent:.0} % {words} in flow");
            ways.push(Way { what, candidate, ..as_it_is() });
        }
    }
    for other in others.iter().filter(|other| *other != plan) {
        ways.push(Way { what: format!("fuel {}", other.fuel.name()), plan: other, ..as_it_is() });
    }
    ways.extend(better_parts(installation)?.into_iter().map(|(what, installation)| Way {
        what,
        installation,
        ..as_it_is()
    }));

    let mut found = ways.iter().map(|way| way.worked_out(band, control)).collect::<Result<Vec<_>, _>>()?;
    let base = found.first().and_then(|first| first.power).unwrap_or(Power::from_si_unchecked(0.0));
    for remedy in &mut found {
        remedy.gain = remedy.power.unwrap_or(Power::from_si_unchecked(0.0)) - base;
    }
    found[1..].sort_by(|a, b| b.gain.si().total_cmp(&a.gain.si()));
    Ok(found)
}

/// The installation with one part better each time.
fn better_parts(installation: &Installation) -> Result<Vec<(String, Installation)>, FormulaError> {
    let half = |loss: &Loss| Loss::new(loss.stated() * 0.5, loss.stated_at());
    let cooler = &installation.cooler;
    let better = (cooler.effectiveness().si() + BETTER_COOLER).min(BEST_COOLER);
    let mut cooled = installation.clone();
    cooled.cooler = ChargeCooler::new(Effectiveness::from_si_unchecked(better), *cooler.loss());
    let mut breathing = installation.clone();
    breathing.intake.loss = half(&installation.intake.loss)?;
    let mut open = installation.clone();
    open.exhaust.back_pressure = half(&installation.exhaust.back_pressure)?;
    Ok(vec![
        (format!("cooler of effectiveness {better:.2}"), cooled),
        ("half the loss before the compressor".into(), breathing),
        ("half the back pressure".into(), open),
    ])
}

impl Way<'_> {
    fn worked_out(&self, band: &PowerBand, control: Option<Control>) -> Result<Remedy, NotFound> {
        let Self { installation, candidate, turbine, plan, .. } = self;
        let first = limits_in_order(installation, candidate, turbine, plan, band)?;
        let [from, to] = band.ends();
        let lowest = to * LOWEST;
        let speeds: Vec<ShaftSpeed> =
            (0..=LINE).map(|k| lowest + (from - lowest) * (f64::from(k) / f64::from(LINE))).collect();
        let held = |control| {
            operating_line(installation, candidate, turbine, plan, control, &speeds)
                .map(|line| line.threshold.held())
        };
        Ok(Remedy {
            what: self.what.clone(),
            power: first.first().map(|met| met.power),
            stop: first.first().map(|met| met.limit),
            held_from: control.map(held).transpose()?,
            gain: Power::from_si_unchecked(0.0),
        })
    }
}

/// Engine speeds between which the threshold is looked for: from this share of the band's upper end to its lower end.
const LOWEST: f64 = 0.25;
const LINE: u32 = 10;
