//! Solving the balance at one engine speed: with the wastegate regulating, shut, or as far open as it goes.

use super::newton::{Approached, Balanced, CLOSED, NotBalanced, System, approach, clipped};
use super::plant::{Closing, MOST_EXPANSION, Plant};
use super::state::{State, Unknowns};
use crate::compressor::{CompressorMap, MapEdge, OutsideMap};
use crate::engine::demand;
use crate::formula::{Dual, FormulaError, Plain, Scalar};
use crate::quantity::*;
use crate::shaft::chain::{Case, Gases, Setting};
use crate::shaft::operating::NotFound;
use crate::solve::root;

/// What the wastegate does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Gate {
    /// Shut: the exhaust has nothing to spare.
    Shut,
    /// It holds what is asked for.
    Regulating,
    /// It holds less than what is asked for, on the edge of the map that would be crossed: the surge line, the
    /// choke end of the speed lines or the highest speed.
    Holding(MapEdge),
    /// As far open as it goes, and the boost creeps above what is asked for.
    Open,
}

impl Gate {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Shut => "shut",
            Self::Regulating => "regulating",
            Self::Holding(MapEdge::Surge) => "held at the surge line",
            Self::Holding(MapEdge::Choke) => "held at choke",
            Self::Holding(_) => "held at the highest speed",
            Self::Open => "fully open",
        }
    }
}

/// A balanced state in plain numbers.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Solved {
    pub at: Unknowns<f64>,
    pub state: State<f64>,
    /// What the plain formulas leave of the four relations.
    pub left: [f64; 4],
    pub steps: usize,
    /// The unknowns as the solver moves them.
    pub unknowns: [f64; 4],
}

impl Solved {
    /// Share of the exhaust that the turbine does not take.
    pub fn spare(&self) -> f64 {
        1.0 - self.state.turbine_flow / self.state.exhaust
    }
}

/// The largest gap; NaN where one is none.
fn largest(gaps: &[f64; 4]) -> f64 {
    // In the total order NaN is the largest, so it is never lost.
    gaps.iter().map(|gap| gap.abs()).max_by(f64::total_cmp).unwrap_or(f64::NAN)
}

/// Everything that stays while states at several engine speeds are solved.
pub(crate) struct Bench<'a> {
    pub case: Case<'a>,
    pub map: &'a CompressorMap,
    pub gases: Gases,
    setting: Setting<f64>,
}

/// Gaps that the plain formulas may leave of a balanced state.
pub(crate) const LEFT: f64 = 1e-9;
/// Starts tried where the first does not lead to a state: shares of the highest speed, positions, roots of
/// the expansion ratio's excess.
const SPEEDS: [f64; 5] = [0.9, 0.7, 0.5, 0.3, 0.15];
const POSITIONS: [f64; 3] = [0.2, 0.5, 0.9];
const EXPANSIONS: [f64; 3] = [0.4, 0.9, 1.5];

/// Gaps below which the slopes need not be read anew: the plain formulas, which a state must pass anyway, cost less.
const NEAR: f64 = 1e-2;
/// How far each turn of the plain formulas must bring the gaps down.
const SHRINKS: f64 = 0.3;
/// Where they stop: what is left per mass of air may weigh twenty times as much beside a small power.
const SETTLED: f64 = 2e-11;
const MOST_TURNS: usize = 8;
/// Gaps above which the next turn cannot be the last.
const LAST: f64 = 1e-6;

/// The search for a state from several starts.
struct Search<'s, 'a> {
    bench: &'s Bench<'a>,
    plant: &'s Plant<'s>,
    failed: Option<NotBalanced<4>>,
    /// A balanced state that a formula refused.
    refused: Option<NotFound>,
}

impl Search<'_, '_> {
    /// By Newton's method until the state is near, then by the slopes met last.
    fn from(&mut self, start: [f64; 4]) -> Option<Solved> {
        let near = match approach(self.plant, start, NEAR) {
            Ok(near) => near,
            Err(not) => return self.fails(not),
        };
        self.settled(&near).or_else(|| match approach(self.plant, near.balanced.unknowns, CLOSED) {
            Ok(found) => self.checked(&found, near.balanced.steps),
            Err(not) => self.fails(not),
        })
    }
    fn fails(&mut self, not: NotBalanced<4>) -> Option<Solved> {
        if self.failed.is_none_or(|before| not.left < before.left) {
            self.failed = Some(not);
        }
        None
    }
    fn near(&mut self, start: Option<[f64; 4]>) -> Option<Solved> {
        start.and_then(|start| self.from(start)).or_else(|| self.from(self.bench.start(self.plant)))
    }

