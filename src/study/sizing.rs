//! Every candidate with every housing on every fuel, judged.

use super::rise::{NoRise, Rise};
use super::{Cures, Missing, NotSized, NothingSized, Study};
use crate::engine::{Running, air_demand};
use crate::problem::Problem;
use crate::quantity::*;
use crate::shaft::{Judgement, judge, wall_share_seen};

/// One candidate with one housing on one fuel.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Index of the candidate in the study.
    pub candidate: usize,
    /// Index of its housing.
    pub housing: usize,
    /// Index of the fuel.
    pub fuel: usize,
    /// The judgement.
    pub judgement: Judgement,
    /// How the boost that it needs comes, or why there is none.
    pub rise: Result<Rise, NoRise>,
}

/// A study with its answers.
#[derive(Clone, Debug, PartialEq)]
pub struct Sizing {
    /// The study.
    pub study: Study,
    /// The answers, by candidate, housing, fuel.
    pub entries: Vec<Entry>,
    /// What could not be worked out, and why.
    pub not_sized: Vec<NotSized>,
    /// What stops each entry and what would help, where [`Sizing::with_cures`] worked it out.
    pub cures: Option<Vec<Cures>>,
}

impl Sizing {
    /// The judgement of a candidate with its first housing on a fuel, by their names; of a wheel read in several ways
    /// the first reading by its name, each by its label.
    pub fn judgement(&self, candidate: &str, fuel: &str) -> Option<&Judgement> {
        let named = |entry: &&Entry| {
            self.study.candidates[entry.candidate].is_called(candidate)
                && self.study.fuels[entry.fuel].fuel.name() == fuel
        };
        self.entries.iter().find(named).map(|entry| &entry.judgement)
    }
}

impl Study {
    /// Answers both questions for every candidate, housing and fuel. One whose state does not settle, or whose inputs a
    /// formula refuses, is told in [`Sizing::not_sized`] while the others are sized.
    ///
    /// # Errors
    ///
    /// [`NothingSized`] where none could be.
    pub fn size(self) -> Result<Sizing, NothingSized> {
        let (mut entries, mut not_sized) = (Vec::new(), Vec::new());
        for (c, candidate) in self.candidates.iter().enumerate() {
            for (h, housing) in candidate.housings().iter().enumerate() {
                for (f, plan) in self.fuels.iter().enumerate() {
                    let judged = judge(&self.installation, candidate, &housing.turbine, plan, &self.target);
                    let judgement = match judged {
                        Ok(judgement) => judgement,
                        Err(why) => {
                            not_sized.push(self.not_sized([c, h, f], Missing::Judgement, why));
                            continue;
                        }
                    };
                    let rise = self.rise([c, h, f], &judgement);
                    entries.push(Entry { candidate: c, housing: h, fuel: f, judgement, rise });
                }
            }
        }
        if entries.is_empty() {
            return Err(NothingSized(not_sized));
        }
        Ok(Sizing { study: self, entries, not_sized, cures: None })
    }
}

/// A map whose flows cannot belong to this engine: usually a wrong unit in its header.
pub(super) fn foreign_flows(study: &Study, file: &str) -> Vec<Problem> {
    let engine = &study.installation.engine;
    let pumping = PressureDifference::from_si_unchecked(2e4);
    let mut problems: Vec<Problem> = Vec::new();
    let mut needed = 0.0_f64;
    for plan in &study.fuels {
        let running = Running::new(plan.lambda, pumping);
        for target in study.target.targets() {
            match air_demand(engine, &plan.fuel, running, target) {
                Ok(demand) => needed = needed.max(demand.air.si()),
                Err(error) => {
                    let (fuel, speed) = (plan.fuel.name(), target.speed().rpm());
                    let message = format!(
                        "{} at {speed:.0} rpm on {fuel} cannot be worked out: {}; check target, bore, stroke and lambda",
                        target.power(),
                        error.plainly()
                    );
                    let at = Some("key \"target\"".to_string());
                    problems.push(Problem { file: file.into(), line: None, at, message });
                }
            }
        }
    }
    for candidate in &study.candidates {
        if candidate.estimated().is_some_and(|estimated| estimated.printed_lines().is_none()) {
            continue;
        }
        let map = candidate.map();
        let greatest = map.greatest_flow();
        let share = greatest.si() / needed;
        if needed > 0.0 && !(0.2..=8.0).contains(&share) {
            let message = format!(
                "the map of candidate {} ends at {}, {} times the {} that the engine needs for the target; \
                 check the unit of its flow column (lb/h, lb/min and kg/s are easily swapped)",
                candidate.name(),
                greatest.both(),
                significant(share, 2),
                MassFlow::from_si_unchecked(needed),
            );
            problems.push(Problem { file: map.file().into(), line: map.header_line(), at: None, message });
        }
    }
    problems
}

/// What walls may take of the fuel's heat for the exhaust temperature to be believed ([own-judgement]).
const WALLS: [f64; 2] = [0.08, 0.35];

/// An exhaust temperature that the fuel's heat does not give, and bearings that count twice or not at all.
pub(super) fn impossible_turbines(study: &Study, file: &str) -> Vec<Problem> {
    let problem = |key: &str, message: String| Problem {
        file: file.into(),
        line: study.inputs.iter().find(|input| input.key == key).map(|input| input.line),
        at: Some(format!("key \"{key}\"")),
        message,
    };
    let mut problems = Vec::new();
    let exhaust = &study.installation.exhaust;
    for plan in &study.fuels {
        let name = plan.fuel.name();
        let check = "check temperature, and the power and speed at which it was seen (temperature_power, \
                     temperature_speed), or write temperature_over_speed = \"same\"";
        match wall_share_seen(&study.installation, plan) {
            Ok(Some(walls)) if !(WALLS[0]..=WALLS[1]).contains(&walls.si()) => {
                let share = significant(walls.percent(), 2);
                let temperature = exhaust.temperature;
                let message = format!(
                    "{temperature} on {name} would leave {share} % of the fuel's heat for the walls; {check}"
                );
                problems.push(problem("exhaust.temperature", message));
            }
            Ok(_) => {}
            Err(error) => problems
                .push(problem("exhaust.temperature", format!("on {name}: {}; {check}", error.plainly()))),
        }
    }
    for candidate in &study.candidates {
        for housing in candidate.housings() {
            if let Err(error) = housing.turbine.bearings_once(exhaust.efficiency) {
                let (unit, housing) = (candidate.name(), &housing.name);
                let keys = "turbine_efficiency is with bearings, wheel_efficiency without, which then needs bearing_friction";
                let message = format!("{unit}, {housing}: {}; {keys}", error.plainly());
                problems.push(problem("exhaust.turbine_efficiency", message));
            }
        }
    }
    problems
}
