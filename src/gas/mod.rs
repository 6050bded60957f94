//! Working fluids: dry air and combustion products as ideal gases with cp(T).
//!
//! A [`Gas`] is a mixture of fixed composition, collapsed to one set of polynomial coefficients.
//! End states follow from enthalpy and entropy; the constant-gamma forms of the textbooks stand
//! beside the machines that use them, labelled as approximations.

mod mixture;
mod products;
mod species;
mod state;

pub use mixture::{CarbonDioxideOfAir, Enthalpy, Entropy, Gas, HeatCapacity};
pub use products::*;
pub use species::{Species, UNIVERSAL_GAS_CONSTANT};
pub use state::*;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] = &[state::STATE, products::PRODUCTS];
