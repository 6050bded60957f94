//! A compressor map and what lies at a point of it.
//!
//! Each speed line runs from its surge end (position 0) to its choke end (position 1), by the length
//! of the line, so that a vertical choke and a flat top are both single-valued. Between the points of
//! a line and between lines the interpolation is a monotone cubic; outside the lines there is none.

use super::curve::{Curve, Piece};
use super::{InletState, MapSurface, Reading, Reference, shaft_speed_from_corrected};
use crate::formula::{Context, FormulaError};
use crate::quantity::*;
use crate::solve::{NoRoot, root};

/// The most speed lines a map may have.
pub(super) const MOST_LINES: usize = 40;

/// One point of a speed line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinePoint {
    /// Corrected flow.
    pub flow: CorrectedMassFlow,
    /// Pressure ratio, total to total.
    pub ratio: PressureRatio,
    /// Isentropic efficiency, total to total.
    pub efficiency: Efficiency,
}

#[derive(Clone, Debug, PartialEq)]
struct SpeedLine {
    speed: f64,
    flow: Curve,
    ratio: Curve,
    efficiency: Curve,
}

/// A compressor map with its reference conditions.
#[derive(Clone, Debug, PartialEq)]
pub struct CompressorMap {
    title: String,
    origin: Origin,
    reference: Reference,
    lines: Vec<SpeedLine>,
    pub(super) speeds: Vec<f64>,
    greatest_flow: f64,
    cuts: Vec<Cut>,
}

/// Where a map was read.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Origin {
    pub file: String,
    pub header_line: Option<usize>,
    pub provenance: String,
}

/// The edge of a map that a point lies beyond.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MapEdge {
    /// Less flow than the surge end of the lines at this pressure ratio.
    Surge,
    /// More flow than the choke end of the lines at this pressure ratio.
    Choke,
    /// Above the highest speed line.
    HighestSpeed,
    /// Below the lowest speed line.
    LowestSpeed,
    /// Nowhere: flow or pressure ratio is not a number.
    NotANumber,
}

impl MapEdge {
    /// The edge in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Surge => "left of the surge line",
            Self::Choke => "right of the choke end of the speed lines",
            Self::HighestSpeed => "above the highest speed line",
            Self::LowestSpeed => "below the lowest speed line",
            Self::NotANumber => "not a point",
        }
    }
}

/// A point outside a map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutsideMap {
    /// The edge it lies beyond.
    pub edge: MapEdge,
    /// The corrected flow asked for.
    pub flow: CorrectedMassFlow,
    /// The pressure ratio asked for.
    pub ratio: PressureRatio,
}

impl core::fmt::Display for OutsideMap {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(
            f,
            "corrected flow {} at pressure ratio {} is {}; the map is not extrapolated",
            self.flow,
            self.ratio,
            self.edge.words()
        )
    }
}
impl core::error::Error for OutsideMap {}

/// What a map says at a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MapPoint {
    /// Corrected flow.
    pub flow: CorrectedMassFlow,
    /// Pressure ratio.
    pub ratio: PressureRatio,
    /// Corrected speed.
    pub speed: CorrectedSpeed,
    /// Isentropic efficiency.
    pub efficiency: Efficiency,
    /// Position along the speed line: 0 at its surge end, 1 at its choke end.
    pub position: Fraction,
    /// Corrected flow at the surge end of the speed line.
    pub surge_flow: CorrectedMassFlow,
    /// Pressure ratio at the surge end of the speed line.
    pub surge_ratio: PressureRatio,
    /// Corrected flow at the choke end of the speed line.
    pub choke_flow: CorrectedMassFlow,
    /// Margin to the surge line.
    pub surge: ConstantSpeedSurgeMargin,
    /// Margin to the choke end of the speed line.
    pub choke: ConstantSpeedChokeMargin,
}

/// Distance to surge along the speed line: (Pi_s/Pi)(W/W_s) - 1 at constant corrected speed.
///
/// Another definition in use compares pressure ratios at constant flow; the two differ.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct ConstantSpeedSurgeMargin(pub Fraction);

/// Distance to the choke end of the speed line: W_choke/W - 1 at constant corrected speed.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct ConstantSpeedChokeMargin(pub Fraction);

