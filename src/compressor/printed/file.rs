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
//! which it runs; an empty line begins another run of the same efficiency. Cells that a kind has no use for stay empty.

use super::{PrintedMap, PrintedPoint};
use crate::compressor::map_file::{Columns, MOST_BYTES, Reader};
use crate::problem::{Problems, read_text};
use crate::quantity::*;
use std::path::Path;

const COLUMNS: [&str; 5] = ["kind", "corrected speed", "efficiency", "corrected flow", "pressure ratio"];
const EXAMPLES: [&str; 5] = ["", "rpm", "-", "kg/s", "-"];
const KEYS: [&str; 7] = [
    "shaftwork-printed-map",
    "title",
    "reference temperature",
    "reference pressure",
    "pressure ratio",
    "efficiency",
    "provenance",
];
const KINDS: [&str; 3] = ["speed line", "contour", "surge line"];
const MOST_PROBLEMS: usize = 200;
/// Ranges in SI, by column: what a map of a turbocharger can hold.
const RANGES: [(f64, f64, &str); 5] = [
    (0.0, 0.0, ""),
    (100.0, 5e4, "is not between 1000 and 470 000 rpm; check unit and order of the columns"),
    (0.05, 0.95, "is not between 0.05 and 0.95; percent need the unit [%] in the header"),
    (1e-9, 50.0, "is not between 0 and 50 kg/s; a flow is positive"),
    (1.0, 12.0, "is not between 1 and 12; it is absolute outlet over absolute inlet pressure"),
];

impl PrintedMap {
    /// Whether a text is a printed map, by the column `kind` or the first key of its front matter.
    pub fn is_printed(text: &str) -> bool {
        let first = text.lines().find(|line| !line.starts_with('#') && !line.trim().is_empty());
        let columns =
            first.is_some_and(|line| line.split(',').any(|field| field.trim().eq_ignore_ascii_case("kind")));
        columns || text.lines().any(|line| line.trim_start_matches(['#', ' ']).starts_with(KEYS[0]))
    }

    /// Reads a printed map from a CSV file.
    ///
    /// # Errors
    ///
    /// [`Problems`] with every problem found, each with its line and column.
    pub fn from_csv(path: impl AsRef<Path>) -> Result<Self, Problems> {
        let path = path.as_ref();
        let text = read_text(path, MOST_BYTES)?;
        Self::from_csv_text(&path.display().to_string(), &text)
    }

    /// Reads a printed map from the text of a CSV file; `file` names it in messages.
    ///
    /// # Errors
    ///
    /// [`Problems`] with every problem found, each with its line and column.
    pub fn from_csv_text(file: &str, text: &str) -> Result<Self, Problems> {
        let mut reader = Reader { file, header_line: None, problems: Vec::new() };
        let front = reader.front_matter(text, &KEYS);
        let parts = parts(&mut reader, text);
        let reference = reader.reference(&front);
        let front = |key: &str, otherwise: &str| {
            front.get(key).map_or_else(|| otherwise.to_string(), |(_, text)| text.clone())
        };
        match reference {
            Some(reference) if reader.problems.is_empty() => Ok(Self {
                title: front("title", file),
                provenance: front("provenance", "not stated"),
                reference,
                lines: parts.lines.into_iter().map(|(_, speed, points)| (speed, points)).collect(),
                contours: parts.contours,
                surge: parts.surge,
            }),
            _ => {
                reader.problems.sort_by_key(|problem| problem.line);
                Err(Problems(reader.problems))
            }
        }
    }
}

#[derive(Default)]
struct Parts {
    /// With the line of the file where each begins.
    lines: Vec<(usize, CorrectedSpeed, Vec<PrintedPoint>)>,
    contours: Vec<(Efficiency, Vec<PrintedPoint>)>,
    surge: Vec<PrintedPoint>,
}

struct Row {
    line: usize,
    kind: usize,
    /// Speed, efficiency, flow, ratio in SI.
    si: [Option<f64>; 5],
    after_gap: bool,
}

fn parts(reader: &mut Reader<'_>, text: &str) -> Parts {
    let mut parts = Parts::default();
    let mut header: Option<(Columns<5>, [f64; 5])> = None;
    let mut gap = false;
    for (line, text) in text.lines().enumerate().map(|(i, text)| (i + 1, text)) {
        if text.starts_with('#') {
            continue;
        }
        if text.trim().is_empty() {
            gap = true;
            continue;
        }
        let Some(record) = reader.fields(line, text) else { continue };
        match &header {
            None => {
                header = factors(reader, line, &record);
                if header.is_none() {
                    return parts;
                }
                reader.header_line = Some(line);
            }
            Some((columns, factors)) => {
                if let Some(row) = row(reader, line, &record, columns, factors, gap) {
                    parts.take(reader, &row);
                }
            }
        }
        gap = false;
        if reader.problems.len() >= MOST_PROBLEMS {
            return parts;
        }
    }
    if header.is_none() {
        reader.problem(None, None, format!("no table; its header names the columns {}", COLUMNS.join(", ")));
    } else {
        parts.close(reader);
    }
    parts
}

