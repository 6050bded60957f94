//! When each candidate comes alive: one table.

use super::super::alive;
use super::super::pick::label;
use super::numbers::{held, pretty};
use crate::markup::escape;
use crate::quantity::significant;
use crate::study::{Rise, Sizing};

pub(super) fn alive(sizing: &Sizing) -> String {
    let mut rows = String::new();
    for (index, entry) in sizing.entries.iter().enumerate() {
        let [candidate, fuel] = label(sizing, entry).map(|words| escape(&words));
        let told = match &entry.rise {
            Ok(rise) => cells(sizing, rise),
            Err(none) => format!("<td colspan=\"7\">{}</td>", escape(&none.to_string())),
        };
        rows +=
            &format!("<tr><td><a href=\"#e{}\">{candidate}</a></td><td>{fuel}</td>{told}</tr>\n", index + 1);
    }
    let by = sizing.study.driving.boost_by.map_or("asked for by".into(), |speed| {
        format!("useful boost by {:.0} rpm: in gear (90 %), held", speed.rpm())
    });
    format!(
        "<h2 id=\"alive\">When it comes alive</h2>\n<p>{}</p>\n<div class=\"wide\"><table><thead><tr><th>candidate, \
         housing</th><th>fuel</th><th>boost, absolute</th><th>in gear, there after</th><th>held steadily</th>\
         <th>driven by the exhaust</th><th>right of the surge line</th><th>{by}</th><th>of this boost</th></tr></thead>\n\
         <tbody>\n{rows}</tbody></table></div>\n",
        escape(&alive::setting(sizing))
    )
}

fn cells(sizing: &Sizing, rise: &Rise) -> String {
    let threshold = &rise.line.threshold;
    let arrival = match &rise.arrival {
        Ok(arrival) => {
            let time = match arrival.whole {
                Some((time, speed)) => format!("{} s, at {:.0} rpm", significant(time.si(), 2), speed.rpm()),
                None => "not before the sweep ends".into(),
            };
            let flags = alive::flags(arrival).join("; ");
            if flags.is_empty() { held(&time) } else { format!("{} ({flags})", held(&time)) }
        }
        Err(error) => escape(&error.to_string()),
    };
    let by = sizing
        .study
        .driving
        .boost_by
        .map_or("not stated".into(), |by| rise.there_by(by).map(alive::said).join(", "));
    let [both, exhaust, surge] =
        [threshold.held(), threshold.exhaust, threshold.surge].map(|onset| held(&alive::onset(onset)));
    format!(
        "<td class=\"n\">{}</td><td>{arrival}</td><td>{both}</td><td>{exhaust}</td><td>{surge}</td><td>{by}</td>\
         <td>{}</td>",
        held(&format!("{} kPa", significant(rise.pressure().kpa(), 3))),
        pretty(alive::asked_for(rise))
    )
}
