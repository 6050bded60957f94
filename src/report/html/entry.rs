//! One candidate with one housing on one fuel: its most power, its margins, its state.

use super::super::pick::{hardest, label, least, least_head, least_of, percent};
use super::book::{Book, Of};
use super::numbers::{code, held, pretty};
use super::rests::rests;
use crate::markup::escape;
use crate::quantity::significant;
use crate::shaft::{OperatingPoint, Verdict, answer, doubt_words, most_words, stop_words};
use crate::study::Entry;

pub(super) fn entry(book: &Book<'_>, index: usize) -> String {
    let entry = &book.sizing.entries[index];
    let title = escape(&label(book.sizing, entry).join(", on "));
    let mut out = format!("<section class=\"entry\" id=\"e{}\">\n<h3>{title}</h3>\n", index + 1);
    let target = significant(book.sizing.study.target.power().kw(), 3);
    let said = answer(&entry.judgement.verdict);
    out += &format!("<p>Reaches {target} kW: <span class=\"{said}\">{said}</span></p>\n");
    if let Verdict::Open(doubts) = &entry.judgement.verdict {
        let items = doubts.iter().map(|doubt| format!("<li>{}</li>", pretty(&doubt_words(doubt))));
        out += &format!("<ul>{}</ul>\n", items.collect::<String>());
    }
    for (speed, found) in &entry.judgement.points {
        if let Err(error) = found {
            out += &format!("<p>At {:.0} rpm: {}</p>\n", speed.rpm(), escape(&error.to_string()));
        }
    }
    out += &most(book, index, entry);
    if let Some((point, state)) = hardest(entry) {
        let at = book.find(index, Of::Target(point));
        out += &margins(book, entry, state, at);
        out += &numbers(book, state, at);
    }
    for (_, why) in book.faults.iter().filter(|(of, _)| *of == index) {
        out += &format!("<p>A record is missing: {}</p>\n", escape(why));
    }
    out + "</section>\n"
}

fn most(book: &Book<'_>, index: usize, entry: &Entry) -> String {
    let most = &entry.judgement.most;
    let words = held(&most_words(most));
    let at = book.find(index, Of::Most);
    let row = at.and_then(|at| Some((at, book.records[at].record.output("power")?)));
    let words = row.map_or(words.clone(), |(at, node)| book.link(at, node, &words));
    let rests = row.map_or(String::new(), |(at, node)| rests(book, at, node));
    let stop = escape(&stop_words(&most.stop));
    format!("<h4>The most power</h4>\n<p>{words}, stopped first by {stop}</p>\n{rests}")
}

/// The least margins over the engine speeds, and those at the point on record.
fn margins(book: &Book<'_>, entry: &Entry, state: &OperatingPoint, at: Option<usize>) -> String {
    let record = at.map(|at| (at, &book.records[at].record));
    let on_record = |key: &str| {
        let (at, record) = record?;
        let node = record.output(key)?;
        Some((at, node, book.link(at, node, &held(&percent(record.nodes()[node].value)))))
    };
    let mut rows = String::new();
    for one in least(entry) {
        let here = on_record(&one.key).map_or(String::new(), |(.., linked)| linked);
        rows += &format!(
            "<tr><td>{}</td><td>{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td><td>{here}</td></tr>\n",
            one.words,
            held(&one.shown),
            one.at,
            pretty(&one.band)
        );
    }
    let head = least_head(entry);
    let mut out = format!(
        "<h4>Margins at the target</h4>\n<div class=\"wide\"><table><thead><tr><th>margin to</th><th>{head}</th><th>at</th>\
         <th>with turbine area and estimated map in their bands</th><th>on record, at {:.0} rpm</th></tr></thead>\n\
         <tbody>\n{rows}</tbody></table></div>\n",
        state.demand.speed.rpm()
    );
    if let Some((words, (at, node, linked))) =
        least_of(state).and_then(|d| Some((d.words, on_record(&d.key)?)))
    {
        out += &format!("<p>The least of them, to {words}: {linked}</p>\n{}", rests(book, at, node));
    }
    out
}

/// Each number of the state with the row that says how it came about.
fn numbers(book: &Book<'_>, state: &OperatingPoint, at: Option<usize>) -> String {
    let mut rows = String::new();
    for row in state.rows() {
        let node = at.and_then(|at| book.records[at].record.output(row.key).map(|node| (at, node)));
        let linked = node.map_or(String::new(), |(at, node)| book.link_by_name(at, node));
        rows += &format!(
            "<tr><td>{}</td><td>{}</td><td>{}</td><td>{linked}</td></tr>\n",
            pretty(row.words),
            held(&row.shown),
            code(row.by)
        );
    }
    format!(
        "<h4>The state at {:.0} rpm, where the margins are least</h4>\n<div class=\"wide\"><table><thead><tr><th>what</th><th>value</th>\
         <th>formula</th><th>row</th></tr></thead>\n<tbody>\n{rows}</tbody></table></div>\n",
        state.demand.speed.rpm()
    )
}
