//! Why a notebook is not proved, and where.

use std::fmt;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Not a notebook of format 4.
    Unreadable,
    /// A kernel command is missing, misplaced or wrong.
    KernelCommand,
    /// The committed outputs show an error.
    CommittedOutput,
    /// The cell shows something else than the committed outputs.
    ChangedOutput,
    /// The cell shows NaN or an infinity.
    NotANumber,
    CompileError,
    FailedAssertion,
    Panic,
    /// `?` met an error.
    ReturnedError,
    /// The run exceeded its limit, or the process ended before its last cell did.
    Stopped,
    /// The check itself could not be done.
    Unchecked,
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Unreadable => "unreadable",
            Self::KernelCommand => "kernel command",
            Self::CommittedOutput => "committed output",
            Self::ChangedOutput => "changed output",
            Self::NotANumber => "not a number",
            Self::CompileError => "compile error",
            Self::FailedAssertion => "failed assertion",
            Self::Panic => "panic",
            Self::ReturnedError => "error from `?`",
            Self::Stopped => "stopped",
            Self::Unchecked => "not checked",
        })
    }
}

/// A line of a cell; both count from 1, cells among the code cells only.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    pub cell: usize,
    pub line: usize,
}

#[derive(Debug)]
pub struct Failure {
    pub notebook: String,
    pub cell: Option<usize>,
    pub line: Option<usize>,
    pub kind: Kind,
    pub message: String,
}

impl Failure {
    pub fn new(kind: Kind, message: impl fmt::Display) -> Self {
        Self { notebook: String::new(), cell: None, line: None, kind, message: message.to_string() }
    }

    pub fn in_notebook(self, notebook: String) -> Self {
        Self { notebook, ..self }
    }

    pub fn in_cell(self, cell: usize) -> Self {
        Self { cell: Some(cell), ..self }
    }

    pub fn at(self, place: Option<Place>) -> Self {
        Self { cell: place.map(|place| place.cell), line: place.map(|place| place.line), ..self }
    }
}

impl From<std::io::Error> for Failure {
    fn from(error: std::io::Error) -> Self {
        Self::new(Kind::Unchecked, error)
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.notebook)?;
        if let Some(cell) = self.cell {
            write!(f, ", cell {cell}")?;
        }
        if let Some(line) = self.line {
            write!(f, ", line {line}")?;
        }
        write!(f, ": {}: {}", self.kind, self.message)
    }
}
