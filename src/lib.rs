#![doc = include_str!("../README.md")]
#![deny(missing_docs)]

#[macro_use]
pub mod quantity;
#[macro_use]
pub mod formula;
pub mod charge;
#[cfg(all(feature = "chart", feature = "study"))]
pub mod chart;
pub mod compressor;
mod constants;
pub mod engine;
pub mod fuel;
pub mod gas;
mod markup;
#[cfg(feature = "notebook")]
pub mod notebook;
pub mod prelude;
pub mod problem;
pub mod record;
pub mod registry;
#[cfg(feature = "study")]
pub mod report;
#[cfg(all(feature = "chart", feature = "study"))]
mod session;
pub mod shaft;
pub mod site;
mod solve;
pub mod sources;
#[cfg(feature = "study")]
pub mod study;
pub mod supply;
mod table;
pub mod turbine;
