//! The list of all formulas.
#![cfg_attr(doc, doc = "")]
#![cfg_attr(doc, doc = include_str!("../data/formulas.md"))]

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

/// The formula of this name, such as `compressor::density_ratio`.
///
/// ```
/// let formula = shaftwork::registry::formula("compressor::density_ratio").unwrap();
/// assert_eq!(formula.symbol, "rho_02/rho_01");
/// ```
pub fn formula(name: &str) -> Option<&'static Formula> {
    formulas().find(|formula| formula.name == name)
}
