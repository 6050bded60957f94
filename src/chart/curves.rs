//! Curves over one axis.

use super::axes::{FAMILY, FINE, LINE, Page, axes, ink};
use super::{Figure, FigureError, fine, finish, palette};
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

const SIZE: (u32, u32) = (760, 460);

/// A named curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// Its name, written at its end.
    pub name: String,
    /// Its points.
    pub points: Vec<(f64, f64)>,
}

impl Curve {
    /// A function looked at in equal steps from one end to the other. Points at which it fails are left out.
    pub fn sampled<E>(
        name: impl Into<String>,
        [from, to]: [f64; 2],
        mut y: impl FnMut(f64) -> Result<f64, E>,
    ) -> Self {
        const STEPS: usize = 60;
        let x = |k: usize| from + (to - from) * k as f64 / STEPS as f64;
        let points = (0..=STEPS).filter_map(|k| y(x(k)).ok().map(|y| (x(k), y))).collect();
        Self { name: name.into(), points }
    }
}

/// Draws curves with their names at their right ends. Each axis names its quantity and unit.
///
/// # Errors
///
/// [`FigureError`] where there is nothing to draw, a point is not finite, or drawing fails.
pub fn curves(title: &str, across: &str, up: &str, curves: &[Curve]) -> Result<Figure, FigureError> {
    let all = || curves.iter().flat_map(|curve| curve.points.iter().copied());
    if all().next().is_none() {
        return Err(FigureError("no curve has a point".into()));
    }
    if all().any(|(x, y)| !x.is_finite() || !y.is_finite()) {
        return Err(FigureError("a point is not a finite number".into()));
    }
    let mut svg = String::new();
    let drawn = {
        let area = SVGBackend::with_string(&mut svg, fine(SIZE)).into_drawing_area();
        paint(&area, title, across, up, curves)
            .and_then(|()| area.present().map_err(|error| error.to_string()))
    };
    drawn.map_err(FigureError)?;
    Ok(finish(svg, SIZE, title))
}

fn paint(area: &Page<'_>, title: &str, across: &str, up: &str, curves: &[Curve]) -> Result<(), String> {
    let failed = |error: DrawingAreaErrorKind<std::io::Error>| error.to_string();
    area.fill(&WHITE).map_err(failed)?;
    area.draw(&Text::new(title.to_string(), (16 * FINE, 14 * FINE), ink(17))).map_err(failed)?;
    let span = |pick: fn(&(f64, f64)) -> f64| {
        let values = || curves.iter().flat_map(|curve| curve.points.iter().map(pick));
        let (low, high) =
            (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
        let room = 0.06 * (high - low).max(1e-9 * high.abs().max(1e-9));
        (low, high, room)
    };
    let (left, right, _) = span(|p| p.0);
    let (low, high, room) = span(|p| p.1);
    let longest = curves.iter().map(|curve| curve.name.chars().count()).max().unwrap_or(0) as u32;
    let (_, body) = area.split_vertically(38 * FINE);
    let mut chart = ChartBuilder::on(&body)
        .margin(14 * FINE)
        .margin_right((20 + 8 * longest) * LINE)
        .x_label_area_size(48 * FINE)
        .y_label_area_size(74 * FINE)
        .build_cartesian_2d(left..right, (low - room)..(high + room))
        .map_err(failed)?;
    chart.plotting_area().fill(&palette::PAPER).map_err(failed)?;
    let decimals = |size: f64| {
        if size >= 20.0 {
            0
        } else if size >= 2.0 {
            1
        } else if size >= 0.2 {
            2
        } else {
            3
        }
    };
    let (dx, dy) = (decimals(right - left), decimals(high - low));
    axes(&mut chart, across, up, [dx, dy]).map_err(failed)?;
    let mut labels: Vec<(i32, usize)> = Vec::new();
    for (index, curve) in curves.iter().enumerate() {
        let colour = palette::curve(index, curves.len());
        chart
            .draw_series(LineSeries::new(curve.points.iter().copied(), colour.stroke_width(3 * LINE)))
            .map_err(failed)?;
        if let Some(last) = curve.points.last() {
            labels.push((chart.backend_coord(last).1, index));
        }
    }
    // Names keep their order from top to bottom and at least a line's height apart.
    labels.sort_unstable();
    let mut free = i32::MIN;
    for (y, index) in labels {
        let y = y.max(free);
        free = y + 16 * FINE;
        let Some(last) = curves[index].points.last() else { continue };
        let style = (FAMILY, 13 * FINE).into_font().color(&palette::curve(index, curves.len()));
        let x = chart.backend_coord(last).0 + 6 * FINE;
        let style = style.pos(Pos::new(HPos::Left, VPos::Center));
        area.draw(&Text::new(curves[index].name.clone(), (x, y), style)).map_err(failed)?;
    }
    Ok(())
}
