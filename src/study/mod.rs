//! A study: one engine, one target, its fuels and the candidates, read from a file or built in code.
//!
//! ```
//! use shaftwork::study::Study;
//! let study = Study::demo()?;
//! assert_eq!(study.candidates.len(), 4); // A is read in two ways
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod assumption;
mod bands;
mod cures;
mod document;
mod driving;
mod elsewhere;
mod evidence;
mod input;
mod measured;
mod not_sized;
mod read;
mod record;
mod rise;
mod sizing;
mod vanes;
mod vehicle;
mod wheel;

pub use assumption::{Assumption, Assumptions};
pub use cures::Cures;
pub use driving::Driving;
pub use elsewhere::{Away, Holds, Place};
pub use input::{Grade, InputRecord};
pub use not_sized::{Missing, NotSized, NothingSized};
#[cfg(feature = "cli")]
pub(crate) use record::combination;
pub use rise::{NoRise, Rise};
pub use sizing::{Entry, Sizing};
pub use vehicle::{GearChange, Vehicle};

use crate::problem::{Problem, Problems, read_text};
use crate::shaft::{Candidate, FuelPlan, Installation, PowerBand};
use crate::table;
use std::path::Path;

/// A study, ready to be sized.
#[derive(Clone, Debug, PartialEq)]
pub struct Study {
    /// Its title.
    pub title: String,
    /// True for invented demonstration data, which every output then says.
    pub invented: bool,
    /// Engine, site and the rest that stays.
    pub installation: Installation,
    /// The power to be held.
    pub target: PowerBand,
    /// How boost is waited for, and what holds it.
    pub driving: Driving,
    /// Other places that the same engine is to run at.
    pub elsewhere: Vec<Place>,
    /// The fuels.
    pub fuels: Vec<FuelPlan>,
    /// The candidates; a wheel read in several ways is one for each reading, under one name.
    pub candidates: Vec<Candidate>,
    /// The inputs as typed, with source and evidence grade.
    pub inputs: Vec<InputRecord>,
    /// Every default and simplification in use.
    pub assumptions: Assumptions,
    /// The files it was read from: the study, then its maps under the names that the study uses.
    pub files: Vec<SourceFile>,
}

/// A file that a study was read from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourceFile {
    /// Its name: for a map, as the study names it.
    pub name: String,
    /// Its text.
    pub text: String,
}

const MOST_BYTES: u64 = 2_000_000;

impl Study {
    /// Reads a study file; maps are looked for beside it.
    ///
    /// # Errors
    ///
    /// [`Problems`]: every problem of the study and its maps, with file and line.
    pub fn from_file(path: impl AsRef<Path>) -> Result<Self, Problems> {
        let path = path.as_ref();
        let text = read_text(path, MOST_BYTES)?;
        let folder = path.parent().unwrap_or(Path::new("")).to_path_buf();
        let map = |name: &str| {
            let path = folder.join(name);
            let file = path.display().to_string();
            match std::fs::metadata(&path) {
                Ok(about) if about.is_dir() => Err(format!("{file} is a folder; name a file")),
                Ok(_) => Ok(read_text(&path, table::MOST_BYTES).map(|text| (file, text))),
                Err(error) => {
                    Err(format!("{file} cannot be opened ({error}); maps are looked for beside the study"))
                }
            }
        };
        read::study(&path.display().to_string(), &text, &map)
    }

    /// Reads a study from texts instead of files: the study first, then its maps under the names that it uses.
    ///
    /// # Errors
    ///
    /// [`Problems`], as for a file.
    pub fn from_texts(files: &[SourceFile]) -> Result<Self, Problems> {
        let map = |name: &str| {
            let found = files.iter().skip(1).find(|file| file.name == name);
            let file = found.ok_or_else(|| format!("{name} is not among the files given"))?;
            Ok(Ok((file.name.clone(), file.text.clone())))
        };
        match files.first() {
            Some(study) => read::study(&study.name, &study.text, &map),
            None => read::study("", "", &map),
        }
    }

    /// The built-in demonstration: an invented hill-climb single-seater with three invented candidates.
    pub fn demo() -> Result<Self, Problems> {
        let map = |name: &str| {
            let text = match name {
                "map-b.csv" => include_str!("../../data/demo/map-b.csv"),
                "map-c.csv" => include_str!("../../data/demo/map-c.csv"),
                _ => return Err(format!("{name} is not part of the demonstration")),
            };
            Ok(Ok((name.to_string(), text.to_string())))
        };
        read::study("hill-climb.toml", include_str!("../../data/demo/hill-climb.toml"), &map)
    }

    /// The inputs that say neither source nor grade, as problems of the study file. The target is not among
    /// them: it is asked for, not known.
    pub fn bare_inputs(&self) -> Problems {
        let file = self.files.first().map_or(String::new(), |file| file.name.clone());
        let bare = self.inputs.iter().filter(|input| input.is_bare());
        let problem = |input: &InputRecord| Problem {
            file: file.clone(),
            line: Some(input.line),
            at: Some(format!("key \"{}\"", input.key)),
            message: format!(
                "says nothing of where it comes from; write {{ value = {}, source = \"...\", grade = \"measured\" }} \
                 (grades: {})",
                input.typed,
                Grade::ALL.map(Grade::words).join(", ")
            ),
        };
        Problems(bare.map(problem).collect())
    }

    /// What only shows once all is read.
    fn check(&self, file: &str) -> Vec<Problem> {
        let mut problems = sizing::foreign_flows(self, file);
        if problems.is_empty() {
            problems = sizing::impossible_turbines(self, file);
        }
        problems
    }
}
