//! A turbine map: corrected flow and efficiency over corrected speed and expansion ratio.

use super::BearingLoss;
use crate::compressor::{Curve, weights};
use crate::formula::{Context, FormulaError, LookUp, Surface, checked};
use crate::quantity::*;
use std::sync::Mutex;

/// What a map's corrected figures are brought to, and the gas it was measured on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TestConditions {
    pub(super) temperature: Temperature,
    pub(super) pressure: Pressure,
    pub(super) gamma: HeatCapacityRatio,
    pub(super) gas_constant: SpecificHeat,
}

impl TestConditions {
    /// Reference temperature (250 to 1300 K) and pressure (50 to 200 kPa), ratio of specific heats (1.1 to 1.67) and gas
    /// constant (150 to 600 J/(kg K)) of the test gas.
    pub fn new(
        temperature: Temperature,
        pressure: Pressure,
        gamma: HeatCapacityRatio,
        gas_constant: SpecificHeat,
    ) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::TestConditions::new";
        Ok(Self {
            temperature: checked(NAME, "temperature", "reference temperature", temperature, 250.0, 1300.0)?,
            pressure: checked(NAME, "pressure", "reference pressure", pressure, 5e4, 2e5)?,
            gamma: checked(NAME, "gamma", "ratio of specific heats", gamma, 1.1, 1.6667)?,
            gas_constant: checked(NAME, "gas_constant", "gas constant", gas_constant, 150.0, 600.0)?,
        })
    }
    /// Reference temperature.
    pub fn temperature(&self) -> Temperature {
        self.temperature
    }
    /// Reference pressure.
    pub fn pressure(&self) -> Pressure {
        self.pressure
    }
    /// Ratio of specific heats of the test gas.
    pub fn gamma(&self) -> HeatCapacityRatio {
        self.gamma
    }
    /// Gas constant of the test gas.
    pub fn gas_constant(&self) -> SpecificHeat {
        self.gas_constant
    }
}

/// What is done beyond the lines of a map.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beyond {
    /// Refused.
    Refuse,
    /// The figures of the nearest edge, and flagged.
    HoldEdge,
}

/// One point of a speed line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct TurbineLinePoint {
    pub ratio: f64,
    pub flow: f64,
    pub efficiency: f64,
}

/// A speed line over the share of its range of expansion ratios, 0 to 1.
#[derive(Clone, Debug, PartialEq)]
struct Line {
    speed: f64,
    ends: [f64; 2],
    curves: Curve<2>,
}

#[derive(Debug, PartialEq)]
struct Table {
    file: String,
    title: String,
    provenance: String,
    test: TestConditions,
    bearings: BearingLoss,
    wheel: Option<Length>,
    lines: Vec<Line>,
}

/// A measured turbine map, read from CSV by [`from_csv`](Self::from_csv).
///
/// Between the points of a line a monotone cubic over the expansion ratio; between two lines, at the same share of their
/// ranges, a straight line over speed: no figure leaves those of its four neighbours. Beyond the lines it is refused unless
/// [`Beyond::HoldEdge`] was asked for.
///
/// A map once read is kept as long as the program runs, each only once, so that its figures are handed about as plain copies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurbineMap {
    table: &'static Table,
    beyond: Beyond,
    /// Flow over the measured flow: one, but for the edges of a band.
    scale: f64,
}

/// What a map says at a corrected speed and an expansion ratio.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurbineReading {
    /// Corrected flow.
    pub flow: CorrectedMassFlow,
    /// Efficiency, total to static.
    pub efficiency: Efficiency,
    /// Whether the point lies beyond the lines, and the nearest edge was read.
    pub extrapolated: bool,
}

static READ: Mutex<Vec<&'static Table>> = Mutex::new(Vec::new());

/// Where a point lies: the lower line, the share of the way to the upper, the position along both, and how the position
/// moves with ratio and speed.
#[derive(Clone, Copy)]
struct Place {
    line: usize,
    share: f64,
    position: f64,
    by_ratio: f64,
    by_speed: f64,
    share_by_speed: f64,
    outside: bool,
}

