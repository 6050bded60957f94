//! The mean line of one wheel with its scales: efficiency and work at a speed and flow, surge and choke.

use super::coefficients as k;
use super::defaults::ModelSpread;
use super::shape::Shape;
use super::stage::{Flow, Stall, Turning};
use super::{Factor, Factors, WheelGeometry};
use crate::formula::Property;
use crate::gas::Gas;
use crate::solve::root;

/// A measured point in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Measured {
    pub tip_speed: f64,
    pub flow: f64,
    pub work: f64,
    pub efficiency: f64,
}

/// Air of one total state.
#[derive(Clone, Copy)]
pub(super) struct Inlet<'a> {
    pub air: &'a Gas,
    pub t01: f64,
    pub p01: f64,
}

/// The mean line with everything that does not change from point to point.
pub(super) struct Model<'a> {
    inlet: Inlet<'a>,
    shape: Shape,
    work: f64,
    odds: f64,
    /// What the work of a slot's air leaves of the efficiency.
    slot_loss: f64,
    /// Where surge is put.
    stall: Stall,
    /// Part of the surge flow that a recirculation slot leaves.
    slot: Option<f64>,
}

/// One scaled point.
#[derive(Clone, Copy, Debug)]
pub(super) struct Point {
    pub flow: f64,
    pub work: f64,
    pub ratio: f64,
    pub efficiency: f64,
}

/// The ends of a speed line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ends {
    pub surge: f64,
    pub choke: f64,
}

/// The least share of choke flow that surge is put at, and the most, without and with vanes.
const SURGE_SHARE: [f64; 2] = [0.25, 0.92];
const VANED_SURGE_SHARE: [f64; 2] = [0.25, 0.96];

impl<'a> Model<'a> {
    /// `None` where a measured point was given and this wheel cannot pass it.
    pub fn new(
        geometry: &WheelGeometry,
        inlet: Inlet<'a>,
        spread: &ModelSpread,
        factors: &Factors,
        measured: Option<&Measured>,
    ) -> Option<Self> {
        let mut dimensions = geometry.dimensions(factors);
        let areas = (spread.choke * factors.get(Factor::Choke)).exp();
        dimensions.throat *= areas;
        if let Some(vanes) = &mut dimensions.vanes {
            vanes.throat *= areas;
        }
        let past = k::PAST_REVERSAL + spread.surge * factors.get(Factor::Surge);
        let mut model = Self {
            inlet,
            shape: Shape::new(dimensions),
            work: 1.0,
            odds: 1.0,
            slot_loss: 1.0,
            stall: Stall {
                past_reversal: past.to_radians(),
                diffusion: k::VANE_DIFFUSION + k::VANE_DIFFUSION_SIGMA * factors.get(Factor::Surge),
            },
            slot: geometry
                .has_slot()
                .then(|| k::SLOT_SURGE * (-k::SLOT_SURGE_SIGMA * factors.get(Factor::Surge)).exp()),
        };
        model.shape.exit_area *= areas;
        if let Some(point) = measured {
            model.scale_to(point)?;
        } else if geometry.has_slot() {
            // The air that goes round costs work and gains no pressure.
            model.work *= 1.0 + k::SLOT_WORK;
            model.slot_loss = 1.0 / (1.0 + k::SLOT_WORK);
        }
        model.work *= (spread.work * factors.get(Factor::Work)).exp();
        model.odds *= (-spread.loss * factors.get(Factor::Loss)).exp();
        Some(model)
    }

    /// Takes work and efficiency from a measured point; a flow that the throat would not pass widens it.
    fn scale_to(&mut self, point: &Measured) -> Option<()> {
        let choke = self.turning(point.tip_speed).choke;
        let share = point.flow / (MEASURED_SHARE * choke);
        if share > 1.0 {
            self.shape.d.throat *= share;
        }
        if self.shape.d.vanes.is_some() {
            let limit = self.turning(point.tip_speed).limit()?;
            let share = point.flow / (MEASURED_SHARE * limit);
            if let (Some(vanes), true) = (&mut self.shape.d.vanes, share > 1.0) {
                // A throat that passes more is passed at less pressure: the choke flow grows by less than the area.
                vanes.throat *= share.powf(WIDENED);
            }
        }
        let raw = self.turning(point.tip_speed).at(point.flow)?;
        (self.work, self.odds) = (point.work / raw.work, odds(point.efficiency) / odds(raw.efficiency));
        (self.work.is_finite() && self.odds.is_finite() && self.odds > 0.0).then_some(())
    }

