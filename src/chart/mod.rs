//! Figures. A chart draws what it is given and calculates nothing.

mod axes;
mod bars;
mod curves;
mod deviations;
mod figure;
mod gallery;
mod line_map;
mod map_figure;
mod map_parts;
mod palette;
#[cfg(feature = "png")]
mod png;
mod rise;
mod tracks;
mod words;

pub use bars::bars;
pub use curves::{Curve, curves};
pub use figure::{Figure, FigureError};
pub use gallery::Gallery;
pub use line_map::{line_map_figure, line_on_map};
pub use map_figure::{bare_map_figure, map_figure};
#[cfg(feature = "png")]
pub use png::Png;
pub use rise::{housings_figure, line_figures, rise_figure, sweep_figures};