impl TurbineMap {
    pub(super) fn build(
        [file, title, provenance]: [String; 3],
        test: TestConditions,
        (bearings, wheel): (BearingLoss, Option<Length>),
        lines: Vec<(f64, Vec<TurbineLinePoint>)>,
    ) -> Self {
        let line = |(speed, points): (f64, Vec<TurbineLinePoint>)| {
            let ends = [points[0].ratio, points[points.len() - 1].ratio];
            let place = points.iter().map(|point| (point.ratio - ends[0]) / (ends[1] - ends[0])).collect();
            let values = points.iter().map(|point| [point.flow, point.efficiency]).collect();
            Line { speed, ends, curves: Curve::new(place, values) }
        };
        let lines = lines.into_iter().map(line).collect();
        let table = Table { file, title, provenance, test, bearings, wheel, lines };
        let mut kept = READ.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        let known = kept.iter().copied().find(|known| **known == table);
        let table = known.unwrap_or_else(|| {
            kept.push(Box::leak(Box::new(table)));
            kept[kept.len() - 1]
        });
        Self { table, beyond: Beyond::Refuse, scale: 1.0 }
    }
    /// Sets what is done beyond its lines.
    pub fn beyond(mut self, beyond: Beyond) -> Self {
        self.beyond = beyond;
        self
    }
    /// The same map with all its flows larger by a factor.
    pub(super) fn scaled(self, factor: f64) -> Self {
        Self { scale: self.scale * factor, ..self }
    }
    /// The file it was read from.
    pub fn file(&self) -> &'static str {
        &self.table.file
    }
    /// Its title.
    pub fn title(&self) -> &'static str {
        &self.table.title
    }
    /// Where it comes from.
    pub fn provenance(&self) -> &'static str {
        &self.table.provenance
    }
    /// Reference conditions and test gas.
    pub fn test(&self) -> TestConditions {
        self.table.test
    }
    /// Whether its efficiency includes the bearings.
    pub fn bearings(&self) -> BearingLoss {
        self.table.bearings
    }
    /// The wheel's diameter at its inlet, where the map says it.
    pub fn wheel(&self) -> Option<Length> {
        self.table.wheel
    }
    /// The corrected speeds of its lines, rising.
    pub fn speeds(&self) -> impl Iterator<Item = CorrectedSpeed> {
        self.table.lines.iter().map(|line| CorrectedSpeed::from_si_unchecked(line.speed))
    }
    /// The largest corrected flow of any line.
    pub fn greatest_flow(&self) -> CorrectedMassFlow {
        let most = self.table.lines.iter().flat_map(|line| line.curves.nodes()).map(|values| values[0]);
        CorrectedMassFlow::from_si_unchecked(self.scale * most.fold(0.0, f64::max))
    }

    /// Flow and efficiency at a corrected speed and an expansion ratio of the test gas.
    ///
    /// # Errors
    ///
    /// [`FormulaError`]: not finite, or beyond the lines where that is refused.
    pub fn read(&self, speed: CorrectedSpeed, ratio: ExpansionRatio) -> Result<TurbineReading, FormulaError> {
        const NAME: &str = "turbine::TurbineMap::read";
        let speed = checked(NAME, "speed", "corrected speed", speed, 0.0, 5e4)?;
        let ratio = checked(NAME, "ratio", "expansion ratio", ratio, 1.0, 20.0)?;
        let place = self.place(speed.si(), ratio.si());
        if place.outside && self.beyond == Beyond::Refuse {
            return Err(FormulaError::NoResult { formula: NAME, why: self.outside(speed.si(), ratio.si()) });
        }
        let [flow, efficiency] = [0, 1].map(|k| self.value(&place, k).0);
        Ok(TurbineReading {
            flow: CorrectedMassFlow::from_si(flow)?,
            efficiency: Efficiency::from_si(efficiency)?,
            extrapolated: place.outside,
        })
    }

    /// In words, where a point lies that no line covers.
    fn outside(&self, speed: f64, ratio: f64) -> String {
        let rpm = |speed| ShaftSpeed::from_si_unchecked(speed).rpm();
        let lines = &self.table.lines;
        let (first, last) = (lines[0].speed, lines[lines.len() - 1].speed);
        if speed < first || speed > last {
            return format!(
                "{} has lines from {:.0} to {:.0} rpm; {:.0} rpm is not read",
                self.title(),
                rpm(first),
                rpm(last),
                rpm(speed)
            );
        }
        let [low, high] = self.range(speed);
        format!(
            "{} at {:.0} rpm has expansion ratios from {low:.3} to {high:.3}; {ratio:.3} is not read",
            self.title(),
            rpm(speed)
        )
    }

    /// Expansion ratios covered at a speed within the lines.
    fn range(&self, speed: f64) -> [f64; 2] {
        let (line, share) = self.between(speed);
        let [a, b] = [&self.table.lines[line], &self.table.lines[line + 1]];
        [0, 1].map(|k| a.ends[k] + share * (b.ends[k] - a.ends[k]))
    }

    fn between(&self, speed: f64) -> (usize, f64) {
        let lines = &self.table.lines;
        let line = lines.partition_point(|line| line.speed <= speed).clamp(1, lines.len() - 1) - 1;
        (line, (speed - lines[line].speed) / (lines[line + 1].speed - lines[line].speed))
    }

    fn place(&self, speed: f64, ratio: f64) -> Place {
        let (line, free) = self.between(speed);
        let share = free.clamp(0.0, 1.0);
        let [a, b] = [&self.table.lines[line], &self.table.lines[line + 1]];
        let share_by_speed = if share == free { 1.0 / (b.speed - a.speed) } else { 0.0 };
        let [grow_low, grow_high] = [0, 1].map(|k| b.ends[k] - a.ends[k]);
        let [low, high] = [a.ends[0] + share * grow_low, a.ends[1] + share * grow_high];
        let free_position = (ratio - low) / (high - low);
        let position = free_position.clamp(0.0, 1.0);
        let inside = position == free_position;
        let by_ratio = if inside { 1.0 / (high - low) } else { 0.0 };
        let drift = grow_low + position * (grow_high - grow_low);
        Place {
            line,
            share,
            position,
            by_ratio,
            by_speed: -drift * share_by_speed * by_ratio,
            share_by_speed,
            outside: !inside || share != free,
        }
    }

    /// Curve `k` (flow, efficiency) at a place with its slopes to speed and ratio.
    fn value(&self, place: &Place, k: usize) -> (f64, [f64; 2]) {
        let [(a, slope_a), (b, slope_b)] = [0, 1].map(|upper| {
            let curves = &self.table.lines[place.line + upper].curves;
            curves.piece(curves.index(place.position), k).at(place.position)
        });
        let along = slope_a + place.share * (slope_b - slope_a);
        let by_speed = (b - a) * place.share_by_speed + along * place.by_speed;
        let scale = self.scale_of(k);
        (scale * (a + place.share * (b - a)), [scale * by_speed, scale * along * place.by_ratio])
    }

    fn scale_of(&self, k: usize) -> f64 {
        if k == MapFigure::Flow as usize { self.scale } else { 1.0 }
    }

    /// One of its two figures over corrected speed and expansion ratio.
    pub(super) fn surface(&self, figure: MapFigure) -> TurbineSurface {
        TurbineSurface { map: *self, figure }
    }
}

