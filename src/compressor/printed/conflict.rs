//! What contradicts what on a printed map, and among readings.

use super::{ContourResidual, LineEnd, LineResidual, PrintedMap, PrintedPoint, SurgeResidual};
use crate::compressor::{LinePoint, MapEdge};
use crate::quantity::*;

/// A contradiction between the parts of a map.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Conflict {
    /// A contour point that lies on no speed line and between none; it is left out of the fit.
    OutsideLines {
        /// The point with its efficiency.
        point: LinePoint,
        /// The edge it lies beyond.
        edge: MapEdge,
        /// The line of the file where it stands.
        row: Option<usize>,
    },
    /// Two contours of different efficiency cross.
    ContoursCross {
        /// The lower efficiency.
        low: Efficiency,
        /// The higher one.
        high: Efficiency,
        /// Where they cross; the line of the file is that of a point of the first before it.
        at: PrintedPoint,
    },
    /// An efficiency that lies beyond three robust standard deviations from the fit.
    FarOff {
        /// The point and what is left of it.
        residual: ContourResidual,
        /// The robust standard deviation of all, with what the reading of flow and ratio leaves open here.
        sigma: f64,
    },
    /// A reading that lies beyond three robust standard deviations from its smoothed line; it has no say in it.
    OffLine {
        /// The reading and what is left of it.
        residual: LineResidual,
        /// The robust standard deviation, relative: of flow beside a steep part of a line, else of pressure ratio.
        sigma: f64,
    },
    /// An end of a speed line that does not lie with the ends of the other lines; what they say stands in its place.
    OffAcross {
        /// The line's speed.
        speed: CorrectedSpeed,
        /// Which end.
        end: LineEnd,
        /// The end as given.
        point: PrintedPoint,
        /// The same with the flow, or the pressure ratio, that the other lines say.
        told: PrintedPoint,
        /// How far off it is, in standard deviations, with sign.
        deviations: f64,
    },
    /// A point of a speed line left of the printed surge line; it is left out of the map.
    LeftOfSurge {
        /// The line's speed.
        speed: CorrectedSpeed,
        /// The point.
        point: PrintedPoint,
        /// Flow of the surge line at its pressure ratio.
        surge_flow: CorrectedMassFlow,
    },
    /// A row of the printed surge line that its neighbours contradict; it is left out.
    SurgeRow {
        /// The row.
        point: PrintedPoint,
        /// What the rest of the line says at its pressure ratio; nothing beyond its ends.
        told: Option<CorrectedMassFlow>,
    },
    /// A row of the printed surge line that no speed line comes near.
    SurgeAway {
        /// The row and what is left of it.
        residual: SurgeResidual,
    },
}

impl Conflict {
    /// The line of the file where the point stands, if it was read from one.
    pub fn row(&self) -> Option<usize> {
        match self {
            Self::OutsideLines { row, .. } => *row,
            Self::ContoursCross { at: point, .. }
            | Self::LeftOfSurge { point, .. }
            | Self::OffAcross { point, .. }
            | Self::SurgeRow { point, .. } => point.row,
            Self::FarOff { residual, .. } => residual.row,
            Self::OffLine { residual, .. } => residual.row,
            Self::SurgeAway { residual } => residual.point.row,
        }
    }
    /// How far off it is, in standard deviations where it has one; what is read wrong about lines comes before what that
    /// makes of the contours.
    pub(super) fn order(&self) -> (u8, f64) {
        match self {
            Self::OffLine { residual, sigma } => (0, residual.flow_off.hypot(residual.ratio_off) / sigma),
            Self::OffAcross { deviations, .. } => (0, deviations.abs()),
            Self::SurgeRow { .. } | Self::SurgeAway { .. } => (1, 0.0),
            Self::LeftOfSurge { point, surge_flow, .. } => (2, *surge_flow / point.flow),
            Self::ContoursCross { .. } => (3, 0.0),
            Self::OutsideLines { .. } => (4, 0.0),
            Self::FarOff { residual, sigma } => (5, residual.off.abs() / sigma),
        }
    }
}

