//! Fuels: gasoline by its own properties, alcohols, blends by volume.

mod blend;
mod component;

pub use blend::*;
pub use component::{Component, Gasoline};

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] = &[blend::BLEND];
