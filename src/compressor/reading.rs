//! What is read from a map at a corrected flow and a pressure ratio, and how.

use super::curve::Piece;
use super::map::{CompressorMap, Located};
use crate::formula::{LookUp, SolvedRoot, Surface};
use crate::quantity::*;

/// One of the figures that a map gives at a corrected flow (kg/s) and a pressure ratio.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reading {
    /// Isentropic efficiency.
    Efficiency,
    /// Corrected speed.
    Speed,
    /// Corrected flow at the surge end of the speed line through the point.
    SurgeFlow,
    /// Pressure ratio at the surge end of that line.
    SurgeRatio,
    /// Corrected flow at the choke end of that line.
    ChokeFlow,
}

impl Reading {
    /// What is read, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Efficiency => "efficiency",
            Self::Speed => "corrected speed",
            Self::SurgeFlow => "surge flow",
            Self::SurgeRatio => "surge pressure ratio",
            Self::ChokeFlow => "choke flow",
        }
    }
    /// Quantity in words, SI unit and symbol of what is read.
    fn quantity(self) -> (&'static str, &'static str, &'static str) {
        fn of<Q: Quantity>(symbol: &'static str) -> (&'static str, &'static str, &'static str) {
            (Q::NAME, Q::si_unit(), symbol)
        }
        match self {
            Self::Efficiency => of::<Efficiency>("eta_c"),
            Self::Speed => of::<CorrectedSpeed>("N_c"),
            Self::SurgeFlow => of::<CorrectedMassFlow>("W_s"),
            Self::SurgeRatio => of::<PressureRatio>("Pi_s"),
            Self::ChokeFlow => of::<CorrectedMassFlow>("W_ch"),
        }
    }
    /// Which of a line's curves (flow, ratio, efficiency), and at which end if not at the point's position.
    fn curve(self) -> (usize, Option<f64>) {
        match self {
            Self::Efficiency => (2, None),
            Self::Speed => (0, None),
            Self::SurgeFlow => (0, Some(0.0)),
            Self::SurgeRatio => (1, Some(0.0)),
            Self::ChokeFlow => (0, Some(1.0)),
        }
    }
}

/// A figure of a map over corrected flow (kg/s) and pressure ratio.
#[derive(Clone, Copy, Debug)]
pub struct MapSurface<'a> {
    pub(super) map: &'a CompressorMap,
    pub(super) reading: Reading,
}

impl MapSurface<'_> {
    fn value(&self, flow: f64, ratio: f64) -> f64 {
        let flow = CorrectedMassFlow::from_si_unchecked(flow);
        let ratio = PressureRatio::from_si_unchecked(ratio);
        self.map.at_point(flow, ratio).map_or(f64::NAN, |point| match self.reading {
            Reading::Efficiency => point.efficiency.si(),
            Reading::Speed => point.speed.si(),
            Reading::SurgeFlow => point.surge_flow.si(),
            Reading::SurgeRatio => point.surge_ratio.si(),
            Reading::ChokeFlow => point.choke_flow.si(),
        })
    }
}

impl Surface for MapSurface<'_> {
    fn at(&self, flow: f64, ratio: f64) -> (f64, [f64; 2]) {
        // The cubics have no closed derivative along a contour, so the slopes are central differences.
        let (dw, dp) = (1e-5 * flow, 1e-5 * ratio);
        let by_flow = (self.value(flow + dw, ratio) - self.value(flow - dw, ratio)) / (2.0 * dw);
        let by_ratio = (self.value(flow, ratio + dp) - self.value(flow, ratio - dp)) / (2.0 * dp);
        (self.value(flow, ratio), [by_flow, by_ratio])
    }
    fn label(&self) -> &str {
        self.map.title()
    }
    fn look_up(&self, flow: f64, ratio: f64) -> LookUp {
        let (quantity, unit, symbol) = self.reading.quantity();
        let (what, table) = (self.reading.words(), self.map.title().to_string());
        let with = |nodes, roots| LookUp { what, symbol, quantity, unit, table, nodes, roots };
        let Ok(place) = self.map.locate(flow, ratio) else {
            return with(Vec::new(), Vec::new());
        };
        let [position, speed] = place.map(|found| found.root);
        let roots = self.map.solved(place, flow, ratio);
        let nodes = if self.reading == Reading::Speed {
            vec![("corrected speed, the second root".into(), speed, 1.0)]
        } else {
            let (curve, end) = self.reading.curve();
            self.map.nodes(curve, end.unwrap_or(position), speed)
        };
        with(nodes, roots)
    }
}

/// The nodes between which a piece interpolates with their weights at `x`: both values and both slopes.
pub(super) fn weights(piece: &Piece, x: f64) -> [f64; 4] {
    let h = piece.x[1] - piece.x[0];
    let t = (x - piece.x[0]) / h;
    let rise = t + t * (1.0 - t) * (2.0 * t - 1.0);
    [1.0 - rise, rise, h * t * (1.0 - t) * (1.0 - t), -h * t * t * (1.0 - t)]
}

impl CompressorMap {
    fn solved(&self, [position, speed]: [Located; 2], flow: f64, ratio: f64) -> Vec<SolvedRoot> {
        let cut = self.cut(position.root);
        let [found_flow, found_ratio, _] = self.at(speed.root, &cut);
        let solved = |found: Located, equation, residual| {
            let Located { root, bracket, steps } = found;
            SolvedRoot { equation, bracket, steps, root, residual }
        };
        let contour = format!("flow at position s, where the lines reach {ratio:.6}, is {flow:.6} kg/s");
        let across = format!("pressure ratio at position s and speed N, rad/s, is {ratio:.6}");
        vec![
            solved(position, contour, found_flow / flow - 1.0),
            solved(speed, across, found_ratio / ratio - 1.0),
        ]
    }

    /// The nodes and weights behind one curve at a position and speed.
    fn nodes(&self, curve: usize, position: f64, speed: f64) -> Vec<(String, f64, f64)> {
        let cut = self.cut(position);
        let (first, across) = self.between(&cut.values[curve][..self.speeds.len()], speed);
        let [low, high, low_slope, high_slope] = weights(&across, speed);
        let mut nodes = Vec::new();
        for (line, share) in [(first, low), (first + 1, high)] {
            let rpm = ShaftSpeed::from_si_unchecked(self.speeds[line]).rpm();
            let (point, along) = self.curve(line, curve).piece(position);
            let names = ["point", "point", "slope at point", "slope at point"];
            let values = [along.y[0], along.y[1], along.d[0], along.d[1]];
            for (k, weight) in weights(&along, position).into_iter().enumerate() {
                let name = format!("line {rpm:.0} rpm, {} {}", names[k], point + k % 2 + 1);
                nodes.push((name, values[k], share * weight));
            }
        }
        nodes.push(("slope across the lines at the lower speed".into(), across.d[0], low_slope));
        nodes.push(("slope across the lines at the higher speed".into(), across.d[1], high_slope));
        nodes
    }
}
