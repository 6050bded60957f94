//! A candidate turbocharger: what is known of its compressor, and its turbine housings.

use super::AreaBand;
use super::stated::StatedFigure;
use crate::compressor::{
    Combined, CompressorMap, CompressorWheel, EstimateError, EstimatedMap, LinePoint, MapEstimate,
    MapLinesError, ReadWheel, Reference, SimilarMachine, WheelGeometry, WheelLines, WheelReading,
};
use crate::formula::{FormulaError, checked};
use crate::quantity::units::{kelvin, kpa, mm};
use crate::quantity::{Fraction, ShaftSpeed, ThermalConductance};
use crate::turbine::Turbine;

/// What is known of the compressor.
#[derive(Clone, Debug, PartialEq)]
pub enum Compressor {
    /// A map.
    Map(Box<CompressorMap>),
    /// A map estimated from a measured wheel, with its band; or printed speed lines with an efficiency estimated so.
    Estimated(Box<EstimatedMap>),
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
/// let read = Candidate::from_wheel("A", &wheel)?;
/// assert_eq!(read.len(), 2); // each reading is a machine of its own
/// let a = read[0].clone().housing("as bought", turbine);
/// assert_eq!(a.label(), "A, inducer 46.4 mm");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    name: String,
    reading: Option<(WheelReading, Fraction)>,
    compressor: Compressor,
    evidence: Option<Box<Combined>>,
    stated: Vec<StatedFigure>,
    housings: Vec<Housing>,
    speed_limit: Option<ShaftSpeed>,
    heat_conductance: Option<ThermalConductance>,
}

/// Inducer over outer diameter where it stays as it is and only has to be named.
const TRIM: f64 = 0.75;

/// The reference that estimated maps are given to: 298.15 K and 100 kPa. A choice; nothing depends on it.
pub(crate) const ESTIMATED_AT: (crate::quantity::Temperature, crate::quantity::Pressure) =
    (kelvin(298.15), kpa(100.0));

