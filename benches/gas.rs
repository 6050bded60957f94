//! Working fluids: run with `cargo bench --bench gas`, or beside the peers with `benches/compare`.

use criterion::{Criterion, criterion_group, criterion_main};
use shaftwork::formula::Property;
use shaftwork::gas::{WaterGas, burn, isentropic_temperature, product_moles};
use shaftwork::prelude::*;
use std::hint::black_box;

fn gas(c: &mut Criterion) {
    // Each call has another temperature, so that nothing can be kept from the call before.
    let exhaust = Gas::products(&Fuel::gasoline().unwrap(), Lambda::new(0.85).unwrap()).unwrap();
    let mut t = 300.0;
    let mut next = move || {
        t = if t > 1400.0 { 300.0 } else { t + 1.7 };
        black_box(t)
    };
    c.bench_function("cp and h of a seven-species mixture", |b| {
        b.iter(|| {
            let t = next();
            (exhaust.cp().value(t), exhaust.h().value(t))
        });
    });
    let air = Gas::dry_air();
    c.bench_function("isentropic end state", |b| {
        b.iter(|| isentropic_temperature::of(&air, next(), black_box(2.5)));
    });
    let fuel = Fuel::ethanol_blend(percent(71.0), &Gasoline::typical()).unwrap();
    let (lambda, constant) = (Lambda::new(0.85).unwrap(), WaterGas::default().constant().unwrap());
    c.bench_function("products of a rich mixture", |b| {
        b.iter(|| product_moles(black_box(&fuel), lambda, &air, constant));
    });
    c.bench_function("products as a gas, at an equilibrium temperature", |b| {
        b.iter(|| burn(black_box(&fuel), lambda, &air, WaterGas::At(kelvin(1700.0))));
    });
}

criterion_group!(benches, gas);
criterion_main!(benches);
