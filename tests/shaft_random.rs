//! Random physical studies: each ends in a balanced state or in a reason with a name.
//!
//! `SHAFTWORK_STUDIES=100000 cargo test --release --test shaft_random -- --nocapture` runs the whole hundred thousand
//! and prints the rates. On 2026-11-25, in per cent: regulating 57.50 (4.05 of them below the map's lowest line), shut 10.98,
//! held at the surge line 11.29, at the highest speed 5.39, at choke 4.67; right of the choke end 10.16, above the highest
//! speed 0.004; no balance up to the largest expansion 0.010, no balance without a name 0.007 (7 studies). The largest
//! residual was 5.9e-14.

#[path = "support/reference.rs"]
mod reference;

use shaftwork::compressor::LinePoint;
use shaftwork::prelude::*;
use std::collections::BTreeMap;

/// Numbers from a seed: splitmix64 (Steele et al. 2014).
struct Seed(u64);

impl Seed {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }
    /// Evenly by its logarithm.
    fn factor(&mut self, low: f64, high: f64) -> f64 {
        self.between(low.ln(), high.ln()).exp()
    }
}

/// A demonstration map with flows and speeds scaled.
fn scaled(map: &CompressorMap, flow: f64, speed: f64) -> CompressorMap {
    let lines: Vec<_> = map
        .points()
        .map(|(n, points)| {
            let points: Vec<_> = points.iter().map(|p| LinePoint { flow: p.flow * flow, ..*p }).collect();
            (n * speed, points)
        })
        .collect();
    CompressorMap::from_lines("scaled", "invented, scaled", *map.reference(), &lines).unwrap()
}

struct Random {
    installation: Installation,
    candidate: Candidate,
    turbine: Turbine,
    plan: FuelPlan,
    control: Control,
    speed: ShaftSpeed,
    words: String,
}

fn random(study: &Study, seed: &mut Seed) -> Random {
    let plain = fraction;
    let litres = seed.factor(0.3, 8.0);
    let cylinders = ((litres / seed.between(0.25, 0.65)).round() as u32).clamp(1, 12);
    let shape = seed.between(0.8, 1.25);
    let stroke = (litres * 1e-3 / f64::from(cylinders) * 4.0 / core::f64::consts::PI / shape.powi(2)).cbrt();
    let compression = seed.between(7.0, 12.0);
    let breathing = seed.between(0.75, 1.05);
    let engine = Engine::four_stroke(
        cylinders,
        m(stroke * shape),
        m(stroke),
        CompressionRatio::new(compression).unwrap(),
    )
    .and_then(|engine| engine.volumetric_efficiency(plain(breathing)))
    .unwrap();
    // Mean piston speed 5 to 22 m/s.
    let piston = seed.between(5.0, 22.0);
    let speed = rad_per_s(core::f64::consts::PI * piston / stroke);
    let (altitude, air) = (seed.between(0.0, 3000.0), seed.between(-10.0, 40.0));
    let humid = RelativeHumidity::new(if air > 0.0 { seed.next() } else { 0.0 }).unwrap();
    let site = Site::at_altitude(m(altitude)).and_then(|site| site.air_temperature(deg_c(air))).unwrap();
    let site = if air > 0.5 { site.humidity(humid).unwrap() } else { site };
    // What the engine would breathe at 180 kPa and 320 K at 18 m/s sizes the machine, within a wide factor.
    let full = litres * 1e-3 * 18.0 / stroke / 4.0 * 180e3 / (287.0 * 320.0);
    let of = &study.candidates[if seed.next() < 0.5 { 2 } else { 3 }];
    let size = full * seed.factor(0.6, 2.2);
    let flow = (size / of.map().greatest_flow().si()).max(0.15);
    // Wheels turn slower as they grow.
    let faster = flow.powf(-0.4);
    let map = scaled(of.map(), flow, seed.between(0.9, 1.1) * faster);
    let wheel = (0.065 / faster).clamp(0.021, 0.199);
    let area = 650e-6 * flow * seed.factor(0.5, 2.0);
    let turbine = if seed.next() < 0.5 {
        Turbine::from_effective_area(m2(area.clamp(2.1e-5, 0.019)), plain(0.1))
    } else {
        Turbine::from_square_root(m2((0.75 * area).clamp(2.1e-5, 0.019)), plain(1.9), plain(0.1))
    };
    let turbine = turbine.and_then(|turbine| turbine.with_wheel(m(wheel))).unwrap();
    let lambda = seed.between(0.75, 1.05);
    let ethanol = seed.next();
    let fuel = Fuel::ethanol_blend(plain(ethanol), &Gasoline::typical()).unwrap();
    let loss = |share: f64, at: f64| Loss::new(kpa_diff(share), kg_per_s(at.clamp(1e-3, 5.0))).unwrap();
    let effectiveness = seed.between(0.3, 0.95);
    let exhaust = deg_c(seed.between(700.0, 1050.0));
    let efficiency = seed.between(0.5, 0.75);
    // Half of them with the engine's heat balance.
    let balanced = seed.next() < 0.5;
    let seen = SeenAt::new(kw(70.0 * litres), rpm(5500.0)).unwrap();
    // A third of those behind a pipe, a third of all with heat through the housings.
    let (bore, length, outside) =
        (0.03 * litres.sqrt().clamp(0.6, 3.0), seed.between(0.2, 3.0), seed.between(15.0, 120.0));
    let pipe =
        ExhaustPipe::new(m(bore), m(length)).and_then(|pipe| pipe.outside(w_per_m2_k(outside))).unwrap();
    let pipe = Some(pipe).filter(|_| balanced && length < 1.1);
    let seen = if outside < 40.0 { seen.before_pipe() } else { seen };
    let conductance = watt_per_k(seed.between(-2.0, 1.0).max(0.0) * wheel / 0.05);
    let candidate = Candidate::with_map("scaled", map);
    let candidate =
        if conductance.si() > 0.0 { candidate.heat_flow(conductance).unwrap() } else { candidate };
    let mut installation = Installation {
        engine,
        site,
        intake: Intake {
            loss: loss(seed.between(0.5, 5.0), full),
            heating: kelvin_diff(seed.between(0.0, 15.0)),
        },
        cooler: ChargeCooler::new(
            Effectiveness::new(effectiveness).unwrap(),
            loss(seed.between(2.0, 15.0), full),
        ),
        exhaust: Exhaust {
            temperature: exhaust,
            seen_at: balanced.then_some(seen),
            pipe,
            back_pressure: loss(seed.between(2.0, 25.0), full),
            efficiency: TurbineEfficiency::with_bearings(Efficiency::new(efficiency).unwrap()),
            most_expansion: ExpansionRatio::new(3.0).unwrap(),
        },
        injectors: study.installation.injectors,
        limits: UserLimits::default(),
    };
    let plan = FuelPlan { fuel, lambda: Lambda::new(lambda).unwrap(), most_boost: None };
    // Hotter than the fuel can make it: such a temperature is refused where a study is read.
    let walls = wall_share_seen(&installation, &plan);
    if !walls.is_ok_and(|share| share.is_none_or(|share| share.si() > 0.0)) {
        installation.exhaust.seen_at = None;
        installation.exhaust.pipe = None;
    }
    let target = seed.between(1.1, 3.0) * installation.site.pressure().si();
    let words = format!(
        "{litres:.2} L, {cylinders} cylinders, {piston:.1} m/s, {altitude:.0} m, map {:.2} of the engine, area {:.2}, \
         target {:.0} kPa, lambda {lambda:.2}, rc {compression:.1}, eta_t {efficiency:.2}, {:.0} degC",
        flow * of.map().greatest_flow().si() / full,
        area / (650e-6 * flow),
        target / 1e3,
        exhaust.deg_c()
    );
    Random {
        installation,
        candidate,
        turbine,
        plan,
        control: Control::manifold(pa(target)).unwrap(),
        speed,
        words,
    }
}

