//! Water in the air: saturation, the measures of humidity, humid air as a gas.
//!
//! Air and vapour are taken as ideal gases. Real moist air holds 0.3 to 0.5 % more water than that (the
//! enhancement factor); it is left out, and named wherever humid air is compared.

use super::{Gas, Species};
use crate::constants::WATER_OVER_AIR;
use crate::formula::FormulaError;
use crate::quantity::*;

formulas! { room "gas" group HUMID;
    /// Saturation pressure of water
    ///
    /// ln p_ws = C8/T + C9 + C10 T + C11 T^2 + C12 T^3 + C13 ln T over liquid water, from 0 degC; within 0.03 %
    /// of the reference equation of water from 0 to 60 degC.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // IAPWS-95 at 25 degC: 3169.9 Pa
    /// let p = shaftwork::gas::saturation_pressure(deg_c(25.0))?;
    /// assert!((p.si() - 3169.9).abs() < 1.0);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn saturation_pressure(temperature: Temperature = "T" in [273.15, 373.15], "air temperature";) -> Pressure = "p_ws"
    source "[hyland-wexler], as in [ashrae-fundamentals]"
    {
        let t = temperature;
        (c(-5.800_220_6e3) / t + 1.391_499_3 - t * 4.864_023_9e-2 + t * t * 4.176_476_8e-5
            - t * t * t * 1.445_209_3e-8 + t.ln() * 6.545_967_3)
            .exp()
    }

    /// Mole fraction of water vapour from the relative humidity
    ///
    /// x = phi p_ws(T)/p
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 35 degC, 60 %: 3.3 % of the air is water
    /// let x = shaftwork::gas::vapour_fraction(RelativeHumidity::new(0.6)?, deg_c(35.0), kpa(101.325))?;
    /// assert!((x.percent() - 3.333).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn vapour_fraction(
        humidity: RelativeHumidity = "phi" in [0.0, 1.0], "relative humidity over liquid water";
        temperature: Temperature = "T" in [273.15, 333.15], "air temperature";
        pressure: Pressure = "p" in [3e4, 1.2e5], "air pressure";
    ) -> VapourFraction = "x"
    source "[by-definition]; [ideal-gas] mixture, the enhancement factor (about 1.004) left out"
    { humidity * saturation_pressure::of(temperature).called_in("p_ws", "Pa") / pressure }

    /// Humidity ratio from the mole fraction of vapour
    ///
    /// w = (M_w/M_air) x/(1 - x)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // ASHRAE, 25 degC and 50 % at 101.325 kPa without enhancement: 9.881 g/kg
    /// let w = shaftwork::gas::humidity_ratio(VapourFraction::new(0.5 * 3169.2 / 101_325.0)?)?;
    /// assert!((w.g_per_kg() - 9.881).abs() < 0.005);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn humidity_ratio(vapour: VapourFraction = "x" in [0.0, 0.3], "mole fraction of vapour";) -> HumidityRatio = "w"
    source "[by-definition]; M_w/M_air = 18.015/28.96508"
    { vapour / (c(1.0) - vapour) * WATER_OVER_AIR }

    /// Mole fraction of vapour from the humidity ratio
    ///
    /// x = w/(w + M_w/M_air)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let x = shaftwork::gas::vapour_fraction_from_ratio(HumidityRatio::new(0.009881)?)?;
    /// assert!((x.si() - 0.5 * 3169.2 / 101_325.0).abs() < 1e-5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn vapour_fraction_from_ratio(ratio: HumidityRatio = "w" in [0.0, 0.25], "humidity ratio";) -> VapourFraction = "x"
    source "[by-definition] of the humidity ratio, turned round"
    { ratio / (ratio + WATER_OVER_AIR) }

    /// Oxygen lost to humidity
    ///
    /// Share of the oxygen that vapour displaces at the same temperature and pressure: its mole fraction.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let lost = shaftwork::gas::oxygen_lost(VapourFraction::new(0.0333)?)?;
    /// assert!((lost.percent() - 3.33).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn oxygen_lost(vapour: VapourFraction = "x" in [0.0, 0.3], "mole fraction of vapour";) -> Fraction = "lost"
    source "[ideal-gas] mixture"
    { vapour }
}

impl Gas {
    /// Air with so much water vapour.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let humid = Gas::humid_air(VapourFraction::new(0.0333)?)?;
    /// assert!(humid.gas_constant() > Gas::dry_air().gas_constant());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`FormulaError::OutOfRange`] for a mole fraction above 0.3.
    pub fn humid_air(vapour: VapourFraction) -> Result<Self, FormulaError> {
        let name = "gas::Gas::humid_air";
        let x = crate::formula::checked(name, "vapour", "mole fraction of vapour", vapour, 0.0, 0.3)?.si();
        if x == 0.0 {
            return Ok(Self::dry_air());
        }
        let dry: f64 = Self::DRY_AIR.iter().sum();
        let mut moles = Self::DRY_AIR.map(|n| n * (1.0 - x) / dry);
        moles[Species::H2O as usize] = x;
        Ok(Self::mix(format!("air with {} % vapour", significant(100.0 * x, 3)), moles))
    }
    /// Mole fraction of water vapour.
    pub fn vapour(&self) -> VapourFraction {
        VapourFraction::from_si_unchecked(self.mole_fraction(Species::H2O))
    }
}
