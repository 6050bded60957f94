//! The limits an operating point is held against.

use crate::quantity::Fraction;

/// A limit that is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Limit {
    /// The surge line of the map.
    Surge,
    /// The choke end of the map's speed lines.
    Choke,
    /// The highest shaft speed, as stated.
    ShaftSpeed,
    /// The highest speed line of the map: beyond it the map says nothing.
    TopSpeedLine,
    /// The lowest speed line of the map.
    BelowMap,
    /// The range of the formulas.
    FormulaRange,
    /// The expansion ratio not to be exceeded.
    ExpansionRatio,
    /// The turbine is too large to drive the compressor at this speed.
    TurbineTooLarge,
    /// The turbine is too small: no expansion ratio drives the compressor.
    TurbineTooSmall,
    /// The injectors' longest planned opening.
    Injectors,
    /// The torque that engine, clutch or gearbox stand.
    Torque,
    /// The boost that the user allows on this fuel.
    Boost,
    /// The brake mean effective pressure that the user allows.
    MeanPressure,
    /// The exhaust manifold pressure over inlet manifold pressure that the user allows.
    ExhaustOverManifold,
    /// The turbine inlet temperature that the user allows.
    TurbineInlet,
    /// The air that an intake restrictor passes once it chokes.
    Restrictor,
}

impl Limit {
    /// The limit in a few words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Surge => "surge",
            Self::Choke => "choke",
            Self::ShaftSpeed => "shaft speed",
            Self::TopSpeedLine => "top speed line of the map",
            Self::BelowMap => "below the map",
            Self::FormulaRange => "the range of the formulas",
            Self::ExpansionRatio => "expansion ratio",
            Self::TurbineTooLarge => "turbine too large",
            Self::TurbineTooSmall => "turbine too small",
            Self::Injectors => "injectors",
            Self::Torque => "torque limit",
            Self::Boost => "boost limit of the fuel",
            Self::MeanPressure => "mean effective pressure",
            Self::ExhaustOverManifold => "exhaust over manifold pressure",
            Self::TurbineInlet => "turbine inlet temperature",
            Self::Restrictor => "air restrictor",
        }
    }
}

/// How far an operating point is from a limit: positive inside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// The limit.
    pub limit: Limit,
    /// Distance as a fraction of the value in use.
    pub margin: Fraction,
    /// The distance with turbine area and estimated map one standard deviation on their worse sides; -1 where there
    /// is then no operating point for want of this.
    pub worse: Fraction,
    /// The same on their better sides.
    pub better: Fraction,
}

/// Which side of the bands of turbine area and estimated map is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AreaBand {
    /// One standard deviation on the worse side of each limit.
    Worse,
    /// The estimate.
    Estimate,
    /// One standard deviation on the better side of each limit.
    Better,
}

impl Margin {
    pub(super) fn new(limit: Limit, [worse, margin, better]: [f64; 3]) -> Self {
        use crate::quantity::Quantity;
        let [worse, margin, better] = [worse, margin, better].map(Fraction::from_si_unchecked);
        Self { limit, margin, worse, better }
    }
    /// The distance on one side of the bands.
    pub fn on(&self, side: AreaBand) -> f64 {
        match side {
            AreaBand::Worse => self.worse.si(),
            AreaBand::Estimate => self.margin.si(),
            AreaBand::Better => self.better.si(),
        }
    }
}

/// What this depth of calculation does not judge, to be said beside every verdict.
pub const NOT_JUDGED: [&str; 2] =
    ["knock (the boost limit of the fuel stands in for it)", "oil, coolant and cost"];
