//! Evidence of a compressor weighed together: the estimate as prior, statements with their uncertainties, one map.

mod combined;
mod density;
mod error;
mod gauss;
mod lines;
mod predict;
mod seller;
mod similar;
mod statement;
mod together;
mod weigh;
mod weight;

pub use combined::{Combined, PieceReport};
pub use error::EvidenceError;
pub use lines::ReadWithin;
pub use seller::{SELLER_FIGURE, SELLER_VOLUME, SellerDoubt};
pub use similar::*;
pub use statement::{Evidence, RunPoint, Spread};
pub use together::MiddleBand;
pub use weigh::{ReadingWeight, ReadingWeights, weigh_readings};
pub use weight::OUTLIER;

pub(in crate::compressor) use lines::at_reference;
pub(in crate::compressor) use similar::SIMILAR;
