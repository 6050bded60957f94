//! What the turbine must do for the compressor, and what passes the wastegate meanwhile.

use super::chain::{Setting, TurbineSide};
use crate::formula::{FormulaError, checked};
use crate::gas::{Gas, heat_capacity_ratio};
use crate::quantity::*;
use crate::solve::root;
use crate::turbine::{
    expansion_ratio, expansion_work, inlet_pressure, nozzle_flow, power, wastegate_share, work_asked,
};

/// The turbine side of an operating point for one effective area.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drive {
    /// Expansion ratio with the wastegate regulating.
    pub ratio: ExpansionRatio,
    /// Turbine inlet pressure.
    pub pressure: Pressure,
    /// Turbine inlet temperature.
    pub temperature: Temperature,
    /// The function that gave that temperature, or that it was given.
    pub temperature_by: &'static str,
    /// Share of the exhaust that goes through the wastegate. Below zero the turbine is too large: even
    /// with the wastegate shut the exhaust does not drive the compressor.
    pub wastegate: Fraction,
    /// Turbine efficiency there, total to static.
    pub efficiency: Efficiency,
    /// The function that gave that efficiency, or that it was asked for.
    pub efficiency_by: &'static str,
    /// The least expansion ratio that could do it: all the exhaust through the turbine. Pulses give
    /// what they give at the ratio in use.
    pub least: ExpansionRatio,
}

impl Drive {
    /// The turbine side of a chain at an expansion ratio, in quantities.
    pub(super) fn of(setting: &Setting<f64>, ratio: f64, side: &TurbineSide<f64>) -> Self {
        Self {
            ratio: ExpansionRatio::from_si_unchecked(ratio),
            pressure: Pressure::from_si_unchecked(side.pressure),
            temperature: Temperature::from_si_unchecked(side.temperature),
            temperature_by: setting.heat.by(),
            efficiency: Efficiency::from_si_unchecked(side.efficiency),
            efficiency_by: setting.turbine.efficiency_by(),
            wastegate: Fraction::from_si_unchecked(side.wastegate),
            least: ExpansionRatio::from_si_unchecked(side.least.unwrap_or(1.0)),
        }
    }
}

/// Exhaust as the turbine receives it.
#[derive(Clone, Copy, Debug)]
struct ExhaustFlow<'a> {
    pub gas: &'a Gas,
    pub flow: MassFlow,
    pub temperature: Temperature,
    pub outlet: Pressure,
}

/// Solves the power balance of a turbine that is a plain nozzle of given effective area and drives a compressor.
///
/// Find the expansion ratio at which the flow that the area passes, times the work of that expansion,
/// equals the compressor's power; what the engine delivers beyond that flow goes through the
/// wastegate. Both factors rise with the ratio, so the root is unique; it is bracketed between 1 and
/// 12 and found to 1e-12.
///
/// # Errors
///
/// [`FormulaError::NoResult`] where no ratio below 12 drives the compressor.
pub fn turbine_drive(
    gas: &Gas,
    exhaust: MassFlow,
    inlet: Temperature,
    outlet: Pressure,
    area: Area,
    efficiency: Efficiency,
    compressor: Power,
) -> Result<Drive, FormulaError> {
    let flow = ExhaustFlow { gas, flow: exhaust, temperature: inlet, outlet };
    flow.drive(area, efficiency, compressor)
}

const MOST_RATIO: f64 = 12.0;

impl ExhaustFlow<'_> {
    pub fn drive(
        &self,
        area: Area,
        efficiency: Efficiency,
        compressor: Power,
    ) -> Result<Drive, FormulaError> {
        let name = "shaft::turbine_drive";
        checked(name, "compressor", "compressor power", compressor, 0.0, 1e6)?;
        checked(name, "exhaust", "exhaust flow", self.flow, 1e-5, 50.0)?;
        // Both formulas judge their inputs once at the door; inside the loop their plain forms run.
        let gamma = heat_capacity_ratio(self.gas, self.temperature)?;
        let start = ExpansionRatio::from_si_unchecked(1.5);
        nozzle_flow(area, self.outlet * 1.5, self.temperature, start, gamma, self.gas.gas_constant())?;
        expansion_work(self.gas, self.temperature, start, efficiency)?;
        let passed = |ratio: f64| {
            let (p, t, r) = (ratio * self.outlet.si(), self.temperature.si(), self.gas.r());
            nozzle_flow::of(area.si(), p, t, ratio, gamma.si(), r)
        };
        let work = |ratio: f64| expansion_work::of(self.gas, self.temperature.si(), ratio, efficiency.si());
        let surplus = |ratio: f64| power::of(passed(ratio), work(ratio)) - compressor.si();
        let ratio = root(surplus, [1.0, MOST_RATIO], 1e-12).map_err(|_| FormulaError::NoResult {
            formula: "shaft::turbine_drive",
            why: format!(
                "a turbine of {area} does not deliver {compressor} even at an expansion ratio of {MOST_RATIO}; \
                 it is too small, or the pressure ratio asked for is too high"
            ),
        })?;
        let each = work_asked(compressor, self.flow)?;
        Ok(Drive {
            ratio: ExpansionRatio::from_si_unchecked(ratio),
            temperature: self.temperature,
            temperature_by: "asked for",
            efficiency,
            efficiency_by: "asked for",
            pressure: inlet_pressure(self.outlet, ExpansionRatio::from_si_unchecked(ratio))?,
            wastegate: wastegate_share(MassFlow::from_si_unchecked(passed(ratio)), self.flow)?,
            least: if each.si() > 0.0 {
                expansion_ratio(self.gas, self.temperature, each, efficiency)?
            } else {
                ExpansionRatio::from_si_unchecked(1.0)
            },
        })
    }
}