    /// The plain formulas turn by turn until they leave nothing; the slopes learn from every turn. What may be the last turn
    /// is judged, formula by formula. `None` where that is not fast.
    fn settled(&self, near: &Approached<4>) -> Option<Solved> {
        let bounds = self.plant.bounds();
        let mut inverse = near.inverse()?;
        let (mut before, mut gaps) = (near.from, near.gaps);
        let Balanced { mut unknowns, steps, .. } = near.balanced;
        for turn in 1..=MOST_TURNS {
            let left = if largest(&gaps) > LAST {
                self.plant.gaps(unknowns.map(Dual::<0>::lit)).map(|gap| gap.re)
            } else {
                let (at, state, left) = self.bench.plain(self.plant, unknowns).ok()?;
                if largest(&left) <= SETTLED {
                    return Some(Solved { at, state, left, steps: steps + turn, unknowns });
                }
                left
            };
            let shrinks = largest(&left) <= SHRINKS * largest(&gaps);
            if !shrinks {
                return None;
            }
            let taken = core::array::from_fn(|i| unknowns[i] - before[i]);
            inverse.learn(&taken, &core::array::from_fn(|i| left[i] - gaps[i]));
            let step = inverse.step(&left);
            (before, gaps) = (unknowns, left);
            unknowns = clipped(core::array::from_fn(|i| unknowns[i] + step[i]), &bounds);
        }
        None
    }

    /// A state by the plain formulas, each judged, and what they leave.
    fn checked(&mut self, found: &Approached<4>, steps: usize) -> Option<Solved> {
        let Balanced { unknowns, steps: further, .. } = found.balanced;
        let steps = steps + further;
        let error = match self.bench.plain(self.plant, unknowns) {
            Ok((at, state, left)) if largest(&left) <= LEFT => {
                return Some(Solved { at, state, left, steps, unknowns });
            }
            Ok((.., left)) => NotFound::NotConverged { steps, left: largest(&left) },
            Err(error) => error.into(),
        };
        self.refused = Some(error);
        None
    }

    fn widely(&mut self) -> Option<Solved> {
        let [air, ..] = self.bench.start(self.plant);
        SPEEDS.iter().find_map(|&speed| {
            POSITIONS.iter().find_map(|&position| {
                EXPANSIONS.iter().find_map(|&z| self.from([air.min(speed), speed, position, z]))
            })
        })
    }
    fn fault(self) -> NotFound {
        if let Some(refused) = self.refused {
            return refused;
        }
        let (left, steps) = self.failed.map_or((f64::NAN, 0), |not| (not.left, not.steps));
        let at = self.failed.map(|not| Unknowns::of(self.bench.map, not.unknowns).expansion);
        NotFound::NoBalance {
            speed: ShaftSpeed::from_si_unchecked(self.plant.setting.way.speed),
            left,
            steps,
            at_most_expansion: at.is_some_and(|expansion| expansion > 0.99 * MOST_EXPANSION),
            turbine_map: self.bench.case.turbine.map().map(|map| map.title()),
        }
    }
}

impl<'a> Bench<'a> {
    pub fn new(case: Case<'a>, map: &'a CompressorMap) -> Result<Self, FormulaError> {
        let gases = case.gases()?;
        let setting = Setting::new(&case, &gases, &Plain, 100.0)?;
        Ok(Self { case, map, gases, setting })
    }

    /// The figures at an engine speed.
    pub fn setting(&self, speed: ShaftSpeed) -> Setting<f64> {
        self.setting.at_speed(speed.si())
    }

    /// Closes the relations at an engine speed from what was found near by, or from nothing.
    pub fn solve(
        &self,
        setting: &Setting<f64>,
        throttle: f64,
        closing: Closing,
        near: Option<&Solved>,
    ) -> Result<Solved, NotFound> {
        self.solve_from(setting, throttle, closing, near.map(|near| near.unknowns))
    }

    /// The same from unknowns near by.
    pub fn solve_from(
        &self,
        setting: &Setting<f64>,
        throttle: f64,
        closing: Closing,
        start: Option<[f64; 4]>,
    ) -> Result<Solved, NotFound> {
        let plant = Plant { setting, gases: &self.gases, map: self.map, throttle, closing };
        let mut search = Search { bench: self, plant: &plant, failed: None, refused: None };
        let found = search.near(start).or_else(|| search.widely());
        found.ok_or_else(|| search.fault())
    }

    /// The same where a miss is an answer: it looks only from near by and from one guess.
    pub fn glance(
        &self,
        setting: &Setting<f64>,
        throttle: f64,
        closing: Closing,
        near: Option<&Solved>,
    ) -> Option<Solved> {
        let plant = Plant { setting, gases: &self.gases, map: self.map, throttle, closing };
        Search { bench: self, plant: &plant, failed: None, refused: None }
            .near(near.map(|near| near.unknowns))
    }

