//! A compressor map with the operating lines on it.

use super::axes::{Axis, Drawn, FINE, LINE, Page, Panel, TITLE, figure, ink, rule};
use super::deviations::{Bar, bars};
use super::map_parts::{MapParts, efficiencies, levels};
use super::tracks::{Track, tracks};
use super::words::fitted;
use super::{Figure, FigureError, Gallery, palette};
use crate::compressor::CompressorMap;
use crate::quantity::units::corrected_lb_per_min;
use crate::quantity::*;
use crate::session::{Units, units};
use crate::shaft::LinePoint;
use crate::study::Sizing;
use plotters::coord::ranged1d::Ranged;
use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

/// The page without the list of lines, and the panel on it, in pixels.
const SIZE: (i32, i32) = (860, 640);
const PANEL: (i32, i32) = (774, 490);
/// The height of one row of the list.
const ROW: i32 = 19;
/// The most lines that can be told apart on one map.
pub(super) const HANDFUL: usize = 6;

/// The map of one candidate with its operating lines at the most power and at the target, on each fuel and
/// with each housing. Lines that cannot be told apart are drawn as one, and the list above the map says so.
/// More than six become a map for each housing, one below the other.
///
/// # Errors
///
/// [`FigureError`] for a candidate that is not there, a point that is not finite, or where drawing fails.
pub fn map_figure(sizing: &Sizing, candidate: usize) -> Result<Figure, FigureError> {
    let unit = sizing.study.candidates.get(candidate);
    let unit = unit.ok_or_else(|| FigureError("this sizing has no such candidate".into()))?;
    let map = unit.map();
    let entries = || sizing.entries.iter().filter(|entry| entry.candidate == candidate);
    let points = || entries().flat_map(|entry| entry.judgement.line.iter().chain(&entry.judgement.most_line));
    if points().any(|p| !p.flow.si().is_finite() || !p.ratio.si().is_finite()) {
        return Err(FigureError("a point of an operating line is not a finite number".into()));
    }
    let bars = bars(unit)?;
    let [across, up] = extent(map, points(), &bars);
    let [from, to] = sizing.study.target.ends().map(|speed| format!("{:.0} rpm", speed.rpm()));
    let invented = if sizing.study.invented { " - invented" } else { "" };
    let draw = |tracks: &[Track], housing: &str| {
        let estimated = unit.title_end();
        let title = format!("Candidate {}{housing}{estimated}{invented}", unit.label());
        draw(&Shown { map, tracks, bars: &bars }, [&from, &to], &title, units())
    };
    let pixels = |flow: f64, ratio: f64| pixels([across, up], flow, ratio);
    let all = tracks(sizing, candidate, None, pixels);
    if all.len() <= HANDFUL || unit.housings().len() == 1 {
        return draw(&all, "");
    }
    let each = unit.housings().iter().enumerate().map(|(index, housing)| {
        draw(&tracks(sizing, candidate, Some(index), pixels), &format!(", {}", housing.name))
    });
    Gallery::new(each.collect::<Result<Vec<_>, _>>()?).joined()
}

/// A map by itself.
///
/// # Errors
///
/// [`FigureError`] where drawing fails.
pub fn bare_map_figure(map: &CompressorMap) -> Result<Figure, FigureError> {
    draw(&Shown { map, tracks: &[], bars: &[] }, ["", ""], map.title(), units())
}

/// Where the axes of flow and pressure ratio begin and end.
pub(super) fn extent<'a>(
    map: &CompressorMap,
    on_lines: impl Iterator<Item = &'a LinePoint> + Clone,
    bars: &[Bar],
) -> [[f64; 2]; 2] {
    let most = |of: usize| bars.iter().flatten().map(|end| end[of]).fold(0.0, f64::max);
    let highest = map.points().flat_map(|(_, points)| points).map(|p| p.ratio.si()).fold(1.0, f64::max);
    let widest = on_lines.clone().map(|p| p.flow.si()).fold(map.greatest_flow().si().max(most(0)), f64::max);
    let top = on_lines.clone().map(|p| p.ratio.si()).fold(highest.max(most(1)), f64::max);
    let bottom = on_lines.map(|p| p.ratio.si()).fold(1.0, f64::min);
    [[0.0, 1.14 * widest], [bottom, top + 0.08 * (top - bottom)]]
}

