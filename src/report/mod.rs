//! Results on paper and in files. Nothing is calculated here, but for a saved result that is computed again.

pub(crate) mod alive;
mod away;
mod change;
mod cures;
#[cfg(feature = "cli")]
mod dependence;
#[cfg(feature = "cli")]
mod diff;
mod estimated;
mod evidence;
#[cfg(feature = "cli")]
mod flat;
#[cfg(feature = "cli")]
mod html;
#[cfg(feature = "cli")]
mod json;
#[cfg(feature = "cli")]
mod json_cures;
#[cfg(feature = "cli")]
mod json_estimated;
#[cfg(feature = "cli")]
mod json_rise;
mod pick;
#[cfg(feature = "cli")]
mod recheck;
#[cfg(feature = "cli")]
mod saved;
mod text;
#[cfg(feature = "cli")]
mod write;

#[cfg(feature = "cli")]
pub use diff::{Diff, Moved, diff};
#[cfg(feature = "cli")]
pub use html::html;
#[cfg(feature = "cli")]
pub use json::json;
#[cfg(feature = "cli")]
pub use recheck::{Recheck, recheck};
#[cfg(feature = "cli")]
pub use saved::SavedError;
pub use text::text;
#[cfg(feature = "cli")]
pub use write::{Files, WriteError, write, write_worksheets};
