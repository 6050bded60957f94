//! The way of the air from the filter to the manifold at a flow, written once for every kind of number.

use super::installation::Installation;
use crate::charge::{
    Loss, compression_asked, cooled_temperature, inlet_pressure, inlet_temperature, loss_at_flow,
    required_pressure_ratio,
};
use crate::compressor::{InletState, density_ratio, outlet_temperature};
use crate::engine::{AirDemand, displacement, manifold_pressure, swept_volume};
use crate::formula::{FormulaError, Giver, Plain, Scalar};
use crate::gas::{Gas, density, humidity_ratio};
use crate::quantity::*;

/// What the way of the air consists of, at one engine speed.
#[derive(Clone, Copy)]
pub(crate) struct AirWay<S> {
    pub speed: S,
    pub bore: S,
    pub stroke: S,
    pub displacement: S,
    /// Ambient pressure and temperature.
    pub ambient: [S; 2],
    pub vapour: S,
    pub humidity: S,
    pub inlet_temperature: S,
    pub(super) breathing: S,
    pub(super) filter: [S; 2],
    pub(super) cooler: [S; 2],
    effectiveness: S,
}

/// Pressures on the way of the air.
#[derive(Clone, Copy)]
pub(crate) struct Path<S> {
    pub manifold: S,
    pub inlet_pressure: S,
    pub ratio: S,
}

impl<S: Scalar> AirWay<S> {
    pub fn new(
        installation: &Installation,
        air: &Gas,
        g: &impl Giver<S>,
        speed: S,
    ) -> Result<Self, FormulaError> {
        let Installation { engine, site, intake, cooler, .. } = installation;
        let (ambient, vapour) = site.record(g)?;
        g.gas(air, &[vapour]);
        let [bore, stroke] =
            [g.give("engine.bore", "", engine.bore()), g.give("engine.stroke", "", engine.stroke())];
        let cylinders =
            g.give("engine.cylinders", "", Count::from_si_unchecked(f64::from(engine.cylinders())));
        let heating = g.give("intake.heating", "", intake.heating);
        Ok(Self {
            speed,
            bore,
            stroke,
            displacement: displacement::step(cylinders, swept_volume::step(bore, stroke)?)?,
            inlet_temperature: inlet_temperature::step(ambient[1], heating)?,
            ambient,
            humidity: humidity_ratio::step(vapour)?,
            vapour,
            breathing: g.give("engine.volumetric_efficiency", "", engine.breathing()),
            filter: stated(g, ["intake.loss", "intake.at_flow"], &intake.loss),
            cooler: stated(g, ["cooler.loss", "cooler.at_flow"], cooler.loss()),
            effectiveness: g.give("cooler.effectiveness", "", cooler.effectiveness()),
        })
    }

    /// Manifold pressure, compressor inlet and pressure ratio for a flow and a manifold temperature.
    pub fn path(
        &self,
        air: &Gas,
        flow: S,
        manifold_temperature: S,
        breathing: S,
    ) -> Result<Path<S>, FormulaError> {
        let manifold = manifold_pressure::step(
            air,
            flow,
            manifold_temperature,
            breathing,
            self.displacement,
            self.speed,
        )?;
        let [filter_loss, cooler_loss] = self.losses(flow)?;
        let whole = required_pressure_ratio::step(manifold, cooler_loss, self.ambient[0], filter_loss)?;
        Ok(Path {
            manifold,
            inlet_pressure: inlet_pressure::step(self.ambient[0], filter_loss)?,
            ratio: compression_asked::step(whole)?,
        })
    }

    /// What filter and cooler lose at a flow. A loss that no later formula takes is refused here, where it is known
    /// which inputs it follows from.
    pub fn losses(&self, flow: S) -> Result<[S; 2], FormulaError> {
        let [cooler, filter] = [1, 3].map(|index| required_pressure_ratio::FORMULA.arguments[index].high);
        Ok([
            stretched(self.filter, flow, filter, ["intake.loss", "intake.at_flow"])?,
            stretched(self.cooler, flow, cooler, ["cooler.loss", "cooler.at_flow"])?,
        ])
    }

    /// Temperature at the compressor's outlet, without heat from the turbine.
    pub fn compressed(&self, air: &Gas, ratio: S, efficiency: S) -> Result<S, FormulaError> {
        // Without compression there is no work; the last bit of an end state must not make some.
        if ratio.value() <= 1.0 {
            Ok(self.inlet_temperature)
        } else {
            outlet_temperature::step(air, self.inlet_temperature, ratio, efficiency)
        }
    }

    /// Temperature after the cooler.
    pub fn cooled(&self, outlet: S) -> Result<S, FormulaError> {
        cooled_temperature::step(outlet, self.ambient[1], self.effectiveness)
    }
}

impl AirWay<f64> {
    pub fn lift<S: Scalar>(&self) -> AirWay<S> {
        let pair = |[a, b]: [f64; 2]| [S::lit(a), S::lit(b)];
        AirWay {
            speed: S::lit(self.speed),
            bore: S::lit(self.bore),
            stroke: S::lit(self.stroke),
            displacement: S::lit(self.displacement),
            ambient: pair(self.ambient),
            vapour: S::lit(self.vapour),
            humidity: S::lit(self.humidity),
            inlet_temperature: S::lit(self.inlet_temperature),
            breathing: S::lit(self.breathing),
            filter: pair(self.filter),
            cooler: pair(self.cooler),
            effectiveness: S::lit(self.effectiveness),
        }
    }
}

/// A loss as stated: the loss and its flow.
pub(super) fn stated<S>(g: &impl Giver<S>, keys: [&'static str; 2], loss: &Loss) -> [S; 2] {
    [g.give(keys[0], "", loss.stated()), g.give(keys[1], "", loss.stated_at())]
}

/// A stated loss at another flow.
fn stretched<S: Scalar>([loss, at]: [S; 2], flow: S, most: f64, keys: [&str; 2]) -> Result<S, FormulaError> {
    let there = loss_at_flow::step(loss, flow, at)?;
    if !S::JUDGED || there.value() <= most {
        return Ok(there);
    }
    let [loss, there] = [loss, there].map(|loss| PressureDifference::from_si_unchecked(loss.value()));
    let [at, flow] = [at, flow].map(|flow| MassFlow::from_si_unchecked(flow.value()));
    let why = format!("{loss} at {at} would be {there} at {flow}; check {}", keys.join(" and "));
    Err(FormulaError::NoResult { formula: loss_at_flow::FORMULA.name, why })
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
/// temperature stands still. The volumetric efficiency stands as stated: what the exhaust pressure does to it is not
/// known before there is a turbine.
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
    let way = AirWay::new(installation, &air, &Plain, demand.speed.si())?;
    let mut manifold_temperature = site.temperature().si();
    for _ in 0..100 {
        let path = way.path(&air, demand.air.si(), manifold_temperature, way.breathing)?;
        let outlet = way.compressed(&air, path.ratio, efficiency.si())?;
        let cooled = way.cooled(outlet)?;
        if (cooled - manifold_temperature).abs() < 1e-9 {
            let inlet = InletState {
                temperature: Temperature::from_si_unchecked(way.inlet_temperature),
                pressure: Pressure::from_si_unchecked(path.inlet_pressure),
            };
            let [ratio, manifold] = [path.ratio, path.manifold];
            let (ratio, manifold) =
                (PressureRatio::from_si_unchecked(ratio), Pressure::from_si_unchecked(manifold));
            let [outlet, manifold_temperature] =
                [outlet, manifold_temperature].map(Temperature::from_si_unchecked);
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
