//! Assumptions, inputs, versions and the bibliography.

use super::book::Book;
use super::numbers::{code, pretty};
use super::origin::{badge, stated};
use crate::formula::Formula;
use crate::markup::escape;
use crate::record::{Kind, Origin};
use crate::sources::source;
use std::collections::BTreeMap;

pub(super) fn assumptions(book: &Book<'_>) -> String {
    let mut lines = String::new();
    for (index, a) in book.sizing.study.assumptions.iter().enumerate() {
        let used = book.rows_from(
            |origin| matches!(origin, Origin::Default { key, .. } if *key == a.key && !a.key.is_empty()),
        );
        lines += &format!(
            "<tr id=\"a{}\"><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>\n",
            index + 1,
            pretty(&a.what),
            pretty(&a.value),
            pretty(&a.band),
            badge(Some(a.grade.words())),
            code(a.key),
            used
        );
    }
    format!(
        "<h2 id=\"assumptions\">Assumptions</h2>\n<p>Every default and simplification in use.</p>\n\
         <div class=\"wide\"><table><thead><tr><th>what</th><th>value</th><th>band</th><th>grade</th>\
         <th>key that replaces it</th><th>row</th></tr></thead>\n<tbody>\n{lines}</tbody></table></div>\n"
    )
}

pub(super) fn inputs(book: &Book<'_>) -> String {
    let study = &book.sizing.study;
    let mut lines = String::new();
    for (index, input) in study.inputs.iter().enumerate() {
        let used = book.rows_from(|origin| matches!(origin, Origin::Input { key, .. } if *key == input.key));
        lines += &format!(
            "<tr id=\"i{}\"><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>\n",
            index + 1,
            code(&input.key),
            escape(&input.typed),
            stated(input.source.as_deref()),
            badge(input.grade.map(|grade| grade.words())),
            input.band.as_deref().map_or(String::new(), escape),
            input.line,
            used
        );
    }
    let bare = study.inputs.iter().filter(|input| input.source.is_none()).count();
    let file = study.files.first().map_or("", |file| &file.name);
    format!(
        "<h2 id=\"inputs\">Inputs</h2>\n<p>{} inputs of {}, {bare} of them without a source.</p>\n\
         <div class=\"wide\"><table><thead><tr><th>key</th><th>typed</th><th>source</th><th>grade</th><th>band</th>\
         <th>line</th><th>row</th></tr></thead>\n<tbody>\n{lines}</tbody></table></div>\n",
        study.inputs.len(),
        escape(file)
    )
}

pub(super) fn versions(book: &Book<'_>) -> String {
    let mut used: BTreeMap<&str, &Formula> = BTreeMap::new();
    for node in book.records.iter().flat_map(|filed| filed.record.nodes()) {
        if let Kind::Step { formula, .. } = node.kind {
            used.insert(formula.name, formula);
        }
    }
    let lines = used.values().map(|formula| {
        format!(
            "<tr><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>\n",
            code(formula.name),
            escape(formula.summary),
            formula.version,
            book.cite(formula.source)
        )
    });
    let lines: String = lines.collect();
    format!(
        "<h2 id=\"versions\">Versions</h2>\n<p>shaftwork {}. The version of a formula rises with each change of its \
         results.</p>\n<div class=\"wide\"><table><thead><tr><th>formula</th><th>what it gives</th><th>version</th>\
         <th>source</th></tr></thead>\n<tbody>\n{lines}</tbody></table></div>\n",
        env!("CARGO_PKG_VERSION")
    )
}

/// The sources named on the page, and no others; written last.
pub(super) fn bibliography(book: &Book<'_>) -> String {
    let items = book
        .cited()
        .into_iter()
        .filter_map(source)
        .map(|source| format!("<li id=\"s-{}\">{}</li>\n", source.key, escape(&source.to_string())));
    let items: String = items.collect();
    format!("<h2 id=\"sources\">Sources</h2>\n<ul>\n{items}</ul>\n")
}
