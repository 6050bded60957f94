//! The compressor: corrected conditions, outlet state, the map, its edges and contours, the wheel.

mod beyond;
mod contour;
mod corrected;
mod curve;
mod dimension;
mod estimate;
mod heat;
mod locate;
mod map;
mod map_file;
mod map_kind;
mod map_lines;
mod measured_wheel;
mod outlet;
mod printed;
mod reading;
mod readings;
mod state;
mod wheel;

pub use corrected::*;
pub(crate) use curve::Curve;
pub use dimension::{ReadWheel, WheelDimension, WheelReading};
pub use estimate::*;
pub use heat::*;
pub use map::*;
pub use map_kind::{MapFile, MapKind};
pub use map_lines::MapLinesError;
pub use measured_wheel::CompressorWheel;
pub use outlet::*;
pub use printed::*;
pub(crate) use reading::weights;
pub use reading::{MapSurface, Reading};
pub use readings::{MOST_READINGS, Readings, ReadingsError, one_of};
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