formulas! { room "compressor" group MARGINS;
    /// Margin to surge at constant corrected speed
    ///
    /// (Pi_s/Pi)(W_c/W_s) - 1. Another definition in use compares pressure ratios at constant flow; the two
    /// differ.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let m = shaftwork::compressor::surge_margin(
    ///     corrected_kg_per_s(0.2), PressureRatio::new(2.2)?, corrected_kg_per_s(0.25), PressureRatio::new(2.0)?)?;
    /// assert!((m.percent() - 37.5).abs() < 1e-9); // by hand: 1.1 x 1.25 - 1
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn surge_margin(
        surge_flow: CorrectedMassFlow = "W_s" in [1e-5, 50.0], "corrected flow at the surge end of the speed line";
        surge_ratio: PressureRatio = "Pi_s" in [1.0, 20.0], "pressure ratio at the surge end of the speed line";
        flow: CorrectedMassFlow = "W_c" in [1e-5, 50.0], "corrected flow";
        ratio: PressureRatio = "Pi" in [1.0, 20.0], "pressure ratio";
    ) -> Fraction = "m_s"
    source "[by-definition]"
    { surge_ratio / ratio * flow / surge_flow - 1.0 }

    /// Margin to the choke end of the speed line at constant corrected speed
    ///
    /// W_ch/W_c - 1
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let m = shaftwork::compressor::choke_margin(corrected_kg_per_s(0.3), corrected_kg_per_s(0.25))?;
    /// assert!((m.percent() - 20.0).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn choke_margin(
        choke_flow: CorrectedMassFlow = "W_ch" in [1e-5, 50.0], "corrected flow at the choke end of the speed line";
        flow: CorrectedMassFlow = "W_c" in [1e-5, 50.0], "corrected flow";
    ) -> Fraction = "m_ch"
    source "[by-definition]"
    { choke_flow / flow - 1.0 }
}

impl Context for CompressorMap {
    fn label(&self) -> &str {
        &self.title
    }
}

/// The positions at which a map is cut once and for all, to bracket what is looked for.
const STEPS: usize = 24;

/// The state of all lines at one position, without allocating.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cut {
    pub(super) values: [[f64; MOST_LINES]; 3],
}

impl CompressorMap {
    /// Builds a map from checked speed lines, each from surge to choke, speeds rising.
    pub(super) fn build(
        title: String,
        origin: Origin,
        reference: Reference,
        lines: &[(CorrectedSpeed, Vec<LinePoint>)],
    ) -> Self {
        let lines: Vec<SpeedLine> =
            lines.iter().map(|(speed, points)| SpeedLine::new(speed.si(), points)).collect();
        let speeds = lines.iter().map(|line| line.speed).collect();
        let greatest_flow = lines.iter().map(|line| line.flow.at(1.0)).fold(0.0, f64::max);
        let cuts = (0..=STEPS).map(|k| Self::cut_of(&lines, Self::step(k))).collect();
        Self { title, origin, reference, lines, speeds, greatest_flow, cuts }
    }

    /// The first speed line that does not lie above and right of the one below it everywhere, if any.
    pub(super) fn crossing(&self) -> Option<usize> {
        (1..self.lines.len()).find(|&upper| {
            let (low, high) = (&self.lines[upper - 1], &self.lines[upper]);
            (0..=STEPS).map(Self::step).any(|s| {
                let rises = high.flow.at(s) > low.flow.at(s) && high.ratio.at(s) > low.ratio.at(s);
                !rises
            })
        })
    }

