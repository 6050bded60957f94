//! What a spark later than the best does: work lost, heat moved from the walls to the exhaust.

use super::HeatShares;
use crate::formula::FormulaError;
use crate::quantity::*;

formulas! { room "engine" group SPARK;
    /// Share of the work left with a late spark
    ///
    /// eta_ign = 1 - 3.217 (d/100)^2 - 4.722 (d/100)^3, d in degrees of crank angle after the best timing
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // by hand: 0.9631 at 10 degrees
    /// let e = shaftwork::engine::ignition_efficiency(deg(10.0))?;
    /// assert!((e.si() - 0.9631).abs() < 1e-4);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn ignition_efficiency(
        retard: Angle = "theta" in [0.0, 0.55], "crank angle after the best spark timing";
    ) -> Efficiency = "eta_ign"
    source "[eriksson-nielsen], companion parameter files"
    {
        let share = (retard * (180.0 / core::f64::consts::PI / 100.0)).called("d");
        c(1.0) - share * share * 3.217 - share * share * share * 4.722
    }

    /// Share of the fuel's heat that a late spark moves to the exhaust
    ///
    /// m = k theta/10 degrees, k about 0.05 (from memory, 0.03 to 0.07)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let m = shaftwork::engine::retard_share(deg(15.0), fraction(0.05))?;
    /// assert!((m.si() - 0.075).abs() < 1e-12);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn retard_share(
        retard: Angle = "theta" in [0.0, 0.55], "crank angle after the best spark timing";
        each: Fraction = "k" in [0.0, 0.1], "share of the heating value moved by each ten degrees";
    ) -> Fraction = "m"
    source "[common-practice], no source; figures from memory"
    { each * retard / (10.0 * core::f64::consts::PI / 180.0) }

    /// Share at the crankshaft with a late spark
    ///
    /// b = b_0 - b_i (1 - eta_ign): indicated work is lost, friction and pumping stay
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let b = shaftwork::engine::retarded_brake_share(fraction(0.26), fraction(0.31), Efficiency::new(0.9631)?)?;
    /// assert!((b.si() - 0.248561).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn retarded_brake_share(
        brake: Fraction = "b_0" in [0.0, 0.6], "share at the crankshaft at the best timing";
        indicated: Fraction = "b_i" in [0.0, 0.7], "share that the gas gives the pistons at the best timing";
        ignition: Efficiency = "eta_ign" in [0.3, 1.0], "share of the work left";
    ) -> Fraction = "b"
    source "[energy-balance]"
    { brake - indicated * (c(1.0) - ignition) }
}

/// Share of the heating value that each ten degrees of retard move to the exhaust: from memory 0.03 to 0.07.
pub const RETARD_EACH: f64 = 0.05;

impl HeatShares {
    /// The shares with the spark this much after its best timing: the crankshaft loses work, the exhaust gains
    /// [`RETARD_EACH`] for ten degrees, and the walls keep the rest. `indicated` is the share that the gas gives the
    /// pistons: the share at the crankshaft plus friction and pumping.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let best = HeatShares::new(percent(26.0), percent(22.0))?;
    /// let late = best.retarded(deg(10.0), percent(31.0))?;
    /// let moved = best.brake().si() + best.walls().si() - late.brake().si() - late.walls().si();
    /// assert!((moved - 0.05).abs() < 1e-12);
    /// # Ok::<(), FormulaError>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`FormulaError`]: more than 31 degrees, or shares out of range, as where the walls have too little to give.
    pub fn retarded(self, retard: Angle, indicated: Fraction) -> Result<Self, FormulaError> {
        let brake = retarded_brake_share(self.brake(), indicated, ignition_efficiency(retard)?)?;
        let moved = retard_share(retard, Fraction::from_si_unchecked(RETARD_EACH))?;
        Self::new(brake, self.walls() + (self.brake() - brake) - moved)
    }
}
