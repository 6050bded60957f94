//! A TOML document read key by key, collecting every problem with its line.

mod readings;

use super::{Grade, InputRecord};
use crate::problem::Problem;
use crate::quantity::{Quantity, QuantityError};
use core::cell::RefCell;
use core::str::FromStr;
use std::collections::BTreeSet;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The document with what was found in it so far.
pub(super) struct Document<'a> {
    pub file: &'a str,
    text: &'a str,
    pub problems: RefCell<Vec<Problem>>,
    pub inputs: RefCell<Vec<InputRecord>>,
}

impl<'a> Document<'a> {
    pub fn new(file: &'a str, text: &'a str) -> Self {
        Self { file, text, problems: RefCell::default(), inputs: RefCell::default() }
    }
    pub fn line(&self, at: usize) -> usize {
        self.text.as_bytes()[..at.min(self.text.len())].iter().filter(|&&b| b == b'\n').count() + 1
    }
    pub fn problem(&self, line: Option<usize>, key: &str, message: impl Into<String>) {
        let at = (!key.is_empty()).then(|| format!("key \"{key}\""));
        self.problems.borrow_mut().push(Problem {
            file: self.file.into(),
            line,
            at,
            message: message.into(),
        });
    }
}

/// What each of several readings counts before any evidence.
const WEIGHTS: &str = "weights";

/// One table of the document. Keys that nobody asked for are reported when it is closed.
pub(super) struct Table<'d, 'a> {
    document: &'d Document<'a>,
    table: Option<&'d DeTable<'a>>,
    path: String,
    line: Option<usize>,
    asked: RefCell<BTreeSet<&'static str>>,
}

/// A value with the place it came from.
pub(super) struct Found<T> {
    pub value: T,
    pub line: usize,
}

impl<'d, 'a> Table<'d, 'a> {
    pub fn root(document: &'d Document<'a>, table: &'d DeTable<'a>) -> Self {
        Self { document, table: Some(table), path: String::new(), line: None, asked: RefCell::default() }
    }

    fn key(&self, name: &str) -> String {
        if self.path.is_empty() { name.into() } else { format!("{}.{name}", self.path) }
    }
    fn get(&self, name: &'static str) -> Option<(&'d DeValue<'a>, usize)> {
        self.asked.borrow_mut().insert(name);
        self.table?
            .iter()
            .find(|(key, _)| key.get_ref() == name)
            .map(|(key, value)| (value.get_ref(), self.document.line(key.span().start)))
    }
    /// Reports a problem at a line of this table.
    pub fn problem(&self, line: impl Into<Option<usize>>, name: &str, message: impl Into<String>) {
        self.document.problem(line.into().or(self.line), &self.key(name), message);
    }
    /// Reports a problem of this table as a whole.
    pub fn problem_of_all(&self, message: impl Into<String>) {
        self.document.problem(self.line, &self.path, message);
    }
    fn missing(&self, name: &str, example: &str) {
        if self.table.is_some() {
            self.problem(None, name, format!("is missing; write for instance: {name} = {example}"));
        }
    }

    /// A table inside this one; a missing one is reported once and then read as empty.
    pub fn table(&self, name: &'static str) -> Table<'d, 'a> {
        let found = self.get(name);
        let table = match found {
            Some((DeValue::Table(table), _)) => Some(table),
            Some((_, line)) => {
                self.problem(line, name, format!("must be a table, [{}]", self.key(name)));
                None
            }
            None => {
                if self.table.is_some() {
                    self.document.problem(None, "", format!("the table [{}] is missing", self.key(name)));
                }
                None
            }
        };
        Table {
            document: self.document,
            table,
            path: self.key(name),
            line: found.map(|f| f.1),
            asked: RefCell::default(),
        }
    }

    /// A table inside this one that may be left out.
    pub fn table_if_there(&self, name: &'static str) -> Table<'d, 'a> {
        match self.get(name) {
            Some(_) => self.table(name),
            None => Table {
                document: self.document,
                table: None,
                path: self.key(name),
                line: None,
                asked: RefCell::default(),
            },
        }
    }