impl Candidate {
    /// A unit with a compressor map.
    pub fn with_map(name: impl Into<String>, map: CompressorMap) -> Self {
        Self::new(name.into(), Compressor::Map(Box::new(map)))
    }
    /// A unit without a published map, by a wheel measured with calipers: one candidate for each reading of its doubtful
    /// dimensions, each with the map estimated for it. What was not measured stands as a default with its spread.
    ///
    /// # Errors
    ///
    /// [`EstimateError`] for dimensions that no wheel has, or that give no map; it names the reading where there are several.
    pub fn from_wheel(name: &str, wheel: &CompressorWheel) -> Result<Vec<Self>, EstimateError> {
        let made = |read: ReadWheel| {
            let wheel = read.builder.build().map_err(EstimateError::from);
            let made = wheel.and_then(|wheel| Self::with_geometry(name, wheel));
            made.map(|one| one.read_as(&read)).map_err(|error| read.named(error))
        };
        wheel.as_read().into_iter().map(made).collect()
    }
    /// A unit with the map estimated from the geometry of its wheel, one reading of each dimension.
    ///
    /// # Errors
    ///
    /// [`EstimateError`] for a wheel that gives no map.
    pub fn with_geometry(name: &str, wheel: WheelGeometry) -> Result<Self, EstimateError> {
        let (temperature, pressure) = ESTIMATED_AT;
        Self::with_estimate(name, &wheel.estimate(Reference::new(temperature, pressure)?)?)
    }
    /// A unit with the estimate that evidence was weighed into. It keeps what each piece was worth.
    ///
    /// # Errors
    ///
    /// As [`Candidate::with_estimate`].
    pub fn with_evidence(name: &str, combined: Combined) -> Result<Self, EstimateError> {
        let plain = Self::with_estimate(name, combined.estimate())?;
        Ok(Self { evidence: Some(Box::new(combined)), ..plain })
    }
    /// A unit with printed speed lines whose efficiency its wheel's estimate gives: judged on the lines as printed, with the
    /// efficiency and on both sides of its band.
    pub fn with_lines(name: impl Into<String>, lines: WheelLines) -> Self {
        let plain = Self::new(name.into(), Compressor::Estimated(Box::new(EstimatedMap::of_lines(&lines))));
        Self { evidence: Some(Box::new(lines.into_combined())), ..plain }
    }
    /// Says what figures its evidence stated.
    #[cfg(feature = "study")]
    pub(crate) fn stating(self, stated: Vec<StatedFigure>) -> Self {
        Self { stated, ..self }
    }
    /// A unit with an estimated map.
    ///
    /// # Errors
    ///
    /// [`EstimateError`] for an estimate that gives no map on a side of its band.
    pub fn with_estimate(name: &str, estimate: &MapEstimate) -> Result<Self, EstimateError> {
        Ok(Self::new(name.into(), Compressor::Estimated(Box::new(estimate.with_sides()?))))
    }
    /// Says which reading of a doubtful wheel it stands for, and what that reading counts before any evidence. Candidates of
    /// one name with readings stand for one machine.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let wheel = CompressorWheel::new(mm(46.4), mm(61.0))?.backsweep(one_of([deg(30.0), deg(40.0)]))?;
    /// for read in wheel.as_read() {
    ///     let geometry = read.builder.recirculation_slot().build()?; // with what else is known of it
    ///     let candidate = Candidate::with_geometry("A", geometry)?.read_as(&read);
    ///     assert_eq!(candidate.label(), format!("A, {}", read.reading));
    ///     assert_eq!(candidate.reading_weight(), Some(percent(50.0)));
    /// }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn read_as(mut self, read: &ReadWheel) -> Self {
        let in_doubt = !read.reading.dimensions().is_empty();
        self.reading = in_doubt.then(|| (read.reading.clone(), read.weight));
        self
    }
    fn new(name: String, compressor: Compressor) -> Self {
        Self {
            name,
            reading: None,
            compressor,
            evidence: None,
            stated: Vec::new(),
            housings: Vec::new(),
            speed_limit: None,
            heat_conductance: None,
        }
    }
    /// The same unit with the map on one side of its estimate's band; `None` for a published map.
    pub(crate) fn on(&self, side: AreaBand) -> Option<Self> {
        let Compressor::Estimated(estimated) = &self.compressor else { return None };
        let map = match side {
            AreaBand::Worse => estimated.worse(),
            AreaBand::Estimate => estimated.central(),
            AreaBand::Better => estimated.better(),
        };
        Some(Self { compressor: Compressor::Map(Box::new(map.clone())), ..self.clone() })
    }
    /// The same unit with a similar compressor of another size that passes more flow by a factor at the same pressure
    /// ratios. `None` where no such map can be made.
    pub(super) fn with_flow_scaled(&self, factor: f64) -> Option<Self> {
        // Only the ratio of the diameters counts.
        let known = SimilarMachine { map: self.map(), outer: mm(100.0), inducer: None, clearances: None };
        let size = factor.sqrt();
        let scaled = known.scaled_to(known.outer * size, known.outer * (TRIM * size)).ok()?;
        let speed_limit = self.speed_limit.map(|limit| limit / size);
        Some(Self {
            compressor: Compressor::Map(Box::new(scaled.map().clone())),
            speed_limit,
            ..self.clone()
        })
    }
    /// Two of this unit in parallel, each with half the air and half the exhaust: map and turbines pass twice the flow at
    /// the same shaft speed, and the rotors hold twice the energy. Call it after the housings are added.
    ///
    /// Two stages in series are another machine: between them stand a second map, a second cooler and valves that this
    /// balance does not know, and they are not sized.
    ///
    /// # Errors
    ///
    /// [`MapLinesError`] where the doubled map is none, for instance because it passes more than a map may.
    pub fn in_parallel(self) -> Result<Self, MapLinesError> {
        let map = self.map();
        let title = format!("two of {}", map.title());
        let both = map.altered(title, map.provenance(), 1.0, |p| LinePoint { flow: p.flow * 2.0, ..p })?;
        let pair = |one: Housing| Housing { turbine: one.turbine.in_parallel(), ..one };
        let housings = self.housings.into_iter().map(pair).collect();
        let heat_conductance = self.heat_conductance.map(|one| one * 2.0);
        Ok(Self { compressor: Compressor::Map(Box::new(both)), housings, heat_conductance, ..self })
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
    /// Sets the conductance from the exhaust before the turbine through the housings to the compressed air, 0 to 5 W/K: 0.1
    /// to 0.6 W/K for wheels of 40 to 70 mm (from memory), less with water in the bearing housing. Without it no heat
    /// flows over. A map that was measured with hot gas before the turbine holds such heat already:
    /// [`CompressorMap::without_heat`].
    pub fn heat_flow(mut self, conductance: ThermalConductance) -> Result<Self, FormulaError> {
        const NAME: &str = "shaft::Candidate::heat_flow";
        let words = "conductance from the exhaust to the compressed air";
        self.heat_conductance = Some(checked(NAME, "conductance", words, conductance, 0.0, 5.0)?);
        Ok(self)
    }
    /// The conductance from the exhaust to the compressed air, where it is stated.
    pub fn heat_conductance(&self) -> Option<ThermalConductance> {
        self.heat_conductance
    }
    /// Its name.
    pub fn name(&self) -> &str {
        &self.name
    }
    /// Its name, and which reading it stands for: "A, inducer 46.4 mm".
    pub fn label(&self) -> String {
        match &self.reading {
            Some((reading, _)) => format!("{}, {reading}", self.name),
            None => self.name.clone(),
        }
    }
    #[cfg(feature = "study")]
    pub(crate) fn is_called(&self, name: &str) -> bool {
        self.name == name || self.label() == name
    }
    /// The reading that it stands for, where a dimension of its wheel was read in several ways.
    pub fn reading(&self) -> Option<&WheelReading> {
        self.reading.as_ref().map(|(reading, _)| reading)
    }
    /// What that reading counts before any evidence.
    pub fn reading_weight(&self) -> Option<Fraction> {
        self.reading.as_ref().map(|(_, weight)| *weight)
    }
    /// The estimate behind its map, where none is published.
    pub fn estimated(&self) -> Option<&EstimatedMap> {
        match &self.compressor {
            Compressor::Map(_) => None,
            Compressor::Estimated(estimated) => Some(estimated),
        }
    }
    /// The estimate that is its whole map: of printed lines only the efficiency is estimated.
    #[cfg(any(feature = "chart", feature = "study"))]
    pub(crate) fn estimated_map(&self) -> Option<&EstimatedMap> {
        self.estimated().filter(|estimated| estimated.printed_lines().is_none())
    }
    /// What of its map is estimated, as the end of a title.
    #[cfg(feature = "chart")]
    pub(crate) fn title_end(&self) -> &'static str {
        match self.estimated().map(EstimatedMap::printed_lines) {
            None => "",
            Some(None) => ", estimated map",
            Some(Some(_)) => ", estimated efficiency",
        }
    }
    /// The evidence weighed into its estimate, and what each piece was worth.
    pub fn evidence(&self) -> Option<&Combined> {
        self.evidence.as_deref()
    }
    /// The figures that its evidence stated.
    pub(crate) fn stated(&self) -> &[StatedFigure] {
        &self.stated
    }
    /// What is known of its compressor.
    pub fn compressor(&self) -> &Compressor {
        &self.compressor
    }
    /// Its map, published or estimated.
    pub fn map(&self) -> &CompressorMap {
        match &self.compressor {
            Compressor::Map(map) => map,
            Compressor::Estimated(estimated) => estimated.central(),
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
