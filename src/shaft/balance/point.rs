//! A balanced state in quantities.

use super::bench::{Gate, Solved};
use crate::charge::boost;
use crate::compressor::OutsideMap;
use crate::engine::torque;
use crate::formula::FormulaError;
use crate::quantity::*;
use crate::shaft::chain::Setting;

/// A state of engine, compressor and turbine in which mass and power balance.
#[derive(Clone, Debug, PartialEq)]
pub struct BalancedPoint {
    /// Engine speed.
    pub speed: ShaftSpeed,
    /// What the wastegate does.
    pub gate: Gate,
    /// Power at the crankshaft.
    pub power: Power,
    /// Torque at the crankshaft.
    pub torque: Torque,
    /// Brake mean effective pressure.
    pub brake_pressure: PressureDifference,
    /// Pumping mean effective pressure.
    pub pumping: PressureDifference,
    /// Air flow, its water included.
    pub air: MassFlow,
    /// Fuel flow.
    pub fuel: MassFlow,
    /// Volumetric efficiency against this exhaust pressure.
    pub breathing: Fraction,
    /// Compressor inlet pressure.
    pub inlet_pressure: Pressure,
    /// Compressor pressure ratio.
    pub ratio: PressureRatio,
    /// Flow corrected to the map's reference.
    pub corrected_flow: CorrectedMassFlow,
    /// Corrected speed.
    pub corrected_speed: CorrectedSpeed,
    /// Position along the speed line: 0 at its surge end, 1 at its choke end.
    pub position: Fraction,
    /// Compressor efficiency.
    pub efficiency: Efficiency,
    /// Shaft speed.
    pub shaft_speed: ShaftSpeed,
    /// Compressor outlet temperature.
    pub outlet_temperature: Temperature,
    /// Heat from the turbine in it; nothing where its way is not known.
    pub housing_heat: Option<Power>,
    /// Manifold temperature.
    pub manifold_temperature: Temperature,
    /// Manifold pressure.
    pub manifold_pressure: Pressure,
    /// Manifold pressure above the barometer.
    pub boost: GaugePressure,
    /// Exhaust manifold pressure.
    pub exhaust_pressure: Pressure,
    /// Turbine inlet temperature.
    pub exhaust_temperature: Temperature,
    /// Turbine expansion ratio.
    pub expansion: ExpansionRatio,
    /// Turbine efficiency.
    pub turbine_efficiency: Efficiency,
    /// Pressure after the turbine.
    pub turbine_outlet: Pressure,
    /// Share of the exhaust that passes the wastegate.
    pub wastegate: Fraction,
    /// Power that the turbine puts on the shaft.
    pub shaft_power: Power,
    /// Power that the compressor takes of it; bearings take the rest, where they count apart.
    pub compressor_power: Power,
    /// The edge of the map that the state lies beyond, if it does. Below its lowest speed line the fan laws
    /// stand in for the map.
    pub beyond: Option<OutsideMap>,
    /// What the plain formulas leave of the balances of engine flow, compressor flow and shaft power, and of
    /// what is asked for, relative.
    pub left: [f64; 4],
    /// Steps that the solver took.
    pub steps: usize,
}

impl BalancedPoint {
    pub(super) fn new(
        setting: &Setting<f64>,
        solved: &Solved,
        gate: Gate,
        beyond: Option<OutsideMap>,
    ) -> Result<Self, FormulaError> {
        let (at, state) = (&solved.at, &solved.state);
        let speed = ShaftSpeed::from_si_unchecked(setting.way.speed);
        let power = Power::from_si_unchecked(state.power);
        let manifold_pressure = Pressure::from_si_unchecked(state.manifold_pressure);
        Ok(Self {
            speed,
            gate,
            power,
            torque: torque(power, speed)?,
            brake_pressure: PressureDifference::from_si_unchecked(state.brake_pressure),
            pumping: PressureDifference::from_si_unchecked(state.pumping),
            air: MassFlow::from_si_unchecked(at.air),
            fuel: MassFlow::from_si_unchecked(state.fuel),
            breathing: Fraction::from_si_unchecked(state.breathing),
            inlet_pressure: Pressure::from_si_unchecked(state.inlet_pressure),
            ratio: PressureRatio::from_si_unchecked(state.ratio),
            corrected_flow: CorrectedMassFlow::from_si_unchecked(state.corrected_flow),
            corrected_speed: CorrectedSpeed::from_si_unchecked(at.speed),
            position: Fraction::from_si_unchecked(at.position),
            efficiency: Efficiency::from_si_unchecked(state.efficiency),
            shaft_speed: ShaftSpeed::from_si_unchecked(state.shaft_speed),
            outlet_temperature: Temperature::from_si_unchecked(state.outlet_temperature),
            housing_heat: state.housing_heat.map(Power::from_si_unchecked),
            manifold_temperature: Temperature::from_si_unchecked(state.manifold_temperature),
            manifold_pressure,
            boost: boost(manifold_pressure, Pressure::from_si_unchecked(setting.way.ambient[0]))?,
            exhaust_pressure: Pressure::from_si_unchecked(state.turbine_inlet),
            exhaust_temperature: Temperature::from_si_unchecked(state.hot.temperature),
            expansion: ExpansionRatio::from_si_unchecked(at.expansion),
            turbine_efficiency: Efficiency::from_si_unchecked(state.turbine_efficiency),
            turbine_outlet: Pressure::from_si_unchecked(state.turbine_outlet),
            wastegate: Fraction::from_si_unchecked(solved.spare()),
            shaft_power: Power::from_si_unchecked(state.turbine_power),
            compressor_power: Power::from_si_unchecked(state.compressor_power),
            beyond,
            left: solved.left,
            steps: solved.steps,
        })
    }
}
