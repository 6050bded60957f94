//! Monotone cubic interpolation: no overshoot between the points of a map.

use crate::formula::Scalar;

/// Slope at node `i` of the points (`x`, `y`), limited so that the cubic between two nodes never
/// leaves their interval (Fritsch and Butland 1984, the weighted harmonic mean).
pub(super) fn slope<S: Scalar>(x: &[f64], y: &[S], i: usize) -> S {
    let last = x.len() - 1;
    let secant = |k: usize| (y[k + 1] - y[k]) / (x[k + 1] - x[k]);
    if last == 1 {
        return secant(0);
    }
    if i == 0 || i == last {
        let (near, far, h0, h1) = if i == 0 {
            (secant(0), secant(1), x[1] - x[0], x[2] - x[1])
        } else {
            (secant(last - 1), secant(last - 2), x[last] - x[last - 1], x[last - 1] - x[last - 2])
        };
        let end = (near * (2.0 * h0 + h1) - far * h0) / (h0 + h1);
        return if end.value() * near.value() <= 0.0 {
            S::lit(0.0)
        } else if near.value() * far.value() <= 0.0 && end.value().abs() > 3.0 * near.value().abs() {
            near * 3.0
        } else {
            end
        };
    }
    let (before, after) = (secant(i - 1), secant(i));
    if before.value() * after.value() <= 0.0 {
        return S::lit(0.0);
    }
    let (h0, h1) = (x[i] - x[i - 1], x[i + 1] - x[i]);
    let (w0, w1) = (2.0 * h1 + h0, h1 + 2.0 * h0);
    before * after * (w0 + w1) / (after * w0 + before * w1)
}

/// A cubic between two nodes by their values and slopes.
#[derive(Clone, Copy)]
pub(super) struct Piece<S = f64> {
    pub x: [f64; 2],
    pub y: [S; 2],
    pub d: [S; 2],
}

impl<S: Scalar> Piece<S> {
    /// The piece between the nodes `i` and `i + 1`.
    pub fn between(x: &[f64], y: &[S], i: usize) -> Self {
        Self { x: [x[i], x[i + 1]], y: [y[i], y[i + 1]], d: [slope(x, y, i), slope(x, y, i + 1)] }
    }
    /// Value and slope at `x`.
    pub fn at(&self, x: f64) -> (S, S) {
        let h = self.x[1] - self.x[0];
        let t = (x - self.x[0]) / h;
        let rise = self.y[1] - self.y[0];
        let (a, b) = (self.d[0] * h - rise, rise - self.d[1] * h);
        let value = self.y[0] + rise * t + (a * (1.0 - t) + b * t) * (t * (1.0 - t));
        let turn = a * ((1.0 - t) * (1.0 - 3.0 * t)) + b * (t * (2.0 - 3.0 * t));
        (value, (rise + turn) / h)
    }
}

impl Piece {
    /// The `x` at which a rising piece takes the value `y` between its ends.
    pub fn invert(&self, y: f64) -> f64 {
        self.solve(y).0
    }
    /// The same with the steps that it took.
    pub fn solve(&self, y: f64) -> (f64, usize) {
        let [mut low, mut high] = self.x;
        let mut x = low + (high - low) * (y - self.y[0]) / (self.y[1] - self.y[0]);
        for step in 1..=60 {
            let (value, slope) = self.at(x);
            if value < y {
                low = x
            } else {
                high = x
            }
            let newton = x - (value - y) / slope;
            let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
            if (next - x).abs() <= 1e-14 * (self.x[1] - self.x[0]) {
                return (next, step);
            }
            x = next;
        }
        (x, 60)
    }
}

/// Monotone cubics through points with the same rising `x`.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Curve<const K: usize> {
    x: Vec<f64>,
    y: Vec<[f64; K]>,
    d: Vec<[f64; K]>,
}

impl<const K: usize> Curve<K> {
    pub fn new(x: Vec<f64>, y: Vec<[f64; K]>) -> Self {
        let columns: [Vec<f64>; K] = core::array::from_fn(|k| y.iter().map(|y| y[k]).collect());
        let d = (0..x.len()).map(|i| core::array::from_fn(|k| slope(&x, &columns[k], i))).collect();
        Self { x, y, d }
    }
    /// Values at `x`, which the caller keeps between the ends.
    pub fn at(&self, x: f64) -> [f64; K] {
        let i = self.index(x);
        core::array::from_fn(|k| self.piece(i, k).at(x).0)
    }
    /// The lower node of the piece around `x`.
    pub fn index(&self, x: f64) -> usize {
        self.x.partition_point(|&node| node <= x).clamp(1, self.x.len() - 1) - 1
    }
    /// The piece of curve `k` above node `i`.
    pub fn piece(&self, i: usize, k: usize) -> Piece {
        Piece {
            x: [self.x[i], self.x[i + 1]],
            y: [self.y[i][k], self.y[i + 1][k]],
            d: [self.d[i][k], self.d[i + 1][k]],
        }
    }
    pub fn nodes(&self) -> &[[f64; K]] {
        &self.y
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn passes_through_its_points_and_keeps_between_them() {
        let (x, y) = (vec![0.0, 1.0, 2.0, 4.0], vec![0.0, 1.0, 1.0, 5.0]);
        let curve = Curve::new(x.clone(), y.iter().map(|&y| [y]).collect());
        for (a, b) in x.iter().zip(&y) {
            assert!((curve.at(*a)[0] - b).abs() < 1e-14);
        }
        for k in 0..=400 {
            let t = f64::from(k) / 100.0;
            let [value] = curve.at(t);
            let i = x.partition_point(|&n| n <= t).clamp(1, 3) - 1;
            assert!(value >= y[i] - 1e-12 && value <= y[i + 1] + 1e-12, "{value} at {t}");
        }
    }

    #[test]
    fn slope_of_a_piece_is_its_derivative_and_inverse_undoes_it() {
        let piece = Piece { x: [1.0, 3.0], y: [2.0, 5.0], d: [0.5, 2.0] };
        for k in 1..20 {
            let x = 1.0 + f64::from(k) / 10.0;
            let difference = (piece.at(x + 1e-6).0 - piece.at(x - 1e-6).0) / 2e-6;
            assert!((piece.at(x).1 - difference).abs() < 1e-8);
            assert!((piece.invert(piece.at(x).0) - x).abs() < 1e-12);
        }
    }
}
