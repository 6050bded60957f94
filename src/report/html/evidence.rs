//! What the evidence of candidates without a map was worth.

use super::super::evidence::{HEAD, MEANING, readings, rows, told};
use super::numbers::pretty;
use crate::markup::escape;
use crate::study::Study;

pub(super) fn evidence(study: &Study) -> String {
    if told(study).next().is_none() {
        return String::new();
    }
    let mut out = format!("<h2 id=\"evidence\">Evidence of a map</h2>\n<p>{MEANING}</p>\n");
    for said in readings(study) {
        out += &format!("<p>{}</p>\n", pretty(&said));
    }
    let head: String = HEAD.iter().map(|words| format!("<th>{words}</th>")).collect();
    for (candidate, combined) in told(study) {
        let row = |cells: &[String; 6]| {
            let cells: String = cells.iter().map(|cell| format!("<td>{}</td>", pretty(cell))).collect();
            format!("<tr>{cells}</tr>\n")
        };
        let lines: String = rows(combined).iter().map(row).collect();
        out += &format!(
            "<div class=\"wide\"><table><caption>{}: {}</caption><thead><tr>{head}</tr></thead>\n<tbody>\n{lines}</tbody>\
             </table></div>\n<p>{}</p>\n",
            escape(&candidate.label()),
            escape(candidate.map().provenance()),
            pretty(&combined.judgement())
        );
    }
    out
}
