//! The header of a table and the rows below it.

use super::column::unit_factor;
use super::{Column, Table};
use crate::quantity::{Pressure, Temperature, VolumeFlow, shorten};

/// Where each column stands, and the size of its unit in SI.
type Header<const N: usize> = [(usize, f64); N];

/// One line of data.
pub(crate) struct Row<const N: usize> {
    /// Its line in the file.
    pub line: usize,
    /// Whether an empty line stands above it.
    pub after_gap: bool,
    record: csv::StringRecord,
    header: Header<N>,
}

impl<const N: usize> Row<N> {
    pub fn field(&self, column: usize) -> &str {
        &self.record[self.header[column].0]
    }
}

impl<const N: usize> Table<'_, N> {
    /// What `read` makes of the rows, which have as many fields as the table has columns.
    pub fn rows<T>(&mut self, mut read: impl FnMut(&mut Self, &Row<N>) -> Option<T>) -> Vec<T> {
        let (mut header, mut rows, mut after_gap) = (None, Vec::new(), false);
        for (line, text) in core::mem::take(&mut self.lines) {
            if text.trim().is_empty() {
                after_gap = true;
                continue;
            }
            let Some(record) = self.fields(line, text) else { continue };
            match header {
                None => {
                    header = self.header(line, &record);
                    if header.is_none() {
                        return Vec::new();
                    }
                    self.header_line = Some(line);
                }
                Some(header) if self.is_whole(line, &record) => {
                    rows.extend(read(self, &Row { line, after_gap, record, header }));
                }
                Some(_) => {}
            }
            self.quotes(line, text);
            if self.full() {
                return Vec::new();
            }
            after_gap = false;
        }
        if header.is_none() {
            let message = format!("no table; its header names the columns {}", self.names());
            self.problem(None, message);
        }
        rows
    }

    fn names(&self) -> String {
        self.form.columns.map(|column| column.name).join(", ")
    }

    /// The fields of one line. Lines are read one by one, so that each problem gets the line it stands in.
    fn fields(&mut self, line: usize, text: &str) -> Option<csv::StringRecord> {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .trim(csv::Trim::All)
            .buffer_capacity(256)
            .from_reader(text.as_bytes());
        match reader.records().next() {
            Some(Ok(record)) => Some(record),
            Some(Err(error)) => {
                self.problem(line, format!("cannot be read as CSV ({error})"));
                None
            }
            None => None,
        }
    }

    /// A quotation mark without its partner: what it should enclose is not sure.
    fn quotes(&mut self, line: usize, text: &str) {
        if text.matches('"').count() % 2 == 1 {
            self.problem(line, "has a quotation mark that is not closed; close it or leave it out");
        }
    }

    fn header(&mut self, line: usize, record: &csv::StringRecord) -> Option<Header<N>> {
        if let Some(separator) = separator(record).filter(|_| record.len() == 1) {
            let message =
                format!("fields are separated by {separator}; separate them by commas, numbers with a point");
            self.problem(line, message);
            return None;
        }
        let before = self.problems.len();
        let (mut stands, mut found) = ([false; N], [None; N]);
        for (i, field) in record.iter().enumerate() {
            let (name, unit) = field.split_once('[').unwrap_or((field, ""));
            let name = name.trim().to_lowercase();
            let unit = unit.trim_end_matches(']').trim();
            let Some(at) = self.form.columns.iter().position(|column| column.name == name) else {
                let message =
                    format!("unknown column \"{}\"; the columns are {}", shorten(&name), self.names());
                self.problem(line, message);
                continue;
            };
            let column = self.form.columns[at];
            if core::mem::replace(&mut stands[at], true) {
                self.problem_at(line, at, "stands twice; keep one");
            }
            if unit.is_empty() && !column.example.is_empty() {
                let message = format!("has no unit; write \"{} [{}]\"", column.name, column.example);
                self.problem_at(line, at, message);
                continue;
            }
            let volume = column.density.zip(unit_factor::<VolumeFlow>(unit).ok());
            match (column.factor)(if unit == "-" { "" } else { unit }) {
                Ok(factor) => found[at] = Some((i, factor)),
                Err(_) if let Some((density, size)) = volume => {
                    found[at] = self.density(density, line, at, unit).map(|density| (i, size * density));
                }
                Err(error) => self.problem_at(line, at, error.to_string()),
            }
        }
        for at in (0..N).filter(|&at| !stands[at]) {
            self.problem_at(line, at, "is missing");
        }
        // A doubtful header says nothing sure about where a row's numbers belong.
        every(found).filter(|_| self.problems.len() == before)
    }

    /// The density that turns a volume flow into a mass flow: of the reference conditions above the table.
    fn density(&mut self, of: fn(f64, f64) -> f64, line: usize, at: usize, unit: &str) -> Option<f64> {
        let temperature =
            self.said("reference temperature").and_then(|(_, text)| text.parse::<Temperature>().ok());
        let pressure = self.said("reference pressure").and_then(|(_, text)| text.parse::<Pressure>().ok());
        let Some((temperature, pressure)) = temperature.zip(pressure) else {
            let message = format!(
                "is a volume flow, {unit}; times the density at the map's reference it is a mass flow: give reference \
                 temperature and pressure above the table"
            );
            self.problem_at(line, at, message);
            return None;
        };
        let density = of(temperature.si(), pressure.si());
        self.volume = Some((unit.into(), density));
        Some(density)
    }

    fn is_whole(&mut self, line: usize, record: &csv::StringRecord) -> bool {
        let count = record.len();
        if count != N {
            let hint = match separator(record) {
                Some(separator) => format!("commas separate them, not {separator}"),
                None if count > N => "is it a decimal comma? Write 0.123 with a point".into(),
                None => self.form.fewer.into(),
            };
            self.problem(line, format!("has {count} fields where {N} belong; {hint}"));
        }
        count == N
    }

    /// The number in a field, in SI.
    pub fn number(&mut self, row: &Row<N>, column: usize) -> Option<f64> {
        let field = row.field(column);
        let Ok(number) = field.parse::<f64>() else {
            let hint = if field.contains(',') { "; write it with a decimal point" } else { "" };
            self.problem_at(row.line, column, format!("\"{}\" is not a number{hint}", shorten(field)));
            return None;
        };
        let value = number * row.header[column].1;
        if !value.is_finite() {
            self.problem_at(row.line, column, "is not finite (NaN or infinity); leave the point out");
            return None;
        }
        Some(value)
    }
    /// The numbers of a row whose columns all hold one.
    pub fn numbers(&mut self, row: &Row<N>) -> Option<[f64; N]> {
        every(core::array::from_fn(|column| self.number(row, column)))
    }

    /// Whether a number lies where those of its column do.
    pub fn fits(&mut self, row: &Row<N>, column: usize, value: f64) -> bool {
        let Column { fits, otherwise, .. } = self.form.columns[column];
        if !fits(value) {
            self.problem_at(row.line, column, otherwise);
        }
        fits(value)
    }
    /// The same for all numbers of a row.
    pub fn all_fit(&mut self, row: &Row<N>, values: &[f64; N]) -> bool {
        let fit: [bool; N] = core::array::from_fn(|column| self.fits(row, column, values[column]));
        fit == [true; N]
    }
}

/// What separates fields where commas should.
fn separator(record: &csv::StringRecord) -> Option<&'static str> {
    let [semicolon, tab] = [';', '\t'].map(|mark| record.iter().any(|field| field.contains(mark)));
    if semicolon { Some("semicolons") } else { tab.then_some("tabs") }
}

fn every<T: Copy + Default, const N: usize>(found: [Option<T>; N]) -> Option<[T; N]> {
    found.iter().all(Option::is_some).then(|| found.map(Option::unwrap_or_default))
}
