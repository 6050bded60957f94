//! Work over speed and flow: what makes efficiency and pressure ratio agree.
//!
//! By Euler's equation the work of a wheel, as a share of the square of its tip speed, is nearly a straight line
//! over flow: smooth where efficiency is not, and without a jump where a line chokes. It is fitted in
//!
//! ```text
//! psi(N, W) = w_s(Pi)/(eta N^2)
//! ```
//!
//! with w_s the ideal work at the map's reference temperature, by splines over speed and over 1 - sqrt(1 - x), x the share
//! of the way from surge flow to choke flow; past the samples they go on as straight lines. A speed line turns down to its
//! choke end in a round corner, along which the flow that is missing goes with the square of the length: over x the work would
//! fall ever more steeply there, over the root it does not bend. Samples that do not fit are
//! weighted down, after Tukey [beaton-tukey].

use super::spline::{Basis, Normal, Row};
use crate::compressor::{CompressorMap, Reference};
use crate::formula::Property;
use crate::gas::{Gas, isentropic_temperature};
use crate::quantity::Quantity;
use nalgebra::DMatrix;

/// The least spread of efficiency that a misfit is judged by: what a figure can be read to, by judgement.
pub(super) const LEAST_SIGMA: f64 = 2e-3;
/// Tukey's constant: a misfit beyond so many sigmas has no say.
const TUKEY: f64 = 4.685;
const ROUNDS: usize = 4;
/// A spread of efficiency beyond which contours are left out at the start, how many, of how many at most, and by what the
/// spread must fall for each, by judgement.
const DOUBTFUL: f64 = 8e-3;
const MOST_OUT: usize = 3;
const MOST_LEVELS: usize = 20;
const BETTER: f64 = 0.9;
/// The bending penalties tried, along flow and along speed: decades, each on its own. Where both went together, a map
/// that is smooth over speed and bent over flow, or the other way about, was smoothed too little one way.
const ALONG: [f64; 6] = [1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2];
const ACROSS: [f64; 6] = [1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 1e-1];

/// An efficiency at a corrected speed, flow and pressure ratio.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sample {
    pub speed: f64,
    pub flow: f64,
    pub ratio: f64,
    pub efficiency: f64,
    /// The line of the file where it stands.
    pub row: Option<usize>,
}

/// Ideal work of compression at a reference temperature, J/kg.
pub(super) struct Ideal {
    air: Gas,
    temperature: f64,
}

impl Ideal {
    pub fn new(reference: &Reference) -> Self {
        Self { air: Gas::dry_air(), temperature: reference.temperature().si() }
    }
    pub fn work(&self, ratio: f64) -> f64 {
        let end = isentropic_temperature::of(&self.air, self.temperature, ratio);
        self.air.h().value(end) - self.air.h().value(self.temperature)
    }
}

/// Work over speed and flow on a map whose lines are known.
pub(super) struct Work<'a> {
    lines: &'a CompressorMap,
    ideal: &'a Ideal,
    basis: [Basis; 2],
    coefficients: Vec<f64>,
    speeds: [f64; 2],
}

impl<'a> Work<'a> {
    /// Fits the samples, a freedom at this cost; nothing where they do not determine it.
    pub fn fitted(lines: &'a CompressorMap, ideal: &'a Ideal, samples: &[Sample], cost: f64) -> Option<Self> {
        let mut out = vec![false; samples.len()];
        let mut best = Self::from_start(lines, ideal, samples, cost, &out)?;
        // A whole contour of a wrong level bends the fit to itself: each in turn has no say at the start.
        let mut levels: Vec<f64> = samples.iter().map(|sample| sample.efficiency).collect();
        levels.sort_by(f64::total_cmp);
        levels.dedup();
        for _ in 0..MOST_OUT {
            let sigma = best.spread(samples);
            if sigma <= DOUBTFUL || levels.len() > MOST_LEVELS {
                break;
            }
            let without = |level: &f64| {
                let own = samples.iter().map(|sample| sample.efficiency == *level);
                let out: Vec<bool> = out.iter().zip(own).map(|(out, own)| *out || own).collect();
                Some((Self::from_start(lines, ideal, samples, cost, &out)?, out))
            };
            let found = levels.iter().filter_map(without);
            let found = found.min_by(|a, b| a.0.spread(samples).total_cmp(&b.0.spread(samples)));
            match found.filter(|(work, _)| work.spread(samples) < BETTER * sigma) {
                Some(better) => (best, out) = better,
                None => break,
            }
        }
        Some(best)
    }

    /// The fit at whose start some samples have no say.
    fn from_start(
        lines: &'a CompressorMap,
        ideal: &'a Ideal,
        samples: &[Sample],
        cost: f64,
        out: &[bool],
    ) -> Option<Self> {
        let mut speeds = lines.speeds().map(Quantity::si);
        let slowest = speeds.next()?;
        let (fastest, count) = (lines.highest_speed().si(), lines.speeds().count());
        let basis = [Basis { spans: 8 }, Basis { spans: (count - 1).clamp(2, 8) }];
        let mut work = Self { lines, ideal, basis, coefficients: Vec::new(), speeds: [slowest, fastest] };
        let mut rows: Vec<Row> = samples.iter().map(|sample| work.row(sample)).collect();
        let own: Vec<f64> = rows.iter().map(|row| row.weight).collect();
        for (row, _) in rows.iter_mut().zip(out).filter(|(_, out)| **out) {
            row.weight = 0.0;
        }
        let mut penalty = work.chosen(&rows, cost)?;
        for round in 0..ROUNDS {
            work.turn(&mut rows, &own, samples, &penalty)?;
            // Once the worst are out, the smoothing is judged again without them.
            if round == 1 {
                penalty = work.chosen(&rows, cost)?;
            }
        }
        work.coefficients = Normal::of(&rows, work.count()).solved(&penalty)?;
        Some(work)
    }

