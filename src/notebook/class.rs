//! Steps folded away, for a class that is to work them out first.

use std::io::Result;
use std::path::PathBuf;

/// Folds the steps of every calculation shown from now on in this session, until [`show_steps`].
///
/// Derivations, rows of a record, records and table look-ups then come closed, to be opened by whoever wants
/// them. Results are shown as ever.
///
/// # Errors
///
/// The folder for temporary files cannot be written.
pub fn hide_steps() -> Result<()> {
    Switch::of_session().hide()
}

/// Shows steps again from now on. What a cell has shown changes when the cell runs again.
///
/// # Errors
///
/// The folder for temporary files cannot be written.
pub fn show_steps() -> Result<()> {
    Switch::of_session().show()
}

/// An empty folder that is there while steps are hidden.
///
/// A static would not last: the kernel links each cell with a copy of this library of its own, statics included.
/// What the cells of one session share and other sessions do not is their process. A folder that a session left
/// behind and a later process of the same number finds does no harm: folded steps say how to show them.
struct Switch(PathBuf);

impl Switch {
    fn of_session() -> Self {
        Self(std::env::temp_dir().join(format!("shaftwork-hidden-steps-{}", std::process::id())))
    }
    fn hidden(&self) -> bool {
        self.0.is_dir()
    }
    fn hide(&self) -> Result<()> {
        std::fs::create_dir(&self.0).or_else(|error| if self.hidden() { Ok(()) } else { Err(error) })
    }
    fn show(&self) -> Result<()> {
        std::fs::remove_dir(&self.0).or_else(|error| if self.hidden() { Err(error) } else { Ok(()) })
    }
}

/// Sends the steps of a calculation, folded away where the session hides them.
pub(super) fn emit_steps(title: &str, plain: &str, html: &str) {
    let (plain, html) = folded(Switch::of_session().hidden(), title, plain, html);
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

    // The only test that moves the session's switch: others must not see it move.
    #[test]
    fn the_switch_holds_until_it_is_moved() {
        let switch = Switch::of_session();
        show_steps().unwrap();
        assert!(!switch.hidden());
        hide_steps().unwrap();
        hide_steps().unwrap();
        assert!(switch.hidden());
        show_steps().unwrap();
        show_steps().unwrap();
        assert!(!switch.hidden());
    }

    #[test]
    fn a_switch_that_cannot_be_moved_says_so() {
        let nowhere = Switch(std::env::temp_dir().join("shaftwork-no-such-folder").join("switch"));
        assert!(nowhere.hide().is_err() && !nowhere.hidden());
        let in_use = Switch(std::env::temp_dir().join(format!("shaftwork-in-use-{}", std::process::id())));
        std::fs::create_dir_all(in_use.0.join("content")).unwrap();
        assert!(in_use.show().is_err() && in_use.hidden());
        std::fs::remove_dir_all(&in_use.0).unwrap();
        // A file in its place is not the switch, and stays.
        std::fs::write(&in_use.0, "").unwrap();
        assert!(in_use.hide().is_err() && !in_use.hidden());
        std::fs::remove_file(&in_use.0).unwrap();
    }
}
