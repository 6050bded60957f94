//! Why points do not make a map.

use crate::compressor::MapLinesError;

/// The fewest efficiencies inside the lines that a map is fitted to.
pub(super) const FEWEST: usize = 8;

/// Why points do not make a map.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum FitError {
    /// The smoothed lines do not make a map.
    Lines(MapLinesError),
    /// A line with fewer than three points, after those left of surge were taken away.
    Points {
        /// The line, from zero.
        line: usize,
    },
    /// Speed lines alone: nothing says what efficiency they have.
    NoContour,
    /// Too few efficiencies on and between the speed lines.
    Efficiencies {
        /// How many there are.
        count: usize,
    },
    /// A value that is not finite or not positive.
    Value {
        /// The line, from zero.
        line: usize,
    },
    /// The least-squares sums have no solution: the points do not determine a map.
    Undetermined,
    /// The fitted efficiency leaves 0.05 to 0.95 inside a line, not only at its choke end.
    Efficiency {
        /// The line, from zero.
        line: usize,
        /// The efficiency there.
        value: f64,
    },
}

impl core::fmt::Display for FitError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Lines(error) => write!(f, "the smoothed lines make no map: {error}"),
            Self::Points { line } => {
                write!(f, "speed line {line} has fewer than 3 points right of the surge line")
            }
            Self::NoContour => f.write_str(
                "no efficiency contour: write rows of the kind \"contour\", or give inducer and exducer of the wheel beside the \
                 map, whose estimate then says what efficiency the speed lines have",
            ),
            Self::Efficiencies { count } => write!(
                f,
                "{count} points with an efficiency lie on and between the speed lines; at least {FEWEST} are needed"
            ),
            Self::Value { line } => {
                write!(f, "speed line {line} has a value that is not finite and positive")
            }
            Self::Undetermined => write!(f, "the points do not determine a map; give more of them"),
            Self::Efficiency { line, value } => write!(
                f,
                "the efficiency of speed line {line} comes out as {value:.3}, outside 0.05 to 0.95; check contours and lines there"
            ),
        }
    }
}
impl core::error::Error for FitError {}
