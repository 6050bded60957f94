//! Statements about a compressor, each with its uncertainty.

use super::error::within;
use super::lines::{CHOKE_SIGMA, LEAST_RATIO, PLACES};
use super::{EvidenceError, OUTLIER};
use crate::compressor::{
    CompressorMap, Factor, Factors, InletState, MapEstimate, corrected_speed, inducer_area,
    inducer_choke_flow,
};
use crate::formula::Property;
use crate::gas::{Gas, isentropic_temperature};
use crate::quantity::*;

/// An efficiency that no compressor of a turbocharger is known to reach, [own-judgement]: a point above it is named.
const UNLIKELY: f64 = 0.9;
/// Pressure ratios that are taken.
const RATIOS: [f64; 2] = [1.01, 12.0];

/// What spreads all points of one piece of evidence together (one standard deviation): they are wrong in common.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Spread {
    flow: f64,
    work: f64,
    loss: f64,
}

impl Spread {
    /// Spreads of flow and work as fractions of them, and of losses as one of ln[eta/(1 - eta)].
    ///
    /// # Errors
    ///
    /// [`EvidenceError::Value`]: one that is not between 0 and 1.
    pub fn new(flow: Fraction, work: Fraction, loss: Fraction) -> Result<Self, EvidenceError> {
        let share = |what, value: Fraction| within("common error", what, value.si(), [0.0, 1.0]);
        Ok(Self {
            flow: share("spread of flow", flow)?,
            work: share("spread of work", work)?,
            loss: share("spread of losses", loss)?,
        })
    }
    pub(super) const fn known(flow: f64, work: f64, loss: f64) -> Self {
        Self { flow, work, loss }
    }
    /// Both together, where they are independent.
    pub(super) fn and(self, other: Self) -> Self {
        Self::known(self.flow.hypot(other.flow), self.work.hypot(other.work), self.loss.hypot(other.loss))
    }
    /// Flow, as a fraction of it.
    pub fn flow(&self) -> Fraction {
        Fraction::from_si_unchecked(self.flow)
    }
    /// Work, as a fraction of it.
    pub fn work(&self) -> Fraction {
        Fraction::from_si_unchecked(self.work)
    }
    /// Losses, of ln[eta/(1 - eta)].
    pub fn loss(&self) -> Fraction {
        Fraction::from_si_unchecked(self.loss)
    }
}

/// One observation, in SI units at the estimate's reference.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Seen {
    /// A point: ln of pressure ratio with its deviation, ln of work with its, and the deviation of ln of the flow.
    Point { tip_speed: f64, flow: f64, flow_sigma: f64, ratio: [f64; 2], work: Option<[f64; 2]> },
    /// A pressure ratio, its ln with its deviation, at a share of the line's own choke flow; the deviation of ln of that share.
    Share { tip_speed: f64, share: f64, flow_sigma: f64, ratio: [f64; 2] },
    /// The end of a speed line: ln of its flow with its deviation.
    Choke { tip_speed: f64, flow: [f64; 2] },
    /// The other end.
    Surge { tip_speed: f64, flow: [f64; 2] },
}

/// A piece of evidence: observations under one name. Reading errors are one standard deviation.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    pub(super) name: String,
    pub(super) basis: String,
    pub(super) seen: Vec<Seen>,
    pub(super) shared: Spread,
}

/// A steady point of a run, with one standard deviation of each reading. Pressures and temperatures are total; the
/// outlet thermometer must be free of heat from the turbine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunPoint {
    /// State at the compressor inlet.
    pub inlet: InletState,
    /// Shaft speed.
    pub speed: ShaftSpeed,
    /// Mass flow, measured or worked out from the engine's air demand.
    pub flow: MassFlow,
    /// One standard deviation of it: from an engine's demand 5 % (judgement), from a meter 2 %.
    pub flow_sigma: Fraction,
    /// Total pressure ratio over the compressor.
    pub ratio: PressureRatio,
    /// One standard deviation of it, as a fraction.
    pub ratio_sigma: Fraction,
    /// Outlet total temperature with one standard deviation, where it was logged.
    pub outlet: Option<(Temperature, TemperatureDifference)>,
}

impl Evidence {
    /// Its name.
    pub fn name(&self) -> &str {
        &self.name
    }
    /// Where its uncertainty comes from, in words.
    pub fn basis(&self) -> &str {
        &self.basis
    }

    /// How many points and ends of lines it observes.
    pub fn count(&self) -> usize {
        self.seen.len()
    }

    fn one(name: &str, basis: &str, seen: Seen) -> Self {
        Self { name: name.into(), basis: basis.into(), seen: vec![seen], shared: Spread::default() }
    }

