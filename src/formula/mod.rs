//! One formula, read several ways: a number, a derivative, an equation on paper, a record.
//!
//! A formula is written once, inside [`formulas!`](crate::formula), generic over [`Scalar`]. From
//! that one body come
//!
//! * the public function with named quantities and checked ranges,
//! * `name::of`, the plain relation on SI numbers for solvers,
//! * `name::gradient`, the exact derivatives to every input,
//! * `name::record`, the equation with its symbols, inputs, result and source: it is what was
//!   computed, so it cannot drift from the code,
//! * its entry in the list of all formulas, [`crate::registry`].
//!
//! ```
//! use shaftwork::prelude::*;
//! use shaftwork::compressor::density_ratio;
//! let record = density_ratio::record(PressureRatio::new(2.0)?, deg_c(24.0), deg_c(122.0))?;
//! assert_eq!(record.lines.last().unwrap().relation(), "Pi·T_01/T_02");
//! assert_eq!(record.formula.name, "compressor::density_ratio");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#[macro_use]
mod define;
mod dual;
mod expr;
mod giver;
mod latex;
mod mathml;
mod numbers;
mod scalar;
mod symbol;
mod tape;

pub use dual::Dual;
pub use expr::{Cases, Expr, LookUp, NEWTON_STEPS, Piece, SolvedRoot, Table, start_of};
pub use mathml::symbol_mathml;
pub use scalar::{Case, Constant, Context, Property, Scalar, Settled, Surface, c, case};
pub use tape::Rec;

pub(crate) use giver::{Giver, Plain};
pub(crate) use tape::{Entry, What, context, entry_of, given, input, read, session, trail};

use crate::quantity::{Quantity, QuantityError, significant, trimmed};

/// What is known of a formula besides its body.
#[derive(Debug)]
pub struct Formula {
    /// Its public path in the library: `compressor::density_ratio`.
    pub name: &'static str,
    /// The first line of its documentation.
    pub summary: &'static str,
    /// Its inputs.
    pub arguments: &'static [Argument],
    /// The symbol of the result.
    pub symbol: &'static str,
    /// The quantity of the result, in words.
    pub quantity: &'static str,
    /// The SI unit of the result.
    pub unit: &'static str,
    /// Where it is published.
    pub source: &'static str,
    /// Rises with each change of its results, which the changelog then names.
    pub version: u32,
}

/// One input of a formula.
#[derive(Debug)]
pub struct Argument {
    /// The name of the argument.
    pub name: &'static str,
    /// Its symbol.
    pub symbol: &'static str,
    /// What it is.
    pub words: &'static str,
    /// The quantity, in words.
    pub quantity: &'static str,
    /// Its SI unit.
    pub unit: &'static str,
    /// Least accepted SI value.
    pub low: f64,
    /// Greatest accepted SI value.
    pub high: f64,
    /// Prints an SI value in the unit people use, to four figures.
    pub show: fn(f64) -> String,
}

/// Why a formula gave no number.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum FormulaError {
    /// An input is NaN or infinite.
    NotFinite {
        /// The formula.
        formula: &'static str,
        /// The argument.
        argument: &'static str,
    },
    /// An input is outside the accepted range.
    OutOfRange {
        /// The formula.
        formula: &'static str,
        /// The argument.
        argument: &'static str,
        /// What the argument is.
        words: &'static str,
        /// Its SI value.
        value: f64,
        /// Least accepted.
        low: f64,
        /// Greatest accepted.
        high: f64,
        /// The SI unit.
        unit: &'static str,
    },
    /// An input is not the quantity it should be.
    Input(QuantityError),
    /// The inputs are each in range, but together they have no result.
    NoResult {
        /// The formula.
        formula: &'static str,
        /// Why.
        why: String,
    },
}

impl core::fmt::Display for FormulaError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::NotFinite { formula, argument } => {
                write!(f, "{formula}: {argument} is not a finite number")
            }
            Self::OutOfRange { formula, argument, words, value, low, high, unit } => {
                let [value, low, high] = [value, low, high].map(|v| trimmed(*v));
                let space = if unit.is_empty() { "" } else { " " };
                write!(
                    f,
                    "{formula}: {words} ({argument}) {value}{space}{unit} is outside {low} to {high}{space}{unit}"
                )
            }
            Self::Input(error) => error.fmt(f),
            Self::NoResult { formula, why } => write!(f, "{formula}: {why}"),
        }
    }
}
impl core::error::Error for FormulaError {}
impl FormulaError {
    /// The argument that was refused.
    pub fn argument(&self) -> Option<&'static str> {
        match self {
            Self::NotFinite { argument, .. } | Self::OutOfRange { argument, .. } => Some(argument),
            _ => None,
        }
    }
    /// What is wrong in the units people use, without the names of function and argument: for files and
    /// forms, whose keys stand beside it.
    pub fn plainly(&self) -> String {
        match self {
            Self::NotFinite { .. } => "is not a finite number".into(),
            Self::OutOfRange { words, value, low, high, unit, .. } => {
                let (factor, unit) = match *unit {
                    "rad/s" => (core::f64::consts::PI / 30.0, "rpm"),
                    "m" if *high < 1.0 => (1e-3, "mm"),
                    "m2" => (1e-6, "mm2"),
                    "Pa" => (1e3, "kPa"),
                    "W" => (1e3, "kW"),
                    "m3/s" => (1e-6 / 60.0, "cm3/min"),
                    other => (1.0, other),
                };
                let (zero, unit) =
                    if unit == "K" && words.contains("temperature") { (273.15, "degC") } else { (0.0, unit) };
                let [value, low, high] = [value, low, high].map(|v| trimmed((*v - zero) / factor));
                let space = if unit.is_empty() { "" } else { " " };
                format!("{words} {value}{space}{unit} is outside {low} to {high}{space}{unit}")
            }
            Self::Input(error) => error.to_string(),
            Self::NoResult { why, .. } => why.clone(),
        }
    }
}
impl From<QuantityError> for FormulaError {
    fn from(error: QuantityError) -> Self {
        Self::Input(error)
    }
}

