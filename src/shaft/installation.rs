//! Everything around the turbocharger.

use super::{UserLimits, middle_speed};
use crate::charge::{ChargeCooler, Loss};
use crate::engine::{Engine, ExhaustPipe, Target, crank_power};
use crate::formula::{FormulaError, checked};
use crate::fuel::Fuel;
use crate::gas::{Gas, humidity_ratio};
use crate::quantity::units::{deg_c, kelvin_diff, kpa_diff};
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
    /// Turbine inlet temperature, or the temperature before the pipe to it where it was seen there.
    pub temperature: Temperature,
    /// Where that temperature was seen: the engine's energy balance then gives it at every other speed and load. Without
    /// it the temperature is the same everywhere.
    pub seen_at: Option<SeenAt>,
    /// A pipe from the manifold to the turbine, whose heat follows the flow; it needs the energy balance. All else that
    /// the exhaust loses on its way is among the walls.
    pub pipe: Option<ExhaustPipe>,
    /// Pressure loss after the turbine at an exhaust flow.
    pub back_pressure: Loss,
    /// Turbine efficiency.
    pub efficiency: TurbineEfficiency,
    /// The expansion ratio not to be exceeded.
    pub most_expansion: ExpansionRatio,
}

/// The running point at which an exhaust temperature was seen.
///
/// ```
/// use shaftwork::prelude::*;
/// let seen = SeenAt::new(kw(245.0), rpm(7200.0))?.with_manifold(deg_c(48.0))?.with_pumping(kpa_diff(30.0))?;
/// assert_eq!(seen.manifold(), deg_c(48.0));
/// assert!(SeenAt::new(kw(f64::NAN), rpm(7200.0)).is_err());
/// # Ok::<(), FormulaError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeenAt {
    power: Power,
    speed: ShaftSpeed,
    manifold: Temperature,
    pumping: PressureDifference,
    before_pipe: bool,
}

/// Manifold temperature where an exhaust temperature was seen, if it is not stated. 20 K more are worth 8 K.
pub const SEEN_MANIFOLD: Temperature = deg_c(40.0);
/// Pumping pressure there, if it is not stated. 50 kPa are worth about 15 K.
pub const SEEN_PUMPING: PressureDifference = kpa_diff(0.0);

impl SeenAt {
    /// Crank power (1 kW to 5 MW) and engine speed. The manifold stands at [`SEEN_MANIFOLD`], pumping at
    /// [`SEEN_PUMPING`].
    pub fn new(power: Power, speed: ShaftSpeed) -> Result<Self, FormulaError> {
        const NAME: &str = "shaft::SeenAt::new";
        Ok(Self {
            power: checked(NAME, "power", "power at which the temperature was seen", power, 1e3, 5e6)?,
            speed: checked(
                NAME,
                "speed",
                "engine speed at which the temperature was seen",
                speed,
                50.0,
                2500.0,
            )?,
            manifold: SEEN_MANIFOLD,
            pumping: SEEN_PUMPING,
            before_pipe: false,
        })
    }
    /// Sets the manifold temperature there, 230 to 500 K.
    pub fn with_manifold(mut self, temperature: Temperature) -> Result<Self, FormulaError> {
        const NAME: &str = "shaft::SeenAt::with_manifold";
        self.manifold = checked(NAME, "temperature", "manifold temperature", temperature, 230.0, 500.0)?;
        Ok(self)
    }
    /// Sets the pumping pressure there, exhaust less manifold pressure, -400 to 400 kPa.
    pub fn with_pumping(mut self, pressure: PressureDifference) -> Result<Self, FormulaError> {
        const NAME: &str = "shaft::SeenAt::with_pumping";
        self.pumping = checked(NAME, "pressure", "pumping pressure", pressure, -4e5, 4e5)?;
        Ok(self)
    }
    /// Says that it was seen before the pipe to the turbine, and not at the turbine's inlet.
    pub fn before_pipe(mut self) -> Self {
        self.before_pipe = true;
        self
    }
    /// True if it was seen before the pipe to the turbine.
    pub fn is_before_pipe(&self) -> bool {
        self.before_pipe
    }
    /// Crank power.
    pub fn power(&self) -> Power {
        self.power
    }
    /// Engine speed.
    pub fn speed(&self) -> ShaftSpeed {
        self.speed
    }
    /// Manifold temperature.
    pub fn manifold(&self) -> Temperature {
        self.manifold
    }
    /// Pumping pressure.
    pub fn pumping(&self) -> PressureDifference {
        self.pumping
    }
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
    /// Limits that the user sets besides those of the parts.
    pub limits: UserLimits,
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
