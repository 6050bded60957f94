//! Every formula of the registry, read every way: number, derivative, record, refusal.

#[path = "support/formulas.rs"]
mod formulas;
#[path = "support/reference.rs"]
mod reference;

use formulas::cases;
use reference::{Worst, close};
use shaftwork::formula::{Derivation, Expr, FormulaError};
use shaftwork::registry::{self, formula};
use std::collections::BTreeSet;

#[test]
fn the_table_covers_the_registry_once() {
    let listed: BTreeSet<&str> = cases().iter().map(|case| case.formula.name).collect();
    let known: BTreeSet<&str> = registry::formulas().map(|formula| formula.name).collect();
    assert_eq!(listed, known);
    assert_eq!(registry::formulas().count(), known.len(), "a name stands twice");
    assert_eq!(cases().len(), listed.len());
    for case in cases() {
        assert!(std::ptr::eq(formula(case.formula.name).unwrap(), case.formula));
    }
    assert!(formula("compressor::no_such").is_none() && formula("").is_none());
}

#[test]
fn every_formula_is_described() {
    for formula in registry::formulas() {
        let name = formula.name;
        assert!(!formula.summary.is_empty() && !formula.summary.ends_with('.'), "{name}");
        assert!(!formula.source.is_empty() && !formula.symbol.is_empty(), "{name}");
        assert!(!formula.quantity.is_empty(), "{name}");
        // A gas alone decides its gas constant.
        assert!(!formula.arguments.is_empty() || name == "gas::gas_constant", "{name}");
        let symbols: BTreeSet<&str> = formula.arguments.iter().map(|argument| argument.symbol).collect();
        assert_eq!(symbols.len(), formula.arguments.len(), "{name}: two arguments share a symbol");
        for argument in formula.arguments {
            assert!(!argument.words.is_empty() && argument.low < argument.high, "{name}: {}", argument.name);
        }
    }
}

#[test]
fn record_and_gradient_carry_the_plain_number() {
    for case in cases() {
        let (formula, point) = (case.formula, &case.point);
        let number = case.plain(point).unwrap();
        let derivation = case.record(point).unwrap();
        let last = derivation.lines.last().unwrap();
        assert_eq!(last.value.to_bits(), number.to_bits(), "{}", formula.name);
        assert_eq!(case.gradient(point).unwrap().0.to_bits(), number.to_bits(), "{}", formula.name);
        assert_eq!(last.symbol, formula.symbol);
        assert_eq!(&derivation.inputs, point);
        assert!(std::ptr::eq(derivation.formula, formula));
    }
}

#[test]
fn gradients_are_the_slopes_of_the_plain_function() {
    // Independent method: central differences, two widths combined (Richardson). They leave about 1e-10
    // of the value by truncation and rounding, hence 1e-6 of the slope and 1e-8 of value over input.
    let mut worst = Worst::new();
    for case in cases() {
        let (formula, point) = (case.formula, &case.point);
        let (value, slopes) = case.gradient(point).unwrap();
        for (i, slope) in slopes.iter().enumerate() {
            let central = |h: f64| {
                let [up, down] = [h, -h].map(|step| {
                    let mut moved = point.clone();
                    moved[i] += step;
                    case.plain(&moved).unwrap()
                });
                (up - down) / (2.0 * h)
            };
            let step = 1e-4 * point[i];
            let difference = (4.0 * central(step / 2.0) - central(step)) / 3.0;
            let size = difference.abs() + 1e-2 * (value / point[i]).abs();
            worst
                .see((slope - difference) / size, format!("{}, {}", formula.name, formula.arguments[i].name));
        }
    }
    worst.holds("slopes", 1e-6);
}

#[test]
fn every_argument_is_held_to_its_range() {
    for case in cases() {
        let (formula, point) = (case.formula, &case.point);
        for (i, argument) in formula.arguments.iter().enumerate() {
            let with = |value: f64| {
                let mut moved = point.clone();
                moved[i] = value;
                let plain = case.plain(&moved);
                // The three doors refuse alike; a record or gradient is not asked for its numbers here.
                assert_eq!(case.gradient(&moved).err(), plain.as_ref().err().cloned(), "{}", formula.name);
                assert_eq!(case.record(&moved).err(), plain.as_ref().err().cloned(), "{}", formula.name);
                plain
            };
            for edge in [argument.low, argument.high] {
                let refused = matches!(with(edge), Err(FormulaError::OutOfRange { .. }));
                assert!(!refused, "{}: {} refuses its own edge {edge}", formula.name, argument.name);
            }
            let width = argument.high - argument.low;
            for beyond in [argument.low - 1e-9 * width, argument.high + 1e-9 * width] {
                match with(beyond) {
                    Err(FormulaError::OutOfRange {
                        formula: name,
                        argument: found,
                        value,
                        low,
                        high,
                        ..
                    }) => {
                        assert_eq!((name, found), (formula.name, argument.name));
                        assert_eq!((value, low, high), (beyond, argument.low, argument.high));
                    }
                    other => panic!("{}: {} at {beyond} gives {other:?}", formula.name, argument.name),
                }
            }
            for never in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
                let refusal = FormulaError::NotFinite { formula: formula.name, argument: argument.name };
                assert_eq!(with(never), Err(refusal));
            }
        }
    }
}

