//! Least squares with a prior: Gauss-Newton on whitened residuals, and what each piece of evidence is worth.
//!
//! With prior x ~ N(0, P) and pieces o_i = f_i(x) + e_i, e_i ~ N(0, R_i/w_i), the best x has the least
//! x' P^-1 x + sum w_i (o_i - f_i)' R_i^-1 (o_i - f_i); its covariance is C = A^-1 with the information
//! A = P^-1 + sum w_i J_i' R_i^-1 J_i. The weights w_i are one but for pieces that contradict the rest (`weight.rs`).

use super::density::Density;
use super::weight::{Left, apart};
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// One piece of evidence at some x: observed less predicted, how the prediction moves with x, and the covariance
/// of what is not explained.
pub(super) struct Piece {
    pub residual: DVector<f64>,
    pub jacobian: DMatrix<f64>,
    pub covariance: DMatrix<f64>,
}

/// What came out.
#[derive(Clone, Debug)]
pub(super) struct Fit {
    pub x: DVector<f64>,
    pub covariance: DMatrix<f64>,
    /// Share of the information that the prior gives, tr(C P^-1)/n, then that of each piece, tr(C w J' R^-1 J)/n.
    pub shares: Vec<f64>,
    /// Weight of each piece, and how far it lies from what all the rest says.
    pub left: Vec<Left>,
    /// The covariance that would be left without each piece.
    pub without: Vec<DMatrix<f64>>,
    pub density: Density,
    pub steps: usize,
}

/// Why there is no fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fault {
    /// A prediction failed, or a covariance is not positive.
    Undefined,
    NotConverged,
}

const MOST_STEPS: usize = 120;
/// Settled where the next step is this small in standard deviations of the result. Slopes are differences over half a
/// deviation and dimensions have bounds, so that the last steps shrink slowly; a fiftieth of a band is no news.
const SETTLED: f64 = 0.02;
/// And where ln of no weight would move further: of one that judges, and of one that counts, which moves six times as much.
const WEIGHTS_SETTLED: [f64; 2] = [0.003, 0.018];
/// Steps after which weights move half their way only, lest two pieces take turns.
const TAKE_TURNS: usize = 3;
/// Steps after which weights move only where the search has come to rest: on a kink they take turns between what either side asks
/// for. From then on they stand if each is within this of what is asked for, of its logarithm.
const FROZEN: usize = 30;
const FROZEN_WITHIN: f64 = 0.1;
/// Steps after which the covariances stay as they are. They follow the slopes of a line, which bend more than they are
/// known to.
const HELD: usize = 10;
/// The most that a step moves a factor: slopes are those of one place.
const LONGEST: f64 = 1.0;
/// The least share of a step that is taken.
const SHORTEST: f64 = 0.03;
/// How near around a place no lesser misfit may be, in standard deviations of the result, where steps find no way: predictions
/// have kinks where another part of a wheel begins to choke.
const NEAREST: f64 = 0.06;
/// By how much an early step may raise the misfit, of one and of itself.
const RISE: f64 = 1e-4;
/// By how much a later one lowers it at least, likewise.
const GAIN: f64 = 1e-5;

/// A piece whitened by its covariance.
pub(super) struct White {
    factor: Cholesky<f64, Dyn>,
    pub residual: DVector<f64>,
    pub jacobian: DMatrix<f64>,
    pub log_det: f64,
}

fn whiten(piece: &Piece) -> Option<White> {
    let factor = Cholesky::new(piece.covariance.clone())?;
    let l = factor.l_dirty();
    let residual = l.solve_lower_triangular(&piece.residual)?;
    let jacobian = l.solve_lower_triangular(&piece.jacobian)?;
    let log_det = 2.0 * l.diagonal().iter().map(|d| d.ln()).sum::<f64>();
    Some(White { factor, residual, jacobian, log_det })
}

/// What is known at some x: the information and where the misfit falls, of the prior and of each piece at weight one.
pub(super) struct Known {
    pub prior: DVector<f64>,
    pub x: DVector<f64>,
    pub pieces: Vec<Piece>,
    pub white: Vec<White>,
}

