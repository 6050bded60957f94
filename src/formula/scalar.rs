//! One body, several readings: the number type that formulas are written in.

use super::Formula;
use super::expr::{LookUp, Table};
use core::ops::{Add, Div, Mul, Neg, Sub};

/// A number that a formula can be read with: the plain value, a derivative, or a record of itself.
///
/// Formula bodies are generic over this. Constants stand on the right of an operator as `f64`, or on
/// the left inside [`c`].
pub trait Scalar:
    Copy
    + 'static
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
{
    /// Whether a step of a longer calculation judges its inputs and its result in this number. Inside a solver,
    /// which reads in derivatives, it does not: the state found is judged once, in plain numbers.
    const JUDGED: bool = true;

    /// A constant.
    fn lit(value: f64) -> Self;
    /// The plain value, for deciding and for starting an inner solve; it carries no derivative.
    fn value(self) -> f64;
    /// Power with a real exponent, for positive bases.
    fn powf(self, exponent: Self) -> Self;
    /// Power with a whole exponent.
    fn powi(self, exponent: i32) -> Self;
    /// Square root.
    fn sqrt(self) -> Self;
    /// Exponential.
    fn exp(self) -> Self;
    /// Natural logarithm.
    fn ln(self) -> Self;
    /// Cosine of an angle in radians.
    fn cos(self) -> Self;
    /// Tangent of an angle in radians.
    fn tan(self) -> Self;
    /// Angle in radians of a tangent.
    fn atan(self) -> Self;
    /// `below` where `left < right`, else `otherwise`; a record shows both and marks the one that applied.
    fn cases(
        left: Self,
        right: Self,
        below: Case<impl FnOnce() -> Self>,
        otherwise: Case<impl FnOnce() -> Self>,
    ) -> Self {
        if left.value() < right.value() { (below.body)() } else { (otherwise.body)() }
    }
    /// Gives an intermediate result its own symbol and line in the record.
    fn called(self, symbol: &'static str) -> Self {
        self.called_in(symbol, "")
    }
    /// The same for one that has a unit, of the SI.
    fn called_in(self, _symbol: &'static str, _unit: &'static str) -> Self {
        self
    }
    /// A property of state looked up at `x`.
    fn property<P: Property>(property: &P, x: Self) -> Self;
    /// The `x` at which the property takes the value `y`: an inner solve, carried through by the
    /// implicit function theorem.
    fn inverse<P: Property>(property: &P, y: Self) -> Self;
    /// The `x` at which a relation closes, from its converged plain value; one Newton step in this number
    /// carries the derivatives to everything inside `gap`.
    fn closes(_words: &'static str, settled: Settled, gap: impl FnOnce(Self) -> Self) -> Self {
        let x = Self::lit(settled.root);
        x - gap(x) / settled.slope
    }
    /// A table or map of two variables looked up at (`x`, `y`).
    fn surface<T: Surface>(surface: &T, x: Self, y: Self) -> Self;
    /// A table of two variables read as one step of a longer calculation; a record gives it an entry of its own.
    fn read<T: Surface>(surface: &T, x: Self, y: Self) -> Self {
        Self::surface(surface, x, y)
    }
    /// A whole formula as one step of a longer calculation; a record gives it an entry of its own, with
    /// links to where its inputs come from.
    fn step<const N: usize>(
        _formula: &'static Formula,
        _contexts: &[&str],
        inputs: [Self; N],
        body: impl FnOnce([Self; N]) -> Self,
    ) -> Self {
        body(inputs)
    }
}

/// One branch of [`Scalar::cases`] with the words that name it.
pub struct Case<F> {
    /// The words.
    pub words: &'static str,
    /// The branch.
    pub body: F,
}

/// Names a branch.
pub fn case<F>(words: &'static str, body: F) -> Case<F> {
    Case { words, body }
}

/// What a formula is handed beside its inputs, such as a gas.
pub trait Context {
    /// Its name in records.
    fn label(&self) -> &str;
}

/// A root in plain numbers, as [`Scalar::closes`] takes it.
#[derive(Clone, Copy, Debug)]
pub struct Settled {
    /// The root.
    pub root: f64,
    /// The relation's slope there.
    pub slope: f64,
    /// Where it was looked for.
    pub bracket: [f64; 2],
    /// The steps taken.
    pub steps: usize,
}

/// A property of one variable with its slope and its inverse; NaN where it has none.
pub trait Property {
    /// The value at `x`.
    fn value(&self, x: f64) -> f64;
    /// The slope at `x`.
    fn slope(&self, x: f64) -> f64;
    /// The `x` with this value, converged to the last few bits, and the steps that it took.
    fn solve(&self, y: f64) -> (f64, usize);
    /// Where that `x` is looked for.
    fn range(&self) -> [f64; 2];
    /// The `x` with this value, converged to the last few bits.
    fn invert(&self, y: f64) -> f64 {
        self.solve(y).0
    }
    /// Its polynomials, so that it can be evaluated without this library.
    fn table(&self) -> Table;
}

/// A property of two variables with its slopes; NaN outside its table.
pub trait Surface {
    /// Value and both slopes at (`x`, `y`).
    fn at(&self, x: f64, y: f64) -> (f64, [f64; 2]);
    /// The name of the table.
    fn label(&self) -> &str;
    /// How the value at (`x`, `y`) was read: nodes, weights and roots.
    fn look_up(&self, x: f64, y: f64) -> LookUp;
}

/// A constant on the left of an operator: `c(1.0) - x`.
#[derive(Clone, Copy, Debug)]
pub struct Constant(f64);

/// A constant on the left of an operator: `c(1.0) - x`.
pub const fn c(value: f64) -> Constant {
    Constant(value)
}

macro_rules! constant_on_the_left {
    ($($op:ident :: $f:ident),+) => { $(
        impl<S: Scalar> $op<S> for Constant {
            type Output = S;
            fn $f(self, right: S) -> S { $op::$f(S::lit(self.0), right) }
        }
    )+ };
}
constant_on_the_left!(Add::add, Sub::sub, Mul::mul, Div::div);

impl Scalar for f64 {
    fn lit(value: f64) -> f64 {
        value
    }
    fn value(self) -> f64 {
        self
    }
    fn powf(self, exponent: f64) -> f64 {
        f64::powf(self, exponent)
    }
    fn powi(self, exponent: i32) -> f64 {
        f64::powi(self, exponent)
    }
    fn sqrt(self) -> f64 {
        f64::sqrt(self)
    }
    fn exp(self) -> f64 {
        f64::exp(self)
    }
    fn ln(self) -> f64 {
        f64::ln(self)
    }
    fn cos(self) -> f64 {
        f64::cos(self)
    }
    fn tan(self) -> f64 {
        f64::tan(self)
    }
    fn atan(self) -> f64 {
        f64::atan(self)
    }
    fn property<P: Property>(property: &P, x: f64) -> f64 {
        property.value(x)
    }
    fn inverse<P: Property>(property: &P, y: f64) -> f64 {
        property.invert(y)
    }
    fn closes(_words: &'static str, settled: Settled, _gap: impl FnOnce(f64) -> f64) -> f64 {
        settled.root
    }
    fn surface<T: Surface>(surface: &T, x: f64, y: f64) -> f64 {
        surface.at(x, y).0
    }
}
