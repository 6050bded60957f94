//! An expression as it was evaluated, kept as a tree so that it can be printed, exported and evaluated again.

use super::symbol::strength;
use crate::quantity::{significant, six_figures, trimmed_zeros};

/// An expression as it was evaluated.
#[derive(Clone, Debug, PartialEq)]
pub enum Expr {
    /// An input or a named intermediate, by its symbol.
    Symbol(&'static str),
    /// A constant of the formula.
    Number(f64),
    /// A number put in for a symbol, which is shown with six figures.
    Value(f64),
    /// Two terms and the sign between them: `+`, `-`, `*` or `/`.
    Binary(char, Box<Expr>, Box<Expr>),
    /// A term with its sign turned.
    Negative(Box<Expr>),
    /// A function of one variable: `sqrt`, `exp`, `ln`, `cos`, `tan`, `atan`.
    Function(&'static str, Box<Expr>),
    /// Base and exponent.
    Power(Box<Expr>, Box<Expr>),
    /// A property of one variable with its polynomials.
    Property(Table, Box<Expr>),
    /// The argument at which a property takes a value: a root, found by the library and given here.
    Inverse(Table, Box<Expr>, SolvedRoot),
    /// A look-up in a table of two variables.
    LookUp(LookUp, Box<Expr>, Box<Expr>),
    /// The unknown of a root.
    Unknown,
    /// The unknown at which a relation closes: its words, the relation, and the root found.
    Root(&'static str, Box<Expr>, SolvedRoot),
    /// Two branches, the first where the left of two numbers is below the right.
    Cases(Box<Cases>),
}

/// Two branches of an expression.
#[derive(Clone, Debug, PartialEq)]
pub struct Cases {
    /// The words of both.
    pub words: [&'static str; 2],
    /// The numbers compared: the first branch applies where the left one is below the right one.
    pub compared: [Expr; 2],
    /// The branches.
    pub branches: [Expr; 2],
    /// Which one applied.
    pub applied: usize,
}

/// A property of one variable, as the pieces it is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Its name, such as `h[dry air]`.
    pub name: String,
    /// Its pieces with rising upper ends. Empty where it has no closed form.
    pub pieces: Vec<Piece>,
}

/// c_-1/x + c_l ln x + sum of c_k x^k, k = 0 to 5, up to an end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// The upper end of the piece.
    pub end: f64,
    /// Coefficient of 1/x.
    pub inverse: f64,
    /// Coefficient of ln x.
    pub log: f64,
    /// Coefficients of the powers 0 to 5.
    pub powers: [f64; 6],
}

impl Piece {
    /// The value at `x`. Even and odd powers apart, as the library itself adds them.
    pub fn at(&self, x: f64) -> f64 {
        let (a, q) = (&self.powers, x * x);
        let log = if self.log == 0.0 { 0.0 } else { self.log * x.ln() };
        let inverse = if self.inverse == 0.0 { 0.0 } else { self.inverse / x };
        (a[0] + log + inverse + q * (a[2] + q * a[4])) + x * (a[1] + q * (a[3] + q * a[5]))
    }
    /// The slope at `x`.
    pub fn slope(&self, x: f64) -> f64 {
        let a = &self.powers;
        let turn = a[1] + x * (2.0 * a[2] + x * (3.0 * a[3] + x * (4.0 * a[4] + x * 5.0 * a[5])));
        turn + self.log / x - self.inverse / (x * x)
    }
}

impl Table {
    fn piece(&self, x: f64) -> Option<&Piece> {
        self.pieces.iter().find(|piece| x < piece.end).or(self.pieces.last())
    }
    /// The value at `x`; NaN where the property has no closed form.
    pub fn at(&self, x: f64) -> f64 {
        self.piece(x).map_or(f64::NAN, |piece| piece.at(x))
    }
    /// The slope at `x`.
    pub fn slope(&self, x: f64) -> f64 {
        self.piece(x).map_or(f64::NAN, |piece| piece.slope(x))
    }
    /// The argument with this value, by Newton's method from `start`.
    pub fn invert(&self, y: f64, start: f64) -> f64 {
        let mut x = start;
        for _ in 0..NEWTON_STEPS {
            x -= (self.at(x) - y) / self.slope(x);
        }
        x
    }
}

/// The steps of Newton's method in which an exported root is found again from a start of three digits.
pub const NEWTON_STEPS: usize = 5;

/// A root's start for those steps: the root to three significant digits, so that finding it again proves
/// something.
pub fn start_of(root: f64) -> f64 {
    significant(root, 3).parse().unwrap_or(root)
}

/// How a value was read from a table: the nodes used and their weights, which add up to it, and the
/// equations that were solved to find the place.
#[derive(Clone, Debug, PartialEq)]
pub struct LookUp {
    /// What is read, such as `efficiency`.
    pub what: &'static str,
    /// Its symbol.
    pub symbol: &'static str,
    /// Its quantity in words.
    pub quantity: &'static str,
    /// Its SI unit.
    pub unit: &'static str,
    /// The table, such as the title of a map.
    pub table: String,
    /// Node, value and weight.
    pub nodes: Vec<(String, f64, f64)>,
    /// The roots that were solved on the way.
    pub roots: Vec<SolvedRoot>,
}

impl LookUp {
    /// What is read and from which table: `efficiency[map]`.
    pub fn name(&self) -> String {
        format!("{}[{}]", self.what, self.table)
    }
    /// The sum of values times weights.
    pub fn value(&self) -> f64 {
        self.nodes.iter().map(|(_, value, weight)| value * weight).sum()
    }
}

/// A root as it was found.
#[derive(Clone, Debug, PartialEq)]
pub struct SolvedRoot {
    /// The equation in words.
    pub equation: String,
    /// Where it was looked for.
    pub bracket: [f64; 2],
    /// The steps taken.
    pub steps: usize,
    /// The root.
    pub root: f64,
    /// What is left of the equation there, relative.
    pub residual: f64,
}

/// "x = 384.908, looked for from 200 to 6000, 2 steps, 3e-16 left over".
impl core::fmt::Display for SolvedRoot {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let [low, high] = self.bracket.map(|end| significant(end, 4));
        let plural = if self.steps == 1 { "" } else { "s" };
        write!(
            f,
            "x = {}, looked for from {low} to {high}, {} step{plural}, {:.0e} left over",
            significant(self.root, 6),
            self.steps,
            self.residual
        )
    }
}

impl Expr {
    /// Evaluates the expression again; `value` gives the value behind a symbol. NaN for an unknown symbol.
    pub fn evaluate(&self, value: &dyn Fn(&str) -> Option<f64>) -> f64 {
        self.with_unknown(value, f64::NAN)
    }

