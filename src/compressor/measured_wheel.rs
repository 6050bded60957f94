//! A wheel as calipers and eye have it: each dimension in one reading or several.

use super::InletState;
use super::dimension::{ReadWheel, WheelDimension};
use super::readings::{MOST_READINGS, Readings, ReadingsError};
use super::wheel::*;
use crate::formula::{FormulaError, checked};
use crate::gas::{Gas, heat_capacity_ratio};
use crate::quantity::*;

/// A compressor wheel by its measured dimensions, each in one reading or several of which one is right.
///
/// Every combination of readings is a wheel of its own, at most [`MOST_READINGS`]; nothing is averaged.
///
/// ```
/// use shaftwork::prelude::*;
/// let wheel = CompressorWheel::new(one_of([mm(46.4), mm(48.2)]), mm(61.0))?;
/// let inlet = InletState { temperature: deg_c(24.0), pressure: kpa(85.0) };
/// let bands = wheel.choke(PressureRatio::new(2.9)?, Efficiency::new(0.70)?, &inlet)?;
/// assert_eq!(bands.len(), 2);
/// assert!(bands[0].flow < bands[1].flow);
///
/// // A backsweep seen as 30 degrees, hardly as 40: four wheels, weighted before any evidence.
/// let backsweep = one_of([deg(30.0), deg(40.0)]).weighted([fraction(3.0), fraction(1.0)])?;
/// let wheel = wheel.backsweep(backsweep)?.exit_width(mm(4.6))?;
/// let all = wheel.as_read();
/// assert_eq!(all.len(), 4);
/// assert_eq!(all[1].reading.to_string(), "inducer 46.4 mm, backsweep 40 deg");
/// assert!((all[1].weight.percent() - 12.5).abs() < 1e-12); // half of a quarter
/// // Each is a candidate of its own.
/// let labels: Vec<String> = Candidate::from_wheel("A", &wheel)?.iter().map(Candidate::label).collect();
/// assert_eq!(labels[3], "A, inducer 48.2 mm, backsweep 40 deg");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct CompressorWheel {
    /// Inducer and exducer first; none is empty, and each holds one dimension.
    dimensions: Vec<Readings<WheelDimension>>,
}

/// Inducer over outer diameter.
const INDUCER: [f64; 2] = [0.4, 0.95];
/// Outer diameter, m.
const EXDUCER: [f64; 2] = [0.02, 0.3];
/// Least diameter of the hub, m, and the most of it over the inducer.
const HUB: [f64; 2] = [0.003, 0.8];

/// The readings without their weights.
fn lengths(readings: &Readings<Length>) -> impl Iterator<Item = Length> {
    readings.iter().map(|(length, _)| *length)
}

