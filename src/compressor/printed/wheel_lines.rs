//! Printed speed lines without efficiency, which their wheel's estimate gives them.

use super::merge::{HELD, lines};
use super::work::Ideal;
use super::{FitError, FittedMap, PrintedMap};
use crate::compressor::{
    Combined, CompressorMap, EstimateError, Evidence, EvidenceError, LinePoint, MapEstimate, ReadWithin,
    at_reference,
};
use crate::quantity::*;

/// How the lines are called among the evidence.
const NAME: &str = "the printed speed lines";
/// A step of ln of the pressure ratio for the slope of the lossless work.
const RATIO_STEP: f64 = 1e-4;

/// A point in the middle of a map, with how uncertain its efficiency is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MiddlePoint {
    /// Corrected speed.
    pub speed: CorrectedSpeed,
    /// Flow, pressure ratio and efficiency.
    pub point: LinePoint,
    /// One standard deviation of the efficiency, in fractions of one: 0.03 is three points.
    pub sigma: Fraction,
}

/// Printed speed lines with the efficiency that their wheel gives them.
#[derive(Clone, Debug, PartialEq)]
pub struct WheelLines {
    fitted: FittedMap,
    combined: Combined,
    sides: [CompressorMap; 2],
    middle: MiddlePoint,
}

/// Why speed lines and a wheel make no map.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum WheelLinesError {
    /// The map has contours of its own, which say more: [`CompressorMap::from_printed`].
    Contours,
    /// The lines make no map.
    Lines(FitError),
    /// They cannot be weighed with the wheel's estimate.
    Evidence(EvidenceError),
    /// The wheel has no work at a speed of a line.
    Estimate {
        /// The line, from zero.
        line: usize,
        /// Its speed.
        speed: CorrectedSpeed,
        /// Why.
        why: EstimateError,
    },
    /// An efficiency that no map holds: lines and wheel do not belong together.
    Efficiency {
        /// The line, from zero.
        line: usize,
        /// Its speed.
        speed: CorrectedSpeed,
        /// Flow and pressure ratio there.
        at: (CorrectedMassFlow, PressureRatio),
        /// The efficiency.
        value: f64,
    },
}

impl core::fmt::Display for WheelLinesError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Contours => f.write_str(
                "the map has efficiency contours, which say more than a wheel; merge them, or leave them out",
            ),
            Self::Lines(error) => error.fmt(f),
            Self::Evidence(error) => error.fmt(f),
            Self::Estimate { speed, why, .. } => {
                write!(f, "the wheel has no work at the speed line {speed}: {why}; check its exducer")
            }
            Self::Efficiency { speed, at: (flow, ratio), value, .. } => write!(
                f,
                "speed line {speed}: at {flow} and pressure ratio {ratio} the work of this wheel gives an efficiency of \
                 {value:.3}, outside 0.05 to 0.95; check that lines and wheel belong together, and their units"
            ),
        }
    }
}
impl core::error::Error for WheelLinesError {}

impl From<EvidenceError> for WheelLinesError {
    fn from(error: EvidenceError) -> Self {
        Self::Evidence(error)
    }
}

impl WheelLines {
    /// The map, with what is left of the smoothed lines and what contradicts the rest.
    pub fn fitted(&self) -> &FittedMap {
        &self.fitted
    }
    /// The map: pressure ratios and flows as printed, efficiency as estimated.
    pub fn map(&self) -> &CompressorMap {
        self.fitted.map()
    }
    /// The same lines with every efficiency one standard deviation lower: it is uncertain in common.
    pub fn worse(&self) -> &CompressorMap {
        &self.sides[0]
    }
    /// And one higher.
    pub fn better(&self) -> &CompressorMap {
        &self.sides[1]
    }
    /// The wheel's estimate with the lines and all other evidence weighed in, and what each piece was worth.
    pub fn combined(&self) -> &Combined {
        &self.combined
    }
    /// That alone.
    pub(crate) fn into_combined(self) -> Combined {
        self.combined
    }
    /// A middle point, half way along the middle line, with the band of its efficiency.
    pub fn middle(&self) -> MiddlePoint {
        self.middle
    }
    /// The same, said to be made from a file.
    #[cfg(feature = "study")]
    pub(crate) fn read_from(mut self, file: &str) -> Self {
        self.fitted = self.fitted.read_from(file, crate::compressor::MapKind::Printed);
        self
    }
}

impl PrintedMap {
    /// The speed lines smoothed, as a map whose efficiency says nothing.
    pub(in crate::compressor) fn smoothed_lines(&self) -> Result<CompressorMap, FitError> {
        lines(self).map(|(fit, _)| fit.lines().clone())
    }

