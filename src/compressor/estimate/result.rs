//! What an estimate says.

use crate::quantity::*;

/// Whether published machines of this size were compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SizeCheck {
    /// The wheel is at least as large as the smallest machine compared.
    Validated,
    /// It is smaller: the estimate is not validated at this size.
    NotAtThisSize,
}

impl SizeCheck {
    /// The finding in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Validated => "validated on published machines of this size",
            Self::NotAtThisSize => "not validated at this size: the smallest machine compared has 400 mm",
        }
    }
}

/// One estimated point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EstimatedPoint {
    /// Corrected flow.
    pub flow: CorrectedMassFlow,
    /// Pressure ratio, total to total.
    pub ratio: PressureRatio,
    /// Isentropic efficiency, total to total.
    pub efficiency: Efficiency,
    /// Rise of total enthalpy at the reference temperature.
    pub work: SpecificEnergy,
    /// The same over the square of the tip speed.
    pub work_coefficient: Fraction,
    /// Flow over choke flow at this speed.
    pub choke_share: Fraction,
}

/// One estimated speed line.
#[derive(Clone, Debug, PartialEq)]
pub struct EstimatedLine {
    /// Corrected speed.
    pub speed: CorrectedSpeed,
    /// Tip speed at the reference temperature.
    pub tip_speed: Velocity,
    /// Flow at which surge is put.
    pub surge: CorrectedMassFlow,
    /// Choke flow.
    pub choke: CorrectedMassFlow,
    /// The points from surge to choke; the last ones, at choke flow, fall in pressure ratio.
    pub points: Vec<EstimatedPoint>,
}
