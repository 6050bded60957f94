//! When boost arrives as the driver feels it: the rotor, the charge and the exhaust in motion.

mod motion;
mod rotor;
mod shift;
mod sweep;
mod vehicle;

pub use motion::{Moment, Motion, Stuck, follow};
pub use shift::{Recovery, Shift};
pub use sweep::{Arrival, Stores, Sweep, SweepError, SweepMoment, Sweeper};
pub(crate) use vehicle::VEHICLE;
pub use vehicle::{Gear, engine_acceleration};
