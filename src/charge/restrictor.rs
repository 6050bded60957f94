//! An air restrictor that a class of competition prescribes: the flow and the power that no boost can add to.

use crate::engine::{
    Engine, friction_pressure, indicated_efficiency, mean_effective_pressure, mean_piston_speed,
};
use crate::formula::{FormulaError, checked};
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
        let area = (discharge * throat * throat * core::f64::consts::FRAC_PI_4).called("A");
        let exponent = ((gamma + 1.0) / ((gamma - 1.0) * 2.0)).called("m");
        area * pressure * (gamma / (gas_constant * temperature)).sqrt() * (c(2.0) / (gamma + 1.0)).powf(exponent)
    }

    /// Indicated power that a flow of dry air can feed
    ///
    /// P_i = W_d eta_i LHV/(lambda AFR_st)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // The example of `air_for_power` turned round: 0.113178 kg/s feeds 100 kW
    /// let p = shaftwork::charge::power_of_air(kg_per_s(0.113178), Efficiency::new(0.3)?, mj_per_kg(43.0), Lambda::new(1.0)?, AirFuelRatio::new(14.6)?)?;
    /// assert!((p.kw() - 100.0).abs() < 1e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn power_of_air(
        air: MassFlow = "W_d" in [1e-4, 5.0], "dry air flow";
        efficiency: Efficiency = "eta_i" in [0.05, 0.6], "indicated efficiency";
        heating_value: SpecificEnergy = "LHV" in [1e6, 1.3e8], "lower heating value";
        lambda: Lambda = "lambda" in [0.6, 2.0], "relative air-fuel ratio";
        ratio: AirFuelRatio = "AFR_st" in [1.0, 40.0], "stoichiometric air-fuel ratio";
    ) -> Power = "P_i"
    source "[energy-balance] of the fuel that the air burns"
    { air * efficiency * heating_value / (lambda * ratio) }

    /// Power at the crankshaft left of an indicated power
    ///
    /// P = P_i - (fmep + pmep) V_d omega/(4 pi), four-stroke
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 2 bar in 2.0 L at 6000 rev/min are 20 kW
    /// let p = shaftwork::charge::power_after_losses(kw(220.0), bar_diff(1.5), bar_diff(0.5), litre(2.0), rpm(6000.0))?;
    /// assert!((p.kw() - 200.0).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn power_after_losses(
        indicated: Power = "P_i" in [1.0, 5e6], "indicated power";
        friction: PressureDifference = "fmep" in [0.0, 2e6], "friction mean effective pressure";
        pumping: PressureDifference = "pmep" in [-1e6, 3e6], "pumping mean effective pressure";
        displacement: Volume = "V_d" in [2e-5, 0.05], "displacement";
        speed: ShaftSpeed = "omega" in [10.0, 2500.0], "engine speed";
    ) -> Power = "P"
    source "[by-definition] of mean effective pressures"
    { indicated - (friction + pumping) * displacement * speed / (4.0 * core::f64::consts::PI) }
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
        let dry = flow / (1.0 + humidity_ratio(air.vapour())?.si());
        let efficiency = indicated_efficiency(engine.compression_ratio(), engine.work(), lambda)?;
        let ratio = fuel.stoichiometric_ratio()?;
        let indicated = power_of_air(dry, efficiency, fuel.heating_value(), lambda, ratio)?;
        let displacement = engine.displacement()?;
        // Friction rises in a straight line with the brake pressure: its two ends give it.
        let piston_speed = mean_piston_speed(engine.stroke(), speed)?;
        let at = |bmep: PressureDifference| friction_pressure(piston_speed, bmep, engine.bore());
        let most = mean_effective_pressure(indicated, displacement, speed)?;
        let (none, all) = (at(PressureDifference::from_si_unchecked(0.0))?, at(most)?);
        let brake = (most - pumping - none) / (1.0 + (all - none) / most);
        let friction = none + (all - none) * (brake / most);
        let crank = power_after_losses(indicated, friction, pumping, displacement, speed)?;
        if crank.si() <= 0.0 {
            let why = "friction and pumping leave nothing of the power that this throat feeds".into();
            return Err(FormulaError::NoResult { formula: "charge::Restrictor::power_ceiling", why });
        }
        Ok(PowerCeiling { air: flow, indicated, friction, crank })
    }
}

/// What a restrictor lets an engine give.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerCeiling {
    /// The choked flow, the air's water included.
    pub air: MassFlow,
    /// Indicated power of it.
    pub indicated: Power,
    /// Friction mean effective pressure there.
    pub friction: PressureDifference,
    /// Power at the crankshaft.
    pub crank: Power,
}
