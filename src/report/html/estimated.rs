//! The estimated maps as tables of the page.

use super::super::estimated::{HEAD, MEANING, row, title, told};
use super::tables::table;
use crate::markup::escape;
use crate::study::Study;

pub(super) fn estimated(study: &Study) -> String {
    let mut out = String::new();
    for (candidate, lines) in told(study) {
        if out.is_empty() {
            out += &format!("<h2 id=\"estimated\">Estimated maps</h2>\n<p>{MEANING}</p>\n");
        }
        out += &format!("<p>{}</p>\n", escape(&title(candidate)));
        out += &table(HEAD, [0, 1, 2, 3, 4, 5], lines.iter().map(row));
    }
    out
}
