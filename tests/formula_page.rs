//! The page of all formulas, `data/formulas.md`, written from the registry and compared with the one committed.
#![cfg(feature = "study")]

#[path = "support/checks.rs"]
mod checks;
#[path = "support/formulas.rs"]
mod formulas;
#[path = "support/reference.rs"]
mod reference;

use checks::{Check, checks};
use formulas::{Case, cases};
use shaftwork::formula::{Argument, Derivation, Expr, Formula};
use shaftwork::quantity::significant;
use shaftwork::registry;
use shaftwork::sources::{keys_in, source};
use std::collections::BTreeSet;
use std::fmt::Write;
use std::fs;
use std::path::Path;

const HEAD: &str = "\
# Formulas

Every formula of shaftwork, room by room: the equation as the code evaluates it, its symbols with units and accepted
ranges, where it comes from, and check values from outside the code beside what the library gives.

- The equation stands twice: in LaTeX, which most viewers of Markdown show set, and as the text that a record
  prints. Constants are those of the formula, in SI units; no number of a calculation is in it.
- Pressures are absolute unless they are called gauge or a difference. Whether a state is total (stagnation) or
  static stands in the words where it matters.
- A formula that is handed a gas takes from it the gas constant R, the molar mass M and the functions cp(T), h(T)
  and s(T): the polynomials in `data/gas/species.csv`, weighted by its composition. \"Find x such that\" is solved by
  the library.
- Check values are published, from a reference library, or by hand: arithmetic written from the definition, in
  `data/reference/formula-checks.py`. The error is relative. The table is `data/reference/formula-checks.csv`.

This page is written by a test from the registry; see DEVELOPERS.md.
";

/// Where an error stops being told from rounding.
const ROUNDING: f64 = 1e-9;

fn page() -> String {
    let (cases, checks) = (cases(), checks());
    let mut page = HEAD.to_string();
    let mut room = "";
    for formula in registry::formulas() {
        let (own, _) = formula.name.split_once("::").unwrap();
        if own != room {
            room = own;
            write!(page, "\n## {room}\n").unwrap();
        }
        let case = cases.iter().find(|case| std::ptr::eq(case.formula, formula)).unwrap();
        let own: Vec<&Check> = checks.iter().filter(|check| check.formula == formula.name).collect();
        write!(page, "\n{}", entry(case, &own, &cases)).unwrap();
    }
    page
}

fn entry(case: &Case, checks: &[&Check], cases: &[Case]) -> String {
    let formula = case.formula;
    let record = case.record(&case.point).unwrap();
    let mut entry = format!("### {}\n\n{}\n", formula.name, plain(formula.summary));
    write!(entry, "\n```math\n{}\n```\n\n```text\n{}\n```\n", latex(&record), text(&record, case)).unwrap();
    if let Some(from) = handed(&record, case) {
        write!(entry, "\n{from}\n").unwrap();
    }
    write!(entry, "\n{}", symbols(formula)).unwrap();
    write!(entry, "\nSource: {}. Version {}.\n\n", plain(formula.source), formula.version).unwrap();
    let mut seen = BTreeSet::new();
    for key in keys_in(formula.source).filter(|key| seen.insert(*key)) {
        writeln!(entry, "- {}", plain(&source(key).unwrap().to_string())).unwrap();
    }
    write!(entry, "\n{}", check_table(formula, checks, cases)).unwrap();
    entry
}

/// The result, then what it is made of. What the gas alone decides is no equation.
fn latex(record: &Derivation) -> String {
    let (result, named) = record.lines.split_last().unwrap();
    let named = named.iter().filter(|line| !matches!(line.expression, Expr::Number(_)));
    let lines: Vec<String> = [result].into_iter().chain(named).map(|line| line.latex()).collect();
    match lines.as_slice() {
        [only] => only.clone(),
        all => format!("\\begin{{gathered}}\n{}\n\\end{{gathered}}", all.join(" \\\\\n")),
    }
}

