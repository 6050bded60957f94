//! What stops each candidate, in order, and what would help: two tables for each, where it was asked for.

use super::super::cures::{CHANGES, LIMITS, ROUGH, asked_for, change, limit};
use super::super::pick::label;
use super::numbers::pretty;
use super::tables::table;
use crate::markup::escape;
use crate::study::Sizing;

pub(super) fn cures(sizing: &Sizing) -> String {
    let Some(found) = &sizing.cures else { return String::new() };
    let mut out = format!(
        "<h2 id=\"cures\">What stops it, and what would help</h2>\n<p>Each limit, with the least power at which it is met \
         somewhere in the band of engine speed: the first stops the candidate, the others say how far a cure of the first \
         would carry. {}</p>\n",
        escape(&ROUGH.join(" "))
    );
    for cures in found {
        let title = escape(&label(sizing, &sizing.entries[cures.entry]).join(", on "));
        out += &format!(
            "<h3><a href=\"#e{}\">{title}</a>{}</h3>\n<div class=\"beside\">\n",
            cures.entry + 1,
            pretty(&asked_for(cures))
        );
        out += &table(LIMITS, [1, 2], cures.met.iter().map(|met| limit(met, sizing.study.target.power())));
        out += &table(CHANGES, [1, 2, 4], cures.remedies.iter().enumerate().map(change));
        out += "</div>\n";
    }
    out
}
