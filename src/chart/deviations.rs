//! The standard deviations of an estimated map, as bars on its speed lines.

use super::FigureError;
use crate::compressor::EstimatedPoint;
use crate::quantity::*;
use crate::shaft::Candidate;

/// Both ends of a bar, each a flow and a pressure ratio.
pub(super) type Bar = [[f64; 2]; 2];

/// For every other speed line of a candidate's estimated map, from the highest down: across at its surge and choke ends,
/// upright at its best point. None for a map that is not estimated, nor for printed lines.
pub(super) fn bars(candidate: &Candidate) -> Result<Vec<Bar>, FigureError> {
    let Some(estimated) = candidate.estimated_map() else { return Ok(Vec::new()) };
    let lines = estimated.estimate().in_brief().map_err(|error| FigureError(error.to_string()))?;
    let bar = |point: &EstimatedPoint, [across, up]: [Fraction; 2]| {
        [-1.0, 1.0].map(|side| {
            [point.flow.si() * (1.0 + side * across.si()), point.ratio.si() * (1.0 + side * up.si())]
        })
    };
    let none = Fraction::from_si_unchecked(0.0);
    let each = lines.iter().rev().step_by(2).flat_map(|line| {
        [
            bar(&line.surge, [line.surge_sigma, none]),
            bar(&line.best, [none, line.band.ratio]),
            bar(&line.choke, [line.choke_sigma, none]),
        ]
    });
    Ok(each.collect())
}
