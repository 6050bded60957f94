//! Limits that the user sets.

use crate::charge::Restrictor;
use crate::formula::{FormulaError, checked};
use crate::quantity::*;

/// Limits that the user sets besides those of engine, fuel and turbocharger.
///
/// ```
/// use shaftwork::prelude::*;
/// let limits = UserLimits::default().mean_pressure(bar_diff(24.0))?.turbine_inlet(deg_c(950.0))?;
/// assert!(UserLimits::default().turbine_inlet(deg_c(f64::NAN)).is_err());
/// # Ok::<(), FormulaError>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct UserLimits {
    pub(super) mean_pressure: Option<PressureDifference>,
    pub(super) exhaust_over_manifold: Option<Fraction>,
    pub(super) turbine_inlet: Option<Temperature>,
    pub(super) restrictor: Option<Restrictor>,
}

impl UserLimits {
    /// The greatest brake mean effective pressure that the user trusts the engine with, 0.5 to 6 MPa.
    pub fn mean_pressure(mut self, limit: PressureDifference) -> Result<Self, FormulaError> {
        const NAME: &str = "shaft::UserLimits::mean_pressure";
        self.mean_pressure =
            Some(checked(NAME, "limit", "limit of brake mean effective pressure", limit, 5e5, 6e6)?);
        Ok(self)
    }
    /// The greatest exhaust manifold pressure over inlet manifold pressure, 0.8 to 4.
    pub fn exhaust_over_manifold(mut self, limit: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "shaft::UserLimits::exhaust_over_manifold";
        self.exhaust_over_manifold =
            Some(checked(NAME, "limit", "limit of exhaust over manifold pressure", limit, 0.8, 4.0)?);
        Ok(self)
    }
    /// The highest turbine inlet temperature that wheel, housing and manifold are trusted with, 700 to 1500 K. What a
    /// casting stands is its maker's word.
    pub fn turbine_inlet(mut self, limit: Temperature) -> Result<Self, FormulaError> {
        const NAME: &str = "shaft::UserLimits::turbine_inlet";
        self.turbine_inlet =
            Some(checked(NAME, "limit", "limit of turbine inlet temperature", limit, 700.0, 1500.0)?);
        Ok(self)
    }
    /// An air restrictor that a class requires: once it chokes, no boost adds power.
    pub fn restrictor(mut self, restrictor: Restrictor) -> Self {
        self.restrictor = Some(restrictor);
        self
    }
}
