//! The shaft, the charge volume and the exhaust volume in motion.

use super::motion::Motion;
use super::vehicle::Gear;
use crate::compressor::CompressorMap;
use crate::formula::{Dual, FormulaError, Scalar};
use crate::gas::heat_capacity_ratio;
use crate::shaft::balance::{State, Unknowns};
use crate::shaft::chain::{Gases, Setting};
use crate::turbine::nozzle_flow;

/// How the engine speed moves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Pace {
    /// At a stated rate, rad/s2.
    Rate(f64),
    /// As the vehicle speeds up in a gear.
    Gear(Gear),
}

/// What moves, in one phase: throttle, valves and pace stay.
pub(crate) struct Rotor<'a> {
    pub setting: &'a Setting<f64>,
    pub gases: &'a Gases,
    pub map: &'a CompressorMap,
    /// Manifold pressure over the pressure before the throttle.
    pub throttle: f64,
    /// Effective area from the charge volume back to the compressor's inlet.
    pub valve: f64,
    pub pace: Pace,
    /// Moment of inertia of the rotor, kg m2.
    pub inertia: f64,
    /// Volume from the compressor to the throttle, m3.
    pub charge: f64,
    /// Volume of exhaust manifold and crossover, m3.
    pub exhaust: f64,
}

/// What is told of a moment, in SI units.
pub(crate) struct Plainly {
    pub speed: f64,
    pub manifold_pressure: f64,
    pub exhaust_pressure: f64,
    pub exhaust_temperature: f64,
    pub shaft_speed: f64,
    pub torque: f64,
    pub position: f64,
    pub corrected_speed: f64,
    pub engine_flow: f64,
}

/// Engine speed that counts as one, rad/s.
pub(super) const SPEED: f64 = 500.0;
/// Exhaust temperature at which the exhaust volume counts as full, K.
const EXHAUST: f64 = 1100.0;
/// Pressure that counts as one, Pa.
const PRESSURE: f64 = 1e5;
/// Length over area of the pipes between compressor and throttle, 1/m: what the air's own mass takes to be moved.
/// 2 m of 50 mm ([own-judgement]); boost arrives later by milliseconds where it is doubled.
const PIPE: f64 = 1000.0;
/// Least and greatest of each of [`Unknowns::of`], of the engine speed and of the pressure before the throttle.
const BOUNDS: [[f64; 2]; 6] =
    [[0.001, 1.6], [0.005, 1.5], [-8.0, 8.0], [0.003, 3.3], [0.05, 5.0], [0.1, 8.0]];

impl Rotor<'_> {
    pub fn scaled(&self, at: &Unknowns<f64>, engine_speed: f64, plenum: f64) -> [f64; 6] {
        let [air, speed, position, root] = at.scaled(self.map);
        [air, speed, position, root, engine_speed / SPEED, plenum / PRESSURE]
    }
    /// Engine speed, unknowns and state.
    pub fn state<S: Scalar>(
        &self,
        setting: &Setting<S>,
        unknowns: [S; 6],
    ) -> Result<(S, Unknowns<S>, State<S>), FormulaError> {
        let [air, speed, position, root, engine_speed, plenum] = unknowns;
        let (speed_of_engine, plenum) = (engine_speed * SPEED, plenum * PRESSURE);
        let at = Unknowns::of(self.map, [air, speed, position, root]);
        let state = setting.at_speed(speed_of_engine).state(
            self.gases,
            self.map,
            S::lit(self.throttle),
            &at,
            Some(plenum),
        )?;
        Ok((speed_of_engine, at, state))
    }

    /// What is told of some unknowns, in numbers that no formula judges: on the way a state may be odd.
    pub fn plain(&self, unknowns: [f64; 6]) -> Result<Plainly, FormulaError> {
        let setting = self.setting.lift::<Dual<0>>();
        let (speed, at, state) = self.state(&setting, unknowns.map(Dual::lit))?;
        Ok(Plainly {
            speed: speed.re,
            manifold_pressure: state.manifold_pressure.re,
            exhaust_pressure: state.turbine_inlet.re,
            exhaust_temperature: state.hot.temperature.re,
            shaft_speed: state.shaft_speed.re,
            torque: state.power.re / speed.re,
            position: at.position.re,
            corrected_speed: at.speed.re,
            engine_flow: state.engine_flow.re,
        })
    }

    fn stored_and_rates<S: Scalar>(&self, unknowns: [S; 6]) -> Result<([S; 6], [S; 6]), FormulaError> {
        let setting = self.setting.lift::<S>();
        let (speed, at, state) = self.state(&setting, unknowns)?;
        let before_throttle = unknowns[5] * PRESSURE;
        let charge = before_throttle * self.charge / (state.manifold_temperature * self.gases.air.r());
        let r = self.gases.exhaust.r();
        let exhaust = state.turbine_inlet * self.exhaust / (state.hot.temperature * r);
        let energy = state.shaft_speed * state.shaft_speed * (self.inertia / 2.0);
        // One is what fills the volume at ambient pressure, and the energy at the map's highest speed.
        let ambient = self.setting.way.ambient;
        let charge_size = ambient[0] * self.charge / (ambient[1] * self.gases.air.r());
        let exhaust_size = ambient[0] * self.exhaust / (EXHAUST * r);
        let energy_size = self.map.highest_speed().si().powi(2) * (self.inertia / 2.0);
        let ratio = before_throttle / state.inlet_pressure;
        let back = if self.valve > 0.0 && ratio.value() > 1.0 {
            let temperature = state.manifold_temperature;
            let gamma = heat_capacity_ratio::step(&self.gases.air, temperature)?;
            let r = S::lit(self.gases.air.r());
            nozzle_flow::step(S::lit(self.valve), before_throttle, temperature, ratio, gamma, r)?
        } else {
            S::lit(0.0)
        };
        let pace = match self.pace {
            Pace::Rate(rate) => S::lit(rate),
            Pace::Gear(gear) => gear.acceleration(state.power / speed)?,
        };
        Ok((
            [
                S::lit(0.0),
                charge / charge_size,
                exhaust / exhaust_size,
                energy / energy_size,
                unknowns[4],
                unknowns[0],
            ],
            [
                state.compressor_flow / at.air - 1.0,
                (at.air - state.engine_flow - back) / charge_size,
                (state.exhaust - state.turbine_flow) / exhaust_size,
                (state.turbine_power - state.asked) / energy_size,
                pace / SPEED,
                (state.delivered - before_throttle) / (PIPE * self.map.greatest_flow().si()),
            ],
        ))
    }
}

impl Motion<6> for Rotor<'_> {
    fn read<S: Scalar>(&self, _time: f64, unknowns: [S; 6]) -> ([S; 6], [S; 6]) {
        let nothing = [S::lit(f64::NAN); 6];
        self.stored_and_rates(unknowns).unwrap_or((nothing, nothing))
    }
    fn stores(&self) -> [bool; 6] {
        [false, true, true, true, true, true]
    }
    fn bounds(&self) -> [[f64; 2]; 6] {
        BOUNDS
    }
}
