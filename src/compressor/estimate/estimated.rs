//! The estimate: points, speed lines and the map of a wheel.

use super::coefficients as k;
use super::defaults::{FROM_GEOMETRY, FROM_ONE_POINT, ModelSpread, SMALL, SMALL_PEAK};
use super::line::line;
use super::model::{Inlet, Measured, Model, Point};
use super::{
    EstimateError, EstimatedLine, EstimatedPoint, Factor, Factors, SizeCheck, WheelGeometry, choking_loss,
    clearance_loss, disc_friction, friction_loss, incidence_loss, leakage, loading_loss, mach_loss,
    mixing_loss,
};
use crate::compressor::{CompressorMap, LinePoint, Reference};
use crate::formula::Property;
use crate::gas::Gas;
use crate::quantity::units::mm;
use crate::quantity::*;

/// The smallest outer diameter among the published machines that the mean line was held against.
pub const SMALLEST_VALIDATED: Length = mm(400.0);
/// Speed lines of a map, as shares of the highest tip speed.
const SHARES: [f64; 8] = [0.40, 0.50, 0.60, 0.70, 0.78, 0.86, 0.93, 1.0];
/// Greatest step to a further line above those, as a share of the cautious tip speed.
const FURTHER: f64 = 0.07;
/// Tip speeds that the mean line takes, m/s.
pub(super) const TIP_SPEEDS: [f64; 2] = [80.0, 700.0];
/// The least share of choke flow that a point is computed at.
const LEAST_FLOW: f64 = 0.2;

/// A compressor's behaviour estimated from its geometry, at the reference conditions of its map.
///
/// ```
/// use shaftwork::prelude::*;
/// let wheel = WheelGeometry::builder(mm(46.4), mm(61.0)).exit_width(mm(4.0)).backsweep(deg(40.0)).build()?;
/// let estimate = wheel.estimate(Reference::new(kelvin(298.15), kpa(100.0))?)?;
/// let map = estimate.map()?;
/// assert!(map.provenance().starts_with("estimated from geometry"));
/// let point = estimate.at(corrected_rpm(120_000.0), corrected_kg_per_s(0.13))?;
/// assert!(point.ratio.si() > 1.8 && point.efficiency.si() < 0.85);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct MapEstimate {
    geometry: WheelGeometry,
    reference: Reference,
    air: Gas,
    factors: Factors,
    measured: Option<Measured>,
    /// Added to the spread of the losses, in quadrature.
    doubt: f64,
    /// What evidence has left of the factors' spread.
    weighed: Option<Box<Weighed>>,
}

/// The factors' spread after evidence: independent directions, each nearest to one factor, and what was weighed.
#[derive(Clone, Debug, PartialEq)]
struct Weighed {
    directions: [[f64; Factor::ALL.len()]; Factor::ALL.len()],
    evidence: Vec<String>,
}

impl WheelGeometry {
    /// The estimate at a map's reference conditions, its central values.
    ///
    /// # Errors
    ///
    /// [`EstimateError::NoLine`] where the wheel has no stable flow at some speed of its map.
    pub fn estimate(self, reference: Reference) -> Result<MapEstimate, EstimateError> {
        let mut estimate = MapEstimate {
            geometry: self,
            reference,
            air: Gas::dry_air(),
            factors: Factors::central(),
            measured: None,
            doubt: 0.0,
            weighed: None,
        };
        let lines = estimate.lines()?;
        if self.outer() <= SMALL {
            let all = lines.iter().flat_map(|line| &line.points).map(|point| point.efficiency.si());
            let peak = all.fold(0.0, f64::max);
            let off = (SMALL_PEAK[0] - peak).max(peak - SMALL_PEAK[1]).max(0.0);
            // From points of efficiency to ln[eta/(1 - eta)].
            estimate.doubt = off / (peak * (1.0 - peak));
        }
        Ok(estimate)
    }
}

