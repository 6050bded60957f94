//! An estimated map in brief: of each speed line both ends and the best point, each with its band.

use super::{EstimateError, EstimatedPoint, MapEstimate, PointBand};
use crate::quantity::*;

/// A speed line in brief. The deviations are one standard deviation each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineInBrief {
    /// Corrected speed.
    pub speed: CorrectedSpeed,
    /// Tip speed at the reference temperature.
    pub tip_speed: Velocity,
    /// Where surge is put.
    pub surge: EstimatedPoint,
    /// Deviation of the surge flow, as a fraction of it.
    pub surge_sigma: Fraction,
    /// The point of best efficiency.
    pub best: EstimatedPoint,
    /// Its band.
    pub band: PointBand,
    /// Where the flow first is that of choke.
    pub choke: EstimatedPoint,
    /// Deviation of the choke flow, as a fraction of it.
    pub choke_sigma: Fraction,
}

impl MapEstimate {
    /// The map in brief, from the lowest speed line to the highest.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let reference = Reference::new(kelvin(298.15), kpa(100.0))?;
    /// let lines = WheelGeometry::builder(mm(46.4), mm(61.0)).build()?.estimate(reference)?.in_brief()?;
    /// let top = lines.last().unwrap();
    /// assert!(top.surge.flow < top.best.flow && top.best.flow < top.choke.flow);
    /// assert!(top.choke_sigma > percent(3.0) && top.band.ratio > percent(3.0));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// As [`MapEstimate::map`].
    pub fn in_brief(&self) -> Result<Vec<LineInBrief>, EstimateError> {
        let (lines, bands) = (self.lines()?, self.band()?);
        let brief = lines.iter().zip(&bands).map(|(line, band)| {
            let none = || EstimateError::NoLine { tip_speed: line.tip_speed };
            let pairs = || line.points.iter().zip(&band.points);
            let best = pairs().max_by(|a, b| a.0.efficiency.si().total_cmp(&b.0.efficiency.si()));
            let (best, of_best) = best.ok_or_else(none)?;
            let choke = line.points.iter().find(|point| point.flow >= line.choke * CHOKED);
            let (surge, choke) = line.points.first().zip(choke).ok_or_else(none)?;
            Ok(LineInBrief {
                speed: line.speed,
                tip_speed: line.tip_speed,
                surge: *surge,
                surge_sigma: band.surge,
                best: *best,
                band: *of_best,
                choke: *choke,
                choke_sigma: band.choke,
            })
        });
        brief.collect()
    }
}

/// So near to choke flow a line is taken as choked: its ends are found to a hundred thousandth.
const CHOKED: f64 = 1.0 - 1e-4;
