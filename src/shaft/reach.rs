//! The limits in the order in which they are met as the power rises, and what would move the first of them.

use super::balance::{Bench, Closing, Solved};
use super::chain::{Case, Reached};
use super::limits::Limit;
use super::operating::NotFound;
use super::{Candidate, FuelPlan, Installation, PowerBand, speed_margin};
use crate::compressor::MapEdge;
use crate::engine::torque;
use crate::formula::{FormulaError, Plain};
use crate::quantity::*;
use crate::solve::root;
use crate::turbine::Turbine;
use std::collections::BTreeSet;

/// A limit, and the least power at which it is met.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Met {
    /// The limit.
    pub limit: Limit,
    /// The power.
    pub power: Power,
    /// The engine speed at which that is so.
    pub speed: ShaftSpeed,
    /// True where the state there lies beyond an edge of the map, which the fan laws or a run-on line then stand
    /// in for: the order counts, the figure is rough.
    pub beyond_map: bool,
}

/// Powers looked at, as multiples of the target.
const SEARCHED: [f64; 2] = [0.3, 2.3];
const STEPS: usize = 32;
/// How far short of a limit the state is looked at, as a share of its power.
const SHORT: f64 = 1e-6;

/// A state with its distances to all limits, below zero once exceeded.
struct Seen {
    share: f64,
    distances: Vec<(Limit, f64)>,
    beyond_map: bool,
}

/// Finds for each limit the least power, held over the band of engine speed, at which it is met, in that order. The
/// first is what stops the candidate; the others say how far each cure would carry. A limit that is not met up to
/// 2.3 times the target, or to where mass and power no longer balance, is left out.
///
/// # Errors
///
/// [`NotFound`] for inputs that a formula refuses.
pub fn limits_in_order(
    installation: &Installation,
    candidate: &Candidate,
    turbine: &Turbine,
    plan: &FuelPlan,
    band: &PowerBand,
) -> Result<Vec<Met>, NotFound> {
    let case = Case { installation, candidate, turbine, plan };
    let bench = Bench::new(case, candidate.map())?;
    let mut first: Vec<Met> = Vec::new();
    for speed in band.speeds() {
        let climb = Climb { bench: &bench, band, speed };
        for met in climb.met()? {
            match first.iter_mut().find(|known| known.limit == met.limit) {
                Some(known) if known.power <= met.power => {}
                Some(known) => *known = met,
                None => first.push(met),
            }
        }
    }
    first.sort_by(|a, b| a.power.si().total_cmp(&b.power.si()));
    Ok(first)
}

/// Rising power at one engine speed.
struct Climb<'a> {
    bench: &'a Bench<'a>,
    band: &'a PowerBand,
    speed: ShaftSpeed,
}

impl Climb<'_> {
    fn met(&self) -> Result<Vec<Met>, NotFound> {
        let mut near = None;
        let mut before: Option<Seen> = None;
        let (mut met, mut exceeded) = (Vec::<Met>::new(), Vec::<Met>::new());
        let mut kept = BTreeSet::new();
        for k in 0..=STEPS {
            let share = SEARCHED[0] + (SEARCHED[1] - SEARCHED[0]) * k as f64 / STEPS as f64;
            let Some((seen, solved)) = self.seen(share, near.as_ref())? else {
                // Nothing balances any more: higher powers neither, once lower ones did.
                if before.is_some() {
                    break;
                }
                continue;
            };
            near = Some(solved);
            for (index, &(limit, distance)) in seen.distances.iter().enumerate() {
                if distance >= 0.0 {
                    kept.insert(limit);
                    exceeded.retain(|known: &Met| known.limit != limit);
                    continue;
                }
                if met.iter().chain(&exceeded).any(|known| known.limit == limit) {
                    continue;
                }
                let from = before.as_ref().filter(|_| kept.contains(&limit)).map(|below| below.share);
                let share =
                    from.and_then(|low| self.crossing(index, low, share, near.as_ref())).unwrap_or(share);
                let power = self.band.power() * share;
                // Just short of it: the limit may be the edge itself.
                let short = from.and_then(|_| self.seen(share * (1.0 - SHORT), near.as_ref()).ok().flatten());
                let beyond_map = short.map_or(seen.beyond_map, |(short, _)| short.beyond_map);
                let found = Met { limit, power, speed: self.speed, beyond_map };
                // One that was never kept counts only if it stays exceeded: a slow wheel may choke on the way up.
                if from.is_some() { met.push(found) } else { exceeded.push(found) }
            }
            before = Some(seen);
        }
        met.extend(exceeded);
        Ok(met)
    }

    fn crossing(&self, index: usize, low: f64, high: f64, near: Option<&Solved>) -> Option<f64> {
        let distance = |share: f64| match self.seen(share, near) {
            Ok(Some((seen, _))) => seen.distances[index].1,
            _ => f64::NAN,
        };
        root(distance, [low, high], 1e-9).ok()
    }

    fn seen(&self, share: f64, near: Option<&Solved>) -> Result<Option<(Seen, Solved)>, NotFound> {
        let setting = self.bench.setting(self.speed);
        let power = self.band.power().si() * share;
        let Some(solved) = self.bench.glance(&setting, 1.0, Closing::Power(power), near) else {
            return Ok(None);
        };
        // A state so far off that a margin has no number is as good as none.
        let Ok(distances) = self.distances(&solved, power) else {
            return Ok(None);
        };
        let beyond = self.bench.beyond(&solved);
        let beyond_map = beyond.is_some_and(|outside| outside.edge != MapEdge::LowestSpeed);
        Ok(Some((Seen { share, distances, beyond_map }, solved)))
    }

    /// The distances of a state to all limits, in one order.
    fn distances(&self, solved: &Solved, power: f64) -> Result<Vec<(Limit, f64)>, FormulaError> {
        let candidate = self.bench.case.candidate;
        let setting = self.bench.setting(self.speed);
        let (at, state, map) = (&solved.at, &solved.state, self.bench.map);
        let reached = Reached {
            torque: torque::step(power, self.speed.si())?,
            brake_pressure: state.brake_pressure,
            air: at.air,
            manifold: state.manifold_pressure,
            exhaust_pressure: state.turbine_inlet,
            exhaust_temperature: state.hot.temperature,
            duty: setting.duty(state.fuel)?,
            expansion: at.expansion,
        };
        // Below the lowest speed line nobody knows where surge and choke are.
        let edge = |distance: f64| if at.speed >= map.lowest_speed().si() { distance } else { 1.0 };
        let mut all = vec![
            (Limit::Surge, edge(at.position)),
            (Limit::Choke, edge(1.0 - at.position)),
            (Limit::TopSpeedLine, speed_margin::step(map.highest_speed().si(), at.speed)?),
            (Limit::TurbineTooLarge, solved.spare()),
        ];
        all.extend(setting.distances(&self.bench.case, &self.bench.gases.air, &Plain, &reached)?);
        if let Some(limit) = candidate.highest_speed() {
            all.push((Limit::ShaftSpeed, speed_margin::step(limit.si(), state.shaft_speed)?));
        }
        Ok(all)
    }
}