    /// Its title.
    pub fn title(&self) -> &str {
        &self.title
    }
    /// Where it comes from.
    pub fn provenance(&self) -> &str {
        &self.origin.provenance
    }
    /// The file it was read from.
    pub fn file(&self) -> &str {
        &self.origin.file
    }
    /// The line of the file that names its columns.
    pub fn header_line(&self) -> Option<usize> {
        self.origin.header_line
    }
    /// Its reference conditions.
    pub fn reference(&self) -> &Reference {
        &self.reference
    }
    /// The corrected speeds of its lines, rising.
    pub fn speeds(&self) -> impl Iterator<Item = CorrectedSpeed> + '_ {
        self.speeds.iter().map(|&speed| CorrectedSpeed::from_si_unchecked(speed))
    }
    /// The highest corrected speed.
    pub fn highest_speed(&self) -> CorrectedSpeed {
        CorrectedSpeed::from_si_unchecked(self.speeds[self.speeds.len() - 1])
    }
    /// The greatest corrected flow of the map.
    pub fn greatest_flow(&self) -> CorrectedMassFlow {
        CorrectedMassFlow::from_si_unchecked(self.greatest_flow)
    }
    /// A point by speed and position along the line.
    ///
    /// Returns `None` outside the map's speeds or positions.
    pub fn on_line(&self, speed: CorrectedSpeed, position: Fraction) -> Option<LinePoint> {
        let (n, s) = (speed.si(), position.si());
        let ends = self.speeds[0]..=self.speeds[self.speeds.len() - 1];
        (ends.contains(&n) && (0.0..=1.0).contains(&s)).then(|| {
            let [flow, ratio, efficiency] = self.at(n, &self.cut(s));
            LinePoint {
                flow: CorrectedMassFlow::from_si_unchecked(flow),
                ratio: PressureRatio::from_si_unchecked(ratio),
                efficiency: Efficiency::from_si_unchecked(efficiency),
            }
        })
    }
    /// The given points of the speed lines, for drawing.
    pub fn points(&self) -> impl Iterator<Item = (CorrectedSpeed, Vec<LinePoint>)> + '_ {
        self.lines.iter().map(|line| {
            let nodes = line.flow.nodes().iter().zip(line.ratio.nodes()).zip(line.efficiency.nodes());
            let points = nodes
                .map(|((&flow, &ratio), &efficiency)| LinePoint {
                    flow: CorrectedMassFlow::from_si_unchecked(flow),
                    ratio: PressureRatio::from_si_unchecked(ratio),
                    efficiency: Efficiency::from_si_unchecked(efficiency),
                })
                .collect();
            (CorrectedSpeed::from_si_unchecked(line.speed), points)
        })
    }

    /// What the map says at a corrected flow and pressure ratio.
    ///
    /// # Errors
    ///
    /// [`OutsideMap`] with the edge the point lies beyond: there is no extrapolation.
    pub fn at_point(&self, flow: CorrectedMassFlow, ratio: PressureRatio) -> Result<MapPoint, OutsideMap> {
        let (w, pi) = (flow.si(), ratio.si());
        let place = self.locate(w, pi).map_err(|edge| OutsideMap { edge, flow, ratio })?;
        let [position, n] = place.map(|found| found.root);
        let [_, _, efficiency] = self.at(n, &self.cut(position));
        let [surge_flow, surge_ratio, _] = self.at(n, &self.cuts[0]);
        let [choke_flow, _, _] = self.at(n, &self.cuts[STEPS]);
        let margin = |value: f64| Fraction::from_si_unchecked(value);
        Ok(MapPoint {
            flow,
            ratio,
            speed: CorrectedSpeed::from_si_unchecked(n),
            efficiency: Efficiency::from_si_unchecked(efficiency),
            position: Fraction::from_si_unchecked(position),
            surge_flow: CorrectedMassFlow::from_si_unchecked(surge_flow),
            surge_ratio: PressureRatio::from_si_unchecked(surge_ratio),
            choke_flow: CorrectedMassFlow::from_si_unchecked(choke_flow),
            surge: ConstantSpeedSurgeMargin(margin(surge_margin::of(surge_flow, surge_ratio, w, pi))),
            choke: ConstantSpeedChokeMargin(margin(choke_margin::of(choke_flow, w))),
        })
    }

    /// Position along the line and speed at a corrected flow and pressure ratio, each as it was found.
    pub(super) fn locate(&self, w: f64, pi: f64) -> Result<[Located; 2], MapEdge> {
        if !w.is_finite() || !pi.is_finite() {
            return Err(MapEdge::NotANumber);
        }
        if w > self.greatest_flow {
            return Err(MapEdge::Choke);
        }
        let position = self.find(w, pi)?;
        let across = self.piece_for(&self.cut(position.root), pi).map_err(Side::edge)?;
        let (root, steps) = across.solve(pi);
        Ok([position, Located { root, bracket: across.x, steps }])
    }

    /// The position at which the contour of this pressure ratio carries this flow. Along such a
    /// contour, from surge to choke, the flow rises.
    fn find(&self, w: f64, pi: f64) -> Result<Located, MapEdge> {
        // Flow beyond the wanted one: infinite where the contour leaves the map by a speed line.
        let beyond = |cut: &Cut| match self.speed_for(cut, pi) {
            Ok(n) => self.at(n, cut)[0] - w,
            Err(Side::Below) => f64::NEG_INFINITY,
            Err(Side::Above) => f64::INFINITY,
        };
        let mut low = (0.0, beyond(&self.cuts[0]));
        if low.1 == 0.0 {
            return Ok(Located { root: 0.0, bracket: [0.0, 0.0], steps: 1 });
        }
        let first = low.1;
        let mut bracket = None;
        for k in 1..=STEPS {
            let high = (Self::step(k), beyond(&self.cuts[k]));
            if low.1 <= 0.0 && high.1 >= 0.0 {
                bracket = Some((low, high));
                break;
            }
            low = high;
        }
        let Some((low, high)) = bracket else {
            return Err(match (first, low.1) {
                (f64::INFINITY, _) => MapEdge::HighestSpeed,
                (_, f64::NEG_INFINITY) => MapEdge::LowestSpeed,
                (first, _) if first > 0.0 => MapEdge::Surge,
                _ => MapEdge::Choke,
            });
        };
        // A jump means that the contour leaves the map before it carries this flow.
        let (bracket, mut steps) = ([low.0, high.0], 0);
        let counted = |s: f64| {
            steps += 1;
            beyond(&self.cut(s))
        };
        let found = root(counted, bracket, 1e-13).or_else(|none| match none {
            // On the lowest or highest line itself.
            NoRoot::Jump { at, value } if value.abs() <= 1e-9 * w => Ok(at),
            _ => Err(Self::border(low.1, high.1)),
        });
        found.map(|root| Located { root, bracket, steps })
    }

    fn border(low: f64, high: f64) -> MapEdge {
        if high == f64::INFINITY {
            MapEdge::HighestSpeed
        } else if low == f64::NEG_INFINITY {
            MapEdge::LowestSpeed
        } else {
            MapEdge::Choke
        }
    }

    fn step(k: usize) -> f64 {
        k as f64 / STEPS as f64
    }

    pub(super) fn cut(&self, s: f64) -> Cut {
        Self::cut_of(&self.lines, s)
    }

    fn cut_of(lines: &[SpeedLine], s: f64) -> Cut {
        let mut values = [[0.0; MOST_LINES]; 3];
        for (i, line) in lines.iter().enumerate() {
            values[0][i] = line.flow.at(s);
            values[1][i] = line.ratio.at(s);
            values[2][i] = line.efficiency.at(s);
        }
        Cut { values }
    }

    /// Flow, pressure ratio and efficiency at a speed inside the map.
    pub(super) fn at(&self, n: f64, cut: &Cut) -> [f64; 3] {
        core::array::from_fn(|k| self.between(&cut.values[k][..self.speeds.len()], n).1.at(n).0)
    }

    /// The piece between the two lines around a speed, and the lower line's index.
    pub(super) fn between(&self, values: &[f64], n: f64) -> (usize, Piece) {
        let i = self.speeds.partition_point(|&node| node <= n).clamp(1, self.speeds.len() - 1) - 1;
        (i, Piece::between(&self.speeds, values, i))
    }

    /// One curve of a line: flow, ratio or efficiency over position.
    pub(super) fn curve(&self, line: usize, curve: usize) -> &Curve {
        let line = &self.lines[line];
        [&line.flow, &line.ratio, &line.efficiency][curve]
    }

    /// The speed at which the lines, cut at one position, reach a pressure ratio.
    fn speed_for(&self, cut: &Cut, pi: f64) -> Result<f64, Side> {
        self.piece_for(cut, pi).map(|piece| piece.invert(pi))
    }

    /// The piece of that relation in which the pressure ratio lies.
    fn piece_for(&self, cut: &Cut, pi: f64) -> Result<Piece, Side> {
        let count = self.speeds.len();
        let ratios = &cut.values[1][..count];
        if pi < ratios[0] {
            return Err(Side::Below);
        }
        if pi > ratios[count - 1] {
            return Err(Side::Above);
        }
        let i = ratios.partition_point(|&ratio| ratio <= pi).clamp(1, count - 1) - 1;
        Ok(Piece::between(&self.speeds, ratios, i))
    }

    /// The shaft speed at a point of the map for an inlet state.
    pub fn shaft_speed(&self, point: &MapPoint, inlet: &InletState) -> Result<ShaftSpeed, FormulaError> {
        shaft_speed_from_corrected(point.speed, inlet.temperature, self.reference.temperature())
    }

    /// A figure of the map over corrected flow and pressure ratio.
    pub fn surface(&self, reading: Reading) -> MapSurface<'_> {
        MapSurface { map: self, reading }
    }
}