impl core::fmt::Display for Conflict {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::OutsideLines { point, edge, .. } => write!(
                f,
                "the contour point of {:.1} % at {} and pressure ratio {} is {}",
                point.efficiency.percent(),
                point.flow,
                point.ratio,
                edge.words()
            ),
            Self::ContoursCross { low, high, at } => write!(
                f,
                "the contours of {:.1} % and {:.1} % cross near {} and pressure ratio {}",
                low.percent(),
                high.percent(),
                at.flow,
                at.ratio
            ),
            Self::FarOff { residual, sigma } => write!(
                f,
                "the efficiency {:.1} % at {} and pressure ratio {} is {:+.2} points from the fit, {:.1} standard deviations",
                residual.efficiency.percent(),
                residual.flow,
                residual.ratio,
                100.0 * residual.off,
                residual.off.abs() / sigma
            ),
            Self::OffLine { residual, sigma } => write!(
                f,
                "the speed line point {} at pressure ratio {} is {:+.1} % of flow and {:+.1} % of pressure ratio from the line of {}, {:.1} standard deviations",
                residual.flow,
                residual.ratio,
                100.0 * residual.flow_off,
                100.0 * residual.ratio_off,
                residual.speed,
                residual.flow_off.hypot(residual.ratio_off) / sigma
            ),
            Self::OffAcross { speed, end, point, told, deviations } => {
                let end = end.words();
                let (flow, ratio) = (point.flow, point.ratio);
                write!(
                    f,
                    "the {end} of speed line {speed}, {flow} at pressure ratio {ratio}, does not lie with the "
                )?;
                let off = deviations.abs();
                if told.flow == flow {
                    write!(
                        f,
                        "{end}s of the other lines, which say a pressure ratio of {:.3}, ",
                        told.ratio.si()
                    )?;
                } else {
                    let more = 100.0 * (flow / told.flow - 1.0);
                    write!(f, "{end}s of the other lines, which say {} there ({more:+.0} %), ", told.flow)?;
                }
                write!(f, "{off:.1} standard deviations")
            }
            Self::LeftOfSurge { speed, point, surge_flow } => write!(
                f,
                "the point of line {speed} at {} and pressure ratio {} is left of the surge line, which has {surge_flow} there",
                point.flow, point.ratio
            ),
            Self::SurgeRow { point: PrintedPoint { flow, ratio, .. }, told } => {
                write!(
                    f,
                    "the surge line row {flow} at pressure ratio {ratio} does not lie with the others"
                )?;
                told.map_or(Ok(()), |told| {
                    write!(f, ", which say {told} there ({:+.0} %)", 100.0 * (*flow / told - 1.0))
                })
            }
            Self::SurgeAway { residual: SurgeResidual { point, off } } => write!(
                f,
                "the surge line row {} at pressure ratio {} lies {:+.0} % of flow off the surge ends of the speed lines",
                point.flow,
                point.ratio,
                100.0 * off
            ),
        }
    }
}

/// How far left of the surge line a point may be drawn, relative.
const SURGE_SLACK: f64 = 0.01;

/// Flow of a surge line at a pressure ratio, by straight lines between its points; nothing beyond its ends.
pub(super) fn surge_flow(line: &[PrintedPoint], ratio: f64) -> Option<f64> {
    line.windows(2).find_map(|pair| {
        let [(w0, p0), (w1, p1)] = [0, 1].map(|i| (pair[i].flow.si(), pair[i].ratio.si()));
        let share = (ratio - p0) / (p1 - p0);
        (0.0..=1.0).contains(&share).then_some(w0 + (w1 - w0) * share)
    })
}

/// The points of speed lines that the surge line cuts off.
pub(super) fn left_of_surge(
    lines: &[(CorrectedSpeed, Vec<PrintedPoint>)],
    surge: &[PrintedPoint],
) -> Vec<Conflict> {
    let mut found = Vec::new();
    for (speed, points) in lines {
        for &point in points {
            if let Some(surge) = surge_flow(surge, point.ratio.si())
                && point.flow.si() < surge * (1.0 - SURGE_SLACK)
            {
                let surge_flow = CorrectedMassFlow::from_si_unchecked(surge);
                found.push(Conflict::LeftOfSurge { speed: *speed, point, surge_flow });
            }
        }
    }
    found
}

/// Where contours of different efficiency cross, once for each pair of runs.
pub(super) fn crossings(map: &PrintedMap) -> Vec<Conflict> {
    let mut found = Vec::new();
    for (i, (level, run)) in map.contours.iter().enumerate() {
        for (other, against) in map.contours[i + 1..].iter().filter(|(other, _)| other != level) {
            let pairs = run.windows(2).flat_map(|a| against.windows(2).map(move |b| (a, b)));
            if let Some(at) = pairs.filter_map(|(a, b)| meet(a, b)).next() {
                let (low, high) = if level < other { (*level, *other) } else { (*other, *level) };
                found.push(Conflict::ContoursCross { low, high, at });
            }
        }
    }
    found
}

/// Where two pieces of straight line cross.
fn meet(a: &[PrintedPoint], b: &[PrintedPoint]) -> Option<PrintedPoint> {
    let at = |p: &PrintedPoint| [p.flow.si(), p.ratio.si()];
    let less = |p: [f64; 2], q: [f64; 2]| [p[0] - q[0], p[1] - q[1]];
    let across = |p: [f64; 2], q: [f64; 2]| p[0] * q[1] - p[1] * q[0];
    let [p, q] = [at(&a[0]), at(&b[0])];
    let (along, other, apart) = (less(at(&a[1]), p), less(at(&b[1]), q), less(q, p));
    let turn = across(along, other);
    let (t, u) = (across(apart, other) / turn, across(apart, along) / turn);
    let inside = (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u);
    inside.then(|| PrintedPoint {
        flow: CorrectedMassFlow::from_si_unchecked(p[0] + t * along[0]),
        ratio: PressureRatio::from_si_unchecked(p[1] + t * along[1]),
        row: a[0].row,
    })
}