impl Known {
    fn at(
        prior: &DVector<f64>,
        x: DVector<f64>,
        at: &impl Fn(&DVector<f64>) -> Option<Vec<Piece>>,
        held: Option<&Self>,
    ) -> Option<Self> {
        let mut pieces = at(&x)?;
        for (piece, held) in pieces.iter_mut().zip(held.into_iter().flat_map(|held| &held.pieces)) {
            piece.covariance.clone_from(&held.covariance);
        }
        let white = pieces.iter().map(whiten).collect::<Option<Vec<_>>>()?;
        Some(Self { prior: prior.clone(), x, pieces, white })
    }
    /// Information and pull of the prior and the pieces by their weights; without one of them where asked for.
    pub fn sums(&self, weights: &[f64], without: Option<usize>) -> (DMatrix<f64>, DVector<f64>) {
        let own = DMatrix::from_diagonal(&self.prior.map(|variance| 1.0 / variance));
        let all = self.white.iter().zip(weights).enumerate().filter(|(i, _)| Some(*i) != without);
        all.fold((own, -self.x.component_div(&self.prior)), |(information, pull), (_, (piece, weight))| {
            (
                information + piece.jacobian.tr_mul(&piece.jacobian) * *weight,
                pull + piece.jacobian.tr_mul(&piece.residual) * *weight,
            )
        })
    }
    fn misfit(&self, weights: &[f64]) -> f64 {
        let pieces = self.white.iter().zip(weights).map(|(piece, w)| w * piece.residual.norm_squared());
        own_misfit(&self.x, &self.prior) + pieces.sum::<f64>()
    }
    /// The misfit of the residuals elsewhere, weighed as here: a step may not look better by widening what is not
    /// explained.
    fn misfit_there(&self, there: &Self, weights: &[f64]) -> Option<f64> {
        let own = own_misfit(&there.x, &self.prior);
        there.pieces.iter().zip(&self.white).zip(weights).try_fold(own, |sum, ((piece, here), weight)| {
            let residual = here.factor.l_dirty().solve_lower_triangular(&piece.residual)?;
            Some(sum + weight * residual.norm_squared())
        })
    }
}

fn own_misfit(x: &DVector<f64>, prior: &DVector<f64>) -> f64 {
    x.iter().zip(prior).map(|(x, variance)| x * x / variance).sum()
}

/// Fits `x`, starting at the prior's mean, zero; `prior` are its variances, `at` gives the pieces at some x. The weights
/// are found on the way: each step is taken with those that what is known here asks for.
pub(super) fn fit(
    prior: &DVector<f64>,
    at: impl Fn(&DVector<f64>) -> Option<Vec<Piece>>,
) -> Result<Fit, Fault> {
    let mut known = Known::at(prior, DVector::zeros(prior.len()), &at, None).ok_or(Fault::Undefined)?;
    let mut weights = vec![1.0; known.pieces.len()];
    let mut judging = weights.clone();
    let mut last = DVector::zeros(prior.len());
    let mut at_rest = false;
    for steps in 1..=MOST_STEPS {
        let left = apart(&known, &judging).ok_or(Fault::Undefined)?;
        let wanted =
            [left.iter().map(|one| one.judging).collect(), left.iter().map(|one| one.weight).collect()];
        let stand =
            [&mut judging, &mut weights].into_iter().zip::<[Vec<f64>; 2]>(wanted).zip(WEIGHTS_SETTLED);
        // Each must have its turn.
        let stand = stand.fold(true, |all, ((weights, wanted), settled)| match steps <= FROZEN || at_rest {
            true => towards(weights, &wanted, steps, settled) && all,
            false => away(weights, &wanted) < FROZEN_WITHIN && all,
        });
        let (information, pull) = known.sums(&weights, None);
        let factor = Cholesky::new(information).ok_or(Fault::Undefined)?;
        let step = factor.solve(&pull);
        // The length of the step in standard deviations of the result.
        let square = step.dot(&pull);
        if !square.is_finite() {
            return Err(Fault::Undefined);
        }
        if square.max(0.0).sqrt() < SETTLED && stand {
            return finish(known, &weights, factor, left, steps).ok_or(Fault::Undefined);
        }
        let now = known.misfit(&weights);
        let mut share = (LONGEST / step.amax()).min(1.0);
        // A step back over the last one went too far: half of it.
        if last.dot(&step) < 0.0 {
            share *= 0.5;
        }
        let held = (steps > HELD).then_some(&known);
        let there = |by: DVector<f64>, most: f64| {
            Known::at(prior, &known.x + by, &at, held)
                .filter(|next| known.misfit_there(next, &weights).is_some_and(|then| then <= most))
        };
        let less = now - GAIN * (1.0 + now);
        let most = if steps > HELD { less } else { now + RISE * (1.0 + now) };
        let mut next = None;
        while next.is_none() && share >= SHORTEST {
            next = there(&step * share, most);
            share *= 0.5;
        }
        if next.is_none() {
            // A kink: the slopes of both its sides together point nowhere.
            let axes = Cholesky::new(factor.inverse()).ok_or(Fault::Undefined)?.unpack();
            next = around(&axes, |by| there(by, less));
        }
        at_rest = next.is_none() || square.max(0.0).sqrt() < SETTLED;
        match next {
            Some(next) => known = next,
            None if stand => return finish(known, &weights, factor, left, steps).ok_or(Fault::Undefined),
            None => {}
        }
        last = step;
    }
    Err(Fault::NotConverged)
}

