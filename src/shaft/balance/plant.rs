//! Compressor, engine and turbine at one engine speed, as a set of relations that must close.

use super::newton::System;
use super::state::{State, Unknowns};
use crate::compressor::CompressorMap;
use crate::formula::{FormulaError, Scalar};
use crate::shaft::chain::{Gases, Setting};

/// What is asked for beside the balances of mass and power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Closing {
    /// A manifold pressure, absolute, held by the wastegate.
    Manifold(f64),
    /// A power at the crankshaft, held by the wastegate.
    Power(f64),
    /// An effective area of the wastegate: zero is shut.
    Gate(f64),
    /// A position along the speed line, held by the wastegate: zero is the surge line.
    Position(f64),
    /// A corrected speed, held by the wastegate.
    Speed(f64),
}

/// The relations at one engine speed.
pub(crate) struct Plant<'a> {
    pub setting: &'a Setting<f64>,
    pub gases: &'a Gases,
    pub map: &'a CompressorMap,
    /// Manifold pressure over the pressure before the throttle.
    pub throttle: f64,
    pub closing: Closing,
}

/// Work per mass of air that counts as one: 100 kJ/kg.
const WORK: f64 = 1e5;
/// Least and greatest of each of [`Unknowns::of`].
const BOUNDS: [[f64; 2]; 4] = [[0.002, 1.6], [0.01, 1.5], [-3.0, 6.0], [0.01, MOST_ROOT]];
const MOST_ROOT: f64 = 3.3;
/// The largest expansion ratio looked at.
pub(crate) const MOST_EXPANSION: f64 = 1.0 + MOST_ROOT * MOST_ROOT;

impl Plant<'_> {
    /// The state at some unknowns in plain numbers, judged formula by formula.
    pub fn state(&self, at: &Unknowns<f64>) -> Result<State<f64>, FormulaError> {
        self.setting.state(self.gases, self.map, self.throttle, at, None)
    }

    /// What is left of mass through the engine, mass through the compressor, power on the shaft and what is
    /// asked for, each over its own size.
    pub fn left<S: Scalar>(
        &self,
        setting: &Setting<S>,
        at: &Unknowns<S>,
        state: &State<S>,
    ) -> Result<[S; 4], FormulaError> {
        let spare = (state.exhaust - state.turbine_flow) / state.exhaust;
        let closing = match self.closing {
            Closing::Manifold(pressure) => state.manifold_pressure / pressure - 1.0,
            Closing::Power(power) => state.power / power - 1.0,
            Closing::Gate(area) if area > 0.0 => {
                let pair = (state.turbine_inlet, at.expansion);
                spare - setting.gate_flow(S::lit(area), &state.hot, pair)? / state.exhaust
            }
            Closing::Gate(_) => spare,
            Closing::Position(position) => at.position - position,
            Closing::Speed(speed) => at.speed / speed - 1.0,
        };
        Ok([
            state.engine_flow / at.air - 1.0,
            state.compressor_flow / at.air - 1.0,
            (state.turbine_power - state.asked) / (at.air * WORK),
            closing,
        ])
    }
}

impl System<4> for Plant<'_> {
    fn gaps<S: Scalar>(&self, unknowns: [S; 4]) -> [S; 4] {
        let at = Unknowns::of(self.map, unknowns);
        let setting = self.setting.lift();
        let gaps = setting
            .state(self.gases, self.map, S::lit(self.throttle), &at, None)
            .and_then(|state| self.left(&setting, &at, &state));
        gaps.unwrap_or([S::lit(f64::NAN); 4])
    }
    fn bounds(&self) -> [[f64; 2]; 4] {
        BOUNDS
    }
}
