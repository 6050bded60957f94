//! Steps folded away, for a class that is to work them out first.

use crate::session::Choice;
use std::io::Result;

const HIDDEN: Choice = Choice("hidden-steps");

/// Folds the steps of every calculation shown from now on in this session, until [`show_steps`].
///
/// Derivations, rows of a record, records and table look-ups then come closed, to be opened by whoever wants
/// them. Results are shown as ever.
///
/// # Errors
///
/// The folder for temporary files cannot be written.
pub fn hide_steps() -> Result<()> {
    HIDDEN.make(true)
}

/// Shows steps again from now on. What a cell has shown changes when the cell runs again.
///
/// # Errors
///
/// The folder for temporary files cannot be written.
pub fn show_steps() -> Result<()> {
    HIDDEN.make(false)
}

/// Sends the steps of a calculation, folded away where the session hides them.
pub(super) fn emit_steps(title: &str, plain: &str, html: &str) {
    let (plain, html) = folded(HIDDEN.is_made(), title, plain, html);
    super::emit(&plain, "text/html", &html);
}

fn folded(hidden: bool, title: &str, plain: &str, html: &str) -> (String, String) {
    if !hidden {
        return (plain.into(), html.into());
    }
    let title_html = crate::markup::escape(title);
    (
        format!("{title}: the steps are hidden; run show_steps()? and this cell again to see them"),
        format!("<details><summary>{title_html}: the steps, when you want them</summary>{html}</details>"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hidden_steps_are_folded_and_say_how_to_show_them() {
        let (plain, html) = folded(true, "a < b", "a < b\nx = 2", "<table>x = 2</table>");
        assert!(plain.contains("hidden") && plain.contains("show_steps()?"), "{plain}");
        assert!(!plain.contains("x = 2"), "{plain}");
        // Closed: a reader opens it.
        assert!(
            html.starts_with("<details><summary>a &lt; b: the steps, when you want them</summary>"),
            "{html}"
        );
        assert!(html.ends_with("<table>x = 2</table></details>"), "{html}");
    }

    #[test]
    fn shown_steps_are_as_they_were() {
        let (plain, html) = folded(false, "t", "t\nx = 2", "<table>x = 2</table>");
        assert_eq!((plain.as_str(), html.as_str()), ("t\nx = 2", "<table>x = 2</table>"));
    }
}
