//! The numbers of a result, each with the function that gave it: one list for text, JSON and notebook.

use super::air_path::BoostDemand;
use super::operating::OperatingPoint;
use crate::engine::AirDemand;
use crate::quantity::*;

/// One number of a result.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its key in files.
    pub key: &'static str,
    /// What it is.
    pub words: &'static str,
    /// SI value.
    pub value: f64,
    /// SI unit.
    pub unit: &'static str,
    /// As printed, with the trade's unit where there is one.
    pub shown: String,
    /// The function that gave it.
    pub by: &'static str,
}

fn row<Q: Quantity>(key: &'static str, words: &'static str, quantity: Q, by: &'static str) -> Row {
    Row { key, words, value: quantity.si(), unit: Q::si_unit(), shown: quantity.both(), by }
}

/// A plain fraction reads best in percent.
fn percent(key: &'static str, words: &'static str, fraction: Fraction, by: &'static str) -> Row {
    let shown = format!("{} %", significant(fraction.percent(), 3));
    Row { key, words, value: fraction.si(), unit: "", shown, by }
}

/// The numbers of an air demand.
pub fn demand_rows(demand: &AirDemand) -> Vec<Row> {
    vec![
        row("power", "crank power", demand.power, "asked for"),
        row("torque", "torque", demand.torque, "engine::torque"),
        row(
            "bmep",
            "brake mean effective pressure",
            demand.brake_pressure,
            "engine::mean_effective_pressure",
        ),
        row("fmep", "friction mean effective pressure", demand.friction, "engine::friction_pressure"),
        row("pmep", "pumping pressure", demand.pumping, "engine::pumping_pressure"),
        row(
            "indicated_efficiency",
            "indicated efficiency",
            demand.indicated_efficiency,
            "engine::indicated_efficiency",
        ),
        row("air_flow", "air flow", demand.air, "engine::moist_air_flow"),
        row("fuel_flow", "fuel flow", demand.fuel, "engine::fuel_for_air"),
        row("consumption", "specific fuel consumption", demand.consumption, "engine::specific_consumption"),
    ]
}

impl OperatingPoint {
    /// The numbers of this point, from the air demanded to the turbine.
    pub fn rows(&self) -> Vec<Row> {
        let mut rows = demand_rows(&self.demand);
        let by = "compressor::CompressorMap::at_point";
        rows.extend([
            row("inlet_pressure", "compressor inlet pressure", self.inlet.pressure, "charge::inlet_pressure"),
            row(
                "inlet_temperature",
                "compressor inlet temperature",
                self.inlet.temperature,
                "charge::inlet_temperature",
            ),
            row(
                "manifold_pressure",
                "manifold pressure",
                self.manifold_pressure,
                "engine::manifold_pressure",
            ),
            row(
                "volumetric_efficiency",
                "volumetric efficiency",
                self.breathing,
                "engine::breathing_against",
            ),
            row("boost", "boost", self.boost, "charge::boost"),
            row("pressure_ratio", "pressure ratio", self.ratio, "charge::required_pressure_ratio"),
            row("corrected_flow", "corrected flow", self.corrected_flow, "compressor::corrected_mass_flow"),
            row("efficiency", "compressor efficiency", self.efficiency, by),
            row("corrected_speed", "corrected speed", self.on_map.speed, by),
            row("shaft_speed", "shaft speed", self.shaft_speed, "compressor::shaft_speed_from_corrected"),
            row(
                "outlet_temperature",
                "compressor outlet",
                self.outlet_temperature,
                match self.housing_heat {
                    Some(_) => "compressor::heated_outlet",
                    None => "compressor::outlet_temperature",
                },
            ),
            row("density_ratio", "density ratio", self.density_ratio, "compressor::density_ratio"),
            row(
                "manifold_temperature",
                "manifold temperature",
                self.manifold_temperature,
                "charge::cooled_temperature",
            ),
            row("manifold_density", "manifold density", self.manifold_density, "gas::density"),
            row("compressor_power", "compressor power", self.compressor_power, "compressor::power"),
            row(
                "turbine_outlet",
                "pressure after the turbine",
                self.turbine_outlet,
                "turbine::outlet_pressure",
            ),
            row("least_expansion", "least expansion ratio", self.drive.least, "turbine::expansion_ratio"),
            row("expansion_ratio", "expansion ratio", self.drive.ratio, "shaft::operating_point"),
            row("turbine_inlet", "turbine inlet pressure", self.drive.pressure, "turbine::inlet_pressure"),
            row(
                "turbine_inlet_temperature",
                "turbine inlet temperature",
                self.drive.temperature,
                self.drive.temperature_by,
            ),
            row("turbine_efficiency", "turbine efficiency", self.drive.efficiency, self.drive.efficiency_by),
            percent(
                "wastegate",
                "share through the wastegate",
                self.drive.wastegate,
                "turbine::wastegate_share",
            ),
            percent("duty", "injectors open", self.duty, "supply::injector_duty"),
        ]);
        if let Some(heat) = self.housing_heat {
            let at = rows.iter().position(|row| row.key == "density_ratio").unwrap_or(rows.len());
            let words = "heat from the turbine in the compressed air";
            rows.insert(at, row("housing_heat", words, heat, "compressor::housing_heat"));
        }
        rows
    }
}

/// The numbers of a boost demand.
pub fn boost_rows(boost: &BoostDemand) -> Vec<Row> {
    vec![
        row("manifold_pressure", "manifold pressure", boost.manifold_pressure, "engine::manifold_pressure"),
        row("boost", "boost", boost.boost, "charge::boost"),
        row("inlet_pressure", "compressor inlet pressure", boost.inlet.pressure, "charge::inlet_pressure"),
        row("pressure_ratio", "pressure ratio", boost.ratio, "charge::required_pressure_ratio"),
        row(
            "outlet_temperature",
            "compressor outlet",
            boost.outlet_temperature,
            "compressor::outlet_temperature",
        ),
        row("density_ratio", "density ratio", boost.density_ratio, "compressor::density_ratio"),
        row(
            "manifold_temperature",
            "manifold temperature",
            boost.manifold_temperature,
            "charge::cooled_temperature",
        ),
        row("manifold_density", "manifold density", boost.manifold_density, "gas::density"),
    ]
}
