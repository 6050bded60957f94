//! How far each piece of evidence lies from what all the rest says, and the weight that leaves it.

use super::gauss::Known;
use nalgebra::Cholesky;

/// A deviation beyond this is named: one observation in 370 by chance.
pub const OUTLIER: f64 = 3.0;
/// The least weight.
const LEAST: f64 = 1e-12;

/// Halvings that find a weight.
const HALVINGS: usize = 50;

/// What is left of one piece.
#[derive(Clone, Debug)]
pub(super) struct Left {
    /// Its weight.
    pub weight: f64,
    /// The weight by which it judges the other pieces.
    pub judging: f64,
    /// Each observation less what the prior and all other pieces say, over the standard deviation of that difference.
    /// For a single observation it is the normalised residual of [baarda-1968].
    pub deviations: Vec<f64>,
    /// All of them together, as the normal deviate of their chi-square.
    pub together: f64,
}

impl Left {
    /// The observation that fits worst, or all together where that is more.
    pub fn worst(&self) -> f64 {
        let single = self.deviations.iter().copied().max_by(|a, b| a.abs().total_cmp(&b.abs()));
        let single = single.unwrap_or(0.0);
        if self.together > single.abs() { self.together } else { single }
    }
}

/// The pieces, each against all the rest.
///
/// Without piece i the rest has the information A_- and the pull g_-, so that it says x + A_-^-1 g_- and differs from the
/// piece by d = r - J A_-^-1 g_-, with the covariance R + J A_-^-1 J'. Up to three standard deviations of each d_j, and up
/// to a chi-square d'(R + J A_-^-1 J')^-1 d as likely as three, the piece has weight one. Beyond, its own error is widened,
/// R/w, until neither is more, and a piece cannot hide behind its own say.
/// That an observation counts fully up to a limit and less beyond is [huber-1964]'s, by the rest's prediction as in
/// [chang-2014]; three is the limit that outliers are named by. By these weights the pieces judge each other.
///
/// In the sum each has less say: with q the square d^2/(R + J A_-^-1 J') over its limit, its error is widened until that square
/// is the limit over q^2. At the limit both weights are one; beyond, what the piece moves falls with the fifth power of its
/// deviation, while under the judging weights it falls with the first only. That a say must vanish is the redescending
/// estimator's [beaton-tukey]. The judging weights do not know these, so that two pieces that contradict each other alone do
/// not take turns: both are widened.
pub(super) fn apart(known: &Known, weights: &[f64]) -> Option<Vec<Left>> {
    let one = |index: usize| {
        let (piece, white) = (&known.pieces[index], &known.white[index]);
        let (information, pull) = known.sums(weights, Some(index));
        let rest = Cholesky::new(information.clone())?;
        let moved = rest.solve(&pull);
        let difference = &piece.residual - &piece.jacobian * &moved;
        let spread = (&piece.jacobian * rest.inverse()) * piece.jacobian.transpose();
        let mut left = Left { weight: 1.0, judging: 1.0, deviations: Vec::new(), together: 0.0 };
        for (j, d) in difference.iter().enumerate() {
            let (own, other) = (piece.covariance[(j, j)], spread[(j, j)]);
            let deviation = d / (own + other).sqrt();
            if deviation.abs() > OUTLIER {
                let limit = OUTLIER * OUTLIER;
                let beyond = deviation * deviation / limit;
                left.judging = left.judging.min(own / (d * d / limit - other));
                left.weight = left.weight.min(own / (d * d * beyond * beyond / limit - other));
            }
            left.deviations.push(deviation);
        }
        // d'(R/w + J A_-^-1 J')^-1 d by the matrix inversion lemma, with d and J whitened by R.
        let whole = &white.residual - &white.jacobian * &moved;
        let (square, along) = (whole.norm_squared(), white.jacobian.tr_mul(&whole));
        let own = white.jacobian.tr_mul(&white.jacobian);
        let chi_square = |w: f64| {
            let all = Cholesky::new(&information + &own * w)?;
            Some(w * square - w * w * along.dot(&all.solve(&along)))
        };
        let count = difference.len() as f64;
        let found = chi_square(1.0)?;
        left.together = deviate(found, count);
        let most = chi_square_at(OUTLIER, count);
        let widened = |most: f64| {
            let [mut low, mut high] = [LEAST.ln(), 0.0];
            for _ in 0..HALVINGS {
                let middle = 0.5 * (low + high);
                if chi_square(middle.exp())? > most { high = middle } else { low = middle }
            }
            Some(low.exp())
        };
        if found > most {
            left.judging = left.judging.min(widened(most)?);
            left.weight = left.weight.min(widened(most * (most / found).powi(2))?);
        }
        left.weight = left.weight.max(LEAST);
        left.judging = left.judging.max(LEAST);
        (left.together.is_finite() && left.deviations.iter().all(|one| one.is_finite())).then_some(left)
    };
    (0..known.pieces.len()).map(one).collect()
}

/// The chi-square of so many that is exceeded as seldom as a normal deviate, [wilson-hilferty-1931].
pub(super) fn chi_square_at(deviate: f64, count: f64) -> f64 {
    let spread = 2.0 / (9.0 * count);
    count * (1.0 - spread + deviate * spread.sqrt()).powi(3)
}

/// The normal deviate that is as likely as a chi-square of so many, [wilson-hilferty-1931].
fn deviate(chi_square: f64, count: f64) -> f64 {
    let spread = 2.0 / (9.0 * count);
    ((chi_square / count).max(0.0).cbrt() - (1.0 - spread)) / spread.sqrt()
}

#[cfg(test)]
mod tests {
    use super::{chi_square_at, deviate};

    // Tables of the chi-square distribution: 0.1 % is exceeded at 10.828 with one degree of freedom, 29.588 with ten and
    // 124.839 with eighty; the normal deviate of it is 3.0902.
    #[test]
    fn a_chi_square_as_a_normal_deviate() {
        for (value, count, within) in [(10.828, 1.0, 0.06), (29.588, 10.0, 0.02), (124.839, 80.0, 0.01)] {
            let found = deviate(value, count);
            assert!((found - 3.0902).abs() < within, "{found}");
            assert!((deviate(chi_square_at(3.0902, count), count) - 3.0902).abs() < 1e-9);
        }
    }
}
