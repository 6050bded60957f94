//! The balance of compressor, engine and turbine on one shaft, solved at any engine speed: the operating line, the
//! threshold of boost, and what happens where the wastegate is shut or too small.
//!
//! Four unknowns hang together: the air flow, the speed and position of the compressor on its map, and the turbine's
//! expansion ratio. Four relations close them: the engine breathes what the compressor passes, that flow is the air
//! flow, turbine and compressor exchange the same power, and what is asked for is held. They are written once, for
//! every kind of number, and solved by Newton's method with exact derivatives; the state found is worked out again by
//! the plain formulas, each with its range judged, and what they leave is reported.

mod bench;
mod line;
mod newton;
mod plant;
mod point;
mod secant;
mod slopes;
mod state;
mod trail;

pub use bench::Gate;
pub(crate) use bench::{Bench, Solved};
pub use line::{Control, Onset, OperatingLine, Threshold, operating_line};
pub use newton::{Balanced, CLOSED, NotBalanced, System, newton};
pub(crate) use plant::{Closing, MOST_EXPANSION};
pub use point::BalancedPoint;
pub use slopes::{InputSlope, input_slopes};
pub(crate) use state::{State, Unknowns};
