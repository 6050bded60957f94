//! The worksheet: CSV whose formulas are OpenFormula expressions (ISO/IEC 26300-2).

use super::{Cell, Term, digits};

/// The column of the values.
const VALUE: char = 'D';
/// Rows above the first cell.
const HEAD: usize = 4;

pub(super) fn csv(title: &str, cells: &[Cell]) -> String {
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    let mut line = |fields: &[&str]| {
        // Writing into memory cannot fail.
        let _ = writer.write_record(fields.iter().map(|field| harmless(field)));
    };
    line(&["Plain arithmetic of one result, written by shaftwork. SI units; formulas in OpenFormula."]);
    line(&[title]);
    line(&[
        "Column D is computed here, E is the value on record, F the difference over the size of the value.",
    ]);
    line(&["quantity", "symbol", "unit", "value", "on record", "difference", "formula or key", "source"]);
    let mut lines = Vec::new();
    for (index, cell) in cells.iter().enumerate() {
        let row = HEAD + 1 + index;
        let (recorded, difference) = match cell.recorded {
            Some(recorded) => {
                let size = if cell.size == 0.0 { 1.0 } else { cell.size };
                (digits(recorded), format!("=ABS({VALUE}{row}-E{row})/{}", digits(size)))
            }
            None => (String::new(), String::new()),
        };
        lines.push([
            harmless(&cell.words),
            harmless(&cell.symbol),
            cell.unit.to_string(),
            format!("={}", term(&cell.term)),
            recorded,
            difference,
            harmless(&cell.by),
            harmless(&cell.source),
        ]);
    }
    for fields in lines {
        let _ = writer.write_record(fields);
    }
    writer.into_inner().map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).unwrap_or_default()
}

fn term(of: &Term) -> String {
    match of {
        Term::Number(value) if *value < 0.0 => format!("({})", digits(*value)),
        Term::Number(value) => digits(*value),
        Term::Cell(index) => format!("{VALUE}{}", HEAD + 1 + index),
        Term::Binary(sign, left, right) => format!("({}{sign}{})", term(left), term(right)),
        // A sign before a power binds first in a spreadsheet: the brackets keep it out.
        Term::Negative(inner) => format!("(-({}))", term(inner)),
        Term::Call(name, inner) => format!("{}({})", name.to_uppercase(), term(inner)),
        Term::Power(base, exponent) => format!("(({})^({}))", term(base), term(exponent)),
        Term::If { compared, yes, no } => {
            let [left, right] = compared.each_ref().map(term);
            format!("IF({left}<{right};{};{})", term(yes), term(no))
        }
    }
}

/// Text that a spreadsheet would take for a formula gets an apostrophe: names come from the user's files.
fn harmless(text: &str) -> String {
    let risky = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    if risky { format!("'{text}") } else { text.to_string() }
}