/// The name of how a study ends.
fn ended(found: &Result<BalancedPoint, NotFound>) -> String {
    match found {
        Ok(point) => {
            let below = if point.beyond.is_some() { ", below the map" } else { "" };
            format!("{}{below}", point.gate.words())
        }
        Err(NotFound::Outside(outside)) => format!("outside: {}", outside.edge.words()),
        Err(NotFound::TurbineTooSmall(_)) => "turbine too small".into(),
        Err(NotFound::Formula(error)) => {
            format!("formula: {}", error.to_string().chars().take(60).collect::<String>())
        }
        Err(NotFound::NotConverged { .. }) => "not converged".into(),
        Err(NotFound::NoBalance { at_most_expansion: true, .. }) => {
            "no balance up to the largest expansion".into()
        }
        Err(NotFound::NoBalance { .. }) => "no balance".into(),
        Err(_) => "not found".into(),
    }
}

#[test]
fn every_study_ends_in_a_state_or_a_named_reason() {
    let count = std::env::var("SHAFTWORK_STUDIES").ok().and_then(|count| count.parse().ok()).unwrap_or(120);
    let study = Study::demo().unwrap();
    let mut seed = Seed(20_240_229);
    let mut ends: BTreeMap<String, usize> = BTreeMap::new();
    let mut left: f64 = 0.0;
    for k in 0..count {
        let r = random(&study, &mut seed);
        let line = operating_line(&r.installation, &r.candidate, &r.turbine, &r.plan, r.control, &[r.speed]);
        let found = match line {
            Ok(mut line) => line.points.remove(0).1,
            Err(error) => Err(NotFound::Formula(error)),
        };
        if let Ok(point) = &found {
            left = point.left.iter().fold(left, |most, gap| if gap.abs() <= most { most } else { gap.abs() });
        }
        let name = ended(&found);
        if std::env::var("SHAFTWORK_SHOW").is_ok_and(|show| name.contains(&show)) {
            println!("{k}: {name}: {:?}\n    {} {}", found.err(), r.speed, r.words);
        }
        *ends.entry(name).or_default() += 1;
    }
    for (name, n) in &ends {
        println!("{n:7} {:6.3} % {name}", 100.0 * *n as f64 / count as f64);
    }
    println!("largest residual {left:.2e}");
    let of = |name: &str| ends.get(name).copied().unwrap_or(0);
    assert!(left <= 1e-9, "{left}");
    assert_eq!(of("not converged") + of("not found"), 0, "{ends:?}");
    assert!(!ends.keys().any(|name| name.starts_with("formula")), "{ends:?}");
    assert!(of("no balance") <= 1 + count / 2000, "{ends:?}");
    assert!(of("regulating") > count / 10 && of("shut") + of("shut, below the map") > count / 20, "{ends:?}");
}
