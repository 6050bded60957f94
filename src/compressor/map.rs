//! A compressor map and what lies at a point of it.
//!
//! Each speed line runs from its surge end (position 0) to its choke end (position 1), by the length
//! of the line, so that a vertical choke and a flat top are both single-valued. Between the points of
//! a line and between lines the interpolation is a monotone cubic; outside the lines there is none.

use super::curve::Curve;
use super::locate::{Cut, Place, STEPS, cut_of, step};
use super::{InletState, MapKind, MapSurface, Reading, Reference, shaft_speed_from_corrected};
use crate::formula::{Context, FormulaError};
use crate::quantity::*;

/// The most speed lines a map may have.
pub(super) const MOST_LINES: usize = 40;

/// The curves of a speed line, in this order: corrected flow, pressure ratio, efficiency.
pub(super) const CURVES: usize = 3;

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

impl LinePoint {
    fn from_si([flow, ratio, efficiency]: [f64; CURVES]) -> Self {
        Self {
            flow: CorrectedMassFlow::from_si_unchecked(flow),
            ratio: PressureRatio::from_si_unchecked(ratio),
            efficiency: Efficiency::from_si_unchecked(efficiency),
        }
    }
}

#[derive(Clone, Debug, PartialEq)]
pub(super) struct SpeedLine {
    speed: f64,
    /// Over the position along the line.
    pub(super) curves: Curve<CURVES>,
}

/// A compressor map with its reference conditions.
#[derive(Clone, Debug, PartialEq)]
pub struct CompressorMap {
    title: String,
    origin: Origin,
    reference: Reference,
    pub(super) lines: Vec<SpeedLine>,
    pub(super) speeds: Vec<f64>,
    pub(super) greatest_flow: f64,
    pub(super) cuts: Vec<Cut>,
    /// The surge end and the choke end of the lines over their speed.
    pub(super) ends: Box<[Curve<CURVES>; 2]>,
    /// Whether a flow and a pressure ratio belong to one point only.
    pub(super) unfolded: bool,
}

/// Where a map was read.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Origin {
    pub file: String,
    pub header_line: Option<usize>,
    pub provenance: String,
    /// What kind of file it was made from, where it was read from one.
    pub kind: Option<MapKind>,
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
        let speeds: Vec<f64> = lines.iter().map(|line| line.speed).collect();
        let greatest_flow = lines.iter().map(|line| line.curves.at(1.0)[0]).fold(0.0, f64::max);
        let cuts = (0..=STEPS).map(|k| cut_of(&lines, step(k))).collect();
        let end = |at| Curve::new(speeds.clone(), lines.iter().map(|line| line.curves.at(at)).collect());
        let ends = Box::new([end(0.0), end(1.0)]);
        let mut map =
            Self { title, origin, reference, lines, speeds, greatest_flow, cuts, ends, unfolded: false };
        map.unfolded = map.is_unfolded();
        map
    }

    /// The first speed line that does not lie above and right of the one below it everywhere, if any.
    pub(super) fn crossing(&self) -> Option<usize> {
        (1..self.lines.len()).find(|&upper| {
            self.cuts.iter().any(|Cut { values: [flow, ratio, _] }| {
                let rises = flow[upper] > flow[upper - 1] && ratio[upper] > ratio[upper - 1];
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
    /// What kind of file it was made from; none where it was computed.
    pub fn kind(&self) -> Option<MapKind> {
        self.origin.kind
    }
    /// The same map, said to be made from a file.
    pub(super) fn read_from(mut self, file: &str, kind: MapKind) -> Self {
        self.origin.file = file.into();
        self.origin.kind = Some(kind);
        self
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
    /// The lowest corrected speed.
    pub fn lowest_speed(&self) -> CorrectedSpeed {
        CorrectedSpeed::from_si_unchecked(self.speeds[0])
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
        let values = self.state(speed.si(), position.si());
        (!values[0].is_nan()).then(|| LinePoint::from_si(values))
    }
    /// The given points of the speed lines, for drawing.
    pub fn points(&self) -> impl Iterator<Item = (CorrectedSpeed, Vec<LinePoint>)> + '_ {
        self.lines.iter().map(|line| {
            let points = line.curves.nodes().iter().map(|&values| LinePoint::from_si(values)).collect();
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
        let Place { position, speed, state } =
            self.locate(w, pi).map_err(|edge| OutsideMap { edge, flow, ratio })?;
        let (position, n) = (position.root, speed.root);
        let [_, _, efficiency] = state.values;
        let [surge_flow, surge_ratio, _] = self.surge_end(n);
        let [choke_flow, _, _] = self.choke_end(n);
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

    /// The shaft speed at a point of the map for an inlet state.
    pub fn shaft_speed(&self, point: &MapPoint, inlet: &InletState) -> Result<ShaftSpeed, FormulaError> {
        shaft_speed_from_corrected(point.speed, inlet.temperature, self.reference.temperature())
    }

    /// A figure of the map over corrected flow and pressure ratio.
    pub fn surface(&self, reading: Reading) -> MapSurface<'_> {
        MapSurface { map: self, reading }
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
        let values = points.iter().map(|p| [p.flow.si(), p.ratio.si(), p.efficiency.si()]).collect();
        Self { speed, curves: Curve::new(position, values) }
    }
}
