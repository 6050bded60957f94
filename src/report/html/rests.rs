//! What a number rests on: how many inputs of which grade, and each of them.

use super::book::Book;
use super::origin::badge;
use crate::markup::escape;
use crate::record::{Kind, Node};

/// One line, and behind it the inputs themselves.
pub(super) fn rests(book: &Book<'_>, at: usize, node: usize) -> String {
    let record = &book.records[at].record;
    let grades = record.grades(node);
    let total: usize = grades.iter().map(|(_, count)| count).sum();
    if total == 0 {
        return "<p class=\"soft\">No input stands below this number: a search ended here at an edge.</p>\n"
            .into();
    }
    let counts: Vec<String> =
        grades.iter().map(|(grade, count)| format!("{} {count}", escape(grade))).collect();
    let mut lists = String::new();
    for (grade, _) in &grades {
        let is = |node: &Node| matches!(&node.kind, Kind::Given(given) if given.origin.grade() == grade);
        let below = record.indices_below(node).into_iter();
        let inputs: Vec<String> = below
            .filter(|&index| is(&record.nodes()[index]))
            .map(|index| book.link(at, index, &escape(&record.nodes()[index].words)))
            .collect();
        lists += &format!("<p>{} {}</p>", badge(Some(grade)), inputs.join("; "));
    }
    let inputs = if total == 1 { "input" } else { "inputs" };
    format!(
        "<details class=\"small\"><summary>rests on {total} {inputs}: {}</summary>{lists}</details>\n",
        counts.join(", ")
    )
}
