//! What blends are made of, read from `data/fuel/components.csv`.

use super::{carbon_fraction, hydrogen_fraction, oxygen_fraction};
use crate::constants::ATOMIC_WEIGHTS;
use crate::formula::{FormulaError, Giver, Scalar};
use crate::quantity::units::*;
use crate::quantity::*;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// A pure fuel, or a commodity described as if it were one.
#[derive(Clone, Debug, PartialEq)]
pub struct Component {
    pub(super) name: String,
    pub(super) atoms: [f64; 3],
    pub(super) density: Density,
    expansion: f64,
    pub(super) heating_value: SpecificEnergy,
    pub(super) vaporisation: SpecificEnergy,
    pub(super) liquid_heat_capacity: SpecificHeat,
    pub(super) octane: [OctaneNumber; 2],
    pub(super) molar_mass: MolarMass,
}

/// What a blend is worked out from, in any kind of number.
pub(super) struct Facts<S> {
    pub elements: [S; 3],
    pub density: S,
    pub heating_value: S,
}

/// One value of a component with its band and where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// The component.
    pub component: String,
    /// The property.
    pub property: String,
    /// The value in use.
    pub value: f64,
    /// Its unit.
    pub unit: String,
    /// Least and greatest.
    pub band: [f64; 2],
    /// Evidence grade in words.
    pub grade: String,
    /// Source.
    pub source: String,
}

/// Every value the fuels rest on.
pub fn facts() -> &'static [Fact] {
    static FACTS: OnceLock<Vec<Fact>> = OnceLock::new();
    FACTS.get_or_init(|| {
        let text = include_str!("../../data/fuel/components.csv");
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        // The table ships with the library, and a test reads every row: a hole shows as NaN.
        let fact = |row: csv::StringRecord| {
            let text = |i: usize| row.get(i).unwrap_or_default().to_string();
            let number = |i: usize| row.get(i).and_then(|field| field.parse().ok()).unwrap_or(f64::NAN);
            Fact {
                component: text(0),
                property: text(1),
                value: number(2),
                unit: text(3),
                band: [number(4), number(5)],
                grade: text(6),
                source: text(7),
            }
        };
        reader.records().filter_map(Result::ok).map(fact).collect()
    })
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
    /// Density at another temperature, -20 to 50 degC.
    pub fn density_at(&self, temperature: Temperature) -> Result<Density, FormulaError> {
        super::density_at_temperature(self.density, Fraction::from_si_unchecked(self.expansion), temperature)
    }
    /// Lower heating value of the liquid.
    pub fn heating_value(&self) -> SpecificEnergy {
        self.heating_value
    }
    /// Mass fractions of carbon, hydrogen and oxygen.
    pub fn elements(&self) -> [Fraction; 3] {
        let [c, h, o] = self.atoms;
        [carbon_fraction::of(c, h, o), hydrogen_fraction::of(c, h, o), oxygen_fraction::of(c, h, o)]
            .map(Fraction::from_si_unchecked)
    }

    /// Elements, density and heating value under their names in the table of components.
    pub(super) fn record<S: Scalar>(&self, g: &impl Giver<S>) -> Result<Facts<S>, FormulaError> {
        let keys = ["component.carbon", "component.hydrogen", "component.oxygen"];
        let [c, h, o]: [S; 3] = core::array::from_fn(|i| {
            g.give(keys[i], &self.name, AtomCount::from_si_unchecked(self.atoms[i]))
        });
        Ok(Facts {
            elements: [
                carbon_fraction::step(c, h, o)?,
                hydrogen_fraction::step(c, h, o)?,
                oxygen_fraction::step(c, h, o)?,
            ],
            density: g.give("component.density_15", &self.name, self.density),
            heating_value: g.give("component.heating_value", &self.name, self.heating_value),
        })
    }

    fn shipped(name: &str) -> Self {
        let own = facts().iter().filter(|fact| fact.component == name);
        let of: BTreeMap<&str, f64> = own.map(|fact| (fact.property.as_str(), fact.value)).collect();
        let at = |property: &str| of.get(property).copied().unwrap_or(f64::NAN);
        let atoms = ["carbon", "hydrogen", "oxygen"].map(at);
        let from_atoms: f64 = atoms.iter().zip(ATOMIC_WEIGHTS).map(|(n, m)| n * m).sum();
        Self {
            name: name.into(),
            atoms,
            density: kg_per_m3(at("density_15")),
            expansion: at("expansion"),
            heating_value: mj_per_kg(at("heating_value")),
            vaporisation: kj_per_kg(at("vaporisation")),
            liquid_heat_capacity: j_per_kg_k(at("liquid_heat_capacity")),
            octane: ["research_octane", "motor_octane"].map(|p| OctaneNumber::from_si_unchecked(at(p))),
            molar_mass: g_per_mol(of.get("molar_mass").copied().unwrap_or(from_atoms)),
        }
    }
}

/// Gasoline without alcohol, by its own properties: a commodity, so each has a range.
///
/// ```
/// use shaftwork::prelude::*;
/// let gasoline = Gasoline::typical().density(kg_per_m3(752.0))?.octane(98.0, 88.0)?;
/// assert_eq!(gasoline.component().density(), kg_per_m3(752.0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Gasoline(Component);

impl Gasoline {
    /// The middle of the range: H/C 1.85, 745 kg/m3 at 15 degC, 43.0 MJ/kg, octane 92/83 before
    /// alcohol is added, 350 kJ/kg to vaporise.
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
        self.0.atoms[1] = within(ratio, 1.6, 2.3)?.si();
        Ok(self)
    }
    /// Sets the heat of vaporisation, 300 to 420 kJ/kg.
    pub fn vaporisation(mut self, value: SpecificEnergy) -> Result<Self, QuantityError> {
        self.0.vaporisation = within(value, 300e3, 420e3)?;
        Ok(self)
    }
    /// Sets research and motor octane, 70 to 110 each.
    pub fn octane(mut self, research: f64, motor: f64) -> Result<Self, QuantityError> {
        let check = |number: f64| within(OctaneNumber::from_si_unchecked(number), 70.0, 110.0);
        self.0.octane = [check(research)?, check(motor)?];
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
