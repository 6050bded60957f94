//! The work of a wheel at flows that somebody else stated, with its spread: what turns their pressure ratio into an efficiency.

use super::model::Model;
use super::{EstimateError, MapEstimate};
use crate::quantity::*;

/// Shares of choke flow: up to the second the mean line's work is taken, beyond it the straight line through both. Near choke
/// the losses of the mean line eat up its density and with it its work, at a flow that a stated line may pass easily.
const STRAIGHT: [f64; 2] = [0.92, 0.97];
/// Half the difference of ln of the flow that gives the slope of the work over it.
const FLOW_STEP: f64 = 0.005;

/// Work at a flow.
#[derive(Clone, Copy, Debug)]
pub(in crate::compressor) struct KnownWork {
    /// J/kg.
    pub work: f64,
    /// One standard deviation of its logarithm.
    pub sigma: f64,
    /// Slope of its logarithm over that of the flow.
    pub by_flow: f64,
}

impl Model<'_> {
    /// ln of the work at flows of a tip speed; past choke it goes on straight.
    fn ln_work(&self, tip_speed: f64, flows: &[f64]) -> Option<Vec<f64>> {
        let turning = self.turning(tip_speed);
        let choke = self.choke(&turning)?;
        let at = |flow: f64| self.at(&turning, flow).map(|point| point.work);
        let [before, last] = STRAIGHT.map(|share| share * choke);
        let [low, high] = [at(before)?, at(last)?];
        let work = |&flow: &f64| {
            let work =
                if flow <= last { at(flow)? } else { high + (high - low) * (flow - last) / (last - before) };
            (work > 0.0).then(|| work.ln())
        };
        flows.iter().map(work).collect()
    }
}

impl MapEstimate {
    /// The work at flows of one speed, in their order, with what its factors leave open.
    pub(in crate::compressor) fn work_known(
        &self,
        speed: CorrectedSpeed,
        flows: &[f64],
    ) -> Result<Vec<KnownWork>, EstimateError> {
        let tip_speed = self.tip_speed(speed)?;
        let none = || EstimateError::NoLine { tip_speed: Velocity::from_si_unchecked(tip_speed) };
        let central = self.model(self.factors()).ok_or_else(none)?;
        let moved = |by: f64| flows.iter().map(|flow| flow * by.exp()).collect::<Vec<f64>>();
        let works = central.ln_work(tip_speed, flows).ok_or_else(none)?;
        let ends = [-FLOW_STEP, FLOW_STEP].map(|by| central.ln_work(tip_speed, &moved(by)));
        let [Some(down), Some(up)] = ends else { return Err(none()) };
        let mut squares = vec![0.0; flows.len()];
        for sides in self.sides() {
            let [down, up] = sides.models.each_ref().map(|model| model.ln_work(tip_speed, flows));
            let (Some(down), Some(up)) = (down, up) else { return Err(none()) };
            for ((square, down), up) in squares.iter_mut().zip(down).zip(up) {
                *square += (0.5 * (up - down)).powi(2);
            }
        }
        let known = |(((work, square), down), up): (((&f64, &f64), &f64), &f64)| KnownWork {
            work: work.exp(),
            sigma: square.sqrt(),
            by_flow: (up - down) / (2.0 * FLOW_STEP),
        };
        Ok(works.iter().zip(&squares).zip(&down).zip(&up).map(known).collect())
    }
}
