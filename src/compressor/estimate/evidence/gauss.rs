//! Least squares with a prior: Gauss-Newton on whitened residuals, and what each piece of evidence is worth.
//!
//! With prior x ~ N(0, P) and pieces o_i = f_i(x) + e_i, e_i ~ N(0, R_i), the best x has the least
//! x' P^-1 x + sum (o_i - f_i)' R_i^-1 (o_i - f_i); its covariance is C = A^-1 with the information
//! A = P^-1 + sum J_i' R_i^-1 J_i.

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
    /// Share of the information that the prior gives, tr(C P^-1)/n, then that of each piece, tr(C J' R^-1 J)/n.
    pub shares: Vec<f64>,
    /// Residuals over their own standard deviations, from the diagonal of R - J C J', for each piece.
    pub normalised: Vec<Vec<f64>>,
    /// Laplace's approximation of ln p(evidence).
    pub log_evidence: f64,
    pub steps: usize,
}

/// Why there is no fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fault {
    /// A prediction failed, or a covariance is not positive.
    Undefined,
    NotConverged,
}

const MOST_STEPS: usize = 40;
/// Settled where the next step is this small in standard deviations of the result. Slopes are differences over half a
/// deviation and dimensions have bounds, so that the last steps shrink slowly; a fiftieth of a band is no news.
const SETTLED: f64 = 0.02;
/// By how much a step may raise the misfit, of one and of itself.
const RISE: f64 = 1e-4;

/// A piece whitened by its covariance.
struct White {
    factor: Cholesky<f64, Dyn>,
    residual: DVector<f64>,
    jacobian: DMatrix<f64>,
    log_det: f64,
}

fn whiten(piece: &Piece) -> Option<White> {
    let factor = Cholesky::new(piece.covariance.clone())?;
    let l = factor.l_dirty();
    let residual = l.solve_lower_triangular(&piece.residual)?;
    let jacobian = l.solve_lower_triangular(&piece.jacobian)?;
    let log_det = 2.0 * l.diagonal().iter().map(|d| d.ln()).sum::<f64>();
    Some(White { factor, residual, jacobian, log_det })
}

fn own_misfit(x: &DVector<f64>, prior: &DVector<f64>) -> f64 {
    x.iter().zip(prior).map(|(x, variance)| x * x / variance).sum()
}

fn misfit(x: &DVector<f64>, prior: &DVector<f64>, pieces: &[White]) -> f64 {
    own_misfit(x, prior) + pieces.iter().map(|piece| piece.residual.norm_squared()).sum::<f64>()
}

/// The misfit of other residuals, weighed as before: a step may not look better by widening what is not explained.
fn misfit_as(x: &DVector<f64>, prior: &DVector<f64>, pieces: &[Piece], as_before: &[White]) -> Option<f64> {
    pieces.iter().zip(as_before).try_fold(own_misfit(x, prior), |sum, (piece, before)| {
        let residual = before.factor.l_dirty().solve_lower_triangular(&piece.residual)?;
        Some(sum + residual.norm_squared())
    })
}

fn information(prior: &DVector<f64>, pieces: &[White]) -> DMatrix<f64> {
    let own = DMatrix::from_diagonal(&prior.map(|variance| 1.0 / variance));
    pieces.iter().fold(own, |sum, piece| sum + piece.jacobian.tr_mul(&piece.jacobian))
}

/// Fits `x`, starting at the prior's mean, zero; `prior` are its variances, `at` gives the pieces at some x.
pub(super) fn fit(
    prior: &DVector<f64>,
    at: impl Fn(&DVector<f64>) -> Option<Vec<Piece>>,
) -> Result<Fit, Fault> {
    let look = |x: &DVector<f64>| {
        let pieces = at(x)?;
        let white = pieces.iter().map(whiten).collect::<Option<Vec<_>>>()?;
        Some((pieces, white))
    };
    let mut x = DVector::zeros(prior.len());
    let (mut pieces, mut white) = look(&x).ok_or(Fault::Undefined)?;
    for steps in 1..=MOST_STEPS {
        let factor = Cholesky::new(information(prior, &white)).ok_or(Fault::Undefined)?;
        let pull = white
            .iter()
            .fold(-x.component_div(prior), |sum, piece| sum + piece.jacobian.tr_mul(&piece.residual));
        let step = factor.solve(&pull);
        // The length of the step in standard deviations of the result.
        let square = step.dot(&pull);
        if !square.is_finite() {
            return Err(Fault::Undefined);
        }
        if square.max(0.0).sqrt() < SETTLED {
            return Ok(finish(x, factor, prior, &pieces, &white, steps));
        }
        let now = misfit(&x, prior, &white);
        let mut share = 1.0;
        let (next, found) = loop {
            let next = &x + &step * share;
            let found = look(&next).filter(|(pieces, _)| {
                misfit_as(&next, prior, pieces, &white).is_some_and(|then| then <= now + RISE * (1.0 + now))
            });
            if let Some(found) = found {
                break (next, found);
            }
            share *= 0.5;
            if share < 1e-4 {
                return Err(Fault::NotConverged);
            }
        };
        (x, (pieces, white)) = (next, found);
    }
    Err(Fault::NotConverged)
}