    /// An array of tables; at least one is needed.
    pub fn tables(&self, name: &'static str) -> Vec<Table<'d, 'a>> {
        let entries = match self.get(name) {
            Some((DeValue::Array(array), _)) => array.iter().collect(),
            Some((_, line)) => {
                self.problem(line, name, format!("must be a list of tables, [[{}]]", self.key(name)));
                return Vec::new();
            }
            None => Vec::new(),
        };
        if entries.is_empty() && self.table.is_some() {
            // As the file writes it: without the place in the list.
            let plain: String = self.key(name).split(['[', ']']).step_by(2).collect();
            self.document.problem(self.line, "", format!("no [[{plain}]]; at least one is needed"));
        }
        let open = |(i, entry): (usize, &'d Spanned<DeValue<'a>>)| {
            let path = format!("{}[{}]", self.key(name), i + 1);
            let line = self.document.line(entry.span().start);
            let table = entry.get_ref().as_table();
            if table.is_none() {
                self.document.problem(Some(line), &path, "must be a table");
            }
            Table { document: self.document, table, path, line: Some(line), asked: RefCell::default() }
        };
        entries.into_iter().enumerate().map(open).collect()
    }

    /// An array of tables that may be left out.
    pub fn tables_if_there(&self, name: &'static str) -> Vec<Table<'d, 'a>> {
        if self.get(name).is_some() { self.tables(name) } else { Vec::new() }
    }

