//! The turbine: expansion ratio from the power balance, swallowing capacity, the housing.

mod expansion;
mod housing;
mod model;
mod shaft;
mod swallowing;

pub use expansion::*;
pub use housing::*;
pub(crate) use model::{TurbineParts, TurbineState};
pub use shaft::*;
pub use swallowing::*;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] =
    &[expansion::EXPANSION, housing::HOUSING, shaft::SHAFT, swallowing::SWALLOWING];
