//! Viscosity.

use crate::quantity::*;

formulas! { room "gas" group TRANSPORT;
    /// Dynamic viscosity of air
    ///
    /// mu = beta T^1.5/(T + S), beta 1.458e-6 kg/(m s K^0.5), S 110.4 K (Sutherland). It reads 2 %
    /// low up to 500 K and 5 to 7 % low above 1200 K against a reference equation of air; combustion products
    /// of engines lie within 5 % of it from 800 K.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // ISO 2533:1975 at sea level: 17.894 uPa s
    /// let mu = shaftwork::gas::viscosity(kelvin(288.15))?;
    /// assert!((mu.upa_s() - 17.894).abs() < 1e-3);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn viscosity(temperature: Temperature = "T" in [200.0, 1600.0], "temperature";) -> Viscosity = "mu"
    source "[iso-2533], section 2"
    { temperature.powf(S::lit(1.5)) * 1.458e-6 / (temperature + 110.4) }
}
