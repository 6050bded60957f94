//! Reading a compressor map from CSV: front matter after `#`, a header with units, then the points.
//!
//! ```text
//! # title: Candidate B (invented)
//! # reference temperature: 298.15 K
//! # reference pressure: 100 kPa
//! # provenance: drawn by hand
//! corrected speed [rpm],corrected flow [kg/s],pressure ratio [-],efficiency [-]
//! 88000,0.0650,1.530,0.640
//! ```
//!
//! Points of one speed line stand together, from surge to choke or back. Columns may stand in any
//! order; their names and units decide.

use super::map::{LinePoint, MOST_LINES, Origin};
use super::{CompressorMap, MapKind, Reference};
use crate::gas::{Gas, density};
use crate::problem::Problems;
use crate::quantity::*;
use crate::table::{Column, Form, Row, SpeedLine, Table, from_file};
use std::path::Path;

pub(super) const KEYS: [&str; 6] =
    ["title", "reference temperature", "reference pressure", "pressure ratio", "efficiency", "provenance"];
pub(super) const PHRASES: [(&str, &str); 2] =
    [("pressure ratio", "total to total"), ("efficiency", "isentropic, total to total")];
pub(super) const SPEED: Column = Column::of::<CorrectedSpeed>(
    "corrected speed",
    "rpm",
    |speed| speed > 100.0 && speed < 5e4,
    "is not between 1000 and 470 000 rpm; check unit and order of the columns",
);
pub(super) const FLOW: Column = Column::of::<CorrectedMassFlow>(
    "corrected flow",
    "kg/s",
    |flow| (1e-9..50.0).contains(&flow),
    "is not between 0 and 50 kg/s; a flow is positive",
)
.or_volume(|temperature, pressure| density::of(&Gas::dry_air(), pressure, temperature));
pub(super) const RATIO: Column = Column::of::<PressureRatio>(
    "pressure ratio",
    "-",
    |ratio| (1.0..=12.0).contains(&ratio),
    "is not between 1 and 12; it is absolute outlet over absolute inlet pressure",
);
pub(super) const EFFICIENCY: Column = Column::of::<Efficiency>(
    "efficiency",
    "-",
    |efficiency| (0.05..=0.95).contains(&efficiency),
    "is not between 0.05 and 0.95; percent need the unit [%] in the header",
);
const fn form(kind: MapKind) -> Form<4> {
    let columns = [SPEED, FLOW, RATIO, EFFICIENCY];
    Form { name: kind.key(), keys: &KEYS, phrases: &PHRASES, columns, fewer: "is the file cut off?" }
}
pub(super) static FORM: Form<4> = form(MapKind::Lines);
pub(super) static MEASURED: Form<4> = form(MapKind::Measured);

impl CompressorMap {
    /// Reads a map from a CSV file.
    ///
    /// # Errors
    ///
    /// [`Problems`] with every problem found, each with its line and column.
    pub fn from_csv(path: impl AsRef<Path>) -> Result<Self, Problems> {
        from_file(path.as_ref(), Self::from_csv_text)
    }

    /// Reads a map from the text of a CSV file; `file` names it in messages.
    ///
    /// # Errors
    ///
    /// [`Problems`] with every problem found, each with its line and column.
    pub fn from_csv_text(file: &str, text: &str) -> Result<Self, Problems> {
        let mut table = Table::open(file, text, &FORM);
        let rows = table.rows(point);
        let mut lines = table.speed_lines(rows);
        from_surge(&mut table, &mut lines, |point| point.flow);
        orderly(&mut table, &lines);
        at_least_two(&mut table, &lines);
        at_most(&mut table, &lines);
        let reference = reference(&mut table);
        let reference = table.judge(reference)?;
        let provenance = table.provenance();
        let kind = Some(MapKind::Lines);
        let origin = Origin { file: file.into(), header_line: table.header_line(), provenance, kind };
        let (firsts, lines): (Vec<usize>, Vec<_>) =
            lines.into_iter().map(|line| (line.first, (line.speed, line.points))).unzip();
        let map = Self::build(table.title(), origin, reference, &lines);
        if let Some(upper) = map.crossing() {
            let message = format!(
                "speed line {} does not lie above and right of {} everywhere; lines must not cross",
                lines[upper].0,
                lines[upper - 1].0
            );
            table.problem(firsts[upper], message);
        }
        table.judge(Some(map))
    }

