//! A fuel ready to burn.

use super::component::{Component, Facts, Gasoline};
use super::*;
use crate::constants::ATOMIC_WEIGHTS;
use crate::formula::{FormulaError, Giver, Plain, Scalar};
use crate::quantity::*;

/// A fuel: components by mass, and everything that follows from them.
///
/// ```
/// use shaftwork::prelude::*;
/// let blend = Fuel::ethanol_blend(percent(71.0), &Gasoline::typical())?;
/// assert_eq!(blend.stoichiometric_ratio()?.to_string(), "10.55");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Fuel {
    name: String,
    parts: Vec<(Component, f64)>,
    recipe: Recipe,
    elements: [Fraction; 3],
    density: Density,
    heating_value: SpecificEnergy,
    vaporisation: SpecificEnergy,
    liquid_heat_capacity: SpecificHeat,
    octane: [OctaneNumber; 2],
    molar_mass: MolarMass,
}

/// How a fuel was put together.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Recipe {
    /// One component.
    One,
    /// The first part with this volume of the second in it.
    Volumes(Fraction),
    /// Several parts: its figures count as given.
    Many,
}

/// The figures of a fuel that a sizing works with, in any kind of number.
pub(crate) struct Burning<S> {
    pub elements: [S; 3],
    pub density: S,
    pub heating_value: S,
    pub ratio: S,
}

impl Fuel {
    /// Gasoline without alcohol, the middle of its range.
    pub fn gasoline() -> Result<Self, FormulaError> {
        Ok(Self::of(Gasoline::typical().component()))
    }
    /// Gasoline with so much ethanol by volume.
    pub fn ethanol_blend(share: Fraction, gasoline: &Gasoline) -> Result<Self, FormulaError> {
        Self::blend(share, &Component::ethanol(), gasoline.component())
    }
    /// Gasoline with so much methanol by volume.
    pub fn methanol_blend(share: Fraction, gasoline: &Gasoline) -> Result<Self, FormulaError> {
        Self::blend(share, &Component::methanol(), gasoline.component())
    }
    /// A component burned by itself.
    pub fn of(component: &Component) -> Self {
        Self {
            name: component.name.clone(),
            parts: vec![(component.clone(), 1.0)],
            recipe: Recipe::One,
            elements: component.elements(),
            density: component.density,
            heating_value: component.heating_value,
            vaporisation: component.vaporisation,
            liquid_heat_capacity: component.liquid_heat_capacity,
            octane: component.octane,
            molar_mass: component.molar_mass,
        }
    }
    /// Two components, the first with a share by volume at 15 degC.
    pub fn blend(share: Fraction, first: &Component, second: &Component) -> Result<Self, FormulaError> {
        let w = blend_mass_fraction(share, first.density, second.density)?;
        let name = format!("{} % {} in {}", significant(share.percent(), 3), first.name, second.name);
        let mut blend = Self::of(second).with(w, first)?.named(name);
        blend.recipe = Recipe::Volumes(share);
        Ok(blend)
    }
    /// Any number of components by volume, measured at a temperature; the shares add up to one.
    pub fn by_volume(parts: &[(Fraction, &Component)], at: Temperature) -> Result<Self, FormulaError> {
        Self::by_weights("fuel::Fuel::by_volume", parts, |component| Ok(component.density_at(at)?.si()))
    }
    /// Any number of components by mass; the shares add up to one.
    pub fn by_mass(parts: &[(Fraction, &Component)]) -> Result<Self, FormulaError> {
        Self::by_weights("fuel::Fuel::by_mass", parts, |_| Ok(1.0))
    }

