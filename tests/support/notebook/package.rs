//! Builds a notebook's program as a package of its own under the target folder.

use super::failure::{Failure, Kind, Place};
use super::program::Program;
use serde_json::Value;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::{env, fs, io};
use toml::Table;

/// Room of its own: the target folder itself may be locked by the cargo that runs this test.
const ROOM: &str = concat!(env!("CARGO_TARGET_TMPDIR"), "/notebooks");

/// The empty workspace keeps cargo from looking for one in the folders above. Nobody debugs these
/// programs, and building them is most of the time that the test takes.
const MANIFEST: &str = "[workspace]
[profile.dev]
debug = false
[package]
version = \"0.0.0\"
edition = \"2024\"
";

const QUICK: &str = "[profile.dev.package.shaftwork]
opt-level = 1
";

pub struct Package {
    name: String,
    folder: PathBuf,
}

impl Package {
    pub fn write(notebook: &Path, program: &Program, dependencies: Table) -> Result<Self, Failure> {
        let name = name_of(notebook)?;
        let folder = Path::new(ROOM).join(&name);
        // A notebook that sizes a study would take minutes without.
        let quick = if dependencies.contains_key("shaftwork") { QUICK } else { "" };
        let dependencies = Table::from_iter([("dependencies".to_owned(), dependencies.into())]);
        fs::create_dir_all(folder.join("src"))?;
        let manifest = format!("{MANIFEST}name = \"{name}\"\n{quick}{dependencies}");
        refresh(&folder.join("Cargo.toml"), &manifest)?;
        refresh(&folder.join("src/main.rs"), &program.text())?;
        refresh(&folder.join("src/runtime.rs"), include_str!("runtime.rs"))?;
        // The versions already resolved for this crate are the ones that are there offline.
        let lock = Path::new(env!("CARGO_MANIFEST_DIR"))
            .ancestors()
            .map(|folder| folder.join("Cargo.lock"))
            .find(|lock| lock.is_file());
        if let Some(lock) = lock {
            fs::copy(lock, folder.join("Cargo.lock"))?;
        }
        Ok(Self { name, folder })
    }

    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Gives the executable.
    pub fn build(&self, program: &Program) -> Result<PathBuf, Failure> {
        let cargo = env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let output = Command::new(cargo)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .args(["build", "--offline", "--message-format=json"])
            .arg("--manifest-path")
            .arg(self.folder.join("Cargo.toml"))
            .arg("--target-dir")
            .arg(Path::new(ROOM).join("target"))
            .output()?;
        let messages: Vec<Value> = String::from_utf8_lossy(&output.stdout)
            .lines()
            .filter_map(|line| serde_json::from_str(line).ok())
            .collect();
        if output.status.success() {
            let executable = messages.iter().find_map(|message| {
                let path = message["executable"].as_str()?;
                (message["target"]["name"] == self.name.as_str()).then(|| path.into())
            });
            return executable.ok_or_else(|| Failure::new(Kind::Unchecked, "no program was built"));
        }
        Err(self
            .first_error(&messages, program)
            .unwrap_or_else(|| Failure::new(Kind::Unchecked, String::from_utf8_lossy(&output.stderr))))
    }

    /// The first error that lies in a cell; one elsewhere (in the crate itself) only if none does.
    fn first_error(&self, messages: &[Value], program: &Program) -> Option<Failure> {
        let errors = messages.iter().filter(|message| message["message"]["level"] == "error");
        let mut elsewhere = None;
        for error in errors {
            let message = &error["message"];
            let own = error["target"]["name"] == self.name.as_str();
            let place = spans(message).find_map(|span| place(span, program));
            if own && place.is_some() {
                return Some(Failure::new(Kind::CompileError, explain(message)).at(place));
            }
            let rendered = message["rendered"].as_str().unwrap_or_default();
            elsewhere.get_or_insert_with(|| Failure::new(Kind::CompileError, rendered));
        }
        elsewhere
    }
}

/// Notebooks of one name in different folders must not share a package.
fn name_of(notebook: &Path) -> io::Result<String> {
    let mut hasher = DefaultHasher::new();
    std::path::absolute(notebook)?.hash(&mut hasher);
    let stem = notebook.file_stem().unwrap_or_default().to_string_lossy();
    let plain = stem.replace(|letter: char| !letter.is_ascii_alphanumeric(), "_");
    Ok(format!("notebook-{plain}-{:016x}", hasher.finish()))
}

/// Leaves an unchanged file alone: cargo builds anew what is newer than its last build.
fn refresh(path: &Path, text: &str) -> io::Result<()> {
    if fs::read_to_string(path).is_ok_and(|old| old == text) {
        return Ok(());
    }
    fs::write(path, text)
}

/// The primary spans of a compiler message.
fn spans(message: &Value) -> impl Iterator<Item = &Value> {
    let spans = message["spans"].as_array().into_iter().flatten();
    spans.filter(|span| span["is_primary"] == true)
}

/// Where a span lies in the notebook; one inside a macro lies where the macro is called.
fn place(span: &Value, program: &Program) -> Option<Place> {
    let line = usize::try_from(span["line_start"].as_u64()?).ok()?;
    if span["file_name"] == "src/main.rs" {
        program.place(line)
    } else {
        place(&span["expansion"]["span"], program)
    }
}

/// The compiler's words without its picture of the source, which would show the generated lines.
fn explain(message: &Value) -> String {
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let mut words = text(&message["message"]);
    for span in spans(message) {
        if let Some(label) = span["label"].as_str() {
            words = format!("{words}: {label}");
        }
    }
    for child in message["children"].as_array().into_iter().flatten() {
        let (level, advice) = (text(&child["level"]), text(&child["message"]));
        words = format!("{words}\n  {level}: {advice}");
    }
    words
}
