//! The standard atmosphere of ISO 2533:1975 up to 5 km, and readings brought to it.

use crate::quantity::*;

formulas! { room "site" group ATMOSPHERE;
    /// Geopotential altitude
    ///
    /// H = r h/(r + h), r = 6 356 766 m
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let h = shaftwork::site::geopotential_altitude(m(5000.0))?;
    /// assert!((h.si() - 4996.07).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn geopotential_altitude(altitude: Length = "h" in [-500.0, 5000.0], "height above mean sea level";) -> Length = "H"
    source "[iso-2533], section 2"
    { altitude * 6_356_766.0 / (altitude + 6_356_766.0) }

    /// Standard temperature at an altitude
    ///
    /// T = 288.15 K - 0.0065 K/m H, H geopotential
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // ISO 2533:1975, table: 281.651 K at 1000 m
    /// let t = shaftwork::site::standard_temperature(m(1000.0))?;
    /// assert!((t.kelvin() - 281.651).abs() < 1e-3);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn standard_temperature(altitude: Length = "h" in [-500.0, 5000.0], "height above mean sea level";) -> Temperature = "T"
    source "[iso-2533], section 2"
    { c(288.15) - geopotential_altitude::of(altitude).called_in("H", "m") * 0.0065 }

    /// Standard pressure at an altitude
    ///
    /// p = 101 325 Pa (T/288.15 K)^(g0/(L R)), exponent 5.25588
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // ISO 2533:1975, table: 89 876 Pa at 1000 m
    /// let p = shaftwork::site::standard_pressure(m(1000.0))?;
    /// assert!((p.si() - 89_876.3).abs() < 0.1);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn standard_pressure(altitude: Length = "h" in [-500.0, 5000.0], "height above mean sea level";) -> Pressure = "p"
    source "[iso-2533], section 2"
    {
        let t = standard_temperature::of(altitude).called_in("T", "K");
        (t / 288.15).powf(S::lit(9.806_65 / (0.0065 * 287.052_87))) * 101_325.0
    }

    /// Pressure of the place from a barometer reading reduced to sea level
    ///
    /// p = p_0 [(q/p_0)^(1/n) - L H/T_0]^n, n = g_0/(L R): the standard atmosphere shifted to the reading, as
    /// altimeter settings are defined.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // With the standard reading the standard atmosphere: 89 876 Pa at 1000 m
    /// let p = shaftwork::site::station_pressure(hpa_sea_level(1013.25), m(1000.0))?;
    /// assert!((p.si() - 89_876.3).abs() < 0.1);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn station_pressure(
        reading: SeaLevelPressure = "q" in [9e4, 1.1e5], "barometer reading reduced to sea level";
        altitude: Length = "h" in [-500.0, 5000.0], "height above mean sea level";
    ) -> Pressure = "p"
    source "[iso-2533], section 2, with the definition of the altimeter setting"
    {
        let n = 9.806_65 / (0.0065 * 287.052_87);
        let fall = (geopotential_altitude::of(altitude) * (0.0065 / 288.15)).called("L H/T_0");
        ((reading / 101_325.0).powf(S::lit(1.0 / n)) - fall).powf(S::lit(n)) * 101_325.0
    }

    /// Density altitude
    ///
    /// H = (T_0/L) [1 - (rho/rho_0)^(1/(n-1))], n = g_0/(L R), rho_0 = 1.225 kg/m3: geopotential.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // ISO 2533:1975, table: 1.11164 kg/m3 at 1000 m geopotential
    /// let h = shaftwork::site::density_altitude(kg_per_m3(1.111643))?;
    /// assert!((h.m() - 1000.0).abs() < 0.1);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn density_altitude(density: Density = "rho" in [0.6, 1.7], "air density";) -> Length = "H"
    source "[iso-2533], section 2, turned round"
    {
        let n = 9.806_65 / (0.0065 * 287.052_87);
        let relative = (density / (101_325.0 / (287.052_87 * 288.15))).called("rho/rho_0");
        (c(1.0) - relative.powf(S::lit(1.0 / (n - 1.0)))) * (288.15 / 0.0065)
    }
}
