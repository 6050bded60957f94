//! A candidate turbocharger: what is known of its compressor, and its turbine housings.

use crate::compressor::{CompressorMap, CompressorWheel};
use crate::quantity::{Efficiency, ShaftSpeed};
use crate::turbine::Turbine;

/// What is known of the compressor.
#[derive(Clone, Debug, PartialEq)]
pub enum Compressor {
    /// A map.
    Map(CompressorMap),
    /// A wheel measured with calipers, and the efficiency assumed for it.
    Wheel(CompressorWheel, Efficiency),
}

/// A turbine housing by name.
#[derive(Clone, Debug, PartialEq)]
pub struct Housing {
    /// Free text.
    pub name: String,
    /// The turbine with this housing.
    pub turbine: Turbine,
}

/// A candidate turbocharger.
///
/// ```
/// use shaftwork::prelude::*;
/// let wheel = CompressorWheel::new(one_of([mm(46.4), mm(48.2)]), mm(61.0))?;
/// let turbine = Turbine::from_area_over_radius(mm(17.8), mm(60.0))?;
/// let a = Candidate::with_wheel("A", wheel).housing("as bought", turbine);
/// assert!(a.map().is_none());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    name: String,
    compressor: Compressor,
    housings: Vec<Housing>,
    speed_limit: Option<ShaftSpeed>,
}

/// Isentropic efficiency assumed for a wheel without a map: from memory 0.70 to 0.80 at the peak of
/// wheels of 40 to 80 mm, less away from it.
pub const ASSUMED_EFFICIENCY: f64 = 0.70;

impl Candidate {
    /// A unit with a compressor map.
    pub fn with_map(name: impl Into<String>, map: CompressorMap) -> Self {
        Self::new(name.into(), Compressor::Map(map))
    }
    /// A unit without a map, by its measured wheel.
    pub fn with_wheel(name: impl Into<String>, wheel: CompressorWheel) -> Self {
        use crate::quantity::Quantity;
        Self::new(name.into(), Compressor::Wheel(wheel, Efficiency::from_si_unchecked(ASSUMED_EFFICIENCY)))
    }
    fn new(name: String, compressor: Compressor) -> Self {
        Self { name, compressor, housings: Vec::new(), speed_limit: None }
    }
    /// Adds a turbine housing.
    pub fn housing(mut self, name: impl Into<String>, turbine: Turbine) -> Self {
        self.housings.push(Housing { name: name.into(), turbine });
        self
    }
    /// Sets the highest shaft speed that its maker or seller allows.
    pub fn speed_limit(mut self, limit: ShaftSpeed) -> Self {
        self.speed_limit = Some(limit);
        self
    }
    /// Its name.
    pub fn name(&self) -> &str {
        &self.name
    }
    /// What is known of its compressor.
    pub fn compressor(&self) -> &Compressor {
        &self.compressor
    }
    /// Its map, if it has one.
    pub fn map(&self) -> Option<&CompressorMap> {
        match &self.compressor {
            Compressor::Map(map) => Some(map),
            Compressor::Wheel(..) => None,
        }
    }
    /// Its housings.
    pub fn housings(&self) -> &[Housing] {
        &self.housings
    }
    /// The stated highest shaft speed.
    pub fn highest_speed(&self) -> Option<ShaftSpeed> {
        self.speed_limit
    }
}
