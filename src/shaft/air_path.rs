//! The way of the air from the filter to the manifold at a flow.

use super::installation::Installation;
use crate::charge::required_pressure_ratio;
use crate::compressor::{InletState, density_ratio, outlet_temperature};
use crate::engine::{AirDemand, manifold_pressure};
use crate::formula::FormulaError;
use crate::gas::density;
use crate::quantity::*;

/// Manifold pressure, pressure ratio and compressor inlet for a flow and a manifold temperature.
pub(super) struct AirPath {
    pub manifold: Pressure,
    pub ratio: PressureRatio,
    pub inlet: InletState,
}

pub(super) fn air_path(
    installation: &Installation,
    flow: MassFlow,
    speed: ShaftSpeed,
    manifold_temperature: Temperature,
) -> Result<AirPath, FormulaError> {
    let engine = &installation.engine;
    let (air, site) = (installation.air()?, &installation.site);
    let manifold = manifold_pressure(
        &air,
        flow,
        manifold_temperature,
        engine.breathing(),
        engine.displacement()?,
        speed,
    )?;
    let filter_loss = installation.intake.loss.at(flow)?;
    let cooler_loss = installation.cooler.loss().at(flow)?;
    let ratio = required_pressure_ratio(manifold, cooler_loss, site.pressure(), filter_loss)?;
    // A ratio below one means that the engine breathes this flow without boost: the map ends there.
    let ratio = PressureRatio::from_si_unchecked(ratio.si().max(1.0));
    let inlet =
        InletState { temperature: installation.inlet_temperature(), pressure: site.pressure() - filter_loss };
    Ok(AirPath { manifold, ratio, inlet })
}

/// The boost that an air demand needs, before a compressor is chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoostDemand {
    /// Compressor inlet, station 1.
    pub inlet: InletState,
    /// Compressor pressure ratio.
    pub ratio: PressureRatio,
    /// Compressor outlet temperature, station 2.
    pub outlet_temperature: Temperature,
    /// Density ratio over the compressor.
    pub density_ratio: DensityRatio,
    /// Manifold pressure, station 2c.
    pub manifold_pressure: Pressure,
    /// Manifold temperature.
    pub manifold_temperature: Temperature,
    /// Manifold density.
    pub manifold_density: Density,
    /// Manifold pressure above the barometer.
    pub boost: GaugePressure,
}

/// The boost that an air demand needs with a compressor of an assumed efficiency: pressure ratio, outlet
/// temperature and manifold state, which depend on each other, iterated until the manifold
/// temperature stands still.
///
/// # Errors
///
/// [`FormulaError`] from the formulas used, or `NoResult` where the state does not settle.
pub fn boost_demand(
    installation: &Installation,
    demand: &AirDemand,
    efficiency: Efficiency,
) -> Result<BoostDemand, FormulaError> {
    let air = installation.air()?;
    let site = &installation.site;
    let mut manifold_temperature = site.temperature();
    for _ in 0..100 {
        let AirPath { manifold, ratio, inlet } =
            air_path(installation, demand.air, demand.speed, manifold_temperature)?;
        let outlet = outlet_temperature(&air, inlet.temperature, ratio, efficiency)?;
        let cooled = installation.cooler.outlet(outlet, site.temperature())?;
        if (cooled - manifold_temperature).si().abs() < 1e-9 {
            return Ok(BoostDemand {
                inlet,
                ratio,
                outlet_temperature: outlet,
                density_ratio: density_ratio(ratio, inlet.temperature, outlet)?,
                manifold_pressure: manifold,
                manifold_temperature,
                manifold_density: density(&air, manifold, manifold_temperature)?,
                boost: manifold.above(site.pressure()),
            });
        }
        manifold_temperature = cooled;
    }
    let why = "the manifold temperature does not settle; is the cooler's effectiveness near zero?".into();
    Err(FormulaError::NoResult { formula: "shaft::boost_demand", why })
}
