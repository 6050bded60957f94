//! A map of another machine taken as similar: scaled by size, trim, Reynolds number and clearance, with what each leaves
//! open.

use super::EvidenceError;
use super::error::within;
use super::statement::{Evidence, Spread};
use crate::compressor::{CompressorMap, LinePoint, MapEstimate};
use crate::formula::Property;
use crate::gas::Gas;
use crate::quantity::*;

/// Exponent of the inducer's area in a flow, for a trim at one outer diameter: 0.8 to 1.0 from memory; one standard
/// deviation of it is that of an even spread.
pub const TRIM_EXPONENT: [f64; 2] = [0.9, 0.058];
/// Exponent of the Reynolds number in the losses: 0.055 to 0.124, 0.084 over all, measured on a 108 mm compressor
/// ([nasa-tn-d-6640]); from memory 0.1 to 0.2 for the part that is friction.
pub const REYNOLDS_EXPONENT: [f64; 2] = [0.084, 0.04];
/// Efficiency lost for each unit of clearance over exit width: 1.2 points for 3.5 % on one compressor ([nasa-tm-x-2350]);
/// from memory 0.25 to 0.35 of the efficiency.
pub const CLEARANCE_SLOPE: [f64; 2] = [0.34, 0.10];
/// Flow lost for each unit of the same: 3.5 % for 3.5 % on the same compressor.
pub const CLEARANCE_FLOW: [f64; 2] = [1.0, 0.5];
/// What "similar" itself leaves open with the same diameters: shapes differ. Judgement, wide.
pub const SIMILAR_SHAPE: Spread = Spread::known(0.05, 0.04, 0.15);

formulas! { room "compressor" group SIMILAR;
    /// Flow of a similar machine of another size
    ///
    /// W_b = W_a (D_b/D_a)^2 at equal tip-speed Mach number
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: 108 to 432 mm: 16 times
    /// let w = shaftwork::compressor::similar_flow(corrected_kg_per_s(0.2842), mm(108.0), mm(432.0))?;
    /// assert!((w.si() - 16.0 * 0.2842).abs() < 1e-12);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn similar_flow(
        flow: CorrectedMassFlow = "W_a" in [1e-5, 50.0], "corrected flow of the machine that is known";
        known: Length = "D_a" in [0.01, 1.0], "its outer diameter";
        wanted: Length = "D_b" in [0.01, 1.0], "outer diameter of the other";
    ) -> CorrectedMassFlow = "W_b"
    source "[derived-here] from equal flow coefficient and tip-speed Mach number; compare [dixon-hall], ch. 2"
    { flow * (wanted / known).powi(2) }

    /// Speed of a similar machine of another size
    ///
    /// N_b = N_a D_a/D_b at equal tip-speed Mach number
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: 87 156 rpm on 108 mm are 21 789 rpm on 432 mm
    /// let n = shaftwork::compressor::similar_speed(corrected_rpm(87_156.0), mm(108.0), mm(432.0))?;
    /// assert!((n.corrected_rpm() - 21_789.0).abs() < 1e-8);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn similar_speed(
        speed: CorrectedSpeed = "N_a" in [1.0, 1e5], "corrected speed of the machine that is known";
        known: Length = "D_a" in [0.01, 1.0], "its outer diameter";
        wanted: Length = "D_b" in [0.01, 1.0], "outer diameter of the other";
    ) -> CorrectedSpeed = "N_b"
    source "[derived-here] from equal tip-speed Mach number; compare [dixon-hall], ch. 2"
    { speed * known / wanted }

    /// Flow of another trim
    ///
    /// W_b = W_a [(d_b/D_b)/(d_a/D_a)]^(2 n): with the area of the inducer, at one outer diameter
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: 50 instead of 48 % trim with n 0.9: (50/48)^0.9 = 1.037423
    /// let [a, b] = [0.48_f64, 0.50].map(|trim| percent(100.0 * trim.sqrt()));
    /// let w = shaftwork::compressor::trimmed_flow(corrected_kg_per_s(1.0), a, b, fraction(0.9))?;
    /// assert!((w.si() - 1.037423).abs() < 1e-6);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn trimmed_flow(
        flow: CorrectedMassFlow = "W_a" in [1e-5, 50.0], "corrected flow of the trim that is known";
        known: Fraction = "d_a/D_a" in [0.3, 0.98], "inducer tip over outer diameter of the trim that is known";
        wanted: Fraction = "d_b/D_b" in [0.3, 0.98], "the same of the other trim";
        exponent: Fraction = "n" in [0.5, 1.2], "exponent of the inducer's area";
    ) -> CorrectedMassFlow = "W_b"
    source "[common-practice], exponent 0.8 to 1.0 from memory"
    { flow * (wanted / known).powf(exponent * 2.0) }

    /// Efficiency at another Reynolds number
    ///
    /// eta_b = 1 - (1 - eta_a)(Re_a/Re_b)^n
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA TN D-6640, 108 mm: 0.813 at Re 3.03e6, 0.775 at 0.34e6; n 0.084 over all
    /// let eta = shaftwork::compressor::efficiency_at_reynolds(Efficiency::new(0.813)?, fraction(0.34 / 3.03), fraction(0.084))?;
    /// assert!((eta.si() - 0.775).abs() < 0.0005);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn efficiency_at_reynolds(
        efficiency: Efficiency = "eta_a" in [0.1, 0.99], "efficiency that is known";
        ratio: Fraction = "Re_b/Re_a" in [0.01, 100.0], "Reynolds number over that at which it is known";
        exponent: Fraction = "n" in [0.0, 0.3], "exponent";
    ) -> Efficiency = "eta_b"
    source "[nasa-tn-d-6640], exponent fitted here to its three maxima; the form is [common-practice]"
    { c(1.0) - (c(1.0) - efficiency) * (c(1.0) / ratio).powf(exponent) }

    /// Efficiency with another clearance
    ///
    /// eta_b = eta_a - k (c_b - c_a), c the clearance over the exit width
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA TM X-2350: 4 to 7.5 % of the exit width cost 1.2 points
    /// let eta = shaftwork::compressor::efficiency_at_clearance(Efficiency::new(0.80)?, percent(4.0), percent(7.5), fraction(0.34))?;
    /// assert!((eta.si() - 0.788).abs() < 0.0005);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn efficiency_at_clearance(
        efficiency: Efficiency = "eta_a" in [0.1, 0.99], "efficiency that is known";
        known: Fraction = "c_a" in [0.0, 0.3], "clearance over exit width where it is known";
        wanted: Fraction = "c_b" in [0.0, 0.3], "the same of the other";
        slope: Fraction = "k" in [0.0, 1.0], "efficiency lost for each unit of clearance over width";
    ) -> Efficiency = "eta_b"
    source "[nasa-tm-x-2350], one compressor, axial clearance"
    { efficiency - slope * (wanted - known) }
}

