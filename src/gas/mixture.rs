//! A mixture of fixed composition and its properties of temperature.

use super::species::{Species, UNIVERSAL_GAS_CONSTANT};
use crate::formula::{Context, Piece, Property, Scalar, Table};
use crate::quantity::{MolarMass, Quantity, SpecificHeat};

pub(super) const JOINT: f64 = 1000.0;
pub(super) const COLDEST: f64 = 200.0;
pub(super) const HOTTEST: f64 = 6000.0;

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
    ranges: [Range; 2],
    enthalpies: Grid,
    entropies: Grid,
}

/// The polynomials on one side of the joint, per mass, with the divisions of their integrals done.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Range {
    cp: [f64; 5],
    h: [f64; 6],
    s: [f64; 6],
}

impl Range {
    fn new(r: f64, a: [f64; 7]) -> Self {
        let [a1, a2, a3, a4, a5, a6, a7] = a.map(|x| r * x);
        Self {
            cp: [a1, a2, a3, a4, a5],
            h: [a6, a1, a2 / 2.0, a3 / 3.0, a4 / 4.0, a5 / 5.0],
            s: [a7, a1, a2, a3 / 2.0, a4 / 3.0, a5 / 4.0],
        }
    }
    // Even and odd powers apart: two short chains of operations instead of a long one.
    #[inline]
    fn cp(&self, t: f64) -> f64 {
        let (a, q) = (&self.cp, t * t);
        (a[0] + q * (a[2] + q * a[4])) + t * (a[1] + q * a[3])
    }
    #[inline]
    fn cp_slope(&self, t: f64) -> f64 {
        let a = &self.cp;
        a[1] + t * (2.0 * a[2] + t * (3.0 * a[3] + t * 4.0 * a[4]))
    }
    #[inline]
    fn h(&self, t: f64) -> f64 {
        let (a, q) = (&self.h, t * t);
        (a[0] + q * (a[2] + q * a[4])) + t * (a[1] + q * (a[3] + q * a[5]))
    }
    #[inline]
    fn s(&self, t: f64) -> f64 {
        let (a, q) = (&self.s, t * t);
        (a[0] + a[1] * t.ln()) + q * (a[3] + q * a[5]) + t * (a[2] + q * a[4])
    }
}

/// The same as pieces that can be printed and evaluated elsewhere.
impl Range {
    fn cp_piece(&self) -> Piece {
        let [a, b, c, d, e] = self.cp;
        Piece { end: HOTTEST, inverse: 0.0, log: 0.0, powers: [a, b, c, d, e, 0.0] }
    }
    fn h_piece(&self) -> Piece {
        Piece { end: HOTTEST, inverse: 0.0, log: 0.0, powers: self.h }
    }
    fn s_piece(&self) -> Piece {
        let [a, log, b, c, d, e] = self.s;
        Piece { end: HOTTEST, inverse: 0.0, log, powers: [a, b, c, d, e, 0.0] }
    }
}

const NODES: usize = 32;

/// Bins of equal width that say at which node to look first.
const BINS: usize = 64;

/// A rising property at some temperatures: where its inversion starts.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Grid {
    t: [f64; NODES],
    y: [f64; NODES],
    /// Kelvin per unit of the property.
    d: [f64; NODES],
    /// One over the width of the interval below each node.
    inverse: [f64; NODES],
    /// Bins per unit of the property.
    bins: f64,
    /// The upper node of the interval in which each bin begins.
    first: [u8; BINS],
}

