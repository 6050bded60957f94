//! What the turbine must expand to drive the compressor.

use crate::gas::{Gas, isentropic_temperature};
use crate::quantity::*;

formulas! { room "turbine" group EXPANSION;
    /// Expansion ratio for a work
    ///
    /// h(T_4s) = h(T_03) - w/eta, ln PR_t = [s(T_03) - s(T_4s)]/R: total to static, cp(T).
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Cantera 3.2.0: stoichiometric CH1.85, 1173.15 K, 200 to 101.325 kPa gives 212 017.2 J/kg
    /// let exhaust = Gas::products(&Fuel::gasoline()?, Lambda::new(1.0)?)?;
    /// let ratio = shaftwork::turbine::expansion_ratio(&exhaust, kelvin(1173.15), j_per_kg(212_017.2), Efficiency::new(1.0)?)?;
    /// assert!((ratio.si() - 200.0 / 101.325).abs() < 1e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn expansion_ratio [gas: &Gas] (
        inlet: Temperature = "T_03" in [500.0, 1500.0], "turbine inlet total temperature";
        work: SpecificEnergy = "w" in [0.0, 8e5], "work per mass through the turbine";
        efficiency: Efficiency = "eta" in [0.05, 1.0], "efficiency, total to static, on that work";
    ) -> ExpansionRatio = "PR_t"
    source "[energy-balance] of steady flow, with the polynomials of [nasa-tm-4513]"
    {
        let ideal = S::inverse(&gas.h(), S::property(&gas.h(), inlet) - work / efficiency).called_in("T_4s", "K");
        ((S::property(&gas.s(), inlet) - S::property(&gas.s(), ideal)) / gas.named_r::<S>()).exp()
    }

    /// Expansion ratio for a work, constant gamma (hand form)
    ///
    /// PR_t = [1 - w/(eta cp T_03)]^(-gamma/(gamma-1))
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // P. K. Nag, Ex. 11.2 (second-hand): 853 K, 1.9 to 1.06 bar, eta 0.85, cp 1.15, gamma 1.33; outlet 482.26 degC
    /// let work = j_per_kg(1150.0 * (853.0 - 755.2603));
    /// let ratio = shaftwork::turbine::expansion_ratio_constant_gamma(kelvin(853.0), work, Efficiency::new(0.85)?, j_per_kg_k(1150.0), HeatCapacityRatio::new(1.33)?)?;
    /// assert!((ratio.si() - 1.9 / 1.06).abs() < 1e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn expansion_ratio_constant_gamma(
        inlet: Temperature = "T_03" in [500.0, 1500.0], "turbine inlet total temperature";
        work: SpecificEnergy = "w" in [0.0, 8e5], "work per mass through the turbine";
        efficiency: Efficiency = "eta" in [0.05, 1.0], "efficiency, total to static, on that work";
        heat_capacity: SpecificHeat = "cp" in [900.0, 1500.0], "heat capacity of the exhaust gas";
        gamma: HeatCapacityRatio = "gamma" in [1.2, 1.45], "ratio of specific heats of the exhaust gas";
    ) -> ExpansionRatio = "PR_t"
    source "[nag-powerplant], Ex. 11.2"
    {
        let left = (c(1.0) - work / (efficiency * heat_capacity * inlet)).called("y");
        left.powf(-(gamma / (gamma - 1.0)))
    }

    /// Work per mass of an expansion
    ///
    /// w = eta [h(T_03) - h(T_4s)], total to static, cp(T)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Cantera 3.2.0: 212 017.2 J/kg for the lossless expansion of `expansion_ratio`
    /// let exhaust = Gas::products(&Fuel::gasoline()?, Lambda::new(1.0)?)?;
    /// let w = shaftwork::turbine::expansion_work(&exhaust, kelvin(1173.15), ExpansionRatio::new(200.0 / 101.325)?, Efficiency::new(1.0)?)?;
    /// assert!((w.si() - 212_017.2).abs() < 2.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn expansion_work [gas: &Gas] (
        inlet: Temperature = "T_03" in [250.0, 1500.0], "turbine inlet total temperature";
        ratio: ExpansionRatio = "PR_t" in [1.0, 20.0], "expansion ratio, total to static";
        efficiency: Efficiency = "eta" in [0.05, 1.0], "efficiency, total to static";
    ) -> SpecificEnergy = "w"
    source "[by-definition] of total-to-static efficiency"
    {
        let ideal = isentropic_temperature::of(gas, inlet, c(1.0) / ratio).called_in("T_4s", "K");
        efficiency * (S::property(&gas.h(), inlet) - S::property(&gas.h(), ideal))
    }

    /// Outlet temperature of an expansion, constant gamma (hand form)
    ///
    /// T_04 = T_03 [1 - eta (1 - PR_t^(-(gamma-1)/gamma))]
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // H. N. Gupta, Ex. 15.6 (second-hand): 850 K, 1.6 to 1.03 bar, eta 0.85: 502 degC
    /// let t = shaftwork::turbine::outlet_temperature_constant_gamma(
    ///     kelvin(850.0), ExpansionRatio::new(1.6 / 1.03)?, Efficiency::new(0.85)?, HeatCapacityRatio::new(1.33)?)?;
    /// assert!((t.deg_c() - 502.0).abs() < 0.5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn outlet_temperature_constant_gamma(
        inlet: Temperature = "T_03" in [500.0, 1500.0], "turbine inlet total temperature";
        ratio: ExpansionRatio = "PR_t" in [1.0, 20.0], "expansion ratio";
        efficiency: Efficiency = "eta" in [0.05, 1.0], "isentropic efficiency";
        gamma: HeatCapacityRatio = "gamma" in [1.2, 1.45], "ratio of specific heats of the exhaust gas";
    ) -> Temperature = "T_04"
    source "[gupta-ice], Ex. 15.6"
    {
        let n = ((gamma - 1.0) / gamma).called("n");
        inlet * (c(1.0) - efficiency * (c(1.0) - ratio.powf(-n)))
    }
}
