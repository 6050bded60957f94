//! Several relations closed together: Newton's method with exact derivatives.

use super::secant::Inverse;
use crate::formula::{Dual, Scalar};
use nalgebra::{Const, DimMin, SMatrix, SVector};

/// `N` relations in `N` unknowns, written for every kind of number.
///
/// Unknowns and gaps are scaled so that one is a large change of either.
pub trait System<const N: usize> {
    /// What is left of each relation; NaN where the unknowns have no state.
    fn gaps<S: Scalar>(&self, unknowns: [S; N]) -> [S; N];
    /// Least and greatest value that each unknown may take.
    fn bounds(&self) -> [[f64; 2]; N];
}

/// Unknowns at which every relation closes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Balanced<const N: usize> {
    /// The unknowns.
    pub unknowns: [f64; N],
    /// The largest gap before the last step, which takes what is left down to rounding.
    pub left: f64,
    /// Steps taken.
    pub steps: usize,
}

/// A state that did not settle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NotBalanced<const N: usize> {
    /// The best unknowns met.
    pub unknowns: [f64; N],
    /// The largest gap there; NaN where the start already had no state.
    pub left: f64,
    /// Steps taken.
    pub steps: usize,
}

/// Gaps below this are closed by the step that follows: the error of a Newton step is about its square.
pub const CLOSED: f64 = 1e-8;
const MOST_STEPS: usize = 60;
const MOST_HALVINGS: usize = 14;

/// Closes a system from a start: full Newton steps, halved while they do not bring the gaps down, kept
/// inside the bounds.
///
/// # Errors
///
/// [`NotBalanced`]: no step brings the gaps down any more, or too many were taken. It is never returned as
/// a result.
pub fn newton<const N: usize>(system: &impl System<N>, start: [f64; N]) -> Result<Balanced<N>, NotBalanced<N>>
where
    Const<N>: DimMin<Const<N>, Output = Const<N>>,
{
    approach(system, start, CLOSED).map(|found| found.balanced)
}

/// A system nearly closed: where the gaps are small, what they are there, and the unknowns after the step that follows.
pub(crate) struct Approached<const N: usize> {
    pub from: [f64; N],
    pub gaps: [f64; N],
    pub balanced: Balanced<N>,
    slopes: SMatrix<f64, N, N>,
}

impl<const N: usize> Approached<N> {
    /// The inverse of the slopes.
    pub fn inverse(&self) -> Option<Inverse<N>> {
        let inverse = self.slopes.try_inverse()?;
        Some(Inverse::from_fn(|row, column| inverse[(row, column)]))
    }
}

/// [`newton`] until every gap is below `enough`, with the step that follows.
pub(crate) fn approach<const N: usize>(
    system: &impl System<N>,
    start: [f64; N],
    enough: f64,
) -> Result<Approached<N>, NotBalanced<N>>
where
    Const<N>: DimMin<Const<N>, Output = Const<N>>,
{
    let bounds = system.bounds();
    let mut x = clipped(start, &bounds);
    let mut here = Read::at(system, x);
    for steps in 1..=MOST_STEPS {
        let Some(step) = here.step() else {
            return Err(NotBalanced { unknowns: x, left: here.largest, steps });
        };
        let moved = |share: f64| clipped(core::array::from_fn(|i| x[i] + share * step[i]), &bounds);
        if here.largest < enough {
            let balanced = Balanced { unknowns: moved(1.0), left: here.largest, steps };
            let gaps = here.gaps.map(|gap| gap.re);
            return Ok(Approached { from: x, gaps, balanced, slopes: here.slopes() });
        }
        let mut share = 1.0;
        let better = (0..MOST_HALVINGS).find_map(|_| {
            let tried = moved(share);
            let read = Read::at(system, tried);
            let enough = read.size < here.size * (1.0 - 1e-4 * share);
            share *= 0.5;
            enough.then_some((tried, read))
        });
        match better {
            Some(better) => (x, here) = better,
            None => return Err(NotBalanced { unknowns: x, left: here.largest, steps }),
        }
    }
    Err(NotBalanced { unknowns: x, left: here.largest, steps: MOST_STEPS })
}

/// The gaps with their slopes at some unknowns.
struct Read<const N: usize> {
    gaps: [Dual<N>; N],
    /// Sum of squares; infinite where a gap is not a number.
    size: f64,
    largest: f64,
}

impl<const N: usize> Read<N>
where
    Const<N>: DimMin<Const<N>, Output = Const<N>>,
{
    fn at(system: &impl System<N>, x: [f64; N]) -> Self {
        let gaps = system.gaps(core::array::from_fn(|i| Dual::<N>::input(x[i], i)));
        let sum: f64 = gaps.iter().map(|gap| gap.re * gap.re).sum();
        let largest = gaps.iter().map(|gap| gap.re.abs()).fold(0.0, f64::max);
        let finite = sum.is_finite();
        Self {
            gaps,
            size: if finite { sum } else { f64::INFINITY },
            largest: if finite { largest } else { f64::NAN },
        }
    }
    fn slopes(&self) -> SMatrix<f64, N, N> {
        SMatrix::from_fn(|row, column| self.gaps[row].eps[column])
    }
    /// The full Newton step, if there is one.
    fn step(&self) -> Option<[f64; N]> {
        let gaps = SVector::<f64, N>::from_fn(|row, _| -self.gaps[row].re);
        let step = self.slopes().lu().solve(&gaps)?;
        step.iter().all(|s| s.is_finite()).then(|| core::array::from_fn(|i| step[i]))
    }
}

pub(super) fn clipped<const N: usize>(x: [f64; N], bounds: &[[f64; 2]; N]) -> [f64; N] {
    core::array::from_fn(|i| x[i].clamp(bounds[i][0], bounds[i][1]))
}
