//! The engine: geometry, breathing, friction, and the air it needs for a power.

mod breathing;
mod demand;
mod exhaust;
mod exhaust_way;
mod heat_balance;
mod spark;
mod work;

pub use breathing::*;
pub use demand::*;
pub use exhaust::*;
pub use exhaust_way::*;
pub use heat_balance::*;
pub use spark::*;
pub use work::*;

use crate::formula::{FormulaError, checked};
use crate::quantity::units::nm;
use crate::quantity::*;

pub(crate) static FORMULAS: &[&[&crate::formula::Formula]] = &[
    breathing::BREATHING,
    work::WORK,
    exhaust::EXHAUST,
    exhaust_way::EXHAUST_WAY,
    heat_balance::HEAT_BALANCE,
    spark::SPARK,
];

/// A four-stroke spark-ignition engine.
///
/// ```
/// use shaftwork::prelude::*;
/// let engine = Engine::four_stroke(4, mm(84.0), mm(84.0), CompressionRatio::new(9.2)?)?
///     .volumetric_efficiency(percent(95.0))?
///     .torque_limit(nm(390.0))?;
/// assert_eq!(engine.displacement()?.to_string(), "1.862 L");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Engine {
    cylinders: u32,
    bore: Length,
    stroke: Length,
    compression_ratio: CompressionRatio,
    volumetric_efficiency: Fraction,
    work_factor: Fraction,
    torque_limit: Option<Torque>,
    speed_limit: Option<ShaftSpeed>,
}

impl Engine {
    /// Cylinders (1 to 16), bore and stroke (30 to 200 mm each), compression ratio (6 to 16).
    ///
    /// Volumetric efficiency and the work factor start at their defaults,
    /// [`DEFAULT_VOLUMETRIC_EFFICIENCY`] and [`DEFAULT_WORK_FACTOR`].
    pub fn four_stroke(
        cylinders: u32,
        bore: Length,
        stroke: Length,
        compression_ratio: CompressionRatio,
    ) -> Result<Self, FormulaError> {
        const NAME: &str = "engine::Engine::four_stroke";
        checked(
            NAME,
            "cylinders",
            "number of cylinders",
            Fraction::from_si_unchecked(f64::from(cylinders)),
            1.0,
            16.0,
        )?;
        Ok(Self {
            cylinders,
            bore: checked(NAME, "bore", "bore", bore, 0.03, 0.2)?,
            stroke: checked(NAME, "stroke", "stroke", stroke, 0.03, 0.2)?,
            compression_ratio: checked(
                NAME,
                "compression_ratio",
                "compression ratio",
                compression_ratio,
                6.0,
                16.0,
            )?,
            volumetric_efficiency: Fraction::from_si_unchecked(DEFAULT_VOLUMETRIC_EFFICIENCY),
            work_factor: Fraction::from_si_unchecked(DEFAULT_WORK_FACTOR),
            torque_limit: None,
            speed_limit: None,
        })
    }
    /// Volumetric efficiency referred to the manifold, 0.5 to 1.3.
    pub fn volumetric_efficiency(mut self, value: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "engine::Engine::volumetric_efficiency";
        self.volumetric_efficiency = checked(NAME, "value", "volumetric efficiency", value, 0.5, 1.3)?;
        Ok(self)
    }
    /// Indicated work over the work of the ideal cycle, 0.4 to 0.9; see [`indicated_efficiency`].
    pub fn work_factor(mut self, value: Fraction) -> Result<Self, FormulaError> {
        self.work_factor = checked("engine::Engine::work_factor", "value", "work factor", value, 0.4, 0.9)?;
        Ok(self)
    }
    /// The most torque that engine, clutch and gearbox stand, as their makers or users state it.
    pub fn torque_limit(mut self, limit: Torque) -> Result<Self, FormulaError> {
        let [low, high] = [nm(1.0), nm(20e3)].map(Torque::si);
        self.torque_limit =
            Some(checked("engine::Engine::torque_limit", "limit", "torque limit", limit, low, high)?);
        Ok(self)
    }
    /// The highest engine speed.
    pub fn speed_limit(mut self, limit: ShaftSpeed) -> Result<Self, FormulaError> {
        self.speed_limit =
            Some(checked("engine::Engine::speed_limit", "limit", "speed limit", limit, 50.0, 2500.0)?);
        Ok(self)
    }
    /// Displacement of all cylinders.
    pub fn displacement(&self) -> Result<Volume, FormulaError> {
        let cylinders = Count::from_si_unchecked(f64::from(self.cylinders));
        displacement(cylinders, swept_volume(self.bore, self.stroke)?)
    }
    /// Number of cylinders.
    pub fn cylinders(&self) -> u32 {
        self.cylinders
    }
    /// Bore.
    pub fn bore(&self) -> Length {
        self.bore
    }
    /// Stroke.
    pub fn stroke(&self) -> Length {
        self.stroke
    }
    /// Compression ratio.
    pub fn compression_ratio(&self) -> CompressionRatio {
        self.compression_ratio
    }
    /// Volumetric efficiency in use.
    pub fn breathing(&self) -> Fraction {
        self.volumetric_efficiency
    }
    /// Work factor in use.
    pub fn work(&self) -> Fraction {
        self.work_factor
    }
    /// The torque limit, if one was given.
    pub fn most_torque(&self) -> Option<Torque> {
        self.torque_limit
    }
    /// The speed limit, if one was given.
    pub fn most_speed(&self) -> Option<ShaftSpeed> {
        self.speed_limit
    }
}
