//! A seller's single flow figure: weak evidence, never a map.

use super::EvidenceError;
use super::error::within;
use super::statement::{Evidence, Seen, Spread};
use crate::compressor::MapEstimate;
use crate::gas::{Gas, density};
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

/// What a volume flow of unknown reference adds: its air may stand at 0 to 25 degC and 95 to 101 kPa, by which densities in
/// use lie 4 % apart (one standard deviation, [own-judgement]).
pub const SELLER_VOLUME: SellerDoubt =
    SellerDoubt { what: "density at which a volume flow is stated", bias: 0.0, sigma: 0.04 };

impl Evidence {
    /// A seller's single flow figure, "so many pounds a minute", whose reference and meaning nobody states. It says
    /// ln W = ln W_choke(cautious tip speed) + N(bias, sigma) with the sums over [`SELLER_FIGURE`]: +2 % and 12 %.
    ///
    /// # Errors
    ///
    /// [`EvidenceError`]: a figure that is no flow of a compressor, or beyond what sonic flow through the inducer's whole
    /// annulus is.
    pub fn seller_figure(name: &str, of: &MapEstimate, figure: MassFlow) -> Result<Self, EvidenceError> {
        Self::seller(name, of, figure, &SELLER_FIGURE)
    }

    /// The same of a volume flow, "so many cubic feet a minute": times the density of dry air at the estimate's reference,
    /// with [`SELLER_VOLUME`] among the doubts.
    ///
    /// # Errors
    ///
    /// As [`seller_figure`](Self::seller_figure).
    pub fn seller_volume(name: &str, of: &MapEstimate, figure: VolumeFlow) -> Result<Self, EvidenceError> {
        let reference = of.reference();
        let density = density(&Gas::dry_air(), reference.pressure(), reference.temperature())?;
        let doubts: Vec<SellerDoubt> = SELLER_FIGURE.into_iter().chain([SELLER_VOLUME]).collect();
        let mass = MassFlow::from_si_unchecked(figure.si() * density.si());
        let mut found = Self::seller(name, of, mass, &doubts)?;
        found.basis += &format!(
            "; a volume flow, times {:.3} kg/m3 of dry air at {} and {}",
            density.si(),
            reference.temperature(),
            reference.pressure()
        );
        Ok(found)
    }

    fn seller(
        name: &str,
        of: &MapEstimate,
        figure: MassFlow,
        doubts: &[SellerDoubt],
    ) -> Result<Self, EvidenceError> {
        let figure = within(name, "flow", figure.si(), [1e-3, 20.0])?;
        of.passes(name, CorrectedMassFlow::from_si_unchecked(figure))?;
        let bias: f64 = doubts.iter().map(|doubt| doubt.bias).sum();
        let sigma = doubts.iter().map(|doubt| doubt.sigma * doubt.sigma).sum::<f64>().sqrt();
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