    /// Blends by shares, each weighing so much per unit of its share.
    fn by_weights(
        formula: &'static str,
        parts: &[(Fraction, &Component)],
        weight: impl Fn(&Component) -> Result<f64, FormulaError>,
    ) -> Result<Self, FormulaError> {
        let total: f64 = parts.iter().map(|(share, _)| share.si()).sum();
        let fits = parts.iter().all(|(share, _)| share.si() >= 0.0) && (total - 1.0).abs() <= 1e-6;
        let (Some((_, first)), true) = (parts.first(), fits) else {
            let shares: Vec<String> = parts.iter().map(|(share, _)| significant(share.si(), 6)).collect();
            let why =
                format!("no share may be negative and all must add up to 1; they are {}", shares.join(", "));
            return Err(FormulaError::NoResult { formula, why });
        };
        let mut fuel = Self::of(first);
        let mut sum = 0.0;
        for (index, (share, component)) in parts.iter().enumerate() {
            let added = share.si() * weight(component)?;
            sum += added;
            if index > 0 && added > 0.0 {
                fuel = fuel.with(Fraction::from_si_unchecked(added / sum), component)?;
            }
        }
        let name = |(share, component): &(Fraction, &Component)| {
            format!("{} % {}", significant(share.percent(), 3), component.name)
        };
        Ok(fuel.named(parts.iter().map(name).collect::<Vec<_>>().join(", ")))
    }

    /// This fuel with a component added to a mass fraction `w` of the whole.
    fn with(mut self, w: Fraction, added: &Component) -> Result<Self, FormulaError> {
        let own = Facts {
            elements: self.elements.map(Fraction::si),
            density: self.density.si(),
            heating_value: self.heating_value.si(),
        };
        let Facts { elements, density, heating_value } = mixed_facts(w.si(), &added.record(&Plain)?, &own)?;
        let x = blend_mole_fraction(w, added.molar_mass, self.molar_mass)?;
        let mixed = |a: f64, b: f64| a * w.si() + b * (1.0 - w.si());
        self.elements = elements.map(Fraction::from_si_unchecked);
        self.heating_value = SpecificEnergy::from_si_unchecked(heating_value);
        self.density = Density::from_si_unchecked(density);
        let vaporisation = mixed(added.vaporisation.si(), self.vaporisation.si());
        self.vaporisation = SpecificEnergy::from_si_unchecked(vaporisation);
        let capacity = mixed(added.liquid_heat_capacity.si(), self.liquid_heat_capacity.si());
        self.liquid_heat_capacity = SpecificHeat::from_si_unchecked(capacity);
        let [research, motor] = [0, 1].map(|i| blend_octane(x, added.octane[i], self.octane[i]));
        self.octane = [research?, motor?];
        self.molar_mass = blend_molar_mass(w, added.molar_mass, self.molar_mass)?;
        for (_, share) in &mut self.parts {
            *share *= 1.0 - w.si();
        }
        self.parts.push((added.clone(), w.si()));
        self.recipe = Recipe::Many;
        Ok(self)
    }

