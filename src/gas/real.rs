//! What the ideal-gas assumption costs, as a number at the conditions of use.

use super::species::UNIVERSAL_GAS_CONSTANT;
use crate::constants::AIR_MOLAR_MASS;
use crate::formula::{Scalar, c};
use crate::quantity::*;

/// Pseudo-critical temperature and pressure and acentric factor of air.
const CRITICAL: (f64, f64, f64) = (132.5, 3.786e6, 0.035);

formulas! { room "gas" group REAL;
    /// Density error of the ideal-gas law for air
    ///
    /// Z - 1 = B p/(Ru T), the virial equation cut after its second term, B by Pitzer's correlation with the
    /// pseudo-critical point of air. The real density is the ideal one divided by 1 + this.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Reference equation of air (CoolProp) at 300 K, 5 bar: compressibility 0.9985
    /// let error = shaftwork::gas::ideal_density_error(bar(5.0), kelvin(300.0))?;
    /// assert!((error.percent() + 0.15).abs() < 0.05);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn ideal_density_error(
        pressure: Pressure = "p" in [1e4, 1e6], "absolute pressure";
        temperature: Temperature = "T" in [220.0, 1600.0], "temperature";
    ) -> Fraction = "Z - 1"
    source "[smith-van-ness], ch. 3 (from memory), Pitzer correlation for the second virial coefficient"
    { second_virial(temperature).called_in("B", "m3/mol") * pressure / (temperature * UNIVERSAL_GAS_CONSTANT) }

    /// Heat-capacity error of the ideal-gas law for air
    ///
    /// -T p B'' over 1005 J/(kg K), B'' the second derivative of B to the temperature: the real gas stores this much more.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Reference equation of air (CoolProp) at 300 K, 5 bar: cp is 0.8 % above its ideal value
    /// let error = shaftwork::gas::ideal_heat_capacity_error(bar(5.0), kelvin(300.0))?;
    /// assert!((error.percent() - 0.78).abs() < 0.1, "{error:?}");
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn ideal_heat_capacity_error(
        pressure: Pressure = "p" in [1e4, 1e6], "absolute pressure";
        temperature: Temperature = "T" in [220.0, 1600.0], "temperature";
    ) -> Fraction = "dcp/cp"
    source "[smith-van-ness], ch. 3 (from memory), Pitzer correlation for the second virial coefficient"
    {
        let (critical, pressure_c, omega) = CRITICAL;
        let scale = UNIVERSAL_GAS_CONSTANT / pressure_c / critical;
        let t = (temperature / critical).called("T_r");
        let bend = t.powf(S::lit(-3.6)) * (-0.422 * 1.6 * 2.6) + t.powf(S::lit(-6.2)) * (-0.172 * 4.2 * 5.2 * omega);
        let bend = (bend * scale).called_in("B''", "m3/(mol K2)");
        -(temperature * pressure * bend) / (1005.0 * AIR_MOLAR_MASS * 1e-3)
    }
}

/// Second virial coefficient of air in m3/mol.
fn second_virial<S: Scalar>(temperature: S) -> S {
    let (critical, pressure_c, omega) = CRITICAL;
    let t = temperature / critical;
    let simple = c(0.083) - t.powf(S::lit(-1.6)) * 0.422;
    let bent = c(0.139) - t.powf(S::lit(-4.2)) * 0.172;
    (simple + bent * omega) * (UNIVERSAL_GAS_CONSTANT * critical / pressure_c)
}
