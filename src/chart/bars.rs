//! Bars from a common zero, for budgets.

use super::axes::{Axis, Drawn, FINE, LINE, Page, TITLE, figure, ink, rule};
use super::words::{fitted, width};
use super::{Figure, FigureError, palette};
use crate::quantity::significant;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

const WIDE: i32 = 760;
/// The height of a bar with its gap, and the room for labels at most, in pixels.
const ROW: i32 = 28;
const LABELS: i32 = 300;

/// Draws signed values as horizontal bars, from top to bottom as given, each with its value to three
/// figures; the axis names their quantity and unit.
///
/// ```
/// use shaftwork::chart::bars;
///
/// let moved = [("turbine inlet temperature", 14.2), ("work factor", -12.7)];
/// let figure = bars("What moves the most power", "change of the most power, kW", &moved)?;
/// assert!(figure.svg().contains("-12.7"));
/// # Ok::<(), shaftwork::chart::FigureError>(())
/// ```
///
/// # Errors
///
/// [`FigureError`] where there are none or more than 200, a value is not finite, or drawing fails.
pub fn bars(title: &str, across: &str, bars: &[(impl AsRef<str>, f64)]) -> Result<Figure, FigureError> {
    if bars.is_empty() || bars.len() > 200 {
        return Err(FigureError(format!("{} bars; it takes 1 to 200", bars.len())));
    }
    if let Some((label, _)) = bars.iter().find(|(_, value)| !value.is_finite()) {
        return Err(FigureError(format!("the value of \"{}\" is not a finite number", label.as_ref())));
    }
    let signed = bars.iter().any(|(_, value)| *value < 0.0);
    let rows: Vec<Row> = bars
        .iter()
        .map(|(label, value)| {
            let plus = if signed && *value > 0.0 { "+" } else { "" };
            Row {
                label: fitted(label.as_ref(), 14, LABELS),
                value: *value,
                shown: format!("{plus}{}", significant(*value, 3)),
            }
        })
        .collect();
    let left = rows.iter().map(|row| width(&row.label, 14)).max().unwrap_or(0) + 10;
    let (low, high) = rows
        .iter()
        .fold((0.0, 0.0), |(low, high): (f64, f64), row| (low.min(row.value), high.max(row.value)));
    let span = if high > low { high - low } else { 1.0 };
    // The values stand beyond the ends of the bars, inside the panel.
    let shown = rows.iter().map(|row| width(&row.shown, 14)).max().unwrap_or(0) + 14;
    let panel = WIDE - left - 42;
    let sides = if low < 0.0 { 2 } else { 1 };
    let room = span * f64::from(shown) / f64::from((panel - sides * shown).max(100));
    let ends = [if low < 0.0 { low - room } else { 0.0 }, if high > low { high } else { high + span } + room];
    let x = Axis::new(across, ends, panel, true)?;
    let high = TITLE + 62 + ROW * rows.len() as i32 + 14;
    figure((WIDE as u32, high as u32), title, |page| paint(page, &x, left, &rows))
}

struct Row {
    label: String,
    value: f64,
    shown: String,
}

fn paint(page: &Page<'_>, x: &Axis, left: i32, rows: &[Row]) -> Drawn {
    let (_, body) = page.split_vertically(TITLE * FINE);
    let mut chart = ChartBuilder::on(&body)
        .margin(14 * FINE)
        .margin_top(0)
        .x_label_area_size(48 * FINE)
        .y_label_area_size(left * FINE)
        .build_cartesian_2d(x.range(), 0.0..rows.len() as f64)?;
    rule(&mut chart, x, None)?;
    for (index, row) in rows.iter().enumerate() {
        let middle = (rows.len() - index) as f64 - 0.5;
        let colour = if row.value < 0.0 { palette::LESS } else { palette::MORE };
        let corners = [(0.0, middle - 0.32), (row.value, middle + 0.32)];
        chart.draw_series([Rectangle::new(corners, colour.filled())])?;
        let (end, y) = chart.backend_coord(&(row.value, middle));
        let (side, off) = if row.value < 0.0 { (HPos::Right, -6) } else { (HPos::Left, 6) };
        let style = |side| ink(14).pos(Pos::new(side, VPos::Center));
        page.draw(&Text::new(row.shown.clone(), (end + off * FINE, y), style(side)))?;
        let (panel, _) = chart.plotting_area().get_pixel_range();
        page.draw(&Text::new(row.label.clone(), (panel.start - 8 * FINE, y), style(HPos::Right)))?;
    }
    let zero = [(0.0, 0.0), (0.0, rows.len() as f64)];
    chart.draw_series(LineSeries::new(zero, palette::INK.stroke_width(LINE))).map(|_| ())
}
