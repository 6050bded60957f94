//! Printed speed lines without efficiency as evidence of the wheel that they belong to.

use super::EvidenceError;
use super::error::within;
use super::statement::{Evidence, Seen, Spread};
use crate::compressor::{
    CompressorMap, InletState, LinePoint, MapEstimate, PrintedMap, Reference, corrected_speed,
};
use crate::quantity::*;

/// How well the figures of a picture were read, one standard deviation each, as a fraction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadWithin {
    /// Corrected flow.
    pub flow: Fraction,
    /// Pressure ratio.
    pub ratio: Fraction,
}

impl Default for ReadWithin {
    /// 1 % of flow and 0.5 % of pressure ratio, by judgement: a small picture.
    fn default() -> Self {
        let [flow, ratio] = [0.01, 0.005].map(Fraction::from_si_unchecked);
        Self { flow, ratio }
    }
}

/// Where a line is observed, by its position, where at least its first half is flat; else in proportion on what is.
pub(super) const PLACES: [f64; 3] = [0.1, 0.25, 0.4];
const FLAT: f64 = 0.5;
/// How steeply the rise falls over the flow (of both the logarithm) where a line falls into choke, by judgement: lines measured or
/// drawn into choke end with 6 and more, those that end before it with 3 and less. There a pressure ratio at a flow says less than
/// where the line ends.
const CHOKED: f64 = 4.0;
/// A pressure ratio below this says little of a line.
pub(super) const LEAST_RATIO: f64 = 1.05;
/// How finely a line is walked.
const WALK: usize = 20;
/// One standard deviation of the flow of an end of a line, by judgement: a line need not be drawn to its choke end, and a surge
/// line is often drawn with a margin.
pub(super) const CHOKE_SIGMA: f64 = 0.03;
const SURGE_SIGMA: f64 = 0.05;

impl Evidence {
    /// Printed speed lines of this machine, without efficiency: of each line that lies in the estimate's range of tip speeds
    /// three points on its flat part as well as they were read, its greatest flow within 3 % where it falls into choke, and
    /// where a surge line is printed its least within 5 %. The axes of a picture are read once: its flows are wrong in
    /// common by as much as each is. Contours have no say here.
    ///
    /// ```
    /// use shaftwork::compressor::{PrintedMap, ReadWithin};
    /// use shaftwork::prelude::*;
    /// # let file = concat!(env!("CARGO_MANIFEST_DIR"), "/data/demo/printed-lines.csv");
    /// let printed = PrintedMap::from_csv(file).map_err(|problems| problems.to_string())?;
    /// let estimate = WheelGeometry::builder(mm(48.0), mm(63.0)).build()?.estimate(printed.reference)?;
    /// let read = ReadWithin { flow: percent(2.0), ratio: percent(1.0) };
    /// let lines = Evidence::printed_lines("a thumbnail (invented)", &estimate, &printed, read)?;
    /// let combined = estimate.combined(&[lines])?;
    /// let at = (corrected_rpm(118_000.0), corrected_kg_per_s(0.2));
    /// let [before, after] = [&estimate, combined.estimate()].map(|of| of.band_at(at.0, at.1));
    /// assert!(after?.ratio.si() < 0.5 * before?.ratio.si());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`EvidenceError`]: a figure out of range, lines that make no map, or none in that range of tip speeds.
    pub fn printed_lines(
        name: &str,
        of: &MapEstimate,
        printed: &PrintedMap,
        read: ReadWithin,
    ) -> Result<Self, EvidenceError> {
        let lines = printed.smoothed_lines().map_err(EvidenceError::Fit)?;
        Self::of_lines(name, of, &lines, !printed.surge.is_empty(), read)
    }

