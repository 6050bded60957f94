//! A geometry that no wheel has.

use crate::quantity::significant;

/// A geometry that no wheel has.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum GeometryError {
    /// A dimension that is not a finite number.
    NotFinite {
        /// The dimension.
        what: &'static str,
    },
    /// A dimension outside what a wheel of this size can have.
    OutOfRange {
        /// The dimension.
        what: &'static str,
        /// Its value.
        value: f64,
        /// The least that is taken.
        low: f64,
        /// The most that is taken.
        high: f64,
        /// The unit of all three.
        unit: &'static str,
        /// What bounds it.
        why: &'static str,
    },
    /// A dimension that says nothing without another.
    Missing {
        /// The dimension given.
        what: &'static str,
        /// What it needs.
        needs: &'static str,
    },
}

impl core::fmt::Display for GeometryError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::NotFinite { what } => write!(f, "{what} is not a finite number"),
            Self::OutOfRange { what, value, low, high, unit, why } => {
                let whole = unit.is_empty() && [value, low, high].iter().all(|v| v.fract() == 0.0);
                let [value, low, high] =
                    [value, low, high].map(|v| if whole { format!("{v:.0}") } else { significant(*v, 4) });
                let gap = if unit.is_empty() { "" } else { " " };
                write!(f, "{what} {value}{gap}{unit} is outside {low} to {high}{gap}{unit}: {why}")
            }
            Self::Missing { what, needs } => write!(f, "{what} needs {needs} beside it"),
        }
    }
}
impl core::error::Error for GeometryError {}

/// Refuses a number that is not finite or not within its bounds.
pub(super) fn within(
    what: &'static str,
    value: f64,
    [low, high]: [f64; 2],
    unit: &'static str,
    why: &'static str,
) -> Result<(), GeometryError> {
    if !value.is_finite() {
        Err(GeometryError::NotFinite { what })
    } else if value < low || value > high {
        Err(GeometryError::OutOfRange { what, value, low, high, unit, why })
    } else {
        Ok(())
    }
}
