//! The place on a map that carries a corrected flow and a pressure ratio.
//!
//! Where each flow and ratio belong to one place only, and inside the map, Newton's method on the exact
//! slopes finds it. Everywhere else, and for the edge that a point lies beyond, the contour of the pressure
//! ratio is followed from surge to choke and the flow on it bracketed.

use super::curve::{Piece, piece_around};
use super::map::{CURVES, CompressorMap, MOST_LINES, MapEdge, SpeedLine};
use super::state::State;
use crate::solve::{NoRoot, root};

/// The positions at which a map is cut once and for all, to bracket what is looked for.
pub(super) const STEPS: usize = 24;

/// The state of all lines at one position, without allocating.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cut {
    pub(super) values: [[f64; MOST_LINES]; CURVES],
}

pub(super) fn step(k: usize) -> f64 {
    k as f64 / STEPS as f64
}

pub(super) fn cut_of(lines: &[SpeedLine], s: f64) -> Cut {
    let mut values = [[0.0; MOST_LINES]; CURVES];
    for (i, line) in lines.iter().enumerate() {
        for (curve, value) in values.iter_mut().zip(line.curves.at(s)) {
            curve[i] = value;
        }
    }
    Cut { values }
}

/// A root on the way to a point: where it was looked for, and the steps taken.
#[derive(Clone, Copy)]
pub(super) struct Located {
    pub root: f64,
    pub bracket: [f64; 2],
    pub steps: usize,
}

/// A place on a map, each coordinate as it was found, and the state there.
#[derive(Clone, Copy)]
pub(super) struct Place {
    pub position: Located,
    pub speed: Located,
    pub state: State,
}

enum Side {
    Below,
    Above,
}

impl Side {
    fn edge(self) -> MapEdge {
        match self {
            Self::Below => MapEdge::LowestSpeed,
            Self::Above => MapEdge::HighestSpeed,
        }
    }
}

/// The most steps of Newton's method before the bracketed way is taken.
const MOST_STEPS: usize = 8;
/// How near to an edge of the map, relative, a place counts as on it: then the bracketed way decides.
const RIM: f64 = 1e-9;
/// After a step below this the next is the last, if all is smooth.
const NEAR: f64 = 1e-6;
/// A place has settled where the next step is below this, the width to which the bracketed way narrows.
const SETTLED: f64 = 1e-13;

impl CompressorMap {
    /// The place that carries a corrected flow and a pressure ratio.
    pub(super) fn locate(&self, w: f64, pi: f64) -> Result<Place, MapEdge> {
        if !w.is_finite() || !pi.is_finite() {
            return Err(MapEdge::NotANumber);
        }
        if w > self.greatest_flow {
            return Err(MapEdge::Choke);
        }
        if let Some(place) = self.by_newton(w, pi) {
            return Ok(place);
        }
        let position = self.find(w, pi)?;
        let across = self.piece_for(&self.cut(position.root), pi).map_err(Side::edge)?;
        let (root, steps) = across.solve(pi);
        let state = self.slopes(root, position.root);
        Ok(Place { position, speed: Located { root, bracket: across.x, steps }, state })
    }

    /// Newton's method from the cuts, held inside the map; nothing where it does not settle well inside.
    fn by_newton(&self, w: f64, pi: f64) -> Option<Place> {
        let [mut n, mut s] = self.near(w, pi).filter(|_| self.unfolded)?;
        let [slowest, fastest] = [self.speeds[0], self.speeds[self.speeds.len() - 1]];
        for steps in 1..=MOST_STEPS {
            let [along, across] = self.slopes::<2>(n, s).step_to(w, pi)?;
            (s, n) = ((s + along).clamp(0.0, 1.0), (n + across).clamp(slowest, fastest));
            // The steps shrink as their squares: after one this short the next is judged.
            if along.abs() > NEAR || across.abs() > NEAR * n {
                continue;
            }
            let state = self.slopes(n, s);
            let [along, across] = state.step_to(w, pi)?;
            if along.abs() <= SETTLED && across.abs() <= SETTLED * n {
                let inside =
                    s > RIM && s < 1.0 - RIM && n > slowest * (1.0 + RIM) && n < fastest * (1.0 - RIM);
                return inside.then_some(Place {
                    position: Located { root: s, bracket: [0.0, 1.0], steps },
                    speed: Located { root: n, bracket: [slowest, fastest], steps },
                    state,
                });
            }
        }
        None
    }

