//! Second derivations: each formula that carries a sizing's result, found again by a route that shares no code
//! with it and, where that can be, no constant. A check by the same equation proves arithmetic only; here a
//! differential law is integrated, atoms and energy are counted, or another form of the law is used.
//!
//! Above each test stand the law, where it comes from, and the reason for its tolerance. `cargo test --test
//! second_derivations -- --nocapture` prints the largest deviation of each.

#[path = "../support/reference.rs"]
mod reference;

/// Integrators, a root and a maximum.
mod numeric;

/// Atoms, air and exhaust from outside figures.
mod matter;

mod charge;
mod compressor;
mod engine;
mod fuel;
mod gas;
mod path;
mod site;
mod supply;
mod turbine;
mod wheel;
mod work;
