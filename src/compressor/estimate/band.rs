//! How uncertain an estimate is: the map as a function of independent factors, one standard deviation each.

use super::line::{Line, line};
use super::model::{Model, Point};
use super::stage::Turning;
use super::{EstimateError, Factor, MapEstimate};
use crate::quantity::*;

const COUNT: usize = Factor::ALL.len();

/// One standard deviation at a point of the map, and what each factor contributes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PointBand {
    /// Pressure ratio at speed and flow, as a fraction of it.
    pub ratio: Fraction,
    /// Efficiency, in fractions of one: 0.03 is three points.
    pub efficiency: Fraction,
    /// Work, as a fraction of it.
    pub work: Fraction,
    parts: [f64; COUNT],
}

impl PointBand {
    /// By how much one standard deviation of a factor moves the pressure ratio, as a fraction of it, with sign; after
    /// evidence, of what is left of it.
    pub fn ratio_by(&self, factor: Factor) -> f64 {
        self.parts[factor as usize]
    }
    /// The factor that moves the pressure ratio most.
    pub fn largest(&self) -> Factor {
        let mut all = Factor::ALL;
        all.sort_by(|a, b| self.ratio_by(*b).abs().total_cmp(&self.ratio_by(*a).abs()));
        all[0]
    }
}

/// One standard deviation of a speed line.
#[derive(Clone, Debug, PartialEq)]
pub struct LineBand {
    /// Corrected speed.
    pub speed: CorrectedSpeed,
    /// Choke flow, as a fraction of it.
    pub choke: Fraction,
    /// Surge flow, as a fraction of it.
    pub surge: Fraction,
    /// The points of the line in the order of [`MapEstimate::line`].
    pub points: Vec<PointBand>,
}

/// A factor's two sides, one standard deviation down and up.
pub(super) struct Sides<'a> {
    pub factor: Factor,
    pub models: [Model<'a>; 2],
}

impl MapEstimate {
    /// One standard deviation at a corrected speed and flow.
    ///
    /// # Errors
    ///
    /// As [`MapEstimate::at`].
    pub fn band_at(
        &self,
        speed: CorrectedSpeed,
        flow: CorrectedMassFlow,
    ) -> Result<PointBand, EstimateError> {
        let tip_speed = self.tip_speed(speed)?;
        self.at(speed, flow)?;
        let mut band = Shifts::default();
        let bottom = self.bottom(tip_speed);
        for sides in self.sides() {
            let shifted = sides.models.each_ref().map(|model| {
                let turning = model.turning(tip_speed);
                // Choke is looked for only where it lies below this flow.
                let there = model.at(&turning, flow.si());
                there.or_else(|| near(model, &turning, model.choke(&turning)?, flow.si(), 0.0, bottom))
            });
            band.add(sides.factor, shifted);
        }
        Ok(band.point())
    }

    /// The bands of all speed lines of the map.
    ///
    /// # Errors
    ///
    /// As [`MapEstimate::map`].
    pub fn band(&self) -> Result<Vec<LineBand>, EstimateError> {
        self.bands_at(&self.speeds())
    }

    /// The bands of the speed lines at corrected speeds of one's choice, in the order given.
    ///
    /// # Errors
    ///
    /// As [`MapEstimate::line`], for each.
    pub fn bands_at(&self, speeds: &[CorrectedSpeed]) -> Result<Vec<LineBand>, EstimateError> {
        let central = self.model(self.factors());
        let sides = self.sides();
        let lines = speeds.iter().map(|&speed| {
            let tip_speed = self.tip_speed(speed)?;
            let none = EstimateError::NoLine { tip_speed: Velocity::from_si_unchecked(tip_speed) };
            let line = central.as_ref().and_then(|model| line(model, &model.turning(tip_speed)));
            let line = line.ok_or(none)?;
            let bottom = self.geometry().has_vanes().then_some(line.lowest);
            Ok(line_band(speed, tip_speed, &line, &sides, bottom))
        });
        lines.collect()
    }

