//! A diffuser's vanes as they were measured, and what stands in for what was not.

use super::defaults::{self, DimensionDefault};
use super::geometry_error::within;
use super::{Factor, Factors, GeometryError, coefficients as k};
use super::{matched_vane_throat, vane_inlet_angle, vane_throat_area};
use crate::formula::Giver;
use crate::quantity::*;
use core::f64::consts::PI;

/// Speed of sound that a tip speed is compared with where the throats of wheel and vanes are matched, m/s.
const SOUND: f64 = 340.29;
/// Between which shares of the cylinder at the leading edges a throat can lie.
const SHARES: [f64; 2] = [0.06, 0.75];

/// A diffuser with vanes: what is known of them is given, the rest stands as a default with its spread.
///
/// ```
/// use shaftwork::prelude::*;
/// let vanes = VanedDiffuser::new().vanes(17).leading_edge(fraction(1.09)).throat(mm2(330.0));
/// let wheel = WheelGeometry::builder(mm(46.4), mm(61.0)).exit_width(mm(4.6)).vaned_diffuser(vanes).build()?;
/// let estimate = wheel.estimate(Reference::new(kelvin(298.15), kpa(100.0))?)?;
/// let plain = WheelGeometry::builder(mm(46.4), mm(61.0)).exit_width(mm(4.6)).build()?;
/// let plain = plain.estimate(Reference::new(kelvin(298.15), kpa(100.0))?)?;
/// // The vanes choke before the inducer does.
/// let speed = corrected_rpm(100_000.0);
/// assert!(estimate.line(speed)?.choke < plain.line(speed)?.choke);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct VanedDiffuser {
    pub(super) count: Option<u8>,
    pub(super) ratio: Option<Fraction>,
    pub(super) angle: Option<Angle>,
    pub(super) throat: Option<VaneThroat>,
    pub(super) tip_speed: Option<Velocity>,
}

/// How the throat of the vanes was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum VaneThroat {
    Area(Area),
    Width(Length),
}

/// The vanes with everything known, in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Vanes {
    /// Radius of the leading edges over that of the wheel.
    pub ratio: f64,
    /// Vane angle there, from radial.
    pub angle: f64,
    /// Throat area of all vanes.
    pub throat: f64,
    /// Part of the ideal recovery that the channel reaches.
    pub recovery: f64,
}

/// What of the wheel the vanes' defaults follow from.
pub(super) struct Around {
    pub outer_radius: f64,
    /// Inducer's root-mean-square radius over it.
    pub radius_ratio: f64,
    pub inducer_throat: f64,
    /// Height of the vanes.
    pub width: f64,
    /// Tip speed at which both throats choke, where none was given.
    pub tip_speed: f64,
}

impl VanedDiffuser {
    /// Vanes of which nothing is known.
    pub fn new() -> Self {
        Self::default()
    }
    /// Number of vanes; needed where the throat is given by its width.
    #[must_use]
    pub fn vanes(mut self, count: u8) -> Self {
        self.count = Some(count);
        self
    }
    /// Radius of the vanes' leading edges over the wheel's.
    #[must_use]
    pub fn leading_edge(mut self, ratio: Fraction) -> Self {
        self.ratio = Some(ratio);
        self
    }
    /// Vane angle at the leading edge, from radial.
    #[must_use]
    pub fn inlet_angle(mut self, angle: Angle) -> Self {
        self.angle = Some(angle);
        self
    }
    /// Throat area of all vanes together.
    #[must_use]
    pub fn throat(mut self, area: Area) -> Self {
        self.throat = Some(VaneThroat::Area(area));
        self
    }
    /// Width of one throat, square to the flow. With the number of vanes and the width of the diffuser it gives the area.
    #[must_use]
    pub fn throat_width(mut self, width: Length) -> Self {
        self.throat = Some(VaneThroat::Width(width));
        self
    }
    /// Tip speed that wheel and vanes were matched for: there both choke. It gives the throat where neither area, width
    /// nor angle is known. Not given: the material's cautious highest tip speed.
    #[must_use]
    pub fn matched_at(mut self, tip_speed: Velocity) -> Self {
        self.tip_speed = Some(tip_speed);
        self
    }

    /// What a record of the wheel's map starts from, as [`super::WheelGeometry::given`].
    pub(super) fn given<S>(&self, g: &impl Giver<S>) -> Vec<S> {
        let share = Fraction::from_si_unchecked;
        let mut given =
            vec![g.give("wheel.vane_ratio", "", self.ratio.unwrap_or(share(defaults::VANE_RADIUS.value)))];
        given.extend(self.angle.map(|angle| g.give("wheel.vane_angle", "", angle)));
        given.extend(self.count.map(|count| g.give("wheel.diffuser_vanes", "", share(f64::from(count)))));
        match self.throat {
            Some(VaneThroat::Area(area)) => given.push(g.give("wheel.diffuser_throat", "", area)),
            Some(VaneThroat::Width(width)) => given.push(g.give("wheel.diffuser_throat_width", "", width)),
            None => given.push(g.give("wheel.vane_throat_share", "", share(defaults::VANE_THROAT.value))),
        }
        given.extend(self.tip_speed.map(|speed| g.give("wheel.matched_tip_speed", "", speed)));
        given
    }

