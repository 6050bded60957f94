//! The map estimated from a wheel's geometry: how its speed lines behave, and what it refuses.

#[path = "support/reference.rs"]
mod reference;
#[path = "support/speed_lines.rs"]
mod speed_lines;

use proptest::prelude::*;
use reference::{between, close_relative, plain, seeded};
use shaftwork::compressor::{SizeCheck, WheelBuilder};
use shaftwork::prelude::*;

fn iso() -> Reference {
    Reference::new(kelvin(298.15), kpa(100.0)).unwrap()
}

/// A wheel of 20 to 120 mm with dimensions that occur together: an exit 0.8 to 1.6 times as wide as the throat.
fn wheel() -> impl Strategy<Value = WheelGeometry> {
    let shape = (20.0..120.0_f64, 0.60..0.82_f64, 0.22..0.40_f64, 0.8..1.6_f64, 0.0..52.0_f64);
    let angles = (52.0..65.0_f64, 0.02..0.10_f64, 1.25..1.9_f64, 0.8..1.05_f64);
    let blades = (4u8..12, any::<bool>(), any::<bool>(), any::<bool>());
    (shape, angles, blades).prop_map(|(shape, angles, blades)| {
        let (outer, inducer, hub, width, backsweep) = shape;
        let (tip_angle, clearance, ratio, pinch) = angles;
        let (full, splitters, volute, slot) = blades;
        // By the geometry alone: throat of radial blade elements without blockage, exit of a cylinder.
        let tip = inducer * outer;
        let rms = ((1.0 + hub * hub) / 2.0_f64).sqrt();
        let throat =
            0.785 * tip * tip * (1.0 - hub * hub) * (tip_angle.to_radians().tan() * rms).atan().cos();
        let width =
            (width * throat / (std::f64::consts::PI * outer)).clamp(0.021 * outer, 0.45 * tip * (1.0 - hub));
        let mut builder = WheelGeometry::builder(mm(inducer * outer), mm(outer))
            .hub(mm(hub * inducer * outer))
            .inducer_tip_angle(deg(tip_angle))
            .exit_width(mm(width))
            .backsweep(deg(backsweep))
            .blades(full, if splitters { full } else { 0 })
            .exit_clearance(mm(clearance * width))
            .diffuser_ratio(fraction(ratio))
            .diffuser_width(mm(pinch * width));
        if !volute {
            builder = builder.without_volute();
        }
        if slot {
            builder = builder.recirculation_slot();
        }
        builder.build().unwrap()
    })
}

proptest! {
    #![proptest_config(seeded(300))]

    // What every published map shows: flow rises from surge to choke, pressure ratio falls from its peak on, a choked
    // line falls at constant flow, efficiency and work are those of a machine, faster lines lie above and right.
    #[test]
    fn lines_behave(wheel in wheel()) {
        let estimate = wheel.estimate(iso()).unwrap();
        speed_lines::behave(&estimate)?;
    }
}

/// Dimensions drawn from all that the builder may take or refuse, without regard to one another.
fn anything() -> impl Strategy<Value = WheelBuilder> {
    let known = prop::option::of(0.0..1.0_f64);
    let drawn = (15.0..320.0_f64, 0.38..0.97_f64, prop::array::uniform6(known), 3u8..31, 0u8..20);
    drawn.prop_map(|(outer, inducer, [hub, angle, width, backsweep, clearance, ratio], full, splitters)| {
        let tip = inducer * outer;
        let mut builder = WheelGeometry::builder(mm(tip), mm(outer)).blades(full, splitters);
        builder = hub.map_or(builder, |x| builder.hub(mm((0.08 + 0.75 * x) * tip)));
        builder = angle.map_or(builder, |x| builder.inducer_tip_angle(deg(33.0 + 40.0 * x)));
        builder = width.map_or(builder, |x| builder.exit_width(mm((0.015 + 0.3 * x) * outer)));
        builder = backsweep.map_or(builder, |x| builder.backsweep(deg(66.0 * x)));
        builder = clearance.map_or(builder, |x| builder.exit_clearance(mm(0.02 * outer * x)));
        ratio.map_or(builder, |x| builder.diffuser_ratio(fraction(1.0 + 1.6 * x)))
    })
}

