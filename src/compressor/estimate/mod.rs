//! A compressor's map estimated from its geometry, where none is published.
//!
//! A mean line: the inlet, the wheel with slip and losses, the vaneless diffuser integrated along its radius or the vanes
//! with their throat and channel, a volute. Choke follows from the throat of the inducer (or the exit, the diffuser or
//! the throat of its vanes where they bind), surge from the flow angle at which a vaneless diffuser's flow turns back, or
//! from how far vanes slow it. What was not measured stands as a default with
//! its spread; work, losses, choke and surge carry spreads of their own. A map is a function of these few factors, so
//! that its points are uncertain together. `data/validation` holds it against published machines.

mod band;
mod brief;
mod builder;
mod check;
mod coefficients;
pub mod defaults;
mod diffuser;
mod error;
mod estimated;
mod evidence;
mod factors;
mod geometry;
mod geometry_error;
mod line;
mod losses;
mod material;
mod measured;
mod model;
mod result;
mod shape;
mod sides;
mod stage;
mod throat;
mod vane_flow;
mod vane_formulas;
mod vanes;
mod work;
mod work_known;

use coefficients as k;

pub use band::{LineBand, PointBand};
pub use brief::LineInBrief;
pub use builder::WheelBuilder;
pub use defaults::DimensionDefault;
pub use diffuser::*;
pub use error::EstimateError;
pub use estimated::*;
pub use evidence::*;
pub use factors::{Factor, Factors};
pub use geometry::WheelGeometry;
pub use geometry_error::GeometryError;
pub use losses::*;
pub use material::Material;
pub use measured::MeasuredPoint;
pub use result::{EstimatedLine, EstimatedPoint, SizeCheck};
pub use sides::{EstimatedMap, LinesLeftOut};
pub use throat::*;
pub use vane_formulas::*;
pub use vanes::VanedDiffuser;
pub use work::*;

pub(super) use diffuser::DIFFUSER;
pub(super) use evidence::{SIMILAR, at_reference};
pub(super) use losses::LOSSES;
pub(super) use throat::THROAT;
pub(super) use vane_formulas::VANES;
pub(super) use work::WORK;
