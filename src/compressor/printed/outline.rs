//! Speed lines smoothed as curves in the plane of flow and pressure ratio.
//!
//! Both are functions of the position along the line, so that a choked line stays vertical and a flat one near
//! surge single-valued; the flow never falls. The positions are those of the nearest points of the curve.

use super::spline::{Basis, Normal, Row};
use nalgebra::DMatrix;

/// A speed line as given: flow and pressure ratio, from surge to choke.
pub(super) type Given = Vec<[f64; 2]>;

/// A smoothed speed line, in fractions of its greatest flow and ratio.
#[derive(Clone, Debug)]
pub(super) struct Outline {
    basis: Basis,
    flow: Vec<f64>,
    ratio: Vec<f64>,
    scale: [f64; 2],
    /// Where the given points stand along it.
    pub places: Vec<f64>,
    /// What say each of them has.
    weights: Vec<f64>,
    /// How many readings each coordinate is free to take up.
    pub freedom: f64,
}

/// How often places and curves are brought to agree.
const ROUNDS: usize = 3;
/// The bending penalties tried, one for all lines.
const SMOOTHINGS: [f64; 7] = [1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 1e-1];
/// How finely a curve is walked to find its nearest points.
const WALK: usize = 400;

/// Places by the lengths between points that stand in their order; one that is out stands with the one before it.
pub(super) fn chords(line: &Given, out: &[bool]) -> Vec<f64> {
    let heeded = || line.iter().zip(out).filter(|(_, out)| !**out).map(|(point, _)| point);
    let scale = scale(heeded());
    let (mut length, mut before) = (Vec::new(), heeded().next());
    let mut whole = 0.0;
    for (point, out) in line.iter().zip(out) {
        if let (Some(from), false) = (before, *out) {
            let [across, down] = [0, 1].map(|k| (point[k] - from[k]) / scale[k]);
            whole += across.hypot(down);
            before = Some(point);
        }
        length.push(whole);
    }
    length.iter().map(|l| l / whole).collect()
}

/// Greatest flow and greatest pressure ratio.
pub(super) fn scale<'a>(points: impl IntoIterator<Item = &'a [f64; 2]>) -> [f64; 2] {
    points.into_iter().fold([0.0; 2], |most, point| [most[0].max(point[0]), most[1].max(point[1])])
}

/// Smooths all lines with one penalty, each from the places and the weights of its points; `cost` is that of a freedom.
/// Nothing where a line has no solution.
pub(super) fn outlines(
    lines: &[Given],
    starts: Vec<(Vec<f64>, Vec<f64>)>,
    cost: f64,
) -> Option<Vec<Outline>> {
    let new = |(line, (places, weights)): (&Given, (Vec<f64>, Vec<f64>))| {
        let basis = Basis { spans: (line.len() - 1).clamp(4, 14) };
        let heeded = line.iter().zip(&weights).filter(|(_, weight)| **weight > 0.0);
        let scale = scale(heeded.map(|(point, _)| point));
        Outline { basis, flow: Vec::new(), ratio: Vec::new(), scale, places, weights, freedom: 0.0 }
    };
    let mut found: Vec<Outline> = lines.iter().zip(starts).map(new).collect();
    for _ in 0..ROUNDS {
        let score = |smoothing: f64| -> Option<f64> {
            found.iter().zip(lines).map(|(outline, line)| outline.score(line, smoothing, cost)).sum()
        };
        let scores = SMOOTHINGS.map(|smoothing| score(smoothing).unwrap_or(f64::INFINITY));
        let best = (0..SMOOTHINGS.len()).min_by(|&a, &b| scores[a].total_cmp(&scores[b]))?;
        for (outline, line) in found.iter_mut().zip(lines) {
            outline.fit(line, SMOOTHINGS[best])?;
            outline.place(line);
        }
    }
    Some(found)
}

impl Outline {
    fn rows(&self, line: &Given, k: usize) -> Vec<Row> {
        let row = |((&place, &weight), point): ((&f64, &f64), &[f64; 2])| {
            let (first, weights) = self.basis.at(place);
            let terms = weights.iter().enumerate().map(|(j, &term)| (first + j, term)).collect();
            Row { terms, value: point[k] / self.scale[k], weight }
        };
        self.places.iter().zip(&self.weights).zip(line).map(row).collect()
    }

