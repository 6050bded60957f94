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
use super::{CompressorMap, Reference};
use crate::problem::{Problem, Problems, read_text};
use crate::quantity::shorten;
use crate::quantity::*;
use std::collections::BTreeMap;
use std::path::Path;

pub(crate) const MOST_BYTES: u64 = 8_000_000;
/// Past these a file is beyond mending line by line.
const MOST_PROBLEMS: usize = 200;
const COLUMNS: [&str; 4] = ["corrected speed", "corrected flow", "pressure ratio", "efficiency"];
const KEYS: [&str; 7] = [
    "shaftwork-map",
    "title",
    "reference temperature",
    "reference pressure",
    "pressure ratio",
    "efficiency",
    "provenance",
];

impl CompressorMap {
    /// Reads a map from a CSV file.
    ///
    /// # Errors
    ///
    /// [`Problems`] with every problem found, each with its line.
    pub fn from_csv(path: impl AsRef<Path>) -> Result<Self, Problems> {
        let path = path.as_ref();
        let text = read_text(path, MOST_BYTES)?;
        Self::from_csv_text(&path.display().to_string(), &text)
    }

    /// Reads a map from the text of a CSV file; `file` names it in messages.
    pub fn from_csv_text(file: &str, text: &str) -> Result<Self, Problems> {
        let mut reader = Reader { file, header_line: None, problems: Vec::new() };
        let front = reader.front_matter(text, &KEYS);
        let points = reader.points(text);
        let (lines, starts) = reader.lines(points);
        let reference = reader.reference(&front);
        let title = front.get("title").map_or_else(|| file.to_string(), |(_, text)| text.clone());
        let provenance =
            front.get("provenance").map_or_else(|| "not stated".to_string(), |(_, text)| text.clone());
        match reference {
            Some(reference) if reader.problems.is_empty() => {
                let origin = Origin { file: file.into(), header_line: reader.header_line, provenance };
                let map = Self::build(title, origin, reference, &lines);
                match map.crossing() {
                    None => Ok(map),
                    Some(upper) => {
                        reader.crossed(&lines, &starts, upper);
                        Err(Problems(reader.problems))
                    }
                }
            }
            _ => {
                reader.problems.sort_by_key(|problem| problem.line);
                Err(Problems(reader.problems))
            }
        }
    }
}

struct Row {
    line: usize,
    speed: CorrectedSpeed,
    point: LinePoint,
}

/// Where each column of a table stands, and its unit.
pub(super) struct Columns<const N: usize> {
    pub place: [usize; N],
    pub units: [String; N],
}

pub(super) struct Reader<'a> {
    pub file: &'a str,
    pub header_line: Option<usize>,
    pub problems: Vec<Problem>,
}

