//! What is read from a map at a corrected flow and a pressure ratio, and how.

use super::curve::Piece;
use super::locate::{Located, Place};
use super::map::CompressorMap;
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
    fn curve(self) -> (usize, Option<usize>) {
        match self {
            Self::Efficiency => (2, None),
            Self::Speed => (0, None),
            Self::SurgeFlow => (0, Some(0)),
            Self::SurgeRatio => (1, Some(0)),
            Self::ChokeFlow => (0, Some(1)),
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
    fn value(&self, place: &Place) -> f64 {
        match self.reading.curve() {
            _ if self.reading == Reading::Speed => place.speed.root,
            (curve, None) => place.state.values[curve],
            (curve, Some(end)) => self.map.end(end, place.speed.root).values[curve],
        }
    }
    /// The slopes of what is read to position and speed.
    fn slopes(&self, place: &Place) -> [f64; 2] {
        match self.reading.curve() {
            _ if self.reading == Reading::Speed => [0.0, 1.0],
            (curve, None) => [place.state.by_position[curve], place.state.by_speed[curve]],
            (curve, Some(end)) => [0.0, self.map.end(end, place.speed.root).by_speed[curve]],
        }
    }
    /// Where a corner of a line leaves flow and ratio no slopes: central differences over a small step.
    fn differences(&self, flow: f64, ratio: f64) -> [f64; 2] {
        let value = |w: f64, pi: f64| self.map.locate(w, pi).map_or(f64::NAN, |place| self.value(&place));
        let (dw, dp) = (1e-5 * flow, 1e-5 * ratio);
        [
            (value(flow + dw, ratio) - value(flow - dw, ratio)) / (2.0 * dw),
            (value(flow, ratio + dp) - value(flow, ratio - dp)) / (2.0 * dp),
        ]
    }
}

impl Surface for MapSurface<'_> {
    fn at(&self, flow: f64, ratio: f64) -> (f64, [f64; 2]) {
        let Ok(place) = self.map.locate(flow, ratio) else {
            return (f64::NAN, [f64::NAN; 2]);
        };
        let value = self.value(&place);
        let Some(determinant) = place.state.determinant() else {
            return (value, self.differences(flow, ratio));
        };
        // The inverse of the slopes of flow and ratio to position and speed.
        let [along, across] = self.slopes(&place);
        let (by_speed, by_position) = (place.state.by_speed, place.state.by_position);
        let by_flow = (along * by_speed[1] - across * by_position[1]) / determinant;
        let by_ratio = (across * by_position[0] - along * by_speed[0]) / determinant;
        (value, [by_flow, by_ratio])
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
        let (position, speed) = (place.position.root, place.speed.root);
        let roots = solved(&place, flow, ratio);
        let nodes = if self.reading == Reading::Speed {
            vec![("corrected speed, the second root".into(), speed, 1.0)]
        } else {
            let (curve, end) = self.reading.curve();
            self.map.nodes(curve, end.map_or(position, |end| end as f64), speed)
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

fn solved(place: &Place, flow: f64, ratio: f64) -> Vec<SolvedRoot> {
    let [found_flow, found_ratio, _] = place.state.values;
    let solved = |found: Located, equation, residual| {
        let Located { root, bracket, steps } = found;
        SolvedRoot { equation, bracket, steps, root, residual }
    };
    let contour = format!("flow at position s, where the lines reach {ratio:.6}, is {flow:.6} kg/s");
    let across = format!("pressure ratio at position s and speed N, rad/s, is {ratio:.6}");
    vec![
        solved(place.position, contour, found_flow / flow - 1.0),
        solved(place.speed, across, found_ratio / ratio - 1.0),
    ]
}

/// How one curve of a map was read at a speed and a position along the line.
pub(super) fn curve_look_up(map: &CompressorMap, curve: usize, speed: f64, position: f64) -> LookUp {
    let (what, symbol, (quantity, unit)) = [
        ("corrected flow", "W_c", (CorrectedMassFlow::NAME, CorrectedMassFlow::si_unit())),
        ("pressure ratio", "Pi", (PressureRatio::NAME, PressureRatio::si_unit())),
        ("efficiency", "eta_c", (Efficiency::NAME, Efficiency::si_unit())),
    ][curve];
    let nodes = if map.state(speed, position)[curve].is_nan() {
        Vec::new()
    } else {
        map.nodes(curve, position, speed)
    };
    LookUp { what, symbol, quantity, unit, table: map.title().to_string(), nodes, roots: Vec::new() }
}

impl CompressorMap {
    /// The nodes and weights behind one curve at a position and speed.
    fn nodes(&self, curve: usize, position: f64, speed: f64) -> Vec<(String, f64, f64)> {
        let first = self.below(speed);
        let values: Vec<f64> = self.lines.iter().map(|line| line.curves.at(position)[curve]).collect();
        let across = Piece::between(&self.speeds, &values, first);
        let [low, high, low_slope, high_slope] = weights(&across, speed);
        let mut nodes = Vec::new();
        for (line, share) in [(first, low), (first + 1, high)] {
            let rpm = ShaftSpeed::from_si_unchecked(self.speeds[line]).rpm();
            let curves = &self.lines[line].curves;
            let point = curves.index(position);
            let along = curves.piece(point, curve);
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
