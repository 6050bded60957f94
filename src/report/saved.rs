//! A results file read back.

use crate::problem::read_text;
use crate::study::SourceFile;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// Why a results file cannot be used.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum SavedError {
    /// It cannot be read as text.
    Unreadable {
        /// What is wrong.
        why: String,
    },
    /// It is not JSON.
    NotJson {
        /// The file.
        file: PathBuf,
        /// Line.
        line: usize,
        /// Column.
        column: usize,
    },
    /// It is not a results file of this layout.
    Foreign {
        /// The file.
        file: PathBuf,
        /// The layout that it names, if any.
        schema: Option<String>,
    },
    /// It lacks a part.
    Incomplete {
        /// The file.
        file: PathBuf,
        /// The part.
        part: &'static str,
    },
    /// The study in it is no longer accepted.
    Study {
        /// The file.
        file: PathBuf,
        /// Its problems.
        why: String,
    },
}

impl core::fmt::Display for SavedError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Unreadable { why } => f.write_str(why),
            Self::NotJson { file, line, column } => {
                write!(
                    f,
                    "{}, line {line}, column {column}: not JSON here; is it a whole results.json?",
                    file.display()
                )
            }
            Self::Foreign { file, schema: Some(schema) } => write!(
                f,
                "{}: its layout is \"{}\", this version reads \"{}\"; size the study again",
                file.display(),
                crate::quantity::shorten(schema),
                super::json::SCHEMA
            ),
            Self::Foreign { file, schema: None } => {
                write!(f, "{}: not a results file; name the results.json of a sizing", file.display())
            }
            Self::Incomplete { file, part } => {
                write!(f, "{}: \"{part}\" is missing; size the study again", file.display())
            }
            Self::Study { file, why } => {
                write!(f, "{}: the study in it is not accepted:\n{why}", file.display())
            }
        }
    }
}
impl core::error::Error for SavedError {}

const MOST_BYTES: u64 = 64_000_000;

/// A results file.
pub(super) struct Saved {
    pub file: PathBuf,
    pub value: Value,
}

impl Saved {
    pub fn read(path: &Path) -> Result<Self, SavedError> {
        let file = path.to_path_buf();
        let text = read_text(path, MOST_BYTES)
            .map_err(|problems| SavedError::Unreadable { why: problems.to_string() })?;
        let value: Value = serde_json::from_str(&text).map_err(|error| SavedError::NotJson {
            file: file.clone(),
            line: error.line(),
            column: error.column(),
        })?;
        let schema = value["schema"].as_str().map(str::to_string);
        if schema.as_deref() != Some(super::json::SCHEMA) {
            return Err(SavedError::Foreign { file, schema });
        }
        for part in ["results", "inputs", "assumptions", "formulas", "dependence", "files"] {
            if value[part].is_null() {
                return Err(SavedError::Incomplete { file, part });
            }
        }
        Ok(Self { file, value })
    }

    /// Whether it says what would help.
    pub fn has_cures(&self) -> bool {
        self.value["results"].as_array().into_iter().flatten().any(|entry| !entry["cures"].is_null())
    }

    /// The files of the study, as they were.
    pub fn files(&self) -> Vec<SourceFile> {
        let text = |value: &Value| value.as_str().unwrap_or_default().to_string();
        let list = self.value["files"].as_array().into_iter().flatten();
        list.map(|file| SourceFile { name: text(&file["name"]), text: text(&file["text"]) }).collect()
    }

    /// The formulas whose versions differ: name, version here, version there.
    pub fn versions_against(&self, other: &Value) -> Vec<(String, Option<u64>, Option<u64>)> {
        let (ours, theirs) = (&self.value["formulas"], &other["formulas"]);
        let names = |value: &Value| {
            value.as_object().into_iter().flatten().map(|(name, _)| name.clone()).collect::<Vec<_>>()
        };
        let mut all = names(ours);
        all.extend(names(theirs));
        all.sort();
        all.dedup();
        let version = |value: &Value, name: &str| value[name].as_u64();
        all.into_iter()
            .map(|name| (version(ours, &name), version(theirs, &name), name))
            .filter(|(a, b, _)| a != b)
            .map(|(a, b, name)| (name, a, b))
            .collect()
    }

    /// The names of the inputs behind a result.
    pub fn inputs_behind(&self, result: &str) -> Vec<&str> {
        let dependence = &self.value["dependence"];
        let places = dependence["results"][result].as_str().unwrap_or_default();
        let name = |place: &str| dependence["inputs"][place.parse::<usize>().ok()?].as_str();
        places.split_whitespace().filter_map(name).collect()
    }
}

/// "version 2, was 1", "new", "gone".
pub(super) fn version_words(name: &str, before: Option<u64>, after: Option<u64>) -> String {
    match (before, after) {
        (Some(before), Some(after)) => format!("{name}: version {after}, was {before}"),
        (None, _) => format!("{name}: new"),
        (_, None) => format!("{name}: gone"),
    }
}
