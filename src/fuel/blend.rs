//! Blends of two components by volume, and what they need and give.

use super::component::{Component, Gasoline};
use crate::formula::FormulaError;
use crate::quantity::*;

formulas! { room "fuel" group BLEND;
    /// Stoichiometric air-fuel ratio from the elements
    ///
    /// (wC/12.011 + wH/(4 x 1.008) - wO/(2 x 15.999)) M_air/x_O2, in dry air of 28.9651 g/mol with an
    /// oxygen mole fraction of 0.209482.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Ethanol. DOE Alternative Fuels Data Center, fuel properties: 9.0
    /// let [carbon, hydrogen, oxygen] = Component::ethanol().elements();
    /// let ratio = shaftwork::fuel::stoichiometric_air_fuel_ratio(carbon, hydrogen, oxygen)?;
    /// assert!((ratio.si() - 9.0).abs() < 0.05);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn stoichiometric_air_fuel_ratio(
        carbon: Fraction = "w_C" in [0.0, 1.0], "mass fraction of carbon";
        hydrogen: Fraction = "w_H" in [0.0, 0.26], "mass fraction of hydrogen";
        oxygen: Fraction = "w_O" in [0.0, 0.7], "mass fraction of oxygen";
    ) -> AirFuelRatio = "AFR_st"
    source "oxygen balance; dry air of ISO 2533:1975, IUPAC atomic weights"
    {
        let demand = (carbon / 12.011 + hydrogen / (4.0 * 1.008) - oxygen / (2.0 * 15.999)).called("n_O2");
        demand * (28.965_08 * 0.999_97 / 0.209_476)
    }

    /// Density of a blend by volume
    ///
    /// rho = v rho_a + (1 - v) rho_b; the volume gained on mixing, up to 0.2 %, is left out.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let rho = shaftwork::fuel::blend_density(percent(50.0), kg_per_m3(789.4), kg_per_m3(745.0))?;
    /// assert!((rho.si() - 767.2).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn blend_density(
        share: Fraction = "v" in [0.0, 1.0], "volume fraction of the first component";
        first: Density = "rho_a" in [500.0, 1000.0], "density of the first component";
        second: Density = "rho_b" in [500.0, 1000.0], "density of the second component";
    ) -> Density = "rho"
    source "volumes taken as additive (common practice, no source; from memory: within 0.2 %)"
    { share * first + (c(1.0) - share) * second }

    /// Mass fraction of the first component of a blend by volume
    ///
    /// w = v rho_a/(v rho_a + (1 - v) rho_b)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let w = shaftwork::fuel::blend_mass_fraction(percent(85.0), kg_per_m3(789.4), kg_per_m3(745.0))?;
    /// assert!((w.si() - 0.8572).abs() < 1e-4);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn blend_mass_fraction(
        share: Fraction = "v" in [0.0, 1.0], "volume fraction of the first component";
        first: Density = "rho_a" in [500.0, 1000.0], "density of the first component";
        second: Density = "rho_b" in [500.0, 1000.0], "density of the second component";
    ) -> Fraction = "w"
    source "definition"
    {
        let mass = (share * first).called("m_a");
        mass / (mass + (c(1.0) - share) * second)
    }

    /// Stoichiometric air-fuel ratio of a blend by volume
    ///
    /// AFR = w AFR_a + (1 - w) AFR_b with the mass fraction w of the first component: exact, since the
    /// oxygen each component needs adds by mass.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 85 % ethanol by volume in gasoline: an independent element balance gives 9.7992
    /// let ratio = shaftwork::fuel::blend_air_fuel_ratio(
    ///     percent(85.0), kg_per_m3(789.4), kg_per_m3(745.0), AirFuelRatio::new(9.0041)?, AirFuelRatio::new(14.5736)?)?;
    /// assert!((ratio.si() - 9.7992).abs() < 2e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn blend_air_fuel_ratio(
        share: Fraction = "v" in [0.0, 1.0], "volume fraction of the first component";
        first: Density = "rho_a" in [500.0, 1000.0], "density of the first component";
        second: Density = "rho_b" in [500.0, 1000.0], "density of the second component";
        first_ratio: AirFuelRatio = "AFR_a" in [1.0, 40.0], "stoichiometric ratio of the first component";
        second_ratio: AirFuelRatio = "AFR_b" in [1.0, 40.0], "stoichiometric ratio of the second component";
    ) -> AirFuelRatio = "AFR"
    source "oxygen demand adds by mass"
    {
        let w = blend_mass_fraction::of(share, first, second).called("w");
        w * first_ratio + (c(1.0) - w) * second_ratio
    }

    /// Lower heating value of a blend by volume
    ///
    /// LHV = w LHV_a + (1 - w) LHV_b with the mass fraction w of the first component.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let lhv = shaftwork::fuel::blend_heating_value(
    ///     percent(85.0), kg_per_m3(789.4), kg_per_m3(745.0), mj_per_kg(26.83), mj_per_kg(43.0))?;
    /// assert!((lhv.mj_per_kg() - 29.1386).abs() < 1e-3);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn blend_heating_value(
        share: Fraction = "v" in [0.0, 1.0], "volume fraction of the first component";
        first: Density = "rho_a" in [500.0, 1000.0], "density of the first component";
        second: Density = "rho_b" in [500.0, 1000.0], "density of the second component";
        first_value: SpecificEnergy = "LHV_a" in [1e6, 1.3e8], "lower heating value of the first component";
        second_value: SpecificEnergy = "LHV_b" in [1e6, 1.3e8], "lower heating value of the second component";
    ) -> SpecificEnergy = "LHV"
    source "energy adds by mass; the heat of mixing is left out"
    {
        let w = blend_mass_fraction::of(share, first, second).called("w");
        w * first_value + (c(1.0) - w) * second_value
    }
}

/// A fuel ready to burn: its elements, its density at 15 degC and its heating value.
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
    elements: [Fraction; 3],
    density: Density,
    heating_value: SpecificEnergy,
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
            elements: component.elements(),
            density: component.density,
            heating_value: component.heating_value,
        }
    }
    /// Two components, the first with a share by volume.
    pub fn blend(share: Fraction, first: &Component, second: &Component) -> Result<Self, FormulaError> {
        let (rho_a, rho_b) = (first.density, second.density);
        let w = blend_mass_fraction(share, rho_a, rho_b)?.si();
        let (a, b) = (first.elements(), second.elements());
        Ok(Self {
            name: format!("{} % {} in {}", significant(share.percent(), 3), first.name, second.name),
            elements: core::array::from_fn(|i| a[i] * w + b[i] * (1.0 - w)),
            density: blend_density(share, rho_a, rho_b)?,
            heating_value: blend_heating_value(
                share,
                rho_a,
                rho_b,
                first.heating_value,
                second.heating_value,
            )?,
        })
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
        self.elements
    }
    /// Hydrogen atoms per carbon atom.
    pub fn hydrogen_to_carbon(&self) -> AtomRatio {
        AtomRatio::from_si_unchecked(self.elements[1].si() / 1.008 / (self.elements[0].si() / 12.011))
    }
    /// Oxygen atoms per carbon atom.
    pub fn oxygen_to_carbon(&self) -> AtomRatio {
        AtomRatio::from_si_unchecked(self.elements[2].si() / 15.999 / (self.elements[0].si() / 12.011))
    }
    /// Stoichiometric air-fuel ratio.
    pub fn stoichiometric_ratio(&self) -> Result<AirFuelRatio, FormulaError> {
        let [carbon, hydrogen, oxygen] = self.elements;
        stoichiometric_air_fuel_ratio(carbon, hydrogen, oxygen)
    }
}
