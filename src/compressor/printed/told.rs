//! Why a printed map could not be merged: the row of its file that does it, where one alone does.

use super::drawn::lines_hold;
use super::{FitError, PrintedMap, PrintedPoint};
use crate::compressor::MapLinesError;
use crate::problem::{Problem, Problems};
use crate::quantity::CorrectedSpeed;

impl PrintedMap {
    /// The problem of a map that was read from a file: which row does it, or else which speed line.
    pub(crate) fn told(&self, file: &str, error: &FitError) -> Problems {
        let (line, message) = match *error {
            FitError::Lines(
                MapLinesError::Crossing { line }
                | MapLinesError::Value { line }
                | MapLinesError::Points { line }
                | MapLinesError::Order { line },
            ) => self.culprit(line).unwrap_or_else(|| self.of_line(line, error)),
            FitError::Points { line } | FitError::Value { line } | FitError::Efficiency { line, .. } => {
                self.of_line(line, error)
            }
            _ => (None, error.to_string()),
        };
        Problems(vec![Problem { file: file.into(), line, at: None, message }])
    }

    /// The first row of a speed line.
    fn of_line(&self, line: usize, error: &FitError) -> (Option<usize>, String) {
        let Some((speed, points)) = self.lines.get(line) else { return (None, error.to_string()) };
        let first = points.iter().filter_map(|point| point.row).min();
        let message = match (error, line.checked_sub(1).and_then(|below| self.lines.get(below))) {
            (FitError::Lines(MapLinesError::Crossing { .. }), Some((below, _))) => format!(
                "speed line {speed}, smoothed and cut or extended to the surge line, does not lie above and right of \
                 {below} everywhere; check both, and the surge line beside them"
            ),
            (FitError::Efficiency { value, .. }, _) => format!(
                "speed line {speed}: its efficiency comes out as {value:.3}, outside 0.05 to 0.95; check it and the \
                 contours there"
            ),
            _ => format!("speed line {speed}: {error}"),
        };
        (first, message)
    }

    /// The row of the surge line, of this speed line or of one beside it without which the lines make a map.
    fn culprit(&self, line: usize) -> Option<(Option<usize>, String)> {
        let holds = |change: &dyn Fn(&mut Self)| {
            let mut map = self.clone();
            change(&mut map);
            lines_hold(&map)
        };
        let words = |point: &PrintedPoint| format!("{} at pressure ratio {}", point.flow, point.ratio);
        for (index, point) in self.surge.iter().enumerate() {
            if holds(&|map| map.surge = without(&map.surge, index)) {
                let message =
                    format!("the surge line row {} makes speed lines cross; check it", words(point));
                return Some((point.row, message));
            }
        }
        for at in line.saturating_sub(1)..=(line + 1).min(self.lines.len() - 1) {
            let (speed, points): &(CorrectedSpeed, Vec<PrintedPoint>) = &self.lines[at];
            for (index, point) in points.iter().enumerate().filter(|_| points.len() > 3) {
                if holds(&|map| map.lines[at].1 = without(points, index)) {
                    let message = format!(
                        "the point {} of speed line {speed} makes lines cross; check it",
                        words(point)
                    );
                    return Some((point.row, message));
                }
            }
        }
        let first = self.surge.iter().filter_map(|point| point.row).min();
        (!self.surge.is_empty() && holds(&|map| map.surge.clear())).then(|| {
            let message = "the surge line makes speed lines cross; check it against their first points, or leave it out";
            (first, message.into())
        })
    }
}

fn without(points: &[PrintedPoint], index: usize) -> Vec<PrintedPoint> {
    let rest = points.iter().enumerate().filter(|(i, _)| *i != index);
    rest.map(|(_, point)| *point).collect()
}
