//! The air a power target needs.

use super::*;
use crate::fuel::Fuel;

/// The power asked for, at an engine speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Target {
    crank: Power,
    speed: ShaftSpeed,
}

impl Target {
    /// Power at the crankshaft.
    pub fn crank(power: Power, speed: ShaftSpeed) -> Self {
        Self { crank: power, speed }
    }
    /// Power at the wheels, with the driveline's efficiency stated.
    pub fn wheels(power: Power, driveline: Efficiency, speed: ShaftSpeed) -> Result<Self, FormulaError> {
        Ok(Self { crank: crank_power(power, driveline)?, speed })
    }
    /// Power at the crankshaft.
    pub fn power(&self) -> Power {
        self.crank
    }
    /// Engine speed.
    pub fn speed(&self) -> ShaftSpeed {
        self.speed
    }
}

/// How rich the engine runs, the pumping loss its turbine is expected to cost, and the water in its air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Running {
    lambda: Lambda,
    pumping: PressureDifference,
    humidity: HumidityRatio,
}

impl Running {
    /// Relative air-fuel ratio at full load, and exhaust manifold pressure above inlet manifold pressure. The
    /// air is dry.
    pub fn new(lambda: Lambda, pumping: PressureDifference) -> Self {
        Self { lambda, pumping, humidity: HumidityRatio::from_si_unchecked(0.0) }
    }
    /// Sets the humidity ratio of the air.
    pub fn humidity(mut self, humidity: HumidityRatio) -> Self {
        self.humidity = humidity;
        self
    }
}

/// What a power target asks of the air path.
#[derive(Clone, Debug, PartialEq)]
pub struct AirDemand {
    /// Crank power asked for.
    pub power: Power,
    /// Engine speed.
    pub speed: ShaftSpeed,
    /// Torque at that speed.
    pub torque: Torque,
    /// Brake mean effective pressure.
    pub brake_pressure: PressureDifference,
    /// Friction mean effective pressure.
    pub friction: PressureDifference,
    /// Pumping mean effective pressure assumed.
    pub pumping: PressureDifference,
    /// Indicated efficiency of the fuel's heating value.
    pub indicated_efficiency: Efficiency,
    /// Air flow, its water included.
    pub air: MassFlow,
    /// Fuel flow.
    pub fuel: MassFlow,
    /// Fuel per work at the crankshaft.
    pub consumption: SpecificFuelConsumption,
}

/// Air and fuel that a power target needs: brake power, friction and pumping give the indicated
/// power, the indicated efficiency the fuel, lambda the air.
///
/// ```
/// use shaftwork::prelude::*;
/// let engine = Engine::four_stroke(4, mm(84.0), mm(84.0), CompressionRatio::new(9.2)?)?;
/// let running = Running::new(Lambda::new(0.85)?, kpa_diff(20.0));
/// let air = air_demand(&engine, &Fuel::gasoline()?, running, Target::crank(kw(245.0), rpm(6700.0)))?;
/// // A pound of air a minute carries 9.5 to 10.5 crank horsepower (common practice, no source).
/// let per_pound = air.power.hp() / air.air.lb_per_min();
/// assert!((9.5..10.5).contains(&per_pound), "{per_pound}");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn air_demand(
    engine: &Engine,
    fuel: &Fuel,
    running: Running,
    target: Target,
) -> Result<AirDemand, FormulaError> {
    let (power, speed) = (target.power(), target.speed());
    let displacement = engine.displacement()?;
    let brake_pressure = mean_effective_pressure(power, displacement, speed)?;
    let friction =
        friction_pressure(mean_piston_speed(engine.stroke(), speed)?, brake_pressure, engine.bore())?;
    let share = (brake_pressure + friction + running.pumping) / brake_pressure;
    let indicated_efficiency =
        indicated_efficiency(engine.compression_ratio(), engine.work(), running.lambda)?;
    let ratio = fuel.stoichiometric_ratio()?;
    let dry =
        air_for_power(power * share, indicated_efficiency, fuel.heating_value(), running.lambda, ratio)?;
    let air = moist_air_flow(dry, running.humidity)?;
    let fuel = fuel_for_air(dry, running.lambda, ratio)?;
    Ok(AirDemand {
        power,
        speed,
        torque: power / speed,
        brake_pressure,
        friction,
        pumping: running.pumping,
        indicated_efficiency,
        air,
        fuel,
        consumption: SpecificFuelConsumption::from_si_unchecked(fuel.si() / power.si()),
    })
}