    pub fn work_scale(&self) -> f64 {
        self.work
    }

    pub fn turning(&self, tip_speed: f64) -> Turning<'_> {
        Turning::new(&self.shape, self.inlet.air, self.inlet.t01, self.inlet.p01, tip_speed)
    }

    /// A point of a turning wheel, scaled; `None` where something chokes.
    pub fn at(&self, turning: &Turning, flow: f64) -> Option<Point> {
        turning.at(flow).and_then(|raw| self.scaled(flow, &raw))
    }

    fn scaled(&self, flow: f64, raw: &Flow) -> Option<Point> {
        if !(raw.efficiency > 0.0 && raw.efficiency < 1.0 && raw.work > 0.0) {
            return None;
        }
        let work = raw.work * self.work;
        let odds = odds(raw.efficiency) * self.odds;
        self.of(flow, work, odds / (1.0 + odds) * self.slot_loss)
    }

    /// The pressure ratio that work and efficiency give.
    pub fn of(&self, flow: f64, work: f64, efficiency: f64) -> Option<Point> {
        let Inlet { air, t01, .. } = self.inlet;
        let ideal = air.h().invert(air.h().value(t01) + efficiency * work);
        let ratio = ((air.s().value(ideal) - air.s().value(t01)) / air.r()).exp();
        (ratio.is_finite() && ratio > 1.0).then_some(Point { flow, work, ratio, efficiency })
    }

    /// Choke flow of a speed line; `None` where the wheel compresses nothing at this speed.
    pub fn choke(&self, turning: &Turning) -> Option<f64> {
        // How far a flow is from eating up the efficiency; where the mean line has no result, far beyond it. That
        // is the larger miss, so that the root lies on the side that works.
        let left =
            |flow: f64| self.at(turning, flow).map_or(-1.0, |point| point.efficiency - LEAST_EFFICIENCY);
        let top = turning.limit()?;
        if left(top) > 0.0 {
            return Some(top);
        }
        // The exit or the diffuser chokes first, or losses have eaten the work.
        let low = LOW_SHARES.iter().map(|share| share * top).find(|&flow| left(flow) > 0.0)?;
        root(left, [low, top], RESOLVED * top).ok()
    }

    /// Surge and choke of a speed line.
    pub fn ends(&self, turning: &Turning) -> Option<Ends> {
        let choke = self.choke(turning)?;
        let shares = if self.shape.d.vanes.is_some() { VANED_SURGE_SHARE } else { SURGE_SHARE };
        let [least, most] = shares.map(|share| share * choke);
        // Positive where the diffuser is stalled; where the mean line has no result it counts as such.
        let beyond = |flow: f64| turning.beyond_stall(flow, &self.stall).unwrap_or(1.0);
        let mut surge = if beyond(least) <= 0.0 {
            least
        } else if beyond(most) >= 0.0 {
            most
        } else {
            root(beyond, [least, most], RESOLVED * choke).unwrap_or(most)
        };
        if let Some(part) = self.slot {
            surge = (surge * part).clamp(least, most);
        }
        Some(Ends { surge, choke })
    }
}

/// To what share of choke flow both ends of a line are resolved.
const RESOLVED: f64 = 1e-5;
/// Shares of the throat's choke flow at which a working flow is looked for where the throat is not reached.
const LOW_SHARES: [f64; 6] = [0.7, 0.5, 0.35, 0.25, 0.15, 0.08];
/// Efficiency below which a line ends before its throat chokes.
pub(super) const LEAST_EFFICIENCY: f64 = 0.3;
/// Power of the flow by which a vanes' throat is widened for a measured flow.
const WIDENED: f64 = 1.5;
/// A measured flow is taken as no more than this share of choke flow.
const MEASURED_SHARE: f64 = 0.98;

fn odds(efficiency: f64) -> f64 {
    efficiency / (1.0 - efficiency)
}
