//! Everything around the turbocharger.

use super::middle_speed;
use crate::charge::{ChargeCooler, Loss};
use crate::engine::{Engine, Target, crank_power};
use crate::formula::{FormulaError, checked};
use crate::fuel::Fuel;
use crate::gas::{Gas, humidity_ratio};
use crate::quantity::units::{deg_c, kelvin_diff};
use crate::quantity::*;
use crate::site::Site;
use crate::supply::Injectors;
use crate::turbine::TurbineEfficiency;

/// The air path before the compressor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Intake {
    /// Pressure loss of filter and pipe.
    pub loss: Loss,
    /// How much hotter than the ambient air the compressor breathes.
    pub heating: TemperatureDifference,
}

/// The exhaust side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exhaust {
    /// Turbine inlet temperature.
    pub temperature: Temperature,
    /// Pressure loss after the turbine at an exhaust flow.
    pub back_pressure: Loss,
    /// Turbine efficiency.
    pub efficiency: TurbineEfficiency,
    /// The expansion ratio not to be exceeded.
    pub most_expansion: ExpansionRatio,
}

/// Turbine inlet temperature, where none is given: a wide band of 75 K from memory.
pub const DEFAULT_EXHAUST_TEMPERATURE: Temperature = deg_c(900.0);
/// Turbine efficiency, total to static with bearings, where none is given: from memory 0.60 to 0.72.
pub const DEFAULT_TURBINE_EFFICIENCY: f64 = 0.66;
/// Expansion ratio beyond which small radial turbines are choked and lose efficiency: from memory
/// 2.5 to 3.5.
pub const DEFAULT_MOST_EXPANSION: f64 = 3.0;
/// Heating of the air before the compressor, where none is given.
pub const DEFAULT_INTAKE_HEATING: TemperatureDifference = kelvin_diff(5.0);

/// A fuel, how rich it is burned, and the boost its user allows it.
#[derive(Clone, Debug, PartialEq)]
pub struct FuelPlan {
    /// The fuel.
    pub fuel: Fuel,
    /// Relative air-fuel ratio at full load.
    pub lambda: Lambda,
    /// The most boost that the user allows on this fuel.
    pub most_boost: Option<GaugePressure>,
}

/// A power to be held over a band of engine speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerBand {
    power: Power,
    at_wheels: Option<(Power, Efficiency)>,
    from: ShaftSpeed,
    to: ShaftSpeed,
}

impl PowerBand {
    /// Crank power held from one engine speed to another.
    pub fn crank(power: Power, from: ShaftSpeed, to: ShaftSpeed) -> Result<Self, FormulaError> {
        const NAME: &str = "shaft::PowerBand::crank";
        let power = checked(NAME, "power", "power target", power, 1e3, 5e6)?;
        let from = checked(NAME, "from", "lower engine speed of the target", from, 50.0, 2500.0)?;
        let to = checked(NAME, "to", "upper engine speed of the target", to, from.si(), 2500.0)?;
        Ok(Self { power, at_wheels: None, from, to })
    }
    /// Power at the wheels, with the driveline's efficiency stated.
    pub fn wheels(
        power: Power,
        driveline: Efficiency,
        from: ShaftSpeed,
        to: ShaftSpeed,
    ) -> Result<Self, FormulaError> {
        let band = Self::crank(crank_power(power, driveline)?, from, to)?;
        Ok(Self { at_wheels: Some((power, driveline)), ..band })
    }
    /// The power at the wheels and the driveline's efficiency, where the target was given so.
    pub fn at_wheels(&self) -> Option<(Power, Efficiency)> {
        self.at_wheels
    }
    /// Crank power.
    pub fn power(&self) -> Power {
        self.power
    }
    /// The ends of the band.
    pub fn ends(&self) -> [ShaftSpeed; 2] {
        [self.from, self.to]
    }
    /// The engine speeds that are looked at: both ends and the middle.
    pub fn speeds(&self) -> Vec<ShaftSpeed> {
        if self.from == self.to { vec![self.from] } else { vec![self.from, self.middle(), self.to] }
    }
    pub(crate) fn middle(&self) -> ShaftSpeed {
        ShaftSpeed::from_si_unchecked(middle_speed::of(self.from.si(), self.to.si()))
    }
    /// The target at each of those speeds.
    pub fn targets(&self) -> Vec<Target> {
        self.speeds().into_iter().map(|speed| Target::crank(self.power, speed)).collect()
    }
}

/// Engine, site and everything else that stays when the turbocharger changes.
#[derive(Clone, Debug, PartialEq)]
pub struct Installation {
    /// The engine.
    pub engine: Engine,
    /// The site.
    pub site: Site,
    /// The air path before the compressor.
    pub intake: Intake,
    /// The charge cooler.
    pub cooler: ChargeCooler,
    /// The exhaust side.
    pub exhaust: Exhaust,
    /// The injectors.
    pub injectors: Injectors,
}

impl Installation {
    /// Temperature at the compressor inlet.
    pub fn inlet_temperature(&self) -> Temperature {
        self.site.temperature() + self.intake.heating
    }
    /// The gas the compressor works on: the site's air with its water.
    pub fn air(&self) -> Result<Gas, FormulaError> {
        self.site.air()
    }
    /// The humidity ratio of that air.
    pub fn humidity(&self) -> Result<HumidityRatio, FormulaError> {
        humidity_ratio(self.site.vapour())
    }
}