    pub(super) fn is_open(&self, factor: Factor) -> bool {
        match factor {
            Factor::VaneRadius => self.ratio.is_none(),
            Factor::VaneAngle => self.angle.is_none(),
            Factor::VaneThroat => self.throat.is_none(),
            _ => false,
        }
    }

    pub(super) fn check(
        &self,
        around: &Around,
        diffuser_ratio: Option<Fraction>,
    ) -> Result<(), GeometryError> {
        if let Some(count) = self.count {
            within("diffuser vanes", f64::from(count), [5.0, 60.0], "", "diffusers have 5 to 60 vanes")?;
        }
        if let Some(ratio) = self.ratio {
            let why = "the vanes begin at 1.02 to 1.5 of the wheel's radius";
            within("vane leading-edge ratio", ratio.si(), [1.02, 1.5], "", why)?;
        }
        let vanes = self.dimensions(&Factors::central(), around);
        if let Some(end) = diffuser_ratio {
            let why = "the diffuser ends at least a twentieth of the radius behind its vanes' leading edges";
            within("diffuser radius ratio", end.si(), [1.05 * vanes.ratio, 2.5], "", why)?;
        }
        if let Some(angle) = self.angle {
            let why = "vanes stand 40 to 86 degrees from radial";
            within("vane angle", angle.deg(), [40.0, 86.0], "deg", why)?;
        }
        if let Some(speed) = self.tip_speed {
            let why = "both throats are matched at a tip speed of 150 to 700 m/s";
            within("matched tip speed", speed.si(), [150.0, 700.0], "m/s", why)?;
        }
        let cylinder = 2e6 * PI * around.outer_radius * vanes.ratio * around.width;
        let range = SHARES.map(|share| share * cylinder);
        let why = "a throat is 0.06 to 0.75 of the cylinder at the vanes' leading edges";
        match (self.throat, self.count) {
            (Some(VaneThroat::Area(area)), _) => within("diffuser throat", area.mm2(), range, "mm2", why),
            (Some(VaneThroat::Width(width)), Some(count)) => {
                let each = 1e-3 / (f64::from(count) * around.width);
                within("diffuser throat width", width.mm(), range.map(|area| each * area), "mm", why)
            }
            (Some(VaneThroat::Width(_)), None) => {
                Err(GeometryError::Missing { what: "diffuser throat width", needs: "the number of vanes" })
            }
            (None, _) => Ok(()),
        }
    }

    pub(super) fn dimensions(&self, factors: &Factors, around: &Around) -> Vanes {
        let shifted =
            |default: &DimensionDefault, factor| default.value + default.sigma * factors.get(factor);
        let ratio = self
            .ratio
            .map_or_else(|| shifted(&defaults::VANE_RADIUS, Factor::VaneRadius).max(1.02), Fraction::si);
        let (radius, width) = (ratio * around.outer_radius, around.width);
        let spread = (defaults::VANE_THROAT.sigma * factors.get(Factor::VaneThroat)).exp();
        let cylinder = 2.0 * PI * radius * width;
        let bounded = |area: f64| area.clamp(SHARES[0] * cylinder, SHARES[1] * cylinder);
        let throat = match (self.throat, self.angle) {
            (Some(VaneThroat::Area(area)), _) => area.si(),
            (Some(VaneThroat::Width(each)), _) => f64::from(self.count.unwrap_or(1)) * each.si() * width,
            (None, Some(angle)) => bounded(vane_throat_area::of(radius, width, angle.si()) * spread),
            (None, None) => {
                let mach = self.tip_speed.map_or(around.tip_speed, Velocity::si) / SOUND;
                bounded(matched_vane_throat::of(around.inducer_throat, around.radius_ratio, mach) * spread)
            }
        };
        let angle = self.angle.map_or_else(
            || {
                let asked = vane_inlet_angle::of(radius, width, throat);
                let off = shifted(&defaults::VANE_ANGLE, Factor::VaneAngle).to_radians();
                (asked + off).clamp(0.6, 1.5)
            },
            Angle::si,
        );
        let recovery = k::VANE_RECOVERY + k::VANE_RECOVERY_SIGMA * factors.get(Factor::VaneRecovery);
        Vanes { ratio, angle, throat, recovery: recovery.clamp(0.3, 0.98) }
    }
}
