//! Every formula against values from outside its code: published, from reference libraries, or by hand.
#![cfg(feature = "study")]

#[path = "support/checks.rs"]
mod checks;
#[path = "support/formulas.rs"]
mod formulas;
#[path = "support/reference.rs"]
mod reference;

use checks::{Check, checks};
use formulas::cases;
use reference::Worst;
use shaftwork::registry;
use std::collections::BTreeSet;

#[test]
fn every_check_value_is_met() {
    let cases = cases();
    let faults = checks().into_iter().filter_map(|check| {
        let fault = check.outcome(&cases).err()?;
        Some(format!("{} of {}: {fault}", check.formula, check.inputs))
    });
    let faults: Vec<String> = faults.collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_formula_has_a_check_value() {
    let checked: BTreeSet<String> = checks().into_iter().map(|check| check.formula).collect();
    let unchecked = registry::formulas().filter(|formula| !checked.contains(formula.name));
    let unchecked: Vec<&str> = unchecked.map(|formula| formula.name).collect();
    assert!(unchecked.is_empty(), "no row in data/reference/formula-checks.csv for {}", unchecked.join(", "));
}

// Both ends of the table: arithmetic to its printed digits, and the same polynomials in another library.
// Where the tolerance is wider, the reference means something else, as its note says.
#[test]
fn the_largest_errors_are_known() {
    let cases = cases();
    let [mut digits, mut polynomials, mut published, mut others] = [(); 4].map(|()| Worst::new());
    for check in checks() {
        let outcome = check.outcome(&cases).unwrap();
        let worst = match check.kind.as_str() {
            "published" => &mut published,
            "by hand" if outcome.tolerance <= 1e-9 => &mut digits,
            "reference library" if outcome.tolerance <= 1e-8 => &mut polynomials,
            _ => &mut others,
        };
        worst.see(outcome.error, format!("{} of {}", check.formula, check.inputs));
    }
    digits.holds("by hand, ten digits", 1e-9);
    polynomials.holds("the same polynomials elsewhere", 1e-8);
    published.holds("published", 4e-3);
    others.holds("another model of the same thing", 0.1);
}

// The checks above can fail.
#[test]
fn seeded_mistakes_are_found() {
    let cases = cases();
    let sound = checks().into_iter().find(|check| check.formula == "gas::density").unwrap();
    assert!(sound.outcome(&cases).is_ok());
    let found = |spoil: &dyn Fn(&mut Check)| {
        let mut check = sound.clone();
        spoil(&mut check);
        check.outcome(&cases).unwrap_err()
    };
    assert_eq!(found(&|check| check.formula = "gas::densty".into()), "no formula gas::densty");
    assert_eq!(found(&|check| check.inputs = "101325".into()), "1 inputs for 2");
    assert_eq!(found(&|check| check.inputs = "101325;NaN".into()), "\"NaN\" is no number");
    assert_eq!(found(&|check| check.inputs = "101325;15 degC".into()), "\"15 degC\" is no number");
    assert_eq!(found(&|check| check.expected = "inf".into()), "\"inf\" is no number");
    assert_eq!(found(&|check| check.tolerance = "NaN".into()), "\"NaN\" is no number");
    assert!(found(&|check| check.expected = "0".into()).contains("not zero"));
    assert!(found(&|check| check.expected = "1.226".into()).contains("tolerance 1e-5"));
    assert!(found(&|check| check.inputs = "101325;100".into()).contains("outside 150 to 6000 K"));
    for tolerance in ["0", "-1e-5", "0.5"] {
        assert!(found(&|check| check.tolerance = tolerance.into()).contains("is not above 0 and at most"));
    }
    assert_eq!(found(&|check| check.kind = "our own".into()), "no kind our own");
    assert_eq!(found(&|check| check.source = "a textbook".into()), "names no source");
    assert_eq!(found(&|check| check.source = "[iso-2534]".into()), "iso-2534 is not in the bibliography");
    assert_eq!(found(&|check| check.gas = "CH1.85_lambda_x".into()), "no gas CH1.85_lambda_x");
    assert_eq!(found(&|check| check.gas.clear()), "no gas ");
    assert_eq!(found(&|check| check.note.clear()), "has no note");
    let plain = checks().into_iter().find(|check| check.formula == "gas::viscosity").unwrap();
    let spoilt = Check { gas: "dry_air".into(), ..plain };
    assert_eq!(spoilt.outcome(&cases).unwrap_err(), "needs no gas");
}
