//! What could not be worked out while the rest was.

use super::{Entry, Sizing, Study};
use crate::shaft::NotFound;

/// A candidate with one housing on one fuel of which something could not be worked out. The others stand.
#[derive(Clone, Debug, PartialEq)]
pub struct NotSized {
    /// Index of the candidate in the study.
    pub candidate: usize,
    /// Index of its housing.
    pub housing: usize,
    /// Index of the fuel.
    pub fuel: usize,
    /// What is missing.
    pub missing: Missing,
    /// File, line and names.
    pub place: String,
    /// Why.
    pub why: NotFound,
}

/// What is missing of a combination.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Missing {
    /// Both answers: it is no [`Entry`].
    Judgement,
    /// What stops it and what would help.
    Cures,
}

impl Missing {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Judgement => "not sized",
            Self::Cures => "no limits in order and no changes",
        }
    }
}

impl core::fmt::Display for NotSized {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}: {}: {}", self.place, self.missing.words(), self.why)
    }
}

/// Nothing could be worked out: of every combination, why.
#[derive(Clone, Debug, PartialEq)]
pub struct NothingSized(pub Vec<NotSized>);

impl core::fmt::Display for NothingSized {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        if self.0.is_empty() {
            return f.write_str("the study has no candidate with a housing and a fuel");
        }
        for (i, one) in self.0.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            write!(f, "{one}")?;
        }
        Ok(())
    }
}
impl core::error::Error for NothingSized {}

impl Study {
    pub(super) fn not_sized(
        &self,
        [candidate, housing, fuel]: [usize; 3],
        missing: Missing,
        why: NotFound,
    ) -> NotSized {
        let one = &self.candidates[candidate];
        // Readings of one wheel stand next to each other under one name.
        let mut names: Vec<&str> = self.candidates[..=candidate].iter().map(|one| one.name()).collect();
        names.dedup();
        let table = format!("candidate[{}].", names.len());
        let lines = self.inputs.iter().filter(|input| input.key.starts_with(&table)).map(|input| input.line);
        let line = lines.min().map_or(String::new(), |line| format!(", from line {line}"));
        let file = self.files.first().map_or(String::new(), |file| format!("{}{line}, ", file.name));
        let housing_name = &one.housings()[housing].name;
        let fuel_name = self.fuels[fuel].fuel.name();
        let place = format!("{file}candidate {}, {housing_name}, on {fuel_name}", one.label());
        NotSized { candidate, housing, fuel, missing, place, why }
    }
}

impl Sizing {
    /// True where every combination was worked out.
    pub fn is_whole(&self) -> bool {
        self.not_sized.is_empty()
    }
}

impl Entry {
    pub(super) fn places(&self) -> [usize; 3] {
        [self.candidate, self.housing, self.fuel]
    }
}
