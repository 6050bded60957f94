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

    /// Manifold pressure behind a compressor
    ///
    /// p_m = (p_01 Pi - dp_c) theta, theta the share of the pressure that the throttle leaves.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let p = shaftwork::charge::delivered_pressure(kpa(97.0), PressureRatio::new(2.2)?, kpa_diff(8.4), percent(100.0))?;
    /// assert!((p.kpa() - 205.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn delivered_pressure(
        inlet: Pressure = "p_01" in [2e4, 1.2e5], "compressor inlet pressure";
        ratio: PressureRatio = "Pi" in [0.5, 20.0], "compressor pressure ratio";
        cooler_loss: PressureDifference = "dp_c" in [0.0, 1e5], "loss between compressor and manifold";
        throttle: Fraction = "theta" in [0.05, 1.0], "pressure after the throttle over that before it";
    ) -> Pressure = "p_m"
    source "[by-definition] of total pressures at stations 1, 2 and 2c"
    { (inlet * ratio - cooler_loss) * throttle }

    /// Pressure before the compressor
    ///
    /// p_01 = p_0 - dp_f
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let p = shaftwork::charge::inlet_pressure(kpa(88.25), kpa_diff(3.0))?;
    /// assert!((p.kpa() - 85.25).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn inlet_pressure(
        ambient: Pressure = "p_0" in [5e4, 1.1e5], "ambient pressure";
        filter_loss: PressureDifference = "dp_f" in [0.0, 3e4], "loss before the compressor";
    ) -> Pressure = "p_01"
    source "[by-definition]"
    { ambient - filter_loss }

    /// Temperature before the compressor
    ///
    /// T_01 = T_0 + dT
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let t = shaftwork::charge::inlet_temperature(deg_c(24.0), kelvin_diff(5.0))?;
    /// assert!((t.deg_c() - 29.0).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn inlet_temperature(
        ambient: Temperature = "T_0" in [220.0, 340.0], "ambient temperature";
        heating: TemperatureDifference = "dT" in [-50.0, 100.0], "heating on the way to the compressor";
    ) -> Temperature = "T_01"
    source "[by-definition]"
    { ambient + heating }

    /// Pressure ratio asked of a compressor that never expands
    ///
    /// A ratio below one means that the engine breathes this flow without boost; the compressor then idles.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let ratio = shaftwork::charge::compression_asked(PressureRatio::new(0.93)?)?;
    /// assert_eq!(ratio.si(), 1.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn compression_asked(
        ratio: PressureRatio = "Pi_0" in [0.05, 20.0], "pressure ratio of the whole way";
    ) -> PressureRatio = "Pi"
    source "[by-definition]"
    { S::cases(ratio, S::lit(1.0), case("no boost needed", || S::lit(1.0)), case("boost", || ratio)) }

    /// Manifold pressure above the barometer
    ///
    /// boost = p_m - p_0
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let boost = shaftwork::charge::boost(kpa(228.25), kpa(88.25))?;
    /// assert!((boost.kpa_gauge() - 140.0).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn boost(
        manifold: Pressure = "p_m" in [1e4, 1e6], "manifold pressure";
        ambient: Pressure = "p_0" in [5e4, 1.1e5], "ambient pressure";
    ) -> GaugePressure = "boost"
    source "[by-definition]"
    { manifold - ambient }

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
