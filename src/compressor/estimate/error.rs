//! Why there is no estimate.

use super::GeometryError;
use crate::compressor::MapLinesError;
use crate::formula::FormulaError;
use crate::quantity::*;

/// Why there is no estimate.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum EstimateError {
    /// A tip speed that the mean line does not take.
    TipSpeed {
        /// Tip speed asked for.
        asked: Velocity,
        /// The least and the most.
        range: [Velocity; 2],
    },
    /// A flow outside the speed line.
    Flow {
        /// Flow asked for.
        asked: CorrectedMassFlow,
        /// Least flow taken, and choke flow.
        range: [CorrectedMassFlow; 2],
    },
    /// A wheel without a stable flow at this tip speed.
    NoLine {
        /// The tip speed.
        tip_speed: Velocity,
    },
    /// A measured point that this wheel cannot have given.
    Measured {
        /// What is wrong with it.
        why: &'static str,
    },
    /// Dimensions that no wheel has.
    Geometry(GeometryError),
    /// One of the maps of a band, of which too little stands.
    Side {
        /// Which: "worse side", "estimate" or "better side".
        of: &'static str,
        /// Why.
        error: Box<EstimateError>,
    },
    /// One reading of a wheel's doubtful dimensions, of which there is none.
    Reading {
        /// The reading: "inducer 46.4 mm, backsweep 30 deg".
        reading: String,
        /// Why.
        error: Box<EstimateError>,
    },
    /// Lines that do not make a map.
    Lines(MapLinesError),
    /// A formula refused its inputs.
    Formula(FormulaError),
}

impl core::fmt::Display for EstimateError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::TipSpeed { asked, range: [low, high] } => {
                write!(f, "tip speed {asked} is outside {low} to {high}; check speed and outer diameter")
            }
            Self::Flow { asked, range: [low, high] } => {
                write!(
                    f,
                    "corrected flow {asked} is outside {low} to the choke flow {high} of this speed line"
                )
            }
            Self::NoLine { tip_speed } => write!(
                f,
                "with these dimensions the wheel compresses no flow at a tip speed of {tip_speed}; check exit width and angles"
            ),
            Self::Measured { why } => write!(f, "the measured point does not fit this wheel: {why}"),
            Self::Side { of: "estimate", error } => error.fmt(f),
            Self::Side { of, error } => {
                write!(
                    f,
                    "the estimate's {of}, one standard deviation away, has fewer than 4 speed lines: {error}"
                )
            }
            Self::Reading { reading, error } => write!(f, "{reading}: {error}"),
            Self::Geometry(error) => error.fmt(f),
            Self::Lines(error) => error.fmt(f),
            Self::Formula(error) => error.fmt(f),
        }
    }
}
impl core::error::Error for EstimateError {}

impl From<GeometryError> for EstimateError {
    fn from(error: GeometryError) -> Self {
        Self::Geometry(error)
    }
}
impl From<FormulaError> for EstimateError {
    fn from(error: FormulaError) -> Self {
        Self::Formula(error)
    }
}
