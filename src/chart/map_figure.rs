//! A compressor map with the operating lines on it.

use super::axes::{Drawn, FAMILY, FINE, LINE, Page, Panel, axes, ink};
use super::{Figure, FigureError, fine, finish, palette};
use crate::compressor::CompressorMap;
use crate::quantity::units::{corrected_lb_per_min, fraction};
use crate::quantity::*;
use crate::shaft::{LinePoint, most_words};
use crate::study::Sizing;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

const SIZE: (u32, u32) = (860, 620);
type Lines = [(CorrectedSpeed, Vec<crate::compressor::LinePoint>)];

/// An operating line with its words.
struct Track {
    words: String,
    points: Vec<LinePoint>,
}

/// The map of one candidate with the operating line at the target and at the most power on each fuel.
///
/// # Errors
///
/// [`FigureError`] for a candidate without a map, or where drawing fails.
pub fn map_figure(sizing: &Sizing, candidate: usize) -> Result<Figure, FigureError> {
    let unit = sizing.study.candidates.get(candidate);
    let (unit, map) = unit
        .and_then(|unit| Some((unit, unit.map()?)))
        .ok_or_else(|| FigureError("this candidate has no map".into()))?;
    let entries: Vec<_> = sizing.entries.iter().filter(|e| e.candidate == candidate).collect();
    // The last housing stands for all: the compressor hardly feels the difference.
    let housing = entries.iter().map(|entry| entry.housing).max().unwrap_or(0);
    let mut tracks = Vec::new();
    for entry in entries.iter().filter(|entry| entry.housing == housing) {
        let fuel = sizing.study.fuels[entry.fuel].fuel.name();
        for most in entry.judgement.most.iter().filter(|most| most.power.is_some()) {
            let words = format!("{fuel}: most, {}", most_words(most));
            tracks.push(Track { words, points: entry.judgement.most_line.clone() });
        }
    }
    if let Some(entry) = entries.iter().rfind(|entry| entry.housing == housing) {
        let fuel = sizing.study.fuels[entry.fuel].fuel.name();
        let words = format!("{fuel}: target, {} kW", significant(sizing.study.target.power().kw(), 3));
        tracks.push(Track { words, points: entry.judgement.line.clone() });
    }
    let [from, to] = sizing.study.target.ends().map(|speed| format!("{:.0}", speed.rpm()));
    let invented = if sizing.study.invented { " - invented" } else { "" };
    let title = format!("Candidate {}{invented}: lines from {from} (dark) to {to} rpm (light)", unit.name());
    draw(map, &tracks, title)
}

/// A map by itself.
///
/// # Errors
///
/// [`FigureError`] where drawing fails.
pub fn bare_map_figure(map: &CompressorMap) -> Result<Figure, FigureError> {
    draw(map, &[], map.title().to_string())
}

fn draw(map: &CompressorMap, tracks: &[Track], title: String) -> Result<Figure, FigureError> {
    let mut svg = String::new();
    let drawn = {
        let area = SVGBackend::with_string(&mut svg, fine(SIZE)).into_drawing_area();
        paint(&area, map, tracks, &title).and_then(|()| area.present().map_err(|error| error.to_string()))
    };
    drawn.map_err(FigureError)?;
    Ok(finish(svg, SIZE, &title))
}

