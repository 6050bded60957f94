//! Why evidence cannot be weighed.

use crate::compressor::{EstimateError, FitError, MapLinesError};
use crate::formula::FormulaError;
use crate::quantity::{CorrectedMassFlow, Length, Temperature, significant};

/// Why evidence cannot be weighed.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum EvidenceError {
    /// A figure that is not finite or out of range.
    Value {
        /// The piece of evidence.
        name: String,
        /// The figure.
        what: &'static str,
        /// Its value.
        value: f64,
        /// The least and the most that is taken.
        range: [f64; 2],
    },
    /// A piece without an observation.
    Empty {
        /// The piece of evidence.
        name: String,
    },
    /// A compression that loses less than nothing: no machine can have given it.
    Impossible {
        /// The piece of evidence.
        name: String,
        /// The outlet temperature that it states.
        outlet: Temperature,
        /// That of a compression without loss.
        lossless: Temperature,
    },
    /// A flow beyond what the inducer's whole annulus passes at the speed of sound.
    BeyondAnnulus {
        /// The piece of evidence.
        name: String,
        /// The flow, at the map's reference.
        flow: CorrectedMassFlow,
        /// The most that passes, there.
        most: CorrectedMassFlow,
    },
    /// A similar machine's map that leaves what a map holds when it is scaled.
    Scaled {
        /// Outer diameter of that machine.
        known: Length,
        /// Outer diameter that it is scaled to.
        wanted: Length,
        /// Why the scaled lines are no map.
        error: MapLinesError,
    },
    /// The estimate was combined before, or scaled to a point: it is no independent prior any more.
    Used,
    /// The estimate has no prediction for what was observed, at some value of its factors.
    NoPrediction,
    /// The search for the likeliest map did not settle.
    NotSettled,
    /// The estimate failed.
    Estimate(EstimateError),
    /// Scaled lines do not make a map.
    Lines(MapLinesError),
    /// Printed lines do not make a map.
    Fit(FitError),
    /// A formula refused its inputs.
    Formula(FormulaError),
}

impl core::fmt::Display for EvidenceError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Value { name, what, value, range: [low, high] } => {
                let [value, low, high] = [value, low, high].map(|v| significant(*v, 4));
                let unit = if ["flow", "corrected flow"].contains(what) { " kg/s" } else { "" };
                write!(f, "{name}: {what} {value}{unit} is outside {low} to {high}{unit}")
            }
            Self::Empty { name } => write!(f, "{name} observes nothing; leave it out"),
            Self::Impossible { name, outlet, lossless } => write!(
                f,
                "{name}: the outlet at {outlet} is colder than a compression without loss would leave it, {lossless}; \
                 check pressure ratio and temperatures"
            ),
            Self::BeyondAnnulus { name, flow, most } => write!(
                f,
                "{name}: {flow} at the map's reference is more than {most}, which the inducer's whole annulus passes at \
                 the speed of sound; check the flow, its unit and the inducer"
            ),
            Self::Scaled { known, wanted, error } => write!(
                f,
                "the map of a machine of {known} is no map when it is scaled to {wanted} ({error}); check its diameter, \
                 and the size of its flows and speeds"
            ),
            Self::Used => f.write_str(
                "this estimate holds evidence already; combine all of it at once, from the plain estimate",
            ),
            Self::NoPrediction => f.write_str(
                "the estimate has no value where something was observed; check speed, flow and dimensions",
            ),
            Self::NotSettled => {
                f.write_str("the likeliest map was not found in 120 steps; check the figures and the wheel's dimensions, and weigh several pieces one by one")
            }
            Self::Estimate(error) => error.fmt(f),
            Self::Lines(error) => error.fmt(f),
            Self::Fit(error) => error.fmt(f),
            Self::Formula(error) => error.fmt(f),
        }
    }
}
impl core::error::Error for EvidenceError {}

impl From<EstimateError> for EvidenceError {
    fn from(error: EstimateError) -> Self {
        Self::Estimate(error)
    }
}
impl From<MapLinesError> for EvidenceError {
    fn from(error: MapLinesError) -> Self {
        Self::Lines(error)
    }
}
impl From<FormulaError> for EvidenceError {
    fn from(error: FormulaError) -> Self {
        Self::Formula(error)
    }
}

/// A figure, if it lies in a range.
pub(super) fn within(
    name: &str,
    what: &'static str,
    value: f64,
    range: [f64; 2],
) -> Result<f64, EvidenceError> {
    if (range[0]..=range[1]).contains(&value) {
        Ok(value)
    } else {
        Err(EvidenceError::Value { name: name.into(), what, value, range })
    }
}