    /// A steady point of a run on an engine.
    ///
    /// # Errors
    ///
    /// [`EvidenceError`]: a reading out of range; a flow beyond what sonic flow through the inducer's whole annulus is
    /// ([`inducer_choke_flow`](crate::compressor::inducer_choke_flow) of it at rest); an outlet colder, by more than three of
    /// its deviations, than a compression without loss leaves it. Readings that give an efficiency above 0.9 are taken and named
    /// in [`basis`](Self::basis).
    pub fn run(name: &str, of: &MapEstimate, point: RunPoint) -> Result<Self, EvidenceError> {
        let reference = *of.reference();
        let t01 = point.inlet.temperature;
        let speed = corrected_speed(point.speed, t01, reference.temperature())?;
        let flow = of.passes(name, point.inlet.correct(point.flow, &reference)?)?;
        let mut basis = "readings as stated".to_string();
        let share = |what, value: Fraction| within(name, what, value.si(), [1e-4, 0.5]);
        let work = match point.outlet {
            None => None,
            Some((outlet, sigma)) => {
                within(name, "outlet temperature over the inlet's", outlet / t01, [1.005, 2.5])?;
                let sigma = within(name, "deviation of the outlet temperature", sigma.si(), [0.01, 100.0])?;
                let ratio = within(name, "pressure ratio", point.ratio.si(), RATIOS)?;
                let lossless = isentropic_temperature::of(of.air(), t01.si(), ratio);
                if outlet.si() + OUTLIER * sigma < lossless {
                    let lossless = Temperature::from_si_unchecked(lossless);
                    return Err(EvidenceError::Impossible { name: name.into(), outlet, lossless });
                }
                let efficiency = ideal_share(of.air(), [t01.si(), outlet.si(), lossless]);
                if efficiency > UNLIKELY {
                    basis += &format!(
                        "; they give an efficiency of {:.0} %, more than a compressor reaches: check pressure ratio, \
                         outlet temperature and its deviation",
                        100.0 * efficiency
                    );
                }
                // At equal Mach numbers temperatures scale with the inlet's.
                let scale = reference.temperature().si() / t01.si();
                let [rise, wider] = [outlet.si(), outlet.si() + sigma].map(|t| of.rise_to(t * scale));
                Some([rise.ln(), wider / rise - 1.0])
            }
        };
        let seen = Seen::Point {
            tip_speed: of.tip_speed(speed)?,
            flow: flow.si(),
            flow_sigma: share("deviation of the flow", point.flow_sigma)?,
            ratio: [
                within(name, "pressure ratio", point.ratio.si(), RATIOS)?.ln(),
                share("deviation of the pressure ratio", point.ratio_sigma)?,
            ],
            work,
        };
        Ok(Self::one(name, &basis, seen))
    }

    /// A point read from a printed map or a catalogue, with one standard deviation of flow and pressure ratio as
    /// fractions, and the efficiency with its own in fractions of one, where it is printed.
    ///
    /// # Errors
    ///
    /// [`EvidenceError`]: a reading out of range.
    pub fn printed_point(
        name: &str,
        of: &MapEstimate,
        speed: CorrectedSpeed,
        flow: (CorrectedMassFlow, Fraction),
        ratio: (PressureRatio, Fraction),
        efficiency: Option<(Efficiency, Fraction)>,
    ) -> Result<Self, EvidenceError> {
        let share = |what, value: Fraction| within(name, what, value.si(), [1e-4, 0.5]);
        within(name, "corrected flow", flow.0.si(), [1e-4, 50.0])?;
        of.passes(name, flow.0)?;
        within(name, "pressure ratio", ratio.0.si(), RATIOS)?;
        let work = match efficiency {
            None => None,
            Some((efficiency, sigma)) => {
                let eta = within(name, "efficiency", efficiency.si(), [0.2, 0.95])?;
                Some((eta, share("deviation of the efficiency", sigma)?))
            }
        };
        let point = [flow.0.si(), share("deviation of the flow", flow.1)?, ratio.0.si()];
        let sigma = share("deviation of the pressure ratio", ratio.1)?;
        Ok(Self::one(name, "readings as stated", of.point_seen(of.tip_speed(speed)?, point, sigma, work)))
    }