/// Looks along the axes of the result, either way and ever nearer, for a place with a lesser misfit. Nothing where there is
/// none down to [`NEAREST`]: the place is a least one.
fn around(axes: &DMatrix<f64>, mut better: impl FnMut(DVector<f64>) -> Option<Known>) -> Option<Known> {
    let mut reach = LONGEST;
    while reach >= NEAREST {
        for axis in axes.column_iter() {
            for side in [-reach, reach] {
                if let Some(found) = better(axis * side) {
                    return Some(found);
                }
            }
        }
        reach *= 0.5;
    }
    None
}

/// The furthest that a weight lies from where it is wanted, of its logarithm.
fn away(weights: &[f64], wanted: &[f64]) -> f64 {
    let moved = weights.iter().zip(wanted).map(|(weight, wanted)| (wanted / weight).ln().abs());
    moved.fold(0.0, f64::max)
}

/// Moves weights to where they are wanted; whether they stood there.
fn towards(weights: &mut [f64], wanted: &[f64], steps: usize, settled: f64) -> bool {
    let moved = away(weights, wanted);
    for (weight, wanted) in weights.iter_mut().zip(wanted) {
        *weight = if steps > TAKE_TURNS { (*weight * wanted).sqrt() } else { *wanted };
    }
    moved < settled
}