fn paint(area: &Page<'_>, map: &CompressorMap, tracks: &[Track], title: &str) -> Result<(), String> {
    let failed = |error: DrawingAreaErrorKind<std::io::Error>| error.to_string();
    area.fill(&WHITE).map_err(failed)?;
    area.draw(&Text::new(title.to_string(), (16 * FINE, 14 * FINE), ink(17))).map_err(failed)?;
    let lines: Vec<_> = map.points().collect();
    let all = || lines.iter().flat_map(|(_, points)| points.iter());
    let on_tracks = || tracks.iter().flat_map(|track| track.points.iter());
    let widest =
        all().map(|p| p.flow.si()).chain(on_tracks().map(|p| p.flow.si())).fold(0.0, f64::max) * 1.10;
    let highest =
        all().map(|p| p.ratio.si()).chain(on_tracks().map(|p| p.ratio.si())).fold(1.0, f64::max) + 0.25;
    let (_, body) = area.split_vertically(34 * FINE);
    let mut chart = ChartBuilder::on(&body)
        .margin(14 * FINE)
        .margin_top(44 * FINE)
        .x_label_area_size(48 * FINE)
        .y_label_area_size(58 * FINE)
        .build_cartesian_2d(0.0..widest, 1.0..highest)
        .map_err(failed)?;
    chart.plotting_area().fill(&palette::PAPER).map_err(failed)?;
    let reference = map.reference();
    let below = format!(
        "corrected flow, kg/s (to {} K, {} kPa)",
        significant(reference.temperature().kelvin(), 5),
        significant(reference.pressure().kpa(), 6).trim_end_matches('0').trim_end_matches('.'),
    );
    axes(&mut chart, &below, "pressure ratio, total to total", [2, 1]).map_err(failed)?;
    pounds(area, &chart, widest, highest).map_err(failed)?;
    speed_lines(area, &mut chart, map, &lines).map_err(failed)?;
    ends(area, &mut chart, map).map_err(failed)?;
    for (index, track) in tracks.iter().enumerate() {
        operating_line(area, &mut chart, track, index).map_err(failed)?;
    }
    legend(area, &chart, tracks).map_err(failed)
}

/// Words beside a point of the plot, so many pixels away; drawn on the page, which does not clip them.
fn beside(
    page: &Page<'_>,
    chart: &Panel<'_>,
    at: (f64, f64),
    off: (i32, i32),
    words: String,
    style: TextStyle<'_>,
) -> Drawn {
    let (x, y) = chart.backend_coord(&at);
    page.draw(&Text::new(words, (x + off.0 * FINE, y + off.1 * FINE), style))
}

/// The trade's unit as a second axis along the top.
fn pounds(page: &Page<'_>, chart: &Panel<'_>, widest: f64, highest: f64) -> Drawn {
    let pound = corrected_lb_per_min(1.0).si();
    let step = if widest / pound > 30.0 { 10.0 } else { 5.0 };
    let centred = Pos::new(HPos::Center, VPos::Bottom);
    let (left, top) = chart.backend_coord(&(0.0, highest));
    let (right, _) = chart.backend_coord(&(widest, highest));
    page.draw(&PathElement::new(vec![(left, top), (right, top)], palette::INK.stroke_width(LINE)))?;
    let mut at = 0.0;
    while at * pound <= widest {
        let (x, y) = chart.backend_coord(&(at * pound, highest));
        page.draw(&PathElement::new(vec![(x, y), (x, y - 6 * FINE)], palette::INK.stroke_width(LINE)))?;
        page.draw(&Text::new(format!("{at:.0}"), (x, y - 8 * FINE), ink(13).pos(centred)))?;
        at += step;
    }
    page.draw(&Text::new(
        "corrected flow, lb/min",
        ((left + right) / 2, top - 24 * FINE),
        ink(15).pos(centred),
    ))
}

/// Speed lines, darker where the efficiency is higher.
fn speed_lines(page: &Page<'_>, chart: &mut Panel<'_>, map: &CompressorMap, lines: &Lines) -> Drawn {
    let values = || lines.iter().flat_map(|(_, points)| points.iter().map(|p| p.efficiency.si()));
    let (low, high) = (values().fold(1.0, f64::min), values().fold(0.0, f64::max));
    for (speed, points) in lines {
        let sampled: Vec<_> =
            (0..=60).filter_map(|k| map.on_line(*speed, fraction(f64::from(k) / 60.0))).collect();
        for pair in sampled.windows(2) {
            let share =
                (0.5 * (pair[0].efficiency.si() + pair[1].efficiency.si()) - low) / (high - low).max(1e-9);
            let ends = pair.iter().map(|p| (p.flow.si(), p.ratio.si()));
            chart.draw_series(LineSeries::new(ends, palette::efficiency(share).stroke_width(3 * LINE)))?;
        }
        let last = points[points.len() - 1];
        let style = ink(12).pos(Pos::new(HPos::Left, VPos::Center));
        let words = format!("{:.0}k", speed.corrected_rpm() / 1e3);
        beside(page, chart, (last.flow.si(), last.ratio.si()), (7, 4), words, style)?;
    }
    let points = lines.iter().flat_map(|(_, points)| points);
    if let Some(best) = points.max_by(|a, b| a.efficiency.si().total_cmp(&b.efficiency.si())) {
        let at = (best.flow.si(), best.ratio.si());
        chart.draw_series([Circle::new(at, 4 * FINE, palette::efficiency(1.0).filled())])?;
        let style = ink(12).pos(Pos::new(HPos::Left, VPos::Bottom));
        beside(page, chart, at, (6, -4), format!("best {:.1} %", best.efficiency.percent()), style)?;
    }
    shades(page, chart, low, high)
}

