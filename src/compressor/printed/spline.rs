//! Cubic B-splines fitted by least squares with a penalty on their bending, the smoothing chosen by generalised
//! cross-validation.
//!
//! Minimised is sum w (y - B c)^2 + lambda |D c|^2, with D the differences of neighbouring coefficients; lambda
//! is the one that makes n sum w r^2 / (n - a tr H)^2 least, H the matrix that leads from the values to the fit
//! [eilers-marx]. With a = 1 readings that scatter are sometimes smoothed far too little; a = 1.4 prevents it [kim-gu].

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// Cubic B-splines over evenly spaced knots from 0 to 1.
#[derive(Clone, Copy, Debug)]
pub(super) struct Basis {
    pub spans: usize,
}

impl Basis {
    pub fn count(self) -> usize {
        self.spans + 3
    }
    /// The first of the four splines that are not zero at `x`, and their values.
    pub fn at(self, x: f64) -> (usize, [f64; 4]) {
        let place = x.clamp(0.0, 1.0) * self.spans as f64;
        let first = (place as usize).min(self.spans - 1);
        let t = place - first as f64;
        let u = 1.0 - t;
        let (inner, outer) = (3.0 * t * t * (t - 2.0) + 4.0, 3.0 * u * u * (u - 2.0) + 4.0);
        (first, [u * u * u, inner, outer, t * t * t].map(|weight| weight / 6.0))
    }
    /// The sum of the splines with these coefficients.
    pub fn sum(self, coefficients: &[f64], x: f64) -> f64 {
        let (first, weights) = self.at(x);
        weights.iter().zip(&coefficients[first..]).map(|(weight, c)| weight * c).sum()
    }
    /// D'D of the differences of an order between neighbouring coefficients.
    pub fn penalty(self, order: usize) -> DMatrix<f64> {
        let mut d = DMatrix::<f64>::identity(self.count(), self.count());
        for _ in 0..order {
            d = d.rows(1, d.nrows() - 1) - d.rows(0, d.nrows() - 1);
        }
        d.transpose() * d
    }
}

/// One value that a sum of splines should take: their values at its place, sparse.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub terms: Vec<(usize, f64)>,
    pub value: f64,
    pub weight: f64,
}

impl Row {
    pub fn predicted(&self, coefficients: &[f64]) -> f64 {
        self.terms.iter().map(|&(i, term)| term * coefficients[i]).sum()
    }
}

/// The sums of a least-squares problem.
pub(super) struct Normal {
    matrix: DMatrix<f64>,
    right: DVector<f64>,
}

impl Normal {
    pub fn of(rows: &[Row], count: usize) -> Self {
        let (mut matrix, mut right) = (DMatrix::zeros(count, count), DVector::zeros(count));
        for row in rows {
            for &(i, a) in &row.terms {
                right[i] += row.weight * a * row.value;
                for &(j, b) in &row.terms {
                    matrix[(i, j)] += row.weight * a * b;
                }
            }
        }
        Self { matrix, right }
    }

    fn factored(&self, penalty: &DMatrix<f64>) -> Option<Cholesky<f64, Dyn>> {
        // A trace of the diagonal keeps what neither data nor penalty holds.
        let ridge = 1e-12 * (self.matrix.trace() + penalty.trace()) / self.right.len() as f64;
        let count = self.right.len();
        Cholesky::new(&self.matrix + penalty + DMatrix::<f64>::identity(count, count) * ridge)
    }

    /// The coefficients under a penalty; nothing where the matrix is not definite.
    pub fn solved(&self, penalty: &DMatrix<f64>) -> Option<Vec<f64>> {
        Some(self.factored(penalty)?.solve(&self.right).as_slice().to_vec())
    }

    /// How many values the fit is free to take up under a penalty: the trace of H.
    pub fn freedom(&self, penalty: &DMatrix<f64>) -> Option<f64> {
        Some(self.factored(penalty)?.solve(&self.matrix).trace())
    }

    /// The score of generalised cross-validation under a penalty, each freedom counted `cost` times.
    pub fn score(&self, rows: &[Row], penalty: &DMatrix<f64>, cost: f64) -> Option<f64> {
        let factored = self.factored(penalty)?;
        let coefficients = factored.solve(&self.right);
        let freedom = cost * factored.solve(&self.matrix).trace();
        let left: f64 = rows
            .iter()
            .map(|row| row.weight * (row.value - row.predicted(coefficients.as_slice())).powi(2))
            .sum();
        let n: f64 = rows.iter().filter(|row| row.weight > 0.0).count() as f64;
        // Where the splines take up nearly all the values nothing is left to judge by.
        (n - freedom > 0.05 * n).then(|| n * left / (n - freedom).powi(2))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_splines_add_up_to_one_and_carry_a_straight_line() {
        let basis = Basis { spans: 5 };
        // A straight line in x has coefficients at the knots' averages: (i - 1)/spans.
        let line: Vec<f64> = (0..basis.count()).map(|i| (i as f64 - 1.0) / 5.0).collect();
        for k in 0..=40 {
            let x = f64::from(k) / 40.0;
            assert!((basis.at(x).1.iter().sum::<f64>() - 1.0).abs() < 1e-14);
            assert!((basis.sum(&line, x) - x).abs() < 1e-14);
        }
        let bent = DVector::from_vec(line);
        assert!((basis.penalty(2) * bent).norm() < 1e-14);
    }

    #[test]
    fn a_cubic_comes_back_and_a_heavy_penalty_leaves_a_straight_line() {
        let basis = Basis { spans: 4 };
        let cubic = |x: f64| 1.0 + x - 3.0 * x * x + 2.0 * x * x * x;
        let rows: Vec<Row> = (0..=20)
            .map(|k| {
                let x = f64::from(k) / 20.0;
                let (first, weights) = basis.at(x);
                let terms = weights.iter().enumerate().map(|(j, &w)| (first + j, w)).collect();
                Row { terms, value: cubic(x), weight: 1.0 }
            })
            .collect();
        let normal = Normal::of(&rows, basis.count());
        let close = normal.solved(&(basis.penalty(2) * 1e-10)).unwrap();
        assert!((basis.sum(&close, 0.37) - cubic(0.37)).abs() < 1e-8);
        // The least-squares line of this cubic over 0 to 1 is flat up to its slope 1 - 3 + 2 x 0.9 = -0.2.
        let straight = normal.solved(&(basis.penalty(2) * 1e8)).unwrap();
        let slope = basis.sum(&straight, 1.0) - basis.sum(&straight, 0.0);
        let middle =
            basis.sum(&straight, 0.5) - 0.5 * (basis.sum(&straight, 0.0) + basis.sum(&straight, 1.0));
        assert!(middle.abs() < 1e-6 && (-0.25..-0.15).contains(&slope), "{slope}");
    }
}
