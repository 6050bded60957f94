//! A seller's single flow figure: weak evidence, never a map.

use super::EvidenceError;
use super::error::within;
use super::statement::{Evidence, Seen, Spread};
use crate::compressor::MapEstimate;
use crate::quantity::*;

/// One reason to doubt a seller's flow figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SellerDoubt {
    /// What is not known.
    pub what: &'static str,
    /// By how much ln of the figure lies above ln of the choke flow because of it.
    pub bias: f64,
    /// One standard deviation of that.
    pub sigma: f64,
}

/// Why a seller's flow figure is not the choke flow at the cautious highest tip speed. All of it is [own-judgement]; only
/// the references in use, 3.1 to 4.7 % of flow apart, can be counted.
pub const SELLER_FIGURE: [SellerDoubt; 5] = [
    SellerDoubt { what: "reference conditions of the figure", bias: 0.0, sigma: 0.03 },
    SellerDoubt {
        what: "meaning: choke, or a flow at some pressure ratio or efficiency",
        bias: -0.05,
        sigma: 0.08,
    },
    SellerDoubt { what: "speed at which it was taken", bias: 0.03, sigma: 0.06 },
    SellerDoubt { what: "rounded up, or another unit of the series", bias: 0.04, sigma: 0.06 },
    SellerDoubt { what: "spread from unit to unit", bias: 0.0, sigma: 0.02 },
];

impl Evidence {
    /// A seller's single flow figure, "so many pounds a minute", whose reference and meaning nobody states. It says
    /// ln W = ln W_choke(cautious tip speed) + N(bias, sigma) with the sums over [`SELLER_FIGURE`]: +2 % and 12 %.
    ///
    /// # Errors
    ///
    /// [`EvidenceError::Value`]: a figure that is no flow of a compressor.
    pub fn seller_figure(name: &str, of: &MapEstimate, figure: MassFlow) -> Result<Self, EvidenceError> {
        let figure = within(name, "flow", figure.si(), [1e-3, 20.0])?;
        let bias: f64 = SELLER_FIGURE.iter().map(|doubt| doubt.bias).sum();
        let sigma = SELLER_FIGURE.iter().map(|doubt| doubt.sigma * doubt.sigma).sum::<f64>().sqrt();
        let tip_speed = of.geometry().material().cautious_tip_speed().si();
        Ok(Self {
            name: name.into(),
            basis: format!(
                "a seller's figure of unknown reference and meaning: bias {:+.0} %, spread {:.0} % (judgement)",
                100.0 * bias,
                100.0 * sigma
            ),
            seen: vec![Seen::Choke { tip_speed, flow: [figure.ln() - bias, sigma] }],
            shared: Spread::default(),
        })
    }
}
