//! Lines and efficiencies brought into one map.

use super::conflict::{Conflict, crossings};
use super::drawn::Drawn;
use super::error::FEWEST;
use super::extend::ExtendedLine;
use super::misread::READ_TO;
use super::outline::{Given, Outline};
use super::surge;
use super::work::{Ideal, LEAST_SIGMA, Sample, Work, spread};
use super::{ContourResidual, FitError, FittedMap, LineResidual, PrintedMap, PrintedPoint};
use crate::compressor::{CompressorMap, LinePoint, MapPoint, OutsideMap, Reading, Reference};
use crate::formula::Surface;
use crate::quantity::*;

/// What a freedom of the fit costs, where lines and contours are read from a figure.
pub(super) const COST: f64 = 1.0;
/// Efficiencies that a map holds.
pub(super) const HELD: [f64; 2] = [0.05, 0.95];

/// The lines of a printed map, smoothed, with what is wrong with them.
pub(super) fn lines(printed: &PrintedMap) -> Result<(Fit, Vec<Conflict>), FitError> {
    let drawn = Drawn::of(printed)?;
    let fit = drawn.smoothed(printed)?;
    let mut conflicts = drawn.conflicts;
    let sizes: Vec<f64> = fit.residuals.iter().map(LineResidual::size).collect();
    let sigma = spread(&sizes, READ_TO);
    let off = fit.residuals.iter().zip(drawn.out.iter().flatten()).filter(|(_, out)| **out);
    conflicts.extend(off.map(|(&residual, _)| Conflict::OffLine { residual, sigma }));
    Ok((fit, conflicts))
}

pub(super) fn printed(printed: &PrintedMap) -> Result<FittedMap, FitError> {
    if printed.contours.is_empty() {
        return Err(FitError::NoContour);
    }
    let (fit, mut conflicts) = lines(printed)?;
    conflicts.extend(crossings(printed));
    let mut samples = Vec::new();
    for (efficiency, points) in &printed.contours {
        for point in points {
            match placed(&fit.lines, point) {
                Ok(found) => samples.push(Sample {
                    speed: found.speed.si(),
                    flow: found.flow.si(),
                    ratio: found.ratio.si(),
                    efficiency: efficiency.si(),
                    row: point.row,
                }),
                Err(outside) => {
                    let row = point.row;
                    let point = LinePoint { flow: point.flow, ratio: point.ratio, efficiency: *efficiency };
                    conflicts.push(Conflict::OutsideLines { point, edge: outside.edge, row });
                }
            }
        }
    }
    let said = ("merged from a printed map", printed.provenance.as_str());
    fit.finished(&samples, conflicts, COST, said)
}

/// The place of a contour point; one that lies beyond an edge by no more than can be read is moved onto it.
fn placed(lines: &CompressorMap, point: &PrintedPoint) -> Result<MapPoint, OutsideMap> {
    const NUDGES: [(f64, f64); 8] = [
        (0.0, -1.0),
        (0.0, 1.0),
        (-1.0, 0.0),
        (1.0, 0.0),
        (-1.0, -1.0),
        (-1.0, 1.0),
        (1.0, -1.0),
        (1.0, 1.0),
    ];
    lines.at_point(point.flow, point.ratio).or_else(|outside| {
        let moved = |(across, up): (f64, f64)| {
            let ratio = PressureRatio::from_si_unchecked(point.ratio.si() * (1.0 + up * READ_TO));
            lines.at_point(point.flow * (1.0 + across * READ_TO), ratio).ok()
        };
        NUDGES.into_iter().find_map(moved).ok_or(outside)
    })
}

/// Smoothed lines, before they have an efficiency.
pub(super) struct Fit {
    outlines: Vec<Outline>,
    residuals: Vec<LineResidual>,
    /// Lines that were brought to the surge line first.
    pub extended: Vec<ExtendedLine>,
    /// The surge line that was printed, without what is wrong with it.
    pub surge: Vec<PrintedPoint>,
    /// The smoothed lines as a map; its efficiency says nothing.
    lines: CompressorMap,
}

/// Names the line that cannot be smoothed.
pub(super) fn check(given: &[Given]) -> Result<(), FitError> {
    for (line, points) in given.iter().enumerate() {
        if points.iter().flatten().any(|value| !(value.is_finite() && *value > 0.0)) {
            return Err(FitError::Value { line });
        }
        if points.len() < 3 || points.iter().all(|point| *point == points[0]) {
            return Err(FitError::Points { line });
        }
    }
    Ok(())
}

impl Fit {
    /// Of lines that were smoothed.
    pub fn new(
        title: &str,
        reference: Reference,
        given: &[(CorrectedSpeed, Given)],
        outlines: Vec<Outline>,
        row: impl Fn(usize, usize) -> Option<usize>,
    ) -> Result<Self, FitError> {
        let blank = |[flow, ratio]: [f64; 2]| point([flow, ratio, 0.5]);
        let lines: Vec<_> = given
            .iter()
            .zip(&outlines)
            .map(|((speed, _), outline)| (*speed, outline.points().into_iter().map(blank).collect()))
            .collect();
        let lines = CompressorMap::from_lines(title, "", reference, &lines).map_err(FitError::Lines)?;
        let residuals = line_residuals(given, &outlines, row);
        Ok(Self { outlines, residuals, extended: Vec::new(), surge: Vec::new(), lines })
    }

    pub fn outlines(&self) -> &[Outline] {
        &self.outlines
    }

