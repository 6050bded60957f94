//! Measured lines: where readings stand along their line, and which of them have no say.
//!
//! Readings may stand in any order and several may repeat one setting. Where flow rises and pressure ratio falls, their
//! scaled difference is the length of the line, across and down added: it orders them. The lines are fitted by
//! least squares; what lies beyond three standard deviations is named, left out, and the rest is fitted again.

use super::merge::{Fit, check, line_residuals};
use super::outline::{Given, Outline, outlines, scale};
use super::work::{LEAST_SIGMA, Sample, spread};
use super::{Conflict, FitError, FittedMap, LineResidual};
use crate::compressor::{LinePoint, Reference};
use crate::quantity::*;

/// Standard deviations beyond which a reading is named.
const FAR: f64 = 3.0;
/// For how many rounds a reading that was left out may come back because it is far off no longer.
const ROUNDS: usize = 6;
/// What a freedom of the fit costs where readings scatter [kim-gu].
const COST: f64 = 1.4;
/// The distance from the medians of neighbours, in fractions of the line's size, at which a reading has no say from
/// the start, by judgement: a misread digit, which would bend the line to itself. Beyond the choke end, where medians do
/// not reach and the line turns down, it is the second.
const GROSS: [f64; 2] = [0.1, 0.25];
/// Neighbours in a median, and readings that a line must have for it.
const NEIGHBOURS: usize = 5;
const FEWEST_FOR_MEDIANS: usize = 9;
/// The fewest readings that a spread is told by.
const FEWEST_FOR_SPREAD: usize = 8;

pub(super) fn measured(
    title: &str,
    provenance: &str,
    reference: Reference,
    lines: &[(CorrectedSpeed, Vec<LinePoint>)],
) -> Result<FittedMap, FitError> {
    let given: Vec<(CorrectedSpeed, Given)> = lines
        .iter()
        .map(|(speed, points)| (*speed, points.iter().map(|p| [p.flow.si(), p.ratio.si()]).collect()))
        .collect();
    check(&given.iter().map(|(_, points)| points.clone()).collect::<Vec<_>>())?;
    let (outlines, far) = smoothed(&given)?;
    let fit = Fit::new(title, reference, &given, outlines, |_, _| None)?;
    let mut samples = Vec::new();
    for ((speed, points), outline) in lines.iter().zip(fit.outlines()) {
        for (point, &place) in points.iter().zip(&outline.places) {
            // An efficiency belongs to the smoothed point of its own line.
            let [flow, ratio] = outline.at(place);
            samples.push(Sample {
                speed: speed.si(),
                flow,
                ratio,
                efficiency: point.efficiency.si(),
                row: None,
            });
        }
    }
    fit.finished(&samples, far, COST, ("smoothed from measured lines", provenance))
}

/// The lines without the readings that are far off, and those.
fn smoothed(given: &[(CorrectedSpeed, Given)]) -> Result<(Vec<Outline>, Vec<Conflict>), FitError> {
    let lines: Vec<Given> = given.iter().map(|(_, points)| points.clone()).collect();
    let mut out: Vec<bool> = lines.iter().flat_map(out_at_first).collect();
    let mut kept = vec![false; out.len()];
    let mut round = 0;
    // It ends: past the first rounds a reading goes out once and, where it is kept, comes in once.
    loop {
        let starts = lines.iter().zip(parts(&out, &lines)).map(|(line, out)| {
            (along(line, out), out.iter().map(|&out| if out { 0.0 } else { 1.0 }).collect())
        });
        let outlines = outlines(&lines, starts.collect(), COST).ok_or(FitError::Undetermined)?;
        let residuals = line_residuals(given, &outlines, |_, _| None);
        let freedom: f64 = outlines.iter().map(|outline| outline.freedom).sum();
        let sigmas = sigmas(&residuals, freedom);
        let places = outlines.iter().flat_map(|outline| &outline.places);
        let mut next = out.clone();
        for (i, ((residual, sigma), place)) in residuals.iter().zip(&sigmas).zip(places).enumerate() {
            let far = residual.size() > FAR * sigma;
            // What was left out at the end of a line lies beyond the line then: it has its say back, and keeps it.
            let inside = *place > 0.0 && *place < 1.0;
            kept[i] |= far && !inside && residual.size() < GROSS[0];
            next[i] = !kept[i] && (far || (round > ROUNDS && out[i]));
        }
        let mut from = 0;
        for line in &lines {
            let own = from..from + line.len();
            if is_half(&next[own.clone()]) {
                next[own.clone()].fill(false);
                kept[own.clone()].fill(true);
            }
            from = own.end;
        }
        if next == out {
            let named = residuals.iter().zip(sigmas).zip(out).filter(|(_, out)| *out);
            let far = named.map(|((&residual, sigma), _)| Conflict::OffLine { residual, sigma });
            return Ok((outlines, far.collect()));
        }
        out = next;
        round += 1;
    }
}

