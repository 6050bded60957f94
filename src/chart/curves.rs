//! Curves over one axis, each with its band.

use super::axes::{Axis, Drawn, FINE, LINE, Page, TITLE, figure, ink, rule};
use super::tracks::broken;
use super::words::{dense, fitted, width};
use super::{Figure, FigureError, palette};
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

const SIZE: (u32, u32) = (760, 460);
/// The size of a figure that stands beside another: both together fill a page, and their words stay readable.
const BESIDE: (u32, u32) = (584, 430);

/// The most curves whose names find room.
const MOST: usize = 20;

/// A named curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// Its name, written at its end.
    pub name: String,
    /// Its points.
    pub points: Vec<(f64, f64)>,
    /// The lowest and highest value at each point, if it has a band.
    pub band: Option<Vec<[f64; 2]>>,
}

/// The steps in which a function is looked at.
const STEPS: usize = 60;

impl Curve {
    /// A curve through points.
    pub fn new(name: impl Into<String>, points: Vec<(f64, f64)>) -> Self {
        Self { name: name.into(), points, band: None }
    }
    /// The same curve with the lowest and highest value at each of its points.
    pub fn with_band(self, band: Vec<[f64; 2]>) -> Self {
        Self { band: Some(band), ..self }
    }
    /// A function looked at in equal steps from one end to the other. Points at which it fails are left out.
    pub fn sampled<E>(
        name: impl Into<String>,
        ends: [f64; 2],
        mut y: impl FnMut(f64) -> Result<f64, E>,
    ) -> Self {
        Self::new(name, steps(ends).filter_map(|x| Some((x, y(x).ok()?))).collect())
    }
    /// The same for a function that gives lowest, middle and highest value.
    pub fn sampled_with_band<E>(
        name: impl Into<String>,
        ends: [f64; 2],
        mut y: impl FnMut(f64) -> Result<[f64; 3], E>,
    ) -> Self {
        let looked = steps(ends).filter_map(|x| y(x).ok().map(|[low, y, high]| ((x, y), [low, high])));
        let (points, band) = looked.unzip();
        Self::new(name, points).with_band(band)
    }

    fn checked(&self) -> Result<(), FigureError> {
        let fault = |words: &str| Err(FigureError(format!("curve \"{}\": {words}", self.name)));
        if self.values().any(|(x, y)| !x.is_finite() || !y.is_finite()) {
            return fault("a point is not a finite number");
        }
        let Some(band) = &self.band else { return Ok(()) };
        if band.len() != self.points.len() {
            return fault("its band must have as many values as the curve has points");
        }
        let encloses = |((_, y), [low, high]): (&(f64, f64), &[f64; 2])| low <= y && y <= high;
        if !self.points.iter().zip(band).all(encloses) { fault("it leaves its band") } else { Ok(()) }
    }
    /// Every value that must find its place.
    fn values(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let band = self.band.iter().flatten().zip(&self.points);
        self.points.iter().copied().chain(band.flat_map(|(ends, (x, _))| ends.map(|y| (*x, y))))
    }
}

fn steps([from, to]: [f64; 2]) -> impl Iterator<Item = f64> {
    (0..=STEPS).map(move |k| from + (to - from) * k as f64 / STEPS as f64)
}

/// Draws curves with their names at their right ends, their bands as light areas. Each axis names its
/// quantity and unit.
///
/// ```
/// use shaftwork::chart::{Curve, FigureError, curves};
///
/// let band = |x: f64| Ok::<_, FigureError>([0.9 * x * x, x * x, 1.2 * x * x]);
/// let curve = Curve::sampled_with_band("drag", [0.0, 60.0], band);
/// let figure = curves("Drag", "speed, m/s", "drag, N", &[curve])?;
/// assert!(figure.svg().contains("speed, m/s"));
/// # Ok::<(), FigureError>(())
/// ```
///
/// # Errors
///
/// [`FigureError`] where there is nothing to draw or more than 20 curves, a value is not finite, a curve leaves its band, or
/// drawing fails.
pub fn curves(title: &str, across: &str, up: &str, curves: &[Curve]) -> Result<Figure, FigureError> {
    sized(SIZE, title, [across, up], curves)
}

/// The same for a figure that stands beside another.
pub(super) fn curves_beside(
    title: &str,
    across: &str,
    up: &str,
    curves: &[Curve],
) -> Result<Figure, FigureError> {
    sized(BESIDE, title, [across, up], curves)
}