    /// A state by the plain formulas, each judged, and what they leave of the relations.
    fn plain(
        &self,
        plant: &Plant<'_>,
        unknowns: [f64; 4],
    ) -> Result<(Unknowns<f64>, State<f64>, [f64; 4]), FormulaError> {
        let at = Unknowns::of(self.map, unknowns);
        let state = plant.state(&at)?;
        let left = plant.left(plant.setting, &at, &state)?;
        Ok((at, state, left))
    }

    /// Unknowns worked out from what is asked for, as if the compressor stood at the middle of its map.
    fn start(&self, plant: &Plant<'_>) -> [f64; 4] {
        let way = &plant.setting.way;
        let warm = way.ambient[1] + 30.0;
        let volume = way.breathing * way.displacement * way.speed / (4.0 * core::f64::consts::PI);
        let r = self.gases.air.r();
        let air = match plant.closing {
            Closing::Manifold(pressure) => volume * pressure / (r * warm),
            Closing::Power(power) => demand(&plant.setting.figures, power, 2e4)
                .map_or(0.5 * self.map.greatest_flow().si(), |demand| demand.air),
            Closing::Gate(_) | Closing::Position(_) | Closing::Speed(_) => {
                volume * way.ambient[0] * 1.4 / (r * warm)
            }
        };
        let manifold = air * r * warm / volume;
        let ratio = manifold / plant.throttle / way.ambient[0] * 1.05;
        let [speed, position] = self.map.near(air, ratio).unwrap_or_else(|| {
            let highest = self.map.highest_speed().si();
            let by_head = highest * ((ratio.max(1.02) - 1.0) / 2.5).sqrt();
            [by_head.min(1.1 * highest), 0.5]
        });
        let expansion = 1.0 + 0.9 * (ratio - 1.0).max(0.1);
        Unknowns { air, speed, position, expansion }.scaled(self.map)
    }

    /// At the choke end of a corrected speed, with the turbine driving the compressor: the unknowns, and how much more
    /// than that the engine would breathe, relative. `None` where no expansion ratio drives it.
    pub fn at_choke(&self, setting: &Setting<f64>, throttle: f64, speed: f64) -> Option<([f64; 4], f64)> {
        let state = |air: f64, expansion: f64| {
            let at = Unknowns { air, speed, position: 1.0, expansion };
            setting.state(&self.gases, self.map, throttle, &at, None)
        };
        let [mut air, ..] = self.map.continued(speed, 1.0);
        // The filter's loss is a few per cent: each turn brings as much.
        for _ in 0..12 {
            air = state(air, 1.5).ok()?.compressor_flow;
        }
        let spare = |expansion: f64| {
            state(air, expansion).map_or(f64::NAN, |state| state.turbine_power - state.asked)
        };
        // Up to where the exhaust pressure would hold the engine's breath.
        let most = (1..=40).map(|k| 1.0 + 0.1 * f64::from(k)).find(|&expansion| spare(expansion) > 0.0)?;
        let expansion = root(spare, [(most - 0.1).max(1.001), most], 1e-9).ok()?;
        let breathes = state(air, expansion).ok()?.engine_flow / air - 1.0;
        let at = Unknowns { air, speed, position: 1.0, expansion };
        Some((at.scaled(self.map), breathes))
    }

    /// What holds a state on an edge of the map; `None` for the edge below, which is no limit.
    pub fn edge(&self, edge: MapEdge) -> Option<Closing> {
        match edge {
            MapEdge::Surge => Some(Closing::Position(0.0)),
            MapEdge::Choke => Some(Closing::Position(1.0)),
            MapEdge::HighestSpeed => Some(Closing::Speed(self.map.highest_speed().si())),
            MapEdge::LowestSpeed | MapEdge::NotANumber => None,
        }
    }

    /// What the state lies beyond, if it is not on the map.
    pub fn beyond(&self, solved: &Solved) -> Option<OutsideMap> {
        let (n, s) = (solved.at.speed, solved.at.position);
        let edge = if n > self.map.highest_speed().si() * (1.0 + 1e-9) {
            MapEdge::HighestSpeed
        } else if s < -1e-9 {
            MapEdge::Surge
        } else if s > 1.0 + 1e-9 {
            MapEdge::Choke
        } else if n < self.map.lowest_speed().si() * (1.0 - 1e-9) {
            MapEdge::LowestSpeed
        } else {
            return None;
        };
        let flow = CorrectedMassFlow::from_si_unchecked(solved.state.corrected_flow);
        Some(OutsideMap { edge, flow, ratio: PressureRatio::from_si_unchecked(solved.state.ratio) })
    }
}
