//! Display in the evcxr kernel: plain text and one rich type for each result.
//!
//! The kernel shows the last expression of a cell through an inherent `evcxr_display`. Nothing is
//! calculated here, but exercises are set here, for a class.

mod align;
mod basics;
mod class;
mod derivation;
mod estimate;
mod evidence;
mod exercise;
#[cfg(feature = "png")]
mod png;
mod record;
mod results;
mod rise;
mod sheet;
mod table;
mod units;

pub use class::{hide_steps, show_steps};
pub use exercise::{Exercise, ExerciseError, exercise};
pub use table::{Entry, Table, table};
pub use units::{Units, in_chosen_units, show_units};

/// Sends one result as plain text and as one rich type.
fn emit(plain: &str, mime: &str, rich: &str) {
    block("text/plain", plain);
    block(mime, rich);
}

/// Sends one block between its markers, each marker on a line of its own.
fn block(mime: &str, text: &str) {
    println!("EVCXR_BEGIN_CONTENT {mime}\n{text}\nEVCXR_END_CONTENT");
}
