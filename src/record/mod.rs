//! The record of a result: every number with its equation, its inputs and its source, as a graph that can
//! be walked both ways.
//!
//! ```
//! use shaftwork::prelude::*;
//! let study = Study::demo()?;
//! let sizing = study.size()?;
//! let record = sizing.record_at(4, 0)?; // candidate B on the first fuel, at the lower engine speed
//! let power = record.output("compressor_power").unwrap();
//! assert!(record.below(power).any(|node| node.words == "bore"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod inputs;
mod node;
mod point;
mod put_in;
mod steps;
mod walk;
mod worksheet;

pub(crate) use inputs::symbol_and_words;
pub use node::{Gap, Given, Kind, Node, Origin, Output, Record};
#[cfg(feature = "study")]
pub(crate) use point::{Asked, record_point};
pub use put_in::PutIn;
pub use steps::{NoSuchNumber, Step, Steps};
