//! Problems in the user's files: all of them at once, each with its place and what to do.

use std::io::Read;
use std::path::Path;

/// One problem in a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// The file as the user named it.
    pub file: String,
    /// Line, counted from one; `None` where the file as a whole is meant.
    pub line: Option<usize>,
    /// Column of the table or key of the study.
    pub at: Option<String>,
    /// What is wrong and what to do.
    pub message: String,
}

/// Every problem found in the user's files.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Problems(pub(crate) Vec<Problem>);

impl Problems {
    /// The problems, in the order of the files.
    pub fn iter(&self) -> impl Iterator<Item = &Problem> {
        self.0.iter()
    }
    pub(crate) fn one(file: &str, message: impl Into<String>) -> Self {
        Self(vec![Problem { file: file.into(), line: None, at: None, message: message.into() }])
    }
}

impl core::fmt::Display for Problem {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}", self.file)?;
        if let Some(line) = self.line {
            write!(f, ", line {line}")?;
        }
        if let Some(at) = &self.at {
            write!(f, ", {at}")?;
        }
        write!(f, ": {}", self.message)
    }
}

impl core::fmt::Display for Problems {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        const MOST: usize = 40;
        for (i, problem) in self.0.iter().take(MOST).enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{problem}")?;
        }
        if let Some(last) = self.0.get(MOST..).and_then(<[Problem]>::last) {
            write!(f, "\n... and {} more, the last:\n{last}", self.0.len() - MOST)?;
        }
        Ok(())
    }
}
impl core::error::Error for Problems {}

/// Reads a text file of at most `most` bytes, naming what is wrong with it otherwise.
pub(crate) fn read_text(path: &Path, most: u64) -> Result<String, Problems> {
    let file = path.display().to_string();
    let failed = |message: String| Problems::one(&file, message);
    let about = std::fs::metadata(path)
        .map_err(|error| failed(format!("cannot be opened ({error}); check the path")))?;
    if about.is_dir() {
        return Err(failed("is a folder; name a file".into()));
    }
    if about.len() > most {
        let size = about.len() / 1_000_000;
        return Err(failed(format!("has {size} MB; at most {} MB are read", most / 1_000_000)));
    }
    // The length that the system states is not trusted: devices and pipes state none.
    let mut bytes = Vec::new();
    let read = std::fs::File::open(path).and_then(|opened| opened.take(most + 1).read_to_end(&mut bytes));
    read.map_err(|error| failed(format!("cannot be read ({error})")))?;
    if bytes.len() as u64 > most {
        return Err(failed(format!("is longer than {} MB", most / 1_000_000)));
    }
    text_of(&file, bytes)
}

fn text_of(file: &str, bytes: Vec<u8>) -> Result<String, Problems> {
    let text = String::from_utf8(bytes).map_err(|error| {
        let bad = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..bad].iter().filter(|&&b| b == b'\n').count() + 1;
        let message = "is not UTF-8 text here; save the file as UTF-8".into();
        Problems(vec![Problem { file: file.into(), line: Some(line), at: None, message }])
    })?;
    if text.trim().is_empty() {
        return Err(Problems::one(file, "is empty"));
    }
    // A byte-order mark is harmless; keep it out of the first key.
    Ok(text.trim_start_matches('\u{feff}').to_string())
}
