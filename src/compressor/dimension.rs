//! Dimensions of a wheel that may be read in several ways, and what one reading of all of them is called.

use super::{EstimateError, WheelBuilder, WheelGeometry};
use crate::quantity::*;

/// One dimension of a wheel as it was read.
///
/// ```
/// use shaftwork::compressor::WheelDimension;
/// use shaftwork::prelude::*;
/// assert_eq!(WheelDimension::Inducer(mm(46.4)).to_string(), "inducer 46.4 mm");
/// assert_eq!(WheelDimension::Backsweep(deg(30.0)).to_string(), "backsweep 30 deg");
/// assert_eq!(WheelDimension::Blades(6, 6).to_string(), "blades 6 + 6");
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum WheelDimension {
    /// Inducer tip diameter.
    Inducer(Length),
    /// Outer diameter.
    Exducer(Length),
    /// Hub diameter of the inducer.
    Hub(Length),
    /// Blade angle at the inducer's tip, from axial.
    InducerTipAngle(Angle),
    /// Blade angle at the inducer's root-mean-square radius, from axial.
    InducerMeanAngle(Angle),
    /// Throat area between the full blades of the inducer.
    Throat(Area),
    /// Width of the blades at the exit.
    ExitWidth(Length),
    /// Backsweep at the exit, from radial.
    Backsweep(Angle),
    /// Full blades and splitter blades.
    Blades(u8, u8),
    /// Clearance between blade and housing at the exit.
    Clearance(Length),
    /// Outer radius of the diffuser over the wheel's.
    DiffuserRatio(Fraction),
    /// Width of a parallel-walled diffuser.
    DiffuserWidth(Length),
}

/// A number with decimals between these, without zeros behind the fewest.
fn decimals(value: f64, [fewest, most]: [usize; 2]) -> String {
    let mut text = format!("{value:.most$}");
    for _ in fewest..most {
        if !text.ends_with('0') {
            return text;
        }
        text.pop();
    }
    text.trim_end_matches('.').into()
}

impl WheelDimension {
    /// What it is called: "inducer".
    pub fn words(&self) -> &'static str {
        match self {
            Self::Inducer(_) => "inducer",
            Self::Exducer(_) => "exducer",
            Self::Hub(_) => "hub",
            Self::InducerTipAngle(_) => "inducer tip angle",
            Self::InducerMeanAngle(_) => "inducer mean angle",
            Self::Throat(_) => "throat",
            Self::ExitWidth(_) => "exit width",
            Self::Backsweep(_) => "backsweep",
            Self::Blades(..) => "blades",
            Self::Clearance(_) => "clearance",
            Self::DiffuserRatio(_) => "diffuser ratio",
            Self::DiffuserWidth(_) => "diffuser width",
        }
    }
    /// Its value: "46.4 mm".
    pub fn value(&self) -> String {
        match self {
            Self::Inducer(length)
            | Self::Exducer(length)
            | Self::Hub(length)
            | Self::ExitWidth(length)
            | Self::Clearance(length)
            | Self::DiffuserWidth(length) => format!("{} mm", decimals(length.mm(), [1, 3])),
            Self::InducerTipAngle(angle) | Self::InducerMeanAngle(angle) | Self::Backsweep(angle) => {
                format!("{} deg", decimals(angle.deg(), [0, 2]))
            }
            Self::Throat(area) => format!("{} mm2", decimals(area.mm2(), [0, 1])),
            Self::Blades(full, splitters) => format!("{full} + {splitters}"),
            Self::DiffuserRatio(ratio) => decimals(ratio.si(), [1, 4]),
        }
    }
    /// A wheel with it.
    pub(super) fn given_to(self, mut wheel: WheelBuilder) -> WheelBuilder {
        match self {
            Self::Inducer(inducer) => {
                wheel.inducer = inducer;
                wheel
            }
            Self::Exducer(outer) => {
                wheel.outer = outer;
                wheel
            }
            Self::Hub(hub) => wheel.hub(hub),
            Self::InducerTipAngle(angle) => wheel.inducer_tip_angle(angle),
            Self::InducerMeanAngle(angle) => wheel.inducer_mean_angle(angle),
            Self::Throat(area) => wheel.throat(area),
            Self::ExitWidth(width) => wheel.exit_width(width),
            Self::Backsweep(angle) => wheel.backsweep(angle),
            Self::Blades(full, splitters) => wheel.blades(full, splitters),
            Self::Clearance(clearance) => wheel.exit_clearance(clearance),
            Self::DiffuserRatio(ratio) => wheel.diffuser_ratio(ratio),
            Self::DiffuserWidth(width) => wheel.diffuser_width(width),
        }
    }
    /// Whether both stand in the same place of a wheel, as the two angles of the inducer do.
    pub(super) fn replaces(&self, other: &Self) -> bool {
        let angle = |one: &Self| matches!(one, Self::InducerTipAngle(_) | Self::InducerMeanAngle(_));
        core::mem::discriminant(self) == core::mem::discriminant(other) || angle(self) && angle(other)
    }
}

