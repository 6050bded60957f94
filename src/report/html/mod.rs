//! The sizing as one page that stands alone: verdict first, then everything behind it down to each input.
//!
//! The page needs no network, no script and no second file. What a row says it links: down to the numbers it
//! was made from, up to those made from it. The one script opens what is folded around the target of a
//! link, for browsers that do not do it themselves.

mod alive;
mod book;
mod cures;
mod entry;
mod estimated;
mod evidence;
mod lists;
mod numbers;
mod origin;
mod record;
mod rests;
mod tables;
mod verdict;

use crate::chart::{Figure, FigureError, housings_figure, line_map_figure, map_figure, rise_figure};
use crate::compressor::MapKind;
use crate::markup::escape;
use crate::study::Sizing;
use book::Book;

const STYLE: &str = include_str!("style.css");
const SCRIPT: &str = include_str!("comfort.js");
/// Nothing may be loaded, and no other script may run. The hash is that of the script.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-cJvc0VoVOxLhzxq3jl94dSlxY4f+STrn8WdZadAS518='; base-uri 'none'; form-action 'none'";

/// Writes a sizing as one page of HTML, which is well-formed XML too.
pub fn html(sizing: &Sizing) -> String {
    let book = Book::new(sizing);
    let mut page = String::from("<!DOCTYPE html>\n<!-- shaftwork -->\n<html lang=\"en\">\n");
    page += &head(sizing);
    page += "<body>\n<main>\n";
    page += &verdict::title(sizing);
    page += &verdict::verdicts(&book);
    page += &verdict::cautions();
    page += &contents(sizing);
    page += &evidence::evidence(&sizing.study);
    page += &estimated::estimated(&sizing.study);
    page += &figures(sizing);
    page += &alive::alive(sizing);
    page += &rises(sizing);
    page += &cures::cures(sizing);
    page += "<h2 id=\"candidates\">Margins and states</h2>\n";
    page.extend((0..sizing.entries.len()).map(|index| entry::entry(&book, index)));
    page += &record::records(&book);
    page += &record::handed(&book);
    page += &lists::assumptions(&book);
    page += &lists::inputs(&book);
    page += &lists::versions(&book);
    page += &lists::bibliography(&book);
    page += &format!("</main>\n<script>{SCRIPT}</script>\n</body>\n</html>\n");
    page
}

fn head(sizing: &Sizing) -> String {
    format!(
        "<head>\n<meta charset=\"utf-8\"/>\n<meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <title>{}: sizing</title>\n<style>{STYLE}</style>\n</head>\n",
        escape(&sizing.study.title)
    )
}

fn contents(sizing: &Sizing) -> String {
    let evidence = sizing.study.candidates.iter().any(|candidate| candidate.evidence().is_some());
    let parts = [
        ("evidence", "evidence of a map"),
        ("estimated", "estimated maps"),
        ("figures", "figures"),
        ("alive", "when it comes alive"),
        ("cures", "what would help"),
        ("candidates", "margins and states"),
        ("records", "records"),
        ("handed", "what was handed in"),
        ("assumptions", "assumptions"),
        ("inputs", "inputs"),
        ("versions", "versions"),
        ("sources", "sources"),
    ];
    let estimated = sizing.study.candidates.iter().any(|candidate| candidate.estimated_map().is_some());
    let given = |id: &str| match id {
        "evidence" => evidence,
        "estimated" => estimated,
        "cures" => sizing.cures.is_some(),
        _ => true,
    };
    let links = parts.iter().filter(|(id, _)| given(id));
    let links: Vec<String> = links.map(|(id, words)| format!("<a href=\"#{id}\">{words}</a>")).collect();
    format!("<nav>Below: {}</nav>\n", links.join(" "))
}

/// A figure as an element of the page, or why there is none.
fn drawn(figure: Result<Figure, FigureError>) -> String {
    match figure {
        // Inside a page the element needs no namespace.
        Ok(figure) => {
            let start = figure.svg().find("<svg").unwrap_or(0);
            figure.svg()[start..].replace(" xmlns=\"http://www.w3.org/2000/svg\"", "")
        }
        Err(error) => format!("<p>{}</p>", escape(&error.to_string())),
    }
}

/// How boost comes with each candidate that has a line.
fn rises(sizing: &Sizing) -> String {
    let mut out = String::new();
    for (index, candidate) in sizing.study.candidates.iter().enumerate() {
        if !sizing.has_line(index) {
            continue;
        }
        let mut figure = |figure: Result<Figure, FigureError>, says: &str| {
            let name = escape(&candidate.label());
            out += &format!(
                "<figure>\n{}<figcaption>Candidate {name}: {says}</figcaption></figure>\n",
                drawn(figure)
            );
        };
        figure(
            rise_figure(sizing, index),
            "the boost held as far as exhaust and map allow, what it gives and costs over engine speed (above 1 the \
             engine pumps against its exhaust), with up to two lines in the band of the turbine's area; then the boost and the shaft \
             speed in gear",
        );
        if candidate.housings().len() > 1 {
            figure(
                housings_figure(sizing, index),
                "its housings side by side, the boost held as far as exhaust and map allow. Where the exhaust line lies \
                 above the intake line of the same housing, the engine pumps against its exhaust",
            );
        }
        figure(
            line_map_figure(sizing, index),
            "the same states on its map, from the slowest engine speed to the fastest. The bend is where the boost is \
             reached; along the surge line the boost is held down to stay on the map",
        );
    }
    out
}

/// The figures of the maps, as elements of the page.
fn figures(sizing: &Sizing) -> String {
    let mut out = String::from("<h2 id=\"figures\">Figures</h2>\n");
    for (index, candidate) in sizing.study.candidates.iter().enumerate() {
        let name = escape(&candidate.label());
        let map = candidate.map();
        let drawn = drawn(map_figure(sizing, index));
        let [file, provenance] = [map.file(), map.provenance()].map(escape);
        let says = match candidate.estimated() {
            Some(estimated) if estimated.printed_lines().is_some() => {
                format!("the {provenance}; the operating lines on them")
            }
            Some(_) => format!(
                "a map {provenance}; the operating lines on it. Bars, on every other speed line: one standard deviation of surge flow, \
                 of the pressure ratio at best efficiency, and of choke flow"
            ),
            None => {
                let made = map.kind().map_or("map", MapKind::words);
                format!(
                    "the {made} of {file} with the operating lines. Of the map its file says: {provenance}"
                )
            }
        };
        out += &format!("<figure>\n{drawn}<figcaption>Candidate {name}: {says}</figcaption></figure>\n");
    }
    out
}
