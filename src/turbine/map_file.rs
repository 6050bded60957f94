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
use crate::compressor::unit_factor;
use crate::problem::{Problem, Problems, read_text};
use crate::quantity::{shorten, *};
use core::str::FromStr;
use std::collections::BTreeMap;
use std::path::Path;

const MOST_BYTES: u64 = 8_000_000;
const MOST_PROBLEMS: usize = 200;
const COLUMNS: [&str; 4] = ["corrected speed", "expansion ratio", "corrected flow", "efficiency"];
const KEYS: [&str; 10] = [
    "shaftwork-turbine-map",
    "title",
    "reference temperature",
    "reference pressure",
    "gamma",
    "gas constant",
    "expansion ratio",
    "efficiency",
    "wheel",
    "provenance",
];
const OF_WHEEL: &str = "total to static, of the wheel";
const WITH_BEARINGS: &str = "total to static, with bearings";

impl TurbineMap {
    /// Reads a map from a CSV file.
    ///
    /// # Errors
    ///
    /// [`Problems`] with every problem found, each with its line and column.
    pub fn from_csv(path: impl AsRef<Path>) -> Result<Self, Problems> {
        let path = path.as_ref();
        let text = read_text(path, MOST_BYTES)?;
        Self::from_csv_text(&path.display().to_string(), &text)
    }

    /// Reads a map from the text of a CSV file; `file` names it in messages.
    pub fn from_csv_text(file: &str, text: &str) -> Result<Self, Problems> {
        let mut reader = Reader { file, problems: Vec::new() };
        let front = reader.front_matter(text);
        let lines = reader.points(text);
        let lines = reader.lines(lines);
        let test = reader.test(&front);
        let bearings = reader.bearings(&front);
        let wheel = front.contains_key("wheel").then(|| reader.value::<Length>(&front, "wheel", "60 mm"));
        let said = |key: &str, otherwise: &str| {
            front.get(key).map_or_else(|| otherwise.to_string(), |(_, text)| text.clone())
        };
        match (test, bearings) {
            (Some(test), Some(bearings)) if reader.problems.is_empty() => {
                let kind = (bearings, wheel.flatten());
                Ok(Self::build(said("title", file), said("provenance", "not stated"), test, kind, lines))
            }
            _ => {
                reader.problems.sort_by_key(|problem| problem.line);
                Err(Problems(reader.problems))
            }
        }
    }
}

type Front = BTreeMap<String, (usize, String)>;
/// Line in the file, speed, point.
type Row = (usize, f64, TurbineLinePoint);
/// Points of one speed line with their lines in the file.
type Points = Vec<(usize, TurbineLinePoint)>;

struct Reader<'a> {
    file: &'a str,
    problems: Vec<Problem>,
}