fn sized(
    size: (u32, u32),
    title: &str,
    [across, up]: [&str; 2],
    curves: &[Curve],
) -> Result<Figure, FigureError> {
    curves.iter().try_for_each(Curve::checked)?;
    if curves.len() > MOST {
        return Err(FigureError(format!("{} curves; {MOST} names find room", curves.len())));
    }
    if curves.iter().all(|curve| curve.points.is_empty()) {
        return Err(FigureError("no curve has a point".into()));
    }
    let span = |pick: fn((f64, f64)) -> f64| {
        let values = || curves.iter().flat_map(Curve::values).map(pick);
        let (low, high) =
            (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
        // A constant still needs an axis.
        let size = if low == 0.0 && high == 0.0 { 1.0 } else { low.abs().max(high.abs()) };
        [low, high, if high - low < 1e-9 * size { 0.1 * size } else { 0.0 }]
    };
    let [left, right, x_room] = span(|p| p.0);
    let [low, high, y_room] = span(|p| p.1);
    let y_room = y_room.max(0.06 * (high - low));
    let names = curves.iter().map(|curve| width(&curve.name, 14)).max().unwrap_or(0);
    let names = names.min(room_for_names(size)) + 26;
    let y = Axis::new(up, [low - y_room, high + y_room], size.1 as i32 - 100, false)?;
    let margin = y.widest() + 42;
    let x = Axis::new(across, [left - x_room, right + x_room], size.0 as i32 - names - margin, true)?;
    figure(size, title, |page| paint(page, [&x, &y], [margin, names], curves))
}

/// The room for names, at most, in pixels: about a third of the figure.
fn room_for_names(size: (u32, u32)) -> i32 {
    size.0 as i32 * 26 / 76
}

fn paint(page: &Page<'_>, [x, y]: [&Axis; 2], [left, right]: [i32; 2], curves: &[Curve]) -> Drawn {
    let (_, body) = page.split_vertically(TITLE * FINE);
    let mut chart = ChartBuilder::on(&body)
        .margin(14 * FINE)
        .margin_right(right * FINE)
        .x_label_area_size(48 * FINE)
        .y_label_area_size(left * FINE)
        .build_cartesian_2d(x.range(), y.range())?;
    rule(&mut chart, x, Some(y))?;
    let colour = |index: usize| palette::curve(index, curves.len());
    for (index, curve) in curves.iter().enumerate() {
        let Some(band) = &curve.band else { continue };
        let side = |end: usize| curve.points.iter().zip(band).map(move |((x, _), ends)| (*x, ends[end]));
        let edge: Vec<(f64, f64)> = side(1).chain(side(0).rev()).collect();
        chart.draw_series([Polygon::new(edge, colour(index).mix(0.16).filled())])?;
    }
    let mut names: Vec<(i32, i32, usize)> = Vec::new();
    for (index, curve) in curves.iter().enumerate() {
        let style = colour(index).stroke_width(3 * LINE);
        match curve.points[..] {
            [only] => chart.draw_series([Circle::new(only, 4 * FINE, colour(index).filled())]).map(|_| ())?,
            _ => {
                let spots: Vec<_> = curve.points.iter().map(|at| chart.backend_coord(at)).collect();
                // A later curve is broken, so that one below it shows through where both coincide.
                for stroke in broken(&spots, index) {
                    page.draw(&PathElement::new(stroke, style))?;
                }
            }
        }
        if let Some(last) = curve.points.last() {
            let (x, y) = chart.backend_coord(last);
            names.push((y, x, index));
        }
    }
    // Names keep their order from top to bottom, at least a line's height apart, and stay on the page.
    const HEIGHT: i32 = 17 * FINE;
    names.sort_unstable();
    let (_, up) = chart.plotting_area().get_pixel_range();
    let mut free = up.start;
    let mut places: Vec<i32> = names
        .iter()
        .map(|(y, ..)| {
            let y = (*y).max(free);
            free = y + HEIGHT;
            y
        })
        .collect();
    let mut lowest = up.end;
    for y in places.iter_mut().rev() {
        *y = (*y).min(lowest);
        lowest = *y - HEIGHT;
    }
    let (panel, _) = chart.plotting_area().get_pixel_range();
    for ((own, end, index), y) in names.into_iter().zip(places) {
        let x = panel.end + 16 * FINE;
        // A curve that ends early has its name at the edge all the same: dots lead there, which nobody reads as a curve.
        let along = [(end + 4 * FINE, own), (panel.end + 3 * FINE, own)];
        if along[0].0 < along[1].0 {
            for dot in dense(&along, 5) {
                page.draw(&Circle::new(dot, FINE * 3 / 4, colour(index).filled()))?;
            }
        }
        let lead = vec![along[1], (x - 3 * FINE, y)];
        page.draw(&PathElement::new(lead, colour(index).stroke_width(LINE)))?;
        let name = fitted(&curves[index].name, 14, right - 26);
        page.draw(&Text::new(name, (x, y), ink(14).pos(Pos::new(HPos::Left, VPos::Center))))?;
    }
    Ok(())
}