impl MapEstimate {
    /// The wheel.
    pub fn geometry(&self) -> &WheelGeometry {
        &self.geometry
    }
    /// The reference conditions.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
    /// Whether published machines of this size were compared.
    pub fn size_check(&self) -> SizeCheck {
        if self.geometry.outer() < SMALLEST_VALIDATED {
            SizeCheck::NotAtThisSize
        } else {
            SizeCheck::Validated
        }
    }
    /// The same wheel with its uncertain factors moved; each map is one draw of the correlated uncertainty.
    #[must_use]
    pub fn with_factors(mut self, factors: Factors) -> Self {
        self.factors = factors;
        self
    }
    /// Corrected speed of a tip speed at the reference temperature.
    pub fn speed_of(&self, tip_speed: Velocity) -> CorrectedSpeed {
        CorrectedSpeed::from_si_unchecked(tip_speed.si() / self.radius())
    }

    /// What the mean line gives at a corrected speed and flow. Left of surge the value is only a continuation.
    ///
    /// # Errors
    ///
    /// [`EstimateError`]: a tip speed outside 80 to 700 m/s, or a flow outside 0.2 to 1 times choke flow.
    pub fn at(
        &self,
        speed: CorrectedSpeed,
        flow: CorrectedMassFlow,
    ) -> Result<EstimatedPoint, EstimateError> {
        let tip_speed = self.tip_speed(speed)?;
        let none = || EstimateError::NoLine { tip_speed: Velocity::from_si_unchecked(tip_speed) };
        let model = self.model(&self.factors).ok_or_else(none)?;
        let turning = model.turning(tip_speed);
        let choke = model.choke(&turning).ok_or_else(none)?;
        let range = [LEAST_FLOW * choke, choke];
        if !(range[0]..=range[1]).contains(&flow.si()) {
            let range = range.map(CorrectedMassFlow::from_si_unchecked);
            return Err(EstimateError::Flow { asked: flow, range });
        }
        let point = model.at(&turning, flow.si()).ok_or_else(none)?;
        Ok(shown(&point, tip_speed, choke))
    }

