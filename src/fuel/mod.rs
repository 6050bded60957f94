//! Fuels: gasoline by its own properties, alcohols and hydrocarbons from data, blends.

mod blend;
mod component;
mod grade;
mod mixture;
mod properties;

pub use blend::*;
pub use component::{Component, Fact, Gasoline, facts};
pub use grade::PumpGrade;
pub use mixture::Fuel;
pub use properties::*;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] = &[blend::BLEND, properties::PROPERTIES];
