//! The turbine: expansion ratio from the power balance, swallowing capacity, the housing.

mod expansion;
mod housing;
mod shaft;
mod swallowing;

pub use expansion::*;
pub use housing::*;
pub use shaft::*;
pub use swallowing::*;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] =
    &[expansion::EXPANSION, housing::HOUSING, shaft::SHAFT, swallowing::SWALLOWING];
