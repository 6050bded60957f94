//! The wheel as it was measured: what is known is given, what is not stands as a default with its spread.

use super::builder::{InducerAngle, Outlet};
use super::defaults::{self, DimensionDefault};
use super::estimated::TIP_SPEEDS;
use super::shape::Dimensions;
use super::{Factor, Factors, Material, WheelBuilder};
use crate::formula::Giver;
use crate::quantity::*;

/// A wheel whose dimensions can belong together.
///
/// ```
/// use shaftwork::prelude::*;
/// let wheel = WheelGeometry::builder(mm(46.4), mm(61.0)).backsweep(deg(40.0)).blades(6, 6).build()?;
/// assert_eq!(wheel.assumed().count(), 6); // hub, inducer angle, exit width, clearance, diffuser radius and width
/// let swapped = WheelGeometry::builder(mm(61.0), mm(46.4)).build().unwrap_err();
/// assert!(swapped.to_string().contains("inducer tip diameter 61.00 mm is outside"), "{swapped}");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WheelGeometry(WheelBuilder);

impl WheelGeometry {
    /// Starts with inducer tip diameter and outer diameter, which every wheel needs.
    pub fn builder(inducer: Length, outer: Length) -> WheelBuilder {
        WheelBuilder {
            inducer,
            outer,
            hub: None,
            angle: None,
            throat: None,
            width: None,
            backsweep: None,
            blades: None,
            clearance: None,
            diffuser_ratio: None,
            diffuser_widths: None,
            outlet: Outlet::Volute,
            vanes: None,
            slot: false,
            material: Material::CastAluminium,
            speed_limit: None,
            spreads: [0.0; Factor::ALL.len()],
        }
    }
    /// Wraps what [`WheelBuilder::build`] has checked.
    pub(super) fn checked(builder: WheelBuilder) -> Self {
        Self(builder)
    }
    /// Outer diameter.
    pub fn outer(&self) -> Length {
        self.0.outer
    }
    /// Inducer tip diameter.
    pub fn inducer(&self) -> Length {
        self.0.inducer
    }
    /// The material.
    pub fn material(&self) -> Material {
        self.0.material
    }
    /// The tip speed at which its map ends: the cautious one of the material, or where the maker's limit is higher, that,
    /// as far as the mean line goes (700 m/s).
    pub fn highest_tip_speed(&self) -> Velocity {
        let cautious = self.material().cautious_tip_speed();
        let limit = self.0.speed_limit.map_or(0.0, |limit| limit.si() * self.outer().si() / 2.0);
        Velocity::from_si_unchecked(cautious.si().max(limit.min(TIP_SPEEDS[1])))
    }
    /// The maker's limit of the shaft speed, where the map ends at it.
    pub(crate) fn raised_to(&self) -> Option<ShaftSpeed> {
        self.0.speed_limit.filter(|limit| {
            let tip_speed = limit.si() * self.outer().si() / 2.0;
            tip_speed > self.material().cautious_tip_speed().si() && tip_speed <= TIP_SPEEDS[1]
        })
    }
    /// Whether it has a recirculation slot.
    pub fn has_slot(&self) -> bool {
        self.0.slot
    }
    /// Whether its diffuser has vanes.
    pub fn has_vanes(&self) -> bool {
        self.0.vanes.is_some()
    }
    /// Clearance over exit width, where both were measured.
    #[cfg(feature = "study")]
    pub(crate) fn clearance_share(&self) -> Option<Fraction> {
        Some(Fraction::from_si_unchecked(self.0.clearance? / self.0.width?))
    }
    /// The dimensions that were not given, with what stands in for them.
    pub fn assumed(&self) -> impl Iterator<Item = &'static DimensionDefault> {
        let builder = self.0;
        Factor::ALL.into_iter().filter(move |&factor| builder.is_open(factor)).filter_map(defaults::of)
    }
    /// Whether a factor moves anything on this wheel: a known dimension does not vary, unless it was given with a spread.
    pub fn varies(&self, factor: Factor) -> bool {
        match factor {
            Factor::VaneRecovery => self.has_vanes(),
            factor => defaults::of(factor).is_none() || self.0.is_open(factor) || self.0.spread(factor) > 0.0,
        }
    }
    /// What a record of this wheel's map starts from: each dimension as given, or the default that stands in.
    pub(crate) fn given<S>(&self, g: &impl Giver<S>) -> Vec<S> {
        let b = &self.0;
        let share = Fraction::from_si_unchecked;
        let open = |default: &DimensionDefault| share(default.value);
        let degrees = |default: &DimensionDefault| Angle::from_si_unchecked(default.value.to_radians());
        let number = |count: u8| share(f64::from(count));
        let [full, splitters] = b.blades.unwrap_or(defaults::BLADES);
        let mut given = vec![
            g.give("wheel.inducer", "", b.inducer),
            g.give("wheel.exducer", "", b.outer),
            g.give("wheel.blades", "", number(full)),
            g.give("wheel.splitters", "", number(splitters)),
            match b.hub {
                Some(hub) => g.give("wheel.hub", "", hub),
                None => g.give("wheel.hub_share", "", open(&defaults::HUB)),
            },
            match b.width {
                Some(width) => g.give("wheel.exit_width", "", width),
                None => g.give("wheel.exit_share", "", open(&defaults::EXIT_WIDTH)),
            },
            g.give("wheel.backsweep", "", b.backsweep.unwrap_or_else(|| degrees(&defaults::BACKSWEEP))),
            g.give(
                "wheel.clearance",
                "",
                b.clearance.unwrap_or(Length::from_si_unchecked(1e-3 * defaults::CLEARANCE.value)),
            ),
            g.give("wheel.diffuser_ratio", "", b.diffuser_ratio.unwrap_or(open(&defaults::DIFFUSER_RATIO))),
        ];
        given.extend(match b.angle {
            Some(InducerAngle::Tip(angle)) => Some(g.give("wheel.inducer_tip_angle", "", angle)),
            Some(InducerAngle::Mean(angle)) => Some(g.give("wheel.inducer_mean_angle", "", angle)),
            None if b.throat.is_some() => None,
            None => Some(g.give("wheel.inducer_tip_angle", "", degrees(&defaults::INDUCER_ANGLE))),
        });
        given.extend(b.throat.map(|throat| g.give("wheel.throat", "", throat)));
        match b.diffuser_widths {
            Some(widths) => {
                let ends = ["inlet", "end"].into_iter().zip(widths);
                given.extend(ends.map(|(end, width)| g.give("wheel.diffuser_width", end, width)));
            }
            None => given.push(g.give("wheel.diffuser_share", "", open(&defaults::DIFFUSER_WIDTH))),
        }
        if let Some(vanes) = &b.vanes {
            given.extend(vanes.given(g));
        }
        given
    }
    pub(super) fn dimensions(&self, factors: &Factors) -> Dimensions {
        self.0.dimensions(factors)
    }
}
