//! Stored amounts that change in time while other relations hold at every moment: an implicit integrator with exact
//! derivatives and error control.

use crate::formula::{Dual, Scalar};
use crate::shaft::balance::{NotBalanced, System, newton};
use nalgebra::{Const, DimMin};

/// `N` unknowns of which some are stored and others close a relation at every moment.
///
/// Stored amounts, gaps and rates are scaled so that one is a large change.
pub trait Motion<const N: usize> {
    /// At a time: what is stored, and how fast that changes. For a relation that holds at every moment the
    /// stored amount is passed over and the rate is what is left of the relation.
    fn read<S: Scalar>(&self, time: f64, unknowns: [S; N]) -> ([S; N], [S; N]);
    /// True for each row that is stored.
    fn stores(&self) -> [bool; N];
    /// Least and greatest value that each unknown may take.
    fn bounds(&self) -> [[f64; 2]; N];
}

/// A moment of a motion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment<const N: usize> {
    /// Time, s.
    pub time: f64,
    /// The unknowns.
    pub unknowns: [f64; N],
}

/// Why a motion could not be followed further.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Stuck {
    /// No state was found, however short the step.
    NoState {
        /// The time reached, s.
        time: f64,
        /// What was left of the relations.
        left: f64,
    },
    /// Too many steps.
    TooManySteps {
        /// The time reached, s.
        time: f64,
    },
}

impl core::fmt::Display for Stuck {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::NoState { time, left } => {
                write!(f, "no state follows at {time:.4} s; {left:.1e} is left of the relations")
            }
            Self::TooManySteps { time } => write!(f, "too many steps were taken up to {time:.4} s"),
        }
    }
}
impl core::error::Error for Stuck {}

/// The trapezoidal rule to a share of the step, then the second backward difference over the whole step (Bank et
/// al. 1985, TR-BDF2; error estimate of Hosea and Shampine 1996): second order, and it damps what is
/// faster than the step.
const SHARE: f64 = 2.0 - core::f64::consts::SQRT_2;
const DIAGONAL: f64 = SHARE / 2.0;
const WEIGHT: f64 = core::f64::consts::SQRT_2 / 4.0;
const MOST_STEPS: usize = 20_000;

/// Follows a motion from a moment until a time, or until `reached` rises to zero, which it then does to the last
/// moment. Each step keeps the estimated error of every stored amount below `tolerance`.
///
/// # Errors
///
/// [`Stuck`] where no state follows.
pub fn follow<const N: usize, M: Motion<N>>(
    motion: &M,
    start: Moment<N>,
    until: f64,
    tolerance: f64,
    reached: impl Fn(&Moment<N>) -> f64,
) -> Result<Vec<Moment<N>>, Stuck>
where
    Const<N>: DimMin<Const<N>, Output = Const<N>>,
{
    let mut moments = vec![consistent(motion, start)?];
    let mut step = (until - start.time) * 1e-3;
    let mut last = moments[0];
    for _ in 0..MOST_STEPS {
        let left = until - last.time;
        if left <= 1e-12 * until.abs() || reached(&last) >= 0.0 {
            return Ok(moments);
        }
        let tried = step.min(left);
        let next = match advance(motion, last, tried) {
            Ok((next, error)) if error <= tolerance => {
                step = tried * (0.9 * (tolerance / error.max(1e-12)).cbrt()).clamp(0.3, 3.0);
                next
            }
            result => {
                let error = result.as_ref().map_or(f64::NAN, |(_, error)| *error);
                if tried < 1e-9 * until.abs().max(1e-3) {
                    let left = result.map_or_else(|not| not.left, |(_, error)| error);
                    return Err(Stuck::NoState { time: last.time, left });
                }
                let shrink = 0.9 * (tolerance / error).cbrt();
                step = tried * if shrink.is_finite() { shrink.clamp(0.1, 0.9) } else { 0.25 };
                continue;
            }
        };
        if reached(&next) >= 0.0 {
            moments.push(meet(motion, last, tried, &reached).unwrap_or(next));
            return Ok(moments);
        }
        last = next;
        moments.push(last);
    }
    Err(Stuck::TooManySteps { time: last.time })
}