    fn with_unknown(&self, value: &dyn Fn(&str) -> Option<f64>, unknown: f64) -> f64 {
        let at = |inner: &Self| inner.with_unknown(value, unknown);
        match self {
            Self::Symbol(symbol) => value(symbol).unwrap_or(f64::NAN),
            Self::Number(number) | Self::Value(number) => *number,
            Self::Binary(sign, left, right) => {
                let (left, right) = (at(left), at(right));
                match sign {
                    '+' => left + right,
                    '-' => left - right,
                    '*' => left * right,
                    _ => left / right,
                }
            }
            Self::Negative(inner) => -at(inner),
            Self::Function(name, inner) => {
                let x = at(inner);
                match *name {
                    "sqrt" => x.sqrt(),
                    "exp" => x.exp(),
                    "ln" => x.ln(),
                    "cos" => x.cos(),
                    "tan" => x.tan(),
                    "atan" => x.atan(),
                    _ => f64::NAN,
                }
            }
            Self::Power(base, exponent) => match exponent.as_ref() {
                Self::Number(k) if k.fract() == 0.0 && k.abs() < 1e3 => at(base).powi(*k as i32),
                other => at(base).powf(at(other)),
            },
            Self::Property(table, inner) => table.at(at(inner)),
            Self::Inverse(table, inner, root) => table.invert(at(inner), start_of(root.root)),
            Self::LookUp(look_up, ..) => look_up.value(),
            Self::Unknown => unknown,
            Self::Root(_, gap, root) => secant(|x| gap.with_unknown(value, x), root.root),
            Self::Cases(cases) => {
                let [left, right] = cases.compared.each_ref().map(at);
                at(&cases.branches[usize::from(left >= right)])
            }
        }
    }

    /// The same expression with the numbers in it: each symbol that `value` knows as its value, shown with six figures.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// use shaftwork::compressor::density_ratio;
    /// let record = density_ratio::record(PressureRatio::new(2.0)?, kelvin(300.0), kelvin(400.0))?;
    /// assert_eq!(record.lines[0].expression.with_values(&|symbol| record.value_of(symbol)).to_string(), "2·300/400");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn with_values(&self, value: &dyn Fn(&str) -> Option<f64>) -> Self {
        let at = |inner: &Self| inner.with_values(value);
        let boxed = |inner: &Self| Box::new(at(inner));
        match self {
            Self::Symbol(symbol) => value(symbol).map_or(self.clone(), Self::Value),
            Self::Number(_) | Self::Value(_) | Self::Unknown => self.clone(),
            Self::Binary(sign, left, right) => Self::Binary(*sign, boxed(left), boxed(right)),
            Self::Negative(inner) => Self::Negative(boxed(inner)),
            Self::Function(name, inner) => Self::Function(name, boxed(inner)),
            Self::Power(base, exponent) => Self::Power(boxed(base), boxed(exponent)),
            Self::Property(table, inner) => Self::Property(table.clone(), boxed(inner)),
            Self::Inverse(table, inner, root) => Self::Inverse(table.clone(), boxed(inner), root.clone()),
            Self::LookUp(look_up, x, y) => Self::LookUp(look_up.clone(), boxed(x), boxed(y)),
            Self::Root(words, gap, root) => Self::Root(words, boxed(gap), root.clone()),
            Self::Cases(both) => Self::Cases(Box::new(Cases {
                words: both.words,
                compared: both.compared.each_ref().map(at),
                branches: both.branches.each_ref().map(at),
                applied: both.applied,
            })),
        }
    }

