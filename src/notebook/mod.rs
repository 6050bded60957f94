//! Display in the evcxr kernel: plain text and one rich type for each result.
//!
//! The kernel shows the last expression of a cell through an inherent `evcxr_display`. Nothing is
//! calculated here.

mod basics;
mod estimate;
mod record;
mod results;
mod sheet;

/// Sends one result: each block between its markers, each marker on a line of its own.
fn emit(plain: &str, mime: &str, rich: &str) {
    println!("EVCXR_BEGIN_CONTENT text/plain\n{plain}\nEVCXR_END_CONTENT");
    println!("EVCXR_BEGIN_CONTENT {mime}\n{rich}\nEVCXR_END_CONTENT");
}
