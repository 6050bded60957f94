//! How long the steps of a sizing take: run with `cargo bench`.

use criterion::{Criterion, criterion_group, criterion_main};
use shaftwork::compressor::outlet_temperature;
use shaftwork::prelude::*;
use std::hint::black_box;

fn formula(c: &mut Criterion) {
    let air = Gas::dry_air();
    let (inlet, ratio, efficiency) =
        (deg_c(24.0), PressureRatio::new(2.5).unwrap(), Efficiency::new(0.72).unwrap());
    c.bench_function("outlet temperature, number", |b| {
        b.iter(|| outlet_temperature(&air, black_box(inlet), ratio, efficiency));
    });
    c.bench_function("outlet temperature, gradient to 3 inputs", |b| {
        b.iter(|| outlet_temperature::gradient(&air, black_box(inlet), ratio, efficiency));
    });
    c.bench_function("outlet temperature, record", |b| {
        b.iter(|| outlet_temperature::record(&air, black_box(inlet), ratio, efficiency));
    });
}

fn sizing(c: &mut Criterion) {
    let study = Study::demo().unwrap();
    let candidate = &study.candidates[2];
    let map = candidate.map();
    let (flow, ratio) = (corrected_kg_per_s(0.28), PressureRatio::new(2.8).unwrap());
    c.bench_function("map looked up by flow and ratio", |b| b.iter(|| map.at_point(black_box(flow), ratio)));
    let turbine = &candidate.housings()[0].turbine;
    let target = Target::crank(kw(245.0), rpm(6700.0));
    c.bench_function("one operating point, cold", |b| {
        b.iter(|| {
            operating_point(&study.installation, candidate, turbine, &study.fuels[1], black_box(target))
        });
    });
    // Beside the point above: what it costs where a record is asked for. Where none is, the chain has no tape.
    let sized = Study::demo().unwrap().size().unwrap();
    let entry = sized.entries.iter().position(|entry| entry.candidate == 1 && entry.fuel == 1).unwrap();
    c.bench_function("the record of one operating point", |b| {
        b.iter(|| sized.record_at(black_box(entry), 1))
    });
    let mut group = c.benchmark_group("whole");
    group.sample_size(10);
    group.bench_function("the demonstration, read and sized", |b| b.iter(|| Study::demo().unwrap().size()));
    group.finish();
}

criterion_group!(benches, formula, sizing);
criterion_main!(benches);
