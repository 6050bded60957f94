//! A saved result computed again from its own recorded inputs.

use super::flat::{Item, items, moved};
use super::saved::{Saved, SavedError, version_words};
use crate::study::Study;
use core::fmt::Write;
use std::path::Path;

/// What came of computing a saved result again.
#[derive(Clone, Debug, PartialEq)]
pub struct Recheck {
    /// Results that agree within 1e-9.
    pub agree: usize,
    /// Results that differ: name, recorded, computed now, by how much.
    pub differ: Vec<[String; 4]>,
    /// Formulas whose versions changed since, in words.
    pub formulas: Vec<String>,
    /// The version of the library that wrote the file, and of this one.
    pub versions: [String; 2],
}

/// Computes a saved result again from the study and the maps that it carries.
///
/// # Errors
///
/// [`SavedError`]: the file cannot be read, or the study in it is no longer accepted.
pub fn recheck(path: &Path) -> Result<Recheck, SavedError> {
    let saved = Saved::read(path)?;
    let refused = |why: String| SavedError::Study { file: saved.file.clone(), why };
    let study = Study::from_texts(&saved.files()).map_err(|problems| refused(problems.to_string()))?;
    let asked = saved.has_cures();
    let sized = study.size().and_then(|sizing| if asked { sizing.with_cures() } else { Ok(sizing) });
    let sizing = sized.map_err(|fault| refused(fault.to_string()))?;
    let now: serde_json::Value =
        serde_json::from_str(&super::json(&sizing)).map_err(|error| refused(error.to_string()))?;
    let (before, after) = (items(&saved.value, true), items(&now, true));
    let (mut agree, mut differ) = (0, Vec::new());
    let mut names: Vec<&String> = before.keys().chain(after.keys()).collect();
    names.sort();
    names.dedup();
    for name in names {
        let of =
            |all: &std::collections::BTreeMap<String, Item>| all.get(name).cloned().unwrap_or(Item::Nothing);
        let (recorded, computed) = (of(&before), of(&after));
        match moved(&recorded, &computed) {
            Some(by) => differ.push([name.clone(), recorded.to_string(), computed.to_string(), by]),
            None => agree += 1,
        }
    }
    let formulas = saved.versions_against(&now);
    Ok(Recheck {
        agree,
        differ,
        formulas: formulas.into_iter().map(|(name, a, b)| version_words(&name, a, b)).collect(),
        versions: [&saved.value, &now].map(|value| value["version"].as_str().unwrap_or("?").to_string()),
    })
}

impl core::fmt::Display for Recheck {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let mut out = String::new();
        let [then, now] = &self.versions;
        writeln!(out, "written by version {then}, computed again by version {now}")?;
        writeln!(out, "{} results agree within 1e-9, {} differ", self.agree, self.differ.len())?;
        for formula in &self.formulas {
            writeln!(out, "  formula {formula}; see NUMERIC in the changelog")?;
        }
        for [name, recorded, computed, by] in &self.differ {
            writeln!(out, "  {name}: recorded {recorded}, now {computed} ({by})")?;
        }
        if !self.differ.is_empty() && self.formulas.is_empty() {
            writeln!(
                out,
                "No formula changed its version: the file was changed by hand, or this is a defect to report."
            )?;
        }
        f.write_str(&out)
    }
}