impl core::fmt::Display for WheelDimension {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{} {}", self.words(), self.value())
    }
}

/// One reading of each doubtful dimension of a wheel: "inducer 46.4 mm, backsweep 30 deg".
#[derive(Clone, Debug, PartialEq, Default)]
pub struct WheelReading(pub(super) Vec<WheelDimension>);

impl WheelReading {
    /// The doubtful dimensions as this reading has them.
    pub fn dimensions(&self) -> &[WheelDimension] {
        &self.0
    }
    /// The inducer, where it is in doubt.
    pub fn inducer(&self) -> Option<Length> {
        self.0.iter().find_map(|one| match one {
            WheelDimension::Inducer(inducer) => Some(*inducer),
            _ => None,
        })
    }
    /// The value alone where one dimension is in doubt, else each with its name.
    pub fn short(&self) -> String {
        match self.0.as_slice() {
            [one] => one.value(),
            _ => self.to_string(),
        }
    }
    /// What is in doubt: "inducer and backsweep".
    pub fn of(&self) -> String {
        let words: Vec<&str> = self.0.iter().map(WheelDimension::words).collect();
        match words.as_slice() {
            [before @ .., last] if !before.is_empty() => format!("{} and {last}", before.join(", ")),
            _ => words.concat(),
        }
    }
}

impl core::fmt::Display for WheelReading {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let each: Vec<String> = self.0.iter().map(ToString::to_string).collect();
        f.write_str(&each.join(", "))
    }
}

impl From<WheelDimension> for WheelReading {
    fn from(dimension: WheelDimension) -> Self {
        Self(vec![dimension])
    }
}
/// A length alone is a reading of the inducer, the dimension that is most often in doubt.
impl From<Length> for WheelReading {
    fn from(inducer: Length) -> Self {
        WheelDimension::Inducer(inducer).into()
    }
}

/// The wheel that one reading of each doubtful dimension makes.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadWheel {
    /// The reading; without dimensions where none is in doubt.
    pub reading: WheelReading,
    /// Its weight before any evidence: the product of the weights of its readings. All weights sum to one.
    pub weight: Fraction,
    /// The dimensions that were measured, to which others may be given.
    pub builder: WheelBuilder,
    /// Every dimension that was measured.
    pub(crate) measured: Vec<WheelDimension>,
}

impl ReadWheel {
    /// Of the dimensions measured, with their weight, of which some are in doubt.
    pub(super) fn new(
        measured: Vec<WheelDimension>,
        weight: f64,
        doubtful: impl Fn(&WheelDimension) -> bool,
    ) -> Self {
        // Inducer and exducer are among the dimensions.
        let [inducer, outer] = [Length::from_si_unchecked(f64::NAN); 2];
        let start = WheelGeometry::builder(inducer, outer);
        Self {
            reading: WheelReading(measured.iter().copied().filter(doubtful).collect()),
            weight: Fraction::from_si_unchecked(weight),
            builder: measured.iter().fold(start, |wheel, dimension| dimension.given_to(wheel)),
            measured,
        }
    }
    /// An error of this wheel, with the reading where there are several.
    pub(crate) fn named(&self, error: EstimateError) -> EstimateError {
        match self.reading.dimensions() {
            [] => error,
            _ => EstimateError::Reading { reading: self.reading.to_string(), error: Box::new(error) },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::units::*;

    #[test]
    fn values_keep_what_tells_them_apart() {
        for (dimension, words) in [
            (WheelDimension::Inducer(mm(46.4)), "46.4 mm"),
            (WheelDimension::Inducer(mm(46.44)), "46.44 mm"),
            (WheelDimension::Exducer(mm(61.0)), "61.0 mm"),
            (WheelDimension::Clearance(mm(0.25)), "0.25 mm"),
            (WheelDimension::Backsweep(deg(32.5)), "32.5 deg"),
            (WheelDimension::Backsweep(deg(30.0)), "30 deg"),
            (WheelDimension::Backsweep(deg(0.0)), "0 deg"),
            (WheelDimension::Throat(mm2(760.0)), "760 mm2"),
            (WheelDimension::DiffuserRatio(fraction(1.6)), "1.6"),
        ] {
            assert_eq!(dimension.value(), words);
        }
        let both = WheelReading(vec![
            WheelDimension::Inducer(mm(46.4)),
            WheelDimension::ExitWidth(mm(4.0)),
            WheelDimension::Blades(7, 0),
        ]);
        assert_eq!(both.to_string(), "inducer 46.4 mm, exit width 4.0 mm, blades 7 + 0");
        assert_eq!(both.of(), "inducer, exit width and blades");
    }
}
