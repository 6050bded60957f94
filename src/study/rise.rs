//! When a candidate comes alive: its operating line, and the time until boost in gear.

use super::{Away, Driving, Entry, Sizing, Study};
use crate::engine::Target;
use crate::formula::FormulaError;
use crate::quantity::units::second;
use crate::quantity::*;
use crate::shaft::{
    AreaBand, Arrival, Judgement, Onset, OperatingLine, OperatingPoint, Recovery, Stores, Sweep, SweepError,
    Sweeper, operating_line, operating_point,
};
use core::cmp::Ordering;

/// The boost that a candidate is asked for, and how it comes.
#[derive(Clone, Debug, PartialEq)]
pub struct Rise {
    /// True where the boost is what the target needs; else what the most power needs, the target having no point.
    pub for_target: bool,
    /// True where the fuel allows less boost than that, which is then asked for.
    pub by_fuel: bool,
    /// True where the wastegate's spring alone holds more boost than that, which then stands.
    pub by_spring: bool,
    /// Balanced states over engine speed with that boost held.
    pub line: OperatingLine,
    /// The same with the turbine's area one standard deviation smaller and larger.
    pub sides: [Option<OperatingLine>; 2],
    /// The same on the worse and the better side of an estimated map's band.
    pub map_sides: [Option<OperatingLine>; 2],
    /// The time until that boost in gear.
    pub arrival: Result<Arrival, SweepError>,
    /// What a change into the next gear does to it, where the study tells of one.
    pub recovery: Option<Result<Recovery, SweepError>>,
    /// The same boost held at the other places of the study.
    pub away: Vec<Result<Away, FormulaError>>,
}

/// Why there is no boost to wait for.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum NoRise {
    /// Neither the target nor any smaller power has a point.
    NoPoint,
    /// The manifold pressure needed is not above the barometer.
    NoBoost(Pressure),
    /// A formula refused its inputs.
    Formula(FormulaError),
}

impl core::fmt::Display for NoRise {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::NoPoint => f.write_str("no power has a point within all limits, so no boost is looked for"),
            Self::NoBoost(pressure) => write!(f, "{pressure} is needed, which is no boost"),
            Self::Formula(error) => error.fmt(f),
        }
    }
}
impl core::error::Error for NoRise {}
impl From<FormulaError> for NoRise {
    fn from(error: FormulaError) -> Self {
        Self::Formula(error)
    }
}

impl Rise {
    /// The manifold pressure asked for.
    pub fn pressure(&self) -> Pressure {
        self.line.control.target()
    }
    /// Whether boost is there by an engine speed: 90 % of it in gear, and all of it held steadily. `None` where
    /// it is not known.
    pub fn there_by(&self, speed: ShaftSpeed) -> [Option<bool>; 2] {
        let in_gear =
            self.arrival.as_ref().ok().map(|arrival| arrival.ninety.is_some_and(|at| at.1 <= speed));
        let held = match self.line.threshold.held() {
            Onset::At(from) => Some(from <= speed),
            Onset::Below(_) => Some(true),
            Onset::Above(_) => Some(false),
            Onset::Unknown => None,
        };
        [in_gear, held]
    }
}

/// Engine speeds of a line, and where the first lies over the last of the target.
const SPEEDS: u32 = 24;
const FIRST: f64 = 0.25;

impl Study {
    /// The engine speeds of the operating lines: from a quarter of the target's upper end to the engine's speed
    /// limit, or to that end where no limit is known.
    pub fn line_speeds(&self) -> Vec<ShaftSpeed> {
        let [_, upper] = self.target.ends();
        let first = upper * FIRST;
        let step = (self.last_speed() - first) / f64::from(SPEEDS - 1);
        (0..SPEEDS).map(|k| first + step * f64::from(k)).collect()
    }
    fn last_speed(&self) -> ShaftSpeed {
        let [_, upper] = self.target.ends();
        self.installation.engine.most_speed().filter(|limit| *limit > upper).unwrap_or(upper)
    }

