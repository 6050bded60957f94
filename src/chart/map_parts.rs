//! What stands on a map: contours, speed lines, both ends, operating lines, and the words for each.

use super::axes::{Drawn, FAMILY, FINE, LINE, Page, Panel};
use super::map_figure::Shown;
use super::palette;
use super::tracks::Track;
use super::words::{Area, Label, Spot, Taken, dense};
use crate::compressor::CompressorMap;
use crate::quantity::significant;
use crate::quantity::units::fraction;
use crate::quantity::*;
use plotters::prelude::*;
use plotters::style::text_anchor::HPos;

/// Everything at its place on the page.
pub(super) struct MapParts {
    speeds: Vec<(String, Vec<Spot>)>,
    contours: Vec<(f64, Vec<Spot>)>,
    range: [f64; 2],
    best: Option<(String, Spot)>,
    surge: Vec<Spot>,
    choke: Vec<Spot>,
    tracks: Vec<(Vec<Spot>, Vec<bool>)>,
    bars: Vec<[Spot; 2]>,
    panel: Area,
}

impl MapParts {
    pub fn new(chart: &Panel<'_>, shown: &Shown<'_>) -> Self {
        let Shown { map, tracks, bars } = *shown;
        let place = |p: &crate::compressor::LinePoint| chart.backend_coord(&(p.flow.si(), p.ratio.si()));
        let given: Vec<_> = map.points().collect();
        let top = given.len() - 1;
        let named = given.iter().enumerate().map(|(index, (speed, _))| {
            let along = (0..=60).filter_map(|k| map.on_line(*speed, fraction(f64::from(k) / 60.0)));
            let unit = if index == top { " rpm" } else { "" };
            (thousands(speed.corrected_rpm()) + unit, along.map(|p| place(&p)).collect())
        });
        let end = |position: f64| {
            let [low, high] = [given[0].0, given[top].0];
            let between = (0..=80).map(|k| low + (high - low) * (f64::from(k) / 80.0));
            between.filter_map(|speed| map.on_line(speed, fraction(position))).map(|p| place(&p)).collect()
        };
        let points = given.iter().flat_map(|(_, points)| points);
        let best = points.max_by(|a, b| a.efficiency.si().total_cmp(&b.efficiency.si()));
        let range = efficiencies(map);
        let contours = levels(range).map_or(Vec::new(), |levels| levels.all).into_iter().flat_map(|level| {
            let lines = map.contours(Efficiency::from_si_unchecked(level));
            lines.into_iter().map(move |line| (level, line))
        });
        let on = |track: &Track| {
            let spots = track.points.iter().map(|p| chart.backend_coord(&(p.flow.si(), p.ratio.si())));
            let inside = track.points.windows(2).map(|pair| pair[0].inside && pair[1].inside);
            (spots.collect(), inside.collect())
        };
        let (across, up) = chart.plotting_area().get_pixel_range();
        Self {
            speeds: named.collect(),
            contours: contours.map(|(level, line)| (level, line.iter().map(place).collect())).collect(),
            range,
            best: best
                .filter(|_| range[1] > range[0])
                .map(|p| (format!("best {:.1} %", p.efficiency.percent()), place(p))),
            surge: end(0.0),
            choke: end(1.0),
            tracks: tracks.iter().map(on).collect(),
            bars: bars
                .iter()
                .map(|bar| bar.map(|[flow, ratio]| chart.backend_coord(&(flow, ratio))))
                .collect(),
            panel: Area::new((across.start, up.start), (across.end + 10 * FINE, up.end)),
        }
    }