/// A machine whose map is known and that is taken as similar: its diameters, and its clearance where it is known.
#[derive(Clone, Debug, PartialEq)]
pub struct SimilarMachine<'a> {
    /// Its map.
    pub map: &'a CompressorMap,
    /// Its outer diameter.
    pub outer: Length,
    /// Its inducer tip diameter; nothing where the trim is the same.
    pub inducer: Option<Length>,
    /// Its clearance over exit width, and that of the machine wanted; nothing where both are alike.
    pub clearances: Option<[Fraction; 2]>,
}

/// One step of a scaling: what it is, by what it multiplies the flow and moves the efficiency, and the spread that it
/// leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScalingStep {
    /// The step in words, with its source.
    pub what: &'static str,
    /// Factor of the flow.
    pub flow: f64,
    /// Change of the efficiency at 0.78, in fractions of one.
    pub efficiency: f64,
    /// The spread it leaves.
    pub spread: Spread,
}

/// The map of a similar machine, scaled, and how sure it is.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaledMap {
    map: CompressorMap,
    steps: Vec<ScalingStep>,
}

impl ScaledMap {
    /// The scaled map.
    pub fn map(&self) -> &CompressorMap {
        &self.map
    }
    /// The steps, the assumption of similarity itself first.
    pub fn steps(&self) -> &[ScalingStep] {
        &self.steps
    }
    /// The spread of all steps.
    pub fn spread(&self) -> Spread {
        self.steps.iter().fold(Spread::default(), |sum, step| sum.and(step.spread))
    }
    /// The map as evidence, wrong in common by the spread of its steps.
    ///
    /// # Errors
    ///
    /// [`EvidenceError::Empty`] where no line lies in the estimate's range of tip speeds.
    pub fn evidence(&self, name: &str, of: &MapEstimate) -> Result<Evidence, EvidenceError> {
        let [flow, work] = [self.spread().flow(), self.spread().work()].map(Fraction::percent);
        let basis =
            format!("assumed similar, scaled: flow {:.0} %, work {:.0} % (1 sigma, judgement)", flow, work);
        Evidence::map(name, &basis, of, &self.map, self.spread())
    }
}

/// Efficiency at which a step is shown and a change of efficiency becomes one of ln[eta/(1 - eta)].
const SHOWN_AT: f64 = 0.78;

