//! The operating line: boost, torque and power over engine speed, and where boost is reached.

use super::bench::{Bench, Gate, Solved};
use super::plant::Closing;
use super::point::BalancedPoint;
use super::trail::Trail;
use crate::compressor::{CompressorMap, MapEdge, OutsideMap};
use crate::formula::{FormulaError, checked};
use crate::quantity::*;
use crate::shaft::chain::{Case, Setting};
use crate::shaft::operating::NotFound;
use crate::shaft::{Candidate, FuelPlan, Installation};
use crate::solve::root;
use crate::turbine::{BoostControl, Turbine, Wastegate};

/// The boost asked for and the wastegate that is to hold it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Control {
    target: Pressure,
    gate: Option<Area>,
    throttle: Fraction,
}

impl Control {
    /// Holds an absolute manifold pressure, with a wastegate that is always large enough and the throttle wide open.
    pub fn manifold(target: Pressure) -> Result<Self, FormulaError> {
        let target = checked("shaft::Control::manifold", "target", "manifold pressure", target, 2e4, 8e5)?;
        Ok(Self { target, gate: None, throttle: Fraction::from_si_unchecked(1.0) })
    }
    /// Holds what a wastegate holds with its spring under a control, with its area as far open as it goes: a target above
    /// the barometer falls with altitude, an absolute one does not, and neither can lie below the spring.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let gate = Wastegate::new(mm(26.0), kpa_gauge(60.0))?;
    /// let hill = Control::held_by(&gate, BoostControl::Gauge(kpa_gauge(110.0)), kpa(88.25))?;
    /// assert!((hill.target().kpa() - 198.25).abs() < 1e-9);
    /// assert!(Control::held_by(&gate, BoostControl::Gauge(kpa_gauge(40.0)), kpa(88.25)).is_err());
    /// # Ok::<(), FormulaError>(())
    /// ```
    pub fn held_by(
        gate: &Wastegate,
        control: BoostControl,
        barometer: Pressure,
    ) -> Result<Self, FormulaError> {
        Self::manifold(gate.held(control, barometer)?)?.wastegate(gate.area())
    }
    /// Sets the effective area of the wastegate when it is fully open.
    pub fn wastegate(mut self, area: Area) -> Result<Self, FormulaError> {
        const NAME: &str = "shaft::Control::wastegate";
        self.gate = Some(checked(NAME, "area", "effective area of the wastegate", area, 1e-6, 0.02)?);
        Ok(self)
    }
    /// Sets how far the throttle is closed: the manifold pressure over the pressure before the throttle.
    pub fn throttle(mut self, share: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "shaft::Control::throttle";
        self.throttle = checked(NAME, "share", "pressure after the throttle over before", share, 0.1, 1.0)?;
        Ok(self)
    }
    /// The manifold pressure asked for.
    pub fn target(&self) -> Pressure {
        self.target
    }
    /// Manifold pressure over the pressure before the throttle.
    pub fn opening(&self) -> Fraction {
        self.throttle
    }
}

/// Balanced states over engine speed.
#[derive(Clone, Debug, PartialEq)]
pub struct OperatingLine {
    /// What was asked for.
    pub control: Control,
    /// The states by rising engine speed, or why there is none.
    pub points: Vec<(ShaftSpeed, Result<BalancedPoint, NotFound>)>,
    /// From where the boost asked for can be held.
    pub threshold: Threshold,
}

/// From which engine speed something holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Onset {
    /// From this speed.
    At(ShaftSpeed),
    /// Already at the lowest speed looked at.
    Below(ShaftSpeed),
    /// Not up to the highest speed looked at.
    Above(ShaftSpeed),
    /// The states around it were not found.
    Unknown,
}

/// The lowest engine speeds at which the boost asked for can be held, steadily.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Threshold {
    /// From here the exhaust drives it, with the wastegate just shut.
    pub exhaust: Onset,
    /// From here the compressor delivers it right of its surge line.
    pub surge: Onset,
}

