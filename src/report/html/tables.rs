//! Plain tables of the page.

use super::numbers::{held, pretty};

/// A table whose columns of numbers stand to the right.
pub(super) fn table<const N: usize, const M: usize>(
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
