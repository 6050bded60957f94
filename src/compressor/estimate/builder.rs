//! Giving a wheel's dimensions, and what they must satisfy together.

use super::defaults::{self, DimensionDefault};
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

/// The steepest blade angle that a spread leads to, rad: 80 degrees.
const STEEPEST: f64 = 1.396;

/// A wheel's dimensions while they are being given; see [`WheelGeometry::builder`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WheelBuilder {
    pub(in crate::compressor) inducer: Length,
    pub(in crate::compressor) outer: Length,
    pub(super) hub: Option<Length>,
    pub(super) angle: Option<InducerAngle>,
    pub(super) throat: Option<Area>,
    pub(super) width: Option<Length>,
    pub(super) backsweep: Option<Angle>,
    pub(super) blades: Option<[u8; 2]>,
    pub(super) clearance: Option<Length>,
    pub(super) diffuser_ratio: Option<Fraction>,
    pub(super) diffuser_widths: Option<[Length; 2]>,
    pub(super) outlet: Outlet,
    pub(super) vanes: Option<VanedDiffuser>,
    pub(super) slot: bool,
    pub(super) material: Material,
    pub(super) speed_limit: Option<ShaftSpeed>,
    /// One standard deviation of each dimension given, as a share of it.
    pub(super) spreads: [f64; Factor::ALL.len()],
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
    /// Full blades and splitter blades. Not given: 6 + 6, with the spread of [`defaults::BLADE_NUMBER`].
    #[must_use]
    pub fn blades(mut self, full: u8, splitters: u8) -> Self {
        self.blades = Some([full, splitters]);
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

    /// The highest shaft speed that the maker allows. Where its tip speed is above the material's cautious one, the map goes
    /// up to it.
    #[must_use]
    pub fn speed_limit(mut self, limit: ShaftSpeed) -> Self {
        self.speed_limit = Some(limit);
        self
    }
    /// One standard deviation of a dimension that was given, as a share of it, at most a half: the map's band then counts
    /// it. The inducer's factor stands for the throat where that is given, else for the blade angle. A default has a
    /// spread of its own; inducer tip, outer diameter, blades and vanes take none.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let wheel = WheelGeometry::builder(mm(46.4), mm(61.0)).exit_width(mm(4.0));
    /// assert!(!wheel.build()?.varies(Factor::ExitWidth));
    /// assert!(wheel.spread_of(Factor::ExitWidth, percent(5.0)).build()?.varies(Factor::ExitWidth));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn spread_of(mut self, dimension: Factor, share: Fraction) -> Self {
        self.spreads[dimension as usize] = share.si();
        self
    }

    /// Checks that the dimensions can belong to one wheel.
    ///
    /// # Errors
    ///
    /// [`GeometryError`] with the first dimension that cannot, and why.
    pub fn build(self) -> Result<WheelGeometry, GeometryError> {
        match self.problems().into_iter().next() {
            Some(problem) => Err(problem),
            None => Ok(WheelGeometry::checked(self)),
        }
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
            Factor::Blades => self.blades.is_none(),
            Factor::VaneThroat | Factor::VaneRadius | Factor::VaneAngle => {
                self.vanes.is_some_and(|vanes| vanes.is_open(factor))
            }
        }
    }

    /// One standard deviation of a dimension that was given, as a share of it.
    pub(super) fn spread(&self, factor: Factor) -> f64 {
        self.spreads[factor as usize]
    }

    pub(super) fn dimensions(&self, factors: &Factors) -> Dimensions {
        let known = |value: f64, factor| value * (self.spread(factor) * factors.get(factor)).exp();
        let shifted =
            |default: &DimensionDefault, factor| default.value + default.sigma * factors.get(factor);
        let spread = |default: &DimensionDefault, factor| {
            default.value * (default.sigma / default.value * factors.get(factor)).exp()
        };
        let (inducer, outer) = (self.inducer.si(), self.outer.si());
        let hub = self.hub.map_or_else(
            || inducer * spread(&defaults::HUB, Factor::Hub).min(0.8),
            |hub| known(hub.si(), Factor::Hub).min(0.8 * inducer),
        );
        let default_angle = || {
            let tip = shifted(&defaults::INDUCER_ANGLE, Factor::InducerAngle).min(80.0).to_radians();
            throat_from_tip(inducer, hub, tip)
        };
        let annulus = inducer_area::of(inducer, hub);
        let given = self.throat.map(|area| known(area.si(), Factor::InducerAngle).min(0.9 * annulus));
        let blade = |angle: Angle| match self.throat {
            Some(_) => angle.si(),
            None => known(angle.si(), Factor::InducerAngle).min(STEEPEST),
        };
        let (angle, throat) = match (self.angle, given) {
            (Some(InducerAngle::Tip(tip)), _) => throat_from_tip(inducer, hub, blade(tip)),
            (Some(InducerAngle::Mean(mean)), _) => (blade(mean), throat_area::of(annulus, blade(mean))),
            (None, Some(area)) => ((area / (annulus * k::THROAT_FACTOR)).min(0.95).acos(), area),
            (None, None) => default_angle(),
        };
        let throat = given.unwrap_or(throat);
        let widest = 0.95 * (inducer - hub) / 2.0;
        let width = self.width.map_or_else(
            || {
                let area = throat * spread(&defaults::EXIT_WIDTH, Factor::ExitWidth);
                (area / (core::f64::consts::PI * outer)).clamp(0.02 * outer, widest)
            },
            |width| match self.spread(Factor::ExitWidth) > 0.0 {
                true => known(width.si(), Factor::ExitWidth).clamp(0.02 * outer, widest),
                false => width.si(),
            },
        );
        let backsweep = self.backsweep.map_or_else(
            || shifted(&defaults::BACKSWEEP, Factor::Backsweep).clamp(0.0, 65.0).to_radians(),
            |angle| known(angle.si(), Factor::Backsweep).min(STEEPEST),
        );
        let clearance = self.clearance.map_or_else(
            || {
                let share = defaults::CLEARANCE.value * 1e-3;
                share.min(0.1 * width) * spread(&defaults::CLEARANCE, Factor::Clearance)
                    / defaults::CLEARANCE.value
            },
            |clearance| known(clearance.si(), Factor::Clearance),
        );
        let diffuser_ratio = self.diffuser_ratio.map_or_else(
            || shifted(&defaults::DIFFUSER_RATIO, Factor::DiffuserRatio).max(1.05),
            |ratio| known(ratio.si(), Factor::DiffuserRatio).max(1.05),
        );
        let diffuser_widths = self.diffuser_widths.map_or_else(
            || [width * spread(&defaults::DIFFUSER_WIDTH, Factor::DiffuserWidth); 2],
            |widths| widths.map(|width| known(width.si(), Factor::DiffuserWidth)),
        );
        let [blades, splitters] = match self.blades {
            Some(counted) => counted.map(f64::from),
            None => {
                let number = spread(&defaults::BLADE_NUMBER, Factor::Blades);
                defaults::BLADES.map(|count| f64::from(count) * number / defaults::BLADE_NUMBER.value)
            }
        };
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

    pub(super) fn around(&self, d: &Dimensions) -> Around {
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