impl Reader<'_> {
    fn problem(&mut self, line: impl Into<Option<usize>>, at: Option<&str>, message: impl Into<String>) {
        if self.problems.len() < MOST_PROBLEMS {
            let at = at.map(|name| format!("column \"{name}\""));
            let (file, message) = (self.file.into(), message.into());
            self.problems.push(Problem { file, line: line.into(), at, message });
        }
    }

    fn front_matter(&mut self, text: &str) -> Front {
        let mut front = Front::new();
        for (i, line) in text.lines().enumerate().filter(|(_, line)| line.starts_with('#')) {
            let Some((key, value)) = line.trim_start_matches('#').split_once(':') else { continue };
            let key = key.trim().to_lowercase();
            if !KEYS.contains(&key.as_str()) {
                let keys = KEYS.join(", ");
                self.problem(i + 1, None, format!("unknown key \"{}\"; the keys are: {keys}", shorten(&key)));
            } else if let Some((first, _)) = front.insert(key.clone(), (i + 1, value.trim().to_string())) {
                let message = format!("\"{key}\" stands a second time (first in line {first}); keep one");
                self.problem(i + 1, None, message);
            }
        }
        if let Some((line, version)) = front.get("shaftwork-turbine-map").filter(|(_, text)| text != "1") {
            let message = format!(
                "shaftwork-turbine-map {version} is not read; this version reads shaftwork-turbine-map 1"
            );
            self.problem(*line, None, message);
        }
        if let Some((line, value)) =
            front.get("expansion ratio").filter(|(_, text)| text != "total to static")
        {
            let message = format!(
                "expansion ratio \"{value}\" is not read; give it total to static, or leave the line out if it is"
            );
            self.problem(*line, None, message);
        }
        front
    }

    fn value<Q: Quantity + FromStr<Err = QuantityError>>(
        &mut self,
        front: &Front,
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

    fn test(&mut self, front: &Front) -> Option<TestConditions> {
        let temperature = self.value::<Temperature>(front, "reference temperature", "288.15 K");
        let pressure = self.value::<Pressure>(front, "reference pressure", "101.325 kPa");
        let gamma = self.value::<HeatCapacityRatio>(front, "gamma", "1.4");
        let gas_constant = self.value::<SpecificHeat>(front, "gas constant", "287.05 J/(kg K)");
        let made = TestConditions::new(temperature?, pressure?, gamma?, gas_constant?);
        made.map_err(|error| self.problem(None, None, error.plainly())).ok()
    }

    fn bearings(&mut self, front: &Front) -> Option<BearingLoss> {
        let both = format!("\"# efficiency: {OF_WHEEL}\" or \"# efficiency: {WITH_BEARINGS}\"");
        match front.get("efficiency").map(|(line, text)| (*line, text.as_str())) {
            Some((_, OF_WHEEL)) => Some(BearingLoss::Apart),
            Some((_, WITH_BEARINGS)) => Some(BearingLoss::InEfficiency),
            Some((line, other)) => {
                self.problem(line, None, format!("efficiency \"{other}\" is not read; write {both}"));
                None
            }
            None => {
                let message =
                    format!("nothing says whether the efficiency includes the bearings; write {both}");
                self.problem(None, None, message);
                None
            }
        }
    }

    fn points(&mut self, text: &str) -> Vec<Row> {
        let mut header = None;
        let mut rows = Vec::new();
        let data =
            text.lines().enumerate().filter(|(_, text)| !text.starts_with('#') && !text.trim().is_empty());
        for (line, text) in data.map(|(i, text)| (i + 1, text)) {
            let fields: Vec<&str> = text.split(',').map(str::trim).collect();
            match &header {
                None => match self.header(line, &fields) {
                    Some(found) => header = Some(found),
                    None => return Vec::new(),
                },
                Some(header) => rows.extend(self.row(line, header, &fields)),
            }
        }
        if header.is_none() {
            let message = format!("no table; its header names the columns {}", COLUMNS.join(", "));
            self.problem(None, None, message);
        }
        rows
    }

    /// Place and factor of each column.
    fn header(&mut self, line: usize, fields: &[&str]) -> Option<[(usize, f64); 4]> {
        let before = self.problems.len();
        let mut found: [Option<(usize, f64)>; 4] = [None; 4];
        for (i, field) in fields.iter().enumerate() {
            let (name, unit) = field.split_once('[').unwrap_or((field, ""));
            let name = name.trim().to_lowercase();
            let unit = unit.trim_end_matches(']').trim();
            let Some(column) = COLUMNS.iter().position(|column| *column == name) else {
                let columns = COLUMNS.join(", ");
                let message = format!("unknown column \"{}\"; the columns are {columns}", shorten(&name));
                self.problem(line, None, message);
                continue;
            };
            if unit.is_empty() {
                let example = ["rpm", "-", "kg/s", "-"][column];
                let message = format!("has no unit; write \"{} [{example}]\"", COLUMNS[column]);
                self.problem(line, Some(COLUMNS[column]), message);
                continue;
            }
            let unit = if unit == "-" { "" } else { unit };
            let factor = match column {
                0 => unit_factor::<CorrectedSpeed>(unit),
                1 => unit_factor::<ExpansionRatio>(unit),
                2 => unit_factor::<CorrectedMassFlow>(unit),
                _ => unit_factor::<Efficiency>(unit),
            };
            match factor {
                Err(error) => self.problem(line, Some(COLUMNS[column]), error.to_string()),
                Ok(factor) => {
                    if found[column].replace((i, factor)).is_some() {
                        self.problem(line, Some(COLUMNS[column]), "stands twice; keep one");
                    }
                }
            }
        }
        if self.problems.len() == before {
            for (column, _) in found.iter().enumerate().filter(|(_, found)| found.is_none()) {
                self.problem(line, Some(COLUMNS[column]), "is missing");
            }
        }
        let [Some(a), Some(b), Some(c), Some(d)] = found else { return None };
        (self.problems.len() == before).then_some([a, b, c, d])
    }

    fn row(&mut self, line: usize, header: &[(usize, f64); 4], fields: &[&str]) -> Option<Row> {
        if fields.len() != 4 {
            let hint = match fields.len() {
                n if n > 4 => "; is it a decimal comma? Write 0.123 with a point",
                _ => "; is the file cut off?",
            };
            self.problem(line, None, format!("has {} fields where 4 belong{hint}", fields.len()));
            return None;
        }
        let before = self.problems.len();
        let mut si = [0.0; 4];
        for (column, (place, factor)) in header.iter().enumerate() {
            match fields[*place].parse::<f64>() {
                Ok(number) if number.is_finite() => si[column] = number * factor,
                Ok(_) => self.problem(line, Some(COLUMNS[column]), "is not finite; leave the point out"),
                Err(_) => {
                    let message = format!("\"{}\" is not a number", shorten(fields[*place]));
                    self.problem(line, Some(COLUMNS[column]), message);
                }
            }
        }
        if self.problems.len() > before {
            return None;
        }
        let [speed, ratio, flow, efficiency] = si;
        let bounds = [
            (
                speed > 100.0 && speed < 5e4,
                "is not between 1000 and 470 000 rpm; check unit and order of the columns",
            ),
            (
                (1.0..=12.0).contains(&ratio),
                "is not between 1 and 12; it is total inlet over static outlet pressure",
            ),
            (flow > 0.0 && flow < 20.0, "is not between 0 and 20 kg/s; a flow is positive"),
            (
                (0.01..=0.95).contains(&efficiency),
                "is not between 0.01 and 0.95; percent need the unit [%] in the header",
            ),
        ];
        for (column, (_, message)) in bounds.iter().enumerate().filter(|(_, (fits, _))| !fits) {
            self.problem(line, Some(COLUMNS[column]), *message);
        }
        let point = TurbineLinePoint { ratio, flow, efficiency };
        (self.problems.len() == before).then_some((line, speed, point))
    }

    /// Groups rows into speed lines by rising speed, and checks that they make a map.
    fn lines(&mut self, rows: Vec<Row>) -> Vec<(f64, Vec<TurbineLinePoint>)> {
        let mut groups: Vec<(f64, usize, Points)> = Vec::new();
        for (line, speed, point) in rows {
            match groups.last_mut() {
                Some((known, _, points)) if *known == speed => points.push((line, point)),
                _ => {
                    if let Some((_, first, _)) = groups.iter().find(|(known, _, _)| *known == speed) {
                        let message = format!(
                            "this speed line already stands from line {first}; keep its points together, once"
                        );
                        self.problem(line, None, message);
                    }
                    groups.push((speed, line, vec![(line, point)]));
                }
            }
        }
        if self.problems.is_empty() && groups.len() < 2 {
            self.problem(None, None, "has fewer than two speed lines; a map needs two or more");
        }
        for (_, first, points) in &groups {
            if points.len() < 3 {
                self.problem(*first, None, "this speed line has fewer than three points");
            }
            for pair in points.windows(2) {
                let [(_, before), (line, after)] = [pair[0], pair[1]];
                if after.ratio <= before.ratio {
                    self.problem(
                        line,
                        Some(COLUMNS[1]),
                        "does not rise along its speed line; sort the line by it",
                    );
                } else if after.flow < 0.98 * before.flow {
                    let message = "falls by more than 2 % while the expansion ratio rises; check the columns";
                    self.problem(line, Some(COLUMNS[2]), message);
                }
            }
        }
        groups.sort_by(|a, b| a.0.total_cmp(&b.0));
        groups
            .into_iter()
            .map(|(speed, _, points)| (speed, points.into_iter().map(|(_, point)| point).collect()))
            .collect()
    }
}
