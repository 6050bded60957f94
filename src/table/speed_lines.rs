//! Rows grouped into speed lines.

use super::Table;
use crate::quantity::CorrectedSpeed;

/// Points of one speed that stand together.
pub(crate) struct SpeedLine<P> {
    /// The line of the file where it begins.
    pub first: usize,
    pub speed: CorrectedSpeed,
    pub points: Vec<P>,
}

impl<const N: usize> Table<'_, N> {
    /// Groups points, each with its line of the file and its speed, into speed lines by rising speed.
    pub fn speed_lines<P>(
        &mut self,
        rows: impl IntoIterator<Item = (usize, CorrectedSpeed, P)>,
    ) -> Vec<SpeedLine<P>> {
        let mut lines: Vec<SpeedLine<P>> = Vec::new();
        for (line, speed, point) in rows {
            match lines.last_mut() {
                Some(last) if last.speed == speed => last.points.push(point),
                _ => {
                    if let Some(SpeedLine { first, .. }) = lines.iter().find(|known| known.speed == speed) {
                        let message = format!(
                            "this speed line already stands from line {first}; keep its points together, once"
                        );
                        self.problem(line, message);
                    }
                    lines.push(SpeedLine { first: line, speed, points: vec![point] });
                }
            }
        }
        lines.sort_by(|a, b| a.speed.si().total_cmp(&b.speed.si()));
        lines
    }
}