/// The size in pixels of a step of flow and pressure ratio.
pub(super) fn pixels([across, up]: [[f64; 2]; 2], flow: f64, ratio: f64) -> (f64, f64) {
    let share = |value: f64, [from, to]: [f64; 2], size: i32| value / (to - from) * f64::from(size);
    (share(flow, across, PANEL.0), share(ratio, up, PANEL.1))
}

/// What is drawn: a map, operating lines on it, and the bars of its standard deviations where it is an estimate.
pub(super) struct Shown<'a> {
    pub map: &'a CompressorMap,
    pub tracks: &'a [Track],
    pub bars: &'a [Bar],
}

pub(super) fn draw(
    shown: &Shown<'_>,
    speeds: [&str; 2],
    title: &str,
    units: Units,
) -> Result<Figure, FigureError> {
    let Shown { map, tracks, bars } = *shown;
    let [across, up] = extent(map, tracks.iter().flat_map(|track| &track.points), bars);
    let reference = map.reference();
    let digits = |value: f64| format!("{value:.3}").trim_end_matches('0').trim_end_matches('.').to_string();
    let pound = corrected_lb_per_min(1.0).si();
    let axis = |unit: &str, size: f64, reference: &str| {
        let words = format!("corrected flow, {unit}{reference}");
        Axis::new(&words, across.map(|flow| flow / size), PANEL.0, true)
    };
    let reference = format!(
        " (to {} K, {} kPa)",
        digits(reference.temperature().kelvin()),
        digits(reference.pressure().kpa()),
    );
    let (below, above) = match units {
        Units::Si => (axis("kg/s", 1.0, &reference)?, None),
        Units::Trade => (axis("lb/min", pound, &reference)?, None),
        Units::Both => (axis("kg/s", 1.0, &reference)?, Some(axis("lb/min", pound, "")?)),
    };
    let y = Axis::new("pressure ratio, total to total (dimensionless)", up, PANEL.1, false)?;
    let rows: usize = tracks.iter().map(|track| track.words.len()).sum();
    let list = ROW * (if rows == 0 { 1 } else { rows as i32 + 2 } + i32::from(!bars.is_empty()));
    let size = (SIZE.0 as u32, (SIZE.1 + list) as u32);
    figure(size, title, |page| {
        names(page, shown, speeds)?;
        let (_, body) = page.split_vertically((TITLE + list) * FINE);
        // Two panels at the same place: one is ruled in the chosen unit, on the other the map is drawn in its own.
        let panel = |range| {
            ChartBuilder::on(&body)
                .margin(14 * FINE)
                .margin_top(46 * FINE)
                .x_label_area_size(48 * FINE)
                .y_label_area_size(58 * FINE)
                .build_cartesian_2d(range, y.range())
        };
        rule(&mut panel(below.range())?, &below, Some(&y))?;
        let chart = panel(across[0]..across[1])?;
        if let Some(above) = above {
            second_axis(page, &chart, &above, pound)?;
        }
        MapParts::new(&chart, shown).draw(page)
    })
}

/// The trade's unit as a second axis along the top.
fn second_axis(page: &Page<'_>, chart: &Panel<'_>, axis: &Axis, unit: f64) -> Drawn {
    let (across, up) = chart.plotting_area().get_pixel_range();
    let line = |ends| PathElement::new(ends, palette::INK.stroke_width(LINE));
    let centred = Pos::new(HPos::Center, VPos::Bottom);
    page.draw(&line(vec![(across.start, up.start), (across.end, up.start)]))?;
    for mark in RangedCoordf64::from(axis.range()).key_points(axis.marks) {
        let (x, y) = (chart.backend_coord(&(mark * unit, 1.0)).0, up.start);
        page.draw(&line(vec![(x, y), (x, y - 6 * FINE)]))?;
        page.draw(&Text::new(axis.number(mark), (x, y - 8 * FINE), ink(13).pos(centred)))?;
    }
    let middle = (across.start + across.end) / 2;
    page.draw(&Text::new(axis.words.clone(), (middle, up.start - 25 * FINE), ink(15).pos(centred)))
}