    /// The choke flow of a speed line.
    ///
    /// # Errors
    ///
    /// [`EvidenceError`]: a figure out of range.
    pub fn choke(
        name: &str,
        of: &MapEstimate,
        speed: CorrectedSpeed,
        flow: CorrectedMassFlow,
        sigma: Fraction,
    ) -> Result<Self, EvidenceError> {
        Self::end(name, of, speed, (flow, sigma), |tip_speed, flow| Seen::Choke { tip_speed, flow })
    }
    /// The surge flow of a speed line.
    ///
    /// # Errors
    ///
    /// [`EvidenceError`]: a figure out of range.
    pub fn surge(
        name: &str,
        of: &MapEstimate,
        speed: CorrectedSpeed,
        flow: CorrectedMassFlow,
        sigma: Fraction,
    ) -> Result<Self, EvidenceError> {
        Self::end(name, of, speed, (flow, sigma), |tip_speed, flow| Seen::Surge { tip_speed, flow })
    }
    /// An end of a speed line: `seen` by tip speed, ln of the flow and its deviation.
    fn end(
        name: &str,
        of: &MapEstimate,
        speed: CorrectedSpeed,
        (flow, sigma): (CorrectedMassFlow, Fraction),
        seen: fn(f64, [f64; 2]) -> Seen,
    ) -> Result<Self, EvidenceError> {
        within(name, "corrected flow", flow.si(), [1e-4, 50.0])?;
        let flow = of.passes(name, flow)?.si();
        let flow = [flow.ln(), within(name, "deviation of the flow", sigma.si(), [1e-4, 0.5])?];
        Ok(Self::one(name, "as stated", seen(of.tip_speed(speed)?, flow)))
    }

    /// A map as evidence: of each speed line that lies in the estimate's range of tip speeds three points on its flat
    /// part, read within 1 % in flow, pressure ratio and work, and its greatest flow within 3 %; wrong in common by
    /// `shared`. On the steep part a pressure ratio at a flow says less than where the line ends.
    ///
    /// # Errors
    ///
    /// [`EvidenceError::Empty`] where no line lies in that range.
    pub fn map(
        name: &str,
        basis: &str,
        of: &MapEstimate,
        map: &CompressorMap,
        shared: Spread,
    ) -> Result<Self, EvidenceError> {
        const READ: f64 = 0.01;
        let mut seen = Vec::new();
        let highest = of.speeds()[7];
        for speed in map.speeds().filter(|speed| *speed <= highest * 1.2) {
            let Ok(tip_speed) = of.tip_speed(speed) else { continue };
            for position in PLACES {
                let Some(point) = map.on_line(speed, Fraction::from_si_unchecked(position)) else { continue };
                if point.ratio.si() > LEAST_RATIO {
                    let read = [point.flow.si(), READ, point.ratio.si()];
                    let work = Some((point.efficiency.si(), READ * point.efficiency.si()));
                    seen.push(of.point_seen(tip_speed, read, READ, work));
                }
            }
            let end = map.on_line(speed, Fraction::from_si_unchecked(1.0));
            seen.extend(end.map(|end| Seen::Choke { tip_speed, flow: [end.flow.si().ln(), CHOKE_SIGMA] }));
        }
        if seen.is_empty() {
            return Err(EvidenceError::Empty { name: name.into() });
        }
        Ok(Self { name: name.into(), basis: basis.into(), seen, shared })
    }
}

/// The rise of enthalpy without loss over that found: inlet, outlet and lossless outlet temperature.
fn ideal_share(air: &Gas, [inlet, outlet, lossless]: [f64; 3]) -> f64 {
    let [inlet, outlet, lossless] = [inlet, outlet, lossless].map(|t| air.h().value(t));
    (lossless - inlet) / (outlet - inlet)
}

impl MapEstimate {
    /// A corrected flow, if sonic flow through the inducer's whole annulus is more: no blade row passes that much. Where the
    /// hub was not measured it is two of its deviations thinner than assumed.
    pub(super) fn passes(
        &self,
        name: &str,
        flow: CorrectedMassFlow,
    ) -> Result<CorrectedMassFlow, EvidenceError> {
        let thin = self.geometry().dimensions(&Factors::central().with(Factor::Hub, -2.0));
        let (t01, p01) = (self.reference().temperature().si(), self.reference().pressure().si());
        let (cp, r) = (self.air().cp().value(t01), self.air().r());
        let annulus = inducer_area::of(thin.inducer, thin.hub);
        let most = inducer_choke_flow::of(annulus, t01, p01, 0.0, cp / (cp - r), r);
        let most = CorrectedMassFlow::from_si_unchecked(most);
        if flow <= most {
            Ok(flow)
        } else {
            Err(EvidenceError::BeyondAnnulus { name: name.into(), flow, most })
        }
    }
    /// A point by flow, its deviation and pressure ratio; work from an efficiency with its deviation.
    pub(super) fn point_seen(
        &self,
        tip_speed: f64,
        [flow, flow_sigma, ratio]: [f64; 3],
        ratio_sigma: f64,
        efficiency: Option<(f64, f64)>,
    ) -> Seen {
        let (air, t01) = (self.air(), self.reference().temperature().si());
        let ideal = self.rise_to(air.s().invert(air.s().value(t01) + air.r() * ratio.ln()));
        let work = efficiency.map(|(eta, sigma)| [(ideal / eta).ln(), sigma / eta]);
        Seen::Point { tip_speed, flow, flow_sigma, ratio: [ratio.ln(), ratio_sigma], work }
    }
}
