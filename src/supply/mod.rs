//! Fuel supply: injectors.

mod injector;

pub use injector::*;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] = &[injector::INJECTOR];
