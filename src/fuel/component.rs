//! What blends are made of, read from `data/fuel/components.csv`.

use crate::quantity::units::{kg_per_m3, mj_per_kg};
use crate::quantity::*;
use std::sync::OnceLock;

/// A pure fuel, or a commodity described as if it were one.
#[derive(Clone, Debug, PartialEq)]
pub struct Component {
    pub(super) name: String,
    pub(super) carbon: f64,
    pub(super) hydrogen: f64,
    pub(super) oxygen: f64,
    pub(super) density: Density,
    pub(super) heating_value: SpecificEnergy,
}

impl Component {
    /// Ethanol, C2H6O.
    pub fn ethanol() -> Self {
        Self::shipped("ethanol")
    }
    /// Methanol, CH4O.
    pub fn methanol() -> Self {
        Self::shipped("methanol")
    }
    /// Iso-octane, C8H18.
    pub fn iso_octane() -> Self {
        Self::shipped("iso-octane")
    }
    /// N-heptane, C7H16; also the usual fluid of injector test benches.
    pub fn n_heptane() -> Self {
        Self::shipped("n-heptane")
    }
    /// Toluene, C7H8.
    pub fn toluene() -> Self {
        Self::shipped("toluene")
    }
    /// Its name.
    pub fn name(&self) -> &str {
        &self.name
    }
    /// Density at 15 degC.
    pub fn density(&self) -> Density {
        self.density
    }
    /// Lower heating value of the liquid.
    pub fn heating_value(&self) -> SpecificEnergy {
        self.heating_value
    }
    /// Mass fractions of carbon, hydrogen and oxygen.
    pub fn elements(&self) -> [Fraction; 3] {
        let masses = [12.011 * self.carbon, 1.008 * self.hydrogen, 15.999 * self.oxygen];
        let total: f64 = masses.iter().sum();
        masses.map(|mass| Fraction::from_si_unchecked(mass / total))
    }

    pub(super) fn shipped(name: &str) -> Self {
        static TABLE: OnceLock<Vec<Component>> = OnceLock::new();
        let table = TABLE.get_or_init(|| {
            let text = include_str!("../../data/fuel/components.csv");
            text.lines().skip(1).map(Self::read).collect()
        });
        // Only names of the shipped table are asked for, and a test reads every row.
        table.iter().find(|component| component.name == name).unwrap_or(&table[0]).clone()
    }

    fn read(line: &str) -> Self {
        let mut fields = line.splitn(7, ',');
        let name = fields.next().unwrap_or_default().to_string();
        let mut number = || fields.next().and_then(|field| field.parse::<f64>().ok()).unwrap_or(f64::NAN);
        let (carbon, hydrogen, oxygen) = (number(), number(), number());
        Self {
            name,
            carbon,
            hydrogen,
            oxygen,
            density: kg_per_m3(number()),
            heating_value: mj_per_kg(number()),
        }
    }
}

/// Gasoline without alcohol, by its own properties: a commodity, so each has a range.
///
/// ```
/// use shaftwork::prelude::*;
/// let gasoline = Gasoline::typical().density(kg_per_m3(752.0))?;
/// assert_eq!(gasoline.component().density(), kg_per_m3(752.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Gasoline(Component);

impl Gasoline {
    /// The middle of the range: H/C 1.85, 745 kg/m3 at 15 degC, 43.0 MJ/kg.
    pub fn typical() -> Self {
        Self(Component::shipped("gasoline"))
    }
    /// Sets the density at 15 degC, 700 to 800 kg/m3.
    pub fn density(mut self, density: Density) -> Result<Self, QuantityError> {
        self.0.density = within(density, 700.0, 800.0)?;
        Ok(self)
    }
    /// Sets the lower heating value, 41 to 45 MJ/kg.
    pub fn heating_value(mut self, value: SpecificEnergy) -> Result<Self, QuantityError> {
        self.0.heating_value = within(value, 41e6, 45e6)?;
        Ok(self)
    }
    /// Sets the ratio of hydrogen to carbon atoms, 1.6 to 2.3.
    pub fn hydrogen_to_carbon(mut self, ratio: AtomRatio) -> Result<Self, QuantityError> {
        self.0.hydrogen = within(ratio, 1.6, 2.3)?.si();
        Ok(self)
    }
    /// As a component of blends.
    pub fn component(&self) -> &Component {
        &self.0
    }
}

fn within<Q: Quantity>(quantity: Q, low: f64, high: f64) -> Result<Q, QuantityError> {
    let value = quantity.si();
    if !value.is_finite() {
        Err(QuantityError::NotFinite { quantity: Q::NAME })
    } else if value < low || value > high {
        Err(QuantityError::OutOfBounds { quantity: Q::NAME, value, low, high, unit: Q::si_unit() })
    } else {
        Ok(quantity)
    }
}
