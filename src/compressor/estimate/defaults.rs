//! What stands in for a dimension that was not measured, with its spread (one standard deviation).

use super::Factor;
use super::coefficients::SPLITTER_SHARE;

/// A default with its spread and where both come from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DimensionDefault {
    /// The dimension in words.
    pub what: &'static str,
    /// The value that stands in.
    pub value: f64,
    /// One standard deviation of it.
    pub sigma: f64,
    /// In what both are counted.
    pub unit: &'static str,
    /// Where they come from.
    pub basis: &'static str,
}

/// Hub over tip diameter of the inducer.
pub const HUB: DimensionDefault = DimensionDefault {
    what: "inducer hub diameter",
    value: crate::compressor::HUB_RATIO,
    sigma: 0.04,
    unit: "of the inducer tip diameter",
    basis: "from memory 0.25 to 0.40",
};
/// Inducer blade angle at the tip.
pub const INDUCER_ANGLE: DimensionDefault = DimensionDefault {
    what: "inducer blade angle at the tip",
    value: 59.0,
    sigma: 5.0,
    unit: "degrees from axial",
    basis: "four published rigs: 54.3 to 63",
};
/// Exit area over throat area: the exit of a wheel that passes more is wider.
pub const EXIT_WIDTH: DimensionDefault = DimensionDefault {
    what: "exit width",
    value: 1.12,
    sigma: 0.14,
    unit: "exit area over throat area of the inducer",
    basis: "four published rigs 1.03 to 1.31; from memory 0.05 to 0.09 of the outer diameter on turbocharger wheels",
};
/// Backsweep.
pub const BACKSWEEP: DimensionDefault = DimensionDefault {
    what: "backsweep",
    value: 38.0,
    sigma: 5.0,
    unit: "degrees from radial",
    basis: "from memory 30 to 45 for turbocharger wheels",
};
/// Clearance at the exit, at most a tenth of the exit width.
pub const CLEARANCE: DimensionDefault = DimensionDefault {
    what: "clearance at the exit",
    value: 0.25,
    sigma: 0.08,
    unit: "mm",
    basis: "from memory 0.25 to 0.30 on small wheels; 0.20 to 0.37 on four published rigs",
};
/// Outer over inner radius of the diffuser.
pub const DIFFUSER_RATIO: DimensionDefault = DimensionDefault {
    what: "diffuser outlet radius",
    value: 1.6,
    sigma: 0.15,
    unit: "of the wheel's radius",
    basis: "from memory 1.5 to 1.8",
};
/// Width of the diffuser over that of the wheel's exit.
pub const DIFFUSER_WIDTH: DimensionDefault = DimensionDefault {
    what: "diffuser width",
    value: 1.0,
    sigma: 0.08,
    unit: "of the exit width",
    basis: "from memory 0.85 to 1.1",
};
/// Throat area of a diffuser's vanes.
pub const VANE_THROAT: DimensionDefault = DimensionDefault {
    what: "throat area of the diffuser's vanes",
    value: 1.0,
    sigma: 0.15,
    unit: "of what their angle asks for, or of the area that chokes with the inducer at the matched tip speed",
    basis: "judgement: by the angle 1.05 on one published machine; matched throats from memory within 30 %",
};
/// Radius of their leading edges; two turbocharger compressors by [clements-artt-1989].
pub const VANE_RADIUS: DimensionDefault = DimensionDefault {
    what: "radius of the diffuser vanes' leading edges",
    value: 1.08,
    sigma: 0.03,
    unit: "of the wheel's radius",
    basis: "two turbocharger compressors were best from 1.06 to 1.10; NASA CC3 1.078",
};
/// Vane angle there.
pub const VANE_ANGLE: DimensionDefault = DimensionDefault {
    what: "inlet angle of the diffuser's vanes",
    value: 0.0,
    sigma: 2.5,
    unit: "degrees from what their throat asks for",
    basis: "judgement; 0.6 on one published machine",
};
/// Full blades and splitters, where they were not counted.
pub const BLADES: [u8; 2] = [6, 6];
/// The same as one number, a splitter counted as 0.7; both change with it alike. The range in use,
/// 4 to 13.6, is taken as four standard deviations wide; a wheel without splitters lies lower than this number alone says.
pub const BLADE_NUMBER: DimensionDefault = DimensionDefault {
    what: "number of blades",
    value: BLADES[0] as f64 + SPLITTER_SHARE * BLADES[1] as f64,
    sigma: 2.4,
    unit: "full blades, a splitter counted as 0.7",
    basis: "common practice, no source: 4 to 8 full blades, with as many splitters or none",
};

/// The default behind a factor that stands for a dimension.
pub(super) fn of(factor: Factor) -> Option<&'static DimensionDefault> {
    match factor {
        Factor::Work | Factor::Loss | Factor::Choke | Factor::Surge | Factor::VaneRecovery => None,
        Factor::Hub => Some(&HUB),
        Factor::InducerAngle => Some(&INDUCER_ANGLE),
        Factor::ExitWidth => Some(&EXIT_WIDTH),
        Factor::Backsweep => Some(&BACKSWEEP),
        Factor::Clearance => Some(&CLEARANCE),
        Factor::DiffuserRatio => Some(&DIFFUSER_RATIO),
        Factor::DiffuserWidth => Some(&DIFFUSER_WIDTH),
        Factor::VaneThroat => Some(&VANE_THROAT),
        Factor::VaneRadius => Some(&VANE_RADIUS),
        Factor::VaneAngle => Some(&VANE_ANGLE),
        Factor::Blades => Some(&BLADE_NUMBER),
    }
}

/// One standard deviation of the mean line's own terms with the dimensions known; judgement after four published
/// rigs of 400 to 432 mm, held against them in `data/validation`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ModelSpread {
    /// Work, as a fraction.
    pub work: f64,
    /// Losses: of ln[eta/(1 - eta)]. At an efficiency of 0.78, 0.17 is 3 points.
    pub loss: f64,
    /// Effective areas of throats and exit, as a fraction.
    pub choke: f64,
    /// Flow angle at the diffuser's inlet at which surge begins, degrees.
    pub surge: f64,
}

/// From geometry alone.
pub const FROM_GEOMETRY: ModelSpread = ModelSpread { work: 0.05, loss: 0.17, choke: 0.04, surge: 3.0 };
/// Scaled to one measured point.
pub const FROM_ONE_POINT: ModelSpread = ModelSpread { work: 0.02, loss: 0.085, choke: 0.03, surge: 3.0 };
/// The part of the spread that is its own at every place of the map, so that no measurement elsewhere takes it away.
/// Judgement after the same rigs: scaled to one point, the others stayed 2 % in work, 3 % in flow and 1.5 points off,
/// which is the difference of two such parts.
pub const LOCAL: ModelSpread = ModelSpread { work: 0.014, loss: 0.06, choke: 0.02, surge: 0.0 };
/// Best isentropic efficiency of wheels up to [`SMALL`], total to total, from memory. An estimate outside it widens its own
/// band by the distance.
pub const SMALL_PEAK: [f64; 2] = [0.70, 0.80];
/// The largest outer diameter that [`SMALL_PEAK`] speaks of.
pub const SMALL: crate::quantity::Length = crate::quantity::units::mm(100.0);
