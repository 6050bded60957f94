//! The charge cooler by its effectiveness and its pressure loss.

use crate::formula::{FormulaError, checked};
use crate::quantity::*;

formulas! { room "charge" group COOLER;
    /// Temperature after the charge cooler
    ///
    /// T_2c = T_2 - eps (T_2 - T_c), eps on the charge side
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 388.84 K, eps 0.70, cooling air 298.15 K: 325.36 K
    /// let t = shaftwork::charge::cooled_temperature(kelvin(388.84), kelvin(298.15), Effectiveness::new(0.70)?)?;
    /// assert!((t.kelvin() - 325.36).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn cooled_temperature(
        hot: Temperature = "T_2" in [200.0, 800.0], "charge temperature before the cooler";
        coolant: Temperature = "T_c" in [200.0, 400.0], "temperature of the cooling air or water";
        effectiveness: Effectiveness = "eps" in [0.0, 1.0], "effectiveness";
    ) -> Temperature = "T_2c"
    source "[by-definition] of effectiveness with the charge as the weaker stream, as in [kays-london]"
    { hot - effectiveness * (hot - coolant) }

    /// What a charge cooler does to the density
    ///
    /// rho_2c/rho_2 = (1 - dp/p_2) T_2/T_2c: below one it does harm.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 200 kPa, 388.84 K before; eps 0.70 and 8 kPa: 1.14732
    /// let gain = shaftwork::charge::cooler_density_ratio(kpa(200.0), kpa_diff(8.0), kelvin(388.84), kelvin(325.36))?;
    /// assert!((gain.si() - 1.14732).abs() < 5e-5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn cooler_density_ratio(
        before: Pressure = "p_2" in [5e4, 1e6], "pressure before the cooler";
        loss: PressureDifference = "dp" in [0.0, 1e5], "pressure loss";
        hot: Temperature = "T_2" in [200.0, 800.0], "temperature before the cooler";
        cold: Temperature = "T_2c" in [200.0, 800.0], "temperature after the cooler";
    ) -> DensityRatio = "rho_2c/rho_2"
    source "[ideal-gas]"
    { (c(1.0) - loss / before) * hot / cold }
}

/// A charge cooler: its effectiveness, and its pressure loss at a stated air flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChargeCooler {
    effectiveness: Effectiveness,
    loss: Loss,
}

/// A pressure loss at the flow it was stated for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loss {
    loss: PressureDifference,
    at: MassFlow,
}

impl Loss {
    /// A loss of 0 to 100 kPa at a flow.
    pub fn new(loss: PressureDifference, at: MassFlow) -> Result<Self, FormulaError> {
        Ok(Self {
            loss: checked("charge::Loss::new", "loss", "pressure loss", loss, 0.0, 1e5)?,
            at: checked("charge::Loss::new", "at", "flow of the stated loss", at, 1e-3, 5.0)?,
        })
    }
    /// The loss as stated.
    pub fn stated(&self) -> PressureDifference {
        self.loss
    }
    /// The flow it was stated for.
    pub fn stated_at(&self) -> MassFlow {
        self.at
    }
    /// The loss at another flow.
    pub fn at(&self, flow: MassFlow) -> Result<PressureDifference, FormulaError> {
        super::loss_at_flow(self.loss, flow, self.at)
    }
}

impl ChargeCooler {
    /// Effectiveness, and pressure loss with the flow it belongs to.
    pub fn new(effectiveness: Effectiveness, loss: Loss) -> Self {
        Self { effectiveness, loss }
    }
    /// Effectiveness.
    pub fn effectiveness(&self) -> Effectiveness {
        self.effectiveness
    }
    /// Pressure loss.
    pub fn loss(&self) -> &Loss {
        &self.loss
    }
    /// Charge temperature after the cooler.
    pub fn outlet(&self, hot: Temperature, coolant: Temperature) -> Result<Temperature, FormulaError> {
        cooled_temperature(hot, coolant, self.effectiveness)
    }
}