    /// How the boost of a judged candidate with one housing on one fuel comes.
    pub(super) fn rise(
        &self,
        [candidate, housing, fuel]: [usize; 3],
        judgement: &Judgement,
    ) -> Result<Rise, NoRise> {
        let (candidate, plan) = (&self.candidates[candidate], &self.fuels[fuel]);
        let turbine = &candidate.housings()[housing].turbine;
        let installation = &self.installation;
        let barometer = installation.site.pressure();
        let at_target = greatest(judgement.points.iter().filter_map(|(_, found)| found.as_ref().ok()));
        let at_most = || {
            let power = judgement.most.power?;
            let speeds = self.target.speeds().into_iter();
            let points: Vec<OperatingPoint> = speeds
                .filter_map(|speed| {
                    operating_point(installation, candidate, turbine, plan, Target::crank(power, speed)).ok()
                })
                .collect();
            greatest(points.iter())
        };
        let needed = at_target.or_else(at_most).ok_or(NoRise::NoPoint)?;
        let allowed = plan.most_boost.map(|boost| boost.absolute(barometer));
        let by_fuel = allowed.is_some_and(|allowed| allowed < needed);
        let asked = allowed.filter(|_| by_fuel).unwrap_or(needed);
        let (control, by_spring) = self.driving.control(asked, barometer)?;
        let pressure = control.target();
        if pressure <= barometer {
            return Err(NoRise::NoBoost(pressure));
        }
        let speeds = self.line_speeds();
        let line = operating_line(installation, candidate, turbine, plan, control, &speeds)?;
        let sides = [-1.0, 1.0].map(|sigmas| {
            let other = turbine.larger_by(sigmas);
            let line = operating_line(installation, candidate, &other, plan, control, &speeds).ok();
            line.filter(|_| other.area() != turbine.area())
        });
        let map_sides = [AreaBand::Worse, AreaBand::Better].map(|side| {
            let other = candidate.on(side)?;
            operating_line(installation, &other, turbine, plan, control, &speeds).ok()
        });
        let sweeper = || {
            let Some((inertia, _)) = turbine.inertia() else {
                let why =
                    "the inertia of the rotor is not known; give inertia, or wheel, of the turbine".into();
                let formula = "turbine::Turbine::inertia";
                return Err(SweepError::Formula(FormulaError::NoResult { formula, why }));
            };
            let stores = Stores::new(inertia, self.driving.charge, self.driving.exhaust)?;
            Ok(Sweeper::new(installation, candidate, turbine, plan, stores)?)
        };
        let arrival = sweeper().and_then(|sweeper| self.arrival(&sweeper, pressure));
        let change = self.driving.vehicle.and_then(|vehicle| vehicle.change);
        let recovery = change.map(|change| {
            let then = Sweep::InGear(change.lands, change.next);
            sweeper()?.recovery(change.shift, then, pressure, LONGEST_RECOVERY)
        });
        let for_target = at_target.is_some();
        let mut rise = Rise {
            for_target,
            by_fuel,
            by_spring,
            arrival,
            recovery,
            line,
            sides,
            map_sides,
            away: Vec::new(),
        };
        rise.away = self.away((candidate, turbine, plan), &rise);
        Ok(rise)
    }

    /// The time until boost in gear, at most until the last engine speed.
    fn arrival(&self, sweeper: &Sweeper<'_>, pressure: Pressure) -> Result<Arrival, SweepError> {
        let Driving { from, rate, start, .. } = self.driving;
        let last = self.last_speed();
        let until = |longest: Time| sweeper.arrival(self.driving.sweep(), start, pressure, longest);
        if self.driving.vehicle.is_none() {
            return until(Time::from_si_unchecked(((last - from).si() / rate.si()).min(LONGEST.si())));
        }
        // In a gear the torque decides how long it takes to the last engine speed.
        let whole = until(LONGEST)?;
        match whole.moments.iter().position(|moment| moment.speed > last) {
            Some(past) if past > 0 => {
                let [before, after] = [past - 1, past].map(|k| &whole.moments[k]);
                let share = (last - before.speed).si() / (after.speed - before.speed).si();
                until(before.time + (after.time - before.time) * share)
            }
            _ => Ok(whole),
        }
    }
}

/// The longest rise that is followed, and the longest way back after a gear change.
const LONGEST: Time = second(120.0);
const LONGEST_RECOVERY: Time = second(20.0);

/// The greatest manifold pressure of points.
fn greatest<'p>(points: impl Iterator<Item = &'p OperatingPoint>) -> Option<Pressure> {
    let pressures = points.map(|point| point.manifold_pressure);
    pressures.max_by(|a, b| a.partial_cmp(b).unwrap_or(Ordering::Equal))
}

impl Entry {
    /// Its operating line, where there is boost to hold.
    pub fn line(&self) -> Option<&OperatingLine> {
        self.rise.as_ref().ok().map(|rise| &rise.line)
    }
    /// The time until boost in gear, where it was worked out.
    pub fn arrival(&self) -> Option<&Arrival> {
        self.rise.as_ref().ok().and_then(|rise| rise.arrival.as_ref().ok())
    }
}

impl Sizing {
    /// Whether a candidate has an operating line with any housing on any fuel.
    pub fn has_line(&self, candidate: usize) -> bool {
        self.entries.iter().any(|entry| entry.candidate == candidate && entry.line().is_some())
    }
}
