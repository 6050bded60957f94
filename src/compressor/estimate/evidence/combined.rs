//! One map from all the evidence, and what each piece was worth.

use super::super::defaults::ModelSpread;
use super::density::Density;
use super::gauss::{Fault, Fit, fit};
use super::predict::{local_share, pieces};
use super::together::{MiddleBand, known};
use super::weight::Left;
use super::{Evidence, EvidenceError};
use crate::compressor::{Factor, Factors, MapEstimate};
use crate::quantity::*;
use nalgebra::{DMatrix, DVector, SymmetricEigen};

/// What one piece of evidence was worth.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceReport {
    /// Its name.
    pub name: String,
    /// Where its uncertainty comes from.
    pub basis: String,
    /// Its share of the information; those of all pieces and of the prior sum to one.
    pub share: Fraction,
    /// By how many standard deviations it lies off what all the rest says: its observation that fits worst, with sign,
    /// observed less expected; or all of them together, where that is more.
    pub deviation: f64,
    /// Its weight: one, or what is left to a piece that lies more than three off.
    pub weight: Fraction,
    /// How well a middle point would be known without it.
    pub without: MiddleBand,
}

/// A weight that is shown as one.
const FULL: f64 = 0.995;

impl PieceReport {
    /// Whether it contradicts the rest: it lies more than three off, so that its weight is less than one.
    pub fn is_outlier(&self) -> bool {
        let weight = self.weight.si();
        weight.is_nan() || weight < FULL
    }
}

/// One map from the estimate and all the evidence.
#[derive(Clone, Debug, PartialEq)]
pub struct Combined {
    estimate: MapEstimate,
    pieces: Vec<PieceReport>,
    prior_share: Fraction,
    known: MiddleBand,
    density: Density,
    steps: usize,
}

impl Combined {
    /// The estimate with its factors and band as the evidence leaves them: its map, its band, its sides.
    pub fn estimate(&self) -> &MapEstimate {
        &self.estimate
    }
    /// What each piece was worth.
    pub fn pieces(&self) -> &[PieceReport] {
        &self.pieces
    }
    /// The share of the information that the estimate itself gave.
    pub fn prior_share(&self) -> Fraction {
        self.prior_share
    }
    /// How well a middle point of the map is known with all of it.
    pub fn known(&self) -> MiddleBand {
        self.known
    }
    /// The pieces that contradict the rest; they had less weight.
    pub fn outliers(&self) -> impl Iterator<Item = &PieceReport> {
        self.pieces.iter().filter(|piece| piece.is_outlier())
    }
    /// ln of the probability density of the evidence under this estimate, by Laplace's approximation: what decides
    /// between two readings of a dimension.
    pub fn log_evidence(&self) -> f64 {
        self.density.ln(|_| true)
    }
    /// The same of a part of the pieces, by their places.
    pub(super) fn log_evidence_of(&self, counts: impl Fn(usize) -> bool) -> f64 {
        self.density.ln(counts)
    }
    /// Steps of the search.
    pub fn steps(&self) -> usize {
        self.steps
    }
}

