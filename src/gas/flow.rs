//! Total and static states of a moving gas.

use super::Gas;
use super::mixture::COLDEST;
use crate::formula::{Property, Settled};
use crate::quantity::*;

formulas! { room "gas" group FLOW;
    /// Static temperature at a velocity
    ///
    /// h(T) = h(T_0) - V^2/2
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Air, 300 K total, 100 m/s: 4.98 K below, with cp 1004.8 J/(kg K)
    /// let t = shaftwork::gas::static_temperature(&Gas::dry_air(), kelvin(300.0), m_per_s(100.0))?;
    /// assert!((300.0 - t.kelvin() - 5000.0 / 1004.8).abs() < 1e-3);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn static_temperature [gas: &Gas] (
        total: Temperature = "T_0" in [220.0, 3000.0], "total temperature";
        velocity: Velocity = "V" in [0.0, 1500.0], "velocity";
    ) -> Temperature = "T"
    source "[energy-balance] of steady flow"
    { S::inverse(&gas.h(), S::property(&gas.h(), total) - velocity * velocity / 2.0) }

    /// Total temperature at a velocity
    ///
    /// h(T_0) = h(T) + V^2/2
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let t = shaftwork::gas::total_temperature(&Gas::dry_air(), kelvin(295.0238), m_per_s(100.0))?;
    /// assert!((t.kelvin() - 300.0).abs() < 1e-3);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn total_temperature [gas: &Gas] (
        fixed: Temperature = "T" in [200.0, 3000.0], "static temperature";
        velocity: Velocity = "V" in [0.0, 1500.0], "velocity";
    ) -> Temperature = "T_0"
    source "[energy-balance] of steady flow"
    { S::inverse(&gas.h(), S::property(&gas.h(), fixed) + velocity * velocity / 2.0) }

    /// Static temperature at a Mach number
    ///
    /// h(T) + M^2 gamma R T/2 = h(T_0)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Gas tables with gamma 1.4, Mach 0.3: T/T0 = 0.98232
    /// let t = shaftwork::gas::static_temperature_at_mach(&Gas::dry_air(), kelvin(300.0), Mach::new(0.3)?)?;
    /// assert!((t.kelvin() / 300.0 - 0.98232).abs() < 5e-5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn static_temperature_at_mach [gas: &Gas] (
        total: Temperature = "T_0" in [220.0, 3000.0], "total temperature";
        mach: Mach = "M" in [0.0, 3.0], "Mach number";
    ) -> Temperature = "T"
    source "[energy-balance] of steady flow, V = M a(T)"
    {
        S::closes("energy balance", still(gas, total.value(), mach.value()), |t| {
            let cp = S::property(&gas.cp(), t);
            let r = gas.named_r::<S>();
            let sound = cp / (cp - r) * t * r;
            S::property(&gas.h(), t) + mach * mach * sound / 2.0 - S::property(&gas.h(), total)
        })
    }

    /// Static pressure at a static temperature
    ///
    /// p = p_0 exp([s(T) - s(T_0)]/R): no loss between the total and the static state.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Gas tables with gamma 1.4, Mach 0.3: p/p0 = 0.93947, so 6.4 % lie between them
    /// let t = shaftwork::gas::static_temperature_at_mach(&Gas::dry_air(), kelvin(300.0), Mach::new(0.3)?)?;
    /// let p = shaftwork::gas::static_pressure(&Gas::dry_air(), kpa(100.0), kelvin(300.0), t)?;
    /// assert!((p.kpa() - 93.947).abs() < 0.005);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn static_pressure [gas: &Gas] (
        total: Pressure = "p_0" in [1e3, 5e6], "total pressure";
        total_temperature: Temperature = "T_0" in [200.0, 3000.0], "total temperature";
        fixed: Temperature = "T" in [200.0, 3000.0], "static temperature";
    ) -> Pressure = "p"
    source "constant entropy of an [ideal-gas]"
    { total * ((S::property(&gas.s(), fixed) - S::property(&gas.s(), total_temperature)) / gas.named_r::<S>()).exp() }

    /// Total pressure over a static state
    ///
    /// p_0 = p exp([s(T_0) - s(T)]/R)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let p = shaftwork::gas::total_pressure(&Gas::dry_air(), kpa(93.947), kelvin(294.70), kelvin(300.0))?;
    /// assert!((p.kpa() - 100.0).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn total_pressure [gas: &Gas] (
        fixed: Pressure = "p" in [1e3, 5e6], "static pressure";
        fixed_temperature: Temperature = "T" in [200.0, 3000.0], "static temperature";
        total_temperature: Temperature = "T_0" in [200.0, 3000.0], "total temperature";
    ) -> Pressure = "p_0"
    source "constant entropy of an [ideal-gas]"
    { fixed * ((S::property(&gas.s(), total_temperature) - S::property(&gas.s(), fixed_temperature)) / gas.named_r::<S>()).exp() }
}

/// The converged static temperature at a Mach number, and the slope of its energy balance there. NaN
/// where it does not settle.
fn still(gas: &Gas, total: f64, mach: f64) -> Settled {
    let enthalpy = gas.h().value(total);
    let mut t = total / (1.0 + 0.2 * mach * mach);
    let bracket = [COLDEST, total];
    for steps in 1..=50 {
        let (cp, turn) = (gas.cp().value(t), gas.cp().slope(t));
        let gamma = cp / (cp - gas.r());
        let bend = -gas.r() * turn / (cp - gas.r()).powi(2);
        let half = 0.5 * mach * mach * gas.r();
        let slope = cp + half * (gamma + bend * t);
        let step = (gas.h().value(t) + half * gamma * t - enthalpy) / slope;
        t -= step;
        if step.abs() <= 1e-13 * t {
            return Settled { root: t, slope, bracket, steps };
        }
    }
    Settled { root: f64::NAN, slope: f64::NAN, bracket, steps: 50 }
}
