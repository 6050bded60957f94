//! How fast the engine speeds up in a gear.

use crate::formula::{FormulaError, Scalar};
use crate::quantity::*;

formulas! { room "shaft" group VEHICLE;
    /// Acceleration of the engine in a gear
    ///
    /// alpha = (M eta i/r - f m g)/(delta m) i/r: tractive force less resistance, over a mass that counts what
    /// turns. The resistance f is a share of the weight, drag at the speed of interest included.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // by hand: 250 N m, 0.9, i 6, r 0.3 m, 650 kg, delta 1.15, f 0.03: (4500 - 191.2)/747.5 x 20 = 115.28 rad/s2
    /// let a = shaftwork::shaft::engine_acceleration(
    ///     nm(250.0), Efficiency::new(0.9)?, fraction(6.0), m(0.3), kg(650.0), fraction(1.15), percent(3.0))?;
    /// assert!((a.rad_per_s2() - 115.28).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn engine_acceleration(
        torque: Torque = "M" in [-2000.0, 2e4], "torque at the crankshaft";
        driveline: Efficiency = "eta_d" in [0.6, 1.0], "driveline efficiency";
        gearing: Fraction = "i" in [0.5, 60.0], "engine turns per turn of the wheel";
        wheel: Length = "r" in [0.1, 1.0], "rolling radius of the wheel";
        mass: Mass = "m" in [50.0, 2e4], "mass of the vehicle";
        turning: Fraction = "delta" in [1.0, 2.0], "mass with what turns, over mass";
        resistance: Fraction = "f" in [0.0, 0.6], "resistance over weight";
    ) -> AngularAcceleration = "alpha"
    source "[energy-balance] of the vehicle"
    {
        let lever = (gearing / wheel).called_in("i/r", "1/m");
        let force = (torque * driveline * lever - resistance * mass * crate::constants::GRAVITY).called_in("F", "N");
        force / (turning * mass) * lever
    }
}

/// A vehicle in a gear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gear {
    /// Mass of the vehicle with its driver.
    pub mass: Mass,
    /// Rolling radius of the driven wheel.
    pub wheel: Length,
    /// Engine turns per turn of the wheel in this gear.
    pub gearing: Fraction,
    /// Driveline efficiency.
    pub driveline: Efficiency,
    /// Mass with what turns, over mass: 1.05 in a high gear to 1.4 in first (from memory).
    pub turning: Fraction,
    /// Resistance over weight at the speed of interest, drag included.
    pub resistance: Fraction,
}

impl Gear {
    /// Acceleration of the engine at a torque.
    pub(super) fn acceleration<S: Scalar>(&self, torque: S) -> Result<S, FormulaError> {
        engine_acceleration::step(
            torque,
            S::lit(self.driveline.si()),
            S::lit(self.gearing.si()),
            S::lit(self.wheel.si()),
            S::lit(self.mass.si()),
            S::lit(self.turning.si()),
            S::lit(self.resistance.si()),
        )
    }
}
