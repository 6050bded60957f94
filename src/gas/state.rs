//! Properties and end states.

use super::{Gas, UNIVERSAL_GAS_CONSTANT};
use crate::quantity::*;

formulas! { room "gas" group STATE;
    /// Heat capacity at constant pressure
    ///
    /// cp(T) from the species' polynomials, weighted by the composition.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Cantera 3.2.0, the same polynomials: 1004.833 J/(kg K)
    /// let cp = shaftwork::gas::heat_capacity(&Gas::dry_air(), kelvin(300.0))?;
    /// assert!((cp.si() - 1004.833).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn heat_capacity [gas: &Gas] (temperature: Temperature = "T" in [200.0, 6000.0], "temperature";) -> SpecificHeat = "cp"
    source "[nasa-tm-4513], equation of cp/R"
    { S::property(&gas.cp(), temperature) }

    /// Ratio of specific heats
    ///
    /// gamma = cp/(cp - R)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Cantera 3.2.0: 1.39991
    /// let gamma = shaftwork::gas::heat_capacity_ratio(&Gas::dry_air(), kelvin(300.0))?;
    /// assert!((gamma.si() - 1.39991).abs() < 1e-5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn heat_capacity_ratio [gas: &Gas] (temperature: Temperature = "T" in [200.0, 6000.0], "temperature";) -> HeatCapacityRatio = "gamma"
    source "[by-definition], with cp - cv = R of an [ideal-gas]"
    {
        let cp = S::property(&gas.cp(), temperature).called_in("cp", "J/(kg K)");
        cp / (cp - gas.named_r::<S>())
    }

    /// Specific gas constant
    ///
    /// R = R_u/M
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // ISO 2533:1975 prints 287.05287 J/(kg K) for air of a slightly different rounding
    /// let r = shaftwork::gas::gas_constant(&Gas::dry_air())?;
    /// assert!((r.si() - 287.0529).abs() < 0.005);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn gas_constant [gas: &Gas] () -> SpecificHeat = "R"
    source "[by-definition]; CODATA 2018"
    { c(UNIVERSAL_GAS_CONSTANT) / S::lit(gas.molar_mass().si()).called_in("M", "kg/mol") }

    /// Density of an ideal gas
    ///
    /// rho = p/(R T)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // ISO 2533 at sea level: 1.2250 kg/m3
    /// let rho = shaftwork::gas::density(&Gas::dry_air(), kpa(101.325), kelvin(288.15))?;
    /// assert!((rho.si() - 1.2250).abs() < 1e-4);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn density [gas: &Gas] (
        pressure: Pressure = "p" in [1e3, 2e6], "absolute pressure";
        temperature: Temperature = "T" in [150.0, 6000.0], "temperature";
    ) -> Density = "rho"
    source "[ideal-gas]; within 0.2 % for air up to 5 bar at 300 K"
    { pressure / (temperature * gas.named_r::<S>()) }

    /// Speed of sound
    ///
    /// a = sqrt(gamma R T)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // ISO 2533 at sea level prints 340.294 m/s with gamma 1.4 exactly; gamma here is 1.40026.
    /// let a = shaftwork::gas::speed_of_sound(&Gas::dry_air(), kelvin(288.15))?;
    /// assert!((a.si() - 340.294).abs() < 0.05);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn speed_of_sound [gas: &Gas] (temperature: Temperature = "T" in [200.0, 6000.0], "temperature";) -> Velocity = "a"
    source "[ideal-gas]; checked on [iso-2533]"
    {
        let cp = S::property(&gas.cp(), temperature).called_in("cp", "J/(kg K)");
        let r = gas.named_r::<S>();
        (cp / (cp - r) * temperature * r).sqrt()
    }

    /// Temperature after a lossless compression or expansion
    ///
    /// s(T2) = s(T1) + R ln Pi, with cp(T); Pi below one expands.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Cantera 3.2.0, air from 298.15 K through a ratio of 2: 363.2836 K
    /// let t = shaftwork::gas::isentropic_temperature(&Gas::dry_air(), kelvin(298.15), PressureRatio::new(2.0)?)?;
    /// assert!((t.kelvin() - 363.2836).abs() < 1e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn isentropic_temperature [gas: &Gas] (
        inlet: Temperature = "T_1" in [200.0, 3000.0], "inlet temperature";
        ratio: PressureRatio = "Pi" in [0.02, 50.0], "outlet over inlet pressure";
    ) -> Temperature = "T_2s"
    source "constant entropy of an [ideal-gas] with the polynomials of [nasa-tm-4513]"
    { S::inverse(&gas.s(), S::property(&gas.s(), inlet) + ratio.ln() * gas.named_r::<S>()) }

    /// Temperature after a compression or expansion of constant polytropic efficiency
    ///
    /// Compression: s(T2) = s(T1) + R ln Pi/eta_p; expansion (Pi below one): s(T2) = s(T1) + eta_p R ln Pi.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA HECC reading 1979, taken as dry air: Pi 4.544458, eta_p 0.867919, 296.56 K, rise 0.636861 T1
    /// let t = shaftwork::gas::polytropic_temperature(&Gas::dry_air(), kelvin(296.56), PressureRatio::new(4.544458)?, Efficiency::new(0.867919)?)?;
    /// assert!((t.kelvin() / 296.56 - 1.636861).abs() < 0.006);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn polytropic_temperature [gas: &Gas] (
        inlet: Temperature = "T_1" in [200.0, 3000.0], "inlet temperature";
        ratio: PressureRatio = "Pi" in [0.02, 50.0], "outlet over inlet pressure";
        efficiency: Efficiency = "eta_p" in [0.1, 1.0], "polytropic efficiency";
    ) -> Temperature = "T_2"
    source "[by-definition] of polytropic efficiency for cp(T)"
    {
        let ideal = (ratio.ln() * gas.named_r::<S>()).called_in("R ln Pi", "J/(kg K)");
        let change = S::cases(
            ratio,
            S::lit(1.0),
            case("expansion", || ideal * efficiency),
            case("compression", || ideal / efficiency),
        )
        .called_in("ds", "J/(kg K)");
        S::inverse(&gas.s(), S::property(&gas.s(), inlet) + change)
    }

    /// Polytropic efficiency of a compression from measured states
    ///
    /// eta_p = R ln Pi/[s(T2) - s(T1)]
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let (air, pi) = (Gas::dry_air(), PressureRatio::new(3.0)?);
    /// let t = shaftwork::gas::polytropic_temperature(&air, kelvin(298.15), pi, Efficiency::new(0.8)?)?;
    /// let eta = shaftwork::gas::polytropic_efficiency(&air, kelvin(298.15), t, pi)?;
    /// assert!((eta.si() - 0.8).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn polytropic_efficiency [gas: &Gas] (
        inlet: Temperature = "T_1" in [200.0, 3000.0], "inlet temperature";
        outlet: Temperature = "T_2" in [200.0, 3000.0], "outlet temperature";
        ratio: PressureRatio = "Pi" in [1.0, 50.0], "outlet over inlet pressure";
    ) -> Efficiency = "eta_p"
    source "[by-definition] of polytropic efficiency for cp(T); checked on [nasa-hecc]"
    { ratio.ln() * gas.named_r::<S>() / (S::property(&gas.s(), outlet) - S::property(&gas.s(), inlet)) }
}

/// The temperature of a flow that passes a wall of one temperature: the body of every formula of that kind. A negative
/// conductance leads back to the temperature before it.
pub(crate) fn towards<S: crate::formula::Scalar>(flowing: S, wall: S, conductance: S, capacity_flow: S) -> S {
    wall + (flowing - wall) * (-(conductance / capacity_flow)).exp()
}