    pub fn finished(
        self,
        samples: &[Sample],
        mut conflicts: Vec<Conflict>,
        cost: f64,
        (how, provenance): (&str, &str),
    ) -> Result<FittedMap, FitError> {
        if samples.len() < FEWEST {
            return Err(FitError::Efficiencies { count: samples.len() });
        }
        let ideal = Ideal::new(self.lines.reference());
        let work = Work::fitted(&self.lines, &ideal, samples, cost).ok_or(FitError::Undetermined)?;
        let mut lines = Vec::new();
        for (line, (speed, points)) in self.lines.points().enumerate() {
            lines.push((speed, with_efficiency(&work, line, speed, &points)?));
        }
        let (title, reference) = (self.lines.title(), *self.lines.reference());
        let map = CompressorMap::from_lines(title, "", reference, &lines).map_err(FitError::Lines)?;
        let contours = residuals(&map, &work, samples);
        let sigma = spread(&contours.iter().map(|residual| residual.off).collect::<Vec<_>>(), LEAST_SIGMA);
        conflicts.extend(contours.iter().filter_map(|&residual| {
            let sigma = sigma.hypot(unread(&map, &residual));
            (residual.off.abs() > 3.0 * sigma).then_some(Conflict::FarOff { residual, sigma })
        }));
        self.told((map, &lines), contours, conflicts, (how, provenance))
    }

    /// The lines with their efficiency, as a map that says how it was made.
    pub fn told(
        self,
        (map, lines): (CompressorMap, &[(CorrectedSpeed, Vec<LinePoint>)]),
        contours: Vec<ContourResidual>,
        mut conflicts: Vec<Conflict>,
        (how, provenance): (&str, &str),
    ) -> Result<FittedMap, FitError> {
        let surge = surge::residuals(&self.surge, &map);
        conflicts.extend(surge::away(&surge));
        conflicts.sort_by(|a, b| {
            let ((a, off), (b, further)) = (a.order(), b.order());
            a.cmp(&b).then(further.total_cmp(&off))
        });
        let (title, reference) = (self.lines.title().to_string(), *self.lines.reference());
        let mut fitted =
            FittedMap { map, lines: self.residuals, contours, conflicts, extended: self.extended, surge };
        let provenance = format!("{how}, {}; {provenance}", fitted.summary());
        fitted.map =
            CompressorMap::from_lines(title, provenance, reference, lines).map_err(FitError::Lines)?;
        Ok(fitted)
    }

    /// The smoothed lines as a map; its efficiency says nothing.
    pub fn lines(&self) -> &CompressorMap {
        &self.lines
    }
}

/// What each outline leaves of the points of its line, in the order of the points.
pub(super) fn line_residuals(
    given: &[(CorrectedSpeed, Given)],
    outlines: &[Outline],
    row: impl Fn(usize, usize) -> Option<usize>,
) -> Vec<LineResidual> {
    let mut residuals = Vec::new();
    for (line, ((speed, points), outline)) in given.iter().zip(outlines).enumerate() {
        for (index, (&[flow, ratio], &place)) in points.iter().zip(&outline.places).enumerate() {
            let [fitted_flow, fitted_ratio] = outline.at(place);
            residuals.push(LineResidual {
                speed: *speed,
                flow: CorrectedMassFlow::from_si_unchecked(flow),
                ratio: PressureRatio::from_si_unchecked(ratio),
                flow_off: flow / fitted_flow - 1.0,
                ratio_off: ratio / fitted_ratio - 1.0,
                row: row(line, index),
            });
        }
    }
    residuals
}

fn point([flow, ratio, efficiency]: [f64; 3]) -> LinePoint {
    LinePoint {
        flow: CorrectedMassFlow::from_si_unchecked(flow),
        ratio: PressureRatio::from_si_unchecked(ratio),
        efficiency: Efficiency::from_si_unchecked(efficiency),
    }
}

/// The points of a line with their efficiency. Where it runs out towards choke, the line ends before.
fn with_efficiency(
    work: &Work<'_>,
    line: usize,
    speed: CorrectedSpeed,
    points: &[LinePoint],
) -> Result<Vec<LinePoint>, FitError> {
    let mut found = Vec::new();
    for p in points {
        let (flow, ratio) = (p.flow.si(), p.ratio.si());
        let value = work.efficiency(&Sample { speed: speed.si(), flow, ratio, efficiency: 0.0, row: None });
        if (HELD[0]..=HELD[1]).contains(&value) {
            found.push(point([flow, ratio, value]));
        } else if value < HELD[0] && found.len() >= 3 {
            break;
        } else {
            return Err(FitError::Efficiency { line, value });
        }
    }
    Ok(found)
}

/// What the reading of flow and pressure ratio leaves open of an efficiency.
fn unread(map: &CompressorMap, residual: &ContourResidual) -> f64 {
    let (flow, ratio) = (residual.flow.si(), residual.ratio.si());
    let (_, [by_flow, by_ratio]) = map.surface(Reading::Efficiency).at(flow, ratio);
    let open = READ_TO * (by_flow * flow).hypot(by_ratio * ratio);
    // At the rim of the map there may be no slope.
    if open.is_finite() { open } else { 0.0 }
}

/// What the map leaves of the samples; at the rim, where it may have lost the last of a line, what the work leaves.
fn residuals(map: &CompressorMap, work: &Work<'_>, samples: &[Sample]) -> Vec<ContourResidual> {
    let residual = |sample: &Sample| {
        let flow = CorrectedMassFlow::from_si_unchecked(sample.flow);
        let ratio = PressureRatio::from_si_unchecked(sample.ratio);
        let fitted =
            map.at_point(flow, ratio).map_or_else(|_| work.efficiency(sample), |found| found.efficiency.si());
        ContourResidual {
            speed: CorrectedSpeed::from_si_unchecked(sample.speed),
            flow,
            ratio,
            efficiency: Efficiency::from_si_unchecked(sample.efficiency),
            off: sample.efficiency - fitted,
            row: sample.row,
        }
    };
    samples.iter().map(residual).collect()
}
