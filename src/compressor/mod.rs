//! The compressor: corrected conditions, outlet state, the map, its edges and contours, the wheel.

mod beyond;
mod contour;
mod corrected;
mod curve;
mod estimate;
mod heat;
mod locate;
mod map;
mod map_file;
mod map_kind;
mod map_lines;
mod outlet;
mod printed;
mod reading;
mod state;
mod wheel;

pub use corrected::*;
pub(crate) use curve::Curve;
pub use estimate::*;
pub use heat::*;
pub use map::*;
pub use map_kind::{MapFile, MapKind};
pub use map_lines::MapLinesError;
pub use outlet::*;
pub use printed::*;
pub(crate) use reading::weights;
pub use reading::{MapSurface, Reading};
pub use wheel::*;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] = &[
    corrected::CORRECTED,
    map::MARGINS,
    outlet::OUTLET,
    heat::HEAT,
    wheel::WHEEL,
    estimate::THROAT,
    estimate::WORK,
    estimate::LOSSES,
    estimate::DIFFUSER,
    estimate::VANES,
    estimate::SIMILAR,
];