    /// The losses inside the wheel, disc friction and leakage at a corrected speed and flow, each by the formula that
    /// gives it, before a measured point scales the whole.
    ///
    /// # Errors
    ///
    /// As [`MapEstimate::at`].
    pub fn losses(
        &self,
        speed: CorrectedSpeed,
        flow: CorrectedMassFlow,
    ) -> Result<[(&'static str, SpecificEnergy); 9], EstimateError> {
        self.at(speed, flow)?;
        let tip_speed = self.tip_speed(speed)?;
        let none = || EstimateError::NoLine { tip_speed: Velocity::from_si_unchecked(tip_speed) };
        let model = self.model(&self.factors).ok_or_else(none)?;
        let raw = model.turning(tip_speed).at(flow.si()).ok_or_else(none)?;
        let formulas = [
            &incidence_loss::FORMULA,
            &loading_loss::FORMULA,
            &friction_loss::FORMULA,
            &clearance_loss::FORMULA,
            &mixing_loss::FORMULA,
            &choking_loss::FORMULA,
            &mach_loss::FORMULA,
            &disc_friction::FORMULA,
            &leakage::FORMULA,
        ];
        let mut losses = raw.losses.iter();
        Ok(formulas.map(|formula| {
            (formula.name, SpecificEnergy::from_si_unchecked(losses.next().copied().unwrap_or_default()))
        }))
    }

    /// The speed line at a corrected speed.
    ///
    /// # Errors
    ///
    /// [`EstimateError`]: a tip speed outside 80 to 700 m/s, or a wheel without a stable flow there.
    pub fn line(&self, speed: CorrectedSpeed) -> Result<EstimatedLine, EstimateError> {
        let tip_speed = self.tip_speed(speed)?;
        let none = || EstimateError::NoLine { tip_speed: Velocity::from_si_unchecked(tip_speed) };
        let model = self.model(&self.factors).ok_or_else(none)?;
        let line = line(&model, &model.turning(tip_speed)).ok_or_else(none)?;
        Ok(EstimatedLine {
            speed,
            tip_speed: Velocity::from_si_unchecked(tip_speed),
            surge: CorrectedMassFlow::from_si_unchecked(line.ends.surge),
            choke: CorrectedMassFlow::from_si_unchecked(line.ends.choke),
            points: line.points().iter().map(|point| shown(point, tip_speed, line.ends.choke)).collect(),
        })
    }

    /// The speeds of the map: eight up to the cautious tip speed of the material, further ones up to a maker's limit
    /// above it ([`WheelGeometry::highest_tip_speed`]).
    pub fn speeds(&self) -> Vec<CorrectedSpeed> {
        let (cautious, highest) =
            (self.geometry.material().cautious_tip_speed(), self.geometry.highest_tip_speed());
        let further = (highest.si() / cautious.si() - 1.0) / FURTHER;
        // A limit that lies on the highest line but for rounding asks for none.
        let count = (further - 1e-6).ceil().max(0.0);
        let step = (highest - cautious) / count.max(1.0);
        let above = (1..count as u32).map(|line| cautious + step * f64::from(line));
        let top = (count > 0.0).then_some(highest);
        let all = SHARES.map(|share| cautious * share).into_iter().chain(above).chain(top);
        all.map(|one| self.speed_of(one)).collect()
    }

    /// The speed lines of the map.
    ///
    /// # Errors
    ///
    /// As [`MapEstimate::line`].
    pub fn lines(&self) -> Result<Vec<EstimatedLine>, EstimateError> {
        self.speeds().into_iter().map(|speed| self.line(speed)).collect()
    }

    /// The map, as one read from a file, with its provenance.
    ///
    /// # Errors
    ///
    /// As [`MapEstimate::line`]; [`EstimateError::Lines`] where the lines do not make a map.
    pub fn map(&self) -> Result<CompressorMap, EstimateError> {
        self.map_at(&self.speeds())
    }

    /// The map at corrected speeds of one's choice, rising.
    ///
    /// # Errors
    ///
    /// As [`MapEstimate::map`].
    pub fn map_at(&self, speeds: &[CorrectedSpeed]) -> Result<CompressorMap, EstimateError> {
        let lines = speeds.iter().map(|&speed| self.line_points(speed));
        self.map_of(&lines.collect::<Result<Vec<_>, _>>()?)
    }

    pub(super) fn line_points(
        &self,
        speed: CorrectedSpeed,
    ) -> Result<(CorrectedSpeed, Vec<LinePoint>), EstimateError> {
        let points = self.line(speed)?.points;
        let points =
            points.iter().map(|p| LinePoint { flow: p.flow, ratio: p.ratio, efficiency: p.efficiency });
        Ok((speed, points.collect()))
    }

    pub(super) fn map_of(
        &self,
        lines: &[(CorrectedSpeed, Vec<LinePoint>)],
    ) -> Result<CompressorMap, EstimateError> {
        let (inducer, outer) = (self.geometry.inducer(), self.geometry.outer());
        let title = format!("wheel {inducer} in {outer}, estimated");
        CompressorMap::from_lines(title, self.provenance(), self.reference, lines)
            .map_err(EstimateError::Lines)
    }

    /// Where the map comes from, in words.
    pub fn provenance(&self) -> String {
        let assumed: Vec<&str> = self.geometry.assumed().map(|default| default.what).collect();
        let assumed = if assumed.is_empty() {
            "no dimension assumed".into()
        } else {
            format!("assumed {}", assumed.join(", "))
        };
        let scaled = if self.measured.is_some() { ", scaled to one measured point" } else { "" };
        let weighed = self.weighed.as_ref().map(|weighed| weighed.evidence.join(", "));
        let weighed = weighed.map_or(String::new(), |names| format!(", weighed with: {names}"));
        let vanes = if self.geometry.has_vanes() { ", vanes in the diffuser" } else { "" };
        format!("estimated from geometry{vanes}{scaled}{weighed}; {assumed}; {}", self.size_check().words())
    }

    pub(super) fn scaled_to(mut self, measured: Measured) -> Self {
        self.measured = Some(measured);
        self
    }
    pub(super) fn weighed(
        mut self,
        factors: Factors,
        active: &[Factor],
        root: &nalgebra::DMatrix<f64>,
        evidence: Vec<String>,
    ) -> Self {
        let mut directions = [[0.0; Factor::ALL.len()]; Factor::ALL.len()];
        for (i, &factor) in active.iter().enumerate() {
            for (j, &moved) in active.iter().enumerate() {
                directions[factor as usize][moved as usize] = root[(j, i)];
            }
        }
        self.factors = factors;
        self.weighed = Some(Box::new(Weighed { directions, evidence }));
        self
    }
    /// Whether evidence was weighed into it, or it was scaled to a point.
    pub(super) fn is_weighed(&self) -> bool {
        self.weighed.is_some() || self.measured.is_some()
    }
    /// The factors moved by so many standard deviations of what is left of one of them.
    pub(super) fn along(&self, factor: Factor, deviations: f64) -> Factors {
        self.moved(&self.factors, factor, deviations)
    }
    /// The same from other factors.
    pub(super) fn moved(&self, from: &Factors, factor: Factor, deviations: f64) -> Factors {
        match &self.weighed {
            None => from.with(factor, from.get(factor) + deviations),
            Some(weighed) => {
                let direction = &weighed.directions[factor as usize];
                let by = |one: Factor| from.get(one) + deviations * direction[one as usize];
                Factor::ALL.into_iter().fold(*from, |all, one| all.with(one, by(one)))
            }
        }
    }
    pub(super) fn factors(&self) -> &Factors {
        &self.factors
    }
    pub(super) fn air(&self) -> &Gas {
        &self.air
    }
    pub(super) fn radius(&self) -> f64 {
        self.geometry.outer().si() / 2.0
    }
    pub(super) fn spread(&self) -> ModelSpread {
        if self.measured.is_some() {
            // A point says nothing of the throat of vanes.
            let choke = if self.geometry.has_vanes() { FROM_GEOMETRY.choke } else { FROM_ONE_POINT.choke };
            ModelSpread { choke, ..FROM_ONE_POINT }
        } else {
            let slot = if self.geometry.has_slot() { k::SLOT_WORK_SIGMA } else { 0.0 };
            let (work, loss) = (FROM_GEOMETRY.work.hypot(slot), FROM_GEOMETRY.loss.hypot(self.doubt));
            ModelSpread { work, loss, ..FROM_GEOMETRY }
        }
    }
    pub(super) fn model(&self, factors: &Factors) -> Option<Model<'_>> {
        let inlet = Inlet {
            air: &self.air,
            t01: self.reference.temperature().si(),
            p01: self.reference.pressure().si(),
        };
        Model::new(&self.geometry, inlet, &self.spread(), factors, self.measured.as_ref())
    }
    pub(super) fn tip_speed(&self, speed: CorrectedSpeed) -> Result<f64, EstimateError> {
        let tip_speed = speed.si() * self.radius();
        if (TIP_SPEEDS[0]..=TIP_SPEEDS[1]).contains(&tip_speed) {
            Ok(tip_speed)
        } else {
            let asked = Velocity::from_si_unchecked(tip_speed);
            Err(EstimateError::TipSpeed { asked, range: TIP_SPEEDS.map(Velocity::from_si_unchecked) })
        }
    }
    /// Enthalpy of the air over that at the reference temperature.
    pub(super) fn rise_to(&self, temperature: f64) -> f64 {
        self.air.h().value(temperature) - self.air.h().value(self.reference.temperature().si())
    }
}

fn shown(point: &Point, tip_speed: f64, choke: f64) -> EstimatedPoint {
    EstimatedPoint {
        flow: CorrectedMassFlow::from_si_unchecked(point.flow),
        ratio: PressureRatio::from_si_unchecked(point.ratio),
        efficiency: Efficiency::from_si_unchecked(point.efficiency),
        work: SpecificEnergy::from_si_unchecked(point.work),
        work_coefficient: Fraction::from_si_unchecked(point.work / (tip_speed * tip_speed)),
        choke_share: Fraction::from_si_unchecked(point.flow / choke),
    }
}
