//! Figures. A chart draws what it is given and calculates nothing.

mod curves;
mod map_figure;
mod palette;

pub use curves::{Curve, curves};
pub use map_figure::{bare_map_figure, map_figure};

/// A figure as SVG, its text selectable, without any outside reference.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    svg: String,
    title: String,
}

impl Figure {
    /// The SVG document.
    pub fn svg(&self) -> &str {
        &self.svg
    }
    /// What it shows.
    pub fn title(&self) -> &str {
        &self.title
    }
}

/// Completes the document: the mark lets a later run recognise its own file.
fn finish(svg: String, title: &str) -> Figure {
    let svg = svg.replacen("<svg ", "<!-- shaftwork -->\n<svg role=\"img\" font-family=\"sans-serif\" ", 1);
    Figure { svg, title: title.into() }
}

/// A figure that could not be drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct FigureError(String);

impl core::fmt::Display for FigureError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "the figure could not be drawn: {}", self.0)
    }
}
impl core::error::Error for FigureError {}