    /// Draws it all, the quiet things first, the words last.
    pub fn draw(&self, page: &Page<'_>) -> Drawn {
        let mut taken = Taken::new(self.panel);
        let tracks = self.tracks.iter().map(|(spots, _)| spots);
        for line in self.speeds.iter().map(|(_, line)| line).chain([&self.surge, &self.choke]).chain(tracks) {
            taken.line(line);
        }
        self.contours.iter().for_each(|(_, line)| taken.quiet_line(line));
        self.bars.iter().for_each(|bar| taken.line(bar));
        let numbers = self.numbers(&mut taken);
        let labels = self.labels(&mut taken);
        self.draw_contours(page, &mut taken)?;
        for (_, line) in &self.speeds {
            path(page, line, palette::SPEED, 2)?;
        }
        path(page, &self.choke, palette::CHOKE, 1)?;
        path(page, &self.surge, palette::SURGE, 3)?;
        self.bars.iter().try_for_each(|bar| deviation(page, bar))?;
        if let Some((_, best)) = &self.best {
            page.draw(&Circle::new(*best, 3 * FINE, palette::efficiency(1.0).filled()))?;
        }
        for (index, (spots, inside)) in self.tracks.iter().enumerate() {
            Track::paint(page, spots, index, |k| inside[k])?;
        }
        for (label, colour) in labels {
            write(page, &label, colour)?;
        }
        for (label, end) in numbers {
            let (dx, dy) = (label.at.0 - end.0, label.at.1 - end.1);
            let reach = f64::from(dx).hypot(f64::from(dy));
            let part = |pixels: i32| {
                let share = f64::from(pixels * FINE) / reach;
                (end.0 + (f64::from(dx) * share) as i32, end.1 + (f64::from(dy) * share) as i32)
            };
            if reach > f64::from(16 * FINE) {
                let lead = [part(3), part((reach / f64::from(FINE)) as i32 - 7)];
                path(page, &lead, palette::INK, 1)?;
            }
            write(page, &label, palette::INK)?;
        }
        Ok(())
    }

    /// The number of each operating line near its slow end, off everything else.
    fn numbers(&self, taken: &mut Taken) -> Vec<(Label, Spot)> {
        let mut numbers = Vec::new();
        for (index, (spots, _)) in self.tracks.iter().enumerate() {
            let Some(&end) = spots.first() else { continue };
            let around = (0..6).flat_map(|ring| {
                (0..16).map(move |k| {
                    // From straight up to either side in turn.
                    let turn = f64::from((k + 1) / 2) * if k % 2 == 0 { 1.0 } else { -1.0 };
                    let angle = turn * core::f64::consts::PI / 8.0;
                    let reach = f64::from((12 + 8 * ring) * FINE);
                    (end.0 + (reach * angle.sin()) as i32, end.1 - (reach * angle.cos()) as i32)
                })
            });
            let clear = |at: &Spot| {
                let (dx, dy) = (at.0 - end.0, at.1 - end.1);
                let start = (end.0 + dx / 4, end.1 + dy / 4);
                let lead: Vec<Spot> = dense(&[start, *at], 3).collect();
                !self.tracks.iter().enumerate().any(|(other, (spots, _))| {
                    other != index && dense(spots, 3).any(|s| lead.iter().any(|l| near(*l, s, 3)))
                })
            };
            let labels =
                around.filter(clear).map(|at| Label::new(format!("{}", index + 1), 14, at, HPos::Center));
            if let Some(label) = taken.first(labels) {
                numbers.push((label, end));
            }
        }
        numbers
    }

