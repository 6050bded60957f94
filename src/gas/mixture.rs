//! A mixture of fixed composition and its properties of temperature.

use super::species::{Species, UNIVERSAL_GAS_CONSTANT};
use crate::formula::Property;
use crate::quantity::{MolarMass, Quantity, SpecificHeat};

const JOINT: f64 = 1000.0;
const COLDEST: f64 = 200.0;
const HOTTEST: f64 = 6000.0;

/// An ideal gas of fixed composition: its species' polynomials collapsed to one set, per mass.
///
/// ```
/// use shaftwork::prelude::*;
/// let air = Gas::dry_air();
/// let cp = shaftwork::gas::heat_capacity(&air, kelvin(300.0))?;
/// assert!((cp.si() - 1004.833).abs() < 0.01); // Cantera 3.2.0 with the same polynomials
/// # Ok::<(), FormulaError>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Gas {
    name: String,
    fractions: [f64; 7],
    molar_mass: f64,
    /// R/M times a1 to a7, below and above the joint.
    low: [f64; 7],
    high: [f64; 7],
}

/// Mole fraction of carbon dioxide in dry air per mole fraction of oxygen.
pub struct CarbonDioxideOfAir;

impl CarbonDioxideOfAir {
    /// ISO 2533:1975, composition of the standard atmosphere, four species.
    pub const PER_OXYGEN: f64 = 0.000_314 / 0.209_476;
}

impl Gas {
    /// Dry air as in ISO 2533:1975, rounded to four species: N2 0.78084, O2 0.209476, Ar 0.00934,
    /// CO2 0.000314, normalised.
    pub fn dry_air() -> Self {
        Self::mix("dry air", [0.780_84, 0.209_476, 0.009_34, 0.000_314, 0.0, 0.0, 0.0])
    }

    /// Normalises the fractions and collapses the polynomials. Fractions come from our own balances.
    pub(super) fn mix(name: impl Into<String>, moles: [f64; 7]) -> Self {
        let total: f64 = moles.iter().sum();
        let fractions = moles.map(|n| n / total);
        let molar_mass: f64 = Species::ALL.iter().zip(fractions).map(|(s, x)| x * s.molar_mass()).sum();
        let r = UNIVERSAL_GAS_CONSTANT / molar_mass;
        let collapse = |range: usize| {
            core::array::from_fn(|i| {
                r * Species::ALL
                    .iter()
                    .zip(fractions)
                    .map(|(s, x)| x * s.coefficients()[range][i])
                    .sum::<f64>()
            })
        };
        Self { name: name.into(), fractions, molar_mass, low: collapse(0), high: collapse(1) }
    }

    /// What it is called in records.
    pub fn name(&self) -> &str {
        &self.name
    }
    /// Mole fraction of a species.
    pub fn mole_fraction(&self, species: Species) -> f64 {
        self.fractions[species as usize]
    }
    /// Molar mass.
    pub fn molar_mass(&self) -> MolarMass {
        MolarMass::from_si_unchecked(self.molar_mass)
    }
    /// Specific gas constant R.
    pub fn gas_constant(&self) -> SpecificHeat {
        SpecificHeat::from_si_unchecked(self.r())
    }
    pub(crate) fn r(&self) -> f64 {
        UNIVERSAL_GAS_CONSTANT / self.molar_mass
    }
    /// Heat capacity as a property of temperature.
    pub fn cp(&self) -> HeatCapacity<'_> {
        HeatCapacity(self)
    }
    /// Enthalpy, formation included, as a property of temperature.
    pub fn h(&self) -> Enthalpy<'_> {
        Enthalpy(self)
    }
    /// Entropy at 1 bar without the constant of mixing, as a property of temperature.
    pub fn s(&self) -> Entropy<'_> {
        Entropy(self)
    }
    fn range(&self, t: f64) -> &[f64; 7] {
        if t < JOINT { &self.low } else { &self.high }
    }
    fn within(t: f64) -> bool {
        (COLDEST..=HOTTEST).contains(&t)
    }
}

/// cp(T) of a gas.
pub struct HeatCapacity<'a>(&'a Gas);
/// h(T) of a gas.
pub struct Enthalpy<'a>(&'a Gas);
/// s(T) of a gas at 1 bar.
pub struct Entropy<'a>(&'a Gas);

impl Property for HeatCapacity<'_> {
    fn name(&self) -> String {
        format!("cp[{}]", self.0.name)
    }
    fn value(&self, t: f64) -> f64 {
        if !Gas::within(t) {
            return f64::NAN;
        }
        let a = self.0.range(t);
        a[0] + t * (a[1] + t * (a[2] + t * (a[3] + t * a[4])))
    }
    fn slope(&self, t: f64) -> f64 {
        if !Gas::within(t) {
            return f64::NAN;
        }
        let a = self.0.range(t);
        a[1] + t * (2.0 * a[2] + t * (3.0 * a[3] + t * 4.0 * a[4]))
    }
    /// A heat capacity has no single temperature.
    fn invert(&self, _cp: f64) -> f64 {
        f64::NAN
    }
}

impl Property for Enthalpy<'_> {
    fn name(&self) -> String {
        format!("h[{}]", self.0.name)
    }
    fn value(&self, t: f64) -> f64 {
        if !Gas::within(t) {
            return f64::NAN;
        }
        let a = self.0.range(t);
        t * (a[0] + t * (a[1] / 2.0 + t * (a[2] / 3.0 + t * (a[3] / 4.0 + t * a[4] / 5.0)))) + a[5]
    }
    fn slope(&self, t: f64) -> f64 {
        self.0.cp().value(t)
    }
    fn invert(&self, h: f64) -> f64 {
        let start = 298.15 + (h - self.value(298.15)) / 1100.0;
        newton(self, h, start)
    }
}

impl Property for Entropy<'_> {
    fn name(&self) -> String {
        format!("s[{}]", self.0.name)
    }
    fn value(&self, t: f64) -> f64 {
        if !Gas::within(t) {
            return f64::NAN;
        }
        let a = self.0.range(t);
        a[0] * t.ln() + t * (a[1] + t * (a[2] / 2.0 + t * (a[3] / 3.0 + t * a[4] / 4.0))) + a[6]
    }
    fn slope(&self, t: f64) -> f64 {
        self.0.cp().value(t) / t
    }
    fn invert(&self, s: f64) -> f64 {
        let start = 298.15 * ((s - self.value(298.15)) / 1100.0).exp();
        newton(self, s, start)
    }
}

/// Newton's method on a property that rises with temperature; NaN unless it converged in range.
fn newton(property: &impl Property, target: f64, start: f64) -> f64 {
    let mut t = start.clamp(COLDEST, HOTTEST);
    for _ in 0..40 {
        let step = (property.value(t) - target) / property.slope(t);
        let next = (t - step).clamp(COLDEST, HOTTEST);
        if (next - t).abs() <= 1e-13 * t {
            // Pinned at an end of the range: the target may lie beyond it.
            let left = (property.value(next) - target) / property.slope(next);
            return if left.abs() <= 1e-9 * next { next } else { f64::NAN };
        }
        t = next;
    }
    // The last bits may go on flickering; anything coarser has not converged.
    let left = (property.value(t) - target) / property.slope(t);
    if left.abs() <= 1e-11 * t { t } else { f64::NAN }
}