    /// One solution, and the weights that it leaves.
    fn turn(
        &mut self,
        rows: &mut [Row],
        own: &[f64],
        samples: &[Sample],
        penalty: &DMatrix<f64>,
    ) -> Option<()> {
        self.coefficients = Normal::of(rows, self.count()).solved(penalty)?;
        let misfits = self.misfits(samples);
        let sigma = spread(&misfits, LEAST_SIGMA);
        for ((row, own), misfit) in rows.iter_mut().zip(own).zip(&misfits) {
            let share = (misfit / (TUKEY * sigma)).abs();
            row.weight = own * if share < 1.0 { (1.0 - share * share).powi(2) } else { 0.0 };
        }
        Some(())
    }

    fn count(&self) -> usize {
        self.basis[0].count() * self.basis[1].count()
    }

    fn misfits(&self, samples: &[Sample]) -> Vec<f64> {
        samples.iter().map(|sample| self.efficiency(sample) - sample.efficiency).collect()
    }

    fn spread(&self, samples: &[Sample]) -> f64 {
        spread(&self.misfits(samples), LEAST_SIGMA)
    }

    /// Efficiency at the speed, flow and pressure ratio of a sample.
    pub fn efficiency(&self, at: &Sample) -> f64 {
        self.ideal.work(at.ratio) / (self.psi(at.speed, at.flow) * at.speed * at.speed)
    }

    fn psi(&self, speed: f64, flow: f64) -> f64 {
        self.terms(speed, flow).iter().map(|&(i, term)| term * self.coefficients[i]).sum()
    }

    fn row(&self, sample: &Sample) -> Row {
        let value = self.ideal.work(sample.ratio) / (sample.efficiency * sample.speed * sample.speed);
        // A misfit of psi by its share misses efficiency by the same share.
        let weight = (sample.efficiency / value).powi(2);
        Row { terms: self.terms(sample.speed, sample.flow), value, weight }
    }

    fn terms(&self, speed: f64, flow: f64) -> Vec<(usize, f64)> {
        let [surge, choke] = [self.lines.surge_end(speed)[0], self.lines.choke_end(speed)[0]];
        let along = 1.0 - (1.0 - (flow - surge) / (choke - surge)).clamp(0.0, 1.0).sqrt();
        let across = (speed - self.speeds[0]) / (self.speeds[1] - self.speeds[0]);
        let ((i, a), (j, b)) = (self.basis[0].at(along), self.basis[1].at(across));
        let wide = self.basis[0].count();
        let pairs = (0..4).flat_map(|m| (0..4).map(move |n| (m, n)));
        pairs.map(|(m, n)| ((j + n) * wide + i + m, a[m] * b[n])).collect()
    }

    fn penalty(&self, along: f64, across: f64, size: f64) -> DMatrix<f64> {
        let [flow, speed] = self.basis;
        let one = |basis: Basis| DMatrix::<f64>::identity(basis.count(), basis.count());
        one(speed).kronecker(&flow.penalty(2)) * (along * size)
            + speed.penalty(2).kronecker(&one(flow)) * (across * size)
    }

    /// The penalty with the least score: the least of the pairs that go together, and from there from neighbour to
    /// neighbour as long as the score falls.
    fn chosen(&self, rows: &[Row], cost: f64) -> Option<DMatrix<f64>> {
        let normal = Normal::of(rows, self.count());
        // So that the same penalties suit few samples and many.
        let size: f64 = rows.iter().map(|row| row.weight).sum();
        let penalty = |[a, b]: [usize; 2]| self.penalty(ALONG[a], ACROSS[b], size);
        let mut scores = [[None; ACROSS.len()]; ALONG.len()];
        let mut score = |at: [usize; 2]| {
            let known = &mut scores[at[0]][at[1]];
            *known.get_or_insert_with(|| normal.score(rows, &penalty(at), cost).unwrap_or(f64::INFINITY))
        };
        let mut at = [0; 2];
        for i in 1..ALONG.len() {
            if score([i, i]) < score(at) {
                at = [i, i];
            }
        }
        loop {
            let [a, b] = at;
            let around = [[a.wrapping_sub(1), b], [a + 1, b], [a, b.wrapping_sub(1)], [a, b + 1]];
            let inside = around.into_iter().filter(|[a, b]| *a < ALONG.len() && *b < ACROSS.len());
            match inside.min_by(|x, y| score(*x).total_cmp(&score(*y))) {
                Some(next) if score(next) < score(at) => at = next,
                _ => break,
            }
        }
        score(at).is_finite().then(|| penalty(at))
    }
}

/// The standard deviation by the median of the misfits, which a few wrong ones do not move, and at least so much.
pub(super) fn spread(misfits: &[f64], least: f64) -> f64 {
    let mut sizes: Vec<f64> = misfits.iter().map(|misfit| misfit.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let median = sizes.get(sizes.len() / 2).copied().unwrap_or(0.0);
    (1.4826 * median).max(least)
}
