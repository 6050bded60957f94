//! A column of a table: its name, its units and the numbers that it may hold.

use crate::quantity::{Quantity, QuantityError};
use core::str::FromStr;

#[derive(Clone, Copy)]
pub(crate) struct Column {
    pub name: &'static str,
    /// A unit that fits; empty for a column of words.
    pub(super) example: &'static str,
    /// What turns a volume flow into what the column holds: a density, by temperature and pressure of the reference.
    pub(super) density: Option<fn(f64, f64) -> f64>,
    /// The size of a unit in SI.
    pub(super) factor: fn(&str) -> Result<f64, QuantityError>,
    /// Whether a number in SI fits.
    pub(super) fits: fn(f64) -> bool,
    /// What is said of one that does not.
    pub(super) otherwise: &'static str,
}

impl Column {
    /// A column of numbers.
    pub const fn of<Q: Quantity + FromStr<Err = QuantityError>>(
        name: &'static str,
        example: &'static str,
        fits: fn(f64) -> bool,
        otherwise: &'static str,
    ) -> Self {
        Self { name, example, density: None, factor: unit_factor::<Q>, fits, otherwise }
    }
    /// The same, where a volume flow may stand instead of a mass flow.
    pub const fn or_volume(self, density: fn(f64, f64) -> f64) -> Self {
        Self { density: Some(density), ..self }
    }
    /// A column of words.
    pub const fn words(name: &'static str) -> Self {
        Self { name, example: "", density: None, factor: |_| Ok(1.0), fits: |_| true, otherwise: "" }
    }
}

/// The size of a unit in SI.
pub(super) fn unit_factor<Q: Quantity + FromStr<Err = QuantityError>>(
    unit: &str,
) -> Result<f64, QuantityError> {
    Q::UNITS.iter().find(|known| known.label == unit).map_or_else(
        // Another spelling: let the parser find it, by the size of one of it.
        || format!("0.5 {unit}").parse::<Q>().map(|half| half.si() / 0.5),
        |known| Ok(known.factor),
    )
}
