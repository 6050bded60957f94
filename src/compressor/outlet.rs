//! Outlet state, density and power.

use crate::gas::{Gas, isentropic_temperature};
use crate::quantity::*;

formulas! { room "compressor" group OUTLET;
    /// Outlet total temperature from isentropic efficiency
    ///
    /// h(T_02) = h(T_01) + [h(T_2s) - h(T_01)]/eta with s(T_2s) = s(T_01) + R ln Pi: adiabatic, cp(T).
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Cantera 3.2.0: air, 298.15 K, Pi 2.0, eta 0.75: 384.9082 K
    /// let t = shaftwork::compressor::outlet_temperature(&Gas::dry_air(), kelvin(298.15), PressureRatio::new(2.0)?, Efficiency::new(0.75)?)?;
    /// assert!((t.kelvin() - 384.9082).abs() < 1e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn outlet_temperature [gas: &Gas] (
        inlet: Temperature = "T_01" in [200.0, 500.0], "inlet total temperature";
        ratio: PressureRatio = "Pi" in [1.0, 12.0], "total pressure ratio";
        efficiency: Efficiency = "eta" in [0.05, 1.0], "isentropic efficiency, total to total";
    ) -> Temperature = "T_02"
    source "definition of isentropic efficiency with the polynomials of [nasa-tm-4513]"
    {
        let ideal = isentropic_temperature::of(gas, inlet, ratio).called_in("T_2s", "K");
        let h1 = S::property(&gas.h(), inlet);
        let rise = ((S::property(&gas.h(), ideal) - h1) / efficiency).called_in("dh", "J/kg");
        S::inverse(&gas.h(), h1 + rise)
    }

    /// Outlet total temperature, constant gamma (hand form)
    ///
    /// T_02 = T_01 [1 + (Pi^((gamma-1)/gamma) - 1)/eta]. An approximation: for air with gamma 1.4 it reads
    /// about 1 K high at a ratio of 3.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // H. N. Gupta, Fundamentals of Internal Combustion Engines, Ex. 15.6 (second-hand): 86 degC
    /// let t = shaftwork::compressor::outlet_temperature_constant_gamma(
    ///     kelvin(290.0), PressureRatio::new(1.8 / 0.98)?, Efficiency::new(0.8)?, HeatCapacityRatio::new(1.4)?)?;
    /// assert!((t.deg_c() - 86.0).abs() < 0.5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn outlet_temperature_constant_gamma(
        inlet: Temperature = "T_01" in [200.0, 500.0], "inlet total temperature";
        ratio: PressureRatio = "Pi" in [1.0, 12.0], "total pressure ratio";
        efficiency: Efficiency = "eta" in [0.05, 1.0], "isentropic efficiency, total to total";
        gamma: HeatCapacityRatio = "gamma" in [1.05, 1.6667], "ratio of specific heats";
    ) -> Temperature = "T_02"
    source "[gupta-ice], Ex. 15.6"
    {
        let n = ((gamma - 1.0) / gamma).called("n");
        inlet * ((ratio.powf(n) - 1.0) / efficiency + 1.0)
    }

    /// Isentropic efficiency from measured pressures and temperatures
    ///
    /// eta = [h(T_2s) - h(T_01)]/[h(T_02) - h(T_01)]
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let eta = shaftwork::compressor::isentropic_efficiency(&Gas::dry_air(), kelvin(298.15), kelvin(384.9082), PressureRatio::new(2.0)?)?;
    /// assert!((eta.si() - 0.75).abs() < 1e-5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn isentropic_efficiency [gas: &Gas] (
        inlet: Temperature = "T_01" in [200.0, 500.0], "inlet total temperature";
        outlet: Temperature = "T_02" in [200.0, 1200.0], "outlet total temperature";
        ratio: PressureRatio = "Pi" in [1.0, 12.0], "total pressure ratio";
    ) -> Efficiency = "eta"
    source "[by-definition]; checked on the 206 readings of [nasa-hecc]"
    {
        let ideal = isentropic_temperature::of(gas, inlet, ratio).called_in("T_2s", "K");
        let h1 = S::property(&gas.h(), inlet);
        (S::property(&gas.h(), ideal) - h1) / (S::property(&gas.h(), outlet) - h1)
    }

    /// Density ratio over the compressor
    ///
    /// rho_02/rho_01 = Pi T_01/T_02
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Pi 2.0, 298.15 K to 384.9082 K: 1.549 by hand
    /// let ratio = shaftwork::compressor::density_ratio(PressureRatio::new(2.0)?, kelvin(298.15), kelvin(384.9082))?;
    /// assert!((ratio.si() - 1.5492).abs() < 1e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn density_ratio(
        ratio: PressureRatio = "Pi" in [0.05, 20.0], "total pressure ratio";
        inlet: Temperature = "T_01" in [200.0, 500.0], "inlet total temperature";
        outlet: Temperature = "T_02" in [200.0, 1200.0], "outlet total temperature";
    ) -> DensityRatio = "rho_02/rho_01"
    source "[ideal-gas]"
    { ratio * inlet / outlet }

    /// Power that the air takes up
    ///
    /// P = W [h(T_02) - h(T_01)]; bearing losses are not in it.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Cantera 3.2.0: 87 459.5 J/kg from 298.15 to 384.9082 K
    /// let p = shaftwork::compressor::power(&Gas::dry_air(), kg_per_s(0.2), kelvin(298.15), kelvin(384.9082))?;
    /// assert!((p.kw() - 17.4919).abs() < 1e-3);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn power [gas: &Gas] (
        flow: MassFlow = "W" in [1e-5, 50.0], "mass flow";
        inlet: Temperature = "T_01" in [200.0, 500.0], "inlet total temperature";
        outlet: Temperature = "T_02" in [200.0, 1200.0], "outlet total temperature";
    ) -> Power = "P_c"
    source "[energy-balance] of steady flow"
    { flow * (S::property(&gas.h(), outlet) - S::property(&gas.h(), inlet)) }
}
