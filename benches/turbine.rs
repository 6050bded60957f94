//! The turbine: run with `cargo bench --bench turbine`.

use criterion::{Criterion, criterion_group, criterion_main};
use shaftwork::prelude::*;
use std::hint::black_box;

fn turbine(c: &mut Criterion) {
    let exhaust = Gas::products(&Fuel::gasoline().unwrap(), Lambda::new(0.85).unwrap()).unwrap();
    let turbine = Turbine::from_area_over_radius(mm(17.8), mm(60.0)).unwrap();
    let peak = TurbineEfficiency::with_bearings(Efficiency::new(0.70).unwrap());
    // Each call has another state, so that nothing can be kept from the call before.
    let mut speed = 60e3;
    let mut next = move || {
        speed = if speed > 140e3 { 60e3 } else { speed + 130.0 };
        TurbineInlet {
            pressure: kpa(220.0),
            temperature: kelvin(1150.0),
            ratio: ExpansionRatio::new(2.2).unwrap(),
            shaft_speed: Some(rpm(black_box(speed))),
        }
    };
    c.bench_function("turbine flow, efficiency and power", |b| {
        b.iter(|| turbine.at(&exhaust, peak, &next()));
    });
    c.bench_function("turbine flow and efficiency with four slopes each", |b| {
        b.iter(|| turbine.slopes(&exhaust, peak, &next()));
    });
}

criterion_group!(benches, turbine);
criterion_main!(benches);