/// Where half of a line is out, it is the line that scatters: all of it has a say.
fn is_half(out: &[bool]) -> bool {
    2 * out.iter().filter(|&&out| out).count() >= out.len()
}

/// The flags of each line.
fn parts<'a>(flags: &'a [bool], lines: &'a [Given]) -> impl Iterator<Item = &'a [bool]> {
    let ends = lines.iter().scan(0, |end, line| {
        *end += line.len();
        Some((*end - line.len(), *end))
    });
    ends.map(|(from, end)| &flags[from..end])
}

/// The standard deviation that each reading is judged by: beside a steep part of a line that of flow, beside a flat part
/// that of pressure ratio, each over all lines.
fn sigmas(residuals: &[LineResidual], freedom: f64) -> Vec<f64> {
    // Of the scatter the fit takes up its freedom's share.
    let count = residuals.len() as f64;
    let share = (count / (count - freedom).max(1.0)).sqrt();
    let steep = |r: &LineResidual| r.flow_off.abs() > r.ratio_off.abs();
    let sizes = |of: Option<bool>| -> Vec<f64> {
        residuals.iter().filter(|r| of.is_none_or(|of| of == steep(r))).map(LineResidual::size).collect()
    };
    let sigma = [false, true].map(|of| {
        let own = sizes(Some(of));
        share * spread(&if own.len() < FEWEST_FOR_SPREAD { sizes(None) } else { own }, LEAST_SIGMA)
    });
    residuals.iter().map(|residual| sigma[usize::from(steep(residual))]).collect()
}

/// Which readings have no say at first: those far from the medians of their neighbours along the line.
fn out_at_first(line: &Given) -> Vec<bool> {
    if line.len() < FEWEST_FOR_MEDIANS {
        return vec![false; line.len()];
    }
    let size = scale(line);
    let points: Vec<[f64; 2]> = line.iter().map(|point| [point[0] / size[0], point[1] / size[1]]).collect();
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|&a, &b| (points[a][0] - points[a][1]).total_cmp(&(points[b][0] - points[b][1])));
    let path: Vec<[f64; 2]> = order
        .windows(NEIGHBOURS)
        .map(|near| [0, 1].map(|k| median(near.iter().map(|&i| points[i][k]))))
        .collect();
    let last = path.len() - 2;
    // For each piece, the ends going on as straight lines: the distance, and whether it is beyond the choke end.
    let from = |point: &[f64; 2], i: usize| {
        let [along, off] = [path[i + 1], *point].map(|to| [to[0] - path[i][0], to[1] - path[i][1]]);
        let long = along[0] * along[0] + along[1] * along[1];
        let share = if long > 0.0 { (along[0] * off[0] + along[1] * off[1]) / long } else { 0.0 };
        let beyond = i == last && share > 1.0;
        let share = if beyond || (i == 0 && share < 0.0) { share } else { share.clamp(0.0, 1.0) };
        ((off[0] - share * along[0]).hypot(off[1] - share * along[1]), beyond)
    };
    let far = |point: &[f64; 2]| {
        let nearest = (0..=last).map(|i| from(point, i)).min_by(|a, b| a.0.total_cmp(&b.0));
        nearest.is_some_and(|(distance, beyond)| distance >= GROSS[usize::from(beyond)])
    };
    let far: Vec<bool> = points.iter().map(far).collect();
    if is_half(&far) { vec![false; far.len()] } else { far }
}

/// Places of readings in any order; those that have no say reach no further than the others.
fn along(line: &Given, out: &[bool]) -> Vec<f64> {
    let all = line.iter().zip(out);
    let scale = scale(all.filter(|(_, out)| !**out).map(|(point, _)| point));
    let length: Vec<f64> = line.iter().map(|[flow, ratio]| flow / scale[0] - ratio / scale[1]).collect();
    let own = || length.iter().zip(out).filter(|(_, out)| !**out).map(|(length, _)| *length);
    let (least, most) = (own().fold(f64::INFINITY, f64::min), own().fold(f64::NEG_INFINITY, f64::max));
    let place = |l: &f64| if most > least { ((l - least) / (most - least)).clamp(0.0, 1.0) } else { 0.0 };
    length.iter().map(place).collect()
}

fn median(values: impl Iterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}
