//! The estimate one standard deviation on its worse and its better side, each a map of its own.

use super::band::Sides;
use super::{EstimateError, Factor, Factors, MapEstimate};
use crate::compressor::{CompressorMap, MapLinesError, MiddlePoint, WheelLines};
use crate::quantity::*;

/// The line that says which way is worse: this share of the highest tip speed, this share of its choke flow.
const AT_SPEED: f64 = 0.86;
const AT_FLOW: f64 = 0.88;
/// The fewest speed lines that an estimated map is left with.
const FEWEST_LINES: usize = 4;
/// The three maps in words, worst first.
const CALLED: [&str; 3] = ["worse side", "estimate", "better side"];

/// A wheel's map as estimated, and one standard deviation to either side.
#[derive(Clone, Debug, PartialEq)]
pub struct EstimatedMap {
    estimate: MapEstimate,
    worse: CompressorMap,
    central: CompressorMap,
    better: CompressorMap,
    left_out: Vec<LinesLeftOut>,
    /// Where speed lines are printed: a middle point with its efficiency.
    printed: Option<MiddlePoint>,
}

/// The highest speed lines of a map, left out because the mean line gives none there that could stand above the others.
#[derive(Clone, Debug, PartialEq)]
pub struct LinesLeftOut {
    /// Which map: "worse side", "estimate" or "better side".
    pub of: &'static str,
    /// The tip speed of the highest line that stands.
    pub highest: Velocity,
    /// The tip speeds of those left out.
    pub tip_speeds: Vec<Velocity>,
    /// Why the lowest of them cannot stand.
    pub why: EstimateError,
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
    /// The map on the side that passes less flow at less pressure and surges earlier; of printed speed lines the side with less
    /// efficiency.
    pub fn worse(&self) -> &CompressorMap {
        &self.worse
    }
    /// The map on the side that passes more flow at more pressure and surges later. Its highest line is the bold end
    /// of the tip speeds in use; the others end at the cautious one. Of printed speed lines the side with more efficiency.
    pub fn better(&self) -> &CompressorMap {
        &self.better
    }
    /// The tip speed at which its own map ends.
    pub(crate) fn highest_tip_speed(&self) -> Velocity {
        let cut = self.left_out.iter().find(|out| out.of == CALLED[1]);
        cut.map_or(self.estimate.geometry().highest_tip_speed(), |out| out.highest)
    }
    /// A middle point with the band of its efficiency, where the speed lines are printed ones and only the efficiency is
    /// estimated.
    pub fn printed_lines(&self) -> Option<MiddlePoint> {
        self.printed
    }
    /// Of printed speed lines.
    pub(crate) fn of_lines(lines: &WheelLines) -> Self {
        Self {
            estimate: lines.combined().estimate().clone(),
            worse: lines.worse().clone(),
            central: lines.map().clone(),
            better: lines.better().clone(),
            left_out: Vec::new(),
            printed: Some(lines.middle()),
        }
    }
    /// The highest speed lines that one of the three maps had to do without: it then ends earlier than the others.
    pub fn left_out(&self) -> &[LinesLeftOut] {
        &self.left_out
    }
}

impl MapEstimate {
    /// The map with both sides of its band. Where the highest speed lines of one of the three give no map, that one ends
    /// below them ([`EstimatedMap::left_out`]).
    ///
    /// # Errors
    ///
    /// [`EstimateError::Side`] with the map that has fewer than four speed lines, and why.
    pub fn with_sides(&self) -> Result<EstimatedMap, EstimateError> {
        let on = |by: f64| self.side(by).map(|factors| self.clone().with_factors(factors));
        let (worse, better) = (on(-1.0)?, on(1.0)?);
        let [_, bold] = self.geometry().material().tip_speeds_in_use();
        let usual = self.speeds();
        let further = Some(self.speed_of(bold)).filter(|speed| *speed > usual[usual.len() - 1]);
        let bolder: Vec<_> = usual.iter().copied().chain(further).collect();
        let mut left_out = Vec::new();
        let mut reaching = |estimate: &Self, speeds: &[CorrectedSpeed], of: usize| {
            let of = CALLED[of];
            let (map, out) = estimate
                .map_up_to(speeds)
                .map_err(|error| EstimateError::Side { of, error: Box::new(error) })?;
            if let Some((stands, why)) = out {
                let tip_speed =
                    |speed: &CorrectedSpeed| Velocity::from_si_unchecked(speed.si() * self.radius());
                let tip_speeds: Vec<_> = speeds.iter().map(tip_speed).collect();
                let (below, out) = tip_speeds.split_at(stands);
                left_out.push(LinesLeftOut { of, highest: below[stands - 1], tip_speeds: out.to_vec(), why });
            }
            Ok::<_, EstimateError>(map)
        };
        let (worse, central) = (reaching(&worse, &usual, 0)?, reaching(self, &usual, 1)?);
        let better = reaching(&better, &bolder, 2)?;
        Ok(EstimatedMap { estimate: self.clone(), worse, central, better, left_out, printed: None })
    }

    /// The map at rising speeds, as far up as its lines make one: with it how many of them stand, where not all do, and why
    /// the next does not.
    #[allow(clippy::type_complexity)]
    fn map_up_to(
        &self,
        speeds: &[CorrectedSpeed],
    ) -> Result<(CompressorMap, Option<(usize, EstimateError)>), EstimateError> {
        let mut lines = Vec::new();
        let mut out = None;
        for &speed in speeds {
            match self.line_points(speed) {
                Ok(line) => lines.push(line),
                Err(why) => {
                    out = Some((lines.len(), why));
                    break;
                }
            }
        }
        loop {
            if let Some((_, why)) = out.take_if(|(stands, _)| *stands < FEWEST_LINES) {
                return Err(why);
            }
            match self.map_of(&lines) {
                Ok(map) => return Ok((map, out)),
                Err(error) => {
                    let (
                        EstimateError::Lines(
                            MapLinesError::Crossing { line }
                            | MapLinesError::Value { line }
                            | MapLinesError::Order { line },
                        ),
                        true,
                    ) = (&error, lines.len() > 1)
                    else {
                        return Err(error);
                    };
                    lines.truncate(*line);
                    out = Some((*line, error));
                }
            }
        }
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
        if size.is_nan() || size <= 0.0 {
            return Err(none);
        }
        let mut factors = *self.factors();
        for (factor, by) in pull {
            factors = self.moved(&factors, factor, deviations * by / size);
        }
        Ok(self.moved(&factors, Factor::Surge, deviations))
    }
}
