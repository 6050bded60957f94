//! What all figures share: their fineness, their letters, their axes.

use super::palette;
use plotters::coord::Shift;
use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;

/// The drawing library places everything on whole pixels. Pages are drawn so many times larger and shown
/// at their size, so that a smooth line stays smooth.
pub(super) const FINE: i32 = 8;
/// The width of a line of one pixel on such a page.
pub(super) const LINE: u32 = FINE as u32;
pub(super) const FAMILY: &str = "sans-serif";

pub(super) type Drawn = Result<(), DrawingAreaErrorKind<std::io::Error>>;
pub(super) type Page<'a> = DrawingArea<SVGBackend<'a>, Shift>;
pub(super) type Panel<'a> = ChartContext<'a, SVGBackend<'a>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;

pub(super) fn ink(size: i32) -> TextStyle<'static> {
    (FAMILY, size * FINE).into_font().color(&palette::INK)
}

/// Rules a panel: each axis names its quantity and unit, its numbers have so many decimals.
pub(super) fn axes(chart: &mut Panel<'_>, across: &str, up: &str, [dx, dy]: [usize; 2]) -> Drawn {
    chart
        .configure_mesh()
        .light_line_style(TRANSPARENT)
        .bold_line_style(palette::RULE.stroke_width(LINE))
        .axis_style(palette::INK.stroke_width(LINE))
        .set_all_tick_mark_size(5 * FINE)
        .x_labels(9)
        .y_labels(9)
        .x_label_formatter(&|x| format!("{x:.dx$}"))
        .y_label_formatter(&|y| format!("{y:.dy$}"))
        .x_desc(across)
        .y_desc(up)
        .axis_desc_style((FAMILY, 15 * FINE, &palette::INK))
        .label_style((FAMILY, 13 * FINE, &palette::INK))
        .draw()
}
