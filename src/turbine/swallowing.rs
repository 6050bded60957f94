//! Swallowing capacity: the flow that an effective area passes.

use crate::quantity::*;

formulas! { room "turbine" group SWALLOWING;
    /// Flow through an effective area
    ///
    /// W = A p_03/sqrt(R T_03) psi, psi = sqrt(2 gamma/(gamma-1) [x^(2/gamma) - x^((gamma+1)/gamma)]), x = 1/PR_t,
    /// held at its greatest value once choked. A radial turbine is not a fixed nozzle: at a fixed ratio its
    /// flow falls by up to 17 % from low to full speed ([nasa-tn-d-5090]).
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 100 mm2, air of 288.15 K choked from 101.325 kPa: 0.024124 kg/s
    /// let w = shaftwork::turbine::nozzle_flow(mm2(100.0), kpa(101.325), kelvin(288.15), ExpansionRatio::new(3.0)?, HeatCapacityRatio::new(1.4)?, j_per_kg_k(287.05))?;
    /// assert!((w.si() - 0.024124).abs() < 1e-6);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn nozzle_flow(
        area: Area = "A" in [1e-7, 0.1], "effective area";
        pressure: Pressure = "p_03" in [2e4, 2e6], "inlet total pressure";
        temperature: Temperature = "T_03" in [200.0, 1500.0], "inlet total temperature";
        ratio: ExpansionRatio = "PR_t" in [1.0, 20.0], "expansion ratio";
        gamma: HeatCapacityRatio = "gamma" in [1.1, 1.6667], "ratio of specific heats";
        gas_constant: SpecificHeat = "R" in [150.0, 600.0], "specific gas constant";
    ) -> MassFlow = "W"
    source "[derived-here] for isentropic flow of an [ideal-gas]; critical ratio ((gamma+1)/2)^(gamma/(gamma-1))"
    {
        let critical = ((gamma + 1.0) / 2.0).powf(gamma / (gamma - 1.0)).called("PR_crit");
        let used = S::cases(ratio, critical, case("not choked", || ratio), case("choked", || critical)).called("PR");
        let x = (c(1.0) / used).called("x");
        let first = x.powf(c(2.0) / gamma);
        let second = x.powf((gamma + 1.0) / gamma);
        let psi = (gamma * 2.0 / (gamma - 1.0) * (first - second)).sqrt().called("psi");
        area * pressure * psi / (gas_constant * temperature).sqrt()
    }
}
