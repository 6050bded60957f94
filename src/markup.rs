//! Text made safe inside HTML, MathML and SVG: names come from the user's files.

/// Writes a text so that it stays text. A control character, which no such document may hold, becomes U+FFFD.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' => out.push(c),
            // Besides the controls, the two code points that XML leaves out.
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push('\u{fffd}'),
            _ => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::escape;

    #[test]
    fn nothing_of_a_text_is_markup() {
        assert_eq!(escape("<a href='x'>\"&\"</a>"), "&lt;a href=&#39;x&#39;&gt;&quot;&amp;&quot;&lt;/a&gt;");
        assert_eq!(escape("a\u{0}b\u{1b}c\u{85}\u{fffe}\n\td"), "a\u{fffd}b\u{fffd}c\u{fffd}\u{fffd}\n\td");
        assert_eq!(escape("\u{394}p \u{65e5}"), "\u{394}p \u{65e5}");
    }
}