impl Grid {
    /// Enthalpy is nearly straight over the temperature.
    fn of_enthalpy(ranges: &[Range; 2]) -> Self {
        let t = core::array::from_fn(|i| COLDEST + (HOTTEST - COLDEST) * i as f64 / (NODES - 1) as f64);
        let side = |t: f64| &ranges[usize::from(t >= JOINT)];
        Self::new(t, t.map(|t| side(t).h(t)), t.map(|t| 1.0 / side(t).cp(t)))
    }
    /// Entropy is nearly straight over the logarithm of the temperature.
    fn of_entropy(ranges: &[Range; 2]) -> Self {
        let step = (HOTTEST / COLDEST).powf(1.0 / (NODES - 1) as f64);
        let mut at = COLDEST / step;
        let t = [(); NODES].map(|()| {
            at *= step;
            at
        });
        let side = |t: f64| &ranges[usize::from(t >= JOINT)];
        Self::new(t, t.map(|t| side(t).s(t)), t.map(|t| t / side(t).cp(t)))
    }
    fn new(t: [f64; NODES], y: [f64; NODES], d: [f64; NODES]) -> Self {
        let bins = BINS as f64 / (y[NODES - 1] - y[0]);
        let mut node = 1;
        let first = core::array::from_fn(|bin| {
            let begins = y[0] + bin as f64 / bins;
            while node < NODES - 1 && y[node] <= begins {
                node += 1;
            }
            node as u8
        });
        let inverse = core::array::from_fn(|i| if i > 0 { 1.0 / (y[i] - y[i - 1]) } else { 0.0 });
        Self { t, y, d, inverse, bins, first }
    }
    /// The temperature at a value, by the cubic between two nodes: close enough that one step lands.
    #[inline]
    fn start(&self, y: f64) -> f64 {
        // A value outside, or not a number, lands in an outer bin and is refused after the step.
        let bin = (((y - self.y[0]) * self.bins) as usize).min(BINS - 1);
        let mut i = usize::from(self.first[bin]);
        while i < NODES - 1 && self.y[i] < y {
            i += 1;
        }
        let width = self.y[i] - self.y[i - 1];
        let share = (y - self.y[i - 1]) * self.inverse[i];
        let rise = self.t[i] - self.t[i - 1];
        let (a, b) = (width * self.d[i - 1] - rise, rise - width * self.d[i]);
        self.t[i - 1] + share * (rise + (1.0 - share) * (a * (1.0 - share) + b * share))
    }
}

impl Gas {
    /// Dry air as in ISO 2533:1975, rounded to four species: N2 0.78084, O2 0.209476, Ar 0.00934,
    /// CO2 0.000314, normalised.
    pub fn dry_air() -> Self {
        Self::mix("dry air", Self::DRY_AIR)
    }
    pub(super) const DRY_AIR: [f64; 7] = [0.780_84, 0.209_476, 0.009_34, 0.000_314, 0.0, 0.0, 0.0];

    /// Normalises the moles and collapses the polynomials. Moles come from our own balances.
    pub(super) fn mix(name: impl Into<String>, moles: [f64; 7]) -> Self {
        let total: f64 = moles.iter().sum();
        let fractions = moles.map(|n| n / total);
        let molar_mass: f64 = Species::ALL.iter().zip(fractions).map(|(s, x)| x * s.molar_mass()).sum();
        let ranges = [0, 1].map(|side| {
            let mut sum = [0.0; 7];
            for (species, x) in Species::ALL.iter().zip(fractions) {
                for (total, a) in sum.iter_mut().zip(&species.coefficients()[side]) {
                    *total += x * a;
                }
            }
            Range::new(UNIVERSAL_GAS_CONSTANT / molar_mass, sum)
        });
        let (enthalpies, entropies) = (Grid::of_enthalpy(&ranges), Grid::of_entropy(&ranges));
        Self { name: name.into(), fractions, molar_mass, ranges, enthalpies, entropies }
    }