proptest! {
    #![proptest_config(seeded(400))]

    // No panic, no number that is not finite: a map, or the reason why there is none.
    #[test]
    fn a_wheel_gets_a_map_or_the_reason(builder in anything()) {
        let found = builder.build().map(|wheel| wheel.estimate(iso()));
        match found {
            Err(refused) => prop_assert!(refused.to_string().contains("outside"), "{refused}"),
            Ok(Err(none)) => prop_assert!(none.to_string().contains("compresses no flow"), "{none}"),
            Ok(Ok(estimate)) => {
                for line in estimate.lines().unwrap() {
                    for p in &line.points {
                        let values = [p.flow.si(), p.ratio.si(), p.efficiency.si(), p.work.si(), p.choke_share.si()];
                        prop_assert!(values.iter().all(|v| v.is_finite() && *v > 0.0), "{p:?}");
                        prop_assert!(p.efficiency.si() < 1.0 && p.ratio.si() > 1.0, "{p:?}");
                    }
                }
            }
        }
    }

    // Every draw of the uncertain factors is a map of its own.
    #[test]
    fn moved_factors_give_maps(draws in prop::array::uniform15(-2.0..2.0_f64)) {
        let factors = Factor::ALL.into_iter().zip(draws).fold(Factors::central(), |f, (factor, z)| f.with(factor, z));
        let map = typical().estimate(iso()).unwrap().with_factors(factors).map().unwrap();
        prop_assert!(map.greatest_flow().si() > 0.1);
    }
}

/// The invented wheel of the demonstration by its diameters alone.
fn typical() -> WheelGeometry {
    WheelGeometry::builder(mm(46.4), mm(61.0)).build().unwrap()
}

/// The same with everything measured.
fn measured() -> WheelBuilder {
    WheelGeometry::builder(mm(46.4), mm(61.0))
        .hub(mm(14.0))
        .inducer_tip_angle(deg(59.0))
        .exit_width(mm(4.8))
        .backsweep(deg(38.0))
        .exit_clearance(mm(0.25))
        .diffuser_ratio(fraction(1.6))
        .diffuser_width(mm(4.8))
        .blades(6, 6)
}

fn estimate(builder: WheelBuilder) -> MapEstimate {
    builder.build().unwrap().estimate(iso()).unwrap()
}

#[test]
fn impossible_wheels_are_refused_with_the_reason() {
    let says = |builder: WheelBuilder| builder.build().unwrap_err().to_string();
    let wheel = || WheelGeometry::builder(mm(46.4), mm(61.0));
    for (found, expected) in [
        (
            says(WheelGeometry::builder(mm(2.0), mm(3.0))),
            "outer diameter 3.000 mm is outside 20.00 to 600.0 mm: wheels from 20 to 600 mm are taken",
        ),
        (
            says(WheelGeometry::builder(mm(61.0), mm(46.4))),
            "inducer tip diameter 61.00 mm is outside 18.56 to 44.08 mm: the inducer of a centrifugal wheel is 0.4 to 0.95 of its outer diameter; are they swapped?",
        ),
        (
            says(wheel().hub(mm(47.0))),
            "inducer hub diameter 47.00 mm is outside 4.640 to 37.12 mm: the hub is 0.1 to 0.8 of the inducer's tip diameter",
        ),
        (
            says(wheel().exit_width(mm(20.0))),
            "exit width 20.00 mm is outside 1.220 to 16.24 mm: the exit is at least 0.02 of the outer diameter and narrower than the inducer's blades are high",
        ),
        (
            says(wheel().inducer_tip_angle(deg(80.0))),
            "inducer tip angle 80.00 deg is outside 35.00 to 72.00 deg: inducer blades stand 35 to 72 degrees from axial at the tip",
        ),
        (
            says(wheel().backsweep(deg(-10.0))),
            "backsweep -10.00 deg is outside 0 to 65.00 deg: blades lean back by 0 (radial) to 65 degrees",
        ),
        (says(wheel().blades(2, 2)), "full blades 2 is outside 4 to 30: wheels have 4 to 30 full blades"),
        (
            says(wheel().exit_width(mm(4.0)).exit_clearance(mm(2.0))),
            "clearance at the exit 2.000 mm is outside 0 to 1.200 mm: a clearance is less than 0.3 of the exit width",
        ),
        (
            says(wheel().diffuser_ratio(fraction(3.0))),
            "diffuser radius ratio 3.000 is outside 1.050 to 2.500: a diffuser ends at 1.05 to 2.5 of the wheel's radius",
        ),
        (says(wheel().hub(mm(f64::NAN))), "inducer hub diameter is not a finite number"),
    ] {
        assert_eq!(found, expected);
    }
}

