//! Monotone cubic interpolation: no overshoot between the points of a map.

use crate::formula::Scalar;

/// Slope at node `i` of points over `x`, limited so that the cubic between two nodes never
/// leaves their interval (Fritsch and Butland 1984, the weighted harmonic mean); `secant` gives the slope of
/// the straight line above a node.
#[inline]
pub(super) fn slope<S: Scalar>(x: &[f64], secant: impl Fn(usize) -> S, i: usize) -> S {
    let last = x.len() - 1;
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

/// A cubic over the fraction of an interval, by its coefficients.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Cubic<S = f64>([S; 4]);

impl<S: Scalar> Cubic<S> {
    /// The cubic with these values and slopes at the ends of an interval of width `h`.
    #[inline]
    pub fn between(h: f64, y: [S; 2], d: [S; 2]) -> Self {
        let (rise, first, last) = (y[1] - y[0], d[0] * h, d[1] * h);
        let bend = first + last - rise * 2.0;
        Self([y[0], first, rise - first - bend, bend])
    }
    /// Value, and slope to the fraction `t`.
    #[inline]
    pub fn at(&self, t: f64) -> (S, S) {
        let [c0, c1, c2, c3] = self.0;
        let value = c0 + (c1 + (c2 + c3 * t) * t) * t;
        (value, c1 + (c2 * 2.0 + c3 * (3.0 * t)) * t)
    }
}

/// A cubic between two nodes by their values and slopes.
#[derive(Clone, Copy)]
pub(crate) struct Piece {
    pub x: [f64; 2],
    pub y: [f64; 2],
    pub d: [f64; 2],
}

impl Piece {
    /// The piece between the nodes `i` and `i + 1`.
    pub fn between(x: &[f64], y: &[f64], i: usize) -> Self {
        let secant = |k: usize| (y[k + 1] - y[k]) / (x[k + 1] - x[k]);
        Self { x: [x[i], x[i + 1]], y: [y[i], y[i + 1]], d: [i, i + 1].map(|node| slope(x, secant, node)) }
    }
    /// Value and slope at `x`.
    pub fn at(&self, x: f64) -> (f64, f64) {
        let h = self.x[1] - self.x[0];
        let (value, slope) = Cubic::between(h, self.y, self.d).at((x - self.x[0]) / h);
        (value, slope / h)
    }
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

/// The lower node of the interval around `x`. Counting the inner nodes has no branch to guess wrong: for the
/// few nodes of a map it is quicker than halving.
#[inline]
pub(super) fn piece_around(nodes: &[f64], x: f64) -> usize {
    nodes[1..nodes.len() - 1].iter().map(|&node| usize::from(node <= x)).sum()
}

/// Monotone cubics through points with the same rising `x`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Curve<const K: usize> {
    x: Vec<f64>,
    y: Vec<[f64; K]>,
    d: Vec<[f64; K]>,
    /// Above each node but the last: one over the width, and the cubics.
    spans: Vec<(f64, [Cubic; K])>,
}

impl<const K: usize> Curve<K> {
    pub fn new(x: Vec<f64>, y: Vec<[f64; K]>) -> Self {
        let secant = |j: usize, k: usize| (y[j + 1][k] - y[j][k]) / (x[j + 1] - x[j]);
        let slopes = |i| core::array::from_fn(|k| slope(&x, |j| secant(j, k), i));
        let d: Vec<[f64; K]> = (0..x.len()).map(slopes).collect();
        let mut curve = Self { x, y, d, spans: Vec::new() };
        curve.spans = (0..curve.x.len() - 1)
            .map(|i| {
                let h = curve.x[i + 1] - curve.x[i];
                let cubic = |k| {
                    let Piece { y, d, .. } = curve.piece(i, k);
                    Cubic::between(h, y, d)
                };
                (1.0 / h, core::array::from_fn(cubic))
            })
            .collect();
        curve
    }
    /// Values at `x`, which the caller keeps between the ends.
    pub fn at(&self, x: f64) -> [f64; K] {
        self.with_slopes(x).map(|(value, _)| value)
    }
    /// Values and slopes at `x`, of the first `M` curves.
    #[inline]
    pub fn with_slopes<const M: usize>(&self, x: f64) -> [(f64, f64); M] {
        let i = self.index(x);
        let (inverse, cubics) = &self.spans[i];
        let t = (x - self.x[i]) * inverse;
        let mut found = [(0.0, 0.0); M];
        for (found, cubic) in found.iter_mut().zip(cubics) {
            let (value, slope) = cubic.at(t);
            *found = (value, slope * inverse);
        }
        found
    }
    /// The lower node of the piece around `x`.
    #[inline]
    pub fn index(&self, x: f64) -> usize {
        piece_around(&self.x, x)
    }
    /// The piece of curve `k` above node `i`.
    pub fn piece(&self, i: usize, k: usize) -> Piece {
        Piece {
            x: [self.x[i], self.x[i + 1]],
            y: [self.y[i][k], self.y[i + 1][k]],
            d: [self.d[i][k], self.d[i + 1][k]],
        }
    }
    /// The values at the nodes.
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
