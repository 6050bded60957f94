//! How long the balance on the shaft takes to close: run with `cargo bench --bench balance`.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use shaftwork::prelude::*;
use std::hint::black_box;

/// 30 engine speeds from 2500 to 7140 rev/min.
fn speeds() -> Vec<ShaftSpeed> {
    (0..30).map(|k| rpm(2500.0 + 160.0 * f64::from(k))).collect()
}

fn balance(c: &mut Criterion) {
    let study = Study::demo().unwrap();
    let candidate = &study.candidates[2];
    let turbine = &candidate.housings()[0].turbine;
    let (installation, plan) = (&study.installation, &study.fuels[0]);
    let line = |boost: f64, speeds: &[ShaftSpeed]| {
        let target = pa(installation.site.pressure().si() + boost);
        let control = Control::manifold(target).unwrap();
        operating_line(installation, candidate, turbine, plan, control, black_box(speeds)).unwrap()
    };
    // One point with the gases of its fuel mixed first, then what a further point of the same line adds. The boost is
    // another in each call, so that nothing can be kept from the call before.
    let mut boost = 100e3;
    let mut next = move || {
        boost = if boost > 115e3 { 100e3 } else { boost + 7.0 };
        boost
    };
    for (name, count) in [("one point, cold", 1), ("two points", 2), ("three points", 3)] {
        let few: Vec<ShaftSpeed> = (0..count).map(|k| rpm(5900.0 + 160.0 * f64::from(k))).collect();
        c.bench_function(name, |b| b.iter(|| line(next(), &few)));
    }
    let regulated: Vec<ShaftSpeed> = (0..30).map(|k| rpm(4100.0 + 110.0 * f64::from(k))).collect();
    c.bench_function("a line of 30 regulated speeds", |b| b.iter(|| line(next(), &regulated)));
    let whole = speeds();
    c.bench_function("a line of 30 speeds from below the threshold", |b| b.iter(|| line(next(), &whole)));

    let mut group = c.benchmark_group("a thousand lines of 30 speeds");
    group.sample_size(10).throughput(Throughput::Elements(1000));
    let boost = |k: usize| 100e3 + 15.0 * k as f64;
    group.bench_function("one core", |b| {
        b.iter(|| (0..1000).map(|k| line(boost(k), &regulated).points.len()).sum::<usize>());
    });
    group.bench_function("two cores", |b| {
        b.iter(|| {
            std::thread::scope(|scope| {
                let half = |from: usize| {
                    let (line, regulated) = (&line, &regulated);
                    scope.spawn(move || {
                        (from..from + 500).map(|k| line(boost(k), regulated).points.len()).sum::<usize>()
                    })
                };
                let both = [half(0), half(500)];
                both.into_iter().map(|part| part.join().unwrap()).sum::<usize>()
            })
        });
    });
    group.finish();
}

criterion_group!(benches, balance);
criterion_main!(benches);