    /// Words for speed lines, the best point and both ends; those without room are left out.
    fn labels(&self, taken: &mut Taken) -> Vec<(Label, RGBColor)> {
        let beside = |at: Spot, dx: i32, dy: i32| (at.0 + dx * FINE, at.1 + dy * FINE);
        let mut found = Vec::new();
        for (text, line) in self.speeds.iter().rev() {
            let (Some(&start), Some(&end)) = (line.first(), line.last()) else { continue };
            let name = |at, side| Label::new(text.as_str(), 13, at, side);
            let after = [4, 8, 0, 12, 16, 20, -4].map(|dy| name(beside(end, 8, dy), HPos::Left));
            let before = [0, -4, 4].map(|dy| name(beside(start, -8, dy), HPos::Right));
            let labels = after.into_iter().chain(before);
            found.extend(taken.first(labels).map(|label| (label, palette::INK)));
        }
        if let Some((name, at)) = &self.best {
            let offs = [(7, -9), (7, 9), (-7, -9), (-7, 9), (9, 0), (7, -18), (7, 18)];
            let side = |dx: i32| if dx > 0 { HPos::Left } else { HPos::Right };
            let labels = offs.map(|(dx, dy)| Label::new(name.as_str(), 13, beside(*at, dx, dy), side(dx)));
            found.extend(taken.first(labels).map(|label| (label, palette::efficiency(1.0))));
        }
        let along = |line: &[Spot], dx: i32, dy: i32, side: HPos, name: &'static str| {
            // From the middle outwards.
            let turn = |k: usize| if k.is_multiple_of(2) { 30 + k / 2 } else { 30 - k.div_ceil(2) };
            let spots: Vec<Spot> = (0..48).map(|k| line[(line.len() - 1) * turn(k) / 60]).collect();
            spots.into_iter().map(move |at| Label::new(name, 13, beside(at, dx, dy), side))
        };
        let surge = along(&self.surge, -10, -4, HPos::Right, "surge line");
        found.extend(taken.first(surge).map(|label| (label, palette::SURGE)));
        let choke = along(&self.choke, 10, 8, HPos::Left, "choke line");
        found.extend(taken.first(choke).map(|label| (label, palette::CHOKE)));
        found
    }

    /// Contours, each open where its number stands; the number stands where the other lines leave most room.
    fn draw_contours(&self, page: &Page<'_>, taken: &mut Taken) -> Drawn {
        for (index, (level, line)) in self.contours.iter().enumerate() {
            let mut others = Taken::new(self.panel);
            self.contours
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != index)
                .for_each(|(_, (_, line))| others.line(line));
            let name = format!("{} %", trimmed(100.0 * level));
            let labels = dense(line, 6).map(|at| Label::new(name.as_str(), 12, at, HPos::Center));
            let room = |label: &Label| {
                let area = label.area();
                let room = if taken.free(&area) { taken.room(&area).min(others.room(&area)) } else { 0 };
                (room > i64::from(FINE * FINE)).then_some(room)
            };
            let best = labels.filter_map(|label| Some((room(&label)?, label))).max_by_key(|(room, _)| *room);
            let colour =
                palette::efficiency((level - self.range[0]) / (self.range[1] - self.range[0]).max(1e-9));
            let gap = best.as_ref().map(|(_, label)| label.area());
            let spots: Vec<Spot> = dense(line, 2).collect();
            for part in spots.split(|spot| gap.is_some_and(|gap| gap.holds(*spot))) {
                path(page, part, colour, 1)?;
            }
            if let Some((_, label)) = best {
                taken.words(label.area());
                write(page, &label, palette::efficiency(1.0))?;
            }
        }
        Ok(())
    }
}

/// The least and the greatest efficiency given for a map.
pub(super) fn efficiencies(map: &CompressorMap) -> [f64; 2] {
    let all = || map.points().flat_map(|(_, points)| points).map(|p| p.efficiency.si());
    [all().fold(1.0, f64::min), all().fold(0.0, f64::max)]
}

/// Round values between two ends: coarse ones over all of them, at most five, and near the upper end, where a machine is
/// meant to run, finer ones between.
pub(super) struct Levels {
    pub all: Vec<f64>,
    /// The coarse step, and the fine one with the least value from which it holds.
    pub step: f64,
    pub fine: Option<(f64, f64)>,
}

