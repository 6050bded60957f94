//! What joins the turbine to the exhaust and to the shaft.

use crate::gas::Gas;
use crate::quantity::*;

formulas! { room "turbine" group SHAFT;
    /// Pressure after the turbine
    ///
    /// p_4 = p_0 + dp_x
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let p = shaftwork::turbine::outlet_pressure(kpa(88.25), kpa_diff(9.0))?;
    /// assert!((p.kpa() - 97.25).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn outlet_pressure(
        ambient: Pressure = "p_0" in [5e4, 1.1e5], "ambient pressure";
        back_pressure: PressureDifference = "dp_x" in [0.0, 2e5], "back pressure of the exhaust system";
    ) -> Pressure = "p_4"
    source "[by-definition]"
    { ambient + back_pressure }

    /// Pressure before the turbine
    ///
    /// p_3 = p_4 PR_t
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let p = shaftwork::turbine::inlet_pressure(kpa(97.25), ExpansionRatio::new(2.5)?)?;
    /// assert!((p.kpa() - 243.125).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn inlet_pressure(
        outlet: Pressure = "p_4" in [5e4, 3e5], "pressure after the turbine";
        ratio: ExpansionRatio = "PR_t" in [1.0, 20.0], "expansion ratio, total to static";
    ) -> Pressure = "p_3"
    source "[by-definition]"
    { outlet * ratio }

    /// Power of the turbine
    ///
    /// P_t = W_t w
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let p = shaftwork::turbine::power(kg_per_s(0.2), kj_per_kg(150.0))?;
    /// assert!((p.kw() - 30.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn power(
        flow: MassFlow = "W_t" in [0.0, 5.0], "flow through the turbine";
        work: SpecificEnergy = "w" in [0.0, 8e5], "work per mass";
    ) -> Power = "P_t"
    source "[energy-balance]"
    { flow * work }

    /// Work that each mass of exhaust must give to drive the compressor
    ///
    /// w = P_c/W_e: all the exhaust through the turbine
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let w = shaftwork::turbine::work_asked(kw(30.0), kg_per_s(0.25))?;
    /// assert!((w.kj_per_kg() - 120.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn work_asked(
        compressor: Power = "P_c" in [0.0, 1e6], "compressor power";
        exhaust: MassFlow = "W_e" in [1e-5, 50.0], "exhaust flow";
    ) -> SpecificEnergy = "w"
    source "[energy-balance] of the shaft"
    { compressor / exhaust }

    /// Temperature of the exhaust at the turbine wheel
    ///
    /// h(T_w) = h(T_03) - Q/W_e: the exhaust has lost what the compressed air received
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 302 W out of 32 g/s at 1200 J/(kg K) or so: 8 K
    /// let exhaust = Gas::products(&Fuel::gasoline()?, Lambda::new(0.85)?)?;
    /// let t = shaftwork::turbine::exhaust_at_wheel(&exhaust, kelvin(1000.0), watt(302.0), g_per_s(32.0))?;
    /// assert!((t.kelvin() - 992.5).abs() < 0.5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn exhaust_at_wheel [exhaust: &Gas] (
        inlet: Temperature = "T_03" in [250.0, 2000.0], "turbine inlet temperature";
        heat: Power = "Q" in [-1e5, 1e5], "heat from the exhaust to the compressed air";
        flow: MassFlow = "W_e" in [1e-5, 50.0], "exhaust flow";
    ) -> Temperature = "T_w"
    source "[energy-balance], with the polynomials of [nasa-tm-4513]"
    { S::inverse(&exhaust.h(), S::property(&exhaust.h(), inlet) - heat / flow) }

    /// Share of the exhaust that passes the wastegate
    ///
    /// s = 1 - W_t/W_e. Below zero the turbine is too large: even with the wastegate shut it does not drive the
    /// compressor.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let s = shaftwork::turbine::wastegate_share(kg_per_s(0.2), kg_per_s(0.25))?;
    /// assert!((s.percent() - 20.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn wastegate_share(
        turbine: MassFlow = "W_t" in [0.0, 5.0], "flow through the turbine";
        exhaust: MassFlow = "W_e" in [1e-5, 50.0], "exhaust flow";
    ) -> Fraction = "s"
    source "[mass-balance]"
    { c(1.0) - turbine / exhaust }
}