    /// The same of lines that are smooth.
    pub(in crate::compressor) fn of_lines(
        name: &str,
        of: &MapEstimate,
        lines: &CompressorMap,
        to_surge: bool,
        read: ReadWithin,
    ) -> Result<Self, EvidenceError> {
        let share = |what, value: Fraction| within(name, what, value.si(), [1e-4, 0.5]);
        let flow_sigma = share("deviation of the flow", read.flow)?;
        let ratio_sigma = share("deviation of the pressure ratio", read.ratio)?;
        let mut seen = Vec::new();
        for own in lines.speeds() {
            let (speed, flows) = at_reference(lines.reference(), own, of.reference())?;
            let Ok(tip_speed) = of.tip_speed(speed) else { continue };
            let on = |position: f64| lines.on_line(own, Fraction::from_si_unchecked(position));
            let flat = flat_part(on);
            let places = PLACES.into_iter().map(|place| place * (flat / FLAT).min(1.0));
            // A line that is steep from its beginning is observed by its ends alone.
            let points = places.filter(|_| flat > 0.0).filter_map(on);
            for point in points.filter(|point| point.ratio.si() > LEAST_RATIO) {
                let flow = of.passes(name, point.flow * flows)?.si();
                let ratio = point.ratio.si();
                // Behind vanes a line falls from so narrow a range of flow that at a flow any error of their throat is one
                // of the whole fall.
                let whole = on(1.0).filter(|_| flat < 1.0 && of.geometry().has_vanes());
                seen.push(match whole.map(|end| point.flow / end.flow) {
                    Some(share) => {
                        Seen::Share { tip_speed, share, flow_sigma, ratio: [ratio.ln(), ratio_sigma] }
                    }
                    None => of.point_seen(tip_speed, [flow, flow_sigma, ratio], ratio_sigma, None),
                });
            }
            let end = |flow: CorrectedMassFlow, sigma: f64| {
                of.passes(name, flow * flows).map(|flow| [flow.si().ln(), sigma])
            };
            if let (true, Some(last)) = (flat < 1.0, on(1.0)) {
                seen.push(Seen::Choke { tip_speed, flow: end(last.flow, CHOKE_SIGMA)? });
            }
            if let (true, Some(first)) = (to_surge, on(0.0)) {
                seen.push(Seen::Surge { tip_speed, flow: end(first.flow, SURGE_SIGMA)? });
            }
        }
        if seen.is_empty() {
            return Err(EvidenceError::Empty { name: name.into() });
        }
        let basis = format!(
            "speed lines read within {} % of flow and {} % of pressure ratio",
            significant(100.0 * flow_sigma, 2),
            significant(100.0 * ratio_sigma, 2)
        );
        let shared = Spread::known(flow_sigma, 0.0, 0.0);
        Ok(Self { name: name.into(), basis, seen, shared })
    }
}

/// Up to which position a line does not fall into choke: one where it ends before. A line that was steep is flat no more.
fn flat_part(on: impl Fn(f64) -> Option<LinePoint>) -> f64 {
    let at = |step: usize| step as f64 / WALK as f64;
    let falls = |step: &usize| {
        let (Some(before), Some(after)) = (on(at(*step)), on(at(step + 1))) else { return false };
        let fall = ((before.ratio.si() - 1.0) / (after.ratio.si() - 1.0)).ln();
        // A vertical piece falls into choke however little it falls.
        fall > CHOKED * (after.flow / before.flow).ln()
    };
    // From the choke end back: a wiggle before it does not count.
    let steep = (0..WALK).rev().take_while(falls).count();
    1.0 - at(steep)
}

/// A corrected speed at another reference, and the factor that brings its flows there.
pub(in crate::compressor) fn at_reference(
    own: &Reference,
    speed: CorrectedSpeed,
    other: &Reference,
) -> Result<(CorrectedSpeed, f64), EvidenceError> {
    let inlet = InletState { temperature: own.temperature(), pressure: own.pressure() };
    let real = ShaftSpeed::from_si_unchecked(speed.si());
    let one = inlet.correct(MassFlow::from_si_unchecked(1.0), other)?;
    Ok((corrected_speed(real, own.temperature(), other.temperature())?, one.si()))
}
