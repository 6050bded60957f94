//! A map fitted to measured readings, with how far each of them lies from it.

use super::fitted::rms;
use super::{Conflict, ContourResidual, FittedMap, LineResidual};
use crate::compressor::{CompressorMap, LinePoint};
use crate::quantity::*;

/// A reading beside the map that was fitted to it.
#[derive(Clone, Debug, PartialEq)]
pub struct LineReading {
    /// Its line in the file.
    pub row: usize,
    /// The reading.
    pub reading: LinePoint,
    /// Flow read over that of the nearest point of the fitted line, less one.
    pub flow_off: f64,
    /// Pressure ratio read over that of the nearest point of the fitted line, less one.
    pub ratio_off: f64,
    /// Efficiency read less the map's at that point, as a fraction: 0.01 is one point.
    pub efficiency_off: f64,
    /// How flow and pressure ratio lie beyond three standard deviations, if they do; the line was fitted without them.
    pub off_line: Option<Conflict>,
    /// How the efficiency lies beyond three standard deviations, if it does.
    pub far_off: Option<Conflict>,
}

/// A measured speed line beside the fitted one. Root mean squares leave out what is beyond three standard deviations.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredLine {
    speed: CorrectedSpeed,
    points: Vec<LineReading>,
}

/// A map fitted to measured readings, and how far they lie from it: see [`CompressorMap::from_measured_csv`].
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredMap {
    file: String,
    fitted: FittedMap,
    lines: Vec<MeasuredLine>,
}

impl MeasuredLine {
    /// Its corrected speed.
    pub fn speed(&self) -> CorrectedSpeed {
        self.speed
    }
    /// Its readings in the order of the file.
    pub fn readings(&self) -> &[LineReading] {
        &self.points
    }
    /// Root mean square of what is left of flow, relative.
    pub fn flow_rms(&self) -> Fraction {
        rms(self.on_line().map(|point| point.flow_off))
    }
    /// Root mean square of what is left of pressure ratio, relative.
    pub fn ratio_rms(&self) -> Fraction {
        rms(self.on_line().map(|point| point.ratio_off))
    }
    /// Root mean square of what is left of efficiency, in points of efficiency.
    pub fn efficiency_rms(&self) -> Fraction {
        let sound = self.points.iter().filter(|point| point.far_off.is_none());
        rms(sound.map(|point| point.efficiency_off))
    }
    fn on_line(&self) -> impl Iterator<Item = &LineReading> {
        self.points.iter().filter(|point| point.off_line.is_none())
    }
}

impl MeasuredMap {
    /// Of readings with their lines in the file, in the order in which they were fitted.
    pub(super) fn new(
        file: &str,
        mut fitted: FittedMap,
        given: Vec<(CorrectedSpeed, Vec<(usize, LinePoint)>)>,
    ) -> Self {
        let rows = given.iter().flat_map(|(_, points)| points.iter().map(|(row, _)| *row));
        fitted.stand_in(rows.collect());
        let mut left = fitted.lines.iter().zip(&fitted.contours);
        let mut beside = |(row, reading): (usize, LinePoint)| {
            let (line, contour): (&LineResidual, &ContourResidual) = left.next()?;
            Some(LineReading {
                row,
                reading,
                flow_off: line.flow_off,
                ratio_off: line.ratio_off,
                efficiency_off: contour.off,
                off_line: fitted.off_line(line).cloned(),
                far_off: fitted.far_off(contour).cloned(),
            })
        };
        let lines = given
            .into_iter()
            .map(|(speed, points)| MeasuredLine {
                speed,
                points: points.into_iter().filter_map(&mut beside).collect(),
            })
            .collect();
        Self { file: file.into(), fitted, lines }
    }

    /// The map.
    pub fn map(&self) -> &CompressorMap {
        self.fitted.map()
    }
    /// The map alone.
    pub fn into_map(self) -> CompressorMap {
        self.fitted.into_map()
    }
    /// The fit over all lines together.
    pub fn fitted(&self) -> &FittedMap {
        &self.fitted
    }
    /// The speed lines with their readings, speeds rising.
    pub fn lines(&self) -> &[MeasuredLine] {
        &self.lines
    }
    /// The readings beyond three standard deviations, with what is off about each, by their line in the file.
    pub fn outliers(&self) -> Vec<(&LineReading, &Conflict)> {
        let points = self.lines.iter().flat_map(|line| &line.points);
        let mut found: Vec<_> = points
            .flat_map(|point| {
                point.off_line.iter().chain(&point.far_off).map(move |conflict| (point, conflict))
            })
            .collect();
        found.sort_by_key(|(point, _)| point.row);
        found
    }
}

/// A line of text for each speed line and for each outlier.
impl core::fmt::Display for MeasuredMap {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}: {}", self.file, self.fitted.summary())?;
        for line in &self.lines {
            write!(
                f,
                "\n{}: {} readings, within {:.2} % of flow, {:.2} % of pressure ratio, {:.2} points of efficiency (RMS)",
                line.speed,
                line.points.len(),
                line.flow_rms().percent(),
                line.ratio_rms().percent(),
                line.efficiency_rms().percent()
            )?;
        }
        for (point, conflict) in self.outliers() {
            write!(f, "\n{}, line {}: {conflict}", self.file, point.row)?;
        }
        Ok(())
    }
}
