//! The turbine: expansion ratio from the power balance, swallowing capacity, efficiency, the housing.

mod bearings;
mod capacity;
mod divided;
mod efficiency;
mod expansion;
mod housing;
mod machine;
mod model;
mod point;
mod shaft;
mod swallowing;
mod wastegate;

pub use bearings::*;
pub use capacity::{CentrifugalHead, DESIGN_RATIO, DESIGN_SPEED_RATIO, HEAD, RISE};
pub use divided::*;
pub use efficiency::*;
pub use expansion::*;
pub use housing::*;
pub use machine::Turbine;
pub(crate) use model::{TurbineParts, TurbineState};
pub use point::*;
pub use shaft::*;
pub use swallowing::*;
pub use wastegate::*;

use capacity::Capacity;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] = &[
    expansion::EXPANSION,
    housing::HOUSING,
    shaft::SHAFT,
    swallowing::SWALLOWING,
    efficiency::EFFICIENCY,
    bearings::BEARINGS,
    divided::DIVIDED,
    wastegate::VALVES,
];
