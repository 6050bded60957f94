//! Takes the kernel's command lines out of the cells.

use super::failure::{Failure, Kind, Place};
use super::ipynb::Cell;
use std::{fs, path::Path};
use toml::{Table, Value};

/// Blanks the command lines, so that line numbers stay, and gives the dependencies that they name.
///
/// As in the kernel, a line is a command only before the first line of Rust code. A relative path
/// is read from `folder`, and one dependency must be the crate under test: else nothing is proved
/// about it.
pub fn take(cells: &mut [Cell], folder: &Path) -> Result<Table, Failure> {
    let mut dependencies = Table::new();
    for cell in cells {
        let mut lines: Vec<&str> = cell.source.lines().collect();
        for (text, line) in lines.iter_mut().zip(1..) {
            let place = Place { cell: cell.number, line };
            let refused = |why: &str| {
                Err(Failure::new(Kind::KernelCommand, format!("`{text}`: {why}")).at(Some(place)))
            };
            let command = text.trim_start_matches(' ');
            if text.starts_with('!') {
                return refused("a shell command cannot be proved");
            }
            if let Some(dependency) = command.strip_prefix(":dep ") {
                if cell.number != 1 {
                    return refused("belongs in the first code cell; later it builds all again");
                }
                match parse(dependency, folder) {
                    Ok(parsed) => dependencies.extend(parsed),
                    Err(why) => return refused(&why),
                }
            }
            if command.starts_with(':') {
                *text = "";
            } else if !text.starts_with("//") && !text.trim().is_empty() {
                break;
            }
        }
        cell.source = lines.join("\n");
    }
    if dependencies.values().any(is_crate_under_test) {
        Ok(dependencies)
    } else {
        let why = "no `:dep` line in the first code cell leads to the crate under test";
        Err(Failure::new(Kind::KernelCommand, why).in_cell(1))
    }
}

fn parse(dependency: &str, folder: &Path) -> Result<Table, String> {
    let mut table: Table = dependency.parse().map_err(|error: toml::de::Error| error.message().to_owned())?;
    let values = table.iter_mut().map(|(_, value)| value);
    for path in values.filter_map(|value| value.get_mut("path")) {
        let absolute = fs::canonicalize(folder.join(path.as_str().unwrap_or_default()))
            .map_err(|error| error.to_string())?;
        *path = Value::String(absolute.to_string_lossy().into_owned());
    }
    Ok(table)
}

fn is_crate_under_test(dependency: &Value) -> bool {
    let path = dependency.get("path").and_then(Value::as_str);
    let root = fs::canonicalize(env!("CARGO_MANIFEST_DIR"));
    root.is_ok_and(|root| path.is_some_and(|path| Path::new(path) == root))
}
