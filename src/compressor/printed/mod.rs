//! Maps as they are printed, and maps as they are measured: lines and contours that must be made to agree.
//!
//! On a printed map the speed lines carry no efficiency and the efficiency contours no speed. Both are merged
//! over the work, which is smooth over speed and flow and ties one to the other. The same fit smooths
//! measured lines. What does not fit is shown point by point.

mod across;
mod conflict;
mod drawn;
mod error;
mod extend;
mod file;
mod fitted;
mod measured;
mod measured_file;
mod merge;
mod misread;
mod outline;
mod scatter;
mod spline;
mod surge;
mod told;
mod wheel_lines;
mod work;

pub use across::LineEnd;
pub use conflict::Conflict;
pub use error::FitError;
pub use extend::ExtendedLine;
pub use fitted::{ContourResidual, FittedMap, LineResidual};
pub use measured::{LineReading, MeasuredLine, MeasuredMap};
pub use surge::SurgeResidual;
pub use wheel_lines::{MiddlePoint, WheelLines, WheelLinesError};

use super::{CompressorMap, LinePoint, Reference};
use crate::quantity::*;

/// A point of a printed map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrintedPoint {
    /// Corrected flow.
    pub flow: CorrectedMassFlow,
    /// Pressure ratio, total to total.
    pub ratio: PressureRatio,
    /// The line of the file where it stands, if it was read from one.
    pub row: Option<usize>,
}

impl PrintedPoint {
    /// A point that stands in no file.
    pub const fn new(flow: CorrectedMassFlow, ratio: PressureRatio) -> Self {
        Self { flow, ratio, row: None }
    }
}

/// A printed map: speed lines without efficiency, efficiency contours without speed.
///
/// Its parts need not agree; [`CompressorMap::from_printed`] merges them and says where they do not.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintedMap {
    /// Its title.
    pub title: String,
    /// Where it comes from.
    pub provenance: String,
    /// Its reference conditions.
    pub reference: Reference,
    /// The speed lines, each from surge to choke, speeds rising.
    pub lines: Vec<(CorrectedSpeed, Vec<PrintedPoint>)>,
    /// The contours, each a run of points in order, open or closed; one efficiency may have several. None where only speed
    /// lines are printed: [`PrintedMap::with_wheel`].
    pub contours: Vec<(Efficiency, Vec<PrintedPoint>)>,
    /// The surge line, if one is printed; empty otherwise.
    pub surge: Vec<PrintedPoint>,
}

impl PrintedMap {
    /// What contradicts the rest among the speed lines and the surge line, whether there are contours or not.
    ///
    /// # Errors
    ///
    /// [`FitError`]: lines that make no map.
    pub fn line_conflicts(&self) -> Result<Vec<Conflict>, FitError> {
        merge::lines(self).map(|(_, conflicts)| conflicts)
    }
}

impl CompressorMap {
    /// Merges a printed map into one whose speed, pressure ratio and efficiency agree.
    ///
    /// The speed lines are smoothed as curves. Each contour point is placed between them, and its efficiency
    /// turned into work: psi(N, W) = w_s(Pi)/(eta N^2), with w_s the ideal work from the reference temperature.
    /// By Euler's equation psi is nearly a straight line over flow, over the root of the flow missing to choke near that end; splines are fitted to it by least squares, and
    /// the map's efficiency is w_s(Pi)/(psi N^2). Past the contours psi goes on as a straight line. A part of
    /// the way left of a printed surge line is cut off; a line that begins up to 15 % of its flow right of it is
    /// continued straight to it, which [`FittedMap::extended`] names.
    ///
    /// A point of a speed line that its neighbours along the line contradict by more than four standard deviations has
    /// no say, nor has such a row of the surge line: a digit was misread. The ends of five lines and more are told by those of the
    /// other lines too. Where a wrong value moves a point along its line, that is found later or not at all.
    ///
    /// # Errors
    ///
    /// [`FitError`]: lines that make no map, or too few contour points between them. What merely does not fit is
    /// no error: it stands in [`FittedMap::conflicts`] and in the residuals.
    ///
    /// # Accuracy
    ///
    /// Six known maps of different shape and size taken apart, contours every two points of efficiency, read to 0.0001 kg/s
    /// and 0.001 of pressure ratio, and merged again, on a grid between the lines: pressure ratio within 0.2 %, efficiency
    /// inside the contours within 0.2 points (RMS) and 1.0 points (worst), with contours every four points within 1.4 points
    /// (worst). Outside them it is an extrapolation: 1 to 10 points where it falls to a third towards choke.
    ///
    /// # Examples
    ///
    /// ```
    /// use shaftwork::compressor::PrintedMap;
    /// use shaftwork::prelude::*;
    /// # let file = concat!(env!("CARGO_MANIFEST_DIR"), "/data/demo/printed-map.csv");
    /// let printed = PrintedMap::from_csv(file).map_err(|problems| problems.to_string())?;
    /// let merged = CompressorMap::from_printed(&printed)?;
    /// assert!(merged.efficiency_rms().percent() < 0.5 && merged.conflicts().is_empty());
    /// let point = merged.map().at_point(corrected_kg_per_s(0.22), PressureRatio::new(2.0)?)?;
    /// println!("{:.1} % at {:.0} rpm", point.efficiency.percent(), point.speed.corrected_rpm());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Source
    ///
    /// Work over flow: Euler's equation of turbomachines. The fit: penalised splines [eilers-marx], robust
    /// weights [beaton-tukey].
    pub fn from_printed(printed: &PrintedMap) -> Result<FittedMap, FitError> {
        merge::printed(printed)
    }

    /// Smooths measured speed lines into a map, with what is left at every point.
    ///
    /// Each line becomes a curve in the plane of flow and pressure ratio, by its length: a choked line stays
    /// vertical and a flat one single-valued, and the flow never falls. One smoothing, chosen by generalised
    /// cross-validation with each freedom counted 1.4 times [kim-gu], serves all lines; exact lines come back as they
    /// are. Efficiency is smoothed as work
    /// over speed and flow, as in [`from_printed`](Self::from_printed).
    ///
    /// The points of a line may stand in any order and scatter. Those beyond three standard deviations are among the
    /// conflicts and have no say in their line. From a file: [`from_measured_csv`](Self::from_measured_csv).
    ///
    /// # Errors
    ///
    /// [`FitError`] where the smoothed lines make no map.
    pub fn fitted(
        title: &str,
        provenance: &str,
        reference: Reference,
        lines: &[(CorrectedSpeed, Vec<LinePoint>)],
    ) -> Result<FittedMap, FitError> {
        scatter::measured(title, provenance, reference, lines)
    }
}
