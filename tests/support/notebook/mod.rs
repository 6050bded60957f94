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

pub use failure::{Failure, Kind};

use std::path::{Path, PathBuf};
use std::time::Duration;

/// A notebook still running after this long hangs: none is meant to keep its reader waiting.
const LIMIT: Duration = Duration::from_mins(2);

/// What was proved.
#[derive(Debug)]
pub struct Proof {
    /// File name of the notebook.
    pub notebook: String,
    /// Number of code cells that ran.
    pub cells: usize,
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

/// Builds and runs all code cells of a notebook in order.
pub fn prove(notebook: &Path) -> Result<Proof, Failure> {
    prove_within(notebook, LIMIT)
}

/// As [`prove`], with another limit for the run.
pub fn prove_within(notebook: &Path, limit: Duration) -> Result<Proof, Failure> {
    let name = notebook.file_name().unwrap_or(notebook.as_os_str()).to_string_lossy().into_owned();
    match count_cells(notebook, limit) {
        Ok(cells) => Ok(Proof { notebook: name, cells }),
        Err(failure) => Err(failure.in_notebook(name)),
    }
}

fn count_cells(notebook: &Path, limit: Duration) -> Result<usize, Failure> {
    let mut cells = ipynb::read(notebook)?;
    let home = home_of(notebook);
    let dependencies = commands::take(&mut cells, &home)?;
    let program = program::Program::new(&cells)?;
    let package = package::Package::write(notebook, &program, dependencies)?;
    let executable = package.build(&program)?;
    run::run(&executable, [&home, package.folder()], &program, limit)
}