    fn table(&self, what: &str, piece: impl Fn(&Range) -> Piece) -> Table {
        let [cold, hot] = &self.ranges;
        let pieces = vec![Piece { end: JOINT, ..piece(cold) }, piece(hot)];
        Table { name: format!("{what}[{}]", self.name), pieces }
    }
    /// What it is called in records.
    pub fn name(&self) -> &str {
        &self.name
    }
    /// Its mole fractions in words: "N2 78.08 %, O2 20.95 %".
    pub fn composition(&self) -> String {
        let parts = Species::ALL.iter().zip(self.fractions).filter(|(_, x)| *x > 0.0);
        let words =
            parts.map(|(species, x)| format!("{species:?} {} %", crate::quantity::significant(100.0 * x, 4)));
        words.collect::<Vec<_>>().join(", ")
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
    /// The gas constant under its symbol, for the bodies of formulas.
    pub(crate) fn named_r<S: Scalar>(&self) -> S {
        S::lit(self.r()).called_in("R", "J/(kg K)")
    }
    /// The heat still to be had from it under its symbol, for the bodies of formulas.
    pub(crate) fn named_unburned<S: Scalar>(&self) -> S {
        S::lit(self.unburned().si()).called_in("q_u", "J/kg")
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
    /// The polynomials that hold at a temperature; `None` outside 200 to 6000 K.
    #[inline]
    fn at(&self, t: f64) -> Option<&Range> {
        (COLDEST..=HOTTEST).contains(&t).then(|| &self.ranges[usize::from(t >= JOINT)])
    }

    /// Halley's method on a property that rises with temperature: `gap` gives its distance to the target, its
    /// slope and its curvature. NaN unless it settled inside the range.
    #[inline]
    fn solve(&self, start: f64, gap: impl Fn(&Range, f64) -> (f64, f64, f64)) -> (f64, usize) {
        const NONE: (f64, usize) = (f64::NAN, 0);
        let mut t = start;
        for step in 1..=30 {
            // A step may cross the joint; the first may leave the range by a little.
            let Some(range) = self.at(t.clamp(COLDEST, HOTTEST)) else { return NONE };
            let (off, slope, bend) = gap(range, t);
            let next = t - 2.0 * off * slope / (2.0 * slope * slope - off * bend);
            // The error falls with its third power: a step this small has already landed.
            if (next - t).abs() <= 1e-5 * t {
                return if self.at(next).is_some() { (next, step) } else { NONE };
            }
            t = next;
        }
        NONE
    }
}

impl Context for Gas {
    fn label(&self) -> &str {
        &self.name
    }
}

/// cp(T) of a gas.
pub struct HeatCapacity<'a>(&'a Gas);
/// h(T) of a gas.
pub struct Enthalpy<'a>(&'a Gas);
/// s(T) of a gas at 1 bar.
pub struct Entropy<'a>(&'a Gas);

impl Property for HeatCapacity<'_> {
    #[inline]
    fn value(&self, t: f64) -> f64 {
        self.0.at(t).map_or(f64::NAN, |range| range.cp(t))
    }
    #[inline]
    fn slope(&self, t: f64) -> f64 {
        self.0.at(t).map_or(f64::NAN, |range| range.cp_slope(t))
    }
    /// A heat capacity has no single temperature.
    fn solve(&self, _cp: f64) -> (f64, usize) {
        (f64::NAN, 0)
    }
    fn range(&self) -> [f64; 2] {
        [COLDEST, HOTTEST]
    }
    fn table(&self) -> Table {
        self.0.table("cp", |range| range.cp_piece())
    }
}

impl Property for Enthalpy<'_> {
    #[inline]
    fn value(&self, t: f64) -> f64 {
        self.0.at(t).map_or(f64::NAN, |range| range.h(t))
    }
    #[inline]
    fn slope(&self, t: f64) -> f64 {
        self.0.cp().value(t)
    }
    fn range(&self) -> [f64; 2] {
        [COLDEST, HOTTEST]
    }
    #[inline]
    fn solve(&self, h: f64) -> (f64, usize) {
        let start = self.0.enthalpies.start(h);
        self.0.solve(start, |range, t| (range.h(t) - h, range.cp(t), range.cp_slope(t)))
    }
    fn table(&self) -> Table {
        self.0.table("h", |range| range.h_piece())
    }
}

impl Property for Entropy<'_> {
    #[inline]
    fn value(&self, t: f64) -> f64 {
        self.0.at(t).map_or(f64::NAN, |range| range.s(t))
    }
    #[inline]
    fn slope(&self, t: f64) -> f64 {
        self.0.cp().value(t) / t
    }
    fn range(&self) -> [f64; 2] {
        [COLDEST, HOTTEST]
    }
    #[inline]
    fn solve(&self, s: f64) -> (f64, usize) {
        self.0.solve(self.0.entropies.start(s), |range, t| {
            let inverse = 1.0 / t;
            let per_kelvin = range.cp(t) * inverse;
            (range.s(t) - s, per_kelvin, (range.cp_slope(t) - per_kelvin) * inverse)
        })
    }
    fn table(&self) -> Table {
        self.0.table("s", |range| range.s_piece())
    }
}
