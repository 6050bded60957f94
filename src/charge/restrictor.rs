//! An air restrictor that a class of competition prescribes: the flow and the power that no boost can add to.

use crate::engine::{
    Engine, brake_pressure, dry_air_flow, fuel_for_air, indicated_efficiency, mean_effective_pressure,
    mean_piston_speed, power_of_fuel, power_of_pressure,
};
use crate::formula::{FormulaError, Giver, Scalar, checked};
use crate::fuel::Fuel;
use crate::gas::{Gas, gas_constant, heat_capacity_ratio, humidity_ratio};
use crate::quantity::*;

formulas! { room "charge" group RESTRICTOR;
    /// Choked flow of a throat
    ///
    /// W = C_d (pi/4) d^2 p_0 sqrt(gamma/(R T_0)) [2/(gamma+1)]^((gamma+1)/(2 (gamma-1))): once the gas moves at the speed of
    /// sound in the throat, no suction behind it adds to the flow.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Air, gamma 1.4: W sqrt(T_0)/(A p_0) is 0.040418 with R 287 (tables of compressible flow); 32 mm, 300 K, 100 kPa
    /// let w = shaftwork::charge::choked_throat_flow(fraction(1.0), mm(32.0), kpa(100.0), kelvin(300.0), HeatCapacityRatio::new(1.4)?, j_per_kg_k(287.0))?;
    /// assert!((w.si() - 0.18767).abs() < 1e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn choked_throat_flow(
        discharge: Fraction = "C_d" in [0.5, 1.0], "discharge coefficient";
        throat: Length = "d" in [0.005, 0.12], "diameter of the throat";
        pressure: Pressure = "p_0" in [2e4, 2e5], "total pressure before it";
        temperature: Temperature = "T_0" in [200.0, 400.0], "total temperature before it";
        gamma: HeatCapacityRatio = "gamma" in [1.1, 1.6667], "ratio of specific heats";
        gas_constant: SpecificHeat = "R" in [150.0, 600.0], "specific gas constant";
    ) -> MassFlow = "W"
    source "[derived-here] for isentropic flow of an [ideal-gas]; tabulated in [cengel-boles] (from memory)"
    {
        let area = (discharge * throat * throat * core::f64::consts::FRAC_PI_4).called_in("A", "m2");
        let exponent = ((gamma + 1.0) / ((gamma - 1.0) * 2.0)).called("m");
        area * pressure * (gamma / (gas_constant * temperature)).sqrt() * (c(2.0) / (gamma + 1.0)).powf(exponent)
    }
}

/// Discharge coefficient of a smooth converging throat, where none is given: from memory 0.95 to 0.99 for a good shape,
/// 0.85 for a sharp one.
pub const RESTRICTOR_DISCHARGE: f64 = 0.96;

/// An air restrictor before the compressor.
///
/// ```
/// use shaftwork::prelude::*;
/// let restrictor = Restrictor::new(mm(34.0))?;
/// let most = restrictor.most_flow(&Gas::dry_air(), kpa(101.325), kelvin(288.15))?;
/// // 0.96 of 0.2190 kg/s by hand
/// assert!((most.si() - 0.2102).abs() < 2e-4);
/// # Ok::<(), FormulaError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Restrictor {
    throat: Length,
    discharge: Fraction,
}

