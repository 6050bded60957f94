//! Files of a sizing: all or nothing for each, and nobody else's touched.

use super::{html::html, json::json, text};
use crate::chart::{FigureError, line_map_figure, map_figure};
use crate::compressor::{CompressorMap, MapKind};
use crate::study::Sizing;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

/// How our own files begin, so that a foreign file of the same name is recognised.
fn opening(name: &str) -> &'static str {
    match name {
        "sizing.txt" => "shaftwork ",
        "report.html" => "<!DOCTYPE html>\n<!-- shaftwork -->",
        "results.json" => "{\n  \"schema\": \"shaftwork-results/",
        name if name.ends_with(".py") => {
            "#!/usr/bin/env python3\n\"\"\"Plain arithmetic of one result, written by shaftwork"
        }
        name if name.starts_with("map-") && name.ends_with(".csv") => MAP_OPENING,
        name if name.ends_with(".csv") => "\"Plain arithmetic of one result, written by shaftwork",
        _ => "<!-- shaftwork -->",
    }
}

/// How a map of ours begins: a map of the user's own has another provenance, or it further down.
const MAP_OPENING: &str = "# shaftwork-map: 1\n# provenance: written by shaftwork size; ";

/// The files written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Files(pub Vec<PathBuf>);

/// Why a file was not written.
#[derive(Debug)]
#[non_exhaustive]
pub enum WriteError {
    /// A file of this name exists and is not ours.
    Foreign {
        /// The file.
        path: PathBuf,
    },
    /// Where a folder should be, there is a file.
    NotAFolder {
        /// The path.
        path: PathBuf,
    },
    /// The system refused.
    Refused {
        /// The file or folder.
        path: PathBuf,
        /// What it said.
        error: std::io::Error,
    },
    /// A figure could not be drawn.
    Figure {
        /// The candidate.
        candidate: String,
        /// Why.
        error: String,
    },
}

impl core::fmt::Display for WriteError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Foreign { path } => {
                write!(
                    f,
                    "{} exists and was not written by shaftwork; name another folder with --out",
                    path.display()
                )
            }
            Self::NotAFolder { path } => write!(f, "{} is a file; --out names a folder", path.display()),
            Self::Refused { path, error } => write!(f, "{} cannot be written: {error}", path.display()),
            Self::Figure { candidate, error } => {
                write!(f, "the figure of candidate {candidate} failed: {error}")
            }
        }
    }
}
impl core::error::Error for WriteError {}

/// Writes `report.html`, `sizing.txt`, `results.json` and two figures for each candidate into a folder: its map with
/// the powers on it, and with the boost held over engine speed where there is boost. A map that was estimated, merged or
/// fitted is written as a table too, which a study can name.
///
/// Every file is complete before it gets its name; a file that shaftwork did not write is never replaced.
///
/// # Errors
///
/// [`WriteError`]; nothing is written where any of the files would replace a foreign one.
pub fn write(sizing: &Sizing, folder: &Path) -> Result<Files, WriteError> {
    let mut files = vec![
        ("report.html".to_string(), html(sizing)),
        ("sizing.txt".to_string(), text(sizing)),
        ("results.json".to_string(), json(sizing)),
    ];
    let mut names: Vec<String> = Vec::new();
    for (index, candidate) in sizing.study.candidates.iter().enumerate() {
        let failed = |error: FigureError| WriteError::Figure {
            candidate: candidate.label(),
            error: error.to_string(),
        };
        let name = unused(&mut names, &candidate.label());
        let map = map_figure(sizing, index).map_err(failed)?;
        files.push((format!("map-{name}.svg"), map.svg().to_string()));
        if candidate.map().kind() != Some(MapKind::Lines) {
            files.push((format!("map-{name}.csv"), map_table(candidate.map())));
        }
        if sizing.has_line(index) {
            let line = line_map_figure(sizing, index).map_err(failed)?;
            files.push((format!("line-{name}.svg"), line.svg().to_string()));
        }
    }
    save(folder, &files)
}

/// A computed map as a table, its provenance first.
fn map_table(map: &CompressorMap) -> String {
    let text = map.to_csv_text();
    let others = text.lines().skip(1).filter(|line| !line.starts_with("# provenance:"));
    let provenance = map.provenance().replace(['\r', '\n'], " ");
    others.fold(format!("{MAP_OPENING}{provenance}\n"), |text, line| text + line + "\n")
}

/// Writes the steps of every point as a Python script and an OpenFormula worksheet: for each candidate, housing
/// and fuel the point at the target where the margins are least, and the most power.
///
/// # Errors
///
/// [`WriteError`], as for [`write()`].
pub fn write_worksheets(sizing: &Sizing, folder: &Path) -> Result<Files, WriteError> {
    let mut files = Vec::new();
    for (index, entry) in sizing.entries.iter().enumerate() {
        let most = sizing.record_of_most(index).ok().flatten();
        let target = entry.judgement.hardest().and_then(|point| sizing.record_at(index, point).ok());
        for record in target.into_iter().chain(most) {
            let name = format!("steps-{:02}-{}", files.len() / 2 + 1, plain(&record.title));
            files.push((format!("{name}.py"), record.python()));
            files.push((format!("{name}.csv"), record.worksheet()));
        }
    }
    save(folder, &files)
}

/// Saves files into a folder, none where one of them would replace a foreign one.
fn save(folder: &Path, files: &[(String, String)]) -> Result<Files, WriteError> {
    let refused = |path: &Path| {
        let path = path.to_path_buf();
        move |error| WriteError::Refused { path, error }
    };
    if folder.exists() && !folder.is_dir() {
        return Err(WriteError::NotAFolder { path: folder.to_path_buf() });
    }
    fs::create_dir_all(folder).map_err(refused(folder))?;
    for (name, _) in files {
        let path = folder.join(name);
        if path.exists() && !fs::read(&path).is_ok_and(|old| old.starts_with(opening(name).as_bytes())) {
            return Err(WriteError::Foreign { path });
        }
    }
    let mut written = Vec::new();
    for (name, content) in files {
        let path = folder.join(name);
        let unfinished = folder.join(format!(".{name}.{}.unfinished", std::process::id()));
        let saved = fs::File::create(&unfinished)
            .and_then(|mut file| file.write_all(content.as_bytes()).and_then(|()| file.sync_all()))
            .and_then(|()| fs::rename(&unfinished, &path));
        if let Err(error) = saved {
            // The half-written file goes; the one under the final name was not touched.
            let _ = fs::remove_file(&unfinished);
            return Err(WriteError::Refused { path, error });
        }
        written.push(path);
    }
    Ok(Files(written))
}

/// A part of a file name from a candidate's name, which may hold anything.
fn unused(names: &mut Vec<String>, candidate: &str) -> String {
    let plain = plain(candidate);
    let mut name = plain.clone();
    let mut count = 2;
    while names.contains(&name) {
        name = format!("{plain}-{count}");
        count += 1;
    }
    names.push(name.clone());
    name
}

/// Letters, digits and single dashes.
fn plain(name: &str) -> String {
    let mut plain = String::new();
    for c in name.to_lowercase().chars() {
        match c {
            c if c.is_ascii_alphanumeric() => plain.push(c),
            _ if plain.ends_with('-') || plain.is_empty() => {}
            _ => plain.push('-'),
        }
    }
    plain.truncate(60);
    let plain = plain.trim_matches('-').to_string();
    if plain.is_empty() { "candidate".to_string() } else { plain }
}
