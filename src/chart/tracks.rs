//! Operating lines on a map: which can be told apart, and how each is drawn.

use super::axes::{Drawn, FINE, LINE, Page};
use super::palette;
use super::words::Spot;
use crate::quantity::significant;
use crate::shaft::{LinePoint, most_words};
use crate::study::Sizing;
use plotters::prelude::*;

/// Lines within so many pixels of a middle one at every engine speed are drawn as that one.
const SAME: f64 = 6.0;
/// Strokes and gaps in pixels, one row for each line in turn; the first is unbroken. They tell lines apart in grey.
const DASHES: [&[i32]; 6] = [&[], &[9, 4], &[2, 3], &[14, 3, 2, 3], &[5, 2], &[9, 3, 2, 3, 2, 3]];
/// The width of a line in pixels, inside the map and outside it.
const WIDTHS: [u32; 2] = [4, 1];

/// An operating line, or several that cannot be told apart, with the words for each.
pub(super) struct Track {
    pub words: Vec<String>,
    pub points: Vec<LinePoint>,
}

/// One fuel at one power with one housing.
struct Member<'a> {
    order: usize,
    power: String,
    fuel: &'a str,
    housing: usize,
    points: &'a [LinePoint],
}

/// The lines of a candidate, with one housing or all: most power first, then the target.
pub(super) fn tracks(
    sizing: &Sizing,
    candidate: usize,
    housing: Option<usize>,
    pixels: impl Fn(f64, f64) -> (f64, f64),
) -> Vec<Track> {
    let housings = sizing.study.candidates[candidate].housings();
    let every = if housing.is_some() { 1 } else { housings.len() };
    let mut tracks: Vec<(usize, Track)> = Vec::new();
    for (group, points) in groups(members(sizing, candidate, housing), |member| member.points, pixels) {
        let mut words: Vec<(&str, Vec<String>)> = Vec::new();
        for Member { power, fuel, housing, .. } in &group {
            let alike = |other: &&Member<'_>| other.power == *power && other.fuel == *fuel;
            let whole = group.iter().filter(alike).count() == every;
            let name =
                if whole { fuel.to_string() } else { format!("{fuel} with {}", housings[*housing].name) };
            match words.iter_mut().find(|(known, _)| known == power) {
                Some((_, names)) if names.contains(&name) => (),
                Some((_, names)) => names.push(name),
                None => words.push((power, vec![name])),
            }
        }
        let words =
            words.into_iter().map(|(power, names)| format!("{}: {power}", names.join(", "))).collect();
        tracks.push((group[0].order, Track { words, points }));
    }
    tracks.sort_by_key(|(first, _)| *first);
    tracks.into_iter().map(|(_, track)| track).collect()
}

/// Puts lines together that cannot be told apart, each group with the points of its middle line.
pub(super) fn groups<T>(
    mut left: Vec<T>,
    points: impl Fn(&T) -> &[LinePoint],
    pixels: impl Fn(f64, f64) -> (f64, f64),
) -> Vec<(Vec<T>, Vec<LinePoint>)> {
    let same = |a: &[LinePoint], b: &[LinePoint]| {
        a.len() == b.len()
            && a.iter().zip(b).all(|(a, b)| {
                let (x, y) = pixels(a.flow.si() - b.flow.si(), a.ratio.si() - b.ratio.si());
                x.hypot(y) <= SAME
            })
    };
    let mut groups = Vec::new();
    // The line that stands for the most goes first; among equals, the earliest.
    while let Some(middle) = left
        .iter()
        .map(&points)
        .rev()
        .max_by_key(|middle| left.iter().filter(|other| same(points(other), middle)).count())
        .map(<[LinePoint]>::to_vec)
    {
        let (group, rest): (Vec<T>, Vec<T>) =
            left.into_iter().partition(|other| same(points(other), &middle));
        left = rest;
        groups.push((group, middle));
    }
    groups
}

/// Every line of a candidate by itself, in the order in which the list names them.
fn members(sizing: &Sizing, candidate: usize, housing: Option<usize>) -> Vec<Member<'_>> {
    let mut members = Vec::new();
    for target in [false, true] {
        for entry in sizing.entries.iter().filter(|entry| entry.candidate == candidate) {
            let judgement = &entry.judgement;
            let points = if target { &judgement.line } else { &judgement.most_line };
            if points.is_empty() || housing.is_some_and(|housing| housing != entry.housing) {
                continue;
            }
            let power = if target {
                format!("target, {} kW", significant(sizing.study.target.power().kw(), 3))
            } else {
                format!("most, {}", most_words(&judgement.most))
            };
            let outside = if points.iter().all(|p| p.inside) { "" } else { "; thin where outside the map" };
            let fuel = sizing.study.fuels[entry.fuel].fuel.name();
            let (order, power) = (members.len(), power + outside);
            members.push(Member { order, power, fuel, housing: entry.housing, points });
        }
    }
    members
}