    /// Gives it the name that results print.
    pub fn named(mut self, name: impl Into<String>) -> Self {
        self.name = name.into();
        self
    }
    /// Its name.
    pub fn name(&self) -> &str {
        &self.name
    }
    /// Its components with their mass fractions.
    pub fn parts(&self) -> impl Iterator<Item = (&Component, Fraction)> {
        self.parts.iter().map(|(component, share)| (component, Fraction::from_si_unchecked(*share)))
    }
    /// Density at 15 degC.
    pub fn density(&self) -> Density {
        self.density
    }
    /// Density at another temperature, -20 to 50 degC.
    pub fn density_at(&self, temperature: Temperature) -> Result<Density, FormulaError> {
        let volumes = self.parts.iter().map(|(part, share)| Ok(share / part.density_at(temperature)?.si()));
        let volume = volumes.sum::<Result<f64, FormulaError>>()?;
        Ok(Density::from_si_unchecked(1.0 / volume))
    }
    /// Lower heating value of the liquid.
    pub fn heating_value(&self) -> SpecificEnergy {
        self.heating_value
    }
    /// Heat of vaporisation at 25 degC, within 5 %.
    pub fn vaporisation(&self) -> SpecificEnergy {
        self.vaporisation
    }
    /// Research octane number, within [`OCTANE_BAND`] for blends.
    pub fn research_octane(&self) -> OctaneNumber {
        self.octane[0]
    }
    /// Motor octane number, within [`OCTANE_BAND`] for blends.
    pub fn motor_octane(&self) -> OctaneNumber {
        self.octane[1]
    }
    /// Molar mass.
    pub fn molar_mass(&self) -> MolarMass {
        self.molar_mass
    }
    /// Mass fractions of carbon, hydrogen and oxygen.
    pub fn elements(&self) -> [Fraction; 3] {
        self.elements
    }
    /// Moles of an element per unit of mass.
    fn atoms(&self, element: usize) -> f64 {
        self.elements[element].si() / ATOMIC_WEIGHTS[element]
    }
    /// Hydrogen atoms per carbon atom.
    pub fn hydrogen_to_carbon(&self) -> AtomRatio {
        AtomRatio::from_si_unchecked(self.atoms(1) / self.atoms(0))
    }
    /// Oxygen atoms per carbon atom.
    pub fn oxygen_to_carbon(&self) -> AtomRatio {
        AtomRatio::from_si_unchecked(self.atoms(2) / self.atoms(0))
    }
    /// Stoichiometric air-fuel ratio, by mass of dry air.
    pub fn stoichiometric_ratio(&self) -> Result<AirFuelRatio, FormulaError> {
        let [carbon, hydrogen, oxygen] = self.elements;
        stoichiometric_air_fuel_ratio(carbon, hydrogen, oxygen)
    }
    /// How much it cools air of a heat capacity when so much of its heat of vaporisation comes from the
    /// air: see [`PORT_COOLING`] and [`DIRECT_COOLING`].
    pub fn charge_cooling(
        &self,
        lambda: Lambda,
        share: Fraction,
        air: SpecificHeat,
    ) -> Result<TemperatureDifference, FormulaError> {
        charge_cooling(
            self.vaporisation,
            share,
            lambda,
            self.stoichiometric_ratio()?,
            air,
            self.liquid_heat_capacity,
        )
    }
    /// Volume of this fuel over that of another for the same energy, both at 15 degC.
    pub fn volume_against(&self, base: &Self) -> Result<Fraction, FormulaError> {
        volume_for_energy(self.heating_value, self.density, base.heating_value, base.density)
    }
    /// Mass of this fuel over that of another for the same energy.
    pub fn mass_against(&self, base: &Self) -> Result<Fraction, FormulaError> {
        Ok(self.volume_against(base)? * (self.density / base.density))
    }

    /// The figures that a sizing works with, from what the fuel was put together from.
    pub(crate) fn record<S: Scalar>(&self, g: &impl Giver<S>) -> Result<Burning<S>, FormulaError> {
        let Facts { elements, density, heating_value } = match (self.recipe, self.parts.as_slice()) {
            (Recipe::Volumes(share), [(base, _), (added, _)]) => {
                let share = g.give("fuel.share", &added.name, share);
                let [a, b] = [added.record(g)?, base.record(g)?];
                mixed_facts(blend_mass_fraction::step(share, a.density, b.density)?, &a, &b)?
            }
            (Recipe::One, [(only, _)]) => only.record(g)?,
            _ => {
                let keys = ["mixture.carbon", "mixture.hydrogen", "mixture.oxygen"];
                Facts {
                    elements: core::array::from_fn(|i| g.give(keys[i], &self.name, self.elements[i])),
                    density: g.give("mixture.density", &self.name, self.density),
                    heating_value: g.give("mixture.heating_value", &self.name, self.heating_value),
                }
            }
        };
        let [c, h, o] = elements;
        Ok(Burning { elements, density, heating_value, ratio: stoichiometric_air_fuel_ratio::step(c, h, o)? })
    }
}

/// What a sizing works with, of a mass fraction `w` of the first in the second.
fn mixed_facts<S: Scalar>(w: S, a: &Facts<S>, b: &Facts<S>) -> Result<Facts<S>, FormulaError> {
    let v = blend_volume_fraction::step(w, a.density, b.density)?;
    let element = |i: usize| blend_element::step(w, a.elements[i], b.elements[i]);
    Ok(Facts {
        elements: [element(0)?, element(1)?, element(2)?],
        density: blend_density::step(v, a.density, b.density)?,
        heating_value: blend_heating_value::step(v, a.density, b.density, a.heating_value, b.heating_value)?,
    })
}