impl CompressorWheel {
    /// Inducer tip diameter and the wheel's outer diameter, one reading or several of each: 20 to 300 mm, the inducer 0.4 to
    /// 0.95 of the outer diameter.
    ///
    /// # Errors
    ///
    /// [`ReadingsError`] for a reading outside these, one given twice, or too many.
    pub fn new(inducer: impl Into<Readings>, exducer: impl Into<Readings>) -> Result<Self, ReadingsError> {
        const NAME: &str = "compressor::CompressorWheel::new";
        let (inducer, exducer) = (inducer.into(), exducer.into());
        for outer in lengths(&exducer) {
            checked(NAME, "exducer", "outer diameter of the wheel", outer, EXDUCER[0], EXDUCER[1])?;
            let [low, high] = INDUCER.map(|share| share * outer.si());
            for reading in lengths(&inducer) {
                checked(NAME, "inducer", "inducer tip diameter", reading, low, high)?;
            }
        }
        let none = Self { dimensions: Vec::new() };
        none.with("inducer", inducer, WheelDimension::Inducer)?.with(
            "exducer",
            exducer,
            WheelDimension::Exducer,
        )
    }
    /// The hub diameter of the inducer.
    ///
    /// # Errors
    ///
    /// [`ReadingsError`] for a hub below 3 mm or above 0.8 of the inducer, for a reading given twice, or too many.
    pub fn hub(self, hub: impl Into<Readings>) -> Result<Self, ReadingsError> {
        let hub = hub.into();
        for wheel in self.as_read() {
            for reading in lengths(&hub) {
                let high = HUB[1] * wheel.builder.inducer.si();
                checked(
                    "compressor::CompressorWheel::hub",
                    "hub",
                    "inducer hub diameter",
                    reading,
                    HUB[0],
                    high,
                )?;
            }
        }
        self.with("inducer hub", hub, WheelDimension::Hub)
    }
    /// Blade angle at the inducer's tip, from axial. Like those below it is judged with the others when the wheel is built.
    ///
    /// # Errors
    ///
    /// [`ReadingsError`] for no reading, one given twice, or too many.
    pub fn inducer_tip_angle(self, angle: impl Into<Readings<Angle>>) -> Result<Self, ReadingsError> {
        self.with("inducer tip angle", angle.into(), WheelDimension::InducerTipAngle)
    }
    /// Blade angle at the inducer's root-mean-square radius, from axial; it takes the place of the one at the tip.
    ///
    /// # Errors
    ///
    /// As [`CompressorWheel::inducer_tip_angle`].
    pub fn inducer_mean_angle(self, angle: impl Into<Readings<Angle>>) -> Result<Self, ReadingsError> {
        self.with("inducer mean angle", angle.into(), WheelDimension::InducerMeanAngle)
    }
    /// Throat area between the full blades of the inducer.
    ///
    /// # Errors
    ///
    /// As [`CompressorWheel::inducer_tip_angle`].
    pub fn throat(self, area: impl Into<Readings<Area>>) -> Result<Self, ReadingsError> {
        self.with("throat", area.into(), WheelDimension::Throat)
    }
    /// Width of the blades at the exit.
    ///
    /// # Errors
    ///
    /// As [`CompressorWheel::inducer_tip_angle`].
    pub fn exit_width(self, width: impl Into<Readings>) -> Result<Self, ReadingsError> {
        self.with("exit width", width.into(), WheelDimension::ExitWidth)
    }
    /// Backsweep at the exit, from radial.
    ///
    /// # Errors
    ///
    /// As [`CompressorWheel::inducer_tip_angle`].
    pub fn backsweep(self, angle: impl Into<Readings<Angle>>) -> Result<Self, ReadingsError> {
        self.with("backsweep", angle.into(), WheelDimension::Backsweep)
    }
    /// Full blades and splitter blades.
    ///
    /// # Errors
    ///
    /// As [`CompressorWheel::inducer_tip_angle`].
    pub fn blades(self, counts: impl Into<Readings<(u8, u8)>>) -> Result<Self, ReadingsError> {
        self.with("blades", counts.into(), |(full, splitters)| WheelDimension::Blades(full, splitters))
    }
    /// Clearance between blade and housing at the exit.
    ///
    /// # Errors
    ///
    /// As [`CompressorWheel::inducer_tip_angle`].
    pub fn exit_clearance(self, clearance: impl Into<Readings>) -> Result<Self, ReadingsError> {
        self.with("clearance", clearance.into(), WheelDimension::Clearance)
    }
    /// Outer radius of the diffuser over the wheel's radius.
    ///
    /// # Errors
    ///
    /// As [`CompressorWheel::inducer_tip_angle`].
    pub fn diffuser_ratio(self, ratio: impl Into<Readings<Fraction>>) -> Result<Self, ReadingsError> {
        self.with("diffuser ratio", ratio.into(), WheelDimension::DiffuserRatio)
    }
    /// Width of a parallel-walled diffuser.
    ///
    /// # Errors
    ///
    /// As [`CompressorWheel::inducer_tip_angle`].
    pub fn diffuser_width(self, width: impl Into<Readings>) -> Result<Self, ReadingsError> {
        self.with("diffuser width", width.into(), WheelDimension::DiffuserWidth)
    }

    /// With readings of a dimension, in place of what it had.
    fn with<Q>(
        mut self,
        of: &'static str,
        readings: Readings<Q>,
        dimension: impl Fn(Q) -> WheelDimension,
    ) -> Result<Self, ReadingsError> {
        let readings = readings.map(dimension);
        let words: Vec<String> = readings.iter().map(|(one, _)| one.to_string()).collect();
        let Some((first, _)) = readings.iter().next() else { return Err(ReadingsError::Empty { of }) };
        if let Some(again) = (1..words.len()).find(|&i| words[..i].contains(&words[i])) {
            return Err(ReadingsError::Twice { reading: words[again].clone() });
        }
        let same = |known: &Readings<WheelDimension>| known.iter().any(|(one, _)| one.replaces(first));
        match self.dimensions.iter().position(same) {
            Some(place) => self.dimensions[place] = readings,
            None => self.dimensions.push(readings),
        }
        let wheels = self.dimensions.iter().map(Readings::len).fold(1, usize::saturating_mul);
        if wheels > MOST_READINGS {
            let each = self.dimensions.iter().filter(|known| known.len() > 1).filter_map(|known| {
                known.iter().next().map(|(one, _)| format!("{} {}", one.words(), known.len()))
            });
            let readings = each.collect::<Vec<_>>().join(", ");
            return Err(ReadingsError::TooMany { readings, wheels });
        }
        Ok(self)
    }