/// What the shades of the speed lines mean.
fn shades(page: &Page<'_>, chart: &Panel<'_>, low: f64, high: f64) -> Drawn {
    let (left, bottom) = chart.backend_coord(&(0.0, 1.0));
    let (x, y) = (left + 16 * FINE, bottom - 30 * FINE);
    for k in 0..40 {
        let style = palette::efficiency(f64::from(k) / 39.0).filled();
        page.draw(&Rectangle::new([(x + 3 * k * FINE, y), (x + (3 * k + 4) * FINE, y + 8 * FINE)], style))?;
    }
    let words = format!("efficiency {:.0} to {:.0} %; speed in thousand rpm", 100.0 * low, 100.0 * high);
    page.draw(&Text::new(words, (x, y + 11 * FINE), ink(12)))
}

fn ends(page: &Page<'_>, chart: &mut Panel<'_>, map: &CompressorMap) -> Drawn {
    let speeds: Vec<_> = map.speeds().collect();
    let (Some(first), Some(last)) = (speeds.first(), speeds.last()) else { return Ok(()) };
    for (position, colour, width) in [(0.0, palette::SURGE, 3), (1.0, palette::CHOKE, 1)] {
        let between = (0..=80).map(|k| *first + (*last - *first) * (f64::from(k) / 80.0));
        let at = |speed| map.on_line(speed, fraction(position)).map(|p| (p.flow.si(), p.ratio.si()));
        chart.draw_series(LineSeries::new(between.filter_map(at), colour.stroke_width(width * LINE)))?;
    }
    if let Some(p) = map.on_line(speeds[speeds.len() / 2], fraction(0.0)) {
        let style =
            (FAMILY, 13 * FINE).into_font().color(&palette::SURGE).pos(Pos::new(HPos::Right, VPos::Bottom));
        beside(page, chart, (p.flow.si(), p.ratio.si()), (-8, 0), "surge line".into(), style)?;
    }
    Ok(())
}

/// A continuous line shaded by engine speed; thin where it lies outside the map.
fn operating_line(page: &Page<'_>, chart: &mut Panel<'_>, track: &Track, index: usize) -> Drawn {
    let count = track.points.len();
    let place = |p: &LinePoint| (p.flow.si(), p.ratio.si());
    for (i, pair) in track.points.windows(2).enumerate() {
        let colour = palette::engine_speed(i as f64 / count.saturating_sub(2).max(1) as f64);
        let width = if pair.iter().all(|p| p.inside) { 6 } else { 2 };
        chart.draw_series(LineSeries::new(pair.iter().map(place), colour.stroke_width(width * LINE)))?;
    }
    if let Some(first) = track.points.first() {
        let style = ink(14).pos(Pos::new(HPos::Right, VPos::Center));
        // Neighbouring lines take their numbers on different heights.
        beside(page, chart, place(first), (-8, 14 * index as i32 - 6), format!("{}", index + 1), style)?;
    }
    Ok(())
}

fn legend(page: &Page<'_>, chart: &Panel<'_>, tracks: &[Track]) -> Drawn {
    let (left, _) = chart.backend_coord(&(0.0, 1.0));
    let (_, ys) = chart.plotting_area().get_pixel_range();
    for (index, track) in tracks.iter().enumerate() {
        let y = ys.start + (12 + 20 * index as i32) * FINE;
        let outside = if track.points.iter().all(|p| p.inside) { "" } else { " (thin: outside the map)" };
        page.draw(&Text::new(
            format!("{}   {}{outside}", index + 1, track.words),
            (left + 14 * FINE, y),
            ink(14),
        ))?;
    }
    Ok(())
}