    fn penalty(&self, smoothing: f64) -> DMatrix<f64> {
        self.basis.penalty(3) * smoothing
    }

    /// The score of a penalty, both coordinates together.
    fn score(&self, line: &Given, smoothing: f64, cost: f64) -> Option<f64> {
        [0, 1]
            .map(|k| {
                let rows = self.rows(line, k);
                Normal::of(&rows, self.basis.count()).score(&rows, &self.penalty(smoothing), cost)
            })
            .into_iter()
            .sum()
    }

    fn fit(&mut self, line: &Given, smoothing: f64) -> Option<()> {
        let penalty = self.penalty(smoothing);
        let solved = |k: usize, penalty: &DMatrix<f64>| {
            Normal::of(&self.rows(line, k), self.basis.count()).solved(penalty)
        };
        let ratio = solved(1, &penalty)?;
        let freedom = Normal::of(&self.rows(line, 1), self.basis.count()).freedom(&penalty)?;
        // Where the flow would fall, a heavy penalty on that fall, until none is left.
        let mut held = penalty.clone();
        let mut flow = solved(0, &held)?;
        for _ in 0..self.basis.count() {
            let falls: Vec<usize> = (1..flow.len()).filter(|&i| flow[i] < flow[i - 1] - 1e-9).collect();
            if falls.is_empty() {
                break;
            }
            for i in falls {
                for (a, b, sign) in [(i, i, 1.0), (i - 1, i - 1, 1.0), (i, i - 1, -1.0), (i - 1, i, -1.0)] {
                    held[(a, b)] += sign * 1e4;
                }
            }
            flow = solved(0, &held)?;
        }
        (self.flow, self.ratio, self.freedom) = (flow, ratio, freedom);
        Some(())
    }

    /// Moves the places to the nearest points of the curve.
    fn place(&mut self, line: &Given) {
        let at = |s: f64| self.at(s);
        let walk: Vec<(f64, [f64; 2])> =
            (0..=WALK).map(|i| i as f64 / WALK as f64).map(|s| (s, at(s))).collect();
        let nearest = |point: &[f64; 2]| {
            let on = |pair: &[(f64, [f64; 2])]| {
                let part = |k: usize, from: [f64; 2], to: [f64; 2]| (to[k] - from[k]) / self.scale[k];
                let (a, b) = (pair[0].1, pair[1].1);
                let along = [part(0, a, b), part(1, a, b)];
                let to = [part(0, a, *point), part(1, a, *point)];
                let long = along[0] * along[0] + along[1] * along[1];
                let share = if long > 0.0 {
                    ((along[0] * to[0] + along[1] * to[1]) / long).clamp(0.0, 1.0)
                } else {
                    0.0
                };
                let off = (to[0] - share * along[0]).hypot(to[1] - share * along[1]);
                (off, pair[0].0 + share * (pair[1].0 - pair[0].0))
            };
            walk.windows(2).map(on).min_by(|a, b| a.0.total_cmp(&b.0)).map_or(0.0, |found| found.1)
        };
        self.places = line.iter().map(nearest).collect();
    }

    /// Flow and pressure ratio at a position.
    pub fn at(&self, s: f64) -> [f64; 2] {
        [self.basis.sum(&self.flow, s) * self.scale[0], self.basis.sum(&self.ratio, s) * self.scale[1]]
    }

    /// The curve as points for a map: both ends, the places of the given points, and enough between them. The
    /// flow rises, or stays while the ratio falls.
    pub fn points(&self) -> Given {
        const WIDEST: f64 = 1.0 / 12.0;
        const CLOSEST: f64 = 1e-3;
        let mut nodes = self.places.clone();
        nodes.extend([0.0, 1.0]);
        nodes.sort_by(f64::total_cmp);
        let mut places = vec![0.0];
        for node in nodes {
            let last = places[places.len() - 1];
            if node - last > CLOSEST {
                let parts = ((node - last) / WIDEST).ceil();
                places.extend((1..=parts as usize).map(|i| last + (node - last) * i as f64 / parts));
            }
        }
        let mut points = Given::new();
        for [flow, ratio] in places.into_iter().map(|s| self.at(s)) {
            match points.last() {
                Some(&[before, above]) if flow <= before * (1.0 + 1e-9) => {
                    if ratio < above * (1.0 - 1e-9) {
                        points.push([before, ratio]);
                    }
                }
                _ => points.push([flow, ratio]),
            }
        }
        points
    }
}