#[test]
fn speeds_and_flows_outside_are_refused() {
    let estimate = estimate(measured());
    let at =
        |speed, flow| estimate.at(corrected_rpm(speed), corrected_kg_per_s(flow)).unwrap_err().to_string();
    assert!(at(10_000.0, 0.1).contains("is outside 80.00 m/s to 700.0 m/s"), "{}", at(10_000.0, 0.1));
    assert!(at(f64::NAN, 0.1).contains("check speed and outer diameter"));
    for flow in [0.001, 1.0, f64::NAN, f64::INFINITY] {
        assert!(at(120_000.0, flow).contains("of this speed line"), "{}", at(120_000.0, flow));
    }
}

#[test]
fn measured_points_that_do_not_fit_are_refused() {
    let estimate = estimate(measured());
    let point = |speed, flow, ratio, outlet| MeasuredPoint {
        inlet: InletState { temperature: deg_c(25.0), pressure: kpa(98.0) },
        speed: rpm(speed),
        flow: kg_per_s(flow),
        ratio: plain(ratio),
        outlet: deg_c(outlet),
    };
    let says = |p| estimate.clone().with_measured_point(p).unwrap_err().to_string();
    assert!(estimate.clone().with_measured_point(point(120_000.0, 0.15, 2.1, 123.0)).is_ok());
    // Colder than a lossless compression, and heated by the turbine.
    assert!(
        says(point(120_000.0, 0.15, 2.1, 80.0)).contains("efficiency"),
        "{}",
        says(point(120_000.0, 0.15, 2.1, 80.0))
    );
    assert!(says(point(120_000.0, 0.15, 1.2, 160.0)).contains("its efficiency is not between 0.3 and 0.95"));
    // The speed read in error by half.
    assert!(says(point(60_000.0, 0.10, 2.1, 123.0)).contains("its work is more than 60 % off"));
}

// Independent method: 6000 draws of all factors at once against the sum of squares of single steps. 6000 draws settle a
// standard deviation within 1 %; 20 % leaves room for what is not linear: the drawn spread is up to 16 % wider.
#[test]
fn bands_are_those_of_random_draws() {
    for builder in [measured(), WheelGeometry::builder(mm(46.4), mm(61.0))] {
        let central = estimate(builder);
        let (speed, flow) = (corrected_rpm(115_000.0), corrected_kg_per_s(0.13));
        let band = central.band_at(speed, flow).unwrap();
        let mut seed = 20_260_u64;
        let mut uniform = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 11) as f64 / (1u64 << 53) as f64
        };
        let mut normal = || (0..12).map(|_| uniform()).sum::<f64>() - 6.0;
        let mut draws = [vec![], vec![], vec![]];
        for _ in 0..6000 {
            let factors =
                Factor::ALL.into_iter().fold(Factors::central(), |f, factor| f.with(factor, normal()));
            let Ok(point) = central.clone().with_factors(factors).at(speed, flow) else { continue };
            draws[0].push(point.ratio.si().ln());
            draws[1].push(point.efficiency.si());
            draws[2].push(point.work.si().ln());
        }
        assert!(draws[0].len() > 5900, "{}", draws[0].len());
        let sd = |x: &[f64]| {
            let mean = x.iter().sum::<f64>() / x.len() as f64;
            (x.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / x.len() as f64).sqrt()
        };
        for (found, drawn) in [band.ratio, band.efficiency, band.work].iter().zip(&draws) {
            close_relative(found.si(), sd(drawn), 0.2);
        }
    }
}

