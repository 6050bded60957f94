//! Air and exhaust after the heat that flows from the turbine through the housings into the compressed air.

use super::heat::Hot;
use crate::compressor::{heated_outlet, housing_heat};
use crate::formula::{FormulaError, Scalar};
use crate::gas::{Gas, heat_capacity};
use crate::turbine::exhaust_at_wheel;

/// What the heat through the housings leaves of air and exhaust.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Warmed<S> {
    /// Compressor outlet temperature.
    pub outlet: S,
    /// Heat that the air received; nothing where no conductance is stated.
    pub heat: Option<S>,
    /// The exhaust as the turbine wheel gets it.
    pub wheel: Hot<S>,
}

/// Compressor outlet temperature with the heat.
pub(super) fn heated<S: Scalar>(
    air: &Gas,
    conductance: S,
    [cold, exhaust]: [S; 2],
    flow: S,
) -> Result<S, FormulaError> {
    heated_outlet::step(cold, exhaust, conductance, flow, heat_capacity::step(air, cold)?)
}

/// What the heat leaves of air and exhaust.
pub(super) fn warmed<S: Scalar>(
    [air, exhaust]: [&Gas; 2],
    conductance: Option<S>,
    cold: S,
    [flow, exhaust_flow]: [S; 2],
    hot: &Hot<S>,
) -> Result<Warmed<S>, FormulaError> {
    let Some(conductance) = conductance else { return Ok(Warmed { outlet: cold, heat: None, wheel: *hot }) };
    let outlet = heated(air, conductance, [cold, hot.temperature], flow)?;
    let heat = housing_heat::step(air, flow, cold, outlet)?;
    let temperature = exhaust_at_wheel::step(exhaust, hot.temperature, heat, exhaust_flow)?;
    Ok(Warmed { outlet, heat: Some(heat), wheel: Hot { temperature, ..*hot } })
}
