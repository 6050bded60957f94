//! Where the engine runs: altitude, barometer, air temperature.

mod atmosphere;

pub use atmosphere::*;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] = &[atmosphere::ATMOSPHERE];
