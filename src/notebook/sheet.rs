//! A table as plain text and as HTML.

use super::align::{Alignment, alignment};
use crate::markup::escape;

/// A titled table.
pub(super) struct Sheet {
    title: String,
    head: Vec<Cell>,
    rows: Vec<Vec<Cell>>,
}

/// What stands in a place of a table, as text and as markup.
#[derive(Clone)]
pub(super) struct Cell {
    plain: String,
    html: String,
    /// How many columns it covers.
    columns: usize,
}

impl Cell {
    /// A text as markup shows it better.
    pub fn marked_up(plain: impl Into<String>, html: impl Into<String>) -> Self {
        Self { plain: plain.into(), html: html.into(), columns: 1 }
    }
    /// A number with its unit, which a line breaks before the second unit only.
    pub fn held(text: &str) -> Self {
        Self::marked_up(text, escape(text).replace(' ', "&nbsp;").replace("&nbsp;(", " ("))
    }
    /// Its markup, for a place in another cell.
    pub fn markup(&self) -> &str {
        &self.html
    }
    /// The same over several columns.
    pub fn over(self, columns: usize) -> Self {
        Self { columns, ..self }
    }
}

impl<T: AsRef<str>> From<T> for Cell {
    fn from(text: T) -> Self {
        Self::marked_up(text.as_ref(), escape(text.as_ref()))
    }
}

impl Sheet {
    pub fn new(title: impl Into<String>, head: &[&str]) -> Self {
        Self { title: title.into(), head: head.iter().map(Cell::from).collect(), rows: Vec::new() }
    }
    pub fn row<const N: usize>(&mut self, cells: [&str; N]) {
        self.cells(cells.map(Cell::from));
    }
    pub fn cells(&mut self, cells: impl IntoIterator<Item = Cell>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// How each column stands: numbers under each other by their points.
    fn alignments(&self) -> Vec<Alignment> {
        let column = |index: usize| {
            let cells = self.rows.iter().filter_map(move |row| row.get(index));
            alignment(cells.filter(|cell| cell.columns == 1).map(|cell| cell.plain.as_str()))
        };
        (0..self.head.len()).map(column).collect()
    }

    pub fn plain(&self) -> String {
        let alignments = self.alignments();
        let padded: Vec<Vec<Cell>> = self
            .rows
            .iter()
            .map(|row| {
                let cell = |(cell, alignment): (&Cell, &Alignment)| Cell {
                    plain: if cell.columns == 1 {
                        alignment.padded(&cell.plain, " ")
                    } else {
                        cell.plain.clone()
                    },
                    ..cell.clone()
                };
                row.iter().zip(&alignments).map(cell).collect()
            })
            .collect();
        let lines = || core::iter::once(&self.head).chain(&padded);
        // What covers several columns, or is the last of its row, takes the room that it needs.
        let width = |column: usize| {
            let alone = |cell: &&Cell| cell.columns == 1;
            let cells = lines().filter_map(|line| line.get(column).filter(alone));
            cells.map(|cell| cell.plain.chars().count()).max().unwrap_or(0)
        };
        let widths: Vec<usize> = (0..self.head.len()).map(width).collect();
        let mut out = self.title.clone();
        for line in lines().filter(|line| line.iter().any(|cell| !cell.plain.is_empty())) {
            let cells: Vec<String> = line
                .iter()
                .zip(widths.iter().zip(&alignments))
                .map(|(cell, (width, alignment))| match (cell.columns, alignment.is_of_numbers()) {
                    (1, true) => format!("{:>width$}", cell.plain),
                    (1, false) => format!("{:<width$}", cell.plain),
                    _ => cell.plain.clone(),
                })
                .collect();
            out.push('\n');
            out.push_str(cells.join("  ").trim_end());
        }
        out
    }

    pub fn html(&self) -> String {
        let mut out = format!(
            "<table style=\"border-collapse:collapse;font-variant-numeric:tabular-nums\">\
             <caption style=\"caption-side:top;text-align:left;font-weight:bold;padding:2px 0;white-space:nowrap\">{}</caption>",
            escape(&self.title)
        );
        let alignments = self.alignments();
        let line = |cells: &[Cell], tag: &str| {
            let cells: String = cells
                .iter()
                .zip(&alignments)
                .map(|(cell, alignment)| {
                    let (span, side) = match (cell.columns, alignment.is_of_numbers()) {
                        (1, true) => (String::new(), "right"),
                        (1, false) => (String::new(), "left"),
                        (several, _) => (format!(" colspan=\"{several}\""), "left"),
                    };
                    // A figure space is as wide as a digit, and a line may break at it: a number stays with its unit.
                    let (shown, held) = match (side, tag) {
                        ("right", "td") => (alignment.padded(&cell.html, "&#8199;"), ";white-space:nowrap"),
                        ("right", _) => (alignment.padded(&cell.html, "&#8199;"), ""),
                        _ => (cell.html.clone(), ""),
                    };
                    format!("<{tag}{span} style=\"text-align:{side};padding:1px 14px 1px 0{held}\">{shown}</{tag}>")
                })
                .collect();
            format!("<tr style=\"border-bottom:1px solid #ddd\">{cells}</tr>")
        };
        if self.head.iter().any(|cell| !cell.plain.is_empty()) {
            out.push_str(&line(&self.head, "th"));
        }
        out.extend(self.rows.iter().map(|row| line(row, "td")));
        out + "</table>"
    }

    pub fn show(&self) {
        super::emit(&self.plain(), "text/html", &self.html());
    }
    /// Shows the steps of a calculation, which a class may have hidden.
    pub fn show_steps(&self) {
        super::class::emit_steps(&self.title, &self.plain(), &self.html());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_from_files_are_escaped() {
        let mut sheet = Sheet::new("<b>a</b>", &["x"]);
        sheet.row(["\"><script>alert('1')</script>&"]);
        let html = sheet.html();
        assert!(!html.contains("<script>") && !html.contains("<b>"), "{html}");
        assert!(html.contains("&lt;script&gt;alert(&#39;1&#39;)&lt;/script&gt;&amp;"));
        assert!(sheet.plain().contains("<script>"));
    }

    #[test]
    fn what_covers_several_columns_makes_none_of_them_wider() {
        let mut sheet = Sheet::new("t", &["", "", ""]);
        sheet.cells(["a".into(), Cell::marked_up("a long equation = 1", "<i>x</i>").over(2)]);
        sheet.row(["b", "c", "d"]);
        assert_eq!(sheet.plain(), "t\na  a long equation = 1\nb  c  d");
        assert!(
            sheet
                .html()
                .contains("<td colspan=\"2\" style=\"text-align:left;padding:1px 14px 1px 0\"><i>x</i></td>")
        );
    }
}
