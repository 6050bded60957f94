//! Combustion products of a fuel of carbon, hydrogen and oxygen in dry air.

use super::mixture::{CarbonDioxideOfAir, Gas};
use crate::formula::{FormulaError, Property};
use crate::fuel::Fuel;
use crate::quantity::*;

formulas! { room "gas" group PRODUCTS;
    /// Carbon dioxide in rich products, water-gas equilibrium frozen
    ///
    /// Per mole of carbon: balances of C, H and O with K = (xCO xH2O)/(xCO2 xH2) give the quadratic
    /// (1 - K) x^2 - [C + W + K (H - W)] x + C W = 0, where W is the oxygen atoms left over when all
    /// carbon is CO, and H the molecules of H2 if all hydrogen were H2.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // CH1.85 at lambda 0.85, K 3.5, without the CO2 of the air: 0.673697 (hand balance)
    /// let x = shaftwork::gas::rich_carbon_dioxide(percent(100.0), AtomRatio::new(1.85)?, AtomRatio::new(2.48625)?, percent(350.0))?;
    /// assert!((x.si() - 0.673697).abs() < 2e-6);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn rich_carbon_dioxide(
        carbon: Fraction = "C" in [0.9, 1.2], "carbon atoms per carbon atom of the fuel, those of the air's CO2 included";
        hydrogen: AtomRatio = "b" in [0.0, 4.5], "hydrogen atoms per carbon atom of the fuel";
        oxygen: AtomRatio = "O" in [0.8, 6.0], "oxygen atoms per carbon atom of the fuel, those of the air included";
        constant: Fraction = "K" in [1.05, 10.0], "water-gas constant";
    ) -> Fraction = "x"
    source "element balances; K = 3.5 frozen as in Heywood (1988) ch. 4 (from memory)"
    {
        let w = (oxygen - carbon).called("W");
        let h = (hydrogen / 2.0).called("H");
        let a = (constant - 1.0).called("A");
        let b = (carbon + w + constant * (h - w)).called("B");
        // A x^2 + B x - C W = 0 with A > 0: the positive root, in the form that loses no digits.
        carbon * w * 2.0 / (b + (b * b + a * carbon * w * 4.0).sqrt())
    }
}

/// The water-gas constant that products are frozen with.
///
/// It is the equilibrium near 1740 K; 3.5 and 3.8 are both in use and lie 75 K apart.
pub const FROZEN_WATER_GAS_CONSTANT: f64 = 3.5;

impl Gas {
    /// Products of a fuel burned in dry air at lambda 0.7 to 1.3.
    ///
    /// Lean: complete combustion with the oxygen left over. Rich: CO, H2, CO2 and H2O by the element
    /// balances with the water-gas constant frozen at [`FROZEN_WATER_GAS_CONSTANT`]; the CO2 of the
    /// air takes part.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// use shaftwork::gas::Species;
    /// let exhaust = Gas::products(&Fuel::gasoline()?, Lambda::new(0.85)?)?;
    /// let dry = 1.0 - exhaust.mole_fraction(Species::H2O);
    /// // Rich exhaust at lambda 0.85 carries 5 to 6 % CO dry (common practice, no source).
    /// assert!((0.05..0.06).contains(&(exhaust.mole_fraction(Species::CO) / dry)));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`FormulaError::OutOfRange`] for a lambda outside 0.7 to 1.3.
    pub fn products(fuel: &Fuel, lambda: Lambda) -> Result<Self, FormulaError> {
        let lambda = lambda.si();
        if !(0.7..=1.3).contains(&lambda) {
            return Err(FormulaError::OutOfRange {
                formula: "gas::Gas::products",
                argument: "lambda",
                words: "relative air-fuel ratio",
                value: lambda,
                low: 0.7,
                high: 1.3,
                unit: "",
            });
        }
        let (hydrogen, oxygen) = (fuel.hydrogen_to_carbon().si(), fuel.oxygen_to_carbon().si());
        let needed = 1.0 + hydrogen / 4.0 - oxygen / 2.0;
        let supplied = lambda * needed;
        let air_carbon = supplied * CarbonDioxideOfAir::PER_OXYGEN;
        let nitrogen = supplied * 0.780_84 / 0.209_476;
        let argon = supplied * 0.009_34 / 0.209_476;
        let carbon = 1.0 + air_carbon;
        let all_oxygen = oxygen + 2.0 * supplied + 2.0 * air_carbon;
        let [o2, co2, h2o, co, h2] = if lambda >= 1.0 {
            [supplied - needed, carbon, hydrogen / 2.0, 0.0, 0.0]
        } else {
            let co2 = rich_carbon_dioxide(
                Fraction::from_si_unchecked(carbon),
                AtomRatio::from_si_unchecked(hydrogen),
                AtomRatio::from_si_unchecked(all_oxygen),
                Fraction::from_si_unchecked(FROZEN_WATER_GAS_CONSTANT),
            )?
            .si();
            let h2o = all_oxygen - carbon - co2;
            [0.0, co2, h2o, carbon - co2, hydrogen / 2.0 - h2o]
        };
        Ok(Self::mix(
            format!("products of {} at lambda {lambda:.2}", fuel.name()),
            [nitrogen, o2, argon, co2, h2o, co, h2],
        ))
    }

    /// The heat still to be had from the CO and H2 of these products, per mass of products.
    pub fn unburned(&self) -> SpecificEnergy {
        use super::Species::{CO, CO2, H2, H2O, O2};
        let molar = |species| {
            let mut one = [0.0; 7];
            one[species as usize] = 1.0;
            let gas = Gas::mix("", one);
            gas.h().value(298.15) * gas.molar_mass().si()
        };
        let oxygen = 0.5 * molar(O2);
        let released = self.mole_fraction(CO) * (molar(CO) + oxygen - molar(CO2))
            + self.mole_fraction(H2) * (molar(H2) + oxygen - molar(H2O));
        SpecificEnergy::from_si_unchecked(released / self.molar_mass().si())
    }
}