/// What the lines of the map are, and the list of the operating lines: its heading says what their shade
/// means, each row shows its line.
fn names(page: &Page<'_>, shown: &Shown<'_>, [from, to]: [&str; 2]) -> Drawn {
    const LEFT: i32 = 16;
    const SAMPLE: i32 = 58;
    let Shown { map, tracks, bars } = *shown;
    let style = ink(14).pos(Pos::new(HPos::Left, VPos::Center));
    let words = |text: String, x: i32, y: i32| {
        let text = fitted(&text, 14, SIZE.0 - x - 8);
        page.draw(&Text::new(text, (x * FINE, y * FINE), style.clone()))
    };
    let sample = |x: i32, y: i32| {
        let at = |k: i32| ((x + SAMPLE * k / 29) * FINE, y * FINE);
        (0..30).map(at).collect::<Vec<_>>()
    };
    let mut y = TITLE + ROW / 2;
    let mut lines = "thick lines: corrected speed".to_string();
    if let Some(levels) = levels(efficiencies(map)) {
        let percent = |value: f64| trimmed(100.0 * value);
        lines +=
            &format!("; thin lines: isentropic efficiency, total to total, {} % apart", percent(levels.step));
        if let Some((step, from)) = levels.fine {
            lines += &format!(", {} % from {} % on", percent(step), percent(from));
        }
    }
    words(lines, LEFT, y)?;
    if !bars.is_empty() {
        y += ROW;
        let text = "bars, on every other line: one standard deviation of surge flow, of pressure ratio at best efficiency, of choke flow";
        words(text.into(), LEFT, y)?;
    }
    if tracks.is_empty() {
        return Ok(());
    }
    y += ROW;
    Track::shade(page, &sample(LEFT, y))?;
    words(
        format!(
            "operating lines, engine speed {from} (dark) to {to} (light); those that all but coincide are drawn as one"
        ),
        LEFT + SAMPLE + 10,
        y,
    )?;
    for (index, track) in tracks.iter().enumerate() {
        for (row, text) in track.words.iter().enumerate() {
            y += ROW;
            // Lines that are drawn as one have one number.
            if row == 0 {
                Track::paint(page, &sample(LEFT, y), index, |_| true)?;
            }
            words(format!("{}", index + 1), LEFT + SAMPLE + 10, y)?;
            words(text.clone(), LEFT + SAMPLE + 28, y)?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers across below the panel, with their places.
    fn marks(svg: &str) -> Vec<(f64, f64)> {
        let texts = svg.split("<text ").skip(1).filter_map(|part| {
            let attribute =
                |name: &str| part.split_once(&format!("{name}=\""))?.1.split_once('"')?.0.parse::<f64>().ok();
            let text = part.split_once('>')?.1.split_once('<')?.0.trim();
            Some((text.parse().ok()?, attribute(" x").or(attribute("x"))?, attribute(" y")?))
        });
        let all: Vec<(f64, f64, f64)> = texts.collect();
        let lowest = all.iter().map(|mark| mark.2).fold(0.0, f64::max);
        all.into_iter().filter(|mark| mark.2 == lowest).map(|mark| (mark.0, mark.1)).collect()
    }

    // The pound is 0.45359237 kg by definition: the panel is as wide in either unit, and the map lies at its place.
    #[test]
    fn the_flow_axis_takes_the_unit_chosen_and_nothing_else_moves() {
        let text = include_str!("../../data/demo/map-b.csv");
        let map = CompressorMap::from_csv_text("map-b.csv", text).unwrap();
        let shown = Shown { map: &map, tracks: &[], bars: &[] };
        let drawn = |units| draw(&shown, ["", ""], "map", units).unwrap();
        let [both, si, trade] =
            [Units::Both, Units::Si, Units::Trade].map(|units| drawn(units).svg().to_string());
        for (svg, pounds, kilograms) in [(&both, true, true), (&si, false, true), (&trade, true, false)] {
            assert_eq!((svg.contains("flow, lb/min"), svg.contains("flow, kg/s")), (pounds, kilograms));
        }
        let per_pixel = |svg: &str| {
            let marks = marks(svg);
            let [first, .., last] = marks[..] else { panic!("{marks:?}") };
            (last.0 - first.0) / (last.1 - first.1)
        };
        let ratio = per_pixel(&si) / per_pixel(&trade);
        assert!((ratio / (0.453_592_37 / 60.0) - 1.0).abs() < 2e-3, "{ratio}");
        // Marks stand on whole pixels of a page that is eight times finer; lines are the same to the letter.
        let lines = |svg: &str| {
            let lines = svg.split("<polyline ").skip(1).filter(|line| line.contains("stroke-width=\"24\""));
            lines.map(str::to_string).collect::<Vec<_>>()
        };
        assert!(!lines(&si).is_empty());
        assert_eq!(lines(&si).last(), lines(&trade).last());
    }
}