/// Those of efficiency between its least and its greatest value; nothing where the two are one.
pub(super) fn levels([low, high]: [f64; 2]) -> Option<Levels> {
    // In thousandths: a coarse step, and the finer one that goes with it.
    const STEPS: [(i64, i64); 10] =
        [(1, 1), (2, 2), (5, 5), (10, 10), (20, 10), (40, 10), (50, 10), (100, 20), (200, 50), (500, 100)];
    let between = |from: f64, step: i64| {
        let first = (1e3 * from / step as f64).floor() as i64 + 1;
        let levels = (first..first + 1000).map(move |k| k * step);
        levels.take_while(move |level| (*level as f64) < 1e3 * high).collect::<Vec<_>>()
    };
    let (step, finer) = STEPS.into_iter().find(|(step, _)| between(low, *step).len() <= 5)?;
    let mut all = between(low, step);
    let mut fine = None;
    if finer < step {
        let near = between(low.max(high - step as f64 / 1e3), finer);
        fine = near.first().map(|&from| (finer as f64 / 1e3, from as f64 / 1e3));
        all.extend(near);
        all.sort_unstable();
        all.dedup();
    }
    let all: Vec<f64> = all.into_iter().map(|level| level as f64 / 1e3).collect();
    (!all.is_empty()).then_some(Levels { all, step: step as f64 / 1e3, fine })
}

fn near(a: Spot, b: Spot, pixels: i32) -> bool {
    (a.0 - b.0).abs().max((a.1 - b.1).abs()) < pixels * FINE
}

fn path(page: &Page<'_>, line: &[Spot], colour: RGBColor, width: u32) -> Drawn {
    if line.len() < 2 {
        return Ok(());
    }
    page.draw(&PathElement::new(line.to_vec(), colour.stroke_width(width * LINE)))
}

/// A bar with a cap at each end.
fn deviation(page: &Page<'_>, bar: &[Spot; 2]) -> Drawn {
    const CAP: i32 = 4 * FINE;
    path(page, bar, palette::INK, 1)?;
    let [(x, y), (x1, y1)] = *bar;
    let (dx, dy) = if (x1 - x).abs() > (y1 - y).abs() { (0, CAP) } else { (CAP, 0) };
    bar.iter().try_for_each(|(x, y)| path(page, &[(x - dx, y - dy), (x + dx, y + dy)], palette::INK, 1))
}

fn write(page: &Page<'_>, label: &Label, colour: RGBColor) -> Drawn {
    let style = (FAMILY, label.size * FINE).into_font().color(&colour).pos(label.anchor());
    page.draw(&Text::new(label.text.clone(), label.at, style))
}

/// "141 000", with four figures: an estimated line has no more to say.
fn thousands(value: f64) -> String {
    let digits = format!("{:.0}", significant(value, 4).parse().unwrap_or(value));
    let mut out = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            out.push(' ');
        }
        out.push(digit);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn levels_are_round_and_closer_near_the_best() {
        for low in (0..900).map(|k| 0.05 + f64::from(k) * 1e-3 + 1.7e-4) {
            for span in (1..60).map(|k| f64::from(k) * 0.0151).filter(|span| low + span < 1.0) {
                let Levels { all, step, fine } = levels([low, low + span]).unwrap();
                assert!((2..=9).contains(&all.len()), "{all:?} from {low} over {span}");
                assert!(all.iter().all(|level| *level > low && *level < low + span));
                let (finer, from) = fine.unwrap_or((step, f64::INFINITY));
                for pair in all.windows(2) {
                    let apart = pair[1] - pair[0];
                    let expected = if pair[0] >= from - 1e-9 { finer } else { step };
                    assert!(apart < expected + 1e-12, "{all:?}");
                }
                // Whatever lies between, the last one stands close below the best.
                assert!(low + span - all[all.len() - 1] <= finer + 1e-12, "{all:?} below {}", low + span);
            }
        }
        assert!(levels([0.7, 0.7]).is_none());
        let map = levels([0.31, 0.797]).unwrap();
        assert_eq!(map.all, [0.4, 0.5, 0.6, 0.7, 0.72, 0.74, 0.76, 0.78]);
        assert_eq!((map.step, map.fine), (0.1, Some((0.02, 0.7))));
    }

    #[test]
    fn thousands_stand_apart() {
        assert_eq!(
            ["999", "1 000", "141 000", "131 500"],
            [999.0, 1e3, 141e3, 131_499.0].map(thousands).each_ref().map(String::as_str)
        );
    }
}
