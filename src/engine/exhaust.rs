//! The exhaust as it leaves the cylinders: its temperature from the engine's energy balance.

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
