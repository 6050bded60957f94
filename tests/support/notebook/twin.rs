//! Reads a notebook's text twin, by itself and not as the scripts do: the percent form of jupytext, for Rust.

use super::ipynb::text_of;
use serde_json::Value;

/// Kind, source and tags of a cell.
#[derive(Debug, PartialEq)]
pub struct TwinCell {
    pub kind: String,
    pub source: String,
    pub tags: Value,
}

/// The cells of a twin: what stands behind its head, each behind its mark.
pub fn of_twin(text: &str) -> Vec<TwinCell> {
    let body = text
        .strip_prefix("// ---\n")
        .and_then(|text| text.split_once("\n// ---\n"))
        .map_or(text, |(_, body)| body);
    body.split("\n// %%").skip(1).map(cell).collect()
}

fn cell(part: &str) -> TwinCell {
    let (mark, lines) = part.split_once('\n').unwrap_or((part, ""));
    let (words, tags) = mark.split_once(" tags=").unwrap_or((mark, "[]"));
    let kind = if words.trim() == "[markdown]" { "markdown" } else { "code" };
    let line = |line: &str| match line.strip_prefix("//").map(|rest| rest.strip_prefix(' ').unwrap_or(rest)) {
        Some(rest) if kind == "markdown" || rest.starts_with(':') => rest.to_owned(),
        _ => line.to_owned(),
    };
    let source: Vec<String> = lines.trim_end_matches('\n').lines().map(line).collect();
    TwinCell {
        kind: kind.into(),
        source: source.join("\n"),
        tags: serde_json::from_str(tags).unwrap_or_default(),
    }
}

/// The cells of a notebook file.
pub fn of_notebook(notebook: &Value) -> Vec<TwinCell> {
    let cells = notebook["cells"].as_array().into_iter().flatten();
    cells
        .map(|cell| TwinCell {
            kind: cell["cell_type"].as_str().unwrap_or_default().into(),
            source: text_of(&cell["source"]).unwrap_or_default(),
            tags: cell["metadata"].get("tags").cloned().unwrap_or_else(|| Value::Array(Vec::new())),
        })
        .collect()
}
