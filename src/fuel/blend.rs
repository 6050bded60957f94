//! Blends of two components by volume, and what they need and give.

use crate::constants::{AIR_MOLAR_MASS, ATOMIC_WEIGHTS, OXYGEN_IN_AIR};
use crate::quantity::*;

const C: f64 = ATOMIC_WEIGHTS[0];
const H: f64 = ATOMIC_WEIGHTS[1];
const O: f64 = ATOMIC_WEIGHTS[2];

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
    source "[derived-here] from the oxygen balance; dry air of [iso-2533], [iupac-weights]"
    {
        let demand = (carbon / C + hydrogen / (4.0 * H) - oxygen / (2.0 * O)).called_in("n_O2", "mol/g");
        demand * (AIR_MOLAR_MASS / OXYGEN_IN_AIR)
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
    source "[common-practice], volumes taken as additive (from memory: within 0.2 %)"
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
    source "[by-definition] of mass fraction"
    {
        let mass = (share * first).called_in("m_a", "kg/m3");
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
    source "[derived-here], oxygen demand adds by mass"
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
    source "[energy-balance] by mass; the heat of mixing is left out"
    {
        let w = blend_mass_fraction::of(share, first, second).called("w");
        w * first_value + (c(1.0) - w) * second_value
    }

    /// Volume fraction of the first component of a blend by mass
    ///
    /// v = (w/rho_a)/(w/rho_a + (1 - w)/rho_b)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let v = shaftwork::fuel::blend_volume_fraction(percent(85.72), kg_per_m3(789.4), kg_per_m3(745.0))?;
    /// assert!((v.percent() - 85.0).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn blend_volume_fraction(
        mass: Fraction = "w" in [0.0, 1.0], "mass fraction of the first component";
        first: Density = "rho_a" in [500.0, 1000.0], "density of the first component";
        second: Density = "rho_b" in [500.0, 1000.0], "density of the second component";
    ) -> Fraction = "v"
    source "[by-definition] of volume fraction, volumes taken as additive"
    {
        let volume = (mass / first).called_in("V_a", "m3/kg");
        volume / (volume + (c(1.0) - mass) / second)
    }

    /// Mass fraction of carbon in a molecule
    ///
    /// w = n M/(sum of n M) over carbon, hydrogen and oxygen
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let [c, h, o] = [2.0, 6.0, 1.0].map(AtomCount::from_si_unchecked);
    /// let w = shaftwork::fuel::carbon_fraction(c, h, o)?;
    /// assert!((w.percent() - 52.14).abs() < 0.01); // ethanol by hand: 24.022/46.069
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn carbon_fraction(
        carbon: AtomCount = "n_C" in [0.0, 40.0], "carbon atoms";
        hydrogen: AtomCount = "n_H" in [0.0, 90.0], "hydrogen atoms";
        oxygen: AtomCount = "n_O" in [0.0, 20.0], "oxygen atoms";
    ) -> Fraction = "w_C"
    source "[by-definition]; IUPAC atomic weights"
    { carbon * C / (carbon * C + hydrogen * H + oxygen * O) }

    /// Mass fraction of hydrogen in a molecule
    ///
    /// w = n M/(sum of n M) over carbon, hydrogen and oxygen
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let [c, h, o] = [2.0, 6.0, 1.0].map(AtomCount::from_si_unchecked);
    /// let w = shaftwork::fuel::hydrogen_fraction(c, h, o)?;
    /// assert!((w.percent() - 13.13).abs() < 0.01); // ethanol by hand: 6.048/46.069
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn hydrogen_fraction(
        carbon: AtomCount = "n_C" in [0.0, 40.0], "carbon atoms";
        hydrogen: AtomCount = "n_H" in [0.0, 90.0], "hydrogen atoms";
        oxygen: AtomCount = "n_O" in [0.0, 20.0], "oxygen atoms";
    ) -> Fraction = "w_H"
    source "[by-definition]; IUPAC atomic weights"
    { hydrogen * H / (carbon * C + hydrogen * H + oxygen * O) }

    /// Mass fraction of oxygen in a molecule
    ///
    /// w = n M/(sum of n M) over carbon, hydrogen and oxygen
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let [c, h, o] = [2.0, 6.0, 1.0].map(AtomCount::from_si_unchecked);
    /// let w = shaftwork::fuel::oxygen_fraction(c, h, o)?;
    /// assert!((w.percent() - 34.73).abs() < 0.01); // ethanol by hand: 15.999/46.069
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn oxygen_fraction(
        carbon: AtomCount = "n_C" in [0.0, 40.0], "carbon atoms";
        hydrogen: AtomCount = "n_H" in [0.0, 90.0], "hydrogen atoms";
        oxygen: AtomCount = "n_O" in [0.0, 20.0], "oxygen atoms";
    ) -> Fraction = "w_O"
    source "[by-definition]; IUPAC atomic weights"
    { oxygen * O / (carbon * C + hydrogen * H + oxygen * O) }

    /// Mass fraction of an element in a blend
    ///
    /// w = w_m a + (1 - w_m) b
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let w = shaftwork::fuel::blend_element(percent(60.0), percent(52.0), percent(86.0))?;
    /// assert!((w.percent() - 65.6).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn blend_element(
        mass: Fraction = "w_m" in [0.0, 1.0], "mass fraction of the first component";
        first: Fraction = "w_a" in [0.0, 1.0], "mass fraction of the element in the first component";
        second: Fraction = "w_b" in [0.0, 1.0], "mass fraction of the element in the second component";
    ) -> Fraction = "w_e"
    source "[mass-balance]"
    { first * mass + second * (c(1.0) - mass) }
}
