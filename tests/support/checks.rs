//! The check values of `data/reference/formula-checks.csv`, each put to its formula.

#![allow(dead_code)] // each test file uses its own part

use super::formulas::Case;
use super::reference::{Row, mixture, table};
use shaftwork::gas::Gas;
use shaftwork::sources::{keys_in, source};

/// One row, as it is written.
#[derive(Clone, Debug)]
pub struct Check {
    pub formula: String,
    pub inputs: String,
    pub gas: String,
    pub expected: String,
    pub tolerance: String,
    pub kind: String,
    pub source: String,
    pub note: String,
}

/// What a formula gives for it.
#[derive(Clone, Copy, Debug)]
pub struct Outcome {
    pub expected: f64,
    pub tolerance: f64,
    pub value: f64,
    /// The value over the expected one, less one.
    pub error: f64,
}

/// Kinds of check values with the widest tolerance they may have.
const KINDS: [(&str, f64); 3] = [("published", 0.01), ("reference library", 0.1), ("by hand", 2e-5)];

impl Check {
    fn new(row: &Row) -> Self {
        let text = |column| row.text(column).to_string();
        Self {
            formula: text("formula"),
            inputs: text("inputs"),
            gas: text("gas"),
            expected: text("expected"),
            tolerance: text("tolerance"),
            kind: text("kind"),
            source: text("source"),
            note: text("note"),
        }
    }

    /// The value and its error, or what is wrong with the row.
    pub fn outcome(&self, cases: &[Case]) -> Result<Outcome, String> {
        let Some(case) = cases.iter().find(|case| case.formula.name == self.formula) else {
            return Err(format!("no formula {}", self.formula));
        };
        let inputs = self.inputs.split(';').filter(|input| !input.is_empty());
        let inputs = inputs.map(number).collect::<Result<Vec<f64>, String>>()?;
        if inputs.len() != case.formula.arguments.len() {
            return Err(format!("{} inputs for {}", inputs.len(), case.formula.arguments.len()));
        }
        let Some((_, widest)) = KINDS.iter().find(|(kind, _)| *kind == self.kind) else {
            return Err(format!("no kind {}", self.kind));
        };
        let (expected, tolerance) = (number(&self.expected)?, number(&self.tolerance)?);
        if expected == 0.0 {
            return Err("a relative error needs an expected value that is not zero".into());
        }
        if !(0.0 < tolerance && tolerance <= *widest) {
            return Err(format!("tolerance {tolerance} is not above 0 and at most {widest}"));
        }
        let mut keys = keys_in(&self.source).peekable();
        if keys.peek().is_none() {
            return Err("names no source".into());
        }
        if let Some(strange) = keys.find(|key| source(key).is_none()) {
            return Err(format!("{strange} is not in the bibliography"));
        }
        if self.note.trim().is_empty() {
            return Err("has no note".into());
        }
        let value = case.plain_with(&self.gas(case)?, &inputs).map_err(|error| error.to_string())?;
        let error = value / expected - 1.0;
        if error.is_nan() || error.abs() > tolerance {
            return Err(format!("{value} is {error:e} from {expected}, tolerance {tolerance:e}"));
        }
        Ok(Outcome { expected, tolerance, value, error })
    }

    fn gas(&self, case: &Case) -> Result<Gas, String> {
        match (&case.gas, self.gas.as_str()) {
            (None, "") => Ok(Gas::dry_air()),
            (None, _) => Err("needs no gas".into()),
            (Some(_), name) => mixture(name).ok_or_else(|| format!("no gas {name}")),
        }
    }
}

fn number(text: &str) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|value: &f64| value.is_finite())
        .ok_or_else(|| format!("\"{text}\" is no number"))
}

/// All rows.
pub fn checks() -> Vec<Check> {
    table("formula-checks.csv").iter().map(Check::new).collect()
}
