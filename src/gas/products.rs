//! Combustion products of a fuel of carbon, hydrogen and oxygen in dry or humid air.

use super::Species::{Ar, CO, CO2, H2, H2O, N2, O2};
use super::mixture::{COLDEST, Gas, HOTTEST, JOINT};
use super::species::{Species, UNIVERSAL_GAS_CONSTANT};
use crate::formula::{FormulaError, Piece, Property, Table};
use crate::fuel::Fuel;
use crate::quantity::*;

formulas! { room "gas" group PRODUCTS;
    /// Carbon dioxide in rich products
    ///
    /// Per mole of carbon of the fuel: balances of C, H and O with K = (xCO xH2O)/(xCO2 xH2) give
    /// (1 - K) x^2 - [C + W + K (H - W)] x + C W = 0, where W is the oxygen atoms left over when all
    /// carbon is CO, and H the molecules of H2 if all hydrogen were H2.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // CH1.85 at lambda 0.85, K 3.5, without the CO2 of the air: 0.673696 (balances solved by hand)
    /// let x = shaftwork::gas::rich_carbon_dioxide(percent(100.0), AtomRatio::new(1.85)?, AtomRatio::new(2.48625)?, WaterGasConstant::new(3.5)?)?;
    /// assert!((x.si() - 0.673696).abs() < 1e-6);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn rich_carbon_dioxide(
        carbon: Fraction = "C" in [0.9, 1.5], "carbon atoms per carbon atom of the fuel, those of the air's CO2 included";
        hydrogen: AtomRatio = "b" in [0.0, 20.0], "hydrogen atoms per carbon atom of the fuel, those of the air's vapour included";
        oxygen: AtomRatio = "O" in [0.8, 20.0], "oxygen atoms per carbon atom of the fuel, those of the air included";
        constant: WaterGasConstant = "K" in [0.05, 20.0], "water-gas constant";
    ) -> Fraction = "x"
    source "[derived-here] from element balances and the water-gas equilibrium"
    {
        let w = (oxygen - carbon).called("W");
        let h = (hydrogen / 2.0).called("H");
        let a = (constant - 1.0).called("A");
        let b = (carbon + w + constant * (h - w)).called("B");
        // A x^2 + B x - C W = 0: the root between 0 and C, in the form that loses no digits and holds at K = 1.
        carbon * w * 2.0 / (b + (b * b + a * carbon * w * 4.0).sqrt())
    }

    /// Water-gas constant in equilibrium at a temperature
    ///
    /// ln K = -dG/(Ru T) of CO2 + H2 = CO + H2O, from the species' polynomials.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Cantera 3.2.0: Kp of the reverse reaction 0.27934 at 1740 K, so K = 3.580
    /// let k = shaftwork::gas::water_gas_constant(kelvin(1740.0))?;
    /// assert!((k.ratio() - 1.0 / 0.27934).abs() < 1e-3);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn water_gas_constant(temperature: Temperature = "T" in [700.0, 3000.0], "temperature at which the equilibrium holds";) -> WaterGasConstant = "K"
    source "[nasa-tm-4513], Gibbs energies"
    { S::property(&LnWaterGas, temperature).exp() }
}

/// ln K of CO2 + H2 = CO + H2O.
struct LnWaterGas;

impl LnWaterGas {
    /// s/R - h/(R T) of the reaction, term by term, on one side of the joint.
    fn piece(side: usize, end: f64) -> Piece {
        let [a, b, x, y] = [CO, H2O, CO2, H2].map(|species| species.coefficients()[side]);
        let d: [f64; 7] = core::array::from_fn(|i| a[i] + b[i] - x[i] - y[i]);
        let powers = [d[6] - d[0], d[1] / 2.0, d[2] / 6.0, d[3] / 12.0, d[4] / 20.0, 0.0];
        Piece { end, inverse: -d[5], log: d[0], powers }
    }
    fn at(t: f64) -> Piece {
        if t < JOINT { Self::piece(0, JOINT) } else { Self::piece(1, HOTTEST) }
    }
}

