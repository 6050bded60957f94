//! Ends of speed lines that the other lines contradict: along its own line an end has neighbours on one side only, and a digit
//! misread there goes unseen.
//!
//! Flow and rise of the surge ends and of the choke ends are smooth over speed. Each is left out once and told by the other lines:
//! ln y = a + b ln N + f, with f a once integrated random walk, whose least-squares prediction is that of a smoothing spline
//! [wahba-1990]; its variance knows how far a lowest or highest line lies from the rest.

use super::misread::apart;
use super::{Conflict, PrintedPoint};
use crate::quantity::*;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn, Matrix2, Vector2};

/// The fewest lines among which one is judged.
const FEWEST: usize = 5;
/// What the ends of a line are read and drawn to, by judgement: flow, pressure ratio.
const READ_FLOW: f64 = 0.01;
const READ_RATIO: f64 = 0.005;
/// Where a line is stopped on its way down into choke is its author's choice, by judgement: of ln of the rise.
const STOPPED: f64 = 0.09;
/// How much ln of a flow and ln of a rise bend over ln of the speed, as the walk's standard deviation over one of it. By judgement:
/// on sound maps with five lines and more nothing is named up to half of it.
const FLOW_BENDS: f64 = 1.0;
const RISE_BENDS: f64 = 0.5;
const CHOKED_RISE_BENDS: f64 = 1.0;
/// The least rise whose logarithm is taken.
const LEAST_RISE: f64 = 1e-3;

type Lines = Vec<(CorrectedSpeed, Vec<PrintedPoint>)>;

/// An end of a speed line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineEnd {
    /// Where it surges.
    Surge,
    /// Where it chokes.
    Choke,
}

impl LineEnd {
    /// The end in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Surge => "surge end",
            Self::Choke => "choke end",
        }
    }
}

/// A value over ln of the speed, with the standard deviation that it is read to.
#[derive(Clone, Copy, Debug)]
struct At {
    line: usize,
    x: f64,
    y: f64,
    sigma: f64,
}

/// What the others say of one, and its standard deviation with its own.
#[derive(Clone, Copy, Debug)]
struct Said {
    y: f64,
    sigma: f64,
}

/// The best linear prediction at `x` from the others; nothing where they are no two speeds.
fn said(others: &[At], x: f64, sigma: f64, bends: f64) -> Option<Said> {
    let origin = others.iter().fold(x, |least, at| least.min(at.x));
    let walk = |a: f64, b: f64| {
        let (a, b) = (a - origin, b - origin);
        let m = a.min(b);
        bends * bends * (a * b * m - (a + b) * m * m / 2.0 + m.powi(3) / 3.0)
    };
    let n = others.len();
    let covariance = DMatrix::from_fn(n, n, |i, j| {
        walk(others[i].x, others[j].x) + if i == j { others[i].sigma.powi(2) } else { 0.0 }
    });
    let factor: Cholesky<f64, Dyn> = Cholesky::new(covariance)?;
    let trend = DMatrix::from_fn(n, 2, |i, j| if j == 0 { 1.0 } else { others[i].x - origin });
    let y = DVector::from_fn(n, |i, _| others[i].y);
    let to = DVector::from_fn(n, |i, _| walk(others[i].x, x));
    let (weighed, shares) = (factor.solve(&trend), factor.solve(&to));
    let normal = trend.tr_mul(&weighed);
    let normal =
        Matrix2::new(normal[(0, 0)], normal[(0, 1)], normal[(1, 0)], normal[(1, 1)]).try_inverse()?;
    let sum = weighed.tr_mul(&y);
    let line = normal * Vector2::new(sum[0], sum[1]);
    let here = Vector2::new(1.0, x - origin);
    let found = here.dot(&line) + shares.dot(&(y - &trend * DVector::from_vec(vec![line[0], line[1]])));
    let missed = trend.tr_mul(&shares);
    let missed = here - Vector2::new(missed[0], missed[1]);
    let variance = walk(x, x) - shares.dot(&to) + missed.dot(&(normal * missed)) + sigma * sigma;
    (found.is_finite() && variance > 0.0).then(|| Said { y: found, sigma: variance.sqrt() })
}

/// Each value that is left less what the others say of it, in standard deviations, by its place.
fn deviations(values: &[At], out: &[bool], bends: f64) -> Vec<(usize, f64)> {
    let left: Vec<usize> = (0..values.len()).filter(|&i| !out[i]).collect();
    let one = |&own: &usize| {
        let others: Vec<At> = left.iter().filter(|&&i| i != own).map(|&i| values[i]).collect();
        let At { x, y, sigma, .. } = values[own];
        Some((own, said(&others, x, sigma, bends).map(|said| (y - said.y) / said.sigma)?))
    };
    left.iter().filter_map(one).collect()
}

