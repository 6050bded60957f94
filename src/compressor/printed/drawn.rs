//! The speed lines of a printed map as drawn: what is misread has no say, the surge line cuts them, or they are brought to it.

use super::across::{across, mended};
use super::conflict::{Conflict, left_of_surge};
use super::extend::{ExtendedLine, to_surge};
use super::merge::{COST, Fit, check};
use super::misread::misread;
use super::outline::{Given, chords, outlines};
use super::{FitError, PrintedMap, PrintedPoint, surge};
use crate::quantity::*;

/// The speed lines of a printed map as they are smoothed, and what is wrong with them.
pub(super) struct Drawn {
    surge: Vec<PrintedPoint>,
    lines: Vec<(CorrectedSpeed, Vec<PrintedPoint>)>,
    /// Points that have no say, by line.
    pub out: Vec<Vec<bool>>,
    extended: Vec<ExtendedLine>,
    pub conflicts: Vec<Conflict>,
}

fn coordinates(points: &[PrintedPoint]) -> Given {
    points.iter().map(|point| [point.flow.si(), point.ratio.si()]).collect()
}

impl Drawn {
    /// Takes a printed map's lines, without what is misread and what the surge line cuts off.
    pub fn of(printed: &PrintedMap) -> Result<Self, FitError> {
        let given: Vec<Given> = printed.lines.iter().map(|(_, points)| coordinates(points)).collect();
        check(&given)?;
        let across = across(&printed.lines);
        let (as_drawn, ends) = mended(&printed.lines, &across);
        let given: Vec<Given> = as_drawn.iter().map(|(_, points)| coordinates(points)).collect();
        // What the other lines say of an end is no reading: it judges no point of its line, and none judges it.
        let mut wrong = misread(&given, ends.clone());
        for (wrong, ends) in wrong.iter_mut().zip(&ends) {
            wrong.iter_mut().zip(ends).filter(|(_, end)| **end).for_each(|(wrong, _)| *wrong = false);
        }
        let (surge, mut conflicts) = surge::sound(printed);
        conflicts.extend(across);
        // What is misread is not left of the surge line, or right of it.
        let read = |(line, wrong): (&(CorrectedSpeed, Vec<PrintedPoint>), &Vec<bool>)| {
            let sound = line.1.iter().zip(wrong).filter(|(_, wrong)| !**wrong);
            (line.0, sound.map(|(point, _)| *point).collect())
        };
        let read: Vec<_> = as_drawn.iter().zip(&wrong).map(read).collect();
        let cut = left_of_surge(&read, &surge);
        let is_cut = |speed: CorrectedSpeed, point: &PrintedPoint| {
            let its = |c: &Conflict| matches!(c, Conflict::LeftOfSurge { speed: s, point: p, .. } if *s == speed && p == point);
            cut.iter().any(its)
        };
        let (mut lines, mut out, mut extended) = (Vec::new(), Vec::new(), Vec::new());
        for ((speed, drawn), wrong) in as_drawn.iter().zip(wrong) {
            let kept = drawn.iter().zip(wrong).filter(|(point, wrong)| *wrong || !is_cut(*speed, point));
            let (mut points, mut own): (Vec<PrintedPoint>, Vec<bool>) = kept.unzip();
            // A line that the surge line cuts ends where it is cut.
            let sound: Given = coordinates(&points)
                .into_iter()
                .zip(&own)
                .filter(|(_, out)| !**out)
                .map(|(point, _)| point)
                .collect();
            if points.len() == drawn.len()
                && let Some(line) = to_surge(&surge, *speed, &sound)
            {
                points.insert(0, line.to);
                own.insert(0, false);
                extended.push(line);
            }
            lines.push((*speed, points));
            out.push(own);
        }
        conflicts.extend(cut);
        Ok(Self { surge, lines, out, extended, conflicts })
    }

    /// The lines smoothed.
    pub fn smoothed(&self, printed: &PrintedMap) -> Result<Fit, FitError> {
        let given: Vec<(CorrectedSpeed, Given)> =
            self.lines.iter().map(|(speed, points)| (*speed, coordinates(points))).collect();
        let plain: Vec<Given> = given.iter().map(|(_, points)| points.clone()).collect();
        check(&plain)?;
        let starts = plain.iter().zip(&self.out).map(|(points, out)| {
            (chords(points, out), out.iter().map(|&out| if out { 0.0 } else { 1.0 }).collect())
        });
        let outlines = outlines(&plain, starts.collect(), COST).ok_or(FitError::Undetermined)?;
        let row = |line: usize, point: usize| self.lines[line].1[point].row;
        let mut fit = Fit::new(&printed.title, printed.reference, &given, outlines, row)?;
        fit.extended.clone_from(&self.extended);
        fit.surge.clone_from(&self.surge);
        Ok(fit)
    }
}

/// Whether the speed lines make a map.
pub(super) fn lines_hold(printed: &PrintedMap) -> bool {
    Drawn::of(printed).and_then(|drawn| drawn.smoothed(printed)).is_ok()
}