impl Property for LnWaterGas {
    fn value(&self, t: f64) -> f64 {
        Self::at(t).at(t)
    }
    fn slope(&self, t: f64) -> f64 {
        Self::at(t).slope(t)
    }
    fn solve(&self, _ln_k: f64) -> (f64, usize) {
        (f64::NAN, 0)
    }
    fn range(&self) -> [f64; 2] {
        [COLDEST, HOTTEST]
    }
    fn table(&self) -> Table {
        let pieces = vec![Self::piece(0, JOINT), Self::piece(1, HOTTEST)];
        Table { name: "ln K[water gas]".into(), pieces }
    }
}

/// How the water-gas equilibrium of rich products is fixed: a stated choice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WaterGas {
    /// A constant, frozen as the gas cools. 3.5 and 3.8 are both in use; they are the equilibrium at 1720
    /// and 1795 K.
    Frozen(WaterGasConstant),
    /// In equilibrium at this temperature.
    At(Temperature),
}

impl Default for WaterGas {
    /// Frozen at 3.5, as in [heywood-1988], ch. 4 (from memory).
    fn default() -> Self {
        Self::Frozen(WaterGasConstant::from_si_unchecked(3.5))
    }
}

impl WaterGas {
    /// The constant in use.
    pub fn constant(&self) -> Result<WaterGasConstant, FormulaError> {
        match self {
            Self::Frozen(constant) => Ok(*constant),
            Self::At(temperature) => water_gas_constant(*temperature),
        }
    }
}

/// What leaves the cylinder.
#[derive(Clone, Debug, PartialEq)]
pub struct Products {
    /// The gas.
    pub gas: Gas,
    /// Heat still to be had from its CO and H2, per mass of fuel.
    pub unburned: SpecificEnergy,
    /// The same as a share of the fuel's heating value.
    pub unburned_share: Fraction,
    /// Mass of products per mass of fuel.
    pub per_fuel: Fraction,
}

/// Moles per mole of carbon of the fuel, in the order of [`Species::ALL`].
///
/// Lean or stoichiometric: complete combustion, the oxygen left over. Rich: CO, H2, CO2 and H2O by the
/// element balances and the water-gas constant, no oxygen. The CO2 and the vapour of the air take part.
///
/// # Errors
///
/// [`FormulaError::OutOfRange`] for lambda outside 0.6 to 10: below, soot and hydrocarbons appear that
/// these balances do not know.
pub fn product_moles(
    fuel: &Fuel,
    lambda: Lambda,
    air: &Gas,
    constant: WaterGasConstant,
) -> Result<[f64; 7], FormulaError> {
    let name = "gas::product_moles";
    let lambda = crate::formula::checked(name, "lambda", "relative air-fuel ratio", lambda, 0.6, 10.0)?.si();
    moles_of([fuel.hydrogen_to_carbon().si(), fuel.oxygen_to_carbon().si()], lambda, air, constant)
}

/// The same for a fuel of so many hydrogen and oxygen atoms per carbon atom.
fn moles_of(
    [b, o]: [f64; 2],
    lambda: f64,
    air: &Gas,
    constant: WaterGasConstant,
) -> Result<[f64; 7], FormulaError> {
    let name = "gas::product_moles";
    let needed = 1.0 + b / 4.0 - o / 2.0;
    let supplied = lambda * needed;
    if air.mole_fraction(O2) <= 0.0 {
        let why = format!("{} holds no oxygen to burn a fuel in", air.name());
        return Err(FormulaError::NoResult { formula: name, why });
    }
    let per_oxygen = supplied / air.mole_fraction(O2);
    let from_air = |species| per_oxygen * air.mole_fraction(species);
    let carbon = 1.0 + from_air(CO2);
    let hydrogen = b + 2.0 * from_air(H2O);
    let mut moles = [0.0; 7];
    moles[N2 as usize] = from_air(N2);
    moles[Ar as usize] = from_air(Ar);
    if lambda >= 1.0 {
        moles[O2 as usize] = supplied - needed;
        moles[CO2 as usize] = carbon;
        moles[H2O as usize] = hydrogen / 2.0;
    } else {
        let oxygen = o + 2.0 * supplied + 2.0 * from_air(CO2) + from_air(H2O);
        let co2 = rich_carbon_dioxide(
            Fraction::from_si_unchecked(carbon),
            AtomRatio::from_si_unchecked(hydrogen),
            AtomRatio::from_si_unchecked(oxygen),
            constant,
        )?
        .si();
        let h2o = oxygen - carbon - co2;
        moles[CO2 as usize] = co2;
        moles[H2O as usize] = h2o;
        moles[CO as usize] = carbon - co2;
        moles[H2 as usize] = hydrogen / 2.0 - h2o;
    }
    Ok(moles)
}

