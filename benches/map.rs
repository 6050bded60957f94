//! How long a look-up on a compressor map takes: by speed and position, and by flow and pressure ratio.

use criterion::{Criterion, criterion_group, criterion_main};
use shaftwork::compressor::Reading;
use shaftwork::formula::{Dual, Surface};
use shaftwork::prelude::*;
use std::hint::black_box;

fn map(c: &mut Criterion) {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/data/demo/map-b.csv");
    let map = CompressorMap::from_csv(file).unwrap();
    // 97 places all over the map, so that no call has the place of the call before.
    let slowest = map.speeds().next().unwrap().si();
    let range = map.highest_speed().si() - slowest;
    let share = |k: usize, by: usize| (k * by % 97) as f64 / 97.0;
    let places: Vec<[f64; 2]> =
        (1..97).map(|k| [slowest + range * share(k, 1), 0.02 + 0.96 * share(k, 35)]).collect();
    let points: Vec<[f64; 2]> = places
        .iter()
        .map(|&[n, s]| {
            let [flow, ratio, _] = map.state(n, s);
            [flow, ratio]
        })
        .collect();
    let next = |of: &'static str| {
        let table = if of == "place" { places.clone() } else { points.clone() };
        let mut k = 0;
        move || {
            k = (k + 1) % table.len();
            black_box(table[k])
        }
    };

    let mut place = next("place");
    c.bench_function("state, plain", |b| {
        b.iter(|| {
            let [n, s] = place();
            map.state(n, s)
        });
    });
    c.bench_function("state, two derivatives", |b| {
        b.iter(|| {
            let [n, s] = place();
            map.state(Dual::<2>::input(n, 0), Dual::input(s, 1))
        });
    });
    c.bench_function("state, four derivatives", |b| {
        b.iter(|| {
            let [n, s] = place();
            map.state(Dual::<4>::input(n, 0), Dual::input(s, 1))
        });
    });
    c.bench_function("surge end, two derivatives", |b| {
        b.iter(|| map.surge_end(Dual::<2>::input(place()[0], 0)));
    });
    let mut point = next("point");
    c.bench_function("point by flow and ratio", |b| {
        b.iter(|| {
            let [w, pi] = point();
            let ratio = PressureRatio::new(pi).unwrap();
            map.at_point(corrected_kg_per_s(w), ratio).unwrap()
        });
    });
    let efficiency = map.surface(Reading::Efficiency);
    c.bench_function("efficiency and its slopes by flow and ratio", |b| {
        b.iter(|| {
            let [w, pi] = point();
            efficiency.at(w, pi)
        });
    });
    let beyond = PressureRatio::new(1.2).unwrap();
    c.bench_function("point beyond choke", |b| {
        b.iter(|| map.at_point(black_box(corrected_kg_per_s(0.3)), beyond).unwrap_err());
    });
    let text = std::fs::read_to_string(file).unwrap();
    c.bench_function("reading the map from its text", |b| {
        b.iter(|| CompressorMap::from_csv_text("map-b.csv", black_box(&text)).unwrap());
    });
}

criterion_group!(benches, map);
criterion_main!(benches);
