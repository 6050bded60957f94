//! The list of all formulas.

use crate::formula::Formula;

/// Every formula of the library.
pub fn formulas() -> impl Iterator<Item = &'static Formula> {
    [
        crate::gas::FORMULAS,
        crate::fuel::FORMULAS,
        crate::site::FORMULAS,
        crate::engine::FORMULAS,
        crate::charge::FORMULAS,
        crate::compressor::FORMULAS,
        crate::turbine::FORMULAS,
        crate::supply::FORMULAS,
        crate::shaft::FORMULAS,
    ]
    .into_iter()
    .flatten()
    .flat_map(|group| group.iter())
    .copied()
}
