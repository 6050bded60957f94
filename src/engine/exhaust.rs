//! The exhaust: its temperature from the engine's energy balance, what a late spark moves into it, and what the pipes
//! take out.

use crate::formula::{FormulaError, checked};
use crate::fuel::Fuel;
use crate::gas::{Gas, WaterGas, burn};
use crate::quantity::*;

/// Temperature that heating values and unburned energy are counted from.
pub(super) const REFERENCE: f64 = 298.15;

formulas! { room "engine" group EXHAUST;
    /// Heat that the air brings, per mass of fuel
    ///
    /// q_a = a [h(T_m) - h(298.15 K)]
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 14.5 kg of air a kilogram of fuel, 15 K above the reference, cp 1005: 218.6 kJ/kg
    /// let q = shaftwork::engine::air_heat(&Gas::dry_air(), kelvin(313.15), AirFuelRatio::new(14.5)?)?;
    /// assert!((q.kj_per_kg() - 218.6).abs() < 0.1);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn air_heat [air: &Gas] (
        manifold: Temperature = "T_m" in [200.0, 600.0], "manifold temperature";
        ratio: AirFuelRatio = "a" in [1.0, 100.0], "mass of air, its water included, per mass of fuel";
    ) -> SpecificEnergy = "q_a"
    source "[energy-balance], with the polynomials of [nasa-tm-4513]"
    { ratio * (S::property(&air.h(), manifold) - S::property(&air.h(), S::lit(REFERENCE))) }

    /// Heat in the exhaust, per mass of exhaust
    ///
    /// q_e = [LHV (1 - b - w - u) + q_a]/(1 + a): what work, walls and unburned gas leave; the fuel enters at 298.15 K.
    /// Work is that at the crankshaft where friction counts among the walls, else that on the pistons. Unburned energy must be
    /// that of the composition whose enthalpy gives the temperature.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 43 MJ/kg, 0.30 and 0.27, nothing unburned, 218.6 kJ/kg with 14.5735 of air, by hand: 1.20127 MJ/kg
    /// let q = shaftwork::engine::exhaust_heat(mj_per_kg(43.0), fraction(0.30), fraction(0.27), fraction(0.0), kj_per_kg(218.6), AirFuelRatio::new(14.5735)?)?;
    /// assert!((q.mj_per_kg() - 1.20127).abs() < 1e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn exhaust_heat(
        heating_value: SpecificEnergy = "LHV" in [1e6, 1.3e8], "lower heating value";
        brake: Fraction = "b" in [0.0, 0.6], "share of the heating value taken as work";
        walls: Fraction = "w" in [0.0, 0.6], "share that goes through the walls and elsewhere";
        unburned: Fraction = "u" in [0.0, 0.6], "share that stays in unburned gas";
        air: SpecificEnergy = "q_a" in [-3e6, 2e7], "heat that the air brings, per mass of fuel";
        ratio: AirFuelRatio = "a" in [1.0, 100.0], "mass of air, its water included, per mass of fuel";
    ) -> SpecificEnergy = "q_e"
    source "[energy-balance]"
    { (heating_value * (c(1.0) - brake - walls - unburned) + air) / (ratio + 1.0) }

    /// Exhaust temperature from its heat
    ///
    /// h(T_e) = h(298.15 K) + q_e, composition frozen
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Table computed with Cantera: stoichiometric CH1.85, brake 0.30, walls 0.27, air at 313.15 K: 1301.20 K
    /// let exhaust = Gas::products(&Fuel::gasoline()?, Lambda::new(1.0)?)?;
    /// let t = shaftwork::engine::exhaust_temperature(&exhaust, kj_per_kg(1201.3))?;
    /// assert!((t.kelvin() - 1301.2).abs() < 1.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn exhaust_temperature [exhaust: &Gas] (
        heat: SpecificEnergy = "q_e" in [1e4, 3e6], "heat in the exhaust, per mass of exhaust";
    ) -> Temperature = "T_e"
    source "[energy-balance], with the polynomials of [nasa-tm-4513]"
    { S::inverse(&exhaust.h(), S::property(&exhaust.h(), S::lit(REFERENCE)) + heat) }

    /// Temperature at the end of a pipe
    ///
    /// T_2 = T_w + (T_1 - T_w) exp(-h A/(W cp)): a wall of one temperature
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 1100 K into a wall of 700 K, 5 W/K, 0.05 kg/s of 1250 J/(kg K), by hand: 700 + 400 exp(-0.08) = 1069.25 K
    /// let t = shaftwork::engine::pipe_outlet_temperature(kelvin(1100.0), kelvin(700.0), watt_per_k(5.0), kg_per_s(0.05), j_per_kg_k(1250.0))?;
    /// assert!((t.kelvin() - 1069.25).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn pipe_outlet_temperature(
        inlet: Temperature = "T_1" in [250.0, 2000.0], "gas temperature at the inlet";
        wall: Temperature = "T_w" in [200.0, 1500.0], "wall temperature";
        conductance: ThermalConductance = "H" in [0.0, 500.0], "heat transfer coefficient times wall area";
        flow: MassFlow = "W" in [1e-4, 5.0], "flow";
        heat_capacity: SpecificHeat = "cp" in [900.0, 1700.0], "heat capacity of the gas";
    ) -> Temperature = "T_2"
    source "[energy-balance] of a pipe; the form in [eriksson-nielsen], companion parameter files"
    { wall + (inlet - wall) * (-(conductance / (flow * heat_capacity))).exp() }
}

/// The engine's heat, as shares of the fuel's heating value.
///
/// At full load the crankshaft takes 0.25 to 0.32, the coolant and all else that is lost 0.20 to 0.30 (from memory): inputs,
/// not defaults.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatShares {
    brake: Fraction,
    walls: Fraction,
}