fn text(record: &Derivation, case: &Case) -> String {
    let (result, named) = record.lines.split_last().unwrap();
    let named = named.iter().filter(|line| !matches!(line.expression, Expr::Number(_)));
    let lines = [result].into_iter().chain(named).map(|line| {
        // The gas is any gas, and the branch that applied is that of one point.
        let gas = case.gas.as_ref().map_or(String::new(), |gas| format!("[{}]", gas.name()));
        let relation = line.relation().replace(", applied]", "]");
        format!("{} = {}", line.symbol, if gas.is_empty() { relation } else { relation.replace(&gas, "") })
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// What is not an argument: functions and constants of the gas, or of the water-gas reaction.
fn handed(record: &Derivation, case: &Case) -> Option<String> {
    let mut functions = BTreeSet::new();
    for line in &record.lines {
        line.expression.visit(&mut |part| {
            if let Expr::Property(table, _) | Expr::Inverse(table, ..) = part {
                functions.insert(table.name.clone());
            }
        });
    }
    let constants = record.lines.iter().filter(|line| matches!(line.expression, Expr::Number(_)));
    let mut all: Vec<String> = constants.map(|line| line.symbol.to_string()).collect();
    all.extend(functions.iter().map(|name| format!("{}(T)", name.split('[').next().unwrap_or(name))));
    let of = match &case.gas {
        Some(_) => "the gas it is handed",
        None => "the polynomials of the species, as it does not depend on the gas",
    };
    (!all.is_empty()).then(|| format!("From {of}: {}.", all.join(", ")))
}

fn symbols(formula: &Formula) -> String {
    let mut table = String::from(
        "| symbol | argument | what it is | quantity | accepted, in SI units | that is |\n|---|---|---|---|---|---|\n",
    );
    for argument in formula.arguments {
        let Argument { symbol, name, words, quantity, .. } = argument;
        let (si, shown) = ranges(argument);
        writeln!(table, "| `{symbol}` | `{name}` | {} | {quantity} | {si} | {shown} |", plain(words))
            .unwrap();
    }
    let Formula { symbol, quantity, unit, .. } = formula;
    let unit = if unit.is_empty() { "no unit".into() } else { format!("in {unit}") };
    writeln!(table, "| `{symbol}` | result | | {quantity} | {unit} | |").unwrap();
    table
}

/// The accepted range in SI units, and in the unit people use where that is another one.
fn ranges(argument: &Argument) -> (String, String) {
    let Argument { low, high, unit, show, .. } = argument;
    let si = format!("{} to {} {unit}", short(*low), short(*high));
    let [from, to] = [low, high].map(|value| show(*value));
    let same = if unit.is_empty() {
        !to.contains(char::is_alphabetic) && !to.contains('%')
    } else {
        to.ends_with(&format!(" {unit}"))
    };
    (si.trim_end().into(), if same { String::new() } else { format!("{from} to {to}") })
}

fn check_table(formula: &Formula, checks: &[&Check], cases: &[Case]) -> String {
    let space = if formula.unit.is_empty() { "" } else { ", " };
    let mut table = format!(
        "| inputs | expected{space}{} | computed | error | allowed | kind | source and note |\n|---|---|---|---|---|---|---|\n",
        formula.unit
    );
    for check in checks {
        let outcome = check.outcome(cases).unwrap_or_else(|fault| panic!("{}: {fault}", check.formula));
        let mut inputs: Vec<String> =
            check.inputs.split(';').filter_map(|input| input.parse().ok()).map(short).collect();
        inputs.extend((!check.gas.is_empty()).then(|| check.gas.replace('_', " ")));
        let error = if outcome.error.abs() < ROUNDING {
            format!("below {ROUNDING:e}")
        } else {
            format!("{:+.1e}", outcome.error)
        };
        writeln!(
            table,
            "| {} | {} | {} | {error} | {:e} | {} | {}: {} |",
            inputs.join("; "),
            digits(outcome.expected, 10),
            digits(outcome.value, 8),
            outcome.tolerance,
            check.kind,
            plain(&check.source),
            plain(&check.note)
        )
        .unwrap();
    }
    table
}

/// Seven significant figures at most.
fn short(value: f64) -> String {
    digits(value, 7)
}

/// So many significant figures at most, without trailing zeros.
fn digits(value: f64, figures: usize) -> String {
    if value != 0.0 && !(1e-4..1e7).contains(&value.abs()) {
        let text = format!("{value:.*e}", figures - 1);
        let (mantissa, exponent) = text.split_once('e').unwrap();
        return format!("{}e{exponent}", trimmed(mantissa));
    }
    trimmed(&significant(value, figures)).into()
}

fn trimmed(number: &str) -> &str {
    if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number }
}

/// Words as Markdown that reads as they are: no link, no emphasis, no tag, no end of a cell.
fn plain(words: &str) -> String {
    let mut plain = String::new();
    for c in words.chars() {
        if "[]*_<>|`\\".contains(c) {
            plain.push('\\');
        }
        plain.push(c);
    }
    plain
}

#[test]
fn the_page_is_that_of_the_registry() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/formulas.md");
    let page = page();
    if std::env::var_os("WRITE_FORMULAS").is_some() {
        fs::write(&path, &page).unwrap();
    }
    let committed = fs::read_to_string(&path).unwrap_or_default().replace("\r\n", "\n");
    let mut lines = committed.lines().zip(page.lines()).enumerate();
    let differs = lines.find(|(_, (committed, now))| committed != now);
    assert!(
        committed == page,
        "data/formulas.md is not that of the registry (first at {differs:?}). Write it again and look at what \
         changed: WRITE_FORMULAS=1 cargo test --test formula_page"
    );
}

#[test]
fn the_page_tells_all_of_every_formula() {
    let page = page();
    let entries: Vec<&str> = page.split("\n### ").skip(1).collect();
    assert_eq!(entries.len(), registry::formulas().count());
    for (entry, formula) in entries.iter().zip(registry::formulas()) {
        let mut parts = vec![formula.name.to_string(), plain(formula.summary), plain(formula.source)];
        parts.extend(formula.arguments.iter().map(|argument| format!("`{}`", argument.symbol)));
        parts.extend(keys_in(formula.source).map(|key| plain(&source(key).unwrap().title)));
        parts.push(format!("Version {}.", formula.version));
        for part in parts {
            assert!(entry.contains(&part), "{part} is missing in\n{entry}");
        }
        assert!(!entry.contains("applied]") && !entry.contains("NaN"), "{entry}");
    }
    // Rust code on the page would be run as a test of the documentation.
    let opened: BTreeSet<&str> = page.lines().filter(|line| line.starts_with("```")).collect();
    assert_eq!(opened, ["```", "```math", "```text"].into());
    assert!(!page.lines().any(|line| line.starts_with("    ")));
}

#[test]
fn numbers_and_words_are_written_plainly() {
    let written: Vec<String> = [0.0, 1.0, 101_325.0, 273.501_111_111, 1e-5, 43e6, -0.25].map(short).into();
    assert_eq!(written, ["0", "1", "101325", "273.5011", "1e-5", "4.3e7", "-0.25"]);
    assert_eq!(digits(0.000_465_508_633_123, 10), "4.655086331e-4");
    assert_eq!(plain("[by-definition], p_ws < 1 | x"), r"\[by-definition\], p\_ws \< 1 \| x");
}
