//! CSV tables with front matter after `#`: one reader for every kind of map, which names each problem at its place.

mod column;
mod front;
mod rows;
mod speed_lines;

pub(crate) use column::Column;
pub(crate) use rows::Row;
pub(crate) use speed_lines::SpeedLine;

use crate::problem::{Problem, Problems, read_text};
use std::collections::BTreeMap;
use std::path::Path;

/// The largest file that is read.
pub(crate) const MOST_BYTES: u64 = 8_000_000;
/// Past these a file is beyond mending line by line.
const MOST_PROBLEMS: usize = 200;

/// What a kind of table may hold.
pub(crate) struct Form<const N: usize> {
    /// The key that names the form, with its version.
    pub name: &'static str,
    /// The other keys of the front matter.
    pub keys: &'static [&'static str],
    /// Keys that may be left out, and the one phrase that they may say.
    pub phrases: &'static [(&'static str, &'static str)],
    /// The columns, which a file may hold in any order.
    pub columns: [Column; N],
    /// What to do about a row with too few fields.
    pub fewer: &'static str,
}

/// A text that is read as a table, with the problems found so far.
pub(crate) struct Table<'a, const N: usize> {
    file: &'a str,
    /// The lines that are not front matter, with their numbers.
    lines: Vec<(usize, &'a str)>,
    form: &'static Form<N>,
    /// By key: line and value.
    front: BTreeMap<String, (usize, String)>,
    header_line: Option<usize>,
    /// The unit of a volume flow that was read as a mass flow, and the density.
    volume: Option<(String, f64)>,
    problems: Vec<Problem>,
}

impl<'a, const N: usize> Table<'a, N> {
    /// Reads the front matter; `file` names the text in messages.
    pub fn open(file: &'a str, text: &'a str, form: &'static Form<N>) -> Self {
        let (front, problems) = (BTreeMap::new(), Vec::new());
        let (torn, whole): (Vec<_>, Vec<_>) = numbered(text).partition(|(_, line)| line.contains('\r'));
        let (about, lines): (Vec<_>, Vec<_>) = whole.into_iter().partition(|(_, line)| line.starts_with('#'));
        let mut table = Self { file, lines, form, front, header_line: None, volume: None, problems };
        for (line, _) in torn {
            table.problem(line, "holds a carriage return in its middle; end each line with a line feed");
        }
        table.read_front(about);
        table
    }

    /// The line of the header, once the rows are read.
    pub fn header_line(&self) -> Option<usize> {
        self.header_line
    }

    /// A problem in this line, or in the file as a whole.
    pub fn problem(&mut self, line: impl Into<Option<usize>>, message: impl Into<String>) {
        self.push(line.into(), None, message.into());
    }
    /// A problem in this line and column.
    pub fn problem_at(&mut self, line: usize, column: usize, message: impl Into<String>) {
        let at = format!("column \"{}\"", self.form.columns[column].name);
        self.push(Some(line), Some(at), message.into());
    }
    fn push(&mut self, line: Option<usize>, at: Option<String>, message: String) {
        let (at, message) = match self.problems.len() {
            MOST_PROBLEMS => {
                (None, format!("the {MOST_PROBLEMS} problems up to here come first; nothing is read on"))
            }
            count if count < MOST_PROBLEMS => (at, message),
            _ => return,
        };
        self.problems.push(Problem { file: self.file.into(), line, at, message });
    }
    fn full(&self) -> bool {
        self.problems.len() > MOST_PROBLEMS
    }

    /// Whether no problem was found so far.
    pub fn is_sound(&self) -> bool {
        self.problems.is_empty()
    }
    /// What was made of the table, where nothing is wrong with it; otherwise all problems by line.
    pub fn judge<T>(&mut self, made: Option<T>) -> Result<T, Problems> {
        match made {
            Some(made) if self.is_sound() => Ok(made),
            _ => {
                self.problems.sort_by_key(|problem| problem.line);
                Err(Problems(core::mem::take(&mut self.problems)))
            }
        }
    }
}

/// The lines of a text with their numbers from one. They end with a line feed, with or without a
/// carriage return before it; in a text without any line feed, with a carriage return.
pub(crate) fn numbered(text: &str) -> impl Iterator<Item = (usize, &str)> {
    // A byte-order mark is harmless; keep it out of the first key.
    let text = text.trim_start_matches('\u{feff}');
    let end = if text.contains('\n') { '\n' } else { '\r' };
    let lines = text.split_terminator(end).map(|line| line.strip_suffix('\r').unwrap_or(line));
    lines.enumerate().map(|(i, line)| (i + 1, line))
}

/// Reads a file and makes something of its name and its text.
pub(crate) fn from_file<T>(
    path: &Path,
    read: impl FnOnce(&str, &str) -> Result<T, Problems>,
) -> Result<T, Problems> {
    let text = read_text(path, MOST_BYTES)?;
    read(&path.display().to_string(), &text)
}
