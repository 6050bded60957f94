//! The wheel as it was measured: what is known is given, what is not stands as a default with its spread.

use super::builder::Outlet;
use super::defaults::{self, DimensionDefault};
use super::shape::Dimensions;
use super::{Factor, Factors, Material, WheelBuilder};
use crate::compressor::CompressorWheel;
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
            blades: defaults::BLADES,
            clearance: None,
            diffuser_ratio: None,
            diffuser_widths: None,
            outlet: Outlet::Volute,
            vaned: false,
            slot: false,
            material: Material::CastAluminium,
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
    /// Whether it has a recirculation slot.
    pub fn has_slot(&self) -> bool {
        self.0.slot
    }
    /// The dimensions that were not given, with what stands in for them.
    pub fn assumed(&self) -> impl Iterator<Item = &'static DimensionDefault> {
        let builder = self.0;
        Factor::ALL.into_iter().filter(move |&factor| builder.is_open(factor)).filter_map(defaults::of)
    }
    /// Whether a factor moves anything on this wheel: a known dimension does not vary.
    pub fn varies(&self, factor: Factor) -> bool {
        defaults::of(factor).is_none() || self.0.is_open(factor)
    }
    pub(super) fn dimensions(&self, factors: &Factors) -> Dimensions {
        self.0.dimensions(factors)
    }
}

impl CompressorWheel {
    /// A builder for each reading of the inducer, with the hub where it was measured.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let wheel = CompressorWheel::new(one_of([mm(46.4), mm(48.2)]), mm(61.0))?.hub(mm(13.5))?;
    /// for builder in wheel.geometries() {
    ///     assert!(builder.exit_width(mm(4.0)).build().is_ok());
    /// }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn geometries(&self) -> impl Iterator<Item = WheelBuilder> + '_ {
        self.readings().iter().map(|&inducer| {
            let builder = WheelGeometry::builder(inducer, self.exducer());
            self.measured_hub().map_or(builder, |hub| builder.hub(hub))
        })
    }
}
