//! What is said first: the verdict, what leaves it open, and the cautions.

use super::super::evidence::unweighed;
use super::super::pick::{label, not_judged, not_validated};
use super::super::text::{BANDS, CAUTIONS, NO_MAP, NOT_SIZED};
use super::book::{Book, Of};
use super::numbers::{held, pretty};
use crate::markup::escape;
use crate::quantity::{Quantity, significant};
use crate::shaft::{MostPower, NOT_JUDGED, Verdict, answer, doubt_words, most_words, stop_words};
use crate::study::Sizing;

pub(super) fn title(sizing: &Sizing) -> String {
    let study = &sizing.study;
    let invented = if study.invented { " (invented demonstration)" } else { "" };
    let [from, to] = study.target.ends().map(|speed| significant(speed.rpm(), 4));
    let site = &study.installation.site;
    format!(
        "<header>\n<h1>{}{invented}</h1>\n<p>Target: {} at the crank, held from {from} to {to} rpm. \
         Site: {:.0} m, {}, {}, {} % water vapour by volume.</p>\n</header>\n",
        escape(&study.title),
        held(&study.target.power().both()),
        site.altitude().m(),
        held(&site.pressure().both()),
        held(&site.temperature().to_string()),
        significant(site.vapour().percent(), 2)
    )
}

/// The table of all verdicts.
pub(super) fn verdicts(book: &Book<'_>) -> String {
    let sizing = book.sizing;
    let target = significant(sizing.study.target.power().kw(), 3);
    let mut rows = String::new();
    for (index, entry) in sizing.entries.iter().enumerate() {
        let [candidate, fuel] = label(sizing, entry).map(|words| escape(&words));
        let judgement = &entry.judgement;
        let answer = answer(&judgement.verdict);
        rows += &format!(
            "<tr><td><a href=\"#e{}\">{candidate}</a></td><td>{fuel}</td>\
             <td><span class=\"{answer}\">{answer}</span></td>{}<td>{}</td></tr>\n",
            index + 1,
            power(book, index, &judgement.most),
            why(&judgement.verdict)
        );
    }
    for (words, one) in not_judged(sizing) {
        let [candidate, fuel] = words.map(|words| escape(&words));
        let (said, why) = (one.missing.words(), escape(&one.why.to_string()));
        rows += &format!(
            "<tr><td>{candidate}</td><td>{fuel}</td><td>{said}</td><td></td><td></td><td>{why}</td></tr>\n"
        );
    }
    format!(
        "<section id=\"verdict\">\n<h2>Verdict</h2>\n<div class=\"wide\"><table>\n<thead><tr><th>candidate, housing</th>\
         <th>fuel</th><th>{target} kW?</th><th>most power</th><th>stopped first by</th>\
         <th>open, or short of the target, because of</th></tr></thead>\n<tbody>\n{rows}</tbody></table></div>\n\
         <p class=\"soft\">{} Not judged yet: {}. {NO_MAP}{}{} A power links to its row on record.</p>\n{}</section>\n",
        BANDS.join(" "),
        NOT_JUDGED.join("; "),
        not_validated(sizing).map_or(String::new(), |words| format!(" {}", escape(&words))),
        unweighed(&sizing.study).iter().map(|words| format!(" {}", escape(words))).collect::<String>(),
        not_sized(sizing)
    )
}

/// What could not be worked out, each with its place and reason.
fn not_sized(sizing: &Sizing) -> String {
    if sizing.is_whole() {
        return String::new();
    }
    let items = sizing.not_sized.iter().map(|one| format!("<li>{}</li>", escape(&one.to_string())));
    format!("<h3>Not sized</h3>\n<p>{NOT_SIZED}</p>\n<ul>{}</ul>\n", items.collect::<String>())
}

/// Two cells: the most power with its band, and what stops it.
fn power(book: &Book<'_>, entry: usize, most: &MostPower) -> String {
    let words = held(&most_words(most));
    let at = book.find(entry, Of::Most);
    let row = at.and_then(|at| Some((at, book.records[at].record.output("power")?)));
    let words = row.map_or(words.clone(), |(at, node)| book.link(at, node, &words));
    format!("<td>{words}</td><td>{}</td>", escape(&stop_words(&most.stop)))
}

fn why(verdict: &Verdict) -> String {
    match verdict {
        Verdict::Reaches => String::new(),
        Verdict::FallsShort(stop) => escape(&stop_words(&Some(stop.clone()))),
        Verdict::Open(doubts) => {
            let items: String =
                doubts.iter().map(|doubt| format!("<li>{}</li>", pretty(&doubt_words(doubt)))).collect();
            format!("<ul>{items}</ul>")
        }
    }
}

pub(super) fn cautions() -> String {
    format!(
        "<section class=\"cautions\">\n<h3>Cautions</h3>\n<p>{}</p>\n</section>\n",
        escape(&CAUTIONS.join(" "))
    )
}