    /// Whether it is a condition that names its number, not a term that has one: a root, or branches.
    pub(super) fn is_condition(&self) -> bool {
        matches!(self, Self::Inverse(..) | Self::Root(..) | Self::Cases(_))
    }

    /// The roots that were solved in the expression.
    pub fn roots(&self) -> Vec<&SolvedRoot> {
        let mut roots = Vec::new();
        self.visit(&mut |part| match part {
            Self::Inverse(_, _, root) | Self::Root(_, _, root) => roots.push(root),
            Self::LookUp(look_up, ..) => roots.extend(&look_up.roots),
            _ => {}
        });
        roots
    }

    /// What stands in the expression, from the left.
    pub fn visit<'a>(&'a self, see: &mut dyn FnMut(&'a Self)) {
        see(self);
        match self {
            Self::Symbol(_) | Self::Number(_) | Self::Value(_) | Self::Unknown => {}
            Self::Binary(_, a, b) | Self::Power(a, b) | Self::LookUp(_, a, b) => {
                a.visit(see);
                b.visit(see);
            }
            Self::Negative(a) | Self::Function(_, a) | Self::Property(_, a) | Self::Inverse(_, a, _) => {
                a.visit(see)
            }
            Self::Root(_, gap, _) => gap.visit(see),
            Self::Cases(cases) => {
                cases.compared.iter().chain(&cases.branches).for_each(|part| part.visit(see));
            }
        }
    }
}

/// The root of a smooth relation near a known one, started away from it.
fn secant(f: impl Fn(f64) -> f64, near: f64) -> f64 {
    let (mut a, mut b) = (start_of(near), near * (1.0 + 1e-4));
    let (mut fa, mut fb) = (f(a), f(b));
    for _ in 0..40 {
        if fa == fb {
            break;
        }
        let next = b - fb * (b - a) / (fb - fa);
        (a, fa) = (b, fb);
        b = next;
        fb = f(b);
    }
    b
}

/// Writes an expression as text, with the fewest brackets.
impl core::fmt::Display for Expr {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(&write(self, 0))
    }
}

/// `outer` is the binding strength around the expression.
fn write(expr: &Expr, outer: u8) -> String {
    let (strength, text) = match expr {
        Expr::Symbol(symbol) => (strength(symbol), (*symbol).to_string()),
        Expr::Number(value) => match of_pi(*value) {
            Some((1, 1)) => (9, "pi".into()),
            Some((1, over)) => (3, format!("pi/{over}")),
            Some((times, _)) => (3, format!("{times}\u{b7}pi")),
            None => (if *value < 0.0 { 1 } else { 9 }, trimmed_constant(*value)),
        },
        Expr::Value(value) => (if *value < 0.0 { 1 } else { 9 }, six_figures(*value)),
        Expr::Binary(sign, left, right) => {
            let (strength, after) = binding(*sign);
            let sign = if *sign == '*' { '\u{b7}' } else { *sign };
            let space = if strength == 1 { " " } else { "" };
            (strength, format!("{}{space}{sign}{space}{}", write(left, strength), write(right, after)))
        }
        Expr::Negative(inner) => (2, format!("-{}", write(inner, 3))),
        Expr::Function(name, inner) => (9, format!("{name}({})", write(inner, 0))),
        Expr::Power(base, exponent) => (5, format!("{}^{}", write(base, 6), write(exponent, 6))),
        Expr::Property(table, inner) => (9, format!("{}({})", table.name, write(inner, 0))),
        Expr::Inverse(table, inner, _) => {
            (0, format!("find x such that {}(x) = {}", table.name, write(inner, 0)))
        }
        Expr::LookUp(look_up, x, y) => (9, format!("{}({}, {})", look_up.name(), write(x, 0), write(y, 0))),
        Expr::Unknown => (9, "x".into()),
        Expr::Root(words, gap, _) => (0, format!("find x such that 0 = {} ({words})", write(gap, 0))),
        Expr::Cases(cases) => {
            let side = |i: usize| {
                let mark = if i == cases.applied { ", applied" } else { "" };
                format!("{} [{}{mark}]", write(&cases.branches[i], 0), cases.words[i])
            };
            (0, format!("{}; {}", side(0), side(1)))
        }
    };
    if strength < outer { format!("({text})") } else { text }
}

/// How strongly a sign binds, and what its right side must bind with to stand without brackets.
pub(super) fn binding(sign: char) -> (u8, u8) {
    match sign {
        '+' => (1, 1),
        '-' => (1, 2),
        '*' => (3, 3),
        _ => (3, 4),
    }
}

/// A constant with ten significant digits at most.
pub(super) fn trimmed_constant(value: f64) -> String {
    trimmed_zeros(&significant(value, 10)).into()
}

/// A multiple of pi as (times, over).
pub(super) fn of_pi(value: f64) -> Option<(u32, u32)> {
    [(1, 1), (2, 1), (4, 1), (1, 2), (1, 4)]
        .into_iter()
        .find(|&(times, over)| core::f64::consts::PI * f64::from(times) / f64::from(over) == value)
}