    /// A map from printed speed lines without efficiency and the wheel that they belong to.
    ///
    /// The lines are weighed with the wheel's estimate, as [`Evidence::printed_lines`] says, together with what else is
    /// known. The work of the estimate so weighed, w(N, W_c), gives the efficiency of each point of the lines,
    ///
    /// ```text
    /// eta = w_s(Pi)/w(N, W_c)
    /// ```
    ///
    /// with w_s the work of a compression without loss from the reference temperature. Pressure ratios and flows stay as
    /// printed; lines are smoothed, cut and extended as by [`CompressorMap::from_printed`]. The efficiency is as uncertain as
    /// that work, with what reading a point leaves open, and in common: the two sides are whole maps.
    ///
    /// ```
    /// use shaftwork::compressor::{PrintedMap, ReadWithin};
    /// use shaftwork::prelude::*;
    /// # let file = concat!(env!("CARGO_MANIFEST_DIR"), "/data/demo/printed-lines.csv");
    /// let printed = PrintedMap::from_csv(file).map_err(|problems| problems.to_string())?;
    /// let wheel = WheelGeometry::builder(mm(48.0), mm(63.0)).exit_width(mm(4.8)).build()?;
    /// let made = printed.with_wheel(&wheel.estimate(printed.reference)?, ReadWithin::default(), &[])?;
    /// let middle = made.middle();
    /// println!("{:.1} % +-{:.1}", middle.point.efficiency.percent(), middle.sigma.percent());
    /// let candidate = Candidate::with_lines("B", made);
    /// assert!(candidate.map().at_point(corrected_kg_per_s(0.2), PressureRatio::new(2.0)?)?.efficiency.percent() > 60.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`WheelLinesError`]: lines that make no map, or do not belong to this wheel; a map that has contours.
    ///
    /// # Source
    ///
    /// Euler's equation of turbomachines: work is known from speed and flow far better than losses are. `data/validation` holds it
    /// against published machines.
    pub fn with_wheel(
        &self,
        of: &MapEstimate,
        read: ReadWithin,
        evidence: &[Evidence],
    ) -> Result<WheelLines, WheelLinesError> {
        if !self.contours.is_empty() {
            return Err(WheelLinesError::Contours);
        }
        let (fit, conflicts) = lines(self).map_err(WheelLinesError::Lines)?;
        let own = Evidence::of_lines(NAME, of, fit.lines(), !self.surge.is_empty(), read)?;
        let pieces: Vec<Evidence> = core::iter::once(own).chain(evidence.iter().cloned()).collect();
        let combined = of.combined(&pieces)?;
        let known: Vec<Known> = fit
            .lines()
            .points()
            .enumerate()
            .map(|(line, (speed, points))| Known::of(combined.estimate(), self, read, line, speed, &points))
            .collect::<Result<_, _>>()?;
        let map_of = |side: f64| {
            let lines: Vec<_> = known.iter().map(|known| (known.speed, known.on(side))).collect();
            let map = CompressorMap::from_lines(self.title.as_str(), "", self.reference, &lines);
            map.map(|map| (map, lines)).map_err(|error| WheelLinesError::Lines(FitError::Lines(error)))
        };
        let [(worse, _), (map, plain), (better, _)] = [map_of(-1.0)?, map_of(0.0)?, map_of(1.0)?];
        let how = "speed lines as printed with an efficiency estimated from the work of the wheel";
        let said = format!("{}; {}", combined.estimate().provenance(), self.provenance);
        let fitted = fit.told((map, &plain), Vec::new(), conflicts, (how, &said));
        let middle = known[known.len() / 2].middle();
        Ok(WheelLines {
            fitted: fitted.map_err(WheelLinesError::Lines)?,
            combined,
            sides: [worse, better],
            middle,
        })
    }
}

/// A speed line whose efficiency is known, with the relative standard deviation at each point.
struct Known {
    speed: CorrectedSpeed,
    points: Vec<LinePoint>,
    sigmas: Vec<f64>,
}

impl Known {
    /// A line that runs out of efficiency towards choke ends before.
    fn of(
        estimate: &MapEstimate,
        printed: &PrintedMap,
        read: ReadWithin,
        line: usize,
        speed: CorrectedSpeed,
        points: &[LinePoint],
    ) -> Result<Self, WheelLinesError> {
        let (there, flows) = at_reference(&printed.reference, speed, estimate.reference())?;
        let flows: Vec<f64> = points.iter().map(|point| point.flow.si() * flows).collect();
        let works = estimate.work_known(there, &flows).map_err(|why| WheelLinesError::Estimate {
            line,
            speed,
            why,
        })?;
        let ideal = Ideal::new(estimate.reference());
        let mut known = Self { speed, points: Vec::new(), sigmas: Vec::new() };
        for (point, work) in points.iter().zip(works) {
            let ratio = point.ratio.si();
            let lossless = ideal.work(ratio);
            let value = lossless / work.work;
            if value < HELD[0] && known.points.len() >= 3 {
                break;
            }
            if !(HELD[0]..=HELD[1]).contains(&value) {
                let at = (point.flow, point.ratio);
                return Err(WheelLinesError::Efficiency { line, speed, at, value });
            }
            let by_ratio = (ideal.work(ratio * RATIO_STEP.exp()) / lossless).ln() / RATIO_STEP;
            let left_open = [work.sigma, by_ratio * read.ratio.si(), work.by_flow * read.flow.si()];
            known.points.push(LinePoint { efficiency: Efficiency::from_si_unchecked(value), ..*point });
            known.sigmas.push(left_open.iter().map(|part| part * part).sum::<f64>().sqrt());
        }
        Ok(known)
    }

    /// The points with their efficiency so many standard deviations higher, as far as a map holds it.
    fn on(&self, side: f64) -> Vec<LinePoint> {
        let moved = |(point, sigma): (&LinePoint, &f64)| {
            let efficiency = (point.efficiency.si() * (side * sigma).exp()).clamp(HELD[0], HELD[1]);
            LinePoint { efficiency: Efficiency::from_si_unchecked(efficiency), ..*point }
        };
        self.points.iter().zip(&self.sigmas).map(moved).collect()
    }

    fn middle(&self) -> MiddlePoint {
        let half = 0.5 * (self.points[0].flow.si() + self.points[self.points.len() - 1].flow.si());
        let at = self.points.iter().position(|point| point.flow.si() >= half).unwrap_or(0);
        let point = self.points[at];
        let sigma = Fraction::from_si_unchecked(self.sigmas[at] * point.efficiency.si());
        MiddlePoint { speed: self.speed, point, sigma }
    }
}
