//! A map continued past its edges, for a solver that must find out beyond which edge a state lies, and below its
//! lowest line for what happens before boost arrives.

use super::CompressorMap;
use crate::formula::Scalar;
use crate::quantity::Quantity;

/// Air's gamma in the head of the fan laws.
const GAMMA: f64 = 1.4;
/// How fast flow, ratio and efficiency fall left of the surge end, per length of the line: [own-judgement], like the
/// rates that follow. The ratio rises a little:
/// a falling one would make the flow swing, which no steady state can show.
const BEFORE_SURGE: [f64; 3] = [0.9, -0.02, 0.3];
/// How fast the flow rises and head and efficiency fall right of the choke end, per length of the line.
const BEYOND_CHOKE: [f64; 3] = [0.05, 2.0, 2.0];
/// How much faster they do so as the speed falls below the lowest line towards standstill: what ends such a line
/// is not choke, and a slow wheel becomes a resistance.
const SLOWER: [f64; 2] = [1.5, 3.0];

impl CompressorMap {
    /// Corrected flow, pressure ratio and efficiency at a corrected speed and a position, also off the map.
    ///
    /// Inside it is the map's own reading. Beyond its lowest and highest lines the fan laws hold from the nearest
    /// line at the same position: flow as the speed, head as its square, the same efficiency. Beyond the ends
    /// of the lines the figures run on monotonely, which is good for nothing but to tell the edge; below the
    /// lowest line they let the flow grow until the wheel is a resistance.
    pub(crate) fn continued<S: Scalar>(&self, speed: S, position: S) -> [S; 3] {
        let [low, high] = [self.lowest_speed(), self.highest_speed()].map(Quantity::si);
        let n = speed.value();
        let line = if n < low || n > high { S::lit(n.clamp(low, high)) } else { speed };
        let scale = speed / line;
        let s = position.value();
        if (low..=high).contains(&n) && (0.0..=1.0).contains(&s) {
            return self.state(speed, position);
        }
        let inside = if (0.0..=1.0).contains(&s) { position } else { S::lit(s.clamp(0.0, 1.0)) };
        let [flow, ratio, efficiency] = self.state(line, inside);
        let [flow, head, efficiency] = if s < 0.0 {
            let fall = |k: usize| (position * BEFORE_SURGE[k]).exp();
            [flow * fall(0), head(ratio) * fall(1), efficiency * fall(2)]
        } else if s > 1.0 {
            let past = position - 1.0;
            let slow = if n < low { -scale + 1.0 } else { S::lit(0.0) };
            let fall = |k: usize| (-past * BEYOND_CHOKE[k]).exp();
            let grown = past * (slow * SLOWER[0] + BEYOND_CHOKE[0]) + 1.0;
            [flow * grown, head(ratio) * (fall(1) - slow * past * SLOWER[1]), efficiency * fall(2)]
        } else {
            [flow, head(ratio), efficiency]
        };
        [flow * scale, (head * scale * scale + 1.0).powf(S::lit(GAMMA / (GAMMA - 1.0))), efficiency]
    }
}

/// The head of a pressure ratio over the inlet's enthalpy.
fn head<S: Scalar>(ratio: S) -> S {
    ratio.powf(S::lit((GAMMA - 1.0) / GAMMA)) - 1.0
}
