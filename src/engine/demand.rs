//! The air a power target needs.

use super::*;
use crate::formula::Scalar;
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
    let figures = Figures::of(engine, fuel, (running.lambda, running.humidity), target.speed())?;
    Ok(AirDemand::of(target, running.pumping, &demand(&figures, target.power().si(), running.pumping.si())?))
}

impl AirDemand {
    pub(crate) fn of(target: Target, pumping: PressureDifference, found: &Demand<f64>) -> Self {
        Self {
            power: target.power(),
            speed: target.speed(),
            torque: Torque::from_si_unchecked(found.torque),
            brake_pressure: PressureDifference::from_si_unchecked(found.brake_pressure),
            friction: PressureDifference::from_si_unchecked(found.friction),
            pumping,
            indicated_efficiency: Efficiency::from_si_unchecked(found.indicated_efficiency),
            air: MassFlow::from_si_unchecked(found.air),
            fuel: MassFlow::from_si_unchecked(found.fuel),
            consumption: SpecificFuelConsumption::from_si_unchecked(found.consumption),
        }
    }
}

/// Engine and fuel at an engine speed, in SI units.
#[derive(Clone, Copy)]
pub(crate) struct Figures<S> {
    pub speed: S,
    pub displacement: S,
    pub bore: S,
    pub stroke: S,
    pub compression: S,
    pub work: S,
    pub lambda: S,
    pub heating_value: S,
    pub ratio: S,
    pub humidity: S,
}

/// What it needs.
#[derive(Clone, Copy)]
pub(crate) struct Demand<S> {
    pub torque: S,
    pub brake_pressure: S,
    pub friction: S,
    pub indicated_efficiency: S,
    pub air: S,
    pub fuel: S,
    pub consumption: S,
}

/// The air demand in any kind of number: the way that is computed is the way that is recorded.
pub(crate) fn demand<S: Scalar>(
    figures: &Figures<S>,
    power: S,
    pumping: S,
) -> Result<Demand<S>, FormulaError> {
    let f = figures;
    let brake_pressure = mean_effective_pressure::step(power, f.displacement, f.speed)?;
    let piston_speed = mean_piston_speed::step(f.stroke, f.speed)?;
    let friction = friction_pressure::step(piston_speed, brake_pressure, f.bore)?;
    let indicated_efficiency = indicated_efficiency::step(f.compression, f.work, f.lambda)?;
    let indicated = indicated_power::step(power, brake_pressure, friction, pumping)?;
    let dry = air_for_power::step(indicated, indicated_efficiency, f.heating_value, f.lambda, f.ratio)?;
    let fuel = fuel_for_air::step(dry, f.lambda, f.ratio)?;
    Ok(Demand {
        torque: torque::step(power, f.speed)?,
        brake_pressure,
        friction,
        indicated_efficiency,
        air: moist_air_flow::step(dry, f.humidity)?,
        fuel,
        consumption: specific_consumption::step(fuel, power)?,
    })
}

/// What a fuel flow comes to at the crankshaft.
#[derive(Clone, Copy)]
pub(crate) struct Yield<S> {
    pub brake_pressure: S,
    pub power: S,
}

impl<S: Scalar> Figures<S> {
    /// The fuel that goes with a flow of moist air.
    pub fn fuel_of_air(&self, air: S) -> Result<S, FormulaError> {
        fuel_for_air::step(dry_air_flow::step(air, self.humidity)?, self.lambda, self.ratio)
    }
}

/// The chain read forwards: from the fuel that burns to the power it makes.
pub(crate) fn power_of_fuel_flow<S: Scalar>(
    figures: &Figures<S>,
    fuel: S,
    pumping: S,
) -> Result<Yield<S>, FormulaError> {
    let f = figures;
    let indicated_efficiency = indicated_efficiency::step(f.compression, f.work, f.lambda)?;
    let indicated = power_of_fuel::step(fuel, f.heating_value, indicated_efficiency)?;
    let imep = mean_effective_pressure::step(indicated, f.displacement, f.speed)?;
    let piston_speed = mean_piston_speed::step(f.stroke, f.speed)?;
    let brake_pressure = brake_pressure::step(imep, pumping, piston_speed, f.bore)?;
    Ok(Yield { brake_pressure, power: power_of_pressure::step(brake_pressure, f.displacement, f.speed)? })
}

impl Figures<f64> {
    /// The figures of an engine on a fuel.
    pub(crate) fn of(
        engine: &Engine,
        fuel: &Fuel,
        (lambda, humidity): (Lambda, HumidityRatio),
        speed: ShaftSpeed,
    ) -> Result<Self, FormulaError> {
        Ok(Self {
            speed: speed.si(),
            displacement: engine.displacement()?.si(),
            bore: engine.bore().si(),
            stroke: engine.stroke().si(),
            compression: engine.compression_ratio().si(),
            work: engine.work().si(),
            lambda: lambda.si(),
            heating_value: fuel.heating_value().si(),
            ratio: fuel.stoichiometric_ratio()?.si(),
            humidity: humidity.si(),
        })
    }
    pub(crate) fn lift<S: Scalar>(&self) -> Figures<S> {
        Figures {
            speed: S::lit(self.speed),
            displacement: S::lit(self.displacement),
            bore: S::lit(self.bore),
            stroke: S::lit(self.stroke),
            compression: S::lit(self.compression),
            work: S::lit(self.work),
            lambda: S::lit(self.lambda),
            heating_value: S::lit(self.heating_value),
            ratio: S::lit(self.ratio),
            humidity: S::lit(self.humidity),
        }
    }
}