    /// A quantity that must be there.
    pub fn required<Q>(&self, name: &'static str, example: &str) -> Option<Found<Q>>
    where
        Q: Quantity + FromStr<Err = QuantityError>,
    {
        if self.table.is_some() && self.get(name).is_none() {
            self.missing(name, &format!("\"{example}\""));
        }
        self.optional(name)
    }

    /// A quantity that may be left out.
    pub fn optional<Q>(&self, name: &'static str) -> Option<Found<Q>>
    where
        Q: Quantity + FromStr<Err = QuantityError>,
    {
        let (value, line) = self.get(name)?;
        let typed = self.typed(name, value, line)?;
        self.parse(name, &typed, line)
    }

    /// Whether a key stands there and is a text that reads as such a quantity.
    pub fn reads_as<Q: FromStr>(&self, name: &'static str) -> bool {
        let text = self.get(name).map(|(value, _)| inner(value));
        matches!(text, Some(DeValue::String(text)) if text.parse::<Q>().is_ok())
    }

    fn parse<Q>(&self, name: &str, typed: &str, line: usize) -> Option<Found<Q>>
    where
        Q: Quantity + FromStr<Err = QuantityError>,
    {
        match typed.parse() {
            Ok(value) => Some(Found { value, line }),
            Err(error) => {
                let hint = match &error {
                    QuantityError::OutOfBounds { value, high, .. }
                        if value > high
                            && *value <= 100.0
                            && Q::UNITS.iter().any(|unit| unit.label == "%") =>
                    {
                        format!("; for percent write \"{} %\"", typed.trim())
                    }
                    _ => String::new(),
                };
                self.problem(line, name, format!("{error}{hint}"));
                None
            }
        }
    }

    /// A text.
    pub fn text(&self, name: &'static str) -> Option<Found<String>> {
        let (value, line) = self.get(name)?;
        match value {
            DeValue::String(text) if text.chars().any(char::is_control) => {
                self.problem(line, name, "has a control character in it; leave it out");
                None
            }
            DeValue::String(text) if text.trim().is_empty() => {
                self.problem(line, name, "is empty");
                None
            }
            DeValue::String(text) => Some(Found { value: text.to_string(), line }),
            _ => {
                self.problem(line, name, "must be text in quotes");
                None
            }
        }
    }
    /// A text that must be there.
    pub fn required_text(&self, name: &'static str, example: &str) -> Option<Found<String>> {
        if self.table.is_some() && self.get(name).is_none() {
            self.missing(name, &format!("\"{example}\""));
        }
        self.text(name)
    }
    /// True or false.
    pub fn flag(&self, name: &'static str) -> bool {
        match self.get(name) {
            Some((DeValue::Boolean(flag), _)) => *flag,
            Some((_, line)) => {
                self.problem(line, name, "must be true or false");
                false
            }
            None => false,
        }
    }
    /// A whole number that must be there.
    pub fn count(&self, name: &'static str, example: &str) -> Option<Found<u32>> {
        let Some((value, line)) = self.get(name) else {
            self.missing(name, example);
            return None;
        };
        let typed = self.typed(name, value, line)?;
        self.parse_count(name, &typed, line, example).map(|value| Found { value, line })
    }
    fn parse_count(&self, name: &str, typed: &str, line: usize, example: &str) -> Option<u32> {
        let wrong = |_| {
            let message = format!("\"{typed}\" is not a whole number; write for instance {name} = {example}");
            self.problem(line, name, message);
        };
        typed.parse().map_err(wrong).ok()
    }

    /// The band beside a value that was read.
    pub fn band(&self, name: &str) -> Option<String> {
        let key = self.key(name);
        let inputs = self.document.inputs.borrow();
        inputs.iter().find(|input| input.key == key).and_then(|input| input.band.clone())
    }
    /// The line of a key.
    pub fn line_of(&self, name: &'static str) -> Option<usize> {
        self.get(name).map(|(_, line)| line)
    }
    /// False for a table that is missing, so that its absence is complained of once.
    pub fn exists(&self) -> bool {
        self.table.is_some()
    }

    /// Reports the keys that nobody asked for.
    pub fn close(self) {
        let asked = self.asked.borrow();
        for (key, _) in self.table.into_iter().flatten().filter(|(key, _)| !asked.contains(&**key.get_ref()))
        {
            let known: Vec<_> = asked.iter().copied().collect();
            let name = crate::quantity::shorten(key.get_ref());
            let line = self.document.line(key.span().start);
            self.problem(line, &name, format!("is not known here; the keys are: {}", known.join(", ")));
        }
    }

    /// What the user typed, also inside `{ value = ..., source = ..., grade = ..., band = ... }`.
    fn typed(&self, name: &'static str, value: &'d DeValue<'a>, line: usize) -> Option<String> {
        self.typed_beside(name, value, line, false)
    }
    /// The same, where weights may stand beside it.
    fn typed_beside(
        &self,
        name: &'static str,
        value: &'d DeValue<'a>,
        line: usize,
        weighted: bool,
    ) -> Option<String> {
        let typed = self.scalar(name, inner(value), line)?;
        self.record(name, value, line, typed.clone(), weighted);
        Some(typed)
    }

    fn scalar(&self, name: &str, value: &DeValue<'_>, line: usize) -> Option<String> {
        match value {
            DeValue::String(text) => Some(text.to_string()),
            DeValue::Integer(number) if number.radix() == 10 => Some(number.as_str().to_string()),
            DeValue::Float(number) => Some(number.as_str().to_string()),
            DeValue::Table(_) => {
                self.problem(line, name, "has no \"value\"; write { value = \"84 mm\", source = \"...\" }");
                None
            }
            _ => {
                self.problem(line, name, "must be a number, or text with a unit");
                None
            }
        }
    }

    /// Keeps an input; `weighted` says whether weights may stand beside it.
    fn record(&self, name: &'static str, value: &'d DeValue<'a>, line: usize, typed: String, weighted: bool) {
        let key = self.key(name);
        if self.document.inputs.borrow().iter().any(|input| input.key == key) {
            return;
        }
        let mut input = InputRecord { key, typed, source: None, grade: None, band: None, line };
        if let DeValue::Table(table) = value {
            for (key, entry) in table.iter() {
                let text = entry.get_ref().as_str().map(str::to_string);
                match (&**key.get_ref(), text) {
                    ("value", _) => {}
                    (WEIGHTS, _) if weighted => {}
                    ("source", Some(text)) => input.source = Some(text),
                    ("band", Some(text)) => input.band = Some(text),
                    ("grade", Some(text)) => match Grade::from_words(&text) {
                        Some(grade) => input.grade = Some(grade),
                        None => {
                            let grades = Grade::ALL.map(Grade::words).join(", ");
                            self.problem(
                                line,
                                name,
                                format!("grade \"{text}\" is not known; the grades are: {grades}"),
                            );
                        }
                    },
                    (other, _) => {
                        let weights = if weighted { ", weights" } else { "" };
                        let message = format!(
                            "\"{other}\" is not known here, or not text; beside value stand source, grade, band{weights}"
                        );
                        self.problem(line, name, message);
                    }
                }
            }
        }
        self.document.inputs.borrow_mut().push(input);
    }
}

/// The value itself, where it stands in a table with its source.
fn inner<'d, 'a>(value: &'d DeValue<'a>) -> &'d DeValue<'a> {
    match value {
        DeValue::Table(table) => {
            table.iter().find(|(key, _)| key.get_ref() == "value").map_or(value, |(_, inner)| inner.get_ref())
        }
        _ => value,
    }
}
