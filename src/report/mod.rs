//! Results on paper and in files. Nothing is calculated here.

#[cfg(feature = "cli")]
mod html;
#[cfg(feature = "cli")]
mod json;
mod pick;
mod text;
#[cfg(feature = "cli")]
mod write;

#[cfg(feature = "cli")]
pub use html::html;
#[cfg(feature = "cli")]
pub use json::json;
pub use text::text;
#[cfg(feature = "cli")]
pub use write::{Files, WriteError, write};
