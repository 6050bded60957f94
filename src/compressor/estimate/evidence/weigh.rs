//! Which reading of a doubtful dimension the other evidence favours.

use super::{Combined, PieceReport};
use crate::compressor::WheelReading;
use crate::quantity::*;

/// What one reading would mean, and how likely it is.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadingWeight {
    /// The reading.
    pub reading: WheelReading,
    /// Its weight before the evidence.
    pub before: Fraction,
    /// Its weight by the evidence alone, were all readings alike before it.
    pub alone: Fraction,
    /// Its weight after it: that before it times what the evidence says.
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
    /// The reading that is favoured by weight and evidence together, and by how much over the next: their odds. Below 3 to 1
    /// it is hardly worth a mention ([kass-raftery-1995]): measure again.
    pub fn favoured(&self) -> Option<(&WheelReading, f64)> {
        self.first_by(|one| one.after)
    }
    /// The reading that the evidence alone favours, whatever weights stood before it, and its odds over the next.
    pub fn favoured_by_evidence(&self) -> Option<(&WheelReading, f64)> {
        self.first_by(|one| one.alone)
    }
    /// Whether all readings counted alike before the evidence.
    pub fn were_alike(&self) -> bool {
        let alike = 1.0 / self.0.len().max(1) as f64;
        self.0.iter().all(|one| (one.before.si() / alike - 1.0).abs() < 1e-9)
    }
    /// The weights of the readings of each dimension by itself, over all readings of the others, where several are in doubt.
    pub fn of_each_dimension(&self) -> Vec<ReadingWeights> {
        let count = self.0.first().map_or(0, |one| one.reading.dimensions().len());
        if count < 2 {
            return Vec::new();
        }
        let of = |place: usize| {
            let mut sums: Vec<ReadingWeight> = Vec::new();
            for one in &self.0 {
                let reading = one.reading.dimensions().get(place).map(|dimension| (*dimension).into());
                let known = sums.iter().position(|known| Some(&known.reading) == reading.as_ref());
                match (known, reading) {
                    (Some(known), _) => {
                        let sum = &mut sums[known];
                        sum.before = sum.before + one.before;
                        sum.alone = sum.alone + one.alone;
                        sum.after = sum.after + one.after;
                    }
                    (None, Some(reading)) => sums.push(ReadingWeight { reading, ..one.clone() }),
                    (None, None) => {}
                }
            }
            ReadingWeights(sums)
        };
        (0..count).map(of).collect()
    }
    fn first_by(&self, weight: impl Fn(&ReadingWeight) -> Fraction) -> Option<(&WheelReading, f64)> {
        let mut sorted: Vec<_> = self.0.iter().map(|one| (&one.reading, weight(one).si())).collect();
        sorted.sort_by(|(_, a), (_, b)| b.total_cmp(a));
        let (first, most) = sorted.first().copied().filter(|(_, most)| *most > 0.0)?;
        let next = sorted.get(1).map_or(0.0, |(_, next)| *next);
        Some((first, if next > 0.0 { most / next } else { f64::INFINITY }))
    }
}

/// Weighs readings of doubtful dimensions, each with the same evidence combined into the estimate of its own wheel. A length
/// stands for a reading of the inducer, a [`WheelDimension`](crate::compressor::WheelDimension) for one of another dimension,
/// a [`WheelReading`] for one of several.
///
/// w_i = p_i L_i/sum(p L), with p the weights given before and L the density of the evidence under each reading by
/// Laplace's approximation, ln L = -[misfit + ln det R + ln(det P det A) + n ln 2 pi]/2 ([mackay-2003], ch. 28;
/// [kass-raftery-1995]).
/// A piece that contradicts the rest under every reading has no say in it: what is wrong with it is not the reading.
/// It is exact where predictions are linear in the factors. Weights before that are not positive count as none; where no
/// weight is left all are nothing.
///
/// ```
/// use shaftwork::prelude::*;
/// // A seller names 40 lb/min; the backsweep was seen as 30 degrees, hardly as 40.
/// let wheel = CompressorWheel::new(mm(46.4), mm(61.0))?
///     .backsweep(one_of([deg(30.0), deg(40.0)]).weighted([fraction(3.0), fraction(1.0)])?)?;
/// let reference = Reference::new(kelvin(298.15), kpa(100.0))?;
/// let mut all = Vec::new();
/// for read in wheel.as_read() {
///     let estimate = read.builder.build()?.estimate(reference)?;
///     let figure = Evidence::seller_figure("the seller's", &estimate, lb_per_min(40.0))?;
///     all.push((read, estimate.combined(&[figure])?));
/// }
/// let weights = weigh_readings(all.iter().map(|(read, of)| (read.reading.clone(), read.weight, of)));
/// assert!((weights[0].before.percent() - 75.0).abs() < 1e-9);
/// // Bayes' rule: the odds after are those before times those of the evidence.
/// let odds = |of: fn(&shaftwork::compressor::ReadingWeight) -> f64| of(&weights[0]) / of(&weights[1]);
/// let [after, alone] = [odds(|one| one.after.si()), odds(|one| one.alone.si())];
/// assert!((after / (3.0 * alone) - 1.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn weigh_readings<'a, R: Into<WheelReading>>(
    readings: impl IntoIterator<Item = (R, Fraction, &'a Combined)>,
) -> ReadingWeights {
    let all: Vec<_> = readings.into_iter().collect();
    let wrong =
        |piece: usize| all.iter().all(|(.., of)| of.pieces().get(piece).is_some_and(PieceReport::is_outlier));
    let evidence: Vec<f64> = all.iter().map(|(.., of)| of.log_evidence_of(|piece| !wrong(piece))).collect();
    // What counts nothing before counts nothing after.
    let before: Vec<f64> = all.iter().map(|(_, before, _)| before.si().max(0.0)).collect();
    let both: Vec<f64> = before.iter().zip(&evidence).map(|(before, log)| before.ln() + log).collect();
    let sum: f64 = before.iter().sum();
    let [alone, after] = [shares(&evidence), shares(&both)];
    let share = Fraction::from_si_unchecked;
    let weights = all.into_iter().enumerate().map(|(i, (reading, ..))| ReadingWeight {
        reading: reading.into(),
        before: share(if sum > 0.0 { before[i] / sum } else { 0.0 }),
        alone: share(alone[i]),
        after: share(after[i]),
    });
    ReadingWeights(weights.collect())
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
