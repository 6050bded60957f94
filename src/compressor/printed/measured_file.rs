//! Reading measured speed lines from CSV: the form of a map, with readings that scatter.

use super::measured::MeasuredMap;
use super::{FitError, scatter};
use crate::compressor::map_file::{FORM, MEASURED, at_least_two, at_most, point, reference};
use crate::compressor::{CompressorMap, LinePoint, MapKind, MapLinesError};
use crate::problem::Problems;
use crate::quantity::*;
use crate::table::{SpeedLine, Table, from_file};
use std::path::Path;

/// The fewest readings of a line. A cubic passes through four: with fewer than five nothing is left to judge by.
const FEWEST: usize = 5;

impl CompressorMap {
    /// Fits a map to measured speed lines, read from a CSV file in the form of a map; where its first line is
    /// `# shaftwork-measured-map: 1`, a study reads it so too.
    ///
    /// Unlike in [`from_csv`](Self::from_csv) the readings may scatter: in any order, several of one setting, those of one
    /// speed apart from each other. All readings of a line carry its nominal corrected speed.
    ///
    /// Each line is fitted by least squares as in [`fitted`](Self::fitted), efficiency over all lines at once. Readings
    /// beyond three standard deviations, robustly estimated, are named with their line in the file; the speed lines are
    /// fitted without them, and in the efficiency they have less say the further off they are. Of sound readings
    /// with normal errors three in a thousand are named too.
    ///
    /// The map ends where the readings end. A mistake that all readings of a line share leaves no trace in what is left
    /// of them: an orifice of the wrong coefficient, a pressure tap in swirl, heat from the turbine in the outlet
    /// temperature.
    ///
    /// # Errors
    ///
    /// [`Problems`] with every problem found, each with its line and column; where the fitted lines make no map, with the
    /// line of the file where the first of a speed line stands.
    ///
    /// # Accuracy
    ///
    /// The points of a known map read with normal errors of 0.5 % in flow, 0.3 % in pressure ratio and 0.5 points in
    /// efficiency, eight sets of three sweeps over nine settings a line: the fitted lines lie within 0.2 % (RMS) and 0.9 %
    /// (worst) of the known ones, efficiency within 0.4 points (RMS) and 2 points (worst, where it falls to choke); four
    /// sets of a single sweep: lines within 0.3 % and 1.0 %.
    ///
    /// # Examples
    ///
    /// Readings of an invented compressor, with normal errors of 0.5 % in flow, 0.3 % in pressure ratio and 0.5 points in
    /// efficiency, and two that were misread:
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// # let file = concat!(env!("CARGO_MANIFEST_DIR"), "/data/demo/measured-lines.csv");
    /// let measured = CompressorMap::from_measured_csv(file).map_err(|problems| problems.to_string())?;
    /// for line in measured.lines() {
    ///     println!("{}: {:.2} % of flow", line.speed(), line.flow_rms().percent());
    ///     assert!(line.flow_rms().percent() < 0.6 && line.ratio_rms().percent() < 0.4);
    /// }
    /// for (point, what) in measured.outliers() {
    ///     println!("line {}: {what}", point.row);
    /// }
    /// let point = measured.map().at_point(corrected_kg_per_s(0.22), PressureRatio::new(2.0)?)?;
    /// println!("{:.1} % at {:.0} rpm", point.efficiency.percent(), point.speed.corrected_rpm());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Source
    ///
    /// Penalised splines [eilers-marx], a freedom counted 1.4 times [kim-gu]; robust weights [beaton-tukey]; a limit of
    /// three standard deviations is common practice.
    pub fn from_measured_csv(path: impl AsRef<Path>) -> Result<MeasuredMap, Problems> {
        from_file(path.as_ref(), Self::from_measured_csv_text)
    }

    /// Fits a map to measured speed lines, as [`from_measured_csv`](Self::from_measured_csv); `file` names the text in
    /// messages.
    ///
    /// # Errors
    ///
    /// [`Problems`] with every problem found, each with its line and column.
    pub fn from_measured_csv_text(file: &str, text: &str) -> Result<MeasuredMap, Problems> {
        // A file of speed lines may be fitted too, where that is asked for.
        let form = if MapKind::of(file, text)? == MapKind::Measured { &MEASURED } else { &FORM };
        let mut table = Table::open(file, text, form);
        let mut rows = table.rows(point);
        // Readings of one speed may stand apart: one sweep up, another down.
        rows.sort_by(|(_, a, _), (_, b, _)| a.si().total_cmp(&b.si()));
        let lines = table.speed_lines(rows.into_iter().map(|(row, speed, point)| (row, speed, (row, point))));
        for SpeedLine { first, speed, points } in lines.iter().filter(|line| line.points.len() < FEWEST) {
            let message = format!(
                "speed line {speed} has {} readings; at least {FEWEST} are needed, each with the line's nominal speed",
                points.len()
            );
            table.problem(*first, message);
        }
        at_least_two(&mut table, &lines);
        at_most(&mut table, &lines);
        let reference = reference(&mut table);
        let reference = table.judge(reference)?;
        let plain: Vec<(CorrectedSpeed, Vec<LinePoint>)> = lines
            .iter()
            .map(|line| (line.speed, line.points.iter().map(|(_, point)| *point).collect()))
            .collect();
        let fitted = scatter::measured(&table.title(), &table.provenance(), reference, &plain);
        let fitted = fitted.map_err(|error| {
            let (line, message) = told(&error, &lines);
            table.problem(line, message);
        });
        let fitted = table.judge(fitted.ok())?;
        let given = lines.into_iter().map(|line| (line.speed, line.points)).collect();
        Ok(MeasuredMap::new(file, fitted.read_from(file, MapKind::Measured), given))
    }
}

/// Why the readings make no map: the line of the file and what to do.
fn told<P>(error: &FitError, lines: &[SpeedLine<P>]) -> (Option<usize>, String) {
    let at = |line: usize| (lines[line].first, lines[line].speed);
    match *error {
        FitError::Lines(MapLinesError::Crossing { line }) => {
            let ((first, speed), (_, below)) = (at(line), at(line - 1));
            let message = format!(
                "speed line {speed}, fitted, does not lie above and right of {below} everywhere; check both for wrong readings, or leave one out"
            );
            (Some(first), message)
        }
        FitError::Points { line } => {
            let (first, speed) = at(line);
            (Some(first), format!("speed line {speed}: all readings are the same point"))
        }
        FitError::Efficiency { line, value } => {
            let (first, speed) = at(line);
            let message = format!(
                "speed line {speed}: its efficiency is fitted as {value:.3}, outside 0.05 to 0.95; check its readings"
            );
            (Some(first), message)
        }
        FitError::Lines(
            MapLinesError::Value { line } | MapLinesError::Points { line } | MapLinesError::Order { line },
        ) => {
            let (first, speed) = at(line);
            let message = format!("speed line {speed}, fitted, is no line of a map; check its readings");
            (Some(first), message)
        }
        _ => (None, error.to_string()),
    }
}
