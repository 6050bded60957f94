//! Named quantities: what goes into and comes out of every public function.
//!
//! Each holds one `f64` in SI units and is a type of its own, so a pressure cannot stand where a
//! temperature belongs, nor a gauge pressure where an absolute one does. They are plain structs
//! without type parameters: a notebook keeps them between cells without a written type.
//!
//! ```
//! use shaftwork::prelude::*;
//! let boost: GaugePressure = "20 psig".parse()?;
//! let barometer = kpa(88.2);
//! assert_eq!(boost.absolute(barometer).to_string(), "226.1 kPa");
//! assert_eq!("1.5lb/min".parse::<MassFlow>()?.show("g/s", 4)?, "11.34 g/s");
//! # Ok::<(), QuantityError>(())
//! ```
//!
//! A wrong quantity does not compile:
//!
//! ```compile_fail
//! use shaftwork::prelude::*;
//! let wrong: Pressure = deg_c(24.0);
//! ```
//! ```compile_fail
//! use shaftwork::prelude::*;
//! let gauge_for_absolute: f64 = bar_gauge(1.2) / kpa(88.2);
//! ```
//! ```compile_fail
//! use shaftwork::prelude::*;
//! let wrong: Power = kg_per_s(0.2) * deg_c(24.0);
//! ```

#[macro_use]
mod define;
mod kinds;
mod parse;
mod print;
mod relations;
mod wire;

pub use kinds::*;
pub use parse::QuantityError;
pub(crate) use parse::shorten;
pub use print::significant;
pub(crate) use print::{six_figures, trimmed, trimmed_zeros};

use core::ops::{Add, Div, Mul, Neg, Sub};

/// One unit of a quantity: SI value = number x `factor` + `offset`.
#[derive(Clone, Copy, Debug)]
pub struct Unit {
    /// How it is printed.
    pub label: &'static str,
    /// SI units in one of this unit, from the unit's exact definition.
    pub factor: f64,
    /// SI value at zero of this unit (temperatures).
    pub offset: f64,
    /// Other spellings that are read.
    pub aliases: &'static [&'static str],
}

impl Unit {
    fn to_si(self, number: f64) -> f64 {
        number * self.factor + self.offset
    }
    fn number(self, value: f64) -> f64 {
        (value - self.offset) / self.factor
    }
}

/// What is known of a quantity without its type.
struct Kind {
    words: &'static str,
    units: &'static [Unit],
    both: fn(f64) -> String,
}

/// Prints an SI value as [`Quantity::both`] does, by the name of its quantity; `None` for a name that none has.
///
/// ```
/// use shaftwork::quantity::both_by_name;
/// assert_eq!(both_by_name("a power", 245e3).unwrap(), "245.0 kW (329 hp)");
/// assert_eq!(both_by_name("a wish", 1.0), None);
/// ```
pub fn both_by_name(quantity: &str, value: f64) -> Option<String> {
    kinds::KINDS.iter().find(|kind| kind.words == quantity).map(|kind| (kind.both)(value))
}

/// The units of a quantity, the SI unit first, by the name of the quantity.
#[cfg(feature = "notebook")]
pub(crate) fn units_by_name(quantity: &str) -> Option<&'static [Unit]> {
    kinds::KINDS.iter().find(|kind| kind.words == quantity).map(|kind| kind.units)
}

/// What all quantities share.
pub trait Quantity: Copy + PartialOrd + 'static {
    /// The quantity in words, as messages name it.
    const NAME: &'static str;
    /// The units it reads and prints; the first is the SI unit.
    const UNITS: &'static [Unit];
    /// The unit it prints in unless told otherwise.
    const SHOWN: &'static str;
    /// The trade's unit, shown beside the first where there is room.
    const ALSO: Option<&'static str>;
    /// The interval its values cannot leave, infinite for most.
    const BOUNDS: (f64, f64);
    /// The SI value.
    fn si(self) -> f64;
    /// Wraps an SI value without looking at it.
    #[doc(hidden)]
    fn from_si_unchecked(value: f64) -> Self;
    /// Wraps an SI value after checking that it is finite and within bounds.
    fn from_si(value: f64) -> Result<Self, QuantityError> {
        parse::bounded(value)
    }
    /// The label of the SI unit.
    fn si_unit() -> &'static str {
        Self::UNITS[0].label
    }
    /// Prints in the shown unit with four significant figures, then in the trade's unit.
    fn both(self) -> String {
        print::both(self)
    }
}
