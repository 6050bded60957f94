//! What stops each candidate, in order, and what would help: two tables for each, where it was asked for.

use super::super::cures::{CHANGES, LIMITS, ROUGH, asked_for, change, limit};
use super::super::pick::label;
use super::numbers::{held, pretty};
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

/// A table whose columns of numbers stand to the right.
fn table<const N: usize, const M: usize>(
    heads: [&str; N],
    numbers: [usize; M],
    lines: impl Iterator<Item = [String; N]>,
) -> String {
    let right = |column: usize| if numbers.contains(&column) { " class=\"right\"" } else { "" };
    let head: String =
        heads.iter().enumerate().map(|(column, head)| format!("<th{}>{head}</th>", right(column))).collect();
    let rows: String = lines
        .map(|line| {
            let cells = line.iter().enumerate().map(|(column, cell)| {
                let words = if numbers.contains(&column) { held(cell) } else { pretty(cell) };
                format!("<td{}>{words}</td>", right(column))
            });
            format!("<tr>{}</tr>\n", cells.collect::<String>())
        })
        .collect();
    format!(
        "<div class=\"wide\"><table><thead><tr>{head}</tr></thead>\n<tbody>\n{rows}</tbody></table></div>\n"
    )
}
