//! The standard atmosphere of ISO 2533:1975 up to 5 km, with the day's temperature.

use crate::formula::{FormulaError, checked};
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
    source "ISO 2533:1975, section 2"
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
    source "ISO 2533:1975, section 2"
    { c(288.15) - geopotential_altitude::of(altitude).called("H") * 0.0065 }

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
    source "ISO 2533:1975, section 2"
    {
        let t = standard_temperature::of(altitude).called("T");
        (t / 288.15).powf(S::lit(9.806_65 / (0.0065 * 287.052_87))) * 101_325.0
    }
}

/// The place and the day: ambient pressure and temperature, station 0. The air is dry.
///
/// ```
/// use shaftwork::prelude::*;
/// let site = Site::at_altitude(m(1150.0))?.air_temperature(deg_c(24.0))?;
/// assert_eq!(site.pressure().to_string(), "88.25 kPa");
/// # Ok::<(), FormulaError>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    pressure: Pressure,
    temperature: Temperature,
    altitude: Option<Length>,
}

impl Site {
    /// The standard atmosphere at an altitude of -500 to 5000 m.
    pub fn at_altitude(altitude: Length) -> Result<Self, FormulaError> {
        Ok(Self {
            pressure: standard_pressure(altitude)?,
            temperature: standard_temperature(altitude)?,
            altitude: Some(altitude),
        })
    }
    /// A barometer reading at the place itself, not reduced to sea level: 50 to 110 kPa.
    pub fn barometer(mut self, pressure: Pressure) -> Result<Self, FormulaError> {
        self.pressure =
            checked("site::Site::barometer", "pressure", "barometer at the station", pressure, 50e3, 110e3)?;
        Ok(self)
    }
    /// The day's air temperature: -40 to 55 degC.
    pub fn air_temperature(mut self, temperature: Temperature) -> Result<Self, FormulaError> {
        self.temperature = checked(
            "site::Site::air_temperature",
            "temperature",
            "air temperature",
            temperature,
            233.15,
            328.15,
        )?;
        Ok(self)
    }
    /// Ambient absolute pressure.
    pub fn pressure(&self) -> Pressure {
        self.pressure
    }
    /// Ambient temperature.
    pub fn temperature(&self) -> Temperature {
        self.temperature
    }
    /// The altitude it was made from.
    pub fn altitude(&self) -> Option<Length> {
        self.altitude
    }
}
