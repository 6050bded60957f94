//! A map from computed speed lines.

use super::map::{LinePoint, MOST_LINES, Origin};
use super::{CompressorMap, Reference};
use crate::quantity::*;

/// Why computed lines do not make a map.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum MapLinesError {
    /// Fewer than 2 lines or more than 40.
    Lines {
        /// How many there are.
        count: usize,
    },
    /// A line with fewer than 3 points.
    Points {
        /// The line, from zero.
        line: usize,
    },
    /// A value that is not finite or outside what a map holds.
    Value {
        /// The line, from zero.
        line: usize,
    },
    /// Speeds that do not rise from line to line.
    Speeds {
        /// The upper line, from zero.
        line: usize,
    },
    /// A flow that falls along its line, or stays without a fall of pressure ratio.
    Order {
        /// The line, from zero.
        line: usize,
    },
    /// A line that does not lie above and right of the one below it everywhere.
    Crossing {
        /// The upper line, from zero.
        line: usize,
    },
}

impl core::fmt::Display for MapLinesError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Lines { count } => write!(f, "{count} speed lines; a map has 2 to {MOST_LINES}"),
            Self::Points { line } => write!(f, "speed line {line} has fewer than 3 points"),
            Self::Value { line } => {
                write!(f, "speed line {line} has a value that is not finite or out of range")
            }
            Self::Speeds { line } => write!(f, "speed line {line} is not faster than the one before it"),
            Self::Order { line } => write!(f, "speed line {line} does not run from surge to choke"),
            Self::Crossing { line } => write!(f, "speed line {line} crosses the one before it"),
        }
    }
}
impl core::error::Error for MapLinesError {}

impl CompressorMap {
    /// This map with every point changed and every speed times a factor, for instance of two units in parallel.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// # use shaftwork::compressor::LinePoint;
    /// let one = Study::demo()?.candidates[2].map().clone();
    /// let two = one.altered("two", "two beside each other", 1.0, |p| LinePoint { flow: p.flow * 2.0, ..p })?;
    /// assert!((two.greatest_flow() / one.greatest_flow() - 2.0).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`MapLinesError`] where the changed lines are no map.
    pub fn altered(
        &self,
        title: impl Into<String>,
        provenance: impl Into<String>,
        speed: f64,
        point: impl Fn(LinePoint) -> LinePoint,
    ) -> Result<Self, MapLinesError> {
        let line = |(known, points): (CorrectedSpeed, Vec<LinePoint>)| {
            (known * speed, points.into_iter().map(&point).collect())
        };
        let lines: Vec<_> = self.points().map(line).collect();
        Self::from_lines(title, provenance, *self.reference(), &lines)
    }

    /// A map from lines that were computed, each from surge to choke, speeds rising; the same map as one read
    /// from CSV.
    ///
    /// # Errors
    ///
    /// [`MapLinesError`] with the line that does not fit.
    pub fn from_lines(
        title: impl Into<String>,
        provenance: impl Into<String>,
        reference: Reference,
        lines: &[(CorrectedSpeed, Vec<LinePoint>)],
    ) -> Result<Self, MapLinesError> {
        if !(2..=MOST_LINES).contains(&lines.len()) {
            return Err(MapLinesError::Lines { count: lines.len() });
        }
        for (line, (speed, points)) in lines.iter().enumerate() {
            if points.len() < 3 {
                return Err(MapLinesError::Points { line });
            }
            let fits = |p: &LinePoint| {
                (0.0..50.0).contains(&p.flow.si())
                    && p.flow.si() > 0.0
                    && (1.0..=12.0).contains(&p.ratio.si())
                    && (0.05..=0.95).contains(&p.efficiency.si())
            };
            if !(speed.si() > 100.0 && speed.si() < 5e4 && points.iter().all(fits)) {
                return Err(MapLinesError::Value { line });
            }
            if line > 0 && lines[line - 1].0 >= *speed {
                return Err(MapLinesError::Speeds { line });
            }
            let forward = |pair: &[LinePoint]| {
                pair[0].flow < pair[1].flow || (pair[0].flow == pair[1].flow && pair[0].ratio > pair[1].ratio)
            };
            if !points.windows(2).all(forward) {
                return Err(MapLinesError::Order { line });
            }
        }
        let origin =
            Origin { file: "computed".into(), header_line: None, provenance: provenance.into(), kind: None };
        let map = Self::build(title.into(), origin, reference, lines);
        map.crossing().map_or(Ok(map), |line| Err(MapLinesError::Crossing { line }))
    }
}
