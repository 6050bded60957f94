//! What the estimate says where something was observed, how that moves with each factor, and what it leaves open.

use super::super::defaults::{LOCAL, ModelSpread};
use super::super::model::{LEAST_EFFICIENCY, Model};
use super::gauss::Piece;
use super::statement::{Evidence, Seen};
use crate::compressor::{Factor, Factors, MapEstimate};
use nalgebra::{DMatrix, DVector};

/// Half the distance of the differences that give the slopes, in standard deviations of a factor. Predictions are means over
/// the same distance, by Simpson's rule: their slopes are these differences then, over a kink too.
const STEP: f64 = 0.25;
/// The same of ln of the flow: so much, or the same share of what all flows of a piece may be wrong by.
const FLOW_STEP: f64 = 0.005;
/// Beyond choke there is no flow; there ln of the pressure ratio is continued with this slope over ln of the flow, so
/// that the search finds its way back. Judgement; a point that stays beyond is named as an outlier.
const BEYOND_CHOKE: f64 = -4.0;

/// ln of pressure ratio and ln of work at a flow.
fn point(model: &Model, tip_speed: f64, flow: f64) -> Option<[f64; 2]> {
    let turning = model.turning(tip_speed);
    // A line ends where its efficiency has fallen so far, though the mean line goes on; past its end it has no say.
    if let Some(point) = model.at(&turning, flow).filter(|point| point.efficiency >= LEAST_EFFICIENCY) {
        return Some([point.ratio.ln(), point.work.ln()]);
    }
    let choke = model.choke(&turning)?;
    let end = model.at(&turning, choke)?;
    Some([end.ratio.ln() + BEYOND_CHOKE * (flow / choke).ln(), end.work.ln()])
}

/// The predictions for one piece, in the order of its observations; `shift` is added to ln of each flow.
fn predicted(model: &Model, evidence: &Evidence, shift: f64) -> Option<Vec<f64>> {
    let mut all = Vec::new();
    for seen in &evidence.seen {
        match seen {
            Seen::Point { tip_speed, flow, work, .. } => {
                let found = point(model, *tip_speed, flow * shift.exp())?;
                all.extend(&found[..1 + usize::from(work.is_some())]);
            }
            Seen::Share { tip_speed, share, .. } => {
                let choke = model.choke(&model.turning(*tip_speed))?;
                all.push(point(model, *tip_speed, choke * share * shift.exp())?[0]);
            }
            Seen::Choke { tip_speed, .. } => {
                all.push(model.choke(&model.turning(*tip_speed))?.ln() - shift);
            }
            Seen::Surge { tip_speed, .. } => {
                all.push(model.ends(&model.turning(*tip_speed))?.surge.ln() - shift);
            }
        }
    }
    Some(all)
}

/// Observed values and their own variances, in the same order.
fn observed(evidence: &Evidence) -> (Vec<f64>, Vec<f64>) {
    let pairs = evidence.seen.iter().flat_map(|seen| match seen {
        Seen::Point { ratio, work, .. } => [Some(*ratio), *work],
        Seen::Share { ratio, .. } => [Some(*ratio), None],
        Seen::Choke { flow, .. } | Seen::Surge { flow, .. } => [Some(*flow), None],
    });
    pairs.flatten().map(|[value, sigma]| (value, sigma * sigma)).unzip()
}

/// What of the model's spread is of its own at every place, as a share of the whole.
pub(super) fn local_share(spread: &ModelSpread, factor: Factor) -> f64 {
    match factor {
        Factor::Work => LOCAL.work / spread.work,
        Factor::Loss => LOCAL.loss / spread.loss,
        Factor::Choke => LOCAL.choke / spread.choke,
        _ => 0.0,
    }
}

/// The pieces at some values of the active factors.
pub(super) fn pieces(
    estimate: &MapEstimate,
    evidence: &[Evidence],
    active: &[Factor],
    x: &DVector<f64>,
) -> Option<Vec<Piece>> {
    let spread = estimate.spread();
    let factors = |moved: Option<(usize, f64)>| {
        active.iter().enumerate().fold(Factors::central(), |all, (i, &factor)| {
            let by = moved.filter(|(index, _)| *index == i).map_or(0.0, |(_, by)| by);
            all.with(factor, x[i] + by)
        })
    };
    let central = estimate.model(&factors(None))?;
    let sides = (0..active.len()).map(|i| {
        Some([estimate.model(&factors(Some((i, -STEP))))?, estimate.model(&factors(Some((i, STEP))))?])
    });
    let sides: Vec<[Model; 2]> = sides.collect::<Option<_>>()?;
    let column = |factor: Factor| active.iter().position(|&one| one == factor);
    let piece = |evidence: &Evidence| {
        let here = predicted(&central, evidence, 0.0)?;
        let mut expected = here.clone();
        let (value, variance) = observed(evidence);
        let rows = value.len();
        let mut jacobian = DMatrix::zeros(rows, active.len());
        for (i, [down, up]) in sides.iter().enumerate() {
            let ends = [predicted(down, evidence, 0.0)?, predicted(up, evidence, 0.0)?];
            for row in 0..rows {
                jacobian[(row, i)] = (ends[1][row] - ends[0][row]) / (2.0 * STEP);
                expected[row] += (ends[0][row] - 2.0 * here[row] + ends[1][row]) / 6.0;
            }
        }
        let step = FLOW_STEP.max(STEP * evidence.shared.flow().si());
        let ends = [predicted(&central, evidence, -step)?, predicted(&central, evidence, step)?];
        let by_flow = DVector::from_fn(rows, |row, _| (ends[1][row] - ends[0][row]) / (2.0 * step));
        let by = |factor| column(factor).map(|i| jacobian.column(i).into_owned());
        let mut covariance = DMatrix::from_diagonal(&DVector::from_vec(variance));
        let shared = evidence.shared;
        let common = [
            (Some(by_flow.clone()), shared.flow().si()),
            (by(Factor::Work), shared.work().si() / spread.work),
            (by(Factor::Loss), shared.loss().si() / spread.loss),
        ];
        for (effect, sigma) in common {
            if let Some(effect) = effect {
                covariance += &effect * effect.transpose() * (sigma * sigma);
            }
        }
        let mut first = 0;
        for seen in &evidence.seen {
            let (count, flow_sigma) = match seen {
                Seen::Point { work, flow_sigma, .. } => (1 + usize::from(work.is_some()), *flow_sigma),
                Seen::Share { flow_sigma, .. } => (1, *flow_sigma),
                _ => (1, 0.0),
            };
            let own = [Factor::Work, Factor::Loss, Factor::Choke];
            let own = own.map(|factor| (by(factor), local_share(&spread, factor)));
            for (effect, sigma) in own.into_iter().chain([(Some(by_flow.clone()), flow_sigma)]) {
                let Some(effect) = effect.map(|effect| effect.rows(first, count).into_owned()) else {
                    continue;
                };
                let mut block = covariance.view_mut((first, first), (count, count));
                block += &effect * effect.transpose() * (sigma * sigma);
            }
            first += count;
        }
        let residual = DVector::from_vec(value) - DVector::from_vec(expected);
        Some(Piece { residual, jacobian, covariance })
    };
    evidence.iter().map(piece).collect()
}
