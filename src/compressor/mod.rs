//! The compressor: corrected conditions, outlet state, the map and its edges, the wheel.

mod corrected;
mod curve;
mod map;
mod map_file;
mod map_lines;
mod outlet;
mod wheel;

pub use corrected::*;
pub use map::*;
#[cfg(feature = "study")]
pub(crate) use map_file::MOST_BYTES as MOST_MAP_BYTES;
pub use map_lines::MapLinesError;
pub use outlet::*;
pub use wheel::*;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] =
    &[corrected::CORRECTED, outlet::OUTLET, wheel::WHEEL];
