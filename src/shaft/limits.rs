//! The limits an operating point is held against.

use super::margins::inducer_choke_margin;
use super::operating::OperatingPoint;
use crate::quantity::Fraction;

/// A limit that is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Limit {
    /// The surge line of the map.
    Surge,
    /// The choke end of the map's speed lines.
    Choke,
    /// The estimated choke flow of a measured inducer.
    InducerChoke,
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
}

impl Limit {
    /// The limit in a few words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Surge => "surge",
            Self::Choke => "choke",
            Self::InducerChoke => "inducer choke",
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
    /// The distance with the turbine's area, or an inducer's choke flow, one standard deviation on its worse
    /// side, where it matters.
    pub worse: Fraction,
    /// The same on its better side.
    pub better: Fraction,
}

/// Which side of the turbine's area band is looked at.
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
    /// The distance on one side of the turbine's area band.
    pub fn on(&self, side: AreaBand) -> f64 {
        match side {
            AreaBand::Worse => self.worse.si(),
            AreaBand::Estimate => self.margin.si(),
            AreaBand::Better => self.better.si(),
        }
    }
}

impl OperatingPoint {
    /// The distance to choke of a measured inducer, one for each of its readings, with the choke flow one
    /// standard deviation down and up.
    pub fn inducer_margins(&self) -> impl Iterator<Item = Margin> + '_ {
        self.choke.iter().map(|band| {
            let flow = |sigmas: f64| band.flow.si() * (1.0 + sigmas * band.sigma.si());
            let distance = |sigmas: f64| inducer_choke_margin::of::<f64>(flow(sigmas), self.demand.air.si());
            Margin::new(Limit::InducerChoke, [-1.0, 0.0, 1.0].map(distance))
        })
    }
}

/// What this depth of calculation does not judge, to be said beside every verdict.
pub const NOT_JUDGED: [&str; 4] = [
    "knock (the boost limit of the fuel stands in for it)",
    "arrival of boost",
    "heat from turbine to compressor",
    "oil, coolant and cost",
];