    /// The dimensions that are in doubt, by their names, with their readings.
    pub fn doubtful(&self) -> impl Iterator<Item = (&'static str, &Readings<WheelDimension>)> {
        let in_doubt = self.dimensions.iter().filter(|readings| readings.len() > 1);
        in_doubt.filter_map(|readings| Some((readings.iter().next()?.0.words(), readings)))
    }

    /// The wheels that the readings make, each with its weight before any evidence; readings given first change last.
    pub fn as_read(&self) -> Vec<ReadWheel> {
        self.product(|_| true)
    }

    /// The combinations of the dimensions asked for.
    fn product(&self, asked: impl Fn(&WheelDimension) -> bool) -> Vec<ReadWheel> {
        let mut all = vec![(Vec::new(), 1.0)];
        let mut in_doubt = Vec::new();
        for readings in &self.dimensions {
            if !readings.iter().any(|(one, _)| asked(one)) {
                continue;
            }
            if readings.len() > 1 {
                in_doubt.extend(readings.iter().map(|(one, _)| *one));
            }
            let further = |(before, weight): &(Vec<WheelDimension>, f64)| {
                let (before, weight) = (before.clone(), *weight);
                readings.iter().map(move |(one, share)| {
                    (before.iter().copied().chain([*one]).collect(), weight * share.si())
                })
            };
            all = all.iter().flat_map(further).collect();
        }
        let wheel = |(measured, weight)| ReadWheel::new(measured, weight, |one| in_doubt.contains(one));
        all.into_iter().map(wheel).collect()
    }

    /// The greatest flow the inducer can pass at the tip speed that a pressure ratio needs, one band for
    /// each reading of the diameters; no other dimension counts.
    ///
    /// # Errors
    ///
    /// [`FormulaError`] for a ratio, an efficiency or an inlet that its formulas do not take.
    pub fn choke(
        &self,
        ratio: PressureRatio,
        efficiency: Efficiency,
        inlet: &InletState,
    ) -> Result<ChokeBands, FormulaError> {
        let air = Gas::dry_air();
        let share = Fraction::from_si_unchecked;
        let tip_speed =
            tip_speed_for_ratio(&air, inlet.temperature, ratio, efficiency, share(WORK_COEFFICIENT))?;
        let gamma = heat_capacity_ratio(&air, inlet.temperature)?;
        let band = |wheel: ReadWheel| {
            let (inducer, exducer) = (wheel.builder.inducer, wheel.builder.outer);
            let speed = shaft_speed_for_tip_speed(tip_speed, exducer)?;
            let measured = wheel.measured.iter().find_map(|one| match one {
                WheelDimension::Hub(hub) => Some(*hub),
                _ => None,
            });
            let hub = match measured {
                Some(hub) => hub,
                None => hub_diameter(inducer, share(HUB_RATIO))?,
            };
            let throat = throat_from_share(inducer_area(inducer, hub)?, share(THROAT_SHARE))?;
            let blade = inducer_blade_speed(inducer, hub, speed)?;
            let (temperature, pressure) = (inlet.temperature, inlet.pressure);
            Ok(ChokeBand {
                inducer,
                exducer,
                trim: trim(inducer, exducer)?,
                tip_speed,
                speed,
                flow: inducer_choke_flow(throat, temperature, pressure, blade, gamma, air.gas_constant())?,
                sigma: share(CHOKE_SIGMA),
            })
        };
        let diameters = |one: &WheelDimension| {
            matches!(one, WheelDimension::Inducer(_) | WheelDimension::Exducer(_) | WheelDimension::Hub(_))
        };
        self.product(diameters).into_iter().map(band).collect::<Result<_, _>>().map(ChokeBands)
    }
}