impl MapEstimate {
    /// The estimate and all evidence weighed together by their uncertainties.
    ///
    /// The named factors x have the prior N(0, 1); each piece observes logarithms of pressure ratio, work or flow. The
    /// best x has the least x'x + sum w r' R^-1 r, found by Gauss-Newton steps; its covariance is the inverse of the
    /// information A = 1 + sum w J' R^-1 J. Part of the mean line's spread in work, losses and choke is its own at every
    /// place of the map ([`LOCAL`](super::super::defaults::LOCAL)): no measurement elsewhere can take it away.
    /// The share of a piece is w tr(A^-1 J' R^-1 J)/n, of the prior tr(A^-1)/n ([rodgers-2000], ch. 2.4).
    ///
    /// Each piece is judged by what the prior and all other pieces say in its place, in standard deviations of the
    /// difference. Up to three its weight w is one. Beyond, it contradicts the rest: it is named, and its own error is
    /// widened, so that what it moves vanishes the further off it lies: with the fifth power ([huber-1964], [chang-2014],
    /// [beaton-tukey]).
    /// Where another part of the wheel begins to choke, predictions have a kink, and weights there are known to a tenth only.
    /// Two pieces that contradict each other alone are both widened: which of them is wrong nobody can tell.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let reference = Reference::new(kelvin(298.15), kpa(100.0))?;
    /// let estimate = WheelGeometry::builder(mm(46.4), mm(61.0)).build()?.estimate(reference)?;
    /// let run = Evidence::run("run of 3 May (invented)", &estimate, RunPoint {
    ///     inlet: InletState { temperature: kelvin(298.15), pressure: kpa(100.0) },
    ///     speed: rpm(110_000.0),
    ///     flow: kg_per_s(0.17),
    ///     flow_sigma: percent(5.0),
    ///     ratio: PressureRatio::new(2.0)?,
    ///     ratio_sigma: percent(1.0),
    ///     outlet: Some((kelvin(392.0), kelvin_diff(3.0))),
    /// })?;
    /// let seller = Evidence::seller_figure("seller's list (invented)", &estimate, lb_per_min(38.0))?;
    /// let combined = estimate.combined(&[run, seller])?;
    /// let at = (corrected_rpm(110_000.0), corrected_kg_per_s(0.17));
    /// let [before, after] = [&estimate, combined.estimate()].map(|of| of.band_at(at.0, at.1));
    /// assert!(after?.ratio.si() < 0.6 * before?.ratio.si());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`EvidenceError`]: no prediction where something was observed, or a search that did not settle.
    pub fn combined(&self, evidence: &[Evidence]) -> Result<Combined, EvidenceError> {
        if self.is_weighed() {
            return Err(EvidenceError::Used);
        }
        let active: Vec<Factor> =
            Factor::ALL.into_iter().filter(|&factor| self.geometry().varies(factor)).collect();
        let spread = self.spread();
        let prior = prior(&active, &spread);
        let found = fit(&prior, |x| pieces(self, evidence, &active, x)).map_err(|fault| match fault {
            Fault::Undefined => EvidenceError::NoPrediction,
            Fault::NotConverged => EvidenceError::NotSettled,
        })?;
        let Fit { x, covariance, shares, left, without, density, steps } = found;
        let mut factors = Factors::central();
        for (&factor, value) in active.iter().zip(&x) {
            factors = factors.with(factor, *value);
        }
        // With what is local at every place.
        let whole =
            |covariance: DMatrix<f64>| covariance + DMatrix::from_diagonal(&prior.map(|own| 1.0 - own));
        let covariance = whole(covariance);
        let alternatives: Vec<_> = without.into_iter().map(whole).collect();
        let names = evidence.iter().map(|piece| piece.name.clone()).collect();
        let estimate = self.clone().weighed(factors, &active, &root(&covariance), names);
        // The map must hold together as a whole, not only where something was observed.
        estimate.lines()?;
        let all = core::iter::once(covariance).chain(alternatives);
        let known = known(&estimate, self, &active, &x, all).ok_or(EvidenceError::NoPrediction)?;
        let report =
            |(((piece, share), left), without): (((&Evidence, &f64), &Left), &MiddleBand)| PieceReport {
                name: piece.name.clone(),
                basis: piece.basis.clone(),
                share: Fraction::from_si_unchecked(*share),
                deviation: left.worst(),
                weight: Fraction::from_si_unchecked(left.weight),
                without: *without,
            };
        let reports = evidence.iter().zip(&shares[1..]).zip(&left).zip(&known[1..]).map(report);
        Ok(Combined {
            pieces: reports.collect(),
            estimate,
            prior_share: Fraction::from_si_unchecked(shares[0]),
            known: known[0],
            density,
            steps,
        })
    }
}

/// Variances of the factors without what is local.
fn prior(active: &[Factor], spread: &ModelSpread) -> DVector<f64> {
    let variance = |factor: &Factor| 1.0 - local_share(spread, *factor).powi(2);
    DVector::from_iterator(active.len(), active.iter().map(variance))
}

/// The symmetric square root: its columns are independent, each the nearest to one factor.
fn root(covariance: &DMatrix<f64>) -> DMatrix<f64> {
    let SymmetricEigen { eigenvalues, eigenvectors } = SymmetricEigen::new(covariance.clone());
    let roots = DMatrix::from_diagonal(&eigenvalues.map(|value| value.max(0.0).sqrt()));
    &eigenvectors * roots * eigenvectors.transpose()
}
