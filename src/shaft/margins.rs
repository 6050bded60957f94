//! Distances to limits, as fractions of the value in use: positive keeps the limit.

use crate::quantity::*;

formulas! { room "shaft" group MARGINS;
    /// Power that the shaft asks of the turbine
    ///
    /// P = P_c + P_f: compressor and bearings, where the turbine's efficiency does not count the bearings already.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let p = shaftwork::shaft::power_to_drive(kw(30.0), watt(250.0))?;
    /// assert!((p.kw() - 30.25).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn power_to_drive(
        compressor: Power = "P_c" in [0.0, 1e6], "compressor power";
        bearings: Power = "P_f" in [0.0, 5e4], "power of the bearings";
    ) -> Power = "P"
    source "[energy-balance] of the shaft"
    { compressor + bearings }

    /// Distance to a limit of torque
    ///
    /// m = M_lim/M - 1
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let m = shaftwork::shaft::torque_margin(nm(390.0), nm(300.0))?;
    /// assert!((m.percent() - 30.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn torque_margin(
        limit: Torque = "M_lim" in [1.0, 2e4], "torque limit";
        torque: Torque = "M" in [1e-3, 1e5], "torque";
    ) -> Fraction = "m"
    source "[by-definition]"
    { limit / torque - 1.0 }

    /// Distance to a boost limit
    ///
    /// m = (boost_lim + p_0)/p_m - 1, of absolute pressures
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let m = shaftwork::shaft::boost_margin(kpa_gauge(111.75), kpa(88.25), kpa(160.0))?;
    /// assert!((m.percent() - 25.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn boost_margin(
        limit: GaugePressure = "boost_lim" in [-1e5, 9e5], "boost limit";
        ambient: Pressure = "p_0" in [5e4, 1.1e5], "ambient pressure";
        manifold: Pressure = "p_m" in [1e4, 1e6], "manifold pressure";
    ) -> Fraction = "m"
    source "[by-definition]"
    { (limit + ambient) / manifold - 1.0 }

    /// Distance to a limit of shaft speed
    ///
    /// m = N_lim/N - 1, with a shaft that all but stands still taken at 1 rad/s
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let m = shaftwork::shaft::speed_margin(rpm(132_000.0), rpm(120_000.0))?;
    /// assert!((m.percent() - 10.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn speed_margin(
        limit: ShaftSpeed = "N_lim" in [1.0, 1e5], "limit of shaft speed";
        speed: ShaftSpeed = "N" in [0.0, 1e5], "shaft speed";
    ) -> Fraction = "m"
    source "[by-definition]"
    {
        let one = S::lit(1.0);
        let turning = S::cases(speed, one, case("standing", || one), case("turning", || speed)).called_in("N_1", "rad/s");
        limit / turning - 1.0
    }

    /// Distance to the longest opening of the injectors
    ///
    /// m = DC_lim/DC - 1
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let m = shaftwork::shaft::duty_margin(percent(85.0), percent(68.0))?;
    /// assert!((m.percent() - 25.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn duty_margin(
        limit: Fraction = "DC_lim" in [0.3, 1.0], "longest opening planned";
        duty: Fraction = "DC" in [1e-4, 50.0], "share of the time the injectors are open";
    ) -> Fraction = "m"
    source "[by-definition]"
    { limit / duty - 1.0 }

    /// Distance to the greatest expansion ratio
    ///
    /// m = PR_lim/PR_t - 1
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let m = shaftwork::shaft::expansion_margin(ExpansionRatio::new(3.0)?, ExpansionRatio::new(2.5)?)?;
    /// assert!((m.percent() - 20.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn expansion_margin(
        limit: ExpansionRatio = "PR_lim" in [1.0, 20.0], "greatest expansion ratio planned";
        ratio: ExpansionRatio = "PR_t" in [1.0, 20.0], "expansion ratio";
    ) -> Fraction = "m"
    source "[by-definition]"
    { limit / ratio - 1.0 }

    /// Distance to the choke flow of a measured inducer
    ///
    /// m = W_ch/W - 1
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let m = shaftwork::shaft::inducer_choke_margin(kg_per_s(0.3), kg_per_s(0.25))?;
    /// assert!((m.percent() - 20.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn inducer_choke_margin(
        choke: MassFlow = "W_ch" in [1e-5, 50.0], "choke flow of the inducer";
        flow: MassFlow = "W" in [1e-5, 50.0], "air flow";
    ) -> Fraction = "m"
    source "[by-definition]"
    { choke / flow - 1.0 }

    /// Distance to a limit of mean effective pressure
    ///
    /// m = bmep_lim/bmep - 1
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let m = shaftwork::shaft::mean_pressure_margin(bar_diff(25.0), bar_diff(20.0))?;
    /// assert!((m.percent() - 25.0).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn mean_pressure_margin(
        limit: PressureDifference = "bmep_lim" in [5e5, 6e6], "limit of brake mean effective pressure";
        pressure: PressureDifference = "bmep" in [1.0, 1e7], "brake mean effective pressure";
    ) -> Fraction = "m"
    source "[by-definition]"
    { limit / pressure - 1.0 }

    /// Distance to the flow at which an air restrictor chokes
    ///
    /// m = W_ch/W - 1
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let m = shaftwork::shaft::restrictor_margin(kg_per_s(0.18), kg_per_s(0.15))?;
    /// assert!((m.percent() - 20.0).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn restrictor_margin(
        choke: MassFlow = "W_ch" in [1e-5, 50.0], "choke flow of the restrictor";
        flow: MassFlow = "W" in [1e-5, 50.0], "air flow";
    ) -> Fraction = "m"
    source "[by-definition]"
    { choke / flow - 1.0 }

    /// Distance to a limit of turbine inlet temperature
    ///
    /// m = T_lim/T_03 - 1, of absolute temperatures: a hundredth is about 12 K
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let m = shaftwork::shaft::temperature_margin(kelvin(1230.0), kelvin(1200.0))?;
    /// assert!((m.percent() - 2.5).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn temperature_margin(
        limit: Temperature = "T_lim" in [700.0, 1500.0], "limit of turbine inlet temperature";
        temperature: Temperature = "T_03" in [250.0, 2500.0], "turbine inlet temperature";
    ) -> Fraction = "m"
    source "[by-definition]"
    { limit / temperature - 1.0 }

    /// Distance to a limit of exhaust over manifold pressure
    ///
    /// m = r_lim/(p_03/p_m) - 1
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 1.5 allowed, 240 over 200 kPa: a quarter
    /// let m = shaftwork::shaft::exhaust_pressure_margin(fraction(1.5), kpa(240.0), kpa(200.0))?;
    /// assert!((m.percent() - 25.0).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn exhaust_pressure_margin(
        limit: Fraction = "r_lim" in [0.8, 4.0], "greatest exhaust over manifold pressure";
        exhaust: Pressure = "p_03" in [2e4, 2e6], "exhaust manifold pressure";
        manifold: Pressure = "p_m" in [1e4, 1e6], "manifold pressure";
    ) -> Fraction = "m"
    source "[by-definition]"
    { limit * manifold / exhaust - 1.0 }

    /// Middle of a band of engine speed
    ///
    /// omega = (omega_1 + omega_2)/2
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let n = shaftwork::shaft::middle_speed(rpm(6200.0), rpm(7200.0))?;
    /// assert!((n.rpm() - 6700.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn middle_speed(
        from: ShaftSpeed = "omega_1" in [10.0, 2500.0], "lower engine speed";
        to: ShaftSpeed = "omega_2" in [10.0, 2500.0], "upper engine speed";
    ) -> ShaftSpeed = "omega"
    source "[by-definition]"
    { (from + to) / 2.0 }
}