    /// Speed and position near those of a flow and ratio, from straight lines between the cuts; beyond an end of the
    /// speed lines that end. Nothing beyond the outer lines.
    pub(crate) fn near(&self, w: f64, pi: f64) -> Option<[f64; 2]> {
        let at = |k: usize| {
            let [flows, ratios, _] = &self.cuts[k].values;
            let count = self.speeds.len();
            if pi < ratios[0] {
                return (self.speeds[0], f64::NEG_INFINITY);
            }
            if pi > ratios[count - 1] {
                return (self.speeds[count - 1], f64::INFINITY);
            }
            let i = piece_around(&ratios[..count], pi);
            let share = (pi - ratios[i]) / (ratios[i + 1] - ratios[i]);
            let between = |nodes: &[f64]| nodes[i] + (nodes[i + 1] - nodes[i]) * share;
            (between(&self.speeds), between(flows) - w)
        };
        let (mut low, mut high) = (0, STEPS);
        while high - low > 1 {
            let middle = (low + high) / 2;
            if at(middle).1 <= 0.0 { low = middle } else { high = middle }
        }
        let ((n_low, low_gap), (n_high, high_gap)) = (at(low), at(high));
        let share = match (low_gap.is_finite(), high_gap.is_finite()) {
            (true, true) => (low_gap / (low_gap - high_gap)).clamp(0.0, 1.0),
            (true, false) => 0.0,
            (false, true) => 1.0,
            (false, false) => return None,
        };
        let between = |low: f64, high: f64| low + (high - low) * share;
        Some([between(n_low, n_high), between(step(low), step(high))])
    }

    /// Whether flow and ratio tell the places of the map apart, judged at the cuts, on the lines and between.
    pub(super) fn is_unfolded(&self) -> bool {
        let quarters = self
            .speeds
            .windows(2)
            .flat_map(|pair| [0.0, 0.25, 0.5, 0.75, 1.0].map(|share| pair[0] + (pair[1] - pair[0]) * share));
        quarters.flat_map(|n| (0..=STEPS).map(move |k| (n, step(k)))).all(|(n, s)| {
            let State { by_speed, by_position, .. } = self.slopes::<2>(n, s);
            by_position[0] * by_speed[1] >= by_speed[0] * by_position[1]
        })
    }

    /// The position at which the contour of this pressure ratio carries this flow. Along such a
    /// contour, from surge to choke, the flow rises.
    fn find(&self, w: f64, pi: f64) -> Result<Located, MapEdge> {
        // Flow beyond the wanted one: infinite where the contour leaves the map by a speed line.
        let beyond = |cut: &Cut| match self.speed_for(cut, pi) {
            Ok(n) => {
                Piece::between(&self.speeds, &cut.values[0][..self.speeds.len()], self.below(n)).at(n).0 - w
            }
            Err(Side::Below) => f64::NEG_INFINITY,
            Err(Side::Above) => f64::INFINITY,
        };
        let mut low = (0.0, beyond(&self.cuts[0]));
        if low.1 == 0.0 {
            return Ok(Located { root: 0.0, bracket: [0.0, 0.0], steps: 1 });
        }
        let first = low.1;
        let mut bracket = None;
        for k in 1..=STEPS {
            let high = (step(k), beyond(&self.cuts[k]));
            if low.1 <= 0.0 && high.1 >= 0.0 {
                bracket = Some((low, high));
                break;
            }
            low = high;
        }
        let Some((low, high)) = bracket else {
            return Err(match (first, low.1) {
                (f64::INFINITY, _) => MapEdge::HighestSpeed,
                (_, f64::NEG_INFINITY) => MapEdge::LowestSpeed,
                (first, _) if first > 0.0 => MapEdge::Surge,
                _ => MapEdge::Choke,
            });
        };
        // A jump means that the contour leaves the map before it carries this flow.
        let (bracket, mut steps) = ([low.0, high.0], 0);
        let counted = |s: f64| {
            steps += 1;
            beyond(&self.cut(s))
        };
        let found = root(counted, bracket, 1e-13).or_else(|none| match none {
            // On the lowest or highest line itself.
            NoRoot::Jump { at, value } if value.abs() <= 1e-9 * w => Ok(at),
            _ => Err(Self::border(low.1, high.1)),
        });
        found.map(|root| Located { root, bracket, steps })
    }

    fn border(low: f64, high: f64) -> MapEdge {
        if high == f64::INFINITY {
            MapEdge::HighestSpeed
        } else if low == f64::NEG_INFINITY {
            MapEdge::LowestSpeed
        } else {
            MapEdge::Choke
        }
    }

    fn cut(&self, s: f64) -> Cut {
        cut_of(&self.lines, s)
    }

    /// The speed at which the lines, cut at one position, reach a pressure ratio.
    fn speed_for(&self, cut: &Cut, pi: f64) -> Result<f64, Side> {
        self.piece_for(cut, pi).map(|piece| piece.invert(pi))
    }

    /// The piece of that relation in which the pressure ratio lies.
    fn piece_for(&self, cut: &Cut, pi: f64) -> Result<Piece, Side> {
        let count = self.speeds.len();
        let ratios = &cut.values[1][..count];
        if pi < ratios[0] {
            return Err(Side::Below);
        }
        if pi > ratios[count - 1] {
            return Err(Side::Above);
        }
        let i = piece_around(ratios, pi);
        Ok(Piece::between(&self.speeds, ratios, i))
    }
}
