//! Measured speed lines smoothed: what they were without noise comes back, and what is left is reported.

#[path = "support/noise.rs"]
mod noise;
#[path = "support/reference.rs"]
mod reference;

use noise::Noise;
use reference::{between, close, plain};
use shaftwork::compressor::{FitError, LinePoint};
use shaftwork::prelude::*;

type Lines = Vec<(CorrectedSpeed, Vec<LinePoint>)>;

fn iso() -> Reference {
    Reference::new(kelvin(298.15), kpa(100.0)).unwrap()
}

/// A line in closed form, invented: a quarter of a superellipse from a flat top to a vertical choke end.
fn on_line(speed: f64, t: f64) -> [f64; 3] {
    let angle = t * core::f64::consts::FRAC_PI_2;
    let (surge, choke) = (0.10 * speed, 0.24 * speed.sqrt());
    let (top, bottom) = (1.0 + 1.6 * speed * speed, 1.0 + 0.8 * speed * speed);
    let flow = surge + (choke - surge) * angle.sin().powf(0.7);
    let ratio = bottom + (top - bottom) * angle.cos().powf(0.7);
    // Work as a straight line over flow, and the ideal work of a gas of constant 1004.5 J/(kg K) and exponent 2/7.
    let work = speed * speed * 1.45e5 * (1.0 - 0.28 * (flow - surge) / (choke - surge));
    let ideal = 1004.5 * 298.15 * (ratio.powf(2.0 / 7.0) - 1.0);
    [flow, ratio, ideal / work]
}

fn lines(noise: [f64; 3], seed: u32) -> Lines {
    let mut deviate = Noise(seed);
    (0..6)
        .map(|i| {
            let speed = 0.6 + 0.08 * f64::from(i);
            let points = (0..=14)
                .map(|k| {
                    let exact = on_line(speed, f64::from(k) / 14.0);
                    let [flow, ratio, efficiency] =
                        [0, 1, 2].map(|j| exact[j] * (1.0 + noise[j] * deviate.normal()));
                    LinePoint {
                        flow: corrected_kg_per_s(flow),
                        ratio: plain(ratio),
                        efficiency: plain(efficiency),
                    }
                })
                .collect();
            (corrected_rpm(120_000.0 * speed), points)
        })
        .collect()
}

#[test]
fn exact_lines_come_back_as_they_are() {
    let fitted = CompressorMap::fitted("exact", "invented", iso(), &lines([0.0; 3], 1)).unwrap();
    between(fitted.ratio_rms().si(), 0.0, 5e-4);
    between(fitted.flow_rms().si(), 0.0, 5e-4);
    between(fitted.efficiency_rms().si(), 0.0, 2e-3);
    assert_eq!(fitted.conflicts(), []);
    assert_eq!(fitted.line_residuals().len(), 6 * 15);
    assert!(fitted.map().provenance().starts_with("smoothed from measured lines, 90 line points within"));
}

// Noise of 0.5 % in flow and ratio and of 1 % in efficiency: what is left is about the noise, and the fit lies nearer
// to the lines without noise than the points do.
#[test]
fn noise_is_taken_out_and_reported() {
    let noise = [0.005, 0.005, 0.01];
    let mut gains = [0.0; 2];
    for seed in 1..=3 {
        let given = lines(noise, seed);
        let fitted = CompressorMap::fitted("noisy", "invented", iso(), &given).unwrap();
        between(fitted.ratio_rms().si(), 0.001, 0.006);
        between(fitted.flow_rms().si(), 0.001, 0.006);
        between(fitted.efficiency_rms().si(), 0.004, 0.012);
        for (i, (speed, points)) in fitted.map().points().enumerate() {
            let share = 0.6 + 0.08 * i as f64;
            close(speed.si(), corrected_rpm(120_000.0 * share).si(), 1e-9);
            // A choked line stays vertical, and no line runs back.
            assert!(points.windows(2).all(|pair| pair[0].flow <= pair[1].flow), "seed {seed}, line {i}");
            // The distance of each fitted point to the closed form, against that of the given points.
            let off = |p: &LinePoint| {
                let near = |k: u32| {
                    let [flow, ratio, _] = on_line(share, f64::from(k) / 2000.0);
                    (p.flow.si() / flow - 1.0).hypot(p.ratio.si() / ratio - 1.0)
                };
                (0..=2000).map(near).fold(f64::INFINITY, f64::min)
            };
            let mean = |points: &[LinePoint]| {
                (points.iter().map(|p| off(p).powi(2)).sum::<f64>() / points.len() as f64).sqrt()
            };
            gains[0] += mean(&points);
            gains[1] += mean(&given[i].1);
        }
    }
    assert!(gains[0] < 0.9 * gains[1], "{gains:?}");
}

#[test]
fn lines_that_cannot_be_smoothed_are_refused() {
    let mut few = lines([0.0; 3], 1);
    few[2].1.truncate(2);
    assert_eq!(CompressorMap::fitted("", "", iso(), &few).unwrap_err(), FitError::Points { line: 2 });
    let mut not = lines([0.0; 3], 1);
    not[1].1[3].ratio = PressureRatio::from_si_unchecked(f64::INFINITY);
    assert_eq!(CompressorMap::fitted("", "", iso(), &not).unwrap_err(), FitError::Value { line: 1 });
}
