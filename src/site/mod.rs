//! Where the engine runs: altitude, barometer, air temperature, humidity, power correction.

mod atmosphere;
mod correction;
mod weather;

pub use atmosphere::*;
pub use correction::*;
pub use weather::Site;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] =
    &[atmosphere::ATMOSPHERE, correction::CORRECTION];
