//! Reads the code cells of a notebook file.

use super::failure::{Failure, Kind};
use serde_json::Value;
use std::{fs, path::Path};

/// A code cell; `number` counts from 1 among the code cells.
pub struct Cell {
    pub number: usize,
    pub source: String,
    /// As committed.
    pub outputs: Value,
}

pub fn read(path: &Path) -> Result<Vec<Cell>, Failure> {
    let unreadable = |error: &dyn std::fmt::Display| Failure::new(Kind::Unreadable, error);
    let text = fs::read_to_string(path).map_err(|error| unreadable(&error))?;
    let notebook: Value = serde_json::from_str(&text).map_err(|error| unreadable(&error))?;
    if notebook["nbformat"] != 4 {
        return Err(unreadable(&"not a notebook of format 4"));
    }
    let cells = notebook["cells"].as_array().ok_or_else(|| unreadable(&"it has no list of cells"))?;
    cells
        .iter()
        .filter(|cell| cell["cell_type"] == "code")
        .zip(1..)
        .map(|(cell, number)| {
            refuse_errors(&cell["outputs"]).map_err(|failure| failure.in_cell(number))?;
            let source = text_of(&cell["source"])
                .ok_or_else(|| unreadable(&"the cell has no source").in_cell(number))?;
            Ok(Cell { number, source, outputs: cell["outputs"].clone() })
        })
        .collect()
}

/// The kernel calls a failed cell a success, so the only trace of a failure may be its stderr text.
fn refuse_errors(outputs: &Value) -> Result<(), Failure> {
    for output in outputs.as_array().into_iter().flatten() {
        let trouble = if output["output_type"] == "error" {
            output["evalue"].as_str().map(str::to_owned)
        } else if output["name"] == "stderr" {
            text_of(&output["text"])
        } else {
            continue;
        };
        let message = trouble.unwrap_or_default();
        return Err(Failure::new(Kind::CommittedOutput, message.trim()));
    }
    Ok(())
}

/// The format stores a text as one string or as a list of its lines.
pub fn text_of(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.clone()),
        Value::Array(lines) => lines.iter().map(Value::as_str).collect(),
        _ => None,
    }
}
