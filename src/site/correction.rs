//! Power brought to standard air, with the limits each standard sets itself.
//!
//! These corrections are for engines whose manifold pressure follows the ambient air. Where boost is
//! controlled to an absolute pressure the engine corrects itself as long as the turbocharger can, and
//! the altitude is better calculated than corrected.

use super::Site;
use crate::formula::FormulaError;
use crate::quantity::*;

formulas! { room "site" group CORRECTION;
    /// Power correction of SAE J1349 (1990)
    ///
    /// cf = 1.180 (99 kPa/p_d) sqrt(T/298 K) - 0.18: to 99 kPa dry and 25 degC, with a mechanical efficiency of
    /// 85 % built in.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 97 kPa, 30 degC: 1.03439
    /// let cf = shaftwork::site::correction_j1349(kpa(97.0), kelvin(303.0))?;
    /// assert!((cf.si() - 1.03439).abs() < 1e-5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn correction_j1349(
        dry: Pressure = "p_d" in [5e4, 1.1e5], "ambient pressure less the vapour's part";
        temperature: Temperature = "T" in [233.0, 333.0], "inlet air temperature";
    ) -> Fraction = "cf"
    source "[sae-j1349], edition JUN90 (second-hand, the formula as quoted on two pages)"
    { c(1.180 * 99_000.0) / dry * (temperature / 298.0).sqrt() - 0.18 }

    /// Power correction of ISO 1585 (1992), spark ignition
    ///
    /// alpha = (99 kPa/p_s)^1.2 (T/298 K)^0.6
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 97 kPa, 30 degC: 1.03508
    /// let alpha = shaftwork::site::correction_iso1585(kpa(97.0), kelvin(303.0))?;
    /// assert!((alpha.si() - 1.03508).abs() < 1e-5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn correction_iso1585(
        dry: Pressure = "p_s" in [5e4, 1.1e5], "ambient pressure less the vapour's part";
        temperature: Temperature = "T" in [233.0, 333.0], "inlet air temperature";
    ) -> Fraction = "alpha"
    source "[iso-1585], 5.3 (exponents from memory; the same in [un-r85])"
    { (c(99_000.0) / dry).powf(S::lit(1.2)) * (temperature / 298.0).powf(S::lit(0.6)) }
}

/// A standard for power correction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CorrectionStandard {
    /// SAE J1349, edition of June 1990.
    J1349,
    /// ISO 1585:1992 for spark ignition.
    Iso1585,
}

/// A power correction, with the reason where its standard does not allow it.
#[derive(Clone, Debug, PartialEq)]
pub struct PowerCorrection {
    /// The factor on measured power.
    pub factor: Fraction,
    /// Why the standard does not allow it here.
    pub outside: Option<String>,
}

impl Site {
    /// The factor that brings power measured here to the standard's reference air. Outside the standard's
    /// own limits it is still given, and the result says why it does not count.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// use shaftwork::site::CorrectionStandard;
    /// let hill = Site::at_altitude(m(1150.0))?.air_temperature(deg_c(24.0))?;
    /// let correction = hill.power_correction(CorrectionStandard::Iso1585)?;
    /// assert!(correction.outside.unwrap().contains("0.93 to 1.07"));
    /// # Ok::<(), FormulaError>(())
    /// ```
    pub fn power_correction(&self, standard: CorrectionStandard) -> Result<PowerCorrection, FormulaError> {
        let (dry, temperature) = (self.dry_pressure(), self.temperature());
        let (name, factor) = match standard {
            CorrectionStandard::J1349 => ("SAE J1349", correction_j1349(dry, temperature)?),
            CorrectionStandard::Iso1585 => ("ISO 1585", correction_iso1585(dry, temperature)?),
        };
        let outside = if !(0.93..=1.07).contains(&factor.si()) {
            Some(format!(
                "{name} allows factors of 0.93 to 1.07 (from memory); {} follows from {dry} dry and {temperature}. \
                 Test in denser or thinner air, or calculate the altitude instead of correcting for it",
                significant(factor.si(), 4)
            ))
        } else if !(288.15..=308.15).contains(&temperature.si()) {
            Some(format!(
                "{name}: tests are run at 15 to 35 degC (from memory), here the air is at {temperature}"
            ))
        } else {
            None
        };
        Ok(PowerCorrection { factor, outside })
    }
}
