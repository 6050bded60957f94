//! The place and the day.

use super::{density_altitude, standard_pressure, standard_temperature, station_pressure};
use crate::formula::{FormulaError, Giver, Scalar, checked};
use crate::gas::{Gas, density, oxygen_lost, vapour_fraction};
use crate::quantity::*;

/// The place and the day: ambient pressure, temperature and humidity, station 0.
///
/// ```
/// use shaftwork::prelude::*;
/// let site = Site::at_altitude(m(1150.0))?.air_temperature(deg_c(24.0))?;
/// assert_eq!(site.pressure().to_string(), "88.25 kPa");
/// let muggy = site.clone().humidity(RelativeHumidity::new(0.8)?)?;
/// assert!(muggy.density()? < site.density()?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    pressure: Pressure,
    temperature: Temperature,
    altitude: Length,
    barometer: Barometer,
    humidity: RelativeHumidity,
    vapour: VapourFraction,
}

/// What the ambient pressure was taken from.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Barometer {
    Standard,
    Station,
    SeaLevel(SeaLevelPressure),
}

impl Site {
    /// The standard atmosphere, dry, at an altitude of -500 to 5000 m.
    pub fn at_altitude(altitude: Length) -> Result<Self, FormulaError> {
        Ok(Self {
            pressure: standard_pressure(altitude)?,
            temperature: standard_temperature(altitude)?,
            altitude,
            barometer: Barometer::Standard,
            humidity: RelativeHumidity::from_si_unchecked(0.0),
            vapour: VapourFraction::from_si_unchecked(0.0),
        })
    }
    /// A barometer reading at the place itself: 50 to 110 kPa.
    pub fn barometer(mut self, pressure: Pressure) -> Result<Self, FormulaError> {
        let name = "site::Site::barometer";
        self.pressure = checked(name, "pressure", "barometer at the station", pressure, 50e3, 110e3)?;
        self.barometer = Barometer::Station;
        self.moisten()
    }
    /// A barometer reading reduced to sea level, as weather services give it.
    pub fn sea_level_barometer(self, pressure: SeaLevelPressure) -> Result<Self, FormulaError> {
        let here = station_pressure(pressure, self.altitude)?;
        let mut site = self.barometer(here)?;
        site.barometer = Barometer::SeaLevel(pressure);
        Ok(site)
    }
    /// The day's air temperature: -40 to 55 degC.
    pub fn air_temperature(mut self, temperature: Temperature) -> Result<Self, FormulaError> {
        let name = "site::Site::air_temperature";
        self.temperature = checked(name, "temperature", "air temperature", temperature, 233.149, 328.151)?;
        self.moisten()
    }
    /// The day's relative humidity. It follows later changes of temperature and barometer; where the standard
    /// air is below freezing, give the day's temperature first, since humidity is read at 0 degC and above.
    pub fn humidity(mut self, humidity: RelativeHumidity) -> Result<Self, FormulaError> {
        self.humidity = humidity;
        self.moisten()
    }
    /// The vapour that the humidity means at this temperature and pressure.
    fn moisten(mut self) -> Result<Self, FormulaError> {
        self.vapour = if self.humidity.si() > 0.0 {
            vapour_fraction(self.humidity, self.temperature, self.pressure)?
        } else {
            VapourFraction::from_si_unchecked(0.0)
        };
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
    /// Height above mean sea level.
    pub fn altitude(&self) -> Length {
        self.altitude
    }
    /// Mole fraction of water vapour in the air.
    pub fn vapour(&self) -> VapourFraction {
        self.vapour
    }
    /// Ambient pressure less the vapour's part.
    pub fn dry_pressure(&self) -> Pressure {
        self.pressure * (1.0 - self.vapour.si())
    }
    /// The air as a gas.
    pub fn air(&self) -> Result<Gas, FormulaError> {
        Gas::humid_air(self.vapour)
    }
    /// Density of the air.
    pub fn density(&self) -> Result<Density, FormulaError> {
        density(&self.air()?, self.pressure, self.temperature)
    }
    /// The altitude at which the standard atmosphere has this density.
    pub fn density_altitude(&self) -> Result<Length, FormulaError> {
        density_altitude(self.density()?)
    }
    /// Share of the oxygen that humidity displaces.
    pub fn oxygen_lost(&self) -> Result<Fraction, FormulaError> {
        oxygen_lost(self.vapour)
    }

    /// Pressure and temperature, and the mole fraction of vapour, from what they were taken from.
    pub(crate) fn record<S: Scalar>(&self, g: &impl Giver<S>) -> Result<([S; 2], S), FormulaError> {
        let pressure = match self.barometer {
            Barometer::Standard => standard_pressure::step(g.give("site.altitude", "", self.altitude))?,
            Barometer::Station => g.give("site.barometer", "", self.pressure),
            Barometer::SeaLevel(reading) => station_pressure::step(
                g.give("site.barometer_at_sea_level", "", reading),
                g.give("site.altitude", "", self.altitude),
            )?,
        };
        let temperature = g.give("site.air_temperature", "", self.temperature);
        let vapour = if self.humidity.si() > 0.0 {
            let humidity = g.give("site.relative_humidity", "", self.humidity);
            vapour_fraction::step(humidity, temperature, pressure)?
        } else {
            g.give("site.relative_humidity", "", self.vapour)
        };
        Ok(([pressure, temperature], vapour))
    }
}
