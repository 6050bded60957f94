//! Giving a wheel's dimensions, and what they must satisfy together.

use super::defaults::{self, DimensionDefault};
use super::geometry_error::within;
use super::shape::{Dimensions, throat_from_tip};
use super::vanes::Around;
use super::{
    Factor, Factors, GeometryError, Material, VanedDiffuser, WheelGeometry, coefficients as k, throat_area,
};
use crate::compressor::inducer_area;
use crate::quantity::*;

/// Where the outlet pressure is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Outlet {
    /// Behind a volute, as on a turbocharger.
    Volute,
    /// At the diffuser's end, as on a research rig.
    DiffuserEnd,
}

/// A wheel's dimensions while they are being given; see [`WheelGeometry::builder`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WheelBuilder {
    pub(super) inducer: Length,
    pub(super) outer: Length,
    pub(super) hub: Option<Length>,
    pub(super) angle: Option<InducerAngle>,
    pub(super) throat: Option<Area>,
    pub(super) width: Option<Length>,
    pub(super) backsweep: Option<Angle>,
    pub(super) blades: [u8; 2],
    pub(super) clearance: Option<Length>,
    pub(super) diffuser_ratio: Option<Fraction>,
    pub(super) diffuser_widths: Option<[Length; 2]>,
    pub(super) outlet: Outlet,
    pub(super) vanes: Option<VanedDiffuser>,
    pub(super) slot: bool,
    pub(super) material: Material,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum InducerAngle {
    Tip(Angle),
    Mean(Angle),
}

impl WheelBuilder {
    /// Hub diameter of the inducer.
    #[must_use]
    pub fn hub(mut self, hub: Length) -> Self {
        self.hub = Some(hub);
        self
    }
    /// Blade angle at the inducer's tip, from axial.
    #[must_use]
    pub fn inducer_tip_angle(mut self, angle: Angle) -> Self {
        self.angle = Some(InducerAngle::Tip(angle));
        self
    }
    /// Blade angle at the inducer's root-mean-square radius, from axial.
    #[must_use]
    pub fn inducer_mean_angle(mut self, angle: Angle) -> Self {
        self.angle = Some(InducerAngle::Mean(angle));
        self
    }
    /// Throat area between the full blades of the inducer.
    #[must_use]
    pub fn throat(mut self, area: Area) -> Self {
        self.throat = Some(area);
        self
    }
    /// Width of the blades at the exit.
    #[must_use]
    pub fn exit_width(mut self, width: Length) -> Self {
        self.width = Some(width);
        self
    }
    /// Backsweep at the exit, from radial.
    #[must_use]
    pub fn backsweep(mut self, angle: Angle) -> Self {
        self.backsweep = Some(angle);
        self
    }
    /// Full blades and splitter blades. Not given: 6 + 6.
    #[must_use]
    pub fn blades(mut self, full: u8, splitters: u8) -> Self {
        self.blades = [full, splitters];
        self
    }
    /// Clearance between blade and housing at the exit.
    #[must_use]
    pub fn exit_clearance(mut self, clearance: Length) -> Self {
        self.clearance = Some(clearance);
        self
    }
    /// Outer radius of the diffuser, vaneless or with vanes, over the wheel's radius.
    #[must_use]
    pub fn diffuser_ratio(mut self, ratio: Fraction) -> Self {
        self.diffuser_ratio = Some(ratio);
        self
    }
    /// Width of a parallel-walled diffuser.
    #[must_use]
    pub fn diffuser_width(self, width: Length) -> Self {
        self.diffuser_widths(width, width)
    }
    /// Widths of the diffuser at its inlet and end.
    #[must_use]
    pub fn diffuser_widths(mut self, inlet: Length, end: Length) -> Self {
        self.diffuser_widths = Some([inlet, end]);
        self
    }
    /// Says that the diffuser has vanes, and what is known of them. The diffuser's width is their height.
    #[must_use]
    pub fn vaned_diffuser(mut self, vanes: VanedDiffuser) -> Self {
        self.vanes = Some(vanes);
        self
    }
    /// Takes the outlet at the diffuser's end, without a volute.
    #[must_use]
    pub fn without_volute(mut self) -> Self {
        self.outlet = Outlet::DiffuserEnd;
        self
    }
    /// Says that the housing has a recirculation slot: surge at about 0.87 of the flow, for about 2 % of work. Both are
    /// from memory, and their wide spreads are in the band.
    #[must_use]
    pub fn recirculation_slot(mut self) -> Self {
        self.slot = true;
        self
    }
    /// The material. Not given: cast aluminium.
    #[must_use]
    pub fn material(mut self, material: Material) -> Self {
        self.material = material;
        self
    }