/// Burns a fuel in dry or humid air: dry air with no other additions than water vapour.
///
/// ```
/// use shaftwork::prelude::*;
/// use shaftwork::gas::{WaterGas, burn};
/// let rich = burn(&Fuel::gasoline()?, Lambda::new(0.85)?, &Gas::dry_air(), WaterGas::default())?;
/// // Unburned energy at lambda 0.85: 20 % of the heating value, not the 15 % of 1 - lambda.
/// assert!((rich.unburned_share.percent() - 20.0).abs() < 0.2);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
///
/// [`FormulaError`] for lambda outside 0.6 to 10 or a water-gas temperature outside 700 to 3000 K.
pub fn burn(fuel: &Fuel, lambda: Lambda, air: &Gas, water_gas: WaterGas) -> Result<Products, FormulaError> {
    let moles = product_moles(fuel, lambda, air, water_gas.constant()?)?;
    let gas = Gas::mix(format!("products of {} at lambda {:.2}", fuel.name(), lambda.si()), moles);
    let dry = lambda.si() * fuel.stoichiometric_ratio()?.si();
    let per_fuel = 1.0 + dry * (1.0 + super::humidity_ratio(air.vapour())?.si());
    let unburned = gas.unburned().si() * per_fuel;
    Ok(Products {
        gas,
        unburned: SpecificEnergy::from_si_unchecked(unburned),
        unburned_share: Fraction::from_si_unchecked(unburned / fuel.heating_value().si()),
        per_fuel: Fraction::from_si_unchecked(per_fuel),
    })
}

/// The products of a fuel of these mass fractions of carbon, hydrogen and oxygen, for slopes along a change of
/// composition.
pub(crate) fn burn_elements(
    [c, h, o]: [f64; 3],
    lambda: f64,
    air: &Gas,
    water_gas: WaterGas,
) -> Result<Gas, FormulaError> {
    let [carbon, hydrogen, oxygen] = crate::constants::ATOMIC_WEIGHTS;
    let moles = c / carbon;
    let ratios = [h / hydrogen / moles, o / oxygen / moles];
    Ok(Gas::mix("products", moles_of(ratios, lambda, air, water_gas.constant()?)?))
}

impl Gas {
    /// Products of a fuel in dry air with the water-gas constant at its default: the gas of [`burn`].
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
    /// [`FormulaError::OutOfRange`] for a lambda outside 0.6 to 10.
    pub fn products(fuel: &Fuel, lambda: Lambda) -> Result<Self, FormulaError> {
        Ok(burn(fuel, lambda, &Self::dry_air(), WaterGas::default())?.gas)
    }

    /// The heat still to be had from the CO and H2 of this gas at 298.15 K, per mass of gas, water as vapour.
    pub fn unburned(&self) -> SpecificEnergy {
        let molar = |species: Species| UNIVERSAL_GAS_CONSTANT * species.enthalpy(298.15);
        let oxygen = 0.5 * molar(O2);
        let released = self.mole_fraction(CO) * (molar(CO) + oxygen - molar(CO2))
            + self.mole_fraction(H2) * (molar(H2) + oxygen - molar(H2O));
        SpecificEnergy::from_si_unchecked(released / self.molar_mass().si())
    }
}
