//! What the pieces say of each other as a set, and how well a middle point is known with and without one of them.

use super::predict::pieces;
use super::statement::{Evidence, Seen, Spread};
use super::weight::chi_square_at;
use super::{Combined, PieceReport};
use crate::compressor::{Factor, MapEstimate};
use crate::quantity::*;
use nalgebra::{DMatrix, DVector};

/// The speed line on which a middle point lies, of those of the map.
const MIDDLE: usize = 4;
/// A sum of squares that chance exceeds once in a hundred times: the normal deviate of it.
const SELDOM: f64 = 2.326;

/// How well a middle point of the map is known, one standard deviation each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MiddleBand {
    /// Pressure ratio in the middle of the fifth of the eight speed lines, as a fraction of it.
    pub ratio: Fraction,
    /// Choke flow of that line, as a fraction of it.
    pub choke: Fraction,
}

/// Pressure ratio and choke flow of a middle point by the slopes at the state found, under each covariance of the active
/// factors; nothing where they have no prediction.
pub(super) fn known(
    of: &MapEstimate,
    plain: &MapEstimate,
    active: &[Factor],
    x: &DVector<f64>,
    covariances: impl Iterator<Item = DMatrix<f64>>,
) -> Option<Vec<MiddleBand>> {
    let speed = of.speeds()[MIDDLE];
    let line = of.line(speed).ok()?;
    let (flow, tip_speed) = (0.5 * (line.surge.si() + line.choke.si()), line.tip_speed.si());
    let point = Seen::Point { tip_speed, flow, flow_sigma: 0.0, ratio: [0.0, 1.0], work: None };
    let seen = vec![point, Seen::Choke { tip_speed, flow: [0.0, 1.0] }];
    let probe = Evidence { name: String::new(), basis: String::new(), seen, shared: Spread::default() };
    let slopes = pieces(plain, &[probe], active, x)?.pop()?.jacobian;
    let sigma = |covariance: &DMatrix<f64>, row: usize| {
        let variance = (slopes.row(row) * covariance).dot(&slopes.row(row));
        Fraction::from_si_unchecked(variance.max(0.0).sqrt())
    };
    Some(covariances.map(|c| MiddleBand { ratio: sigma(&c, 0), choke: sigma(&c, 1) }).collect())
}

impl Combined {
    /// The sum of the squared deviations of all pieces; about one for each is expected.
    pub fn squares(&self) -> f64 {
        self.pieces().iter().map(|piece: &PieceReport| piece.deviation.powi(2)).sum()
    }
    /// Whether the pieces lie further off each other than their uncertainties say: their [`squares`](Self::squares) are more than
    /// a chi-square of as many exceeds once in a hundred times. A piece of several observations counts by its worst, so that it
    /// is a little more often.
    pub fn disagrees(&self) -> bool {
        // Not the other way about: what is not a number disagrees.
        !(self.pieces().is_empty() || self.squares() <= self.seldom())
    }
    fn seldom(&self) -> f64 {
        chi_square_at(SELDOM, self.pieces().len() as f64)
    }
    /// What the pieces say of each other, in words.
    pub fn judgement(&self) -> String {
        let count = self.pieces().len();
        if count == 0 {
            return "no evidence was weighed in".into();
        }
        let [squares, seldom] = [self.squares(), self.seldom()].map(|sum| significant(sum, 2));
        let whole = format!("squared deviations sum to {squares} where about {count} is expected");
        if self.disagrees() {
            format!(
                "The pieces and the estimate disagree with each other by more than their uncertainties say: {whole}, and more than \
                 {seldom} comes once in a hundred times by chance. Something is wrong or stated too sure, and the bands do not hold \
                 that: check the pieces that lie furthest off."
            )
        } else {
            format!(
                "The pieces and the estimate agree within their uncertainties: {whole}, up to {seldom} is chance."
            )
        }
    }
}
