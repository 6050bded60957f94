//! A diffuser with vanes in the map estimated from geometry: how its speed lines behave, what bounds them, what is refused.

#[path = "support/reference.rs"]
mod reference;
#[path = "support/speed_lines.rs"]
mod speed_lines;

use proptest::prelude::*;
use reference::{between, close_relative, plain, seeded};
use shaftwork::compressor::WheelBuilder;
use shaftwork::prelude::*;

fn iso() -> Reference {
    Reference::new(kelvin(298.15), kpa(100.0)).unwrap()
}

fn estimate(builder: WheelBuilder) -> MapEstimate {
    builder.build().unwrap().estimate(iso()).unwrap()
}

/// The wheel of the demonstration with everything measured, without vanes.
fn wheel() -> WheelBuilder {
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

/// Vanes with everything measured.
fn vanes() -> VanedDiffuser {
    VanedDiffuser::new().vanes(17).leading_edge(fraction(1.08)).inlet_angle(deg(72.0)).throat(mm2(330.0))
}

/// A wheel of 20 to 120 mm with dimensions that occur together and vanes whose throat chokes not far from the inducer's.
fn vaned() -> impl Strategy<Value = WheelGeometry> {
    let shape = (20.0..120.0_f64, 0.60..0.82_f64, 0.22..0.40_f64, 0.8..1.6_f64, 0.0..52.0_f64);
    let vanes =
        (1.03..1.2_f64, 330.0..520.0_f64, prop::option::of(0.7..1.4_f64), prop::option::of(-4.0..4.0_f64));
    let rest = (1.35..1.9_f64, 52.0..65.0_f64, any::<bool>(), any::<bool>(), 9u8..30);
    (shape, vanes, rest).prop_map(|((outer, inducer, hub, width, backsweep), vanes, rest)| {
        let ((edge, matched, throat, off), (ratio, tip_angle, volute, splitters, count)) = (vanes, rest);
        let tip = inducer * outer;
        let rms = ((1.0 + hub * hub) / 2.0_f64).sqrt();
        let inlet = 0.785 * tip * tip * (1.0 - hub * hub) * (tip_angle.to_radians().tan() * rms).atan().cos();
        let width =
            (width * inlet / (std::f64::consts::PI * outer)).clamp(0.021 * outer, 0.45 * tip * (1.0 - hub));
        let mut vanes =
            VanedDiffuser::new().vanes(count).leading_edge(fraction(edge)).matched_at(m_per_s(matched));
        // A throat around 0.45 of the inducer's, as choking together at a tip-speed Mach number near 1.2 asks for, and
        // vanes a few degrees off what that throat asks for.
        let cylinder = std::f64::consts::PI * edge * outer * width;
        let area = throat.map(|share| (0.45 * 0.9 * inlet * share).clamp(0.08 * cylinder, 0.7 * cylinder));
        if let Some(area) = area {
            vanes = vanes.throat(mm2(area));
            let along = (area / (1.1 * cylinder)).acos().to_degrees();
            vanes = off.map_or(vanes, |off| vanes.inlet_angle(deg((along + off).clamp(41.0, 85.0))));
        }
        let builder = WheelGeometry::builder(mm(tip), mm(outer))
            .hub(mm(hub * tip))
            .inducer_tip_angle(deg(tip_angle))
            .exit_width(mm(width))
            .backsweep(deg(backsweep))
            .blades(8, if splitters { 8 } else { 0 })
            .exit_clearance(mm(0.05 * width))
            .diffuser_ratio(fraction(ratio))
            .diffuser_width(mm(width))
            .vaned_diffuser(vanes);
        if volute { builder } else { builder.without_volute() }.build().unwrap()
    })
}

proptest! {
    #![proptest_config(seeded(300))]

    // What published maps with vanes show too: flow rises from surge to choke, pressure ratio falls from its peak on, a choked
    // line falls at constant flow, faster lines lie above and right.
    #[test]
    fn lines_behave(wheel in vaned()) {
        let estimate = wheel.estimate(iso()).unwrap();
        speed_lines::behave(&estimate)?;
        for band in estimate.band().unwrap() {
            let all = band.points.iter().flat_map(|p| [p.ratio.si(), p.efficiency.si(), p.work.si()]);
            for sigma in all.chain([band.choke.si(), band.surge.si()]) {
                prop_assert!(sigma.is_finite() && sigma >= 0.0, "{band:?}");
            }
            prop_assert!(band.choke.si() > 0.02, "{}", band.choke);
        }
    }
}

/// What a user may type, without regard to the wheel.
fn anything() -> impl Strategy<Value = WheelBuilder> {
    let known = prop::option::of(0.0..1.0_f64);
    let drawn = (15.0..320.0_f64, 0.38..0.97_f64, prop::array::uniform7(known), 3u8..70);
    drawn.prop_map(|(outer, inducer, [edge, angle, area, width, speed, ratio, exit], count)| {
        let mut vanes = VanedDiffuser::new();
        vanes = edge.map_or(vanes, |x| vanes.leading_edge(fraction(0.95 + 0.6 * x)));
        vanes = angle.map_or(vanes, |x| vanes.inlet_angle(deg(35.0 + 55.0 * x)));
        vanes = area.map_or(vanes, |x| vanes.throat(mm2((0.002 + 0.2 * x) * outer * outer)));
        if area.is_none() {
            vanes = width.map_or(vanes, |x| vanes.throat_width(mm((0.002 + 0.08 * x) * outer)));
        }
        vanes = speed.map_or(vanes, |x| vanes.matched_at(m_per_s(100.0 + 650.0 * x)));
        if count < 65 {
            vanes = vanes.vanes(count);
        }
        let mut builder = WheelGeometry::builder(mm(inducer * outer), mm(outer)).vaned_diffuser(vanes);
        builder = ratio.map_or(builder, |x| builder.diffuser_ratio(fraction(1.0 + 1.6 * x)));
        exit.map_or(builder, |x| builder.exit_width(mm((0.015 + 0.2 * x) * outer)))
    })
}

proptest! {
    #![proptest_config(seeded(600))]

    // No panic, no number that is not finite: a map, or the reason why there is none.
    #[test]
    fn vanes_get_a_map_or_the_reason(builder in anything()) {
        match builder.build().map(|wheel| wheel.estimate(iso())) {
            Err(refused) => {
                let refused = refused.to_string();
                prop_assert!(refused.contains("outside") || refused.contains("needs the number of vanes"), "{refused}");
            }
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
        let wheel = WheelGeometry::builder(mm(46.4), mm(61.0)).vaned_diffuser(VanedDiffuser::new());
        let factors = Factor::ALL.into_iter().zip(draws).fold(Factors::central(), |f, (factor, z)| f.with(factor, z));
        let map = estimate(wheel).with_factors(factors).map().unwrap();
        prop_assert!(map.greatest_flow().si() > 0.1);
    }
}

// The flow that a throat passes at Mach 1: 0.0404149 A p0/sqrt(T0) of air (published for gamma 1.4). The total temperature
// before it follows from the work; the total pressure lies between that behind the stage and that of the work without loss.
#[test]
fn choke_is_that_of_the_throat() {
    for (area, speed) in [(330.0, 90_000.0), (330.0, 115_000.0), (260.0, 115_000.0)] {
        let estimate = estimate(wheel().vaned_diffuser(vanes().throat(mm2(area))));
        let speed = corrected_rpm(speed);
        let line = estimate.line(speed).unwrap();
        let at = estimate.at(speed, line.choke).unwrap();
        let t02 = 298.15 + at.work.si() / 1006.0;
        let lossless = 100e3 * (t02 / 298.15_f64).powf(3.49);
        let passes = |pressure: f64| 0.95 * 0.040_414_9 * area * 1e-6 * pressure / t02.sqrt();
        between(line.choke.si(), passes(100e3 * at.ratio.si()), passes(lossless));
    }
}

// A throat that the inducer never fills leaves choke to the inducer, but for what the vanes lose; a smaller one binds, the more so the slower the wheel turns.
#[test]
fn the_smaller_throat_binds() {
    let choke =
        |builder: WheelBuilder, speed: f64| estimate(builder).line(corrected_rpm(speed)).unwrap().choke.si();
    let wide = wheel().vaned_diffuser(VanedDiffuser::new().leading_edge(fraction(1.08)).throat(mm2(650.0)));
    close_relative(choke(wide, 110_000.0), choke(wheel(), 110_000.0), 0.06);
    let ratio = |speed: f64| choke(wheel().vaned_diffuser(vanes()), speed) / choke(wheel(), speed);
    assert!(ratio(95_000.0) < ratio(110_000.0) && ratio(110_000.0) < ratio(130_000.0));
    assert!(ratio(95_000.0) < 0.75, "{}", ratio(95_000.0));
}

// Common practice, no source: vanes narrow the range of flow and raise the best efficiency of a matched stage.
#[test]
fn vanes_narrow_the_range() {
    let range = |builder: WheelBuilder| {
        let line = estimate(builder).line(corrected_rpm(115_000.0)).unwrap();
        (line.choke.si() - line.surge.si()) / line.choke.si()
    };
    let (without, with) = (range(wheel()), range(wheel().vaned_diffuser(vanes())));
    assert!(with < 0.7 * without && with > 0.03, "{with} {without}");
}

// Charts of channel diffusers and measured stages agree that recovery falls off on both sides of the vane's own angle.
#[test]
fn vanes_that_do_not_meet_the_flow_lose_more() {
    let best = |angle: f64| {
        let line =
            estimate(wheel().vaned_diffuser(vanes().inlet_angle(deg(angle)))).line(corrected_rpm(115_000.0));
        line.unwrap().points.iter().map(|p| p.efficiency.si()).fold(0.0, f64::max)
    };
    let (flat, good, steep) = (best(84.0), best(72.0), best(56.0));
    assert!(good > flat + 0.004 && good > steep + 0.01, "{flat} {good} {steep}");
}

#[test]
fn what_is_known_of_the_vanes_narrows_the_band() {
    let band = |builder: WheelBuilder| estimate(builder).band().unwrap()[5].choke.si();
    let open = band(wheel().vaned_diffuser(VanedDiffuser::new()));
    let angle = band(
        wheel().vaned_diffuser(VanedDiffuser::new().leading_edge(fraction(1.08)).inlet_angle(deg(72.0))),
    );
    let known = band(wheel().vaned_diffuser(vanes()));
    assert!(known < 0.05 && open > 0.08, "{open} {known}");
    assert!(angle > known && angle < 0.15, "{angle}");
    let wheel = wheel().vaned_diffuser(VanedDiffuser::new()).build().unwrap();
    let assumed: Vec<&str> = wheel.assumed().map(|default| default.what).collect();
    assert_eq!(assumed.len(), 3, "{assumed:?}");
    assert!(wheel.varies(Factor::VaneRecovery) && wheel.varies(Factor::VaneThroat));
    let plain = WheelGeometry::builder(mm(46.4), mm(61.0)).build().unwrap();
    assert!(!plain.varies(Factor::VaneRecovery) && !plain.varies(Factor::VaneAngle));
}

// 17 throats of 4.04 mm in a diffuser 4.8 mm wide are 329.7 mm2.
#[test]
fn a_throat_is_given_by_area_or_by_width() {
    let line = |vanes: VanedDiffuser| {
        estimate(wheel().vaned_diffuser(vanes)).line(corrected_rpm(110_000.0)).unwrap()
    };
    let of = VanedDiffuser::new().vanes(17).leading_edge(fraction(1.08)).inlet_angle(deg(72.0));
    assert_eq!(line(of.throat_width(mm(4.04))).choke, line(of.throat(mm2(17.0 * 4.04 * 4.8))).choke);
}

// A run at a flow that the estimated throat would not pass widens it; the point is met.
#[test]
fn a_measured_point_beyond_the_throat_widens_it() {
    let before = estimate(wheel().vaned_diffuser(vanes().throat(mm2(280.0))));
    let speed = corrected_rpm(110_000.0);
    let choke = before.line(speed).unwrap().choke;
    let point = MeasuredPoint {
        inlet: InletState { temperature: kelvin(298.15), pressure: kpa(100.0) },
        speed: rpm(110_000.0),
        flow: kg_per_s(1.05 * choke.si()),
        ratio: plain(1.9),
        outlet: kelvin(380.0),
    };
    let after = before.with_measured_point(point).unwrap();
    let found = after.at(speed, choke * 1.05).unwrap();
    close_relative(found.ratio.si(), 1.9, 1e-6);
    assert!(after.line(speed).unwrap().choke.si() >= 1.05 * choke.si());
}

#[test]
fn impossible_vanes_are_refused_with_the_reason() {
    let says = |vanes: VanedDiffuser| wheel().vaned_diffuser(vanes).build().unwrap_err().to_string();
    let of = VanedDiffuser::new;
    for (found, expected) in [
        (says(of().vanes(3)), "diffuser vanes 3 is outside 5 to 60: diffusers have 5 to 60 vanes"),
        (
            says(of().leading_edge(fraction(1.0))),
            "vane leading-edge ratio 1.000 is outside 1.020 to 1.500: the vanes begin at 1.02 to 1.5 of the wheel's radius",
        ),
        (
            says(of().leading_edge(fraction(1.5)).throat(mm2(500.0)).inlet_angle(deg(70.0)).vanes(200)),
            "diffuser vanes 200 is outside 5 to 60: diffusers have 5 to 60 vanes",
        ),
        (
            says(of().inlet_angle(deg(20.0))),
            "vane angle 20.00 deg is outside 40.00 to 86.00 deg: vanes stand 40 to 86 degrees from radial",
        ),
        (
            says(of().throat(mm2(5.0))),
            "diffuser throat 5.000 mm2 is outside 59.61 to 745.1 mm2: a throat is 0.06 to 0.75 of the cylinder at the vanes' leading edges",
        ),
        (
            says(of().vanes(17).throat_width(mm(20.0))),
            "diffuser throat width 20.00 mm is outside 0.7305 to 9.131 mm: a throat is 0.06 to 0.75 of the cylinder at the vanes' leading edges",
        ),
        (says(of().throat_width(mm(4.0))), "diffuser throat width needs the number of vanes beside it"),
        (
            says(of().matched_at(m_per_s(50.0))),
            "matched tip speed 50.00 m/s is outside 150.0 to 700.0 m/s: both throats are matched at a tip speed of 150 to 700 m/s",
        ),
        (says(of().throat(mm2(f64::NAN))), "diffuser throat is not a finite number"),
    ] {
        assert_eq!(found, expected);
    }
    let short = wheel().diffuser_ratio(fraction(1.2)).vaned_diffuser(of().leading_edge(fraction(1.18)));
    let short = short.build().unwrap_err().to_string();
    assert!(short.contains("a twentieth of the radius behind its vanes' leading edges"), "{short}");
}
