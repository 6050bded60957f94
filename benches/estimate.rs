//! How long an estimate from geometry takes: a point, a map, its bands.

use criterion::{Criterion, criterion_group, criterion_main};
use shaftwork::prelude::*;
use std::hint::black_box;

fn estimate(c: &mut Criterion) {
    let wheel = WheelGeometry::builder(mm(46.4), mm(61.0)).build().unwrap();
    let reference = Reference::new(kelvin(298.15), kpa(100.0)).unwrap();
    let estimate = wheel.estimate(reference).unwrap();
    let (speed, flow) = (corrected_rpm(110_000.0), corrected_kg_per_s(0.15));
    let at = estimate.at(speed, flow).unwrap();
    let outlet = kelvin(390.0);
    assert!(at.ratio.si() > 1.5);

    c.bench_function("estimated point", |b| {
        b.iter(|| estimate.at(black_box(speed), black_box(flow)).unwrap())
    });
    c.bench_function("estimated map, 8 lines", |b| b.iter(|| estimate.map().unwrap()));
    c.bench_function("band of a point", |b| {
        b.iter(|| estimate.band_at(black_box(speed), black_box(flow)).unwrap())
    });
    c.bench_function("band of a map", |b| b.iter(|| estimate.band().unwrap()));
    c.bench_function("estimated map with both sides of its band", |b| {
        b.iter(|| estimate.with_sides().unwrap());
    });
    let vanes = VanedDiffuser::new().vanes(17).throat(mm2(330.0));
    let vaned = WheelGeometry::builder(mm(46.4), mm(61.0)).vaned_diffuser(vanes).build().unwrap();
    let vaned = vaned.estimate(reference).unwrap();
    c.bench_function("estimated map with vanes in the diffuser, 8 lines", |b| {
        b.iter(|| vaned.map().unwrap())
    });
    c.bench_function("the same with both sides of its band", |b| b.iter(|| vaned.with_sides().unwrap()));
    let run = RunPoint {
        inlet: InletState { temperature: kelvin(298.15), pressure: kpa(100.0) },
        speed: rpm(110_000.0),
        flow: kg_per_s(0.15),
        flow_sigma: percent(5.0),
        ratio: at.ratio,
        ratio_sigma: percent(1.0),
        outlet: Some((outlet, kelvin_diff(3.0))),
    };
    let evidence = [
        Evidence::run("run", &estimate, run).unwrap(),
        Evidence::seller_figure("seller", &estimate, kg_per_s(0.29)).unwrap(),
    ];
    c.bench_function("two pieces of evidence weighed", |b| {
        b.iter(|| estimate.combined(black_box(&evidence)).unwrap());
    });
    let point = MeasuredPoint {
        inlet: InletState { temperature: kelvin(298.15), pressure: kpa(100.0) },
        speed: rpm(110_000.0),
        flow: kg_per_s(0.15),
        ratio: at.ratio,
        outlet,
    };
    c.bench_function("scaling to a measured point", |b| {
        b.iter(|| estimate.clone().with_measured_point(black_box(point)).unwrap());
    });
}

criterion_group!(benches, estimate);
criterion_main!(benches);
