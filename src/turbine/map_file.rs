//! Reading a turbine map from CSV: front matter after `#`, a header with units, then the points.
//!
//! ```text
//! # shaftwork-turbine-map: 1
//! # title: Housing B (invented)
//! # reference temperature: 288.15 K
//! # reference pressure: 101.325 kPa
//! # gamma: 1.4
//! # gas constant: 287.05 J/(kg K)
//! # expansion ratio: total to static
//! # efficiency: total to static, with bearings
//! # wheel: 60 mm
//! # provenance: drawn by hand
//! corrected speed [rpm],expansion ratio [-],corrected flow [kg/s],efficiency [-]
//! 40000,1.300,0.0850,0.610
//! ```
//!
//! Points of one speed line stand together, by rising expansion ratio. Columns may stand in any order; their names and
//! units decide.

use super::BearingLoss;
use super::map::{TestConditions, TurbineLinePoint, TurbineMap};
use crate::problem::Problems;
use crate::quantity::*;
use crate::table::{Column, Form, Row, SpeedLine, Table, from_file};
use std::path::Path;

static FORM: Form<4> = Form {
    name: "shaftwork-turbine-map",
    keys: &[
        "title",
        "reference temperature",
        "reference pressure",
        "gamma",
        "gas constant",
        "expansion ratio",
        "efficiency",
        "wheel",
        "provenance",
    ],
    phrases: &[("expansion ratio", "total to static")],
    columns: [
        Column::of::<CorrectedSpeed>(
            "corrected speed",
            "rpm",
            |speed| speed > 100.0 && speed < 5e4,
            "is not between 1000 and 470 000 rpm; check unit and order of the columns",
        ),
        Column::of::<ExpansionRatio>(
            "expansion ratio",
            "-",
            |ratio| (1.0..=12.0).contains(&ratio),
            "is not between 1 and 12; it is total inlet over static outlet pressure",
        ),
        Column::of::<CorrectedMassFlow>(
            "corrected flow",
            "kg/s",
            |flow| flow > 0.0 && flow < 20.0,
            "is not between 0 and 20 kg/s; a flow is positive",
        ),
        Column::of::<Efficiency>(
            "efficiency",
            "-",
            |efficiency| (0.01..=0.95).contains(&efficiency),
            "is not between 0.01 and 0.95; percent need the unit [%] in the header",
        ),
    ],
    fewer: "is the file cut off?",
};
const RATIO: usize = 1;
const FLOW: usize = 2;
const OF_WHEEL: &str = "total to static, of the wheel";
const WITH_BEARINGS: &str = "total to static, with bearings";

impl TurbineMap {
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
        let lines = table.speed_lines(rows);
        orderly(&mut table, &lines);
        let (test, bearings) = (test(&mut table), bearings(&mut table));
        let wheel = table.said("wheel").is_some().then(|| table.value::<Length>("wheel", "60 mm"));
        let (test, bearings) = table.judge(test.zip(bearings))?;
        let plain = |line: SpeedLine<Placed>| {
            (line.speed.si(), line.points.into_iter().map(|(_, point)| point).collect())
        };
        let lines = lines.into_iter().map(plain).collect();
        let words = [file.into(), table.title(), table.provenance()];
        Ok(Self::build(words, test, (bearings, wheel.flatten()), lines))
    }
}

/// A point with its line in the file.
type Placed = (usize, TurbineLinePoint);

fn test(table: &mut Table<'_, 4>) -> Option<TestConditions> {
    let temperature = table.value::<Temperature>("reference temperature", "288.15 K");
    let pressure = table.value::<Pressure>("reference pressure", "101.325 kPa");
    let gamma = table.value::<HeatCapacityRatio>("gamma", "1.4");
    let gas_constant = table.value::<SpecificHeat>("gas constant", "287.05 J/(kg K)");
    let made = TestConditions::new(temperature?, pressure?, gamma?, gas_constant?);
    made.map_err(|error| table.problem(None, error.plainly())).ok()
}

fn bearings(table: &mut Table<'_, 4>) -> Option<BearingLoss> {
    let both = format!("\"# efficiency: {OF_WHEEL}\" or \"# efficiency: {WITH_BEARINGS}\"");
    match table.said("efficiency") {
        Some((_, OF_WHEEL)) => Some(BearingLoss::Apart),
        Some((_, WITH_BEARINGS)) => Some(BearingLoss::InEfficiency),
        Some((line, other)) => {
            let message = format!("efficiency \"{}\" is not read; write {both}", shorten(other));
            table.problem(line, message);
            None
        }
        None => {
            let message = format!("nothing says whether the efficiency includes the bearings; write {both}");
            table.problem(None, message);
            None
        }
    }
}

fn point(table: &mut Table<'_, 4>, row: &Row<4>) -> Option<(usize, CorrectedSpeed, Placed)> {
    let si = table.numbers(row)?;
    let [speed, ratio, flow, efficiency] = si;
    let point = (row.line, TurbineLinePoint { ratio, flow, efficiency });
    table.all_fit(row, &si).then(|| (row.line, CorrectedSpeed::from_si_unchecked(speed), point))
}

/// Names what keeps speed lines from making a map.
fn orderly(table: &mut Table<'_, 4>, lines: &[SpeedLine<Placed>]) {
    if table.is_sound() && lines.len() < 2 {
        table.problem(None, "has fewer than two speed lines; a map needs two or more");
    }
    for SpeedLine { first, points, .. } in lines {
        if points.len() < 3 {
            table.problem(*first, "this speed line has fewer than three points");
        }
        for pair in points.windows(2) {
            let [(_, before), (line, after)] = [pair[0], pair[1]];
            if after.ratio <= before.ratio {
                table.problem_at(line, RATIO, "does not rise along its speed line; sort the line by it");
            } else if after.flow < 0.98 * before.flow {
                let message = "falls by more than 2 % while the expansion ratio rises; check the columns";
                table.problem_at(line, FLOW, message);
            }
        }
    }
}
