//! What a notebook imports: `use shaftwork::prelude::*;`

pub use crate::charge::{ChargeCooler, Loss, Restrictor};
#[cfg(all(feature = "chart", feature = "study"))]
pub use crate::chart::{
    Curve, Gallery, bare_map_figure, bars, curves, housings_figure, line_figures, line_map_figure,
    line_on_map, map_figure, rise_figure, sweep_figures,
};
pub use crate::compressor::{
    CompressorMap, CompressorWheel, Evidence, Factor, Factors, InletState, MapEstimate, MapPoint, Material,
    MeasuredPoint, PrintedMap, ReadWithin, Reference, RunPoint, SimilarMachine, VanedDiffuser,
    WheelDimension, WheelGeometry, one_of, weigh_readings,
};
pub use crate::engine::{
    Engine, ExhaustPipe, ExhaustState, ExhaustWay, HeatShares, HotPipe, Running, Target, air_demand,
    exhaust_state,
};
pub use crate::formula::FormulaError;
pub use crate::fuel::{Component, Fuel, Gasoline};
pub use crate::gas::Gas;
#[cfg(feature = "notebook")]
pub use crate::notebook::{
    Exercise, ExerciseError, Table, Units, exercise, hide_steps, in_chosen_units, show_steps, show_units,
    table,
};
pub use crate::quantity::units::*;
pub use crate::quantity::*;
pub use crate::record::{Record, Steps};
pub use crate::shaft::*;
pub use crate::site::Site;
#[cfg(feature = "study")]
pub use crate::study::Study;
pub use crate::supply::Injectors;
pub use crate::turbine::{
    BearingKind, Bearings, BoostControl, CentrifugalHead, DividedEntry, EfficiencyCurve, ManifoldKind,
    Turbine, TurbineEfficiency, TurbineInlet, TurbineMap, TurbinePoint, Wastegate,
};
