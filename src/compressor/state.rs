//! The state of a map at a corrected speed and a position along the line, with its exact slopes.
//!
//! Along a line the cubics are given; across the lines their slopes come from the values of the four
//! neighbouring lines at the same position, so these slopes are differentiated as well.

use super::curve::{Cubic, piece_around, slope};
use super::map::{CURVES, CompressorMap};
use super::reading::curve_look_up;
use crate::formula::{Dual, LookUp, Scalar, Surface};

/// The lines that the cubic between two lines looks at.
const NEAR: usize = 4;

/// Corrected flow (kg/s), pressure ratio and efficiency at a place, with their slopes.
#[derive(Clone, Copy, Debug)]
pub(super) struct State<const K: usize = CURVES> {
    pub values: [f64; K],
    pub by_speed: [f64; K],
    pub by_position: [f64; K],
}

impl<const K: usize> State<K> {
    const NOWHERE: Self = Self { values: [f64::NAN; K], by_speed: [f64::NAN; K], by_position: [f64::NAN; K] };

    /// The determinant of flow and ratio over position and speed, if it is safely positive: along the speed
    /// line the flow rises or the ratio falls. At a corner of a line it may vanish.
    #[inline]
    pub fn determinant(&self) -> Option<f64> {
        let (rises, falls) = (self.by_position[0] * self.by_speed[1], self.by_speed[0] * self.by_position[1]);
        let determinant = rises - falls;
        (determinant > 1e-9 * (rises.abs() + falls.abs())).then_some(determinant)
    }

    /// Newton's step in position and in speed to where flow and ratio are these.
    #[inline]
    pub fn step_to(&self, flow: f64, ratio: f64) -> Option<[f64; 2]> {
        let determinant = self.determinant()?;
        let (more, higher) = (flow - self.values[0], ratio - self.values[1]);
        let along = more * self.by_speed[1] - higher * self.by_speed[0];
        let across = higher * self.by_position[0] - more * self.by_position[1];
        Some([along / determinant, across / determinant])
    }
}

impl CompressorMap {
    /// Corrected flow (kg/s), pressure ratio and isentropic efficiency at a corrected speed (rad/s) and a
    /// position along the line (0 at surge, 1 at choke), in plain SI numbers for solvers. NaN outside the
    /// map's speeds and positions.
    ///
    /// With [`Dual`](crate::formula::Dual) numbers the derivatives are those of the interpolation itself,
    /// not differences. The state is continuous; so are its slopes, but where a limiter of the monotone
    /// cubic across the lines sets in.
    ///
    /// ```
    /// use shaftwork::formula::Dual;
    /// use shaftwork::prelude::*;
    /// # let file = concat!(env!("CARGO_MANIFEST_DIR"), "/data/demo/map-b.csv");
    /// let map = CompressorMap::from_csv(file).map_err(|problems| problems.to_string())?;
    /// let speed = Dual::<2>::input(corrected_rpm(118_000.0).si(), 0);
    /// let [flow, ratio, _] = map.state(speed, Dual::input(0.0, 1));
    /// assert!((flow.re - 0.115).abs() < 1e-12 && (ratio.re - 2.13).abs() < 1e-12); // the file's own point
    /// assert!(flow.eps[0] > 0.0 && ratio.eps[1] <= 0.0); // rises with speed, falls along the line
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn state<S: Scalar>(&self, speed: S, position: S) -> [S; CURVES] {
        let state = self.slopes::<CURVES>(speed.value(), position.value());
        self.carried(&state, speed, position)
    }

    /// [`state`](Self::state) at the surge end of the line of a speed, as a function of the speed alone.
    pub fn surge_end<S: Scalar>(&self, speed: S) -> [S; CURVES] {
        self.carried(&self.end(0, speed.value()), speed, S::lit(0.0))
    }

    /// [`state`](Self::state) at the choke end of the line of a speed, as a function of the speed alone.
    pub fn choke_end<S: Scalar>(&self, speed: S) -> [S; CURVES] {
        self.carried(&self.end(1, speed.value()), speed, S::lit(1.0))
    }

    /// The state at an end of the lines; its slope along the line is not asked for.
    pub(super) fn end(&self, end: usize, n: f64) -> State {
        let mut state = State { by_position: [0.0; CURVES], ..State::NOWHERE };
        if self.has_speed(n) {
            for (k, found) in self.ends[end].with_slopes::<CURVES>(n).into_iter().enumerate() {
                (state.values[k], state.by_speed[k]) = found;
            }
        }
        state
    }

    /// The state in plain numbers, of the first `K` curves.
    #[inline]
    pub(super) fn slopes<const K: usize>(&self, n: f64, s: f64) -> State<K> {
        if !self.has_speed(n) || !(0.0..=1.0).contains(&s) {
            return State::NOWHERE;
        }
        let i = self.below(n);
        let (first, past) = (i.saturating_sub(1), (i + 3).min(self.lines.len()));
        let mut near = [[Dual::<1>::lit(0.0); NEAR]; K];
        for (j, line) in self.lines[first..past].iter().enumerate() {
            for (near, (re, along)) in near.iter_mut().zip(line.curves.with_slopes::<K>(s)) {
                near[j] = Dual { re, eps: [along] };
            }
        }
        let (x, i) = (&self.speeds[first..past], i - first);
        let mut inverses = [0.0; NEAR - 1];
        for (inverse, pair) in inverses.iter_mut().zip(x.windows(2)) {
            *inverse = 1.0 / (pair[1] - pair[0]);
        }
        let (h, t) = (x[i + 1] - x[i], (n - x[i]) * inverses[i]);
        let mut state = State::NOWHERE;
        for (k, near) in near.iter().enumerate() {
            let secants: [Dual<1>; NEAR - 1] =
                core::array::from_fn(|j| (near[j + 1] - near[j]) * inverses[j]);
            let slopes = [slope(x, |j| secants[j], i), slope(x, |j| secants[j], i + 1)];
            let (value, across) = Cubic::between(h, [near[i], near[i + 1]], slopes).at(t);
            state.values[k] = value.re;
            state.by_position[k] = value.eps[0];
            state.by_speed[k] = across.re * inverses[i];
        }
        state
    }

    /// The lower of the two lines around a speed.
    pub(super) fn below(&self, n: f64) -> usize {
        piece_around(&self.speeds, n)
    }

    fn has_speed(&self, n: f64) -> bool {
        (self.speeds[0]..=self.speeds[self.speeds.len() - 1]).contains(&n)
    }

    fn carried<S: Scalar>(&self, state: &State, speed: S, position: S) -> [S; CURVES] {
        core::array::from_fn(|curve| S::surface(&Known { map: self, state, curve }, speed, position))
    }
}

/// One curve of the map over speed and position, its value and slopes worked out before.
struct Known<'a> {
    map: &'a CompressorMap,
    state: &'a State,
    curve: usize,
}

impl Surface for Known<'_> {
    fn at(&self, _speed: f64, _position: f64) -> (f64, [f64; 2]) {
        let State { values, by_speed, by_position } = self.state;
        (values[self.curve], [by_speed[self.curve], by_position[self.curve]])
    }
    fn label(&self) -> &str {
        self.map.title()
    }
    fn look_up(&self, speed: f64, position: f64) -> LookUp {
        curve_look_up(self.map, self.curve, speed, position)
    }
}
