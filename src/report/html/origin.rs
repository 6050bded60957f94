//! Where a number comes from, and how well it is known.

use super::book::Book;
use crate::markup::escape;
use crate::record::{Given, Origin};

/// A grade, or what marks its absence.
pub(super) fn badge(grade: Option<&str>) -> String {
    match grade {
        Some(grade) => format!("<span class=\"grade\">{}</span>", escape(grade)),
        None => "<span class=\"bare\">no grade</span>".into(),
    }
}

/// A source as the user stated it, or what marks its absence.
pub(super) fn stated(source: Option<&str>) -> String {
    source.map_or("<span class=\"bare\">no source stated</span>".into(), escape)
}

/// Key, typed text, line, source and grade of a number that was handed in.
pub(super) fn origin(book: &Book<'_>, given: &Given) -> String {
    match &given.origin {
        Origin::Input { key, typed, line, source, grade } => {
            let study = &book.sizing.study;
            let file = study.files.first().map_or("", |file| &file.name);
            let place = match study.inputs.iter().position(|input| input.key == *key) {
                Some(index) => format!("<a href=\"#i{}\">{}</a>", index + 1, escape(key)),
                None => escape(key),
            };
            format!(
                "{place} = {}, {} line {line}: {} {}",
                escape(typed),
                escape(file),
                stated(source.as_deref()),
                badge(*grade)
            )
        }
        Origin::Default { key, band, grade } => {
            let index = book.sizing.study.assumptions.iter().position(|a| a.key == *key);
            let place =
                index.map_or("default".into(), |index| format!("<a href=\"#a{}\">default</a>", index + 1));
            let key = escape(key);
            format!("{place} for {key}, band {} {}", super::numbers::pretty(band), badge(Some(*grade)))
        }
        Origin::Library { source, grade } => {
            format!("library table: {} {}", book.cite(source), badge(Some(grade)))
        }
        Origin::File { file, kind, provenance } => {
            let (file, provenance) = (escape(file), escape(provenance));
            format!("{file}, {kind}: {provenance} {}", badge(Some(given.origin.grade())))
        }
        Origin::Code => format!("set in the code {}", badge(None)),
    }
}