    /// Checks that the dimensions can belong to one wheel.
    ///
    /// # Errors
    ///
    /// [`GeometryError`] with the first dimension that cannot, and why.
    pub fn build(self) -> Result<WheelGeometry, GeometryError> {
        let mm = |what, value: Length, [low, high]: [f64; 2], why| {
            within(what, value.mm(), [1e3 * low, 1e3 * high], "mm", why)
        };
        let deg = |what, value: Angle, range, why| within(what, value.deg(), range, "deg", why);
        let count = |what, value: u8, range, why| within(what, f64::from(value), range, "", why);
        let (inducer, outer) = (self.inducer.si(), self.outer.si());
        mm("outer diameter", self.outer, [0.02, 0.6], "wheels from 20 to 600 mm are taken")?;
        let share = |low: f64, high: f64, of: f64| [low * of, high * of];
        let why =
            "the inducer of a centrifugal wheel is 0.4 to 0.95 of its outer diameter; are they swapped?";
        mm("inducer tip diameter", self.inducer, share(0.4, 0.95, outer), why)?;
        if let Some(hub) = self.hub {
            let why = "the hub is 0.1 to 0.8 of the inducer's tip diameter";
            mm("inducer hub diameter", hub, share(0.1, 0.8, inducer), why)?;
        }
        let angle_why = "inducer blades stand 30 to 72 degrees from axial";
        match self.angle {
            Some(InducerAngle::Tip(angle)) => deg("inducer tip angle", angle, [35.0, 72.0], angle_why)?,
            Some(InducerAngle::Mean(angle)) => deg("inducer mean angle", angle, [30.0, 70.0], angle_why)?,
            None => {}
        }
        let central = self.dimensions(&Factors::central());
        if let Some(throat) = self.throat {
            let annulus = 1e6 * inducer_area::of(central.inducer, central.hub);
            let why = "a throat is 0.3 to 0.9 of the inducer's annulus";
            within("throat area", throat.mm2(), [0.3 * annulus, 0.9 * annulus], "mm2", why)?;
        }
        let height = (central.inducer - central.hub) / 2.0;
        if let Some(width) = self.width {
            let why = "the exit is at least 0.02 of the outer diameter and narrower than the inducer's blades are high";
            mm("exit width", width, [0.02 * outer, height], why)?;
        }
        if let Some(angle) = self.backsweep {
            deg("backsweep", angle, [0.0, 65.0], "blades lean back by 0 (radial) to 65 degrees")?;
        }
        let [full, splitters] = self.blades;
        count("full blades", full, [4.0, 30.0], "wheels have 4 to 30 full blades")?;
        count(
            "splitter blades",
            splitters,
            [0.0, 2.0 * f64::from(full)],
            "at most two splitters stand between full blades",
        )?;
        if let Some(clearance) = self.clearance {
            let why = "a clearance is less than 0.3 of the exit width";
            mm("clearance at the exit", clearance, [0.0, 0.3 * central.width], why)?;
        }
        if let Some(ratio) = self.diffuser_ratio {
            let why = "a diffuser ends at 1.05 to 2.5 of the wheel's radius";
            within("diffuser radius ratio", ratio.si(), [1.05, 2.5], "", why)?;
        }
        for width in self.diffuser_widths.into_iter().flatten() {
            mm(
                "diffuser width",
                width,
                share(0.4, 1.4, central.width),
                "it is 0.4 to 1.4 of the exit width",
            )?;
        }
        if let Some(vanes) = &self.vanes {
            vanes.check(&self.around(&central), self.diffuser_ratio)?;
        }
        Ok(WheelGeometry::checked(self))
    }