impl Threshold {
    /// From where the boost is there: the later of both.
    pub fn held(&self) -> Onset {
        match (self.exhaust, self.surge) {
            (Onset::Unknown, _) | (_, Onset::Unknown) => Onset::Unknown,
            (above @ Onset::Above(_), _) | (_, above @ Onset::Above(_)) => above,
            (Onset::At(a), Onset::At(b)) => Onset::At(if a > b { a } else { b }),
            (at @ Onset::At(_), _) | (_, at @ Onset::At(_)) => at,
            (below, _) => below,
        }
    }
}

/// Solves states one after the other at rising engine speeds, each started from those before.
pub(crate) struct Line<'a> {
    bench: Bench<'a>,
    control: Control,
    /// The states at the boost asked for, and those with the wastegate shut or fully open.
    held: Trail,
    free: Trail,
    /// The state at the boost asked for at each engine speed so far, where there is one.
    seen: Vec<(ShaftSpeed, Option<Solved>)>,
}

impl<'a> Line<'a> {
    pub fn new(case: Case<'a>, map: &'a CompressorMap, control: Control) -> Result<Self, FormulaError> {
        let (held, free, seen) = (Trail::default(), Trail::default(), Vec::new());
        Ok(Self { bench: Bench::new(case, map)?, control, held, free, seen })
    }

    /// The state at an engine speed: what is asked for if the wastegate can hold it on the map, else with the
    /// wastegate shut or fully open, else held on the edge of the map.
    pub fn at(&mut self, speed: ShaftSpeed) -> Result<BalancedPoint, NotFound> {
        let setting = self.bench.setting(speed);
        let (solved, gate) = match self.solve(&setting) {
            // Far beyond a map a state may leave the range of a formula; what it is held at may not.
            Err(fault @ (NotFound::NoBalance { .. } | NotFound::Formula(_))) => {
                self.at_the_limit(&setting, fault)?
            }
            solved => solved?,
        };
        let (solved, gate) = match self.bench.beyond(&solved) {
            Some(outside) if outside.edge != MapEdge::LowestSpeed => {
                self.on_the_map(&setting, &solved, outside)?.ok_or(NotFound::Outside(outside))?
            }
            _ => (solved, gate),
        };
        Ok(BalancedPoint::new(&setting, &solved, gate, self.bench.beyond(&solved))?)
    }

    /// Where a state lies off the map: one held at the edge that it lies beyond, else at another edge, else with the
    /// wastegate shut. Less boost than asked for needs a wastegate that lets the rest of the exhaust pass.
    fn on_the_map(
        &mut self,
        setting: &Setting<f64>,
        off: &Solved,
        outside: OutsideMap,
    ) -> Result<Option<(Solved, Gate)>, FormulaError> {
        let throttle = self.control.throttle.si();
        let others = [MapEdge::Surge, MapEdge::HighestSpeed, MapEdge::Choke].into_iter();
        for edge in core::iter::once(outside.edge).chain(others.filter(|edge| *edge != outside.edge)) {
            let Some(closing) = self.bench.edge(edge) else { continue };
            let Ok(held) = self.bench.solve(setting, throttle, closing, Some(off)) else { continue };
            let passes = 0.0..=self.most_through_gate(setting, &held)?;
            if self.inside(&held) && passes.contains(&held.spare()) {
                return Ok(Some((held, Gate::Holding(edge))));
            }
        }
        let shut = self.free(setting, Closing::Gate(0.0), Some(off.unknowns)).ok();
        Ok(shut.filter(|shut| self.inside(shut)).map(|shut| (shut, Gate::Shut)))
    }

    /// On the map or below its lowest speed line.
    fn inside(&self, solved: &Solved) -> bool {
        self.bench.beyond(solved).is_none_or(|outside| outside.edge == MapEdge::LowestSpeed)
    }

