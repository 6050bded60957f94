//! A candidate without a published map: judged on the map estimated for each reading, with its band.
#![cfg(feature = "study")]

#[path = "support/demo.rs"]
mod demo;
#[path = "support/reference.rs"]
mod reference;

use demo::{candidate, demo, installation, plan, turbine};
use reference::{between, close_relative};
use shaftwork::prelude::*;
use shaftwork::record::{Kind, Origin};
use shaftwork::shaft::Compressor;
use shaftwork::study::SourceFile;

/// Standard normal numbers from a fixed seed: splitmix64 and the Box-Muller transform.
fn normals(count: usize) -> Vec<f64> {
    let mut state = 7_u64;
    let mut unit = || {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (state ^ (state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    };
    let normal = |_| (-2.0 * (1.0 - unit()).ln()).sqrt() * (core::f64::consts::TAU * unit()).cos();
    (0..count).map(normal).collect()
}

/// The wheel of candidate A as first read.
fn estimate() -> MapEstimate {
    let reference = Reference::new(kelvin(298.15), kpa(100.0)).unwrap();
    WheelGeometry::builder(mm(46.4), mm(61.0)).build().unwrap().estimate(reference).unwrap()
}

/// ln of choke flow plus ln of pressure ratio at a high speed, at 0.8 of the central choke flow.
fn merit(of: &MapEstimate) -> f64 {
    let speed = of.speed_of(m_per_s(0.86 * 420.0));
    let flow = estimate().line(speed).unwrap().choke * 0.8;
    let line = of.line(speed).unwrap();
    let flow = if flow < line.choke { flow } else { line.choke };
    let ratio = of.at(speed, flow).unwrap().ratio;
    line.choke.si().ln() + ratio.si().ln()
}

// Independent method: the spread of 300 seeded draws of all factors against the two sides of the band.
#[test]
fn the_sides_lie_one_standard_deviation_off() {
    let central = estimate();
    let draws = normals(300 * Factor::ALL.len());
    let drawn: Vec<f64> = draws
        .chunks(Factor::ALL.len())
        .filter_map(|draw| {
            let factors = Factor::ALL.into_iter().zip(draw);
            let factors = factors.fold(Factors::central(), |all, (factor, by)| all.with(factor, *by));
            let moved = central.clone().with_factors(factors);
            moved.map().ok().map(|_| merit(&moved))
        })
        .collect();
    between(drawn.len() as f64, 250.0, 300.0);
    let mean = drawn.iter().sum::<f64>() / drawn.len() as f64;
    let sigma = (drawn.iter().map(|m| (m - mean).powi(2)).sum::<f64>() / drawn.len() as f64).sqrt();
    let [worse, better] =
        [-1.0, 1.0].map(|by| merit(&central.clone().with_factors(central.side(by).unwrap())));
    println!("spread {sigma:.3}, sides {:.3} and {:.3}", worse - merit(&central), better - merit(&central));
    // 300 draws give a spread within 4 %; the rest is how far from linear the map is.
    close_relative(0.5 * (better - worse), sigma, 0.25);
}

#[test]
fn the_better_side_passes_more_at_more_pressure() {
    let estimated = estimate().with_sides().unwrap();
    let at = |map: &CompressorMap, position: f64| {
        map.on_line(estimated.central().highest_speed(), fraction(position)).unwrap()
    };
    let [worse, central, better] =
        [estimated.worse(), estimated.central(), estimated.better()].map(|map| at(map, 0.5));
    assert!(worse.flow < central.flow && central.flow < better.flow);
    assert!(worse.ratio < central.ratio && central.ratio < better.ratio);
    // Cast aluminium, from memory: 420 m/s, in use up to 480.
    let speed = |map: &CompressorMap| map.highest_speed().si() * 0.0305;
    close_relative(speed(estimated.central()), 420.0, 1e-12);
    close_relative(speed(estimated.worse()), 420.0, 1e-12);
    close_relative(speed(estimated.better()), 480.0, 1e-12);
}

// Property: outside as estimated and inside on the better side is an open question, and said so.
#[test]
fn outside_an_estimated_map_is_outside_with_its_band() {
    let mut open = 0;
    for entry in demo().entries.iter().filter(|entry| plan(entry).fuel.name() == "ethanol blend") {
        let Compressor::Estimated(estimated) = candidate(entry).compressor() else { continue };
        let Verdict::Open(doubts) = &entry.judgement.verdict else { panic!("{:?}", entry.judgement.verdict) };
        let Doubt { limit, speed, margin } = &doubts[0];
        let target = Target::crank(demo().study.target.power(), *speed);
        let at = |map: &CompressorMap| {
            let unit = Candidate::with_map("A", map.clone());
            operating_point(installation(), &unit, turbine(entry), plan(entry), target)
        };
        assert_eq!(at(estimated.central()).unwrap_err().limit(), Some(*limit));
        assert!(margin.is_none() && at(estimated.worse()).is_err() && at(estimated.better()).is_ok());
        open += 1;
    }
    assert_eq!(open, 2);
}

/// The demonstration with lines put before the exducer of candidate A.
fn with(lines: &str) -> Vec<SourceFile> {
    let mut files = Study::demo().unwrap().files;
    let text = files[0].text.replacen("exducer = {", &format!("{lines}\nexducer = {{"), 1);
    assert_ne!(text, files[0].text);
    files[0].text = text;
    files
}

#[test]
fn the_keys_of_a_wheel_reach_its_geometry() {
    let keys = "hub = \"14 mm\"\ninducer_tip_angle = \"57 deg\"\nexit_width = { value = \"4.2 mm\", source = \"calipers\", \
        grade = \"measured\" }\nbacksweep = \"35 deg\"\nblades = 7\nsplitters = 7\nclearance = \"0.22 mm\"\n\
        diffuser_ratio = 1.55\ndiffuser_width = \"4.0 mm\"\nmaterial = \"milled aluminium\"";
    let study = Study::from_texts(&with(keys)).unwrap();
    let wheel = WheelGeometry::builder(mm(46.4), mm(61.0))
        .hub(mm(14.0))
        .inducer_tip_angle(deg(57.0))
        .exit_width(mm(4.2))
        .backsweep(deg(35.0))
        .blades(7, 7)
        .exit_clearance(mm(0.22))
        .diffuser_ratio(fraction(1.55))
        .diffuser_width(mm(4.0))
        .material(Material::MilledAluminium);
    let expected = wheel.build().unwrap();
    assert_eq!(study.candidates[0].estimated().unwrap().estimate().geometry(), &expected);
    let defaults = ["wheel.hub_share", "wheel.exit_share", "wheel.backsweep", "wheel.blades"];
    let standing = |key: &str| study.assumptions.iter().any(|assumption| assumption.key == key);
    assert!(!defaults.into_iter().any(standing));
    assert!(standing("wheel.mean_line") && standing("wheel.tip_speed_limit"));
    // The record says where the width comes from.
    let sizing = study.size().unwrap();
    let record = sizing.record_of_most(0).unwrap().unwrap();
    let width = record.nodes().iter().find_map(|node| match &node.kind {
        Kind::Given(given) if given.key == "wheel.exit_width" => Some(given.origin.clone()),
        _ => None,
    });
    assert!(
        matches!(&width, Some(Origin::Input { key, grade: Some("measured"), .. }) if key == "candidate[1].exit_width"),
        "{width:?}"
    );
}

#[test]
fn what_is_not_given_stands_as_an_assumption() {
    let study = Study::demo().unwrap();
    let estimate = study.candidates[0].estimated().unwrap().estimate();
    assert_eq!(estimate.geometry().assumed().count(), 8); // the number of blades among them
    for default in estimate.geometry().assumed() {
        let listed = study.assumptions.iter().find(|assumption| assumption.what.starts_with(default.what));
        let listed = listed.unwrap_or_else(|| panic!("{} is not listed", default.what));
        assert!(listed.band.contains("1 sigma"), "{}", listed.band);
    }
}

#[test]
fn the_keys_of_vanes_reach_the_geometry() {
    let keys = "exit_width = \"4.8 mm\"\ndiffuser_width = \"4.6 mm\"\nvaned_diffuser = true\ndiffuser_vanes = 17\n\
        vane_ratio = 1.09\nvane_angle = \"71 deg\"\ndiffuser_throat_width = \"4.1 mm\"\nmatched_tip_speed = \"430 m/s\"";
    let study = Study::from_texts(&with(keys)).unwrap();
    let found = study.candidates[0].estimated().unwrap().estimate().geometry();
    let vanes = VanedDiffuser::new()
        .vanes(17)
        .leading_edge(fraction(1.09))
        .inlet_angle(deg(71.0))
        .throat_width(mm(4.1))
        .matched_at(m_per_s(430.0));
    let wheel = WheelGeometry::builder(mm(46.4), mm(61.0))
        .exit_width(mm(4.8))
        .diffuser_width(mm(4.6))
        .vaned_diffuser(vanes)
        .build()
        .unwrap();
    assert_eq!(*found, wheel);
    // By area the default of the throat is gone; without any of it all three defaults are listed, each with its spread.
    let study = Study::from_texts(&with("vaned_diffuser = true")).unwrap();
    for key in ["wheel.vane_throat_share", "wheel.vane_ratio", "wheel.vane_angle", "wheel.vanes"] {
        let listed = study.assumptions.iter().find(|assumption| assumption.key == key);
        let listed = listed.unwrap_or_else(|| panic!("{key} is not listed"));
        assert!(listed.band.contains("1 sigma"), "{}", listed.band);
    }
}

#[test]
fn a_wheel_that_cannot_be_is_refused_at_its_key() {
    let line = |lines: &str| 1 + with(lines)[0].text.split(lines).next().unwrap().lines().count();
    for (key, lines, words) in [
        ("exit_width", "exit_width = \"20 mm\"", "narrower than the inducer's blades are high"),
        ("backsweep", "backsweep = \"80 deg\"", "blades lean back by 0"),
        ("blades", "blades = 300", "wheels have 4 to 30 full blades"),
        ("material", "material = \"steel\"", "is one of: \"cast aluminium\""),
        ("splitters", "splitters = 6", "give the number of full blades too"),
        (
            "vane_angle",
            "vane_angle = \"20 deg\"\nvaned_diffuser = true",
            "vanes stand 40 to 86 degrees from radial",
        ),
        (
            "diffuser_throat_width",
            "diffuser_throat_width = \"4 mm\"\nvaned_diffuser = true",
            "needs the number of vanes beside it",
        ),
        ("diffuser_vanes", "diffuser_vanes = 17", "belongs to a diffuser with vanes: vaned_diffuser = true"),
        ("throat", "throat = \"100 mm2\"", "0.3 to 0.9 of the inducer's annulus"),
    ] {
        let problems = Study::from_texts(&with(lines)).err().unwrap_or_else(|| panic!("{key} is taken"));
        let found = problems.iter().find(|problem| problem.message.contains(words));
        let found = found.unwrap_or_else(|| panic!("{key}: {problems}"));
        assert_eq!(found.at.as_deref(), Some(&*format!("key \"candidate[1].{key}\"")));
        assert_eq!(found.line, Some(line(lines)), "{key}");
    }
    let both = "inducer_tip_angle = \"57 deg\"\ninducer_mean_angle = \"45 deg\"";
    assert!(Study::from_texts(&with(both)).unwrap_err().to_string().contains("one inducer angle at a time"));
}
