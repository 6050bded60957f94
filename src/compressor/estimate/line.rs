//! A speed line from surge to choke.

use super::model::{Ends, Model, Point};
use super::stage::Turning;

/// Points of a line before its choke end, and below it at the same flow.
pub(super) const ALONG: usize = 14;
pub(super) const BELOW: usize = 3;
/// A choked line is drawn down to this share of its best efficiency: the flow stays, the shocks behind the throat
/// grow, and the pressure falls.
const LOWEST_SHARE: f64 = 0.6;

/// The nodes of one speed line.
pub(super) struct Line {
    pub ends: Ends,
    pub points: [Point; ALONG + BELOW],
    pub count: usize,
    /// Efficiency at the bottom of the choke end.
    pub lowest: f64,
}

impl Line {
    pub fn points(&self) -> &[Point] {
        &self.points[..self.count]
    }
}

/// The flow of a node along the line: they stand closer towards choke, where the line bends.
pub(super) fn flow_at(ends: &Ends, node: usize) -> f64 {
    let left = 1.0 - node as f64 / (ALONG - 1) as f64;
    ends.choke - (ends.choke - ends.surge) * left.powf(1.7)
}

/// The line of a turning wheel; `None` where it has no stable flow.
pub(super) fn line(model: &Model, turning: &Turning) -> Option<Line> {
    let ends = model.ends(turning)?;
    let first = model.at(turning, ends.surge)?;
    let mut points = [first; ALONG + BELOW];
    let mut best = first.efficiency;
    for (node, point) in points.iter_mut().enumerate().take(ALONG).skip(1) {
        *point = model.at(turning, flow_at(&ends, node))?;
        best = best.max(point.efficiency);
    }
    let last = points[ALONG - 1];
    let lowest = LOWEST_SHARE * best;
    if last.efficiency <= 1.02 * lowest {
        return Some(Line { ends, points, count: ALONG, lowest });
    }
    for (step, point) in points[ALONG..].iter_mut().enumerate() {
        let share = (step + 1) as f64 / BELOW as f64;
        let efficiency = last.efficiency + (lowest - last.efficiency) * share;
        *point = model.of(last.flow, last.work, efficiency)?;
    }
    Some(Line { ends, points, count: ALONG + BELOW, lowest })
}