    /// The efficiency at the bottom of a line's choke end where vanes make that end: with every change of their throat
    /// the whole fall moves, so that a flow beyond a moved choke is at its bottom.
    fn bottom(&self, tip_speed: f64) -> Option<f64> {
        if !self.geometry().has_vanes() {
            return None;
        }
        let central = self.model(self.factors())?;
        line(&central, &central.turning(tip_speed)).map(|line| line.lowest)
    }

    pub(super) fn sides(&self) -> Vec<Sides<'_>> {
        let varying = Factor::ALL.into_iter().filter(|&factor| self.geometry().varies(factor));
        varying
            .filter_map(|factor| {
                let at = |by: f64| self.model(&self.along(factor, by));
                Some(Sides { factor, models: [at(-1.0)?, at(1.0)?] })
            })
            .collect()
    }
}

/// The point at a flow, or at choke where that is less. `below` is how far down a choked line the point lies, as
/// its efficiency over that at the choke end; `bottom` the efficiency that it has beyond choke.
fn near(
    model: &Model,
    turning: &Turning,
    choke: f64,
    flow: f64,
    below: f64,
    bottom: Option<f64>,
) -> Option<Point> {
    let point = model.at(turning, flow.min(choke))?;
    if let (Some(bottom), true) = (bottom, flow > choke) {
        return model.of(point.flow, point.work, point.efficiency.min(bottom));
    }
    if below == 0.0 { Some(point) } else { model.of(point.flow, point.work, point.efficiency * below) }
}

fn line_band(
    speed: CorrectedSpeed,
    tip_speed: f64,
    line: &Line,
    sides: &[Sides],
    bottom: Option<f64>,
) -> LineBand {
    let mut shifts = [Shifts::default(); super::line::ALONG + super::line::BELOW];
    let mut ends = [0.0; 2];
    for side in sides {
        let turnings = side.models.each_ref().map(|model| model.turning(tip_speed));
        let both = [0, 1].map(|i| side.models[i].ends(&turnings[i]));
        if let [Some(down), Some(up)] = both {
            ends[0] += (0.5 * (up.surge - down.surge) / line.ends.surge).powi(2);
            ends[1] += (0.5 * (up.choke - down.choke) / line.ends.choke).powi(2);
        }
        let choked = line.points()[super::line::ALONG - 1];
        for (node, point) in line.points().iter().enumerate() {
            let below = if node < super::line::ALONG { 0.0 } else { point.efficiency / choked.efficiency };
            let shifted = [0, 1].map(|i| {
                both[i].and_then(|ends| {
                    near(&side.models[i], &turnings[i], ends.choke, point.flow, below, bottom)
                })
            });
            shifts[node].add(side.factor, shifted);
        }
    }
    let [surge, choke] = ends.map(|sum| Fraction::from_si_unchecked(sum.sqrt()));
    let points = shifts[..line.points().len()].iter().map(Shifts::point).collect();
    LineBand { speed, choke, surge, points }
}

/// Half the difference between both sides of each factor.
#[derive(Clone, Copy, Default)]
struct Shifts {
    ratio: [f64; COUNT],
    squares: [f64; 2],
}

impl Shifts {
    fn add(&mut self, factor: Factor, [down, up]: [Option<Point>; 2]) {
        let (Some(down), Some(up)) = (down, up) else { return };
        self.ratio[factor as usize] = 0.5 * (up.ratio / down.ratio).ln();
        self.squares[0] += (0.5 * (up.efficiency - down.efficiency)).powi(2);
        self.squares[1] += (0.5 * (up.work / down.work).ln()).powi(2);
    }
    fn point(&self) -> PointBand {
        let ratio = self.ratio.iter().map(|part| part * part).sum::<f64>();
        let [ratio, efficiency, work] =
            [ratio, self.squares[0], self.squares[1]].map(|sum| Fraction::from_si_unchecked(sum.sqrt()));
        PointBand { ratio, efficiency, work, parts: self.ratio }
    }
}
