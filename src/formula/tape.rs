//! The recording number: evaluating a formula with it writes down what was evaluated.

use super::scalar::{Case, Property, Scalar, Surface};
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
    Input(&'static str),
    Constant,
    Binary(char, usize, usize),
    Negate(usize),
    Function(&'static str, usize),
    Power(usize, usize),
    Called(&'static str, usize),
    Property(String, usize),
    Inverse(String, usize),
    Surface(String, usize, usize),
    Unknown,
    Root { words: &'static str, gap: usize },
    Cases { words: [&'static str; 2], branches: [usize; 2], applied: usize },
}

struct Node {
    op: Op,
    value: f64,
}

thread_local! {
    static TAPE: RefCell<Vec<Node>> = const { RefCell::new(Vec::new()) };
}

/// One line of a record: a symbol, the relation that gives it, and its value.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The symbol on the left.
    pub symbol: String,
    /// The relation on the right.
    pub relation: String,
    /// The SI value.
    pub value: f64,
}

/// Runs a formula with recording numbers and returns its lines, the result last.
pub(crate) fn session(result: &str, body: impl FnOnce() -> Rec) -> Vec<Line> {
    // A formula never records inside another, so the tape is this session's alone.
    TAPE.with_borrow_mut(Vec::clear);
    let last = body().node;
    let mut lines = Vec::new();
    TAPE.with_borrow(|tape| {
        for node in tape.iter() {
            if let Op::Called(symbol, inner) = node.op {
                lines.push(Line {
                    symbol: symbol.into(),
                    relation: write(tape, inner, 0),
                    value: node.value,
                });
            }
        }
        lines.push(Line { symbol: result.into(), relation: write(tape, last, 0), value: tape[last].value });
    });
    TAPE.with_borrow_mut(Vec::clear);
    lines
}

/// An input of the recorded formula under its symbol.
pub(crate) fn input(symbol: &'static str, value: f64) -> Rec {
    push(Op::Input(symbol), value)
}

fn push(op: Op, value: f64) -> Rec {
    TAPE.with_borrow_mut(|tape| {
        tape.push(Node { op, value });
        Rec { node: tape.len() - 1, _stays_here: PhantomData }
    })
}

/// Writes a node with the fewest brackets; `outer` is the binding strength around it.
fn write(tape: &[Node], at: usize, outer: u8) -> String {
    let node = &tape[at];
    let (strength, text) = match &node.op {
        Op::Input(symbol) | Op::Called(symbol, _) => (9, (*symbol).to_string()),
        Op::Constant => (if node.value < 0.0 { 1 } else { 9 }, constant(node.value)),
        Op::Binary(sign, left, right) => {
            let (strength, after) = match sign {
                '+' => (1, 1),
                '-' => (1, 2),
                '*' => (3, 3),
                _ => (3, 4),
            };
            let sign = if *sign == '*' { '\u{b7}' } else { *sign };
            let space = if strength == 1 { " " } else { "" };
            (
                strength,
                format!("{}{space}{sign}{space}{}", write(tape, *left, strength), write(tape, *right, after)),
            )
        }
        Op::Negate(inner) => (2, format!("-{}", write(tape, *inner, 3))),
        Op::Function(name, inner) => (9, format!("{name}({})", write(tape, *inner, 0))),
        Op::Power(base, exponent) => (5, format!("{}^{}", write(tape, *base, 6), write(tape, *exponent, 6))),
        Op::Property(name, inner) => (9, format!("{name}({})", write(tape, *inner, 0))),
        Op::Inverse(name, inner) => (0, format!("find x such that {name}(x) = {}", write(tape, *inner, 0))),
        Op::Surface(name, x, y) => (9, format!("{name}({}, {})", write(tape, *x, 0), write(tape, *y, 0))),
        Op::Unknown => (9, "x".into()),
        Op::Root { words, gap } => (0, format!("find x such that 0 = {} ({words})", write(tape, *gap, 0))),
        Op::Cases { words, branches, applied } => {
            let side = |i: usize| {
                let mark = if i == *applied { ", applied" } else { "" };
                format!("{} [{}{mark}]", write(tape, branches[i], 0), words[i])
            };
            (0, format!("{}; {}", side(0), side(1)))
        }
    };
    if strength < outer { format!("({text})") } else { text }
}

fn constant(value: f64) -> String {
    let short = significant(value, 10);
    let trimmed =
        if short.contains('.') { short.trim_end_matches('0').trim_end_matches('.') } else { &short };
    trimmed.into()
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
        push(
            Op::Cases { words: [below.words, otherwise.words], branches: branches.map(|b| b.node), applied },
            branches[applied].value(),
        )
    }
    fn called(self, symbol: &'static str) -> Rec {
        push(Op::Called(symbol, self.node), self.value())
    }
    fn property<P: Property>(property: &P, x: Rec) -> Rec {
        push(Op::Property(property.name(), x.node), property.value(x.value()))
    }
    fn inverse<P: Property>(property: &P, y: Rec) -> Rec {
        push(Op::Inverse(property.name(), y.node), property.invert(y.value()))
    }
    fn closes(words: &'static str, x: f64, _slope: f64, gap: impl FnOnce(Rec) -> Rec) -> Rec {
        let gap = gap(push(Op::Unknown, x));
        push(Op::Root { words, gap: gap.node }, x)
    }
    fn surface<T: Surface>(surface: &T, x: Rec, y: Rec) -> Rec {
        push(Op::Surface(surface.name(), x.node, y.node), surface.at(x.value(), y.value()).0)
    }
}
