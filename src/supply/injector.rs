//! Injectors: what they pass at another pressure, with another fluid, and how long they stay open.

use crate::formula::{FormulaError, checked};
use crate::fuel::Fuel;
use crate::quantity::*;

formulas! { room "supply" group INJECTOR;
    /// Mass flow of an open injector on another fluid at another pressure
    ///
    /// W = Q_t sqrt(rho_t rho) sqrt(dp/dp_t): the same orifice, so the mass flow goes with sqrt(rho dp).
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 330 cm3/min of n-heptane at 3.0 bar passes 381.05 cm3/min of it at 4.0 bar
    /// let w = shaftwork::supply::injector_flow(cc_per_min(330.0), kg_per_m3(688.0), bar_diff(3.0), bar_diff(4.0), kg_per_m3(688.0))?;
    /// assert!(((w / kg_per_m3(688.0)).cc_per_min() - 381.051).abs() < 1e-3);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn injector_flow(
        rated: VolumeFlow = "Q_t" in [1e-8, 1e-4], "rated flow, held open";
        test_density: Density = "rho_t" in [500.0, 1000.0], "density of the test fluid";
        test_pressure: PressureDifference = "dp_t" in [5e4, 4e7], "pressure difference of the rating";
        pressure: PressureDifference = "dp" in [5e4, 4e7], "pressure difference in use, rail over manifold";
        density: Density = "rho" in [500.0, 1000.0], "density of the fuel";
    ) -> MassFlow = "W_inj"
    source "[derived-here] for orifice flow with one discharge coefficient"
    { rated * (test_density * density).sqrt() * (pressure / test_pressure).sqrt() }

    /// Flow of all injectors held open
    ///
    /// n W_inj
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let w = shaftwork::supply::all_injectors(Count::new(4.0)?, g_per_s(8.0))?;
    /// assert!((w.g_per_s() - 32.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn all_injectors(
        count: Count = "n" in [1.0, 32.0], "number of injectors";
        one: MassFlow = "W_inj" in [1e-6, 0.2], "flow of one injector held open";
    ) -> MassFlow = "n W_inj"
    source "[mass-balance]"
    { one * count }

    /// Share of the time the injectors are open
    ///
    /// DC = W_f/(n W_inj); the opening delay comes on top.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 20.8333 g/s through four at 85 %: 6.1275 g/s each
    /// let duty = shaftwork::supply::injector_duty(g_per_s(20.8333), g_per_s(4.0 * 6.1275))?;
    /// assert!((duty.percent() - 85.0).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn injector_duty(
        fuel: MassFlow = "W_f" in [1e-6, 2.0], "fuel flow of the engine";
        all_open: MassFlow = "n W_inj" in [1e-5, 2.0], "flow of all injectors held open";
    ) -> Fraction = "DC"
    source "[by-definition], mean flow of a valve that is open or shut"
    { fuel / all_open }
}

/// A set of like injectors with its rating.
///
/// ```
/// use shaftwork::prelude::*;
/// let set = Injectors::new(4, cc_per_min(650.0), bar_diff(3.0), Component::n_heptane().density(), bar_diff(3.5))?;
/// let blend = Fuel::ethanol_blend(percent(71.0), &Gasoline::typical())?;
/// assert!(set.duty(g_per_s(28.0), &blend)?.percent() < 85.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Injectors {
    count: u32,
    rated: VolumeFlow,
    test_pressure: PressureDifference,
    test_density: Density,
    pressure: PressureDifference,
    duty_limit: Fraction,
}

/// Longest share of the time that injectors are planned to be open, where none is given: from
/// memory 80 to 85 % for port injection.
pub const DEFAULT_DUTY_LIMIT: f64 = 0.85;

impl Injectors {
    /// How many, their rated flow, the rating's pressure and fluid, and the pressure in use: rail over
    /// manifold, which a boost-referenced regulator keeps constant.
    pub fn new(
        count: u32,
        rated: VolumeFlow,
        test_pressure: PressureDifference,
        test_density: Density,
        pressure: PressureDifference,
    ) -> Result<Self, FormulaError> {
        // The formula judges the ranges once, here, so that a wrong rating is found where it is given.
        let number = Fraction::from_si_unchecked(f64::from(count));
        checked("supply::Injectors::new", "count", "number of injectors", number, 1.0, 32.0)?;
        injector_flow(rated, test_density, test_pressure, pressure, test_density)?;
        Ok(Self {
            count,
            rated,
            test_pressure,
            test_density,
            pressure,
            duty_limit: Fraction::from_si_unchecked(DEFAULT_DUTY_LIMIT),
        })
    }
    /// Sets the longest planned opening, 30 to 100 % of the time.
    pub fn duty_limit(mut self, limit: Fraction) -> Result<Self, FormulaError> {
        self.duty_limit = checked("supply::Injectors::duty_limit", "limit", "duty limit", limit, 0.3, 1.0)?;
        Ok(self)
    }
    /// How many.
    pub fn count(&self) -> Count {
        Count::from_si_unchecked(f64::from(self.count))
    }
    /// Rated flow of one, held open.
    pub fn rated(&self) -> VolumeFlow {
        self.rated
    }
    /// Pressure difference of the rating.
    pub fn test_pressure(&self) -> PressureDifference {
        self.test_pressure
    }
    /// Density of the test fluid.
    pub fn test_density(&self) -> Density {
        self.test_density
    }
    /// Pressure difference in use.
    pub fn pressure(&self) -> PressureDifference {
        self.pressure
    }
    /// The longest planned opening.
    pub fn longest_duty(&self) -> Fraction {
        self.duty_limit
    }
    /// Flow of all of them held open.
    pub fn all_open(&self, fuel: &Fuel) -> Result<MassFlow, FormulaError> {
        let one =
            injector_flow(self.rated, self.test_density, self.test_pressure, self.pressure, fuel.density())?;
        all_injectors(self.count(), one)
    }
    /// The share of the time they are open for a fuel flow.
    pub fn duty(&self, flow: MassFlow, fuel: &Fuel) -> Result<Fraction, FormulaError> {
        injector_duty(flow, self.all_open(fuel)?)
    }
}
