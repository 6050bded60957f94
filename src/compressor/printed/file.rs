//! Reading a printed map from CSV: one table for speed lines, contours and surge line.
//!
//! ```text
//! # shaftwork-printed-map: 1
//! # title: Printed map (invented)
//! # reference temperature: 298.15 K
//! # reference pressure: 100 kPa
//! # provenance: read from a figure by hand
//! kind,corrected speed [rpm],efficiency [-],corrected flow [kg/s],pressure ratio [-]
//! speed line,70000,,0.0450,1.310
//! contour,,0.72,0.1080,1.256
//! surge line,,,0.0450,1.310
//! ```
//!
//! Points of a speed line stand together, from surge to choke or back. Those of a contour stand in the order in
//! which it runs, read to both of its ends, where little else says what efficiency the edge of the map has; an empty
//! line begins another run of the same efficiency. Cells that a kind has no use for stay empty. A file may have speed lines
//! alone, or with a surge line: it becomes a map together with the wheel.

use super::{PrintedMap, PrintedPoint};
use crate::compressor::MapKind;
use crate::compressor::map_file::{
    EFFICIENCY, FLOW, KEYS, PHRASES, RATIO, SPEED, at_least_two, from_surge, reference,
};
use crate::problem::Problems;
use crate::quantity::*;
use crate::table::{Column, Form, Row, Table, from_file};
use std::path::Path;

static FORM: Form<5> = Form {
    name: MapKind::Printed.key(),
    keys: &KEYS,
    phrases: &PHRASES,
    columns: [Column::words("kind"), SPEED, EFFICIENCY, FLOW, RATIO],
    fewer: "cells without a value stay, with their commas",
};
const KINDS: [&str; 3] = ["speed line", "contour", "surge line"];

impl PrintedMap {
    /// Reads a printed map from a CSV file.
    ///
    /// # Errors
    ///
    /// [`Problems`] with every problem found, each with its line and column.
    pub fn from_csv(path: impl AsRef<Path>) -> Result<Self, Problems> {
        from_file(path.as_ref(), Self::from_csv_text)
    }

    /// Reads a printed map from the text of a CSV file; `file` names it in messages.
    ///
    /// # Errors
    ///
    /// [`Problems`] with every problem found, each with its line and column.
    pub fn from_csv_text(file: &str, text: &str) -> Result<Self, Problems> {
        let mut table = Table::open(file, text, &FORM);
        let cells = table.rows(cell);
        let mut parts = Parts::default();
        cells.into_iter().for_each(|cell| parts.take(cell));
        let mut lines = table.speed_lines(parts.lines);
        from_surge(&mut table, &mut lines, |point| point.flow);
        at_least_two(&mut table, &lines);
        let reference = reference(&mut table);
        let reference = table.judge(reference)?;
        Ok(Self {
            title: table.title(),
            provenance: table.provenance(),
            reference,
            lines: lines.into_iter().map(|line| (line.speed, line.points)).collect(),
            contours: parts.contours,
            surge: parts.surge,
        })
    }
}

/// What a row says of its point.
enum Kind {
    Speed(CorrectedSpeed),
    Contour(Efficiency),
    Surge,
}

struct Cell {
    line: usize,
    after_gap: bool,
    kind: Kind,
    point: PrintedPoint,
}

fn cell(table: &mut Table<'_, 5>, row: &Row<5>) -> Option<Cell> {
    let word = row.field(0).to_lowercase();
    let Some(kind) = KINDS.iter().position(|kind| *kind == word) else {
        let message = format!("\"{}\" is no kind; the kinds are {}", shorten(&word), KINDS.join(", "));
        table.problem_at(row.line, 0, message);
        return None;
    };
    // Flow and ratio always; the speed of a speed line, the efficiency of a contour.
    let wanted = [(1, kind == 0), (2, kind == 1), (3, true), (4, true)];
    let [speed, efficiency, flow, ratio] = wanted.map(|(column, wanted)| {
        let wrong = match (wanted, row.field(column).is_empty()) {
            (false, true) => return Some(None),
            (true, false) => {
                return table.number(row, column).filter(|&value| table.fits(row, column, value)).map(Some);
            }
            (false, false) => format!("has no place in a {word}; leave it empty"),
            (true, true) => format!("is missing; a {word} needs it"),
        };
        table.problem_at(row.line, column, wrong);
        None
    });
    let kind = match (speed?, efficiency?) {
        (Some(speed), _) => Kind::Speed(CorrectedSpeed::from_si_unchecked(speed)),
        (_, Some(level)) => Kind::Contour(Efficiency::from_si_unchecked(level)),
        _ => Kind::Surge,
    };
    let point = PrintedPoint {
        flow: CorrectedMassFlow::from_si_unchecked(flow??),
        ratio: PressureRatio::from_si_unchecked(ratio??),
        row: Some(row.line),
    };
    Some(Cell { line: row.line, after_gap: row.after_gap, kind, point })
}

#[derive(Default)]
struct Parts {
    /// With the line of the file where each point stands.
    lines: Vec<(usize, CorrectedSpeed, PrintedPoint)>,
    contours: Vec<(Efficiency, Vec<PrintedPoint>)>,
    surge: Vec<PrintedPoint>,
}

impl Parts {
    fn take(&mut self, Cell { line, after_gap, kind, point }: Cell) {
        match kind {
            Kind::Speed(speed) => self.lines.push((line, speed, point)),
            Kind::Contour(level) => match self.contours.last_mut() {
                Some((last, points)) if *last == level && !after_gap => points.push(point),
                _ => self.contours.push((level, vec![point])),
            },
            Kind::Surge => self.surge.push(point),
        }
    }
}
