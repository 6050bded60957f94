//! Figures. A chart draws what it is given and calculates nothing.

mod axes;
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

fn fine((width, height): (u32, u32)) -> (u32, u32) {
    (width * axes::LINE, height * axes::LINE)
}

/// Completes the document: its size, and the mark by which a later run recognises its own file.
fn finish(svg: String, (width, height): (u32, u32), title: &str) -> Figure {
    let drawn = fine((width, height));
    let old = format!("<svg width=\"{}\" height=\"{}\" ", drawn.0, drawn.1);
    let new = format!(
        "<!-- shaftwork -->\n<svg role=\"img\" font-family=\"sans-serif\" width=\"{width}\" height=\"{height}\" "
    );
    Figure { svg: svg.replacen(&old, &new, 1), title: title.into() }
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
