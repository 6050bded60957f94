//! A table as plain text and as HTML.

use crate::markup::escape;

/// A titled table; the last column is set flush right where it holds numbers.
pub(super) struct Sheet {
    title: String,
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Sheet {
    pub fn new(title: impl Into<String>, head: &[&str]) -> Self {
        Self { title: title.into(), head: head.iter().map(ToString::to_string).collect(), rows: Vec::new() }
    }
    pub fn row<const N: usize>(&mut self, cells: [&str; N]) {
        self.rows.push(cells.iter().map(ToString::to_string).collect());
    }

    pub fn plain(&self) -> String {
        let columns = self.head.len();
        let lines = || core::iter::once(&self.head).chain(&self.rows);
        let width = |i: usize| {
            lines().map(|line| line.get(i).map_or(0, |cell| cell.chars().count())).max().unwrap_or(0)
        };
        let widths: Vec<usize> = (0..columns).map(width).collect();
        let mut out = self.title.clone();
        for line in lines().filter(|line| line.iter().any(|cell| !cell.is_empty())) {
            let cells: Vec<String> =
                line.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}")).collect();
            out.push('\n');
            out.push_str(cells.join("  ").trim_end());
        }
        out
    }

    pub fn html(&self) -> String {
        let mut out = format!(
            "<table style=\"border-collapse:collapse;font-variant-numeric:tabular-nums\">\
             <caption style=\"caption-side:top;text-align:left;font-weight:bold;padding:2px 0\">{}</caption>",
            escape(&self.title)
        );
        let line = |cells: &[String], tag: &str| {
            let cells: String = cells
                .iter()
                .map(|cell| {
                    format!(
                        "<{tag} style=\"text-align:left;padding:1px 14px 1px 0\">{}</{tag}>",
                        escape(cell)
                    )
                })
                .collect();
            format!("<tr style=\"border-bottom:1px solid #ddd\">{cells}</tr>")
        };
        if self.head.iter().any(|cell| !cell.is_empty()) {
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
}