impl Reader<'_> {
    pub fn problem(&mut self, line: impl Into<Option<usize>>, at: Option<&str>, message: impl Into<String>) {
        if self.problems.len() >= MOST_PROBLEMS {
            return;
        }
        self.problems.push(Problem {
            file: self.file.into(),
            line: line.into(),
            at: at.map(|name| format!("column \"{name}\"")),
            message: message.into(),
        });
    }

    /// The keys and values after `#`; the first of `keys` carries the version of the form.
    pub fn front_matter(&mut self, text: &str, keys: &[&str]) -> BTreeMap<String, (usize, String)> {
        let mut front = BTreeMap::new();
        for (i, line) in text.lines().enumerate().filter(|(_, line)| line.starts_with('#')) {
            let Some((key, value)) = line.trim_start_matches('#').split_once(':') else { continue };
            let key = key.trim().to_lowercase();
            if !keys.contains(&key.as_str()) {
                self.problem(
                    i + 1,
                    None,
                    format!("unknown key \"{key}\"; the keys are: {}", keys.join(", ")),
                );
            } else if let Some((first, _)) = front.insert(key.clone(), (i + 1, value.trim().to_string())) {
                self.problem(
                    i + 1,
                    None,
                    format!("\"{key}\" stands a second time (first in line {first}); keep one"),
                );
            }
        }
        let form = keys[0];
        if let Some((line, version)) = front.get(form).filter(|(_, version)| version != "1") {
            let message = format!("{form} {version} is not read; this version reads {form} 1");
            self.problem(*line, None, message);
        }
        for (key, needed) in
            [("pressure ratio", "total to total"), ("efficiency", "isentropic, total to total")]
        {
            if let Some((line, value)) = front.get(key).filter(|(_, value)| value != needed) {
                let message = format!(
                    "{key} \"{value}\" is not read; give it {needed}, or leave the line out if it is"
                );
                self.problem(*line, None, message);
            }
        }
        front
    }

    pub fn reference(&mut self, front: &BTreeMap<String, (usize, String)>) -> Option<Reference> {
        let temperature = self.front_value::<Temperature>(front, "reference temperature", "298.15 K");
        let pressure = self.front_value::<Pressure>(front, "reference pressure", "100 kPa");
        let (temperature, pressure) = (temperature?, pressure?);
        Reference::new(temperature, pressure)
            .map_err(|error| {
                let line = front.get("reference pressure").map(|(line, _)| *line);
                self.problem(
                    line,
                    None,
                    format!("{error}; references are absolute, near 288 to 303 K and 95 to 102 kPa"),
                );
            })
            .ok()
    }

    fn front_value<Q: Quantity + core::str::FromStr<Err = QuantityError>>(
        &mut self,
        front: &BTreeMap<String, (usize, String)>,
        key: &str,
        example: &str,
    ) -> Option<Q> {
        let Some((line, text)) = front.get(key) else {
            let message =
                format!("no {key}; write \"# {key}: {example}\" above the table, with the map's own value");
            self.problem(None, None, message);
            return None;
        };
        text.parse().map_err(|error| self.problem(*line, None, format!("{key}: {error}"))).ok()
    }

    fn points(&mut self, text: &str) -> Vec<Row> {
        let mut header: Option<Header> = None;
        let mut rows = Vec::new();
        let data =
            text.lines().enumerate().filter(|(_, text)| !text.starts_with('#') && !text.trim().is_empty());
        for (line, text) in data.map(|(i, text)| (i + 1, text)) {
            let Some(record) = self.fields(line, text) else { continue };
            match &header {
                None => match self.header(line, &record) {
                    Some(found) => {
                        self.header_line = Some(line);
                        header = Some(found);
                    }
                    None => return Vec::new(),
                },
                Some(header) => rows.extend(self.row(line, header, &record)),
            }
            if self.problems.len() >= MOST_PROBLEMS {
                return Vec::new();
            }
        }
        if header.is_none() {
            self.problem(
                None,
                None,
                format!("no table; its header names the columns {}", COLUMNS.join(", ")),
            );
        }
        rows
    }

    /// The fields of one line. Lines are read one by one, so that each problem gets the line it stands in.
    pub fn fields(&mut self, line: usize, text: &str) -> Option<csv::StringRecord> {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .trim(csv::Trim::All)
            .buffer_capacity(256)
            .from_reader(text.as_bytes());
        match reader.records().next() {
            Some(Ok(record)) => Some(record),
            Some(Err(error)) => {
                self.problem(line, None, format!("cannot be read as CSV ({error})"));
                None
            }
            None => None,
        }
    }

    fn header(&mut self, line: usize, record: &csv::StringRecord) -> Option<Header> {
        let Columns { place, units } = self.columns(line, record, COLUMNS, ["rpm", "kg/s", "-", "-"])?;
        let factors = [
            self.factor::<CorrectedSpeed>(line, COLUMNS[0], &units[0]),
            self.factor::<CorrectedMassFlow>(line, COLUMNS[1], &units[1]),
            self.factor::<PressureRatio>(line, COLUMNS[2], &units[2]),
            self.factor::<Efficiency>(line, COLUMNS[3], &units[3]),
        ];
        let [Some(e), Some(f), Some(g), Some(h)] = factors else { return None };
        Some(Header { place, factor: [e, f, g, h] })
    }

    /// The size of a column's unit in SI.
    pub fn factor<Q: Quantity + core::str::FromStr<Err = QuantityError>>(
        &mut self,
        line: usize,
        column: &str,
        unit: &str,
    ) -> Option<f64> {
        unit_factor::<Q>(unit).map_err(|error| self.problem(line, Some(column), error.to_string())).ok()
    }

    /// Finds the named columns in a header; `examples` are units that fit, none for a column of words.
    pub fn columns<const N: usize>(
        &mut self,
        line: usize,
        record: &csv::StringRecord,
        names: [&'static str; N],
        examples: [&str; N],
    ) -> Option<Columns<N>> {
        let before = self.problems.len();
        let mut place = [None; N];
        let mut units = [const { String::new() }; N];
        if record.len() == 1 && record[0].contains(';') {
            self.problem(
                line,
                None,
                "fields are separated by semicolons; separate them by commas, numbers with a point",
            );
            return None;
        }
        for (i, field) in record.iter().enumerate() {
            let (name, unit) = field.split_once('[').unwrap_or((field, ""));
            let name = name.trim().to_lowercase();
            let unit = unit.trim_end_matches(']').trim();
            let Some(column) = names.iter().position(|column| *column == name) else {
                let message =
                    format!("unknown column \"{}\"; the columns are {}", shorten(&name), names.join(", "));
                self.problem(line, None, message);
                continue;
            };
            if place[column].replace(i).is_some() {
                self.problem(line, Some(names[column]), "stands twice; keep one");
            }
            if unit.is_empty() && !examples[column].is_empty() {
                let message = format!("has no unit; write \"{} [{}]\"", names[column], examples[column]);
                self.problem(line, Some(names[column]), message);
            }
            units[column] = if unit == "-" { String::new() } else { unit.to_string() };
        }
        for (column, _) in place.iter().enumerate().filter(|(_, place)| place.is_none()) {
            self.problem(line, Some(names[column]), "is missing");
        }
        // A doubtful header says nothing sure about where a row's numbers belong.
        let sure = self.problems.len() == before && place.iter().all(Option::is_some);
        sure.then(|| Columns { place: place.map(Option::unwrap_or_default), units })
    }

    fn row(&mut self, line: usize, header: &Header, record: &csv::StringRecord) -> Option<Row> {
        if record.len() != 4 {
            let hint = match record.len() {
                n if n > 4 => "; is it a decimal comma? Write 0.123 with a point",
                _ => "; is the file cut off?",
            };
            self.problem(line, None, format!("has {} fields where 4 belong{hint}", record.len()));
            return None;
        }
        let mut si = [0.0; 4];
        for column in 0..4 {
            let field = &record[header.place[column]];
            let number: f64 = match field.parse() {
                Ok(number) => number,
                Err(_) => {
                    let hint = if field.contains(',') { "; write it with a decimal point" } else { "" };
                    self.problem(
                        line,
                        Some(COLUMNS[column]),
                        format!("\"{}\" is not a number{hint}", shorten(field)),
                    );
                    return None;
                }
            };
            si[column] = number * header.factor[column];
        }
        let [speed, flow, ratio, efficiency] = si;
        if si.iter().any(|value| !value.is_finite()) {
            self.problem(
                line,
                None,
                "has a number that is not finite (NaN or infinity); leave the point out",
            );
            return None;
        }
        if ratio < 1.0 && efficiency > 1.0 {
            self.problem(
                line,
                None,
                "pressure ratio and efficiency look swapped; check the header against the columns",
            );
            return None;
        }
        let mut good = true;
        let mut bounds = |reader: &mut Self, column: usize, fits: bool, message: &str| {
            if !fits {
                reader.problem(line, Some(COLUMNS[column]), message);
                good = false;
            }
        };
        bounds(
            self,
            0,
            speed > 100.0 && speed < 5e4,
            "is not between 1000 and 470 000 rpm; check unit and order of the columns",
        );
        bounds(self, 1, flow > 0.0 && flow < 50.0, "is not between 0 and 50 kg/s; a flow is positive");
        bounds(
            self,
            2,
            (1.0..=12.0).contains(&ratio),
            "is not between 1 and 12; it is absolute outlet over absolute inlet pressure",
        );
        bounds(
            self,
            3,
            (0.05..=0.95).contains(&efficiency),
            "is not between 0.05 and 0.95; percent need the unit [%] in the header",
        );
        good.then(|| Row {
            line,
            speed: CorrectedSpeed::from_si_unchecked(speed),
            point: LinePoint {
                flow: CorrectedMassFlow::from_si_unchecked(flow),
                ratio: PressureRatio::from_si_unchecked(ratio),
                efficiency: Efficiency::from_si_unchecked(efficiency),
            },
        })
    }

    /// Groups rows into speed lines and checks that they make a map.
    fn lines(&mut self, rows: Vec<Row>) -> (Vec<(CorrectedSpeed, Vec<LinePoint>)>, Vec<usize>) {
        let mut groups: Vec<(CorrectedSpeed, usize, Vec<LinePoint>)> = Vec::new();
        for row in rows {
            match groups.last_mut() {
                Some((speed, _, points)) if *speed == row.speed => points.push(row.point),
                _ => {
                    if let Some((_, first, _)) = groups.iter().find(|(speed, _, _)| *speed == row.speed) {
                        let message = format!(
                            "this speed line already stands from line {first}; keep its points together, once"
                        );
                        self.problem(row.line, None, message);
                    }
                    groups.push((row.speed, row.line, vec![row.point]));
                }
            }
        }
        for (speed, line, points) in &mut groups {
            if points.len() >= 2 && points[0].flow > points[points.len() - 1].flow {
                points.reverse();
            }
            let speed = speed.to_string();
            if points.len() < 3 {
                self.problem(
                    *line,
                    None,
                    format!("speed line {speed} has {} points; at least 3 are needed", points.len()),
                );
            } else if points.windows(2).any(|pair| pair[1].flow < pair[0].flow) {
                self.problem(
                    *line,
                    None,
                    format!(
                        "speed line {speed}: flow goes up and down; order the points from surge to choke"
                    ),
                );
            } else if points
                .windows(2)
                .any(|pair| pair[0].flow == pair[1].flow && pair[0].ratio <= pair[1].ratio)
            {
                self.problem(
                    *line,
                    None,
                    format!(
                        "speed line {speed}: two points have the same flow and do not fall in pressure ratio"
                    ),
                );
            }
        }
        groups.sort_by(|a, b| a.0.si().total_cmp(&b.0.si()));
        if self.problems.is_empty() && groups.len() < 2 {
            self.problem(None, None, format!("{} speed line; at least 2 are needed", groups.len()));
        }
        if groups.len() > MOST_LINES {
            self.problem(None, None, format!("{} speed lines; at most {MOST_LINES} are read", groups.len()));
        }
        groups.into_iter().map(|(speed, line, points)| ((speed, points), line)).unzip()
    }

    /// The speed line number `upper` and the one below it cross.
    fn crossed(&mut self, lines: &[(CorrectedSpeed, Vec<LinePoint>)], starts: &[usize], upper: usize) {
        let message = format!(
            "speed line {} does not lie above and right of {} everywhere; lines must not cross",
            lines[upper].0,
            lines[upper - 1].0
        );
        self.problem(starts[upper], None, message);
    }
}

struct Header {
    place: [usize; 4],
    factor: [f64; 4],
}

pub(crate) fn unit_factor<Q: Quantity + core::str::FromStr<Err = QuantityError>>(
    unit: &str,
) -> Result<f64, QuantityError> {
    Q::UNITS.iter().find(|known| known.label == unit).map_or_else(
        // Another spelling: let the parser find it, by the size of one of it.
        || format!("0.5 {unit}").parse::<Q>().map(|half| half.si() / 0.5),
        |known| Ok(known.factor),
    )
}
