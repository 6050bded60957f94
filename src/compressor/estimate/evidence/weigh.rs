//! Which reading of a doubtful dimension the other evidence favours.

use super::{Combined, PieceReport};
use crate::quantity::*;

/// What one reading would mean, and how likely it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadingWeight {
    /// The reading.
    pub reading: Length,
    /// Its weight before the evidence.
    pub before: Fraction,
    /// Its weight after it.
    pub after: Fraction,
}

/// The weights of all readings. They choose between maps; nothing is averaged.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct ReadingWeights(Vec<ReadingWeight>);

impl core::ops::Deref for ReadingWeights {
    type Target = [ReadingWeight];
    fn deref(&self) -> &[ReadingWeight] {
        &self.0
    }
}

impl ReadingWeights {
    /// The reading that is favoured, and by how much over the next: their odds. Below 3 to 1 it is hardly worth a
    /// mention ([kass-raftery-1995]): measure again.
    pub fn favoured(&self) -> Option<(Length, f64)> {
        let mut sorted = self.0.clone();
        sorted.sort_by(|a, b| b.after.si().total_cmp(&a.after.si()));
        let first = sorted.first()?;
        let next = sorted.get(1).map_or(0.0, |next| next.after.si());
        Some((first.reading, if next > 0.0 { first.after.si() / next } else { f64::INFINITY }))
    }
}

/// Weighs readings of one dimension, each with the same evidence combined into the estimate of its own wheel.
///
/// w_i = p_i L_i/sum(p L), with p the weights given before and L the density of the evidence under each reading by
/// Laplace's approximation, ln L = -[misfit + ln det R + ln(det P det A) + n ln 2 pi]/2 ([mackay-2003], ch. 28;
/// [kass-raftery-1995]).
/// A piece that contradicts the rest under every reading has no say in it: what is wrong with it is not the reading.
/// It is exact where predictions are linear in the factors. Weights before that are not positive count as none; where no
/// weight is left all are nothing.
pub fn weigh_readings<'a>(
    readings: impl IntoIterator<Item = (Length, Fraction, &'a Combined)>,
) -> ReadingWeights {
    let all: Vec<_> = readings.into_iter().collect();
    let wrong =
        |piece: usize| all.iter().all(|(.., of)| of.pieces().get(piece).is_some_and(PieceReport::is_outlier));
    let logs = all.iter().map(|(_, before, combined)| {
        let evidence = || combined.log_evidence_of(|piece| !wrong(piece));
        if before.si() > 0.0 { before.si().ln() + evidence() } else { f64::NEG_INFINITY }
    });
    let logs: Vec<f64> = logs.collect();
    let sum: f64 = all.iter().map(|(_, before, _)| before.si().max(0.0)).sum();
    let shares = shares(&logs);
    let weight = |((reading, before, _), after): (&(Length, Fraction, &Combined), f64)| ReadingWeight {
        reading: *reading,
        before: Fraction::from_si_unchecked(if sum > 0.0 { before.si().max(0.0) / sum } else { 0.0 }),
        after: Fraction::from_si_unchecked(after),
    };
    ReadingWeights(all.iter().zip(shares).map(weight).collect())
}

/// Shares of exp(log), free of overflow.
fn shares(logs: &[f64]) -> Vec<f64> {
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if !most.is_finite() {
        return vec![0.0; logs.len()];
    }
    let parts: Vec<f64> = logs.iter().map(|log| (log - most).exp()).collect();
    let sum: f64 = parts.iter().sum();
    parts.into_iter().map(|part| part / sum).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    // By hand: two readings predict 0 and 2 with a spread of 1 each; 0.5 is observed within 1: variances 2. The
    // squares are 0.25 and 2.25, so that ln of the odds is (2.25 - 0.25)/(2 x 2) = 0.5: weights 0.6225 and 0.3775.
    #[test]
    fn odds_of_two_readings_by_hand() {
        let log = |predicted: f64| {
            let off = 0.5 - predicted;
            -0.5 * (off * off / 2.0 + (2.0 * core::f64::consts::PI * 2.0).ln())
        };
        let found = shares(&[log(0.0), log(2.0)]);
        assert!((found[0] - 0.622_459).abs() < 1e-6 && (found[1] - 0.377_541).abs() < 1e-6, "{found:?}");
        // The prior counts as much as the evidence: 1 to 3 turns the odds of 1.649 into 0.5496.
        let found = shares(&[0.25_f64.ln() + log(0.0), 0.75_f64.ln() + log(2.0)]);
        assert!((found[0] / found[1] - 0.549_574).abs() < 1e-6, "{found:?}");
    }

    #[test]
    fn far_off_readings_do_not_overflow() {
        assert_eq!(shares(&[-5000.0, -4000.0]), [0.0, 1.0]);
        assert_eq!(shares(&[f64::NEG_INFINITY; 2]), [0.0, 0.0]);
        assert_eq!(shares(&[]), Vec::<f64>::new());
    }
}