/// The moment of a step at which `reached` comes to zero.
fn meet<const N: usize, M: Motion<N>>(
    motion: &M,
    from: Moment<N>,
    whole: f64,
    reached: impl Fn(&Moment<N>) -> f64,
) -> Option<Moment<N>>
where
    Const<N>: DimMin<Const<N>, Output = Const<N>>,
{
    let at = |step: f64| advance(motion, from, step).map(|(moment, _)| moment);
    let gap =
        |step: f64| if step == 0.0 { reached(&from) } else { at(step).map_or(f64::NAN, |m| reached(&m)) };
    let step = crate::solve::root(gap, [0.0, whole], 1e-12 * whole).ok()?;
    at(step).ok()
}

/// What is stored and the rates in numbers that no formula judges: a state on the way may be odd.
fn plain<const N: usize>(motion: &impl Motion<N>, time: f64, unknowns: [f64; N]) -> [[f64; N]; 2] {
    let (stored, rates) = motion.read(time, unknowns.map(Dual::<0>::lit));
    [stored.map(|amount| amount.re), rates.map(|rate| rate.re)]
}

/// The stage of a step: stored amounts at the end of it, less what flowed in, are what they were.
struct Stage<'a, M, const N: usize> {
    motion: &'a M,
    time: f64,
    /// The stored amounts that this stage starts from, with what earlier stages added.
    from: [f64; N],
    /// The weight of its own rates.
    weight: f64,
}

impl<M: Motion<N>, const N: usize> System<N> for Stage<'_, M, N> {
    fn gaps<S: Scalar>(&self, unknowns: [S; N]) -> [S; N] {
        let (stored, rates) = self.motion.read(self.time, unknowns);
        let stores = self.motion.stores();
        core::array::from_fn(|i| {
            if stores[i] { stored[i] - self.from[i] - rates[i] * self.weight } else { rates[i] }
        })
    }
    fn bounds(&self) -> [[f64; 2]; N] {
        self.motion.bounds()
    }
}

/// The unknowns that hold what is stored at the start, with the relations of the moment.
fn consistent<const N: usize, M: Motion<N>>(motion: &M, start: Moment<N>) -> Result<Moment<N>, Stuck>
where
    Const<N>: DimMin<Const<N>, Output = Const<N>>,
{
    let [from, _] = plain(motion, start.time, start.unknowns);
    let stage = Stage { motion, time: start.time, from, weight: 0.0 };
    let found = newton(&stage, start.unknowns);
    found
        .map(|found| Moment { time: start.time, unknowns: found.unknowns })
        .map_err(|not| Stuck::NoState { time: start.time, left: not.left })
}

/// One step and the largest estimated error of a stored amount.
fn advance<const N: usize, M: Motion<N>>(
    motion: &M,
    at: Moment<N>,
    step: f64,
) -> Result<(Moment<N>, f64), NotBalanced<N>>
where
    Const<N>: DimMin<Const<N>, Output = Const<N>>,
{
    let stores = motion.stores();
    let [stored, first] = plain(motion, at.time, at.unknowns);
    let between = at.time + SHARE * step;
    let from = core::array::from_fn(|i| stored[i] + step * DIAGONAL * first[i]);
    let stage = Stage { motion, time: between, from, weight: step * DIAGONAL };
    let middle = newton(&stage, at.unknowns)?.unknowns;
    let [_, second] = plain(motion, between, middle);

    let from = core::array::from_fn(|i| stored[i] + step * WEIGHT * (first[i] + second[i]));
    let stage = Stage { motion, time: at.time + step, from, weight: step * DIAGONAL };
    let end = newton(&stage, middle)?.unknowns;
    let [_, third] = plain(motion, at.time + step, end);

    let weights =
        [(1.0 - WEIGHT) / 3.0 - WEIGHT, (3.0 * WEIGHT + 1.0) / 3.0 - WEIGHT, DIAGONAL / 3.0 - DIAGONAL];
    let errors = (0..N)
        .filter(|&i| stores[i])
        .map(|i| (step * (weights[0] * first[i] + weights[1] * second[i] + weights[2] * third[i])).abs());
    // NaN counts as too much.
    let error = errors.fold(0.0, |most, error| if error <= most { most } else { error });
    Ok((Moment { time: at.time + step, unknowns: end }, error))
}
