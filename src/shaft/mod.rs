//! The balance on one shaft: the operating point at a power and an engine speed, the limits it meets,
//! and the most power before the first of them.

mod air_path;
mod arrival;
mod balance;
mod candidate;
pub(crate) mod chain;
mod drive;
pub(crate) mod heat;
mod installation;
mod judge;
mod limits;
mod margins;
mod operating;
mod reach;
mod remedies;
mod rows;
mod stated;
mod user_limits;
mod warmed;
#[cfg(feature = "study")]
mod words;

pub use air_path::{BoostDemand, boost_demand};
pub use arrival::{
    Arrival, Gear, Moment, Motion, Recovery, Shift, Stores, Stuck, Sweep, SweepError, SweepMoment, Sweeper,
    engine_acceleration, follow,
};
pub use balance::{
    Balanced, BalancedPoint, CLOSED, Control, Gate, InputSlope, NotBalanced, Onset, OperatingLine, System,
    Threshold, input_slopes, newton, operating_line,
};
pub use candidate::*;
pub use drive::{Drive, turbine_drive};
pub use heat::wall_share_seen;
pub use installation::*;
pub(crate) use judge::HALVINGS;
pub use judge::{Doubt, Judgement, LinePoint, MostPower, Stop, Verdict, judge};
pub use limits::*;
pub use margins::*;
pub(crate) use operating::reference;
pub use operating::{NotFound, OperatingPoint, operating_point};
pub use reach::{Met, limits_in_order};
pub use remedies::{Remedy, remedies};
pub use rows::{Row, boost_rows, demand_rows};
pub(crate) use stated::StatedFigure;
pub use user_limits::UserLimits;
#[cfg(feature = "study")]
pub(crate) use words::{answer, doubt_words, most_words, stop_words};

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] = &[margins::MARGINS, arrival::VEHICLE];
