//! The pressure chain from ambient air to the manifold.

use crate::quantity::*;

formulas! { room "charge" group CHAIN;
    /// Compressor pressure ratio for a manifold pressure
    ///
    /// Pi = (p_m + dp_cooler)/(p_0 - dp_filter). Every loss counts: 200 kPa in the manifold with 8 kPa lost
    /// in the cooler and 4 kPa in the filter needs 2.137 at sea level, not 1.974.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let pi = shaftwork::charge::required_pressure_ratio(kpa(200.0), kpa_diff(8.0), kpa(101.325), kpa_diff(4.0))?;
    /// assert!((pi.si() - 2.137).abs() < 5e-4);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn required_pressure_ratio(
        manifold: Pressure = "p_m" in [1e4, 1e6], "manifold pressure";
        cooler_loss: PressureDifference = "dp_c" in [0.0, 1e5], "loss between compressor and manifold";
        ambient: Pressure = "p_0" in [5e4, 1.1e5], "ambient pressure";
        filter_loss: PressureDifference = "dp_f" in [0.0, 3e4], "loss before the compressor";
    ) -> PressureRatio = "Pi"
    source "[by-definition] of total pressures at stations 0, 1, 2 and 2c"
    { (manifold + cooler_loss) / (ambient - filter_loss) }

    /// Pressure loss at another flow
    ///
    /// dp = dp_ref (W/W_ref)^2: turbulent flow at about the same density.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let dp = shaftwork::charge::loss_at_flow(kpa_diff(8.0), kg_per_s(0.125), kg_per_s(0.25))?;
    /// assert!((dp.kpa_diff() - 2.0).abs() < 1e-12);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn loss_at_flow(
        loss: PressureDifference = "dp_ref" in [0.0, 1e5], "loss at the reference flow";
        flow: MassFlow = "W" in [1e-4, 5.0], "flow";
        reference: MassFlow = "W_ref" in [1e-3, 5.0], "reference flow";
    ) -> PressureDifference = "dp"
    source "[common-practice], quadratic resistance; measured exponents are 1.75 to 2.0 (from memory)"
    {
        let relative = (flow / reference).called("w");
        loss * relative * relative
    }
}
