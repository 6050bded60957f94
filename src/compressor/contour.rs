//! Lines of equal efficiency on a map.
//!
//! They are found in the map's own coordinates, position along the speed lines and corrected speed, where
//! the map is a rectangle: so a line never leaves it, and ends only at its edge.

use super::{CompressorMap, LinePoint};
use crate::quantity::*;
use crate::solve::root;
use std::collections::BTreeMap;

/// The steps of the grid along a speed line, and from one speed line to the next.
const ALONG: usize = 48;
const BETWEEN: usize = 6;

/// A side of a cell of the grid, by the node where it starts.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Side {
    /// Along a speed, from (column, row) to the next column.
    Along(usize, usize),
    /// Across the speeds, from (column, row) to the next row.
    Across(usize, usize),
}

impl CompressorMap {
    /// The lines on which the interpolated efficiency has a value, each as points in order; a closed line
    /// ends with its first point. Every point given has the value; between them the line is straight.
    ///
    /// Empty where the map nowhere has this efficiency.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// # let file = concat!(env!("CARGO_MANIFEST_DIR"), "/data/demo/map-b.csv");
    /// let map = CompressorMap::from_csv(file).map_err(|problems| problems.to_string())?;
    /// let line = &map.contours(Efficiency::new(0.76)?)[0];
    /// assert_eq!(line.first(), line.last()); // closed around the best point
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn contours(&self, efficiency: Efficiency) -> Vec<Vec<LinePoint>> {
        let level = efficiency.si();
        let speeds: Vec<f64> = self.rows();
        let at = |n: f64, s: f64| self.state(n, s)[2];
        let node = |i: usize, j: usize| at(speeds[j], column(i));
        let above: Vec<Vec<bool>> =
            (0..=ALONG).map(|i| (0..speeds.len()).map(|j| node(i, j) >= level).collect()).collect();
        let mut links: BTreeMap<Side, Vec<Side>> = BTreeMap::new();
        for (i, j) in (0..ALONG).flat_map(|i| (1..speeds.len()).map(move |j| (i, j - 1))) {
            let [low, right, far, left] =
                [above[i][j], above[i + 1][j], above[i + 1][j + 1], above[i][j + 1]];
            let sides =
                [Side::Along(i, j), Side::Across(i + 1, j), Side::Along(i, j + 1), Side::Across(i, j)];
            let crossed = [low != right, right != far, far != left, left != low];
            let mut met: Vec<Side> =
                sides.into_iter().zip(crossed).filter_map(|(s, c)| c.then_some(s)).collect();
            // At a saddle the middle of the cell says which corners belong together.
            if met.len() == 4 {
                let middle = at(0.5 * (speeds[j] + speeds[j + 1]), 0.5 * (column(i) + column(i + 1)));
                if (middle >= level) != low {
                    met.rotate_left(1);
                }
            }
            for pair in met.chunks_exact(2) {
                links.entry(pair[0]).or_default().push(pair[1]);
                links.entry(pair[1]).or_default().push(pair[0]);
            }
        }
        let point = |side: &Side| match *side {
            Side::Along(i, j) => {
                let n = speeds[j];
                let over = |s: f64| at(n, s) - level;
                let s = root(over, [column(i), column(i + 1)], 1e-12).ok()?;
                self.on_line(CorrectedSpeed::from_si_unchecked(n), Fraction::from_si_unchecked(s))
            }
            Side::Across(i, j) => {
                let over = |n: f64| at(n, column(i)) - level;
                let n = root(over, [speeds[j], speeds[j + 1]], 1e-12 * speeds[j + 1]).ok()?;
                self.on_line(CorrectedSpeed::from_si_unchecked(n), Fraction::from_si_unchecked(column(i)))
            }
        };
        chains(links).iter().map(|chain| chain.iter().filter_map(point).collect()).collect()
    }

    /// The speeds of the grid: those of the lines and some between.
    fn rows(&self) -> Vec<f64> {
        let lines: Vec<f64> = self.speeds().map(Quantity::si).collect();
        let between = |pair: &[f64]| {
            let [from, to] = [pair[0], pair[1]];
            (0..BETWEEN).map(move |k| from + (to - from) * k as f64 / BETWEEN as f64)
        };
        lines.windows(2).flat_map(between).chain(lines.last().copied()).collect()
    }
}

fn column(i: usize) -> f64 {
    i as f64 / ALONG as f64
}

/// Sides linked in pairs, put in a row: first the open lines, each from an end, then the closed ones.
fn chains(mut links: BTreeMap<Side, Vec<Side>>) -> Vec<Vec<Side>> {
    let mut chains = Vec::new();
    for most in [1, 2] {
        while let Some(start) = links.iter().find(|(_, to)| to.len() <= most).map(|(side, _)| *side) {
            let mut chain = vec![start];
            let mut at = start;
            while let Some(next) = links.get_mut(&at).and_then(Vec::pop) {
                if let Some(back) = links.get_mut(&next) {
                    back.retain(|side| *side != at);
                }
                chain.push(next);
                at = next;
            }
            links.retain(|_, to| !to.is_empty());
            chains.push(chain);
        }
    }
    chains
}
