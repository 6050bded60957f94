//! When each candidate comes alive: one table.

use super::super::pick::label;
use super::super::{alive, away, change};
use super::numbers::{held, pretty};
use super::tables::table;
use crate::markup::escape;
use crate::quantity::significant;
use crate::study::{Rise, Sizing};

pub(super) fn alive(sizing: &Sizing) -> String {
    let mut rows = String::new();
    let rest = 5 + usize::from(sizing.study.driving.boost_by.is_some());
    for (index, entry) in sizing.entries.iter().enumerate() {
        let [candidate, fuel] = label(sizing, entry).map(|words| escape(&words));
        let told = match &entry.rise {
            Ok(rise) => cells(sizing, rise),
            Err(_) => format!("<td>none</td><td colspan=\"{rest}\"></td>"),
        };
        rows +=
            &format!("<tr><td><a href=\"#e{}\">{candidate}</a></td><td>{fuel}</td>{told}</tr>\n", index + 1);
    }
    let by = sizing.study.driving.boost_by.map_or(String::new(), |speed| {
        format!("<th>useful boost by {:.0} rpm: in gear (90 %), held</th>", speed.rpm())
    });
    format!(
        "<h2 id=\"alive\">When it comes alive</h2>\n<p>{}</p>\n<div class=\"wide\"><table><thead><tr><th>candidate, \
         housing</th><th>fuel</th><th>boost, absolute</th><th>in gear, there after</th><th>held steadily</th>\
         <th>driven by the exhaust</th><th>right of the surge line</th>{by}<th>which is</th></tr></thead>\n\
         <tbody>\n{rows}</tbody></table></div>\n{}",
        pretty(&alive::setting(sizing)),
        remarks(sizing)
    ) + &after_change(sizing)
        + &elsewhere(sizing)
}

fn after_change(sizing: &Sizing) -> String {
    let Some(setting) = change::setting(sizing) else { return String::new() };
    let rows = sizing.entries.iter().filter_map(|entry| change::row(sizing, entry));
    let rows = table(change::HEADS, [4], rows);
    format!("<h3 id=\"change\">After a gear change</h3>\n<p>{}</p>\n{rows}", pretty(&setting))
}

fn elsewhere(sizing: &Sizing) -> String {
    let Some(setting) = away::setting(sizing) else { return String::new() };
    let heads = away::heads(sizing);
    let heads = core::array::from_fn::<_, 8, _>(|k| heads[k].as_str());
    let rows = sizing.entries.iter().flat_map(|entry| away::rows(sizing, entry));
    let rows = table(heads, [4, 6], rows);
    format!("<h3 id=\"elsewhere\">At other places</h3>\n<p>{}</p>\n{rows}", pretty(&setting))
}

fn cells(sizing: &Sizing, rise: &Rise) -> String {
    let threshold = &rise.line.threshold;
    let by =
        sizing.study.driving.boost_by.map_or(String::new(), |by| {
            format!("<td>{}</td>", rise.there_by(by).map(alive::said).join(", "))
        });
    let [both, exhaust, surge] =
        [threshold.held(), threshold.exhaust, threshold.surge].map(|onset| held(&alive::onset(onset)));
    let spread = alive::spread(rise).map_or(String::new(), |spread| pretty(&spread));
    format!(
        "<td class=\"n\">{}</td><td>{}</td><td>{both}{spread}</td><td>{exhaust}</td><td>{surge}</td>{by}<td>{}</td>",
        held(&format!("{} kPa", significant(rise.pressure().kpa(), 3))),
        held(&alive::in_gear(rise)),
        alive::kind(rise)
    )
}

/// What else is to be said, below the table.
fn remarks(sizing: &Sizing) -> String {
    let items: String = alive::remarks(sizing)
        .into_iter()
        .map(|(remark, whose)| format!("<li>{}: {}</li>\n", escape(&whose.join("; ")), pretty(&remark)))
        .collect();
    if items.is_empty() { items } else { format!("<ul>{items}</ul>\n") }
}