    pub(super) fn bench(&self) -> &Bench<'a> {
        &self.bench
    }

    /// The state at an engine speed, on the map or not, and what closes it.
    pub(super) fn closed(&mut self, speed: ShaftSpeed) -> Result<(Solved, Closing), NotFound> {
        let setting = self.bench.setting(speed);
        let (solved, gate) = self.solve(&setting)?;
        let open = self.control.gate.map_or(0.0, Area::si);
        let closing = match gate {
            Gate::Shut => Closing::Gate(0.0),
            Gate::Open => Closing::Gate(open),
            Gate::Regulating | Gate::Holding(_) => self.holding(),
        };
        match self.bench.beyond(&solved) {
            Some(outside) if outside.edge != MapEdge::LowestSpeed => Err(NotFound::Outside(outside)),
            _ => Ok((solved, closing)),
        }
    }

    fn solve(&mut self, setting: &Setting<f64>) -> Result<(Solved, Gate), NotFound> {
        let held = self.held(setting);
        if let Some(solved) = held {
            let spare = solved.spare();
            let most = self.most_through_gate(setting, &solved)?;
            if (0.0..=most).contains(&spare) {
                return Ok((solved, Gate::Regulating));
            }
            if spare > most {
                let open = Closing::Gate(self.control.gate.map_or(f64::INFINITY, Area::si));
                let before = self.free.on(setting.way.speed, open);
                let open = self.free(setting, open, Some(before.unwrap_or(solved.unknowns)))?;
                return Ok((open, Gate::Open));
            }
        }
        let shut = Closing::Gate(0.0);
        let near = self.free.on(setting.way.speed, shut).or(held.map(|held| held.unknowns));
        Ok((self.free(setting, shut, near)?, Gate::Shut))
    }

    /// Where neither the boost asked for nor a shut wastegate has a state, however far the map is continued: the
    /// state held at the choke end or at the highest speed, or the choke end if the engine breathes more than it
    /// passes at every speed.
    fn at_the_limit(&self, setting: &Setting<f64>, fault: NotFound) -> Result<(Solved, Gate), NotFound> {
        let throttle = self.control.throttle.si();
        let speeds = self.bench.map.speeds().map(|speed| self.bench.at_choke(setting, throttle, speed.si()));
        let Some(ends) = speeds.collect::<Option<Vec<_>>>() else { return Err(fault) };
        for edge in [MapEdge::Choke, MapEdge::HighestSpeed] {
            let Some(closing) = self.bench.edge(edge) else { continue };
            let near = ends.iter().find(|(_, breathes)| *breathes < 0.0).map(|(at, _)| *at);
            let Ok(held) = self.bench.solve_from(setting, throttle, closing, near) else { continue };
            let on_map = self.inside(&held);
            let less = held.state.manifold_pressure < self.control.target.si();
            let passes = 0.0..=self.most_through_gate(setting, &held)?;
            if on_map && less && passes.contains(&held.spare()) {
                return Ok((held, Gate::Holding(edge)));
            }
        }
        if ends.iter().all(|(_, breathes)| *breathes > 0.0) {
            let map = self.bench.map;
            let [flow, ratio, _] = map.choke_end(map.highest_speed().si());
            let flow = CorrectedMassFlow::from_si_unchecked(flow);
            let ratio = PressureRatio::from_si_unchecked(ratio);
            return Err(NotFound::Outside(OutsideMap { edge: MapEdge::Choke, flow, ratio }));
        }
        Err(fault)
    }

    fn holding(&self) -> Closing {
        Closing::Manifold(self.control.target.si())
    }

    /// The state at the boost asked for, on the map or not.
    fn held(&mut self, setting: &Setting<f64>) -> Option<Solved> {
        let speed = setting.way.speed;
        let closing = self.holding();
        let near = self.held.on(speed, closing);
        let held = self.bench.solve_from(setting, self.control.throttle.si(), closing, near).ok();
        if let Some(solved) = &held {
            self.held.add(speed, closing, solved.unknowns);
        }
        self.seen.push((ShaftSpeed::from_si_unchecked(speed), held));
        held
    }

    fn free(
        &mut self,
        setting: &Setting<f64>,
        closing: Closing,
        near: Option<[f64; 4]>,
    ) -> Result<Solved, NotFound> {
        let solved = self.bench.solve_from(setting, self.control.throttle.si(), closing, near)?;
        self.free.add(setting.way.speed, closing, solved.unknowns);
        Ok(solved)
    }

    /// The share of the exhaust that the wastegate passes when fully open at a state.
    fn most_through_gate(&self, setting: &Setting<f64>, solved: &Solved) -> Result<f64, FormulaError> {
        match self.control.gate {
            Some(area) => {
                let pair = (solved.state.turbine_inlet, solved.at.expansion);
                Ok(setting.gate_flow(area.si(), &solved.state.hot, pair)? / solved.state.exhaust)
            }
            None => Ok(1.0),
        }
    }

    /// From which of the engine speeds so far a figure of the state at the boost asked for is above zero.
    fn first(&self, figure: fn(&Solved) -> f64) -> Onset {
        let mut below: Option<(ShaftSpeed, Solved)> = None;
        for (index, &(speed, held)) in self.seen.iter().enumerate() {
            let Some(solved) = held else {
                below = None;
                continue;
            };
            match (figure(&solved) >= 0.0, below) {
                (true, Some(low)) => return self.between([low, (speed, solved)], figure),
                (true, None) if index == 0 => return Onset::Below(speed),
                (true, None) => return Onset::Unknown,
                (false, _) => below = Some((speed, solved)),
            }
        }
        below.map_or(Onset::Unknown, |(speed, _)| Onset::Above(speed))
    }

    /// Where between two engine speeds, whose states are known, the figure is zero.
    fn between(&self, ends: [(ShaftSpeed, Solved); 2], figure: fn(&Solved) -> f64) -> Onset {
        let closing = self.holding();
        let mut near = Trail::default();
        let bracket = ends.map(|(speed, solved)| {
            near.add(speed.si(), closing, solved.unknowns);
            speed.si()
        });
        let at = |speed: f64| {
            if let Some((_, known)) = ends.iter().find(|(end, _)| end.si() == speed) {
                return figure(known);
            }
            let setting = self.bench.setting(ShaftSpeed::from_si_unchecked(speed));
            let start = near.on(speed, closing);
            let found = self.bench.solve_from(&setting, self.control.throttle.si(), closing, start);
            found.map_or(f64::NAN, |solved| {
                near.add(speed, closing, solved.unknowns);
                figure(&solved)
            })
        };
        match root(at, bracket, 1e-9 * bracket[1]) {
            Ok(speed) => Onset::At(ShaftSpeed::from_si_unchecked(speed)),
            Err(_) => Onset::Unknown,
        }
    }
}

/// Solves the operating line of a candidate with one turbine on one fuel, at rising engine speeds.
///
/// # Errors
///
/// [`FormulaError`] for inputs that a formula refuses at every speed. A state that is not found, or lies
/// beyond the map, is said in its place of the line.
pub fn operating_line(
    installation: &Installation,
    candidate: &Candidate,
    turbine: &Turbine,
    plan: &FuelPlan,
    control: Control,
    speeds: &[ShaftSpeed],
) -> Result<OperatingLine, FormulaError> {
    let mut speeds = speeds.to_vec();
    speeds.sort_by(|a, b| a.si().total_cmp(&b.si()));
    let case = Case { installation, candidate, turbine, plan };
    let mut line = Line::new(case, candidate.map(), control)?;
    let points: Vec<_> = speeds.iter().map(|&speed| (speed, line.at(speed))).collect();
    let exhaust = line.first(Solved::spare);
    let surge = line.first(|solved| solved.at.position);
    let threshold = Threshold { exhaust, surge };
    Ok(OperatingLine { control, points, threshold })
}
