//! The recording number: evaluating a formula with it writes down what was evaluated.

use super::expr::{Cases, Expr, LookUp, SolvedRoot, Table};
use super::scalar::{Case, Property, Scalar, Settled, Surface};
use super::{Formula, Line};
use crate::quantity::significant;
use core::cell::RefCell;
use core::marker::PhantomData;
use core::ops::{Add, Div, Mul, Neg, Sub};

/// A recording number: an index into the tape of the running recording, so that it stays `Copy`.
/// It cannot leave its thread, nor its session.
#[derive(Clone, Copy)]
pub struct Rec {
    node: usize,
    _stays_here: PhantomData<*const ()>,
}

enum Op {
    /// An input of a formula.
    Input(&'static str),
    /// What a longer calculation starts from; the index is the entry of the trail.
    Entry(usize),
    Constant,
    Binary(char, usize, usize),
    Negate(usize),
    Function(&'static str, usize),
    Power(usize, usize),
    /// Symbol, unit and what they are given to.
    Called(&'static str, &'static str, usize),
    Property(Table, usize),
    Inverse(Table, usize, SolvedRoot),
    Surface(LookUp, usize, usize),
    Unknown,
    Root {
        words: &'static str,
        gap: usize,
        root: SolvedRoot,
    },
    Cases {
        words: [&'static str; 2],
        compared: [usize; 2],
        branches: [usize; 2],
        applied: usize,
    },
}

struct Node {
    op: Op,
    value: f64,
}

/// One entry of a longer calculation.
#[derive(Debug)]
pub(crate) struct Entry {
    pub what: What,
    /// The entries this one was made from, a formula's in the order of its arguments; nothing for a constant.
    pub from: Vec<Option<usize>>,
    /// The gases and tables it was worked out with.
    pub with: Vec<usize>,
    pub value: f64,
}

#[derive(Debug)]
pub(crate) enum What {
    /// A value from outside, by the index its giver knows.
    Given(usize),
    /// A formula with its lines.
    Step(&'static Formula, Vec<Line>),
    /// A table of two variables, read outside a formula.
    Read(LookUp),
    /// A gas or a table, by its name.
    Context(String),
}

thread_local! {
    static TAPE: RefCell<Vec<Node>> = const { RefCell::new(Vec::new()) };
    static TRAIL: RefCell<Vec<Entry>> = const { RefCell::new(Vec::new()) };
}

/// Runs a formula with recording numbers and returns its lines, the result last.
pub(crate) fn session(formula: &Formula, body: impl FnOnce() -> Rec) -> Vec<Line> {
    // A formula never records inside another, so the tape is this session's alone.
    TAPE.with_borrow_mut(Vec::clear);
    let last = body().node;
    let lines = TAPE.with_borrow(|tape| lines(tape, 0, last, formula));
    TAPE.with_borrow_mut(Vec::clear);
    lines
}

/// Runs a longer calculation with recording numbers and returns what it went through.
pub(crate) fn trail<T>(body: impl FnOnce() -> T) -> (T, Vec<Entry>) {
    TAPE.with_borrow_mut(Vec::clear);
    TRAIL.with_borrow_mut(Vec::clear);
    let out = body();
    TAPE.with_borrow_mut(Vec::clear);
    (out, TRAIL.take())
}

/// The named intermediates from one node on, then the result.
fn lines(tape: &[Node], first: usize, last: usize, formula: &Formula) -> Vec<Line> {
    let mut lines: Vec<Line> = tape[first..]
        .iter()
        .filter_map(|node| match node.op {
            Op::Called(symbol, unit, inner) => {
                Some(Line { symbol, expression: tree(tape, inner), value: node.value, unit })
            }
            _ => None,
        })
        .collect();
    let Formula { symbol, unit, .. } = *formula;
    lines.push(Line { symbol, expression: tree(tape, last), value: tape[last].value, unit });
    lines
}

fn tree(tape: &[Node], at: usize) -> Expr {
    let node = &tape[at];
    let inner = |i: usize| Box::new(tree(tape, i));
    match &node.op {
        Op::Input(symbol) | Op::Called(symbol, ..) => Expr::Symbol(symbol),
        Op::Constant | Op::Entry(_) => Expr::Number(node.value),
        Op::Binary(sign, left, right) => Expr::Binary(*sign, inner(*left), inner(*right)),
        Op::Negate(i) => Expr::Negative(inner(*i)),
        Op::Function(name, i) => Expr::Function(name, inner(*i)),
        Op::Power(base, exponent) => Expr::Power(inner(*base), inner(*exponent)),
        Op::Property(table, i) => Expr::Property(table.clone(), inner(*i)),
        Op::Inverse(table, i, root) => Expr::Inverse(table.clone(), inner(*i), root.clone()),
        Op::Surface(look_up, x, y) => Expr::LookUp(look_up.clone(), inner(*x), inner(*y)),
        Op::Unknown => Expr::Unknown,
        Op::Root { words, gap, root } => Expr::Root(words, inner(*gap), root.clone()),
        Op::Cases { words, compared, branches, applied } => Expr::Cases(Box::new(Cases {
            words: *words,
            compared: compared.map(|side| tree(tape, side)),
            branches: branches.map(|branch| tree(tape, branch)),
            applied: *applied,
        })),
    }
}

/// An input of the recorded formula under its symbol.
pub(crate) fn input(symbol: &'static str, value: f64) -> Rec {
    push(Op::Input(symbol), value)
}

/// A value from outside the recorded calculation, under an index that its giver knows.
pub(crate) fn given(index: usize, value: f64) -> Rec {
    enter(What::Given(index), Vec::new(), Vec::new(), value)
}

/// A table of two variables read as an entry of its own.
pub(crate) fn read<T: Surface>(surface: &T, x: Rec, y: Rec) -> Rec {
    let look_up = surface.look_up(x.value(), y.value());
    let value = surface.at(x.value(), y.value()).0;
    enter(What::Read(look_up), [x, y].map(entry_of).into(), contexts_named(&[surface.label()]), value)
}

/// The entries of the gases and tables with these names.
fn contexts_named(names: &[&str]) -> Vec<usize> {
    let named = |entry: &Entry| matches!(&entry.what, What::Context(name) if names.contains(&name.as_str()));
    TRAIL.with_borrow(|trail| {
        trail.iter().enumerate().filter(|(_, entry)| named(entry)).map(|(index, _)| index).collect()
    })
}

/// The entry of the trail that a number stands for.
pub(crate) fn entry_of(number: Rec) -> Option<usize> {
    TAPE.with_borrow(|tape| match tape[number.node].op {
        Op::Entry(index) => Some(index),
        _ => None,
    })
}

/// A gas or a table that later steps are worked out with, and what it was made from.
pub(crate) fn context(name: &str, from: &[Rec]) {
    let from = from.iter().copied().map(entry_of).collect();
    enter(What::Context(name.into()), from, Vec::new(), f64::NAN);
}

fn enter(what: What, from: Vec<Option<usize>>, with: Vec<usize>, value: f64) -> Rec {
    let index = TRAIL.with_borrow_mut(|trail| {
        trail.push(Entry { what, from, with, value });
        trail.len() - 1
    });
    push(Op::Entry(index), value)
}

fn push(op: Op, value: f64) -> Rec {
    TAPE.with_borrow_mut(|tape| {
        tape.push(Node { op, value });
        Rec { node: tape.len() - 1, _stays_here: PhantomData }
    })
}

macro_rules! operators {
    ($($op:ident :: $f:ident $sign:literal),+) => { $(
        impl $op for Rec {
            type Output = Rec;
            fn $f(self, right: Rec) -> Rec {
                push(Op::Binary($sign, self.node, right.node), $op::$f(self.value(), right.value()))
            }
        }
        impl $op<f64> for Rec {
            type Output = Rec;
            fn $f(self, right: f64) -> Rec { $op::$f(self, Rec::lit(right)) }
        }
    )+ };
}
operators!(Add::add '+', Sub::sub '-', Mul::mul '*', Div::div '/');

impl Neg for Rec {
    type Output = Rec;
    fn neg(self) -> Rec {
        push(Op::Negate(self.node), -self.value())
    }
}

impl Scalar for Rec {
    fn lit(value: f64) -> Rec {
        push(Op::Constant, value)
    }
    fn value(self) -> f64 {
        TAPE.with_borrow(|tape| tape[self.node].value)
    }
    fn powf(self, exponent: Rec) -> Rec {
        push(Op::Power(self.node, exponent.node), self.value().powf(exponent.value()))
    }
    fn powi(self, exponent: i32) -> Rec {
        let power = Rec::lit(f64::from(exponent));
        push(Op::Power(self.node, power.node), self.value().powi(exponent))
    }
    fn sqrt(self) -> Rec {
        push(Op::Function("sqrt", self.node), self.value().sqrt())
    }
    fn exp(self) -> Rec {
        push(Op::Function("exp", self.node), self.value().exp())
    }
    fn ln(self) -> Rec {
        push(Op::Function("ln", self.node), self.value().ln())
    }
    fn cos(self) -> Rec {
        push(Op::Function("cos", self.node), self.value().cos())
    }
    fn tan(self) -> Rec {
        push(Op::Function("tan", self.node), self.value().tan())
    }
    fn atan(self) -> Rec {
        push(Op::Function("atan", self.node), self.value().atan())
    }
    fn cases(
        left: Rec,
        right: Rec,
        below: Case<impl FnOnce() -> Rec>,
        otherwise: Case<impl FnOnce() -> Rec>,
    ) -> Rec {
        let applied =
            usize::from(left.value() >= right.value() || left.value().is_nan() || right.value().is_nan());
        let branches = [(below.body)(), (otherwise.body)()];
        let op = Op::Cases {
            words: [below.words, otherwise.words],
            compared: [left.node, right.node],
            branches: branches.map(|b| b.node),
            applied,
        };
        push(op, branches[applied].value())
    }
    fn called_in(self, symbol: &'static str, unit: &'static str) -> Rec {
        push(Op::Called(symbol, unit, self.node), self.value())
    }
    fn property<P: Property>(property: &P, x: Rec) -> Rec {
        push(Op::Property(property.table(), x.node), property.value(x.value()))
    }
    fn inverse<P: Property>(property: &P, y: Rec) -> Rec {
        let (wanted, table) = (y.value(), property.table());
        let (root, steps) = property.solve(wanted);
        let off = (property.value(root) - wanted) / property.slope(root);
        let equation = format!("{}(x) = {}", table.name, significant(wanted, 7));
        let found = SolvedRoot { equation, bracket: property.range(), steps, root, residual: off / root };
        push(Op::Inverse(table, y.node, found), root)
    }
    fn closes(words: &'static str, settled: Settled, gap: impl FnOnce(Rec) -> Rec) -> Rec {
        let Settled { root, slope, bracket, steps } = settled;
        let gap = gap(push(Op::Unknown, root));
        let residual = gap.value() / slope / root;
        let found = SolvedRoot { equation: words.into(), bracket, steps, root, residual };
        push(Op::Root { words, gap: gap.node, root: found }, root)
    }
    fn surface<T: Surface>(surface: &T, x: Rec, y: Rec) -> Rec {
        let (x_value, y_value) = (x.value(), y.value());
        push(Op::Surface(surface.look_up(x_value, y_value), x.node, y.node), surface.at(x_value, y_value).0)
    }
    fn read<T: Surface>(surface: &T, x: Rec, y: Rec) -> Rec {
        read(surface, x, y)
    }
    fn step<const N: usize>(
        formula: &'static Formula,
        contexts: &[&str],
        inputs: [Rec; N],
        body: impl FnOnce([Rec; N]) -> Rec,
    ) -> Rec {
        let from = inputs.map(entry_of).into();
        let with = contexts_named(contexts);
        let first = TAPE.with_borrow(Vec::len);
        let mut symbols = formula.arguments.iter().map(|argument| argument.symbol);
        let own = inputs.map(|outer| input(symbols.next().unwrap_or_default(), outer.value()));
        let last = body(own);
        let lines = TAPE.with_borrow(|tape| lines(tape, first, last.node, formula));
        let value = last.value();
        enter(What::Step(formula, lines), from, with, value)
    }
}
