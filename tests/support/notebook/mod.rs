//! Proves a notebook without its kernel.
//!
//! The code cells become one plain program, built against this crate as the notebook's own `:dep`
//! line asks, and run. That takes seconds and needs no kernel, so it belongs to `cargo test`. What
//! only the kernel shows (variables that persist without a written type, pictures) is proved by
//! running the notebooks in it.

mod commands;
mod failure;
mod ipynb;
mod package;
mod program;
mod run;
mod shown;
mod twin;

pub use failure::{Failure, Kind};
pub use shown::Shown;
pub use twin::{of_notebook, of_twin};

use ipynb::Cell;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// A notebook still running after this long hangs: none is meant to keep its reader waiting.
const LIMIT: Duration = Duration::from_mins(2);

/// What was proved.
#[derive(Debug)]
pub struct Proof {
    /// File name of the notebook.
    pub notebook: String,
    /// What each code cell showed, by its number.
    pub shown: BTreeMap<usize, Shown>,
}

/// Where the notebooks live.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("notebooks")
}

/// Where relative paths of a notebook are read from: its own folder, as in the kernel, but for a copy that lies
/// elsewhere the folder of the notebooks.
fn home_of(notebook: &Path) -> PathBuf {
    let home = notebook.parent().filter(|parent| parent.starts_with(folder()));
    home.map_or_else(folder, Path::to_path_buf)
}

/// Builds and runs all code cells of a notebook in order, and compares what they show with the
/// committed outputs.
pub fn prove(notebook: &Path) -> Result<Proof, Failure> {
    let shown = named(notebook, |cells| {
        let shown = shown_by(notebook, cells, LIMIT)?;
        compare(cells, &shown)?;
        Ok(shown)
    })?;
    Ok(Proof { notebook: name_of(notebook), shown })
}

/// As [`prove`] with another limit for the run, and without comparing.
pub fn run_within(notebook: &Path, limit: Duration) -> Result<BTreeMap<usize, Shown>, Failure> {
    named(notebook, |cells| shown_by(notebook, cells, limit))
}

fn named<T>(notebook: &Path, work: impl FnOnce(&mut [Cell]) -> Result<T, Failure>) -> Result<T, Failure> {
    ipynb::read(notebook)
        .and_then(|mut cells| work(&mut cells))
        .map_err(|failure| failure.in_notebook(name_of(notebook)))
}

fn name_of(notebook: &Path) -> String {
    notebook.file_name().unwrap_or(notebook.as_os_str()).to_string_lossy().into_owned()
}

fn shown_by(notebook: &Path, cells: &mut [Cell], limit: Duration) -> Result<BTreeMap<usize, Shown>, Failure> {
    let home = home_of(notebook);
    let dependencies = commands::take(cells, &home)?;
    let program = program::Program::new(cells)?;
    let package = package::Package::write(notebook, &program, dependencies)?;
    let executable = package.build(&program)?;
    run::run(&executable, [&home, package.folder()], &program, limit)
}

fn compare(cells: &[Cell], shown: &BTreeMap<usize, Shown>) -> Result<(), Failure> {
    for cell in cells {
        let changed = |words: String| Failure::new(Kind::ChangedOutput, words).in_cell(cell.number);
        let committed = Shown::from_outputs(&cell.outputs)
            .ok_or_else(|| changed("committed are outputs that the kernel does not give".to_owned()))?;
        let fresh = shown.get(&cell.number).ok_or_else(|| changed("the cell left no trace".to_owned()))?;
        if let Some(line) = fresh.not_a_number() {
            return Err(Failure::new(Kind::NotANumber, line).in_cell(cell.number));
        }
        if let Some(words) = committed.difference(fresh) {
            return Err(changed(words));
        }
    }
    Ok(())
}
