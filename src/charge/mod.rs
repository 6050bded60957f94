//! The way of the air: filter, charge cooler, ducts, and what they cost.

mod chain;
mod cooler;
mod restrictor;

pub use chain::*;
pub use cooler::*;
pub use restrictor::*;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] =
    &[chain::CHAIN, cooler::COOLER, restrictor::RESTRICTOR];