/// One line of a record: a symbol, the expression that gives it, and its value.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The symbol on the left.
    pub symbol: &'static str,
    /// The expression on the right.
    pub expression: Expr,
    /// The SI value.
    pub value: f64,
    /// Its SI unit; empty where it has none.
    pub unit: &'static str,
}

impl Line {
    /// The expression as text.
    pub fn relation(&self) -> String {
        self.expression.to_string()
    }
}

/// A formula evaluated on record: its relation, its inputs, its result and its source.
#[derive(Clone, Debug)]
pub struct Derivation {
    /// The formula.
    pub formula: &'static Formula,
    /// SI values of the inputs, in the order of [`Formula::arguments`].
    pub inputs: Vec<f64>,
    /// Named intermediates, then the result.
    pub lines: Vec<Line>,
}

impl Derivation {
    /// The roots that were solved on the way.
    pub fn roots(&self) -> Vec<&SolvedRoot> {
        self.lines.iter().flat_map(|line| line.expression.roots()).collect()
    }
    /// The SI value behind a symbol: of an argument or of a line.
    pub fn value_of(&self, symbol: &str) -> Option<f64> {
        let arguments = self.formula.arguments.iter().zip(&self.inputs);
        let mut known = arguments.map(|(argument, value)| (argument.symbol, *value));
        let mut lines = self.lines.iter().map(|line| (line.symbol, line.value));
        known
            .find(|known| known.0 == symbol)
            .or_else(|| lines.find(|line| line.0 == symbol))
            .map(|known| known.1)
    }
}

impl core::fmt::Display for Derivation {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        writeln!(f, "{}  {}", self.formula.name, self.formula.summary)?;
        let (result, named) = self.lines.split_last().ok_or(core::fmt::Error)?;
        writeln!(f, "  relation  {} = {}", result.symbol, result.relation())?;
        for line in named {
            writeln!(
                f,
                "     where  {} = {} = {}",
                line.symbol,
                line.relation(),
                format!("{} {}", significant(line.value, 6), line.unit).trim_end()
            )?;
        }
        for (argument, value) in self.formula.arguments.iter().zip(&self.inputs) {
            let value = significant(*value, 6);
            writeln!(f, "     input  {} = {value} {}  {}", argument.symbol, argument.unit, argument.words)?;
        }
        writeln!(
            f,
            "    result  {} = {} {}",
            result.symbol,
            significant(result.value, 6),
            self.formula.unit
        )?;
        for root in self.roots() {
            writeln!(f, "      root  {root}")?;
        }
        write!(f, "    source  {}", self.formula.source)
    }
}

impl Formula {
    #[doc(hidden)]
    pub fn check(&'static self, values: &[f64]) -> Result<(), FormulaError> {
        for (argument, &value) in self.arguments.iter().zip(values) {
            if !value.is_finite() {
                return Err(FormulaError::NotFinite { formula: self.name, argument: argument.name });
            }
            if value < argument.low || value > argument.high {
                return Err(FormulaError::OutOfRange {
                    formula: self.name,
                    argument: argument.name,
                    words: argument.words,
                    value,
                    low: argument.low,
                    high: argument.high,
                    unit: argument.unit,
                });
            }
        }
        Ok(())
    }

    #[doc(hidden)]
    pub fn result<Q: Quantity>(&'static self, value: f64) -> Result<Q, FormulaError> {
        Q::from_si(value).map_err(|error| FormulaError::NoResult {
            formula: self.name,
            why: match error {
                QuantityError::NotFinite { .. } => format!("no {} satisfies these inputs", self.symbol),
                other => format!("{} comes out as {other}", self.symbol),
            },
        })
    }
}

/// Whether an SI value is one that a quantity can have.
#[inline]
pub(crate) fn holds<Q: Quantity>(value: f64) -> bool {
    let (low, high) = Q::BOUNDS;
    // A bound at infinity is known when this is compiled, and costs nothing.
    value.is_finite()
        && (low == f64::NEG_INFINITY || value >= low)
        && (high == f64::INFINITY || value <= high)
}

/// Checks an argument of a constructor that is not itself a formula.
pub(crate) fn checked<Q: Quantity>(
    formula: &'static str,
    argument: &'static str,
    words: &'static str,
    quantity: Q,
    low: f64,
    high: f64,
) -> Result<Q, FormulaError> {
    let value = quantity.si();
    if !value.is_finite() {
        Err(FormulaError::NotFinite { formula, argument })
    } else if value < low || value > high {
        Err(FormulaError::OutOfRange { formula, argument, words, value, low, high, unit: Q::si_unit() })
    } else {
        Ok(quantity)
    }
}
