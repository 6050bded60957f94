//! Working fluids: dry and humid air and combustion products as ideal gases with cp(T).
//!
//! A [`Gas`] is a mixture of fixed composition, collapsed to one set of polynomial coefficients.
//! End states follow from enthalpy and entropy; the constant-gamma forms of the textbooks stand
//! beside the machines that use them, labelled as approximations.

mod flow;
mod humid;
mod mixture;
mod products;
mod real;
mod species;
mod state;
mod transport;

pub use flow::*;
pub use humid::*;
pub use mixture::{Enthalpy, Entropy, Gas, HeatCapacity};
pub use products::*;
pub use real::*;
pub use species::{Species, UNIVERSAL_GAS_CONSTANT};
pub(crate) use state::towards;
pub use state::*;
pub use transport::*;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] =
    &[state::STATE, flow::FLOW, humid::HUMID, products::PRODUCTS, transport::TRANSPORT, real::REAL];