    /// Whether this factor stands for a dimension that was not given.
    pub(super) fn is_open(&self, factor: Factor) -> bool {
        match factor {
            Factor::Work | Factor::Loss | Factor::Choke | Factor::Surge | Factor::VaneRecovery => false,
            Factor::Hub => self.hub.is_none(),
            Factor::InducerAngle => self.angle.is_none() && self.throat.is_none(),
            Factor::ExitWidth => self.width.is_none(),
            Factor::Backsweep => self.backsweep.is_none(),
            Factor::Clearance => self.clearance.is_none(),
            Factor::DiffuserRatio => self.diffuser_ratio.is_none(),
            Factor::DiffuserWidth => self.diffuser_widths.is_none(),
            Factor::VaneThroat | Factor::VaneRadius | Factor::VaneAngle => {
                self.vanes.is_some_and(|vanes| vanes.is_open(factor))
            }
        }
    }

    pub(super) fn dimensions(&self, factors: &Factors) -> Dimensions {
        let shifted =
            |default: &DimensionDefault, factor| default.value + default.sigma * factors.get(factor);
        let spread = |default: &DimensionDefault, factor| {
            default.value * (default.sigma / default.value * factors.get(factor)).exp()
        };
        let (inducer, outer) = (self.inducer.si(), self.outer.si());
        let hub = self.hub.map_or_else(|| inducer * spread(&defaults::HUB, Factor::Hub).min(0.8), Length::si);
        let default_angle = || {
            let tip = shifted(&defaults::INDUCER_ANGLE, Factor::InducerAngle).min(80.0).to_radians();
            throat_from_tip(inducer, hub, tip)
        };
        let annulus = inducer_area::of(inducer, hub);
        let (angle, throat) = match (self.angle, self.throat) {
            (Some(InducerAngle::Tip(tip)), _) => throat_from_tip(inducer, hub, tip.si()),
            (Some(InducerAngle::Mean(mean)), _) => (mean.si(), throat_area::of(annulus, mean.si())),
            (None, Some(area)) => ((area.si() / (annulus * k::THROAT_FACTOR)).min(0.95).acos(), area.si()),
            (None, None) => default_angle(),
        };
        let throat = self.throat.map_or(throat, Area::si);
        let widest = 0.95 * (inducer - hub) / 2.0;
        let width = self.width.map_or_else(
            || {
                let area = throat * spread(&defaults::EXIT_WIDTH, Factor::ExitWidth);
                (area / (core::f64::consts::PI * outer)).clamp(0.02 * outer, widest)
            },
            Length::si,
        );
        let backsweep = self.backsweep.map_or_else(
            || shifted(&defaults::BACKSWEEP, Factor::Backsweep).clamp(0.0, 65.0).to_radians(),
            Angle::si,
        );
        let clearance = self.clearance.map_or_else(
            || {
                let share = defaults::CLEARANCE.value * 1e-3;
                share.min(0.1 * width) * spread(&defaults::CLEARANCE, Factor::Clearance)
                    / defaults::CLEARANCE.value
            },
            Length::si,
        );
        let diffuser_ratio = self.diffuser_ratio.map_or_else(
            || shifted(&defaults::DIFFUSER_RATIO, Factor::DiffuserRatio).max(1.05),
            Fraction::si,
        );
        let diffuser_widths = self.diffuser_widths.map_or_else(
            || [width * spread(&defaults::DIFFUSER_WIDTH, Factor::DiffuserWidth); 2],
            |widths| widths.map(Length::si),
        );
        let [blades, splitters] = self.blades.map(f64::from);
        let volute = self.outlet == Outlet::Volute;
        let mut dimensions = Dimensions {
            inducer,
            hub,
            outer,
            angle,
            throat,
            width,
            backsweep,
            blades,
            splitters,
            clearance,
            diffuser_widths,
            diffuser_ratio,
            volute,
            vanes: None,
        };
        dimensions.vanes = self.vanes.map(|vanes| vanes.dimensions(factors, &self.around(&dimensions)));
        if let Some(vanes) = dimensions.vanes {
            dimensions.diffuser_ratio = diffuser_ratio.max(1.05 * vanes.ratio);
        }
        dimensions
    }

    fn around(&self, d: &Dimensions) -> Around {
        let outer_radius = d.outer / 2.0;
        Around {
            outer_radius,
            radius_ratio: ((d.inducer * d.inducer + d.hub * d.hub) / 8.0).sqrt() / outer_radius,
            inducer_throat: d.throat,
            width: d.diffuser_widths[0],
            tip_speed: self.material.cautious_tip_speed().si(),
        }
    }
}
