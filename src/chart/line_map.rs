//! Balanced operating lines on a compressor map.

use super::map_figure::{HANDFUL, Shown, draw, extent, pixels};
use super::rise::lines_of;
use super::tracks::{Track, groups};
use super::{Figure, FigureError, Gallery};
use crate::compressor::CompressorMap;
use crate::quantity::ShaftSpeed;
use crate::session::units;
use crate::shaft::{BalancedPoint, LinePoint, OperatingLine};
use crate::study::Sizing;

/// A map with named operating lines on it, each shaded from its slowest to its fastest state; states outside the map
/// are drawn thin, and lines that cannot be told apart are drawn as one.
///
/// ```
/// use shaftwork::chart::line_on_map;
/// use shaftwork::prelude::*;
/// let study = Study::demo()?;
/// let b = &study.candidates[2];
/// let line = operating_line(&study.installation, b, &b.housings()[0].turbine, &study.fuels[0],
///     Control::manifold(kpa(190.0))?, &[rpm(3000.0), rpm(4000.0), rpm(5000.0)])?;
/// let figure = line_on_map(b.map(), "B at 190 kPa", &[("95 RON E10".into(), &line)])?;
/// assert!(figure.svg().contains("3000 rpm (dark) to 5000 rpm (light)"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
///
/// [`FigureError`] for none or more than six lines with a state, or where drawing fails.
pub fn line_on_map(
    map: &CompressorMap,
    title: &str,
    lines: &[(String, &OperatingLine)],
) -> Result<Figure, FigureError> {
    let named: Vec<(String, Vec<LinePoint>)> = lines
        .iter()
        .map(|(name, line)| (name, on_map(line)))
        .filter(|(_, points)| !points.is_empty())
        .map(|(name, points)| {
            let outside =
                if points.iter().all(|point| point.inside) { "" } else { "; thin where outside the map" };
            (format!("{name}{outside}"), points)
        })
        .collect();
    if named.is_empty() || named.len() > HANDFUL {
        return Err(FigureError(format!("{} operating lines; it takes 1 to {HANDFUL}", named.len())));
    }
    let points = || named.iter().flat_map(|(_, points)| points);
    let ends = points().fold([f64::INFINITY, 0.0], |[low, high], point| {
        let speed = point.speed.rpm();
        [speed.min(low), speed.max(high)]
    });
    let [from, to] = ends.map(|speed| format!("{speed:.0} rpm"));
    let sides = extent(map, points(), &[]);
    let told_apart = groups(named.clone(), |(_, points)| points, |flow, ratio| pixels(sides, flow, ratio));
    let tracks: Vec<Track> = told_apart
        .into_iter()
        .map(|(group, points)| Track { words: group.into_iter().map(|(name, _)| name).collect(), points })
        .collect();
    draw(&Shown { map, tracks: &tracks, bars: &[] }, [&from, &to], title, units())
}

fn on_map(line: &OperatingLine) -> Vec<LinePoint> {
    let found = line.points.iter().filter_map(|(speed, found)| Some((*speed, found.as_ref().ok()?)));
    let point = |(speed, at): (ShaftSpeed, &BalancedPoint)| LinePoint {
        speed,
        flow: at.corrected_flow,
        ratio: at.ratio,
        inside: at.beyond.is_none(),
    };
    found.map(point).collect()
}

/// The map of one candidate with the states that hold the boost on it, over all engine speeds, with each housing on
/// each fuel. More than six lines become several maps, one below the other.
///
/// # Errors
///
/// [`FigureError`] for a candidate that is not there or has no line, or where drawing fails.
pub fn line_map_figure(sizing: &Sizing, candidate: usize) -> Result<Figure, FigureError> {
    let lines = lines_of(sizing, candidate)?;
    let unit = &sizing.study.candidates[candidate];
    let estimated = unit.title_end();
    let invented = if sizing.study.invented { " - invented" } else { "" };
    let title = format!("Candidate {}: boost held over engine speed{estimated}{invented}", unit.label());
    let maps = lines.chunks(HANDFUL).map(|some| line_on_map(unit.map(), &title, some));
    Gallery::new(maps.collect::<Result<Vec<_>, _>>()?).joined()
}