impl Restrictor {
    /// Diameter of the throat, 5 to 120 mm; discharge coefficient [`RESTRICTOR_DISCHARGE`].
    pub fn new(throat: Length) -> Result<Self, FormulaError> {
        const NAME: &str = "charge::Restrictor::new";
        let throat = checked(NAME, "throat", "diameter of the throat", throat, 0.005, 0.12)?;
        Ok(Self { throat, discharge: Fraction::from_si_unchecked(RESTRICTOR_DISCHARGE) })
    }
    /// Sets the discharge coefficient, 0.5 to 1.
    pub fn discharge(mut self, discharge: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "charge::Restrictor::discharge";
        self.discharge = checked(NAME, "discharge", "discharge coefficient", discharge, 0.5, 1.0)?;
        Ok(self)
    }
    /// Diameter of the throat.
    pub fn throat(&self) -> Length {
        self.throat
    }
    /// Discharge coefficient.
    pub fn coefficient(&self) -> Fraction {
        self.discharge
    }
    /// The most flow of this air, its water included, from a place with this pressure and temperature.
    pub fn most_flow(
        &self,
        air: &Gas,
        pressure: Pressure,
        temperature: Temperature,
    ) -> Result<MassFlow, FormulaError> {
        let gamma = heat_capacity_ratio(air, temperature)?;
        choked_throat_flow(self.discharge, self.throat, pressure, temperature, gamma, gas_constant(air)?)
    }

    /// That flow in any kind of number, from a place with this pressure and temperature.
    pub(crate) fn record<S: Scalar>(
        &self,
        air: &Gas,
        g: &impl Giver<S>,
        [pressure, temperature]: [S; 2],
    ) -> Result<S, FormulaError> {
        let discharge = g.give("limits.restrictor_discharge", "", self.discharge);
        let throat = g.give("limits.restrictor", "", self.throat);
        let gamma = heat_capacity_ratio::step(air, temperature)?;
        choked_throat_flow::step(discharge, throat, pressure, temperature, gamma, gas_constant::step(air)?)
    }

    /// The power that no boost can add to: all the air that the throat lets through, burned at this lambda and engine
    /// speed, less friction and this pumping pressure.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let engine = Engine::four_stroke(4, mm(84.0), mm(84.0), CompressionRatio::new(9.2)?)?;
    /// let place = (Gas::dry_air(), kpa(88.25), deg_c(24.0));
    /// let running = (Lambda::new(0.85)?, kpa_diff(40.0), rpm(6500.0));
    /// let ceiling = Restrictor::new(mm(34.0))?.power_ceiling(&engine, &Fuel::gasoline()?, (&place.0, place.1, place.2), running)?;
    /// assert!(ceiling.crank < ceiling.indicated && ceiling.crank.kw() > 150.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`FormulaError`]: a figure leaves the range of its formula, or friction and pumping leave nothing.
    pub fn power_ceiling(
        &self,
        engine: &Engine,
        fuel: &Fuel,
        (air, pressure, temperature): (&Gas, Pressure, Temperature),
        (lambda, pumping, speed): (Lambda, PressureDifference, ShaftSpeed),
    ) -> Result<PowerCeiling, FormulaError> {
        let flow = self.most_flow(air, pressure, temperature)?;
        let dry = dry_air_flow(flow, humidity_ratio(air.vapour())?)?;
        let efficiency = indicated_efficiency(engine.compression_ratio(), engine.work(), lambda)?;
        let burned = fuel_for_air(dry, lambda, fuel.stoichiometric_ratio()?)?;
        let indicated = power_of_fuel(burned, fuel.heating_value(), efficiency)?;
        let displacement = engine.displacement()?;
        let piston_speed = mean_piston_speed(engine.stroke(), speed)?;
        let most = mean_effective_pressure(indicated, displacement, speed)?;
        let brake = brake_pressure(most, pumping, piston_speed, engine.bore())?;
        let crank = power_of_pressure(brake, displacement, speed)?;
        if crank.si() <= 0.0 {
            let why = "friction and pumping leave nothing of the power that this throat feeds".into();
            return Err(FormulaError::NoResult { formula: "charge::Restrictor::power_ceiling", why });
        }
        Ok(PowerCeiling { air: flow, indicated, crank })
    }
}

/// What a restrictor lets an engine give.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerCeiling {
    /// The choked flow, the air's water included.
    pub air: MassFlow,
    /// Indicated power of it.
    pub indicated: Power,
    /// Power at the crankshaft.
    pub crank: Power,
}
