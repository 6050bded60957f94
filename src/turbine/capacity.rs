//! What a turbine's flow is known from.

use super::choked_area;
use crate::formula::{FormulaError, Giver, Scalar, checked};
use crate::quantity::*;

/// Share of the solid-body head at the rim, fitted to [nasa-tn-d-5090]: one turbine. Others from 0.6 to 1.0
/// ([own-judgement]).
pub const HEAD: f64 = 0.8751;
/// Exponent of the flow's rise, fitted to [nasa-tn-d-5090]: one turbine. Others from 2.4 to 3.8 ([own-judgement]).
pub const RISE: f64 = 3.093_28;
/// Expansion ratio at which an effective area is meant: choked as a nozzle, and near full load.
pub const DESIGN_RATIO: f64 = 2.0;
/// Blade speed ratio at which it is meant: near the best efficiency.
pub const DESIGN_SPEED_RATIO: f64 = 0.70;

/// How the wheel's centrifugal head bends the flow, and at which state a turbine's effective area is meant.
///
/// An effective area A_e says: at the expansion ratio [`DESIGN_RATIO`] and the blade speed ratio
/// [`DESIGN_SPEED_RATIO`] the turbine passes what a nozzle of A_e passes. With the standard figures a turbine at that
/// speed ratio passes 11 % less than the nozzle at a ratio of 1.5 and 10 % more at 3 (gamma 1.4), and at rest more than
/// when it turns.
///
/// ```
/// use shaftwork::prelude::*;
/// let head = CentrifugalHead::default();
/// assert!((head.coefficient().si() - 0.8751).abs() < 1e-12);
/// assert!(CentrifugalHead::new(fraction(1.4), fraction(3.0)).is_err());
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CentrifugalHead {
    coefficient: Fraction,
    exponent: Fraction,
    design_ratio: ExpansionRatio,
    design_speed_ratio: Fraction,
}

impl Default for CentrifugalHead {
    fn default() -> Self {
        let [coefficient, exponent, design_speed_ratio] =
            [HEAD, RISE, DESIGN_SPEED_RATIO].map(Fraction::from_si_unchecked);
        let design_ratio = ExpansionRatio::from_si_unchecked(DESIGN_RATIO);
        Self { coefficient, exponent, design_ratio, design_speed_ratio }
    }
}

impl CentrifugalHead {
    /// Share of the solid-body head (0 to 1.2) and exponent of the flow's rise (1.5 to 6), where someone fitted them.
    pub fn new(coefficient: Fraction, exponent: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::CentrifugalHead::new";
        let words = "share of the solid-body head";
        let coefficient = checked(NAME, "coefficient", words, coefficient, 0.0, 1.2)?;
        let exponent = checked(NAME, "exponent", "exponent of the flow's rise", exponent, 1.5, 6.0)?;
        Ok(Self { coefficient, exponent, ..Self::default() })
    }
    /// The state at which the effective area was taken: expansion ratio 1.4 to 4, blade speed ratio 0.3 to 0.9.
    pub fn meant_at(mut self, ratio: ExpansionRatio, speed_ratio: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::CentrifugalHead::meant_at";
        self.design_ratio = checked(NAME, "ratio", "expansion ratio", ratio, 1.4, 4.0)?;
        self.design_speed_ratio = checked(NAME, "speed_ratio", "blade speed ratio", speed_ratio, 0.3, 0.9)?;
        Ok(self)
    }
    /// Share of the solid-body head at the rim.
    pub fn coefficient(&self) -> Fraction {
        self.coefficient
    }
    /// Exponent of the flow's rise.
    pub fn exponent(&self) -> Fraction {
        self.exponent
    }
    /// The area that a turbine of this effective area chokes at.
    pub fn choked_area(&self, area: Area, gamma: HeatCapacityRatio) -> Result<Area, FormulaError> {
        choked_area(area, self.coefficient, self.exponent, self.design_ratio, self.design_speed_ratio, gamma)
    }
    pub(super) fn parts<S: Scalar>(&self, g: &impl Giver<S>) -> HeadParts<S> {
        HeadParts {
            coefficient: g.give("turbine.head", "", self.coefficient),
            exponent: g.give("turbine.rise", "", self.exponent),
            design_ratio: g.give("turbine.design_ratio", "", self.design_ratio),
            design_speed_ratio: g.give("turbine.design_speed_ratio", "", self.design_speed_ratio),
        }
    }
}

/// The head in one kind of number.
#[derive(Clone, Copy)]
pub(super) struct HeadParts<S> {
    pub coefficient: S,
    pub exponent: S,
    pub design_ratio: S,
    pub design_speed_ratio: S,
}

impl<S: Scalar> HeadParts<S> {
    pub fn choked_area(&self, area: S, gamma: S) -> Result<S, FormulaError> {
        choked_area::step(
            area,
            self.coefficient,
            self.exponent,
            self.design_ratio,
            self.design_speed_ratio,
            gamma,
        )
    }
}

impl HeadParts<f64> {
    pub fn lift<S: Scalar>(&self) -> HeadParts<S> {
        HeadParts {
            coefficient: S::lit(self.coefficient),
            exponent: S::lit(self.exponent),
            design_ratio: S::lit(self.design_ratio),
            design_speed_ratio: S::lit(self.design_speed_ratio),
        }
    }
}

/// What a turbine's flow is known from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Capacity {
    /// An effective area, or a housing it was taken from.
    Effective,
    /// The square-root form: its area and exponent.
    SquareRoot(Area, Fraction),
    /// The area it chokes at, from measured flow with the head's figures.
    Choked(Area),
}

impl Capacity {
    /// The same with every area larger by a factor.
    pub fn scaled(self, factor: f64) -> Self {
        match self {
            Self::Effective => Self::Effective,
            Self::SquareRoot(area, exponent) => Self::SquareRoot(area * factor, exponent),
            Self::Choked(area) => Self::Choked(area * factor),
        }
    }
}

/// The same in one kind of number.
#[derive(Clone, Copy)]
pub(super) enum CapacityParts<S> {
    Effective,
    SquareRoot(S, S),
    Choked(S),
}
