//! What the tests share: the tables of `data/reference`, one way to compare, one way to seed.

#![allow(dead_code)] // each test file uses its own part

use proptest::test_runner::{Config, RngSeed};
use shaftwork::gas::Gas;
use shaftwork::prelude::{Component, Fuel, Lambda};
use shaftwork::quantity::Quantity;
use std::collections::HashMap;
use std::path::Path;

/// A plain number as the ratio, efficiency or fraction that is asked for.
#[track_caller]
pub fn plain<Q: Quantity>(value: f64) -> Q {
    Q::from_si(value).unwrap()
}

/// Exhaust of gasoline at lambda 0.85.
pub fn exhaust() -> Gas {
    Gas::products(&Fuel::gasoline().unwrap(), Lambda::new(0.85).unwrap()).unwrap()
}

/// The mixture that a table names: `dry_air`, or fuel and lambda as in `CH1.85_lambda_0.85`.
pub fn mixture(name: &str) -> Option<Gas> {
    let Some((formula, lambda)) = name.split_once("_lambda_") else {
        return (name == "dry_air").then(Gas::dry_air);
    };
    let fuel = match formula {
        "CH1.85" => Fuel::gasoline().ok()?,
        "C2H6O" => Fuel::of(&Component::ethanol()),
        _ => return None,
    };
    Gas::products(&fuel, Lambda::new(lambda.parse().ok()?).ok()?).ok()
}

/// Fails unless `got` lies within `tolerance` of `expected`; NaN never does.
#[track_caller]
pub fn close(got: f64, expected: f64, tolerance: f64) {
    let off = got - expected;
    assert!(off.abs() <= tolerance, "{got} is {off:e} from {expected}, tolerance {tolerance:e}");
}

/// The same with the tolerance as a fraction of what is expected.
#[track_caller]
pub fn close_relative(got: f64, expected: f64, fraction: f64) {
    close(got, expected, fraction * expected.abs());
}

/// Fails unless `got` lies between both ends; NaN never does.
#[track_caller]
pub fn between(got: f64, low: f64, high: f64) {
    assert!(low <= got && got <= high, "{got} is outside {low} to {high}");
}

/// The largest of many deviations and where it stood; NaN counts as the largest.
pub struct Worst {
    off: f64,
    at: String,
}

impl Worst {
    pub fn new() -> Self {
        Self { off: 0.0, at: String::new() }
    }
    pub fn see(&mut self, off: f64, at: impl core::fmt::Display) {
        if off.abs().total_cmp(&self.off).is_gt() {
            (self.off, self.at) = (off.abs(), at.to_string());
        }
    }
    /// Fails where any deviation was beyond the tolerance; shows the largest with `--nocapture`.
    #[track_caller]
    pub fn holds(self, what: &str, tolerance: f64) {
        let Self { off, at } = self;
        println!("{what}: largest deviation {off:.3e} at {at}");
        assert!(off <= tolerance, "{what}: {off:e} at {at}, tolerance {tolerance:e}");
    }
}

/// The same random inputs on every run, and no file left behind.
pub fn seeded(cases: u32) -> Config {
    Config { cases, rng_seed: RngSeed::Fixed(20_260), failure_persistence: None, ..Config::default() }
}

/// One row of a table, by column.
pub struct Row(HashMap<String, String>);

impl Row {
    pub fn text(&self, column: &str) -> &str {
        self.0.get(column).unwrap_or_else(|| panic!("no column {column}"))
    }
    pub fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse().unwrap_or_else(|_| panic!("\"{text}\" in column {column} is not a number"))
    }
}

/// The rows of a table of `data/reference`; at least one.
pub fn table(name: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/reference").join(name);
    let mut reader = csv::Reader::from_path(&path).unwrap_or_else(|error| panic!("{name}: {error}"));
    let rows: Vec<Row> = reader.deserialize().map(|row| Row(row.unwrap())).collect();
    assert!(!rows.is_empty(), "{name} has no rows");
    rows
}

/// One worked example of `textbook-examples.csv`.
pub struct Example(Vec<Row>);

impl Example {
    pub fn named(name: &str) -> Self {
        let rows: Vec<Row> =
            table("textbook-examples.csv").into_iter().filter(|row| row.text("example") == name).collect();
        assert!(!rows.is_empty(), "no example {name}");
        Self(rows)
    }
    fn find<'a>(&'a self, quantity: &'a str, role: &'a str) -> impl Iterator<Item = &'a Row> {
        self.0.iter().filter(move |row| row.text("quantity") == quantity && row.text("role") == role)
    }
    /// A given value, in the unit of its row.
    pub fn given(&self, quantity: &str) -> f64 {
        let row = self.find(quantity, "given").next();
        row.unwrap_or_else(|| panic!("{quantity} is not given")).number("value")
    }
    /// The first answer of this quantity, to start from.
    pub fn answer(&self, quantity: &str) -> f64 {
        let row = self.find(quantity, "answer").next();
        row.unwrap_or_else(|| panic!("no answer {quantity}")).number("value")
    }
    /// Compares with every answer of this quantity in this unit, each at the tolerance of its row.
    #[track_caller]
    pub fn answers(&self, quantity: &str, unit: &str, got: f64) {
        let rows: Vec<&Row> = self.find(quantity, "answer").filter(|row| row.text("unit") == unit).collect();
        assert!(!rows.is_empty(), "no answer {quantity} in {unit}");
        for row in rows {
            close(got, row.number("value"), row.number("tolerance"));
        }
    }
}