// The bands of a 61 mm wheel in the middle of its map against what four rigs and a judgement for small wheels ask for:
// choke flow 12, 4, 3 %; pressure ratio 7, 5, 2.5 %; work 6, 5, 2 %; efficiency 4, 3, 1.5 points.
#[test]
fn what_is_known_narrows_the_band() {
    let (speed, flow) = (corrected_rpm(120_000.0), corrected_kg_per_s(0.14));
    let point = MeasuredPoint {
        inlet: InletState { temperature: kelvin(298.15), pressure: kpa(100.0) },
        speed: rpm(110_000.0),
        flow: kg_per_s(0.13),
        ratio: plain(1.95),
        outlet: kelvin(383.0),
    };
    let bands = |estimate: &MapEstimate| {
        let at = estimate.band_at(speed, flow).unwrap();
        let line = estimate.band().unwrap();
        [line[6].choke.si(), at.ratio.si(), at.work.si(), at.efficiency.si()]
    };
    let known = estimate(measured());
    // Of the rigs the blades were told beside the diameters.
    let counted = estimate(WheelGeometry::builder(mm(46.4), mm(61.0)).blades(6, 6));
    let steps = [
        (bands(&counted), [0.12, 0.07, 0.06, 0.04]),
        (bands(&known), [0.04, 0.05, 0.05, 0.03]),
        (bands(&known.clone().with_measured_point(point).unwrap()), [0.03, 0.025, 0.02, 0.015]),
    ];
    for (found, asked) in steps {
        for (found, asked) in found.into_iter().zip(asked) {
            between(found / asked, 0.6, 1.6);
        }
    }
}

// Another trial of the same losses on wheels of 45 to 61 mm: 0.10 instead of 0.25 to 0.30 mm on exits of 3 to 3.8 mm is worth
// 4 to 5 points. Measured on another wheel (NASA TM X-2350, 108 mm, vaned): 0.34 points for one percent of the exit
// width, which over these 5 percent is 1.8. So the published term asks nearly three times as much; it is not tuned.
#[test]
fn clearance_costs_what_another_trial_found_and_more_than_was_measured() {
    let peak = |clearance: f64| {
        let wheel =
            WheelGeometry::builder(mm(44.0), mm(61.0)).exit_width(mm(3.6)).exit_clearance(mm(clearance));
        let line = estimate(wheel).line(corrected_rpm(125_000.0)).unwrap();
        line.points.iter().map(|p| p.efficiency.si()).fold(0.0, f64::max)
    };
    between((peak(0.10) - peak(0.275)) * 100.0, 3.0, 5.5);
}

// NASA TN D-6640 (108 mm): (1 - eta) grew with (1/Re)^0.055 to 0.124 over a ninefold range. Same shape, same tip speed, a
// ninth of the size.
#[test]
fn a_smaller_wheel_of_one_shape_loses_by_its_reynolds_number() {
    let peak = |size: f64| {
        let wheel = WheelGeometry::builder(mm(0.7 * size), mm(size))
            .hub(mm(0.2 * size))
            .inducer_tip_angle(deg(58.0))
            .exit_width(mm(0.07 * size))
            .backsweep(deg(38.0))
            .exit_clearance(mm(0.003 * size))
            .diffuser_ratio(fraction(1.6))
            .diffuser_width(mm(0.07 * size));
        let estimate = estimate(wheel);
        let line = estimate.line(estimate.speed_of(m_per_s(380.0))).unwrap();
        let best = line.points.iter().max_by(|a, b| a.efficiency.si().total_cmp(&b.efficiency.si())).unwrap();
        (best.efficiency.si(), best.ratio.si(), line.choke.si() / (size * size))
    };
    let (large, small) = (peak(450.0), peak(50.0));
    between(((1.0 - small.0) / (1.0 - large.0)).ln() / 9.0_f64.ln(), 0.03, 0.15);
    // Similarity: choke at the same flow per area, but for the density that the losses take.
    close_relative(small.2, large.2, 1e-2);
}

