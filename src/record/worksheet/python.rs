//! The Python script.

use super::{Cell, Term, digits};
use core::fmt::Write;

const HEAD: &str = r#"#!/usr/bin/env python3
"""Plain arithmetic of one result, written by shaftwork. SI units. Run it: python3 THIS_FILE

Each row: value computed here, value on record, difference, what it is. The exit code is 1 where a
row differs by more than 1e-9 of its size."""
from math import atan, cos, exp, log as ln, sqrt, tan
import sys

worst = 0.0


def row(value, recorded, size, symbol, unit, words, by):
    global worst
    off = abs(value - recorded) / (size or 1.0)
    worst = max(worst, off) if off == off else float("inf")
    print(f"{value:.12e}\t{recorded:.12e}\t{off:.1e}\t{symbol}\t{unit}\t{words}\t{by}")
    return value


"#;

const TAIL: &str = r#"
print(f"largest difference {worst:.1e}")
sys.exit(0 if worst <= 1e-9 else 1)
"#;

pub(super) fn script(title: &str, cells: &[Cell]) -> String {
    let mut out = String::from(HEAD);
    // Writing to a String cannot fail.
    let _ = writeln!(out, "print({})", quoted(title));
    for (index, cell) in cells.iter().enumerate() {
        let term = term(&cell.term);
        let _ = match cell.recorded {
            Some(recorded) => writeln!(
                out,
                "v{index} = row({term}, {}, {}, {}, {}, {}, {})",
                digits(recorded),
                digits(cell.size),
                quoted(&cell.symbol),
                quoted(cell.unit),
                quoted(&cell.words),
                quoted(&cell.by)
            ),
            None => writeln!(out, "v{index} = {term}"),
        };
    }
    out + TAIL
}

fn term(of: &Term) -> String {
    match of {
        Term::Number(value) if *value < 0.0 => format!("({})", digits(*value)),
        Term::Number(value) => digits(*value),
        Term::Cell(index) => format!("v{index}"),
        Term::Binary(sign, left, right) => format!("({} {sign} {})", term(left), term(right)),
        Term::Negative(inner) => format!("(-{})", term(inner)),
        Term::Call(name, inner) => format!("{name}({})", term(inner)),
        Term::Power(base, exponent) => format!("({} ** {})", term(base), term(exponent)),
        Term::If { compared, yes, no } => {
            let [left, right] = compared.each_ref().map(term);
            format!("({} if {left} < {right} else {})", term(yes), term(no))
        }
    }
}

/// A string of Python, ASCII only: names come from the user's files.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            ' '..='~' => out.push(c),
            c => {
                let _ = write!(out, "\\U{:08x}", u32::from(c));
            }
        }
    }
    out + "\""
}
