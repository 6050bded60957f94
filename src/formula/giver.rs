//! Where a longer calculation gets its inputs from.

use super::scalar::{Context, Surface};
use crate::quantity::Quantity;

/// Hands the inputs to a calculation that is written for every kind of number.
pub(crate) trait Giver<S> {
    /// An input under its key; `of` names what it belongs to where a key alone does not say it.
    fn give<Q: Quantity>(&self, key: &'static str, of: &str, value: Q) -> S;
    /// A gas and what it was made from.
    fn gas(&self, gas: &impl Context, from: &[S]);
    /// A figure read from a table of two variables.
    fn read(&self, surface: &impl Surface, x: S, y: S) -> S;
}

/// Plain numbers: nothing is written down.
pub(crate) struct Plain;

impl Giver<f64> for Plain {
    fn give<Q: Quantity>(&self, _key: &'static str, _of: &str, value: Q) -> f64 {
        value.si()
    }
    fn gas(&self, _gas: &impl Context, _from: &[f64]) {}
    fn read(&self, surface: &impl Surface, x: f64, y: f64) -> f64 {
        surface.at(x, y).0
    }
}