// Small wheels peak at 0.70 to 0.80 (from memory). Without the volute this one comes out above: its band grows.
#[test]
fn an_unlikely_efficiency_widens_its_band() {
    let (speed, flow) = (corrected_rpm(120_000.0), corrected_kg_per_s(0.14));
    let [with, without] = [measured(), measured().without_volute().exit_clearance(mm(0.1))].map(|builder| {
        let estimate = estimate(builder);
        let lines = estimate.lines().unwrap();
        let peak = lines.iter().flat_map(|line| &line.points).map(|p| p.efficiency.si()).fold(0.0, f64::max);
        let eta = estimate.at(speed, flow).unwrap().efficiency.si();
        // By how much one standard deviation moves ln[eta/(1 - eta)].
        (peak, estimate.band_at(speed, flow).unwrap().efficiency.si() / (eta * (1.0 - eta)))
    });
    between(with.0, 0.70, 0.80);
    between(without.0, 0.82, 0.90);
    assert!(without.1 > 1.3 * with.1, "{with:?} {without:?}");
}

#[test]
fn a_slot_moves_surge_and_leaves_choke() {
    let speed = corrected_rpm(125_000.0);
    let (without, with) = (estimate(measured()), estimate(measured().recirculation_slot()));
    let (without, with) = (without.line(speed).unwrap(), with.line(speed).unwrap());
    between(with.surge.si() / without.surge.si(), 0.8, 0.95);
    assert_eq!(with.choke, without.choke);
    // From memory: 0 to 4 % of work for the air that goes round, and no pressure for it.
    let at = |wheel: WheelBuilder| {
        let estimate = estimate(wheel);
        let flow = without.choke * 0.8;
        (estimate.at(speed, flow).unwrap(), estimate.band_at(speed, flow).unwrap().work.si())
    };
    let ((plain, narrow), (slotted, wide)) = (at(measured()), at(measured().recirculation_slot()));
    close_relative(slotted.work.si(), 1.02 * plain.work.si(), 1e-9);
    close_relative(slotted.ratio.si(), plain.ratio.si(), 1e-9);
    assert!(wide > 1.03 * narrow, "{narrow} {wide}");
}

#[test]
fn a_small_wheel_says_that_it_is_not_validated() {
    let estimate = typical().estimate(iso()).unwrap();
    assert_eq!(estimate.size_check(), SizeCheck::NotAtThisSize);
    let map = estimate.map().unwrap();
    assert!(map.provenance().contains("not validated at this size"), "{}", map.provenance());
    assert!(map.provenance().contains("assumed inducer hub diameter"), "{}", map.provenance());
    assert_eq!(typical().assumed().count(), 8);
    assert_eq!(measured().build().unwrap().assumed().count(), 0);
}

// The parts that the result is made of are the formulas: their sum with the ideal work gives the wheel's efficiency.
#[test]
fn losses_are_named_by_their_formulas() {
    let estimate = estimate(measured());
    let (speed, flow) = (corrected_rpm(120_000.0), corrected_kg_per_s(0.14));
    let losses = estimate.losses(speed, flow).unwrap();
    let names: Vec<&str> = shaftwork::registry::formulas().map(|formula| formula.name).collect();
    let point = estimate.at(speed, flow).unwrap();
    let mut sum = 0.0;
    for (name, loss) in losses {
        assert!(names.contains(&name), "{name}");
        between(loss.si() / point.work.si(), 0.0, 0.15);
        sum += loss.si();
    }
    // Diffuser and volute take their share beside them.
    between(sum / point.work.si(), 0.05, 1.0 - point.efficiency.si() + 0.02);
}