impl HeatShares {
    /// Share at the crankshaft (0.05 to 0.5) and share through the walls and elsewhere (0.02 to 0.5), at best spark
    /// timing.
    pub fn new(brake: Fraction, walls: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "engine::HeatShares::new";
        Ok(Self {
            brake: checked(NAME, "brake", "share at the crankshaft", brake, 0.05, 0.5)?,
            walls: checked(NAME, "walls", "share through the walls and elsewhere", walls, 0.02, 0.5)?,
        })
    }
    /// Share at the crankshaft.
    pub fn brake(&self) -> Fraction {
        self.brake
    }
    /// Share through the walls and elsewhere.
    pub fn walls(&self) -> Fraction {
        self.walls
    }
}

/// The exhaust as it leaves the cylinder, averaged over its energy.
///
/// A thermocouple reads neither this nor the mean over mass.
#[derive(Clone, Debug, PartialEq)]
pub struct ExhaustState {
    /// The gas, with the unburned CO and H2 of its lambda.
    pub gas: Gas,
    /// Temperature.
    pub temperature: Temperature,
    /// Heat in it over the fuel's heating value.
    pub sensible_share: Fraction,
    /// Heat still in its unburned gas over the fuel's heating value.
    pub unburned_share: Fraction,
}

/// The exhaust of a fuel burned in air from the manifold.
///
/// ```
/// use shaftwork::prelude::*;
/// let shares = HeatShares::new(percent(26.0), percent(22.0))?;
/// let state = exhaust_state(&Fuel::gasoline()?, Lambda::new(0.85)?, &Gas::dry_air(), kelvin(313.15), shares)?;
/// // 20 % of the heat leaves unburned, so rich exhaust is cooler.
/// assert!((state.unburned_share.percent() - 20.0).abs() < 0.2);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
///
/// [`FormulaError`]: lambda or manifold temperature out of range, or shares that leave the exhaust nothing.
pub fn exhaust_state(
    fuel: &Fuel,
    lambda: Lambda,
    air: &Gas,
    manifold: Temperature,
    shares: HeatShares,
) -> Result<ExhaustState, FormulaError> {
    let products = burn(fuel, lambda, air, WaterGas::default())?;
    let ratio = AirFuelRatio::from_si(products.per_fuel.si() - 1.0)?;
    let brought = air_heat(air, manifold, ratio)?;
    let lower = fuel.heating_value();
    let heat = exhaust_heat(lower, shares.brake, shares.walls, products.unburned_share, brought, ratio)?;
    Ok(ExhaustState {
        temperature: exhaust_temperature(&products.gas, heat)?,
        sensible_share: Fraction::from_si(heat * products.per_fuel.si() / lower)?,
        unburned_share: products.unburned_share,
        gas: products.gas,
    })
}

/// A length of pipe that takes heat from the exhaust: manifold or crossover.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HotPipe {
    conductance: ThermalConductance,
    wall: Temperature,
}

impl HotPipe {
    /// Heat transfer coefficient times wall area (0 to 500 W/K), and wall temperature (200 to 1500 K).
    pub fn new(conductance: ThermalConductance, wall: Temperature) -> Result<Self, FormulaError> {
        const NAME: &str = "engine::HotPipe::new";
        let words = "heat transfer coefficient times wall area";
        Ok(Self {
            conductance: checked(NAME, "conductance", words, conductance, 0.0, 500.0)?,
            wall: checked(NAME, "wall", "wall temperature", wall, 200.0, 1500.0)?,
        })
    }
    /// Heat transfer coefficient times wall area.
    pub fn conductance(&self) -> ThermalConductance {
        self.conductance
    }
    /// Wall temperature.
    pub fn wall(&self) -> Temperature {
        self.wall
    }
}

/// The way of the exhaust from the ports to the turbine: pipes in order, and the volume that must fill before pressure
/// rises.
///
/// ```
/// use shaftwork::prelude::*;
/// let way = ExhaustWay::new(vec![HotPipe::new(watt_per_k(8.0), kelvin(850.0))?], litre(1.6))?;
/// let t = way.turbine_inlet(&Gas::products(&Fuel::gasoline()?, Lambda::new(0.85)?)?, kelvin(1180.0), kg_per_s(0.12))?;
/// assert!(t.kelvin() < 1180.0 && t.kelvin() > 1150.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct ExhaustWay {
    pipes: Vec<HotPipe>,
    volume: Volume,
}

impl ExhaustWay {
    /// Pipes from the ports on, and the volume between the valves and the turbine, 0.05 to 50 litres.
    pub fn new(pipes: Vec<HotPipe>, volume: Volume) -> Result<Self, FormulaError> {
        let words = "volume before the turbine";
        let volume = checked("engine::ExhaustWay::new", "volume", words, volume, 5e-5, 0.05)?;
        Ok(Self { pipes, volume })
    }
    /// The pipes.
    pub fn pipes(&self) -> &[HotPipe] {
        &self.pipes
    }
    /// Volume between the valves and the turbine.
    pub fn volume(&self) -> Volume {
        self.volume
    }
    /// Turbine inlet temperature: the temperature at the ports less what the pipes take. Each pipe uses the heat
    /// capacity at its own inlet.
    pub fn turbine_inlet(
        &self,
        exhaust: &Gas,
        ports: Temperature,
        flow: MassFlow,
    ) -> Result<Temperature, FormulaError> {
        let through = |t: Temperature, pipe: &HotPipe| {
            let cp = crate::gas::heat_capacity(exhaust, t)?;
            pipe_outlet_temperature(t, pipe.wall, pipe.conductance, flow, cp)
        };
        self.pipes.iter().try_fold(ports, through)
    }
}
