//! A turbine's figures in one kind of number.

use super::capacity::{Capacity, CapacityParts, HeadParts};
use super::efficiency::CurveParts;
use super::*;
use crate::formula::{FormulaError, Giver, Scalar};
use crate::gas::Gas;

/// What the turbine sees.
#[derive(Clone, Copy)]
pub(crate) struct TurbineState<S> {
    pub inlet_pressure: S,
    pub inlet_temperature: S,
    pub ratio: S,
    pub shaft_speed: Option<S>,
    pub gamma: S,
    pub gas_constant: S,
}

/// A turbine's figures in one kind of number, handed over by a Giver.
#[derive(Clone, Copy)]
pub(crate) struct TurbineParts<S> {
    area: S,
    peak: S,
    capacity: CapacityParts<S>,
    turning: Option<TurningParts<S>>,
}

/// What makes flow and efficiency follow the shaft speed.
#[derive(Clone, Copy)]
struct TurningParts<S> {
    radius: S,
    head: HeadParts<S>,
    curve: CurveParts<S>,
}

impl Turbine {
    /// The figures, with the efficiency at its best or as stated.
    pub(crate) fn parts<S: Scalar>(
        &self,
        peak_efficiency: S,
        g: &impl Giver<S>,
    ) -> Result<TurbineParts<S>, FormulaError> {
        let turning = match self.wheel() {
            Some(wheel) => Some(TurningParts {
                radius: wheel_radius::step(g.give("turbine.wheel", "", wheel))?,
                head: self.head.parts(g),
                curve: self.curve.parts(g),
            }),
            None => None,
        };
        let capacity = match self.capacity {
            Capacity::Effective => CapacityParts::Effective,
            Capacity::SquareRoot(area, exponent) => CapacityParts::SquareRoot(
                g.give("turbine.root_area", "", area),
                g.give("turbine.root_exponent", "", exponent),
            ),
            Capacity::Choked(area) => CapacityParts::Choked(g.give("turbine.choked_area", "", area)),
        };
        Ok(TurbineParts { area: self.record(g)?, peak: peak_efficiency, capacity, turning })
    }
}

impl<S: Scalar> TurbineParts<S> {
    /// Flow through the wheel.
    pub fn flow(&self, _gas: &Gas, at: &TurbineState<S>) -> Result<S, FormulaError> {
        let TurbineState { inlet_pressure: p, inlet_temperature: t, ratio, gamma, gas_constant: r, .. } = *at;
        if let CapacityParts::SquareRoot(area, exponent) = self.capacity {
            return square_root_flow::step(area, exponent, p, t, ratio, r);
        }
        let (Some(turning), Some(speed)) = (&self.turning, at.shaft_speed) else {
            return nozzle_flow::step(self.area, p, t, ratio, gamma, r);
        };
        let head = &turning.head;
        let area = match self.capacity {
            CapacityParts::Choked(area) => area,
            _ => head.choked_area(self.area, gamma)?,
        };
        let mach = blade_mach::step(blade_speed::step(speed, turning.radius)?, t, gamma, r)?;
        let zero = zero_flow_ratio::step(head.coefficient, mach, gamma)?;
        swallowing_flow::step(area, head.exponent, p, t, ratio, zero, gamma, r)
    }

    /// Efficiency, total to static, with what the stated one includes.
    pub fn efficiency(&self, gas: &Gas, at: &TurbineState<S>) -> Result<S, FormulaError> {
        let (Some(turning), Some(speed)) = (&self.turning, at.shaft_speed) else {
            return Ok(self.peak);
        };
        let blade = blade_speed::step(speed, turning.radius)?;
        let ideal = ideal_velocity::step(gas, at.inlet_temperature, at.ratio)?;
        turning.curve.at(self.peak, blade_speed_ratio::step(blade, ideal)?)
    }
}

impl TurbineParts<f64> {
    /// The same figures as constants of another kind of number.
    pub fn lift<S: Scalar>(&self) -> TurbineParts<S> {
        let lit = S::lit;
        TurbineParts {
            area: lit(self.area),
            peak: lit(self.peak),
            capacity: match self.capacity {
                CapacityParts::Effective => CapacityParts::Effective,
                CapacityParts::SquareRoot(a, k) => CapacityParts::SquareRoot(lit(a), lit(k)),
                CapacityParts::Choked(a) => CapacityParts::Choked(lit(a)),
            },
            turning: self.turning.map(|turning| TurningParts {
                radius: lit(turning.radius),
                head: turning.head.lift(),
                curve: turning.curve.lift(),
            }),
        }
    }
}