impl Context for TurbineMap {
    fn label(&self) -> &str {
        self.title()
    }
}

/// A figure of a turbine map.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum MapFigure {
    Flow,
    Efficiency,
}

/// A figure of a map over corrected speed (rad/s) and expansion ratio.
#[derive(Clone, Copy, Debug)]
pub(super) struct TurbineSurface {
    map: TurbineMap,
    figure: MapFigure,
}

impl Surface for TurbineSurface {
    fn at(&self, speed: f64, ratio: f64) -> (f64, [f64; 2]) {
        let place = self.map.place(speed, ratio);
        if !(speed.is_finite() && ratio.is_finite()) || place.outside && self.map.beyond == Beyond::Refuse {
            return (f64::NAN, [f64::NAN; 2]);
        }
        self.map.value(&place, self.figure as usize)
    }
    fn label(&self) -> &str {
        self.map.title()
    }
    fn look_up(&self, speed: f64, ratio: f64) -> LookUp {
        let place = self.map.place(speed, ratio);
        let (what, symbol, quantity, unit) = match self.figure {
            MapFigure::Flow => {
                ("corrected flow", "W_c", CorrectedMassFlow::NAME, CorrectedMassFlow::si_unit())
            }
            MapFigure::Efficiency => ("efficiency", "eta_t", Efficiency::NAME, Efficiency::si_unit()),
        };
        let scale = self.map.scale_of(self.figure as usize);
        let mut nodes = Vec::new();
        for (upper, share) in [(0, 1.0 - place.share), (1, place.share)] {
            let line = &self.map.table.lines[place.line + upper];
            let point = line.curves.index(place.position);
            let along = line.curves.piece(point, self.figure as usize);
            let rpm = ShaftSpeed::from_si_unchecked(line.speed).rpm();
            let names = ["point", "point", "slope at point", "slope at point"];
            let values = [along.y[0], along.y[1], along.d[0], along.d[1]];
            for (k, weight) in weights(&along, place.position).into_iter().enumerate() {
                let name = format!("line {rpm:.0} rpm, {} {}", names[k], point + k % 2 + 1);
                nodes.push((name, values[k], scale * share * weight));
            }
        }
        LookUp { what, symbol, quantity, unit, table: self.map.title().into(), nodes, roots: Vec::new() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn demo() -> TurbineMap {
        TurbineMap::from_csv_text("demo-map.csv", include_str!("../../data/turbine/demo-map.csv")).unwrap()
    }

    // The nodes and weights on record add up to what was read, also at the edge of a band.
    #[test]
    fn a_reading_is_the_sum_of_its_nodes() {
        for map in [demo(), demo().scaled(1.1)] {
            for figure in [MapFigure::Flow, MapFigure::Efficiency] {
                let surface = map.surface(figure);
                for (speed, ratio) in [(4000.0, 1.35), (5000.0, 1.6), (7000.0, 2.4)] {
                    let value = surface.at(speed, ratio).0;
                    let sum = surface.look_up(speed, ratio).value();
                    assert!((sum / value - 1.0).abs() < 1e-14, "{sum} {value}");
                }
            }
        }
    }

    #[test]
    fn a_band_scales_the_flow_and_nothing_else() {
        let at = |map: TurbineMap, figure| map.surface(figure).at(5000.0, 1.6).0;
        let (map, wide) = (demo(), demo().scaled(1.1));
        assert!((at(wide, MapFigure::Flow) / at(map, MapFigure::Flow) - 1.1).abs() < 1e-15);
        assert_eq!(at(wide, MapFigure::Efficiency).to_bits(), at(map, MapFigure::Efficiency).to_bits());
        assert!((wide.greatest_flow() / map.greatest_flow() - 1.1).abs() < 1e-15);
    }

    #[test]
    fn beyond_its_lines_a_surface_has_no_number() {
        let surface = demo().surface(MapFigure::Flow);
        for (speed, ratio) in [(2000.0, 1.4), (9000.0, 2.0), (5000.0, 1.1), (5000.0, 3.0), (f64::NAN, 1.5)] {
            let (value, slopes) = surface.at(speed, ratio);
            assert!(value.is_nan() && slopes.iter().all(|slope| slope.is_nan()));
        }
    }

    // Maps of one content are kept once.
    #[test]
    fn a_map_is_kept_once() {
        assert!(core::ptr::eq(demo().table, demo().table));
    }
}