impl Track {
    /// Draws a line in the strokes of its number, shaded along its way; `inside` says of each stretch between
    /// two spots whether it lies inside the map.
    pub fn paint(page: &Page<'_>, spots: &[Spot], index: usize, inside: impl Fn(usize) -> bool) -> Drawn {
        stroke(page, spots, DASHES[index % DASHES.len()], inside)
    }
    /// A sample of the shades alone.
    pub fn shade(page: &Page<'_>, spots: &[Spot]) -> Drawn {
        stroke(page, spots, &[], |_| true)
    }
}

/// A line on a page with its length up to each spot.
struct Way<'a> {
    spots: &'a [Spot],
    length: Vec<f64>,
}

impl<'a> Way<'a> {
    fn new(spots: &'a [Spot]) -> Self {
        let mut length = vec![0.0];
        for pair in spots.windows(2) {
            let step = f64::from(pair[1].0 - pair[0].0).hypot(f64::from(pair[1].1 - pair[0].1));
            length.push(length[length.len() - 1] + step);
        }
        Self { spots, length }
    }
    fn whole(&self) -> f64 {
        self.length[self.length.len() - 1]
    }
    /// The stretch at a length along the line, and the spot there.
    fn at(&self, along: f64) -> (usize, Spot) {
        let (spots, length) = (self.spots, &self.length);
        let i = length.partition_point(|&l| l <= along).clamp(1, spots.len() - 1) - 1;
        let share = (along - length[i]) / (length[i + 1] - length[i]).max(1e-9);
        let mix = |a: i32, b: i32| a + (f64::from(b - a) * share).round() as i32;
        (i, (mix(spots[i].0, spots[i + 1].0), mix(spots[i].1, spots[i + 1].1)))
    }
    /// From where to where along the line each stroke reaches.
    fn strokes(&self, dashes: &[i32]) -> Vec<[f64; 2]> {
        let whole = self.whole();
        let (mut strokes, mut from, mut run) = (Vec::new(), 0.0, 0);
        while from < whole {
            let [on, off] = match dashes {
                [] => [whole, 0.0],
                _ => [0, 1].map(|k| f64::from(dashes[(run + k) % dashes.len()] * FINE)),
            };
            let end = (from + on).min(whole);
            strokes.push([from, end]);
            from = end + off;
            run += 2;
        }
        strokes
    }
}

/// The strokes of one of several lines, each with all its spots; those of the first are one.
pub(super) fn broken(spots: &[Spot], index: usize) -> Vec<Vec<Spot>> {
    let way = Way::new(spots);
    if spots.len() < 2 || way.whole() <= 0.0 {
        return vec![spots.to_vec()];
    }
    let stroke = |[from, end]: [f64; 2]| {
        let between = spots.iter().zip(&way.length).filter(|(_, along)| from < **along && **along < end);
        core::iter::once(way.at(from).1)
            .chain(between.map(|(spot, _)| *spot))
            .chain([way.at(end).1])
            .collect()
    };
    way.strokes(DASHES[index % DASHES.len()]).into_iter().map(stroke).collect()
}

fn stroke(page: &Page<'_>, spots: &[Spot], dashes: &[i32], inside: impl Fn(usize) -> bool) -> Drawn {
    let way = Way::new(spots);
    let whole = way.whole();
    if spots.len() < 2 || whole <= 0.0 {
        let dot = |spot: &Spot| Circle::new(*spot, 3 * FINE, palette::engine_speed(0.0).filled());
        return spots.first().map_or(Ok(()), |spot| page.draw(&dot(spot)));
    }
    // Short pieces carry the shade; each reaches a little into the next, so that no seam shows.
    let (piece, seam) = (3.0 * f64::from(FINE), 0.7 * f64::from(FINE));
    for [mut start, end] in way.strokes(dashes) {
        while start < end {
            let stop = (start + piece).min(end);
            let middle = 0.5 * (start + stop);
            let width = WIDTHS[usize::from(!inside(way.at(middle).0))];
            let colour = palette::engine_speed(middle / whole);
            let ends = vec![way.at(start).1, way.at((stop + seam).min(end)).1];
            page.draw(&PathElement::new(ends, colour.stroke_width(width * LINE)))?;
            start = stop;
        }
    }
    Ok(())
}
