//! The estimate one standard deviation on its worse and its better side, each a map of its own.

use super::band::Sides;
use super::{EstimateError, Factor, Factors, MapEstimate};
use crate::compressor::CompressorMap;
use crate::quantity::*;

/// The line that says which way is worse: this share of the highest tip speed, this share of its choke flow.
const AT_SPEED: f64 = 0.86;
const AT_FLOW: f64 = 0.88;

/// A wheel's map as estimated, and one standard deviation to either side.
#[derive(Clone, Debug, PartialEq)]
pub struct EstimatedMap {
    estimate: MapEstimate,
    worse: CompressorMap,
    central: CompressorMap,
    better: CompressorMap,
}

impl EstimatedMap {
    /// The estimate.
    pub fn estimate(&self) -> &MapEstimate {
        &self.estimate
    }
    /// Its map.
    pub fn central(&self) -> &CompressorMap {
        &self.central
    }
    /// The map on the side that passes less flow at less pressure and surges earlier.
    pub fn worse(&self) -> &CompressorMap {
        &self.worse
    }
    /// The map on the side that passes more flow at more pressure and surges later. Its highest line is the bold end
    /// of the tip speeds in use; the others end at the cautious one.
    pub fn better(&self) -> &CompressorMap {
        &self.better
    }
}

impl MapEstimate {
    /// The map with both sides of its band.
    ///
    /// # Errors
    ///
    /// As [`MapEstimate::map`], for each of the three.
    pub fn with_sides(&self) -> Result<EstimatedMap, EstimateError> {
        let on = |by: f64| self.side(by).map(|factors| self.clone().with_factors(factors));
        let (worse, better) = (on(-1.0)?, on(1.0)?);
        let [_, bold] = self.geometry().material().tip_speeds_in_use();
        let speeds = self.speeds().into_iter().chain([self.speed_of(bold)]);
        Ok(EstimatedMap {
            central: self.map()?,
            worse: worse.map()?,
            better: better.map_at(&speeds.collect::<Vec<_>>())?,
            estimate: self.clone(),
        })
    }

    /// The factors moved one standard deviation in the direction in which choke flow and pressure ratio change
    /// together by the most: x = g/|g| with g the change of ln W_choke + ln Pi by each factor, at a high speed and
    /// flow. That is the likeliest way to a sum which lies one standard deviation off. Surge, which no other factor
    /// decides alone, moves by one of its own besides.
    ///
    /// # Errors
    ///
    /// As [`MapEstimate::line`].
    pub fn side(&self, deviations: f64) -> Result<Factors, EstimateError> {
        let highest = self.geometry().material().cautious_tip_speed();
        let tip_speed = self.tip_speed(self.speed_of(highest * AT_SPEED))?;
        let none = EstimateError::NoLine { tip_speed: Velocity::from_si_unchecked(tip_speed) };
        let model = self.model(self.factors()).ok_or(none.clone())?;
        let flow = AT_FLOW * model.choke(&model.turning(tip_speed)).ok_or(none.clone())?;
        let mut pull = Vec::new();
        for Sides { factor, models } in self.sides().into_iter().filter(|side| side.factor != Factor::Surge) {
            let ends = models.each_ref().map(|model| {
                let turning = model.turning(tip_speed);
                let choke = model.choke(&turning)?;
                Some((choke.ln(), model.at(&turning, flow.min(choke))?.ratio.ln()))
            });
            if let [Some(down), Some(up)] = ends {
                pull.push((factor, 0.5 * (up.0 - down.0 + up.1 - down.1)));
            }
        }
        let size = pull.iter().map(|(_, by)| by * by).sum::<f64>().sqrt();
        if !(size > 0.0) {
            return Err(none);
        }
        let mut factors = *self.factors();
        for (factor, by) in pull {
            factors = factors.with(factor, factors.get(factor) + deviations * by / size);
        }
        Ok(factors.with(Factor::Surge, factors.get(Factor::Surge) + deviations))
    }
}
