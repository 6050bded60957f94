//! One measured point rescales work and efficiency.

use super::model::Measured;
use super::{EstimateError, MapEstimate};
use crate::compressor::{InletState, corrected_speed, isentropic_efficiency};
use crate::quantity::*;

/// A steady point as it was measured: total pressures and temperatures, the outlet thermometer free of heat from
/// the turbine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredPoint {
    /// State at the compressor inlet.
    pub inlet: InletState,
    /// Shaft speed.
    pub speed: ShaftSpeed,
    /// Mass flow.
    pub flow: MassFlow,
    /// Total pressure ratio.
    pub ratio: PressureRatio,
    /// Outlet total temperature.
    pub outlet: Temperature,
}

/// Work of a measured point over that of the mean line: beyond these it is another wheel or a wrong reading.
const WORK_BOUNDS: [f64; 2] = [0.6, 1.6];

impl MapEstimate {
    /// The estimate with work and efficiency scaled so that it runs through a measured point; a flow that the
    /// throat would not pass widens the throat. The bands of the mean line's terms shrink.
    ///
    /// # Errors
    ///
    /// [`EstimateError`]: a reading out of range, an efficiency outside 0.3 to 0.95, or a work more than 60 % off the
    /// mean line's.
    pub fn with_measured_point(self, point: MeasuredPoint) -> Result<Self, EstimateError> {
        let reference = *self.reference();
        let (t01, t02) = (point.inlet.temperature, point.outlet);
        let speed = corrected_speed(point.speed, t01, reference.temperature())?;
        let flow = point.inlet.correct(point.flow, &reference)?;
        // At equal Mach numbers temperatures scale with the inlet's.
        let outlet = Temperature::from_si_unchecked(t02.si() * reference.temperature().si() / t01.si());
        let efficiency = isentropic_efficiency(self.air(), reference.temperature(), outlet, point.ratio)?;
        if !(0.3..=0.95).contains(&efficiency.si()) {
            let why = "its efficiency is not between 0.3 and 0.95; check the outlet temperature";
            return Err(EstimateError::Measured { why });
        }
        let measured = Measured {
            tip_speed: self.tip_speed(speed)?,
            flow: flow.si(),
            work: self.rise_to(outlet.si()),
            efficiency: efficiency.si(),
        };
        let scaled = self.scaled_to(measured);
        let factors = *scaled.factors();
        let why = "the mean line has no flow there; check speed, flow and dimensions";
        let scale =
            scaled.model(&factors).map(|model| model.work_scale()).ok_or(EstimateError::Measured { why })?;
        if !(WORK_BOUNDS[0]..=WORK_BOUNDS[1]).contains(&scale) {
            let why = "its work is more than 60 % off the mean line's; check speed and outer diameter";
            return Err(EstimateError::Measured { why });
        }
        Ok(scaled)
    }
}