/// The values that the others contradict by more than the file's own scatter says, each with what they say.
fn contradicted(values: &[At], bends: f64) -> Vec<(usize, Said)> {
    let mut out = vec![false; values.len()];
    let mut named = Vec::new();
    while values.len() - named.len() >= FEWEST {
        let off = deviations(values, &out, bends);
        let without = |index: usize| {
            let mut out = out.clone();
            out[index] = true;
            deviations(values, &out, bends)
        };
        let Some(index) = apart(&off, without) else { break };
        out[index] = true;
        let others: Vec<At> = values.iter().zip(&out).filter(|(_, out)| !**out).map(|(at, _)| *at).collect();
        named.extend(said(&others, values[index].x, values[index].sigma, bends).map(|said| (index, said)));
        if named.last().is_none_or(|(last, _)| *last != index) {
            break;
        }
    }
    named
}

/// The ends of speed lines that the other lines contradict.
pub(super) fn across(lines: &[(CorrectedSpeed, Vec<PrintedPoint>)]) -> Vec<Conflict> {
    let mut conflicts: Vec<Conflict> = Vec::new();
    for end in [LineEnd::Surge, LineEnd::Choke] {
        let point = |line: usize| {
            let points = &lines[line].1;
            points[if end == LineEnd::Surge { 0 } else { points.len() - 1 }]
        };
        let at = |of: fn(PrintedPoint, LineEnd) -> [f64; 2]| -> Vec<At> {
            let value = |line: usize| {
                let [y, sigma] = of(point(line), end);
                At { line, x: lines[line].0.si().ln(), y, sigma }
            };
            (0..lines.len()).map(value).collect()
        };
        let flows = at(|point, _| [point.flow.si().ln(), READ_FLOW]);
        let rises = at(|point, end| {
            let rise = (point.ratio.si() - 1.0).max(LEAST_RISE);
            let read = READ_RATIO * point.ratio.si() / rise;
            [rise.ln(), if end == LineEnd::Choke { read.hypot(STOPPED) } else { read }]
        });
        let bends = if end == LineEnd::Surge { RISE_BENDS } else { CHOKED_RISE_BENDS };
        let mut name = |line: usize, told: PrintedPoint, said: &Said, y: f64| {
            let (speed, point) = (lines[line].0, point(line));
            let deviations = (y - said.y) / said.sigma;
            conflicts.push(Conflict::OffAcross { speed, end, point, told, deviations });
        };
        for (index, said) in contradicted(&flows, FLOW_BENDS) {
            let line = flows[index].line;
            let told =
                PrintedPoint { flow: CorrectedMassFlow::from_si_unchecked(said.y.exp()), ..point(line) };
            name(line, told, &said, flows[index].y);
        }
        for (index, said) in contradicted(&rises, bends) {
            let line = rises[index].line;
            let told =
                PrintedPoint { ratio: PressureRatio::from_si_unchecked(1.0 + said.y.exp()), ..point(line) };
            name(line, told, &said, rises[index].y);
        }
    }
    conflicts
}

/// The lines with what the others say in the place of the ends that they contradict, and which points those are. Without its
/// end a line would begin or stop elsewhere than the lines beside it, and cross them.
pub(super) fn mended(
    lines: &[(CorrectedSpeed, Vec<PrintedPoint>)],
    named: &[Conflict],
) -> (Lines, Vec<Vec<bool>>) {
    let mut lines = lines.to_vec();
    let mut which: Vec<Vec<bool>> = lines.iter().map(|(_, points)| vec![false; points.len()]).collect();
    for conflict in named {
        let Conflict::OffAcross { speed, end, point, told, .. } = conflict else { continue };
        if let Some(line) = lines.iter().position(|(own, _)| own == speed) {
            let index = if *end == LineEnd::Surge { 0 } else { which[line].len() - 1 };
            let own = &mut lines[line].1[index];
            if told.flow == point.flow {
                own.ratio = told.ratio;
            } else {
                own.flow = told.flow;
            }
            which[line][index] = true;
        }
    }
    (lines, which)
}

#[cfg(test)]
mod tests {
    use super::*;

    // By hand: without bending, the straight line through (0, 1) and (1, 3) says 5 at 2, with the variance of the extrapolation
    // (1 + 4) sigma^2 and the value's own: 6 sigma^2.
    #[test]
    fn a_straight_line_is_continued() {
        let at = |x: f64, y: f64| At { line: 0, x, y, sigma: 0.1 };
        let found = said(&[at(0.0, 1.0), at(1.0, 3.0)], 2.0, 0.1, 0.0).unwrap();
        assert!(
            (found.y - 5.0).abs() < 1e-9 && (found.sigma - 0.1 * 6.0_f64.sqrt()).abs() < 1e-9,
            "{found:?}"
        );
    }

    // By hand, for exact values at 0 and 1 and a walk of one: between them the interpolation is the straight line, and at the
    // middle the walk leaves a variance of 1/48 (the integrated Wiener process pinned at both ends has x^2 (1 - x)^2/3 there).
    #[test]
    fn between_two_lines_the_walk_is_pinned() {
        let at = |x: f64, y: f64| At { line: 0, x, y, sigma: 1e-7 };
        let found = said(&[at(0.0, 1.0), at(1.0, 3.0)], 0.5, 0.0, 1.0).unwrap();
        assert!((found.y - 2.0).abs() < 1e-6 && (found.sigma.powi(2) - 1.0 / 48.0).abs() < 1e-6, "{found:?}");
    }
}
