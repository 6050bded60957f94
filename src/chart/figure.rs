//! A figure as a document.

use super::axes::LINE;
use crate::markup::escape;

/// A figure as SVG, its text selectable, without any outside reference.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    svg: String,
    title: String,
    size: (u32, u32),
}

/// How a file of ours begins, by which a later run recognises it.
const MARK: &str = "<!-- shaftwork -->\n";

impl Figure {
    /// The SVG document.
    pub fn svg(&self) -> &str {
        &self.svg
    }
    /// What it shows.
    pub fn title(&self) -> &str {
        &self.title
    }
    /// Its width and height in pixels.
    pub fn size(&self) -> (u32, u32) {
        self.size
    }

    /// Completes what the drawing library made: its size on the page, its title for those who listen.
    pub(super) fn finish(drawn: &str, size: (u32, u32), title: &str) -> Self {
        let (_, body) = drawn.split_once('>').unwrap_or(("", drawn));
        let view = [size.0 * LINE, size.1 * LINE];
        Self::document(body.trim_end().trim_end_matches("</svg>"), size, view, title)
    }
    pub(super) fn document(body: &str, (wide, high): (u32, u32), view: [u32; 2], title: &str) -> Self {
        let svg = format!(
            "{MARK}<svg role=\"img\" font-family=\"sans-serif\" width=\"{wide}\" height=\"{high}\" \
             viewBox=\"0 0 {} {}\" xmlns=\"http://www.w3.org/2000/svg\">\n<title>{}</title>{body}</svg>\n",
            view[0],
            view[1],
            escape(title)
        );
        // XML has no place for control characters, which names from files may hold.
        let foreign = |c: char| (c.is_control() && c != '\n') || matches!(c, '\u{fffe}' | '\u{ffff}');
        Self { svg: svg.replace(foreign, " "), title: title.into(), size: (wide, high) }
    }
    /// The SVG element without the mark before it.
    pub(super) fn element(&self) -> &str {
        self.svg.trim_start_matches(MARK)
    }
}

/// A figure that could not be drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct FigureError(pub(super) String);

impl core::fmt::Display for FigureError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "the figure could not be drawn: {}", self.0)
    }
}
impl core::error::Error for FigureError {}