    /// The map as the text of a CSV file that [`from_csv`](Self::from_csv) reads: a fitted or computed one for a study.
    pub fn to_csv_text(&self) -> String {
        let [title, provenance] =
            [self.title(), self.provenance()].map(|text| text.replace(['\r', '\n'], " "));
        let reference = self.reference();
        let (temperature, pressure) = (reference.temperature().kelvin(), reference.pressure().kpa());
        let mut text = format!(
            "# shaftwork-map: 1\n# title: {title}\n# reference temperature: {temperature} K\n\
             # reference pressure: {pressure} kPa\n# pressure ratio: total to total\n\
             # efficiency: isentropic, total to total\n# provenance: {provenance}\n\
             corrected speed [rpm],corrected flow [kg/s],pressure ratio [-],efficiency [-]\n"
        );
        for (speed, points) in self.points() {
            for LinePoint { flow, ratio, efficiency } in points {
                let (speed, [flow, ratio, efficiency]) =
                    (speed.corrected_rpm(), [flow.si(), ratio.si(), efficiency.si()]);
                text += &format!("{speed},{flow},{ratio},{efficiency}\n");
            }
        }
        text
    }
}

/// The conditions that a map is corrected to.
pub(super) fn reference<const N: usize>(table: &mut Table<'_, N>) -> Option<Reference> {
    let temperature = table.value::<Temperature>("reference temperature", "298.15 K");
    let pressure = table.value::<Pressure>("reference pressure", "100 kPa");
    let (temperature, pressure) = (temperature?, pressure?);
    Reference::new(temperature, pressure)
        .map_err(|error| {
            let line = table.said("reference pressure").map(|(line, _)| line);
            let message = format!("{error}; references are absolute, near 288 to 303 K and 95 to 102 kPa");
            table.problem(line, message);
        })
        .ok()
}

pub(super) fn point(table: &mut Table<'_, 4>, row: &Row<4>) -> Option<(usize, CorrectedSpeed, LinePoint)> {
    let si = table.numbers(row)?;
    let [speed, flow, ratio, efficiency] = si;
    if ratio < 1.0 && efficiency > 1.0 {
        let message = "pressure ratio and efficiency look swapped; check the header against the columns";
        table.problem(row.line, message);
        return None;
    }
    let point = LinePoint {
        flow: CorrectedMassFlow::from_si_unchecked(flow),
        ratio: PressureRatio::from_si_unchecked(ratio),
        efficiency: Efficiency::from_si_unchecked(efficiency),
    };
    table.all_fit(row, &si).then(|| (row.line, CorrectedSpeed::from_si_unchecked(speed), point))
}

/// Turns speed lines so that they run from surge to choke, and names those that are too short.
pub(super) fn from_surge<P, const N: usize>(
    table: &mut Table<'_, N>,
    lines: &mut [SpeedLine<P>],
    flow: impl Fn(&P) -> CorrectedMassFlow,
) {
    for SpeedLine { first, speed, points } in lines {
        if points.len() < 3 {
            let message = format!("speed line {speed} has {} points; at least 3 are needed", points.len());
            table.problem(*first, message);
        } else if flow(&points[0]) > flow(&points[points.len() - 1]) {
            points.reverse();
        }
    }
}

pub(super) fn at_least_two<P, const N: usize>(table: &mut Table<'_, N>, lines: &[SpeedLine<P>]) {
    if table.is_sound() && lines.len() < 2 {
        table.problem(None, format!("{} speed line; at least 2 are needed", lines.len()));
    }
}

pub(super) fn at_most<P, const N: usize>(table: &mut Table<'_, N>, lines: &[SpeedLine<P>]) {
    if lines.len() > MOST_LINES {
        table.problem(None, format!("{} speed lines; at most {MOST_LINES} are read", lines.len()));
    }
}

/// Names the lines whose points do not follow one another by flow.
fn orderly(table: &mut Table<'_, 4>, lines: &[SpeedLine<LinePoint>]) {
    for SpeedLine { first, speed, points } in lines.iter().filter(|line| line.points.len() >= 3) {
        let any = |wrong: fn(&LinePoint, &LinePoint) -> bool| {
            points.windows(2).any(|pair| wrong(&pair[0], &pair[1]))
        };
        if any(|a, b| b.flow < a.flow) {
            let message = "flow goes up and down; order the points from surge to choke, or begin the file with \"# shaftwork-measured-map: 1\", so that a map is fitted to readings that scatter";
            table.problem(*first, format!("speed line {speed}: {message}"));
        } else if any(|a, b| a.flow == b.flow && a.ratio <= b.ratio) {
            let message = "two points have the same flow and do not fall in pressure ratio";
            table.problem(*first, format!("speed line {speed}: {message}"));
        }
    }
}