fn finish(
    x: DVector<f64>,
    factor: Cholesky<f64, Dyn>,
    prior: &DVector<f64>,
    pieces: &[Piece],
    white: &[White],
    steps: usize,
) -> Fit {
    let covariance = factor.inverse();
    let count = prior.len() as f64;
    let own: f64 = covariance.diagonal().iter().zip(prior).map(|(c, variance)| c / variance).sum();
    let of = |piece: &White| (&piece.jacobian * &covariance).dot(&piece.jacobian) / count;
    let shares = core::iter::once(own / count).chain(white.iter().map(of)).collect();
    let normalised = pieces.iter().map(|piece| {
        let explained = &piece.jacobian * &covariance * piece.jacobian.transpose();
        let left = piece.covariance.diagonal() - explained.diagonal();
        piece.residual.iter().zip(&left).map(|(r, variance)| r / variance.max(1e-300).sqrt()).collect()
    });
    let normalised = normalised.collect();
    let observations: usize = pieces.iter().map(|piece| piece.residual.len()).sum();
    let spread: f64 = white.iter().map(|piece| piece.log_det).sum();
    let volume = prior.iter().map(|variance| variance.ln()).sum::<f64>() + factor.ln_determinant();
    let constant = observations as f64 * (2.0 * core::f64::consts::PI).ln();
    let log_evidence = -0.5 * (misfit(&x, prior, white) + constant + spread + volume);
    Fit { x, covariance, shares, normalised, log_evidence, steps }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(text: &str) -> Vec<f64> {
        text.split_whitespace().map(|number| number.parse().unwrap()).collect()
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
    // (0/4 + 3/1)/(1/4 + 1) = 2.4, variance 0.8; shares 0.2 and 0.8; the residual 0.6 over sqrt(1 - 0.8); and the
    // evidence is N(3; 0, 1 + 4).
    #[test]
    fn the_precision_weighted_mean() {
        let prior = DVector::from_element(1, 4.0);
        let found = fit(&prior, |x| Some(vec![linear(x, &[3.0], &[1.0], &[1.0])])).unwrap();
        close(found.x[0], 2.4, 1e-12);
        close(found.covariance[(0, 0)], 0.8, 1e-12);
        close(found.shares[0], 0.2, 1e-12);
        close(found.shares[1], 0.8, 1e-12);
        close(found.normalised[0][0], 0.6 / 0.2_f64.sqrt(), 1e-12);
        close(found.log_evidence, -0.5 * (9.0 / 5.0 + (2.0 * core::f64::consts::PI * 5.0).ln()), 1e-12);
    }

    // data/reference/linear-evidence.csv: a seeded case with correlated pieces, worked out with SciPy (normal equations
    // by the full joint Gaussian, its conditional mean and covariance, its log density).
    #[test]
    fn a_linear_case_agrees_with_scipy() {
        let table = include_str!("../../../../data/reference/linear-evidence.csv");
        let of = |key: &str| {
            let line = table.lines().find_map(|line| line.strip_prefix(&format!("{key},")));
            numbers(line.unwrap_or_else(|| panic!("{key} is not in the table")))
        };
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
        for (found, expected) in found.normalised.iter().flatten().zip(of("normalised_residuals")) {
            close(*found, expected, 1e-8);
        }
        close(found.log_evidence, of("log_evidence")[0], 1e-8);
        close(found.shares.iter().sum::<f64>(), 1.0, 1e-12);
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