#[test]
fn a_record_reads_as_an_equation_with_its_numbers_and_source() {
    for case in cases() {
        let formula = case.formula;
        let derivation = case.record(&case.point).unwrap();
        let text = derivation.to_string();
        let relations: Vec<String> = derivation.lines.iter().map(|line| line.relation()).collect();
        let mut parts = vec![formula.name, formula.summary, formula.source];
        parts.extend(relations.iter().map(String::as_str));
        parts.extend(formula.arguments.iter().flat_map(|argument| [argument.symbol, argument.words]));
        for part in parts {
            assert!(text.contains(part), "{part} is missing in\n{text}");
        }
        assert!(!text.contains("not a number"), "{text}");
    }
}

/// Evaluates the lines of a record from its inputs, each from the symbols above it.
fn evaluated_again(derivation: &Derivation) -> Vec<f64> {
    let arguments = derivation.formula.arguments.iter().map(|argument| argument.symbol);
    let mut known: Vec<(&str, f64)> = arguments.zip(derivation.inputs.iter().copied()).collect();
    for line in &derivation.lines {
        let value = |symbol: &str| known.iter().rfind(|(name, _)| *name == symbol).map(|(_, value)| *value);
        let found = line.expression.evaluate(&value);
        known.push((line.symbol, found));
    }
    known.split_off(derivation.inputs.len()).into_iter().map(|(_, value)| value).collect()
}

/// The recorded expression is the formula: evaluated again, without the formula's code, it gives the same number.
/// Where it holds no root, to 1e-15; a root is found again from a start of three digits.
#[test]
fn a_recorded_expression_evaluates_to_its_own_number() {
    let mut worst = Worst::new();
    let mut roots = Worst::new();
    for case in cases() {
        let formula = case.formula;
        let derivation = case.record(&case.point).unwrap();
        let mut holds_root = false;
        for line in &derivation.lines {
            line.expression
                .visit(&mut |part| holds_root |= matches!(part, Expr::Inverse(..) | Expr::Root(..)));
        }
        for (line, again) in derivation.lines.iter().zip(evaluated_again(&derivation)) {
            let gap = if again == line.value { 0.0 } else { again / line.value - 1.0 };
            let place = format!("{}, {}", formula.name, line.symbol);
            if holds_root { roots.see(gap, place) } else { worst.see(gap, place) }
        }
    }
    worst.holds("expressions", 1e-15);
    roots.holds("expressions with a root", 1e-13);
}

/// A root is on record as what it is: its equation, where it was looked for, the steps and what is left.
#[test]
fn a_root_is_on_record_with_how_it_was_found() {
    let mut seen = 0;
    for case in cases() {
        let derivation = case.record(&case.point).unwrap();
        let text = derivation.to_string();
        for root in derivation.roots() {
            let [low, high] = root.bracket;
            assert!(low < root.root && root.root < high, "{}: {root}", case.formula.name);
            assert!((1..=30).contains(&root.steps) && !root.equation.is_empty(), "{}", case.formula.name);
            assert!(root.residual.abs() <= 1e-12, "{}: {root}", case.formula.name);
            assert!(text.contains(&root.to_string()), "{text}");
            seen += 1;
        }
    }
    assert!(seen >= 10, "{seen}");
}

#[test]
fn the_branch_that_applied_is_marked() {
    let flow = cases().into_iter().find(|case| case.formula.name == "turbine::nozzle_flow").unwrap();
    let text_at = |ratio: f64| {
        let mut point = flow.point.clone();
        point[3] = ratio;
        flow.record(&point).unwrap().to_string()
    };
    assert!(text_at(1.7).contains("PR_t [not choked, applied]; PR_crit [choked]"), "{}", text_at(1.7));
    assert!(text_at(3.0).contains("PR_t [not choked]; PR_crit [choked, applied]"), "{}", text_at(3.0));
}

#[test]
fn refusals_say_what_to_mend() {
    let work = |work: f64| {
        let case = cases().into_iter().find(|case| case.formula.name == "turbine::expansion_ratio").unwrap();
        case.plain(&[1173.15, work, 0.66])
    };
    close(work(0.0).unwrap(), 1.0, 1e-12); // identity: no work, no expansion
    let says = |asked: f64| work(asked).unwrap_err().to_string().replace("turbine::expansion_ratio: ", "");
    assert_eq!(says(9e5), "work per mass through the turbine (work) 900000 J/kg is outside 0 to 800000 J/kg");
    assert_eq!(says(f64::NAN), "work is not a finite number");
    assert_eq!(says(8e5), "no PR_t satisfies these inputs");
}

// A symbol that is itself a quotient or a product stands in brackets where it must.
#[test]
fn symbols_of_two_parts_are_bracketed() {
    let relation = |name: &str, line: usize| {
        let case = cases().into_iter().find(|case| case.formula.name == name).unwrap();
        case.record(&case.point).unwrap().lines[line].relation()
    };
    assert_eq!(relation("supply::injector_duty", 0), "W_f/(n W_inj)");
    assert_eq!(relation("site::density_altitude", 1), "(1 - (rho/rho_0)^0.2349690414)·44330.76923");
    assert_eq!(relation("turbine::effective_area", 0), "b·rho_2/rho_0·2·pi/(A/R)");
}