/// A root on the way to a point: where it was looked for, and the steps taken.
#[derive(Clone, Copy)]
pub(super) struct Located {
    pub root: f64,
    pub bracket: [f64; 2],
    pub steps: usize,
}

enum Side {
    Below,
    Above,
}

impl Side {
    fn edge(self) -> MapEdge {
        match self {
            Self::Below => MapEdge::LowestSpeed,
            Self::Above => MapEdge::HighestSpeed,
        }
    }
}

impl SpeedLine {
    fn new(speed: f64, points: &[LinePoint]) -> Self {
        let widest = points.iter().map(|p| p.flow.si()).fold(0.0, f64::max);
        let highest = points.iter().map(|p| p.ratio.si()).fold(0.0, f64::max);
        let mut length = vec![0.0];
        for pair in points.windows(2) {
            let across = (pair[1].flow.si() - pair[0].flow.si()) / widest;
            let down = (pair[1].ratio.si() - pair[0].ratio.si()) / highest;
            length.push(length[length.len() - 1] + across.hypot(down));
        }
        let whole = length[length.len() - 1];
        let position: Vec<f64> = length.iter().map(|l| l / whole).collect();
        let curve =
            |value: fn(&LinePoint) -> f64| Curve::new(position.clone(), points.iter().map(value).collect());
        Self {
            speed,
            flow: curve(|p| p.flow.si()),
            ratio: curve(|p| p.ratio.si()),
            efficiency: curve(|p| p.efficiency.si()),
        }
    }
}
