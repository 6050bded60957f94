//! The way of the air: filter, charge cooler, ducts, and what they cost.

mod chain;
mod cooler;

pub use chain::*;
pub use cooler::*;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] = &[chain::CHAIN, cooler::COOLER];
