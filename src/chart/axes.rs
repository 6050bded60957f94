//! What all figures share: their page and its fineness, their letters, their axes.

use super::words::{fitted, width};
use super::{Figure, FigureError, palette};
use plotters::coord::Shift;
use plotters::coord::ranged1d::Ranged;
use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;

/// The drawing library places everything on whole pixels. Pages are drawn so many times larger and shown
/// at their size, so that a smooth line stays smooth.
pub(super) const FINE: i32 = 8;
/// The width of a line of one pixel on such a page.
pub(super) const LINE: u32 = FINE as u32;
pub(super) const FAMILY: &str = "sans-serif";
/// The height that a title takes.
pub(super) const TITLE: i32 = 36;

pub(super) type Drawn = Result<(), DrawingAreaErrorKind<std::io::Error>>;
pub(super) type Page<'a> = DrawingArea<SVGBackend<'a>, Shift>;
pub(super) type Panel<'a> = ChartContext<'a, SVGBackend<'a>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;

/// Draws a figure: its title, then below it what is painted.
pub(super) fn figure(
    (wide, high): (u32, u32),
    title: &str,
    paint: impl FnOnce(&Page<'_>) -> Drawn,
) -> Result<Figure, FigureError> {
    let mut svg = String::new();
    let draw = |svg: &mut String| -> Drawn {
        let page = SVGBackend::with_string(svg, (wide * LINE, high * LINE)).into_drawing_area();
        page.fill(&WHITE)?;
        let fitting = fitted(title, 17, wide as i32 - 32);
        page.draw(&Text::new(fitting, (16 * FINE, 14 * FINE), ink(17)))?;
        paint(&page)?;
        page.present()
    };
    draw(&mut svg).map_err(|error| FigureError(error.to_string()))?;
    Ok(Figure::finish(&svg, (wide, high), title))
}

pub(super) fn ink(size: i32) -> TextStyle<'static> {
    (FAMILY, size * FINE).into_font().color(&palette::INK)
}

/// An axis: its quantity and unit, where it begins and ends, and how its numbers look.
pub(super) struct Axis {
    pub words: String,
    ends: [f64; 2],
    pub marks: usize,
    decimals: Option<usize>,
}

impl Axis {
    /// An axis between two ends on so many pixels; across, its numbers lie side by side.
    pub fn new(words: &str, ends: [f64; 2], pixels: i32, across: bool) -> Result<Self, FigureError> {
        let [low, high] = ends;
        if words.trim().is_empty() {
            return Err(FigureError("an axis must name its quantity and unit".into()));
        }
        if !(high - low).is_finite() || high <= low {
            return Err(FigureError(format!("the axis \"{words}\" cannot run from {low} to {high}")));
        }
        let mut axis = Self { words: words.into(), ends, marks: 9, decimals: None };
        axis.settle();
        if across {
            axis.marks = (pixels / (axis.widest() + 14)).clamp(3, 11) as usize;
            axis.settle();
        }
        Ok(axis)
    }
    /// As many decimals as the step from mark to mark needs: it is 1, 2 or 5 times a power of ten.
    fn settle(&mut self) {
        let marks = RangedCoordf64::from(self.range()).key_points(self.marks);
        let step =
            marks.windows(2).map(|pair| pair[1] - pair[0]).next().unwrap_or(self.ends[1] - self.ends[0]);
        let plain = self.ends[0].abs().max(self.ends[1].abs()) < 1e7 && step >= 1e-6;
        self.decimals = plain.then(|| (-(step.log10() + 1e-6).floor()).max(0.0) as usize);
    }
    /// A number of this axis.
    pub fn number(&self, value: f64) -> String {
        match self.decimals {
            Some(decimals) => {
                let number = format!("{value:.decimals$}");
                // No minus before a zero.
                if number.trim_start_matches('-').parse() == Ok(0.0) {
                    number.trim_start_matches('-').into()
                } else {
                    number
                }
            }
            None => format!("{value:.2e}"),
        }
    }
    /// The width of its widest number, in pixels.
    pub fn widest(&self) -> i32 {
        self.ends.map(|end| width(&self.number(end), 13)).into_iter().max().unwrap_or(0)
    }
    pub fn range(&self) -> core::ops::Range<f64> {
        self.ends[0]..self.ends[1]
    }
}

/// Fills and rules a panel.
pub(super) fn rule(chart: &mut Panel<'_>, across: &Axis, up: Option<&Axis>) -> Drawn {
    chart.plotting_area().fill(&palette::PAPER)?;
    let number = |axis: Option<&Axis>, value: f64| axis.map_or(String::new(), |axis| axis.number(value));
    let across_number = |x: &f64| across.number(*x);
    let up_number = |y: &f64| number(up, *y);
    let mut mesh = chart.configure_mesh();
    mesh.light_line_style(TRANSPARENT)
        .bold_line_style(palette::RULE.stroke_width(LINE))
        .axis_style(palette::INK.stroke_width(LINE))
        .set_all_tick_mark_size(5 * FINE)
        .x_labels(across.marks)
        .y_labels(up.map_or(0, |up| up.marks))
        .x_label_formatter(&across_number)
        .y_label_formatter(&up_number)
        .x_desc(&across.words)
        .y_desc(up.map_or("", |up| &up.words))
        .axis_desc_style((FAMILY, 15 * FINE, &palette::INK))
        .label_style((FAMILY, 13 * FINE, &palette::INK));
    if up.is_none() {
        mesh.disable_y_mesh().disable_y_axis();
    }
    mesh.draw()
}
