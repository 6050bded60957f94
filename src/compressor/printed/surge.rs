//! The printed surge line: rows that the others contradict, and what is left of it beside the merged map.

use super::conflict::{Conflict, surge_flow};
use super::extend::FURTHEST;
use super::misread::{Place, apart, left_out};
use super::{PrintedMap, PrintedPoint};
use crate::compressor::CompressorMap;
use crate::quantity::*;

/// What the flow of a surge line can be read to, relative, by judgement: it is drawn by hand on most maps.
const READ_TO: f64 = 0.01;

/// What is left at a point of the printed surge line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SurgeResidual {
    /// The point.
    pub point: PrintedPoint,
    /// Its flow over that at which the merged map ends at its pressure ratio, less one.
    pub off: f64,
}

/// The surge line without the rows that the others contradict, and those. A row is told by its neighbours: flow over
/// pressure ratio.
pub(super) fn sound(map: &PrintedMap) -> (Vec<PrintedPoint>, Vec<Conflict>) {
    let (mut line, mut conflicts) = (map.surge.clone(), Vec::new());
    loop {
        let off = deviations(&line);
        let without = |index: usize| {
            let mut rest = line.clone();
            rest.remove(index);
            deviations(&rest)
        };
        let Some(index) = apart(&off, without) else { return (line, conflicts) };
        let point = line.remove(index);
        let told = surge_flow(&line, point.ratio.si()).map(CorrectedMassFlow::from_si_unchecked);
        conflicts.push(Conflict::SurgeRow { point, told });
    }
}

/// How far each row is from what its neighbours say, in standard deviations; rows of a line of few are not told.
fn deviations(line: &[PrintedPoint]) -> Vec<(usize, f64)> {
    let place = |point: &PrintedPoint| Place {
        along: point.ratio.si(),
        value: point.flow.si(),
        sigma: READ_TO * point.flow.si(),
    };
    let mut places: Vec<(usize, Place)> = line.iter().map(place).enumerate().collect();
    places.sort_by(|a, b| a.1.along.total_cmp(&b.1.along));
    let plain: Vec<Place> = places.iter().map(|(_, place)| *place).collect();
    places.iter().map(|(index, _)| *index).zip(left_out(&plain)).collect()
}

/// What is left of the surge line at its rows that lie between the surge ends of the map's lowest and highest line.
pub(super) fn residuals(line: &[PrintedPoint], map: &CompressorMap) -> Vec<SurgeResidual> {
    let ends = map.points().filter_map(|(_, points)| {
        let first = points.first()?;
        Some(PrintedPoint::new(first.flow, first.ratio))
    });
    let ends: Vec<PrintedPoint> = ends.collect();
    let residual = |point: &PrintedPoint| {
        let flow = surge_flow(&ends, point.ratio.si())?;
        Some(SurgeResidual { point: *point, off: point.flow.si() / flow - 1.0 })
    };
    line.iter().filter_map(residual).collect()
}

/// The rows that are further left of all lines than these are extended.
pub(super) fn away(residuals: &[SurgeResidual]) -> impl Iterator<Item = Conflict> {
    let away = residuals.iter().filter(|residual| residual.off.abs() > FURTHEST);
    away.map(|&residual| Conflict::SurgeAway { residual })
}
