//! What the exhaust gets of the fuel's heat, at any speed and load, from one temperature that is known.

use super::exhaust::REFERENCE;
use crate::gas::Gas;
use crate::quantity::*;

/// Exponent of the engine's heat share over fuel flow: one less the 0.8 of pressure and of gas velocity in the wall's heat
/// transfer. With the 0.7 of [annand-1963] it would be 0.3.
const FALL: f64 = 0.2;

formulas! { room "engine" group HEAT_BALANCE;
    /// Moist air per mass of fuel
    ///
    /// a = lambda AFR_st (1 + w)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 0.85 of 14.6, 10 g of water a kilogram of dry air: 12.5341
    /// let a = shaftwork::engine::air_per_fuel(Lambda::new(0.85)?, AirFuelRatio::new(14.6)?, HumidityRatio::new(0.01)?)?;
    /// assert!((a.si() - 12.5341).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn air_per_fuel(
        lambda: Lambda = "lambda" in [0.6, 10.0], "relative air-fuel ratio";
        ratio: AirFuelRatio = "AFR_st" in [1.0, 40.0], "stoichiometric air-fuel ratio";
        humidity: HumidityRatio = "w" in [0.0, 0.2], "humidity ratio";
    ) -> AirFuelRatio = "a"
    source "[by-definition]"
    { lambda * ratio * (humidity + 1.0) }

    /// Share of the heating value that the pistons take
    ///
    /// i = eta_i - p_p V_d omega/(4 pi W_f LHV): indicated work less pumping work. Friction comes out of it and warms oil
    /// and coolant, not the exhaust.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 0.30 less 50 kPa of 2.0 L at 6000 rev/min, 5 kW of 688 kW: 0.292733
    /// let i = shaftwork::engine::piston_share(Efficiency::new(0.30)?, kpa_diff(50.0), litre(2.0), rpm(6000.0), g_per_s(16.0), mj_per_kg(43.0))?;
    /// assert!((i.si() - 0.292733).abs() < 1e-6);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn piston_share(
        efficiency: Efficiency = "eta_i" in [0.05, 0.6], "indicated efficiency";
        pumping: PressureDifference = "p_p" in [-1e6, 1e6], "pumping pressure";
        displacement: Volume = "V_d" in [2e-5, 0.05], "displacement";
        speed: ShaftSpeed = "omega" in [10.0, 2500.0], "engine speed";
        fuel: MassFlow = "W_f" in [1e-7, 2.0], "fuel flow";
        heating_value: SpecificEnergy = "LHV" in [1e6, 1.3e8], "lower heating value";
    ) -> Fraction = "i"
    source "[energy-balance] of the cylinders"
    {
        let pumped = (pumping * displacement * speed / (4.0 * core::f64::consts::PI)).called_in("P_p", "W");
        efficiency - pumped / (fuel * heating_value)
    }

    /// Share of the heating value that stays in unburned gas
    ///
    /// u = q_u (1 + a)/LHV, with the heat q_u still to be had from the CO and H2 of the exhaust
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Table computed with Cantera: CH1.85 at lambda 0.85, 43 MJ/kg: 0.2003
    /// let exhaust = Gas::products(&Fuel::gasoline()?, Lambda::new(0.85)?)?;
    /// let u = shaftwork::engine::unburned_share(&exhaust, AirFuelRatio::new(12.39)?, mj_per_kg(43.0))?;
    /// assert!((u.si() - 0.2003).abs() < 2e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn unburned_share [exhaust: &Gas] (
        ratio: AirFuelRatio = "a" in [1.0, 100.0], "mass of air, its water included, per mass of fuel";
        heating_value: SpecificEnergy = "LHV" in [1e6, 1.3e8], "lower heating value";
    ) -> Fraction = "u"
    source "[energy-balance], heats of formation of [nasa-tm-4513]"
    { exhaust.named_unburned::<S>() * (ratio + 1.0) / heating_value }

    /// Heat in the exhaust at a temperature, per mass of exhaust
    ///
    /// q_e = h(T_e) - h(298.15 K), composition frozen: [`exhaust_temperature`](crate::engine::exhaust_temperature) turned
    /// round
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Table computed with Cantera: stoichiometric CH1.85 at 1301.2 K holds 1201.3 kJ/kg
    /// let exhaust = Gas::products(&Fuel::gasoline()?, Lambda::new(1.0)?)?;
    /// let q = shaftwork::engine::heat_at_temperature(&exhaust, kelvin(1301.2))?;
    /// assert!((q.kj_per_kg() - 1201.3).abs() < 1.5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn heat_at_temperature [exhaust: &Gas] (
        temperature: Temperature = "T_e" in [400.0, 2000.0], "exhaust temperature";
    ) -> SpecificEnergy = "q_e"
    source "[energy-balance], with the polynomials of [nasa-tm-4513]"
    { S::property(&exhaust.h(), temperature) - S::property(&exhaust.h(), S::lit(REFERENCE)) }

    /// Share of the heating value that the walls take, from the heat found in the exhaust
    ///
    /// w = 1 - i - u - [q_e (1 + a) - q_a]/LHV: [`exhaust_heat`](crate::engine::exhaust_heat) turned round. With all of the
    /// exhaust's way inside the balance, ports, manifold and pipes are among the walls.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // The example of exhaust_heat turned round: 1.20127 MJ/kg leave 0.27
    /// let w = shaftwork::engine::wall_share(mj_per_kg(43.0), fraction(0.30), fraction(0.0), kj_per_kg(218.6), AirFuelRatio::new(14.5735)?, mj_per_kg(1.20127))?;
    /// assert!((w.si() - 0.27).abs() < 2e-5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn wall_share(
        heating_value: SpecificEnergy = "LHV" in [1e6, 1.3e8], "lower heating value";
        work: Fraction = "i" in [0.0, 0.6], "share that the pistons take";
        unburned: Fraction = "u" in [0.0, 0.6], "share that stays in unburned gas";
        air: SpecificEnergy = "q_a" in [-3e6, 2e7], "heat that the air brings, per mass of fuel";
        ratio: AirFuelRatio = "a" in [1.0, 100.0], "mass of air, its water included, per mass of fuel";
        heat: SpecificEnergy = "q_e" in [1e4, 3e6], "heat in the exhaust, per mass of exhaust";
    ) -> Fraction = "w"
    source "[energy-balance]"
    { c(1.0) - work - unburned - (heat * (ratio + 1.0) - air) / heating_value }

    /// Share of the heating value that the walls take at another speed and load
    ///
    /// w = w_r (W_r/W_f)^0.2. The wall's heat transfer goes with pressure^0.8 and gas velocity^0.8, the time it has with one
    /// over speed, and the fuel of a cycle with pressure: what is left is fuel flow^-0.2. Gas and wall temperatures count as
    /// unchanged; with the exponent 0.7 of [annand-1963] the power would be 0.3.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // A fifth of the fuel: 5^0.2 = 1.37973 times the share
    /// let w = shaftwork::engine::wall_share_at_flow(fraction(0.15), g_per_s(20.0), g_per_s(4.0))?;
    /// assert!((w.si() - 0.206959).abs() < 1e-6);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn wall_share_at_flow(
        share: Fraction = "w_r" in [0.0, 0.6], "share at the fuel flow where it is known";
        known: MassFlow = "W_r" in [1e-7, 2.0], "fuel flow where it is known";
        fuel: MassFlow = "W_f" in [1e-7, 2.0], "fuel flow";
    ) -> Fraction = "w"
    source "[derived-here] from the exponents of [woschni-1967] and [hohenberg-1979]"
    { share * (known / fuel).powf(S::lit(FALL)) }
}
