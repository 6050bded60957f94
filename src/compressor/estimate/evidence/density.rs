//! How likely the evidence is under an estimate, all of it or a part, by Laplace's approximation.

use super::gauss::Known;
use nalgebra::{Cholesky, DMatrix, DVector};

/// The misfit of each piece as a square in x around the state found.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Density {
    prior: DVector<f64>,
    x: DVector<f64>,
    terms: Vec<Term>,
}

/// One piece: its information, its pull, its misfit, and ln det(R/w) + n ln 2 pi.
#[derive(Clone, Debug, PartialEq)]
struct Term {
    information: DMatrix<f64>,
    pull: DVector<f64>,
    misfit: f64,
    constant: f64,
}

impl Density {
    pub fn new(known: &Known, weights: &[f64]) -> Self {
        let terms = known.white.iter().zip(weights).map(|(piece, &weight)| Term {
            information: piece.jacobian.tr_mul(&piece.jacobian) * weight,
            pull: piece.jacobian.tr_mul(&piece.residual) * weight,
            misfit: weight * piece.residual.norm_squared(),
            constant: piece.log_det
                + piece.residual.len() as f64 * ((2.0 * core::f64::consts::PI).ln() - weight.ln()),
        });
        Self { prior: known.prior.clone(), x: known.x.clone(), terms: terms.collect() }
    }

    /// ln p of the pieces that count, -[min misfit + ln det R + n ln 2 pi + ln(det P det A)]/2: the misfit as a square
    /// in x, at the x that is best for these pieces.
    pub fn ln(&self, counts: impl Fn(usize) -> bool) -> f64 {
        let mut information = DMatrix::from_diagonal(&self.prior.map(|variance| 1.0 / variance));
        let mut pull = -self.x.component_div(&self.prior);
        let mut misfit = -self.x.dot(&pull);
        let mut constant = self.prior.iter().map(|variance| variance.ln()).sum::<f64>();
        for (_, term) in self.terms.iter().enumerate().filter(|(index, _)| counts(*index)) {
            information += &term.information;
            pull += &term.pull;
            misfit += term.misfit;
            constant += term.constant;
        }
        // Positive by the prior alone.
        Cholesky::new(information).map_or(f64::NAN, |factor| {
            -0.5 * (misfit - pull.dot(&factor.solve(&pull)) + constant + factor.ln_determinant())
        })
    }
}
