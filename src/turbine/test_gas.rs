//! From the gas a turbine was tested on to the gas it works on: the same Mach numbers in every passage.

use crate::quantity::*;

formulas! { room "turbine" group TEST_GAS;
    /// Flow on one gas over that on the test gas
    ///
    /// k_g = [psi_c(gamma)/sqrt(R)]/[psi_c(gamma_t)/sqrt(R_t)], psi_c = sqrt(gamma) [2/(gamma+1)]^((gamma+1)/(2 (gamma-1))): choked flow at
    /// equal pressure and temperature. Below choking, at the equivalent expansion ratio, a nozzle agrees within 0.8 %.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // From air (1.4, 287.05) to exhaust (1.3, 290) by the choking constants of compressible-flow tables, by hand: 0.9695
    /// let k = shaftwork::turbine::test_gas_factor(HeatCapacityRatio::new(1.3)?, j_per_kg_k(290.0), HeatCapacityRatio::new(1.4)?, j_per_kg_k(287.05))?;
    /// assert!((k.si() - 0.9695).abs() < 1e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn test_gas_factor(
        gamma: HeatCapacityRatio = "gamma" in [1.1, 1.6667], "ratio of specific heats";
        gas_constant: SpecificHeat = "R" in [150.0, 600.0], "specific gas constant";
        test_gamma: HeatCapacityRatio = "gamma_t" in [1.1, 1.6667], "ratio of specific heats of the test gas";
        test_gas_constant: SpecificHeat = "R_t" in [150.0, 600.0], "gas constant of the test gas";
    ) -> Fraction = "k_g"
    source "[derived-here] for an [ideal-gas]; [nasa-tn-d-5090] corrects its equivalent flow alike"
    {
        let psi = |g: S| g.sqrt() * (c(2.0) / (g + 1.0)).powf((g + 1.0) / ((g - 1.0) * 2.0));
        psi(gamma) / psi(test_gamma) * (test_gas_constant / gas_constant).sqrt()
    }

    /// Expansion ratio of the test gas with the same Mach numbers
    ///
    /// (gamma_t+1)/(gamma_t-1) (1 - PR_e^-m_t) = (gamma+1)/(gamma-1) (1 - PR_t^-m), m = (gamma-1)/gamma: ideal velocity over the critical
    /// speed of sound is the same on both gases.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Both critical ratios go together: 1.8324 at 1.3 and 1.8929 at 1.4
    /// let e = shaftwork::turbine::equivalent_expansion(ExpansionRatio::new(1.83243)?, HeatCapacityRatio::new(1.3)?, HeatCapacityRatio::new(1.4)?)?;
    /// assert!((e.ratio() - 1.89293).abs() < 1e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn equivalent_expansion(
        ratio: ExpansionRatio = "PR_t" in [1.0, 12.0], "expansion ratio, total to static";
        gamma: HeatCapacityRatio = "gamma" in [1.1, 1.6667], "ratio of specific heats";
        test_gamma: HeatCapacityRatio = "gamma_t" in [1.1, 1.6667], "ratio of specific heats of the test gas";
    ) -> ExpansionRatio = "PR_e"
    source "[derived-here] from equal critical velocity ratios, as [nasa-tn-d-5090] defines equivalent conditions"
    {
        let m = ((gamma - 1.0) / gamma).called("m");
        let square = ((gamma + 1.0) / (gamma - 1.0) * (c(1.0) - ratio.powf(-m))).called("M_0");
        let drop = (square * (test_gamma - 1.0) / (test_gamma + 1.0)).called("q_t");
        (c(1.0) - drop).powf(-(test_gamma / (test_gamma - 1.0)))
    }

    /// Speed on the test gas with the same Mach numbers
    ///
    /// N_e = N sqrt([gamma_t R_t T_ref/(gamma_t+1)]/[gamma R T_03/(gamma+1)])
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 120 000 rev/min at 1173 K on exhaust (1.31, 292), test air of 288.15 K by hand: 59 807 rev/min
    /// let n = shaftwork::turbine::equivalent_speed(rpm(120e3), kelvin(1173.0), HeatCapacityRatio::new(1.31)?, j_per_kg_k(292.0), kelvin(288.15), HeatCapacityRatio::new(1.4)?, j_per_kg_k(287.05))?;
    /// assert!((n.get("rpm")? - 59_807.0).abs() < 1.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn equivalent_speed(
        speed: ShaftSpeed = "N" in [0.0, 4e4], "shaft speed";
        temperature: Temperature = "T_03" in [200.0, 1500.0], "inlet total temperature";
        gamma: HeatCapacityRatio = "gamma" in [1.1, 1.6667], "ratio of specific heats";
        gas_constant: SpecificHeat = "R" in [150.0, 600.0], "specific gas constant";
        test_temperature: Temperature = "T_ref" in [250.0, 1300.0], "reference temperature of the map";
        test_gamma: HeatCapacityRatio = "gamma_t" in [1.1, 1.6667], "ratio of specific heats of the test gas";
        test_gas_constant: SpecificHeat = "R_t" in [150.0, 600.0], "gas constant of the test gas";
    ) -> CorrectedSpeed = "N_e"
    source "[derived-here] from equal critical velocity ratios, as [nasa-tn-d-5090] defines equivalent conditions"
    {
        let test = test_gamma / (test_gamma + 1.0) * test_gas_constant * test_temperature;
        speed * (test / (gamma / (gamma + 1.0) * gas_constant * temperature)).sqrt()
    }

    /// Flow from the corrected flow of a map
    ///
    /// W = W_c k_g (p_03/p_ref) sqrt(T_ref/T_03)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: 0.1 x 0.97 x 2 x sqrt(0.25)
    /// let w = shaftwork::turbine::flow_from_equivalent(corrected_kg_per_s(0.1), fraction(0.97), kpa(200.0), kelvin(1152.6), kpa(100.0), kelvin(288.15))?;
    /// assert!((w.si() - 0.097).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn flow_from_equivalent(
        flow: CorrectedMassFlow = "W_c" in [0.0, 20.0], "corrected flow of the map";
        factor: Fraction = "k_g" in [0.3, 3.0], "flow on this gas over that on the test gas";
        pressure: Pressure = "p_03" in [2e4, 2e6], "inlet total pressure";
        temperature: Temperature = "T_03" in [200.0, 1500.0], "inlet total temperature";
        test_pressure: Pressure = "p_ref" in [5e4, 2e5], "reference pressure of the map";
        test_temperature: Temperature = "T_ref" in [250.0, 1300.0], "reference temperature of the map";
    ) -> MassFlow = "W"
    source "[by-definition] of corrected flow"
    { flow * factor * (pressure / test_pressure) * (test_temperature / temperature).sqrt() }
}