fn factors(
    reader: &mut Reader<'_>,
    line: usize,
    record: &csv::StringRecord,
) -> Option<(Columns<5>, [f64; 5])> {
    let columns = reader.columns(line, record, COLUMNS, EXAMPLES)?;
    let units = &columns.units;
    let factors = [
        reader.factor::<CorrectedSpeed>(line, COLUMNS[1], &units[1]),
        reader.factor::<Efficiency>(line, COLUMNS[2], &units[2]),
        reader.factor::<CorrectedMassFlow>(line, COLUMNS[3], &units[3]),
        reader.factor::<PressureRatio>(line, COLUMNS[4], &units[4]),
    ];
    let [Some(speed), Some(efficiency), Some(flow), Some(ratio)] = factors else { return None };
    Some((columns, [1.0, speed, efficiency, flow, ratio]))
}

fn row(
    reader: &mut Reader<'_>,
    line: usize,
    record: &csv::StringRecord,
    columns: &Columns<5>,
    factors: &[f64; 5],
    after_gap: bool,
) -> Option<Row> {
    if record.len() != 5 {
        let hint = if record.len() > 5 {
            "; is it a decimal comma? Write 0.123 with a point"
        } else {
            "; cells without a value stay, with their commas"
        };
        reader.problem(line, None, format!("has {} fields where 5 belong{hint}", record.len()));
        return None;
    }
    let word = record[columns.place[0]].to_lowercase();
    let Some(kind) = KINDS.iter().position(|kind| *kind == word) else {
        let message = format!("\"{}\" is no kind; the kinds are {}", shorten(&word), KINDS.join(", "));
        reader.problem(line, Some(COLUMNS[0]), message);
        return None;
    };
    // Flow and ratio always; the speed of a speed line, the efficiency of a contour.
    let wanted = [false, kind == 0, kind == 1, true, true];
    let before = reader.problems.len();
    let mut si = [None; 5];
    for column in 1..5 {
        let field = &record[columns.place[column]];
        let name = Some(COLUMNS[column]);
        match (wanted[column], field.is_empty()) {
            (false, true) => {}
            (false, false) => {
                reader.problem(line, name, format!("has no place in a {word}; leave it empty"));
            }
            (true, true) => reader.problem(line, name, format!("is missing; a {word} needs it")),
            (true, false) => match field.parse::<f64>() {
                Ok(number) => {
                    let value = number * factors[column];
                    let (low, high, message) = RANGES[column];
                    if !value.is_finite() {
                        reader.problem(line, name, "is not finite (NaN or infinity); leave the point out");
                    } else if !(low..=high).contains(&value) {
                        reader.problem(line, name, message);
                    }
                    si[column] = Some(value);
                }
                Err(_) => {
                    let hint = if field.contains(',') { "; write it with a decimal point" } else { "" };
                    reader.problem(line, name, format!("\"{}\" is not a number{hint}", shorten(field)));
                }
            },
        }
    }
    (reader.problems.len() == before).then_some(Row { line, kind, si, after_gap })
}

impl Parts {
    fn take(&mut self, reader: &mut Reader<'_>, row: &Row) {
        let [_, speed, efficiency, Some(flow), Some(ratio)] = row.si else { return };
        let point = PrintedPoint {
            flow: CorrectedMassFlow::from_si_unchecked(flow),
            ratio: PressureRatio::from_si_unchecked(ratio),
        };
        match (row.kind, speed, efficiency) {
            (0, Some(speed), _) => {
                let speed = CorrectedSpeed::from_si_unchecked(speed);
                match self.lines.last_mut() {
                    Some((_, last, points)) if *last == speed => points.push(point),
                    _ => {
                        if let Some((first, ..)) = self.lines.iter().find(|(_, known, _)| *known == speed) {
                            let message = format!(
                                "this speed line already stands from line {first}; keep its points together, once"
                            );
                            reader.problem(row.line, None, message);
                        }
                        self.lines.push((row.line, speed, vec![point]));
                    }
                }
            }
            (1, _, Some(level)) => {
                let level = Efficiency::from_si_unchecked(level);
                match self.contours.last_mut() {
                    Some((last, points)) if *last == level && !row.after_gap => points.push(point),
                    _ => self.contours.push((level, vec![point])),
                }
            }
            _ => self.surge.push(point),
        }
    }

    /// Checks that lines are lines, and puts them in order.
    fn close(&mut self, reader: &mut Reader<'_>) {
        for (line, speed, points) in &mut self.lines {
            if points.len() < 3 {
                let message =
                    format!("speed line {speed} has {} points; at least 3 are needed", points.len());
                reader.problem(*line, None, message);
            } else if points[0].flow > points[points.len() - 1].flow {
                points.reverse();
            }
        }
        self.lines.sort_by(|a, b| a.1.si().total_cmp(&b.1.si()));
        let sound = reader.problems.is_empty();
        if sound && self.lines.len() < 2 {
            let message = format!("{} speed line; at least 2 are needed", self.lines.len());
            reader.problem(None, None, message);
        }
        if sound && self.contours.is_empty() {
            reader.problem(None, None, "no efficiency contour; write rows of the kind \"contour\"");
        }
    }
}