fn finish(
    known: Known,
    weights: &[f64],
    factor: Cholesky<f64, Dyn>,
    mut left: Vec<Left>,
    steps: usize,
) -> Option<Fit> {
    let covariance = factor.inverse();
    let without = |index| Some(Cholesky::new(known.sums(weights, Some(index)).0)?.inverse());
    let without = (0..known.pieces.len()).map(without).collect::<Option<_>>()?;
    let count = known.prior.len() as f64;
    let own: f64 = covariance.diagonal().iter().zip(&known.prior).map(|(c, variance)| c / variance).sum();
    let of = |(piece, weight): (&White, &f64)| {
        weight * (&piece.jacobian * &covariance).dot(&piece.jacobian) / count
    };
    let shares = core::iter::once(own / count).chain(known.white.iter().zip(weights).map(of)).collect();
    for (left, weight) in left.iter_mut().zip(weights) {
        left.weight = *weight;
    }
    let density = Density::new(&known, weights);
    Some(Fit { x: known.x, covariance, shares, left, without, density, steps })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The numbers under a key of the table.
    fn of(key: &str) -> Vec<f64> {
        let table = include_str!("../../../../data/reference/linear-evidence.csv");
        let line = table.lines().find_map(|line| line.strip_prefix(&format!("{key},")));
        let line = line.unwrap_or_else(|| panic!("{key} is not in the table"));
        line.split_whitespace().map(|number| number.parse().unwrap()).collect()
    }

    /// A linear piece: o = J x + e.
    fn linear(x: &DVector<f64>, o: &[f64], j: &[f64], r: &[f64]) -> Piece {
        let n = o.len();
        let jacobian = DMatrix::from_row_slice(n, x.len(), j);
        let residual = DVector::from_column_slice(o) - &jacobian * x;
        Piece { residual, jacobian, covariance: DMatrix::from_row_slice(n, n, r) }
    }

    #[track_caller]
    fn close(found: f64, expected: f64, within: f64) {
        assert!((found - expected).abs() <= within, "{found} for {expected}");
    }

    // Textbook: two statements about one number are weighed by 1/variance. By hand: prior 0 +- 2, reading 3 +- 1:
    // (0/4 + 3/1)/(1/4 + 1) = 2.4, variance 0.8; shares 0.2 and 0.8; the reading lies 3/sqrt(1 + 4) off the
    // prior; and the evidence is N(3; 0, 1 + 4).
    #[test]
    fn the_precision_weighted_mean() {
        let prior = DVector::from_element(1, 4.0);
        let found = fit(&prior, |x| Some(vec![linear(x, &[3.0], &[1.0], &[1.0])])).unwrap();
        close(found.x[0], 2.4, 1e-12);
        close(found.covariance[(0, 0)], 0.8, 1e-12);
        close(found.shares[0], 0.2, 1e-12);
        close(found.shares[1], 0.8, 1e-12);
        close(found.left[0].deviations[0], 3.0 / 5.0_f64.sqrt(), 1e-12);
        close(found.left[0].weight, 1.0, 0.0);
        close(
            found.density.ln(|_| true),
            -0.5 * (9.0 / 5.0 + (2.0 * core::f64::consts::PI * 5.0).ln()),
            1e-12,
        );
    }

    // data/reference/linear-evidence.csv: a seeded case with correlated pieces, worked out with SciPy (normal equations
    // by the full joint Gaussian, its conditional mean and covariance, its log density).
    #[test]
    fn a_linear_case_agrees_with_scipy() {
        let prior = DVector::from_vec(of("prior_variances"));
        let pieces =
            [1, 2].map(|i| ["observed", "jacobian", "covariance"].map(|key| of(&format!("{key}_{i}"))));
        let found =
            fit(&prior, |x| Some(pieces.iter().map(|[o, j, r]| linear(x, o, j, r)).collect())).unwrap();
        for (found, expected) in found.x.iter().zip(of("mean")) {
            close(*found, expected, 1e-9);
        }
        for (found, expected) in found.covariance.iter().zip(of("posterior_covariance")) {
            close(*found, expected, 1e-9);
        }
        for (found, expected) in found.left.iter().flat_map(|left| &left.deviations).zip(of("deviations")) {
            close(*found, expected, 1e-8);
        }
        close(found.density.ln(|_| true), of("log_evidence")[0], 1e-8);
        close(found.shares.iter().sum::<f64>(), 1.0, 1e-12);
        // By hand: without any piece the evidence is certain.
        close(found.density.ln(|_| false), 0.0, 1e-9);
    }

    // The same table: five observations, one 11 of its deviations off what the others say. The library stops where the
    // weights stand within 1 %.
    #[test]
    fn what_lies_far_off_counts_less() {
        let prior = DVector::from_vec(of("prior_variances"));
        let [jacobian, variances, observed] = ["far_jacobian", "far_variances", "far_observed"].map(of);
        let found = fit(&prior, |x| {
            let piece =
                |i: usize| linear(x, &observed[i..=i], &jacobian[4 * i..4 * i + 4], &variances[i..=i]);
            Some((0..5).map(piece).collect())
        });
        let found = found.unwrap();
        for ((left, weight), deviation) in found.left.iter().zip(of("far_weights")).zip(of("far_deviations"))
        {
            close(left.weight / weight, 1.0, 0.02);
            close(left.deviations[0], deviation, 0.02);
        }
        assert!(found.left[3].weight < 1e-3 && found.left[0].weight == 1.0);
        for (found, expected) in found.x.iter().zip(of("far_mean")) {
            close(*found, expected, 0.005);
        }
        close(found.density.ln(|_| true), of("far_log_evidence")[0], 0.02);
        close(found.shares.iter().sum::<f64>(), 1.0, 1e-12);
    }

    // By hand: a prior of 0 +- 1 and a reading of 10 +- 0.1, 10/sqrt(1.01) off: its square is q = 100/1.01/9 = 11.0011 times
    // the limit. To be 1/q^2 of it, its variance must be 100 q^2/9 - 1 = 1343.7: the mean is 10/1344.7 = 0.007436. At 100, with
    // q = 1100.1, it is 100 x 9/(1e4 q^2) = 7.437e-8: what it moves falls with the fifth power.
    #[test]
    fn the_further_off_the_less_it_says() {
        let prior = DVector::from_element(1, 1.0);
        let found = |o: f64| fit(&prior, |x| Some(vec![linear(x, &[o], &[1.0], &[0.01])])).unwrap();
        let ten = found(10.0);
        let beyond = (100.0 / 1.01 / 9.0_f64).powi(2);
        close(ten.x[0], 0.007436, 1e-6);
        close(ten.left[0].deviations[0], 10.0 / 1.01_f64.sqrt(), 1e-9);
        close(ten.left[0].weight, 0.01 / (100.0 / 9.0 * beyond - 1.0), 1e-12);
        // Without it the prior is left.
        close(ten.without[0][(0, 0)], 1.0, 1e-12);
        close(found(100.0).x[0], 7.437e-8, 1e-11);
        close(found(3.0).x[0], 3.0 / 1.01, 1e-9);
    }

    // A prediction that is not linear: x such that exp(x) = 2 is nearly certain, ln 2.
    #[test]
    fn a_curved_case_settles() {
        let prior = DVector::from_element(1, 1e6);
        let found = fit(&prior, |x| {
            let value = x[0].exp();
            let one = |value: f64| DMatrix::from_element(1, 1, value);
            let residual = DVector::from_element(1, 2.0 - value);
            Some(vec![Piece { residual, jacobian: one(value), covariance: one(1e-6) }])
        });
        close(found.unwrap().x[0], 2.0_f64.ln(), 2e-5);
    }

    #[test]
    fn what_is_not_defined_is_refused() {
        let prior = DVector::from_element(1, 1.0);
        assert_eq!(fit(&prior, |_| None).unwrap_err(), Fault::Undefined);
        let bad = |x: &DVector<f64>| Some(vec![linear(x, &[f64::NAN], &[1.0], &[1.0])]);
        assert_eq!(fit(&prior, bad).unwrap_err(), Fault::Undefined);
        let negative = |x: &DVector<f64>| Some(vec![linear(x, &[1.0], &[1.0], &[-1.0])]);
        assert_eq!(fit(&prior, negative).unwrap_err(), Fault::Undefined);
    }
}