impl SimilarMachine<'_> {
    /// The map scaled to another outer diameter and inducer, with the error that each step leaves.
    ///
    /// Tip-speed Mach numbers stay: speed goes with 1/D, flow with D^2 ([`similar_flow`]), then with the inducer's
    /// area to the power 0.9 ([`trimmed_flow`]); losses with the Reynolds number ([`efficiency_at_reynolds`]) and the
    /// clearance ([`efficiency_at_clearance`]). Work stays, so that the pressure ratio follows the efficiency.
    /// That the machines are similar at all is an assumption, the first of the steps.
    ///
    /// # Errors
    ///
    /// [`EvidenceError`]: a dimension out of range, or lines that make no map after scaling.
    pub fn scaled_to(&self, outer: Length, inducer: Length) -> Result<ScaledMap, EvidenceError> {
        const NAME: &str = "scaling";
        let size =
            within(NAME, "outer diameter over that of the known machine", outer / self.outer, [0.05, 20.0])?;
        let trim = inducer / outer;
        within(NAME, "inducer over outer diameter", trim, [0.3, 0.98])?;
        let known_trim = self.inducer.map_or(trim, |known| known / self.outer);
        within(NAME, "inducer over outer diameter of the known machine", known_trim, [0.3, 0.98])?;
        let [loose, tight] = self.clearances.unwrap_or([Fraction::from_si_unchecked(0.0); 2]);
        within(NAME, "clearance over exit width of the known machine", loose.si(), [0.0, 0.3])?;
        within(NAME, "clearance over exit width", tight.si(), [0.0, 0.3])?;
        let trimming = (trim / known_trim).powf(2.0 * TRIM_EXPONENT[0]);
        let clearing = 1.0 - CLEARANCE_FLOW[0] * (tight.si() - loose.si());
        let corrected = |eta: f64| {
            let [re, k] = [REYNOLDS_EXPONENT[0], CLEARANCE_SLOPE[0]];
            let at_size = efficiency_at_reynolds::of(eta, size, re);
            efficiency_at_clearance::of(at_size, loose.si(), tight.si(), k).clamp(0.05, 0.95)
        };
        let air = Gas::dry_air();
        let t01 = self.map.reference().temperature().si();
        let (h01, s01) = (air.h().value(t01), air.s().value(t01));
        let point = |p: LinePoint| {
            let ideal = air.h().value(air.s().invert(s01 + air.r() * p.ratio.si().ln())) - h01;
            let efficiency = corrected(p.efficiency.si());
            let end = air.h().invert(h01 + ideal * efficiency / p.efficiency.si());
            let flow = similar_flow::of(p.flow.si(), self.outer.si(), outer.si()) * trimming * clearing;
            LinePoint {
                flow: CorrectedMassFlow::from_si_unchecked(flow),
                ratio: PressureRatio::from_si_unchecked(((air.s().value(end) - s01) / air.r()).exp()),
                efficiency: Efficiency::from_si_unchecked(efficiency),
            }
        };
        let title = format!("{}, scaled to {outer}", self.map.title());
        let provenance = format!("scaled from a machine taken as similar; {}", self.map.provenance());
        let speed = similar_speed::of(1.0, self.outer.si(), outer.si());
        let map = self.map.altered(title, provenance, speed, point);
        let map = map.map_err(|error| EvidenceError::Scaled { known: self.outer, wanted: outer, error })?;
        Ok(ScaledMap { map, steps: self.steps(size, trim / known_trim, [loose.si(), tight.si()]) })
    }

    fn steps(&self, size: f64, trim: f64, [loose, tight]: [f64; 2]) -> Vec<ScalingStep> {
        let odds = |change: f64| change / (SHOWN_AT * (1.0 - SHOWN_AT));
        let reynolds = efficiency_at_reynolds::of(SHOWN_AT, size, REYNOLDS_EXPONENT[0]) - SHOWN_AT;
        let apart = tight - loose;
        let spread = Spread::default();
        let mut steps = vec![
            ScalingStep {
                what: "taken as similar (judgement)",
                flow: 1.0,
                efficiency: 0.0,
                spread: SIMILAR_SHAPE,
            },
            ScalingStep {
                what: "size: flow with D^2, speed with 1/D",
                flow: size * size,
                efficiency: 0.0,
                spread,
            },
            ScalingStep {
                what: "Reynolds number, exponent 0.084 +-0.04",
                flow: 1.0,
                efficiency: reynolds,
                spread: Spread::known(0.0, 0.0, (REYNOLDS_EXPONENT[1] * size.ln()).abs() / SHOWN_AT),
            },
        ];
        if self.inducer.is_some() {
            let area = 2.0 * trim.ln();
            steps.push(ScalingStep {
                what: "trim: inducer area to the power 0.9 +-0.06",
                flow: (TRIM_EXPONENT[0] * area).exp(),
                efficiency: 0.0,
                spread: Spread::known((TRIM_EXPONENT[1] * area).abs(), 0.0, 0.0),
            });
        }
        if self.clearances.is_some() {
            steps.push(ScalingStep {
                what: "clearance over exit width: 0.34 +-0.10 of it in efficiency, as much as it in flow",
                flow: 1.0 - CLEARANCE_FLOW[0] * apart,
                efficiency: -CLEARANCE_SLOPE[0] * apart,
                spread: Spread::known(
                    (CLEARANCE_FLOW[1] * apart).abs(),
                    0.0,
                    odds(CLEARANCE_SLOPE[1] * apart).abs(),
                ),
            });
        }
        steps
    }
}
