//! Speed lines that end right of a printed surge line, brought to it.

use super::PrintedPoint;
use crate::quantity::*;

/// The furthest that a line is extended, of the flow of its first point, by judgement.
pub(super) const FURTHEST: f64 = 0.15;
/// What lies so near to the surge line is drawn on it, of the flow.
const ON_IT: f64 = 0.01;
/// How far beyond its ends the surge line is followed, of its last piece: what ends are read to.
const SLACK: f64 = 0.02;

/// A speed line that was drawn from right of the surge line and extended to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExtendedLine {
    /// The line.
    pub speed: CorrectedSpeed,
    /// Its first point as drawn.
    pub from: PrintedPoint,
    /// Where it meets the surge line.
    pub to: PrintedPoint,
}

/// Where a line meets the surge line when its first two points are continued straight; nothing where it begins on or left
/// of it, or further right than is extended.
pub(super) fn to_surge(
    surge: &[PrintedPoint],
    speed: CorrectedSpeed,
    line: &[[f64; 2]],
) -> Option<ExtendedLine> {
    let [[w, p], [w1, p1]] = [*line.first()?, *line.get(1)?];
    let slope = (p1 - p) / (w1 - w);
    if !slope.is_finite() {
        return None;
    }
    let met = surge.windows(2).filter_map(|pair| {
        let [[wa, pa], [wb, pb]] = [0, 1].map(|i| [pair[i].flow.si(), pair[i].ratio.si()]);
        // How far the surge line lies above the continued line at both ends of its piece.
        let above = |flow: f64, ratio: f64| ratio - (p + slope * (flow - w));
        let share = above(wa, pa) / (above(wa, pa) - above(wb, pb));
        let flow = wa + (wb - wa) * share;
        ((-SLACK..=1.0 + SLACK).contains(&share)).then_some(flow)
    });
    let range = w * (1.0 - FURTHEST)..w * (1.0 - ON_IT);
    let flow = met.filter(|flow| range.contains(flow)).max_by(f64::total_cmp)?;
    let point = |flow: f64, ratio: f64| {
        let flow = CorrectedMassFlow::from_si_unchecked(flow);
        PrintedPoint::new(flow, PressureRatio::from_si_unchecked(ratio))
    };
    Some(ExtendedLine { speed, from: point(w, p), to: point(flow, p + slope * (flow - w)) })
}
