//! How far each piece of evidence lies from what all the rest says, and the weight that leaves it.

use super::gauss::Known;
use nalgebra::Cholesky;

/// A deviation beyond this is named: one observation in 370 by chance.
pub const OUTLIER: f64 = 3.0;
/// The least weight.
const LEAST: f64 = 1e-6;

/// Halvings that find a weight.
const HALVINGS: usize = 40;

/// What is left of one piece.
#[derive(Clone, Debug)]
pub(super) struct Left {
    /// Its weight.
    pub weight: f64,
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
/// R/w, until neither is more. So its pull falls the further off it lies, and a piece cannot hide behind its own say.
/// That an observation counts fully up to a limit and less beyond is [huber-1964]'s, by the rest's prediction as in
/// [chang-2014]; three is the limit that outliers are named by.
pub(super) fn apart(known: &Known, weights: &[f64]) -> Option<Vec<Left>> {
    let one = |index: usize| {
        let (piece, white) = (&known.pieces[index], &known.white[index]);
        let (information, pull) = known.sums(weights, Some(index));
        let rest = Cholesky::new(information.clone())?;
        let moved = rest.solve(&pull);
        let difference = &piece.residual - &piece.jacobian * &moved;
        let spread = (&piece.jacobian * rest.inverse()) * piece.jacobian.transpose();
        let mut left = Left { weight: 1.0, deviations: Vec::new(), together: 0.0 };
        for (j, d) in difference.iter().enumerate() {
            let (own, other) = (piece.covariance[(j, j)], spread[(j, j)]);
            let deviation = d / (own + other).sqrt();
            if deviation.abs() > OUTLIER {
                left.weight = left.weight.min(own / (d * d / (OUTLIER * OUTLIER) - other));
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
        let most = count * (1.0 - 2.0 / (9.0 * count) + OUTLIER * (2.0 / (9.0 * count)).sqrt()).powi(3);
        if found > most {
            let [mut low, mut high] = [LEAST.ln(), 0.0];
            for _ in 0..HALVINGS {
                let middle = 0.5 * (low + high);
                if chi_square(middle.exp())? > most { high = middle } else { low = middle }
            }
            left.weight = left.weight.min(low.exp());
        }
        left.weight = left.weight.max(LEAST);
        (left.together.is_finite() && left.deviations.iter().all(|one| one.is_finite())).then_some(left)
    };
    (0..known.pieces.len()).map(one).collect()
}

/// The normal deviate that is as likely as a chi-square of so many, [wilson-hilferty-1931].
fn deviate(chi_square: f64, count: f64) -> f64 {
    let spread = 2.0 / (9.0 * count);
    ((chi_square / count).max(0.0).cbrt() - (1.0 - spread)) / spread.sqrt()
}

#[cfg(test)]
mod tests {
    use super::deviate;

    // Tables of the chi-square distribution: 0.1 % is exceeded at 10.828 with one degree of freedom, 29.588 with ten and
    // 124.839 with eighty; the normal deviate of it is 3.0902.
    #[test]
    fn a_chi_square_as_a_normal_deviate() {
        for (value, count, within) in [(10.828, 1.0, 0.06), (29.588, 10.0, 0.02), (124.839, 80.0, 0.01)] {
            let found = deviate(value, count);
            assert!((found - 3.0902).abs() < within, "{found}");
        }
    }
}
