//! A turbine's figures in one kind of number.

use super::{Turbine, nozzle_flow};
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
}

impl Turbine {
    pub(crate) fn parts<S: Scalar>(
        &self,
        peak_efficiency: S,
        g: &impl Giver<S>,
    ) -> Result<TurbineParts<S>, FormulaError> {
        Ok(TurbineParts { area: self.record(g)?, peak: peak_efficiency })
    }
}

impl<S: Scalar> TurbineParts<S> {
    pub fn flow(&self, _gas: &Gas, at: &TurbineState<S>) -> Result<S, FormulaError> {
        nozzle_flow::step(self.area, at.inlet_pressure, at.inlet_temperature, at.ratio, at.gamma, at.gas_constant)
    }
    pub fn efficiency(&self, _gas: &Gas, _at: &TurbineState<S>) -> Result<S, FormulaError> {
        Ok(self.peak)
    }
}
impl TurbineParts<f64> {
    pub fn lift<S: Scalar>(&self) -> TurbineParts<S> {
        TurbineParts { area: S::lit(self.area), peak: S::lit(self.peak) }
    }
}
