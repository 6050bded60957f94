//! When a candidate comes alive: the keys of the study file, the boost asked for, and what is said of it.
#![cfg(feature = "study")]

#[path = "support/demo.rs"]
mod demo;

use demo::demo;
use shaftwork::prelude::*;
use shaftwork::problem::Problems;
use shaftwork::report;
use shaftwork::study::{Entry, Grade, Sizing, SourceFile};

/// The demonstration with one candidate on one fuel, some of its lines replaced.
fn study(changes: &[(&str, &str)]) -> Result<Study, Problems> {
    let mut files: Vec<SourceFile> = Study::demo().unwrap().files;
    let text = files[0].text.clone();
    let (around, candidates) = text.split_once("[[candidate]]").unwrap();
    let b = candidates.split("[[candidate]]").nth(1).unwrap();
    let (before, fuels) = around.split_once("[[fuel]]").unwrap();
    let ethanol = fuels.split("[[fuel]]").nth(1).unwrap();
    files[0].text = format!("{before}[[fuel]]{ethanol}[[candidate]]{b}");
    for (from, to) in changes {
        assert!(files[0].text.contains(from), "{from}");
        files[0].text = files[0].text.replacen(from, to, 1);
    }
    Study::from_texts(&files)
}
fn sized(changes: &[(&str, &str)]) -> Sizing {
    study(changes).unwrap().size().unwrap()
}
fn refused(changes: &[(&str, &str)]) -> String {
    study(changes).unwrap_err().to_string()
}
fn time(entry: &Entry) -> f64 {
    entry.arrival().unwrap().whole.unwrap().0.si()
}

/// The whole table of the sweep, as the demonstration has it.
fn sweep() -> String {
    let text = Study::demo().unwrap().files[0].text.clone();
    let from = text.find("[sweep]").unwrap();
    text[from..text[from..].find("[site]").unwrap() + from].to_string()
}

#[test]
fn keys_are_read() {
    let study = study(&[
        ("at_flow = { value = \"0.22 kg/s\"", "charge_volume = \"9 L\"\nat_flow = { value = \"0.22 kg/s\""),
        ("[exhaust]", "[exhaust]\nwastegate = \"38 mm\"\nvolume = \"1.5 L\""),
        ("[[candidate.turbine]]", "[[candidate.turbine]]\ninertia = \"9.5e-5 kg m2\""),
    ])
    .unwrap();
    let driving = study.driving;
    assert_eq!(driving.from, rpm(3000.0));
    assert_eq!(driving.rate, rpm_per_s(900.0));
    assert_eq!(driving.start, kpa(60.0));
    assert_eq!(driving.charge, litre(9.0));
    assert_eq!(driving.exhaust, litre(1.5));
    assert_eq!(driving.boost_by, Some(rpm(3600.0)));
    // pi/4 x 38^2 x 0.70 by hand
    assert!((driving.wastegate.unwrap().area().mm2() - 793.88).abs() < 0.01);
    let inertia = study.candidates[0].housings()[0].turbine.inertia().unwrap();
    assert_eq!(inertia, (kg_m2(9.5e-5), fraction(0.0)));
    let given =
        ["cooler.charge_volume", "exhaust.volume", "exhaust.wastegate", "turbine.inertia", "sweep.from"];
    assert!(study.assumptions.iter().all(|a| !given.contains(&a.key)));
}

// The defaults as stated: 40 % of 7200 rpm, 900 rpm/s, 60 kPa; 3.5 and 1.2 times the displacement of
// pi/4 x 84^2 x 84 x 4 mm3 = 1.8621 L by hand; the rotor (63/52.5)^5 x 4.5e-5 = 1.1197e-4 kg m2 by hand.
#[test]
fn what_is_left_out_stands_as_a_listed_default() {
    let study = study(&[(&sweep(), "")]).unwrap();
    let driving = study.driving;
    assert!((driving.from.rpm() - 2880.0).abs() < 1e-9);
    assert!((driving.rate.rpm_per_s() - 900.0).abs() < 1e-9);
    assert!((driving.start.kpa() - 60.0).abs() < 1e-9);
    assert!((driving.charge.litre() - 6.517).abs() < 1e-3);
    assert!((driving.exhaust.litre() - 2.2345).abs() < 1e-3);
    let (inertia, sigma) = study.candidates[0].housings()[0].turbine.inertia().unwrap();
    assert!((inertia.si() / 1.119_744e-4 - 1.0).abs() < 1e-9 && sigma == percent(40.0));
    for key in [
        "sweep.from",
        "sweep.rate",
        "sweep.start",
        "cooler.charge_volume",
        "exhaust.volume",
        "exhaust.wastegate",
        "turbine.inertia",
    ] {
        let listed = study.assumptions.iter().find(|a| a.key == key).unwrap_or_else(|| panic!("no {key}"));
        assert!(!listed.band.is_empty(), "{key}");
        assert!([Grade::Assumed, Grade::FromMemory].contains(&listed.grade), "{key}");
    }
}

#[test]
fn what_is_wrong_is_refused_at_its_line() {
    let said = refused(&[("[sweep]", "[sweep]\nratio = 3")]);
    assert!(said.contains("ratio") && said.contains("from, rate, start"), "{said}");
    let cases = [
        ("from = { value = \"3000 rpm\"", "from = { value = \"7600 rpm\"", "is not below 7600 rpm"),
        ("rate = { value = \"900 rpm/s\"", "rate = { value = \"0 rpm/s\"", "is between 10 and 19 000 rpm/s"),
        ("start = { value = \"60 kPa\"", "start = { value = \"95 kPa\"", "is not below the barometer"),
        ("[exhaust]", "[exhaust]\nwastegate = \"380 mm\"", "wastegate"),
        ("[exhaust]", "[exhaust]\nvolume = \"500 L\"", "is between 0.05 and 50 L"),
        ("[cooler]", "[cooler]\ncharge_volume = \"1 m3\"", "is between 0.1 and 200 L"),
        ("[[candidate.turbine]]", "[[candidate.turbine]]\ninertia = \"1 kg m2\"", "inertia of the rotor"),
        ("boost_by = \"3600 rpm\"", "boost_by = \"36 rpm\"", "is between 480 and 24 000 rpm"),
    ];
    for (from, to, words) in cases {
        let said = refused(&[(from, to)]);
        assert!(said.contains(words) && said.contains("hill-climb.toml, line "), "{said}");
    }
}

// By definition: the greatest manifold pressure of the target's points, where the fuel does not allow less; 115 kPa
// of the petrol above the barometer.
#[test]
fn the_boost_asked_for_is_what_the_target_needs_or_the_fuel_allows() {
    let barometer = demo().study.installation.site.pressure();
    let mut capped = 0;
    for entry in &demo().entries {
        let rise = entry.rise.as_ref().unwrap();
        let found = entry.judgement.points.iter().filter_map(|(_, found)| found.as_ref().ok());
        let needed = found.map(|point| point.manifold_pressure.si()).fold(f64::NAN, f64::max);
        assert_eq!(rise.for_target, !needed.is_nan());
        let allowed = demo::plan(entry).most_boost.unwrap().si() + barometer.si();
        if rise.by_fuel {
            capped += 1;
            assert_eq!(rise.pressure().si(), allowed);
            assert!(needed.is_nan() || needed > allowed);
        } else if rise.for_target {
            assert_eq!(rise.pressure().si(), needed);
            assert!(needed <= allowed);
        }
        assert_eq!(rise.line.points.len(), 24);
        let ends = [rise.line.points[0].0, rise.line.points[23].0].map(|speed| speed.rpm());
        assert!((ends[0] - 1800.0).abs() < 1e-6 && (ends[1] - 7600.0).abs() < 1e-6, "{ends:?}");
    }
    assert!(capped > 0);
}

// Property, common practice without a source: a heavier rotor and larger volumes take longer; a car that revs up faster
// has less time, and gets its boost at a higher engine speed.
#[test]
fn boost_arrives_later_with_what_stores_more() {
    let base = sized(&[]);
    let changed = |change: (&str, &str)| sized(&[change]);
    let heavy = changed(("[[candidate.turbine]]", "[[candidate.turbine]]\ninertia = \"2e-4 kg m2\""));
    let large = changed(("[cooler]", "[cooler]\ncharge_volume = \"25 L\""));
    let fast = changed(("value = \"900 rpm/s\"", "value = \"1500 rpm/s\""));
    let first = &base.entries[0];
    assert!(time(&heavy.entries[0]) > 1.2 * time(first));
    assert!(time(&large.entries[0]) > 1.005 * time(first));
    let at = |sizing: &Sizing| sizing.entries[0].arrival().unwrap().whole.unwrap().1;
    assert!(at(&fast) > at(&base));
    // None of it moves what is held steadily.
    for other in [&heavy, &large, &fast] {
        assert_eq!(other.entries[0].line().unwrap().threshold, first.line().unwrap().threshold);
    }
}

// Property: of wastegates from small to large some let the boost creep above what is asked for; a large one never does.
#[test]
fn a_small_wastegate_lets_the_boost_creep() {
    let entry = demo().entries.iter().find(|entry| demo::candidate(entry).name() == "B").unwrap();
    let target = entry.line().unwrap().control.target();
    let most = |bore: f64| {
        let area = Wastegate::new(mm(bore), kpa_gauge(0.0)).unwrap().area();
        let control = Control::manifold(target).unwrap().wastegate(area).unwrap();
        let (around, speeds) = (demo::installation(), demo().study.line_speeds());
        let (turbine, plan) = (demo::turbine(entry), demo::plan(entry));
        let line = operating_line(around, demo::candidate(entry), turbine, plan, control, &speeds).unwrap();
        let points = line.points.iter().filter_map(|(_, found)| found.as_ref().ok());
        points.map(|at| at.manifold_pressure / target).fold(0.0, f64::max)
    };
    let crept: Vec<f64> = [14.0, 18.0, 22.0, 26.0, 30.0].map(most).to_vec();
    assert!(crept.iter().any(|most| *most > 1.01), "{crept:?}");
    let large = most(45.0);
    assert!((large - 1.0).abs() < 1e-6, "{large}");
}

#[test]
fn the_text_says_when_it_comes_alive() {
    let text = report::text(demo());
    let (_, after) = text.split_once("\nWHEN IT COMES ALIVE\n").unwrap();
    let (section, _) = after.split_once("\n\n").unwrap();
    assert!(section.contains("the engine speed rises by 900 rpm/s"));
    let running = section.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(section.contains("by 3600 rpm?") && running.contains("By 3600 rpm: first whether 90 %"));
    assert!(section.contains("fan laws") && section.contains("), surge line"));
    assert!(section.contains("for the target") && section.contains("the most on this fuel"));
    assert!(!text.contains("arrival of boost"));
    for entry in &demo().entries {
        let (seconds, at) = entry.arrival().unwrap().whole.unwrap();
        let words = format!("{} s, at {} rpm", significant(seconds.si(), 2), significant(at.rpm(), 3));
        assert!(section.contains(&words), "{words}");
    }
    // A line for each, with the answers in gear and held.
    let rows = section.lines().filter(|line| line.contains(" kPa  ") && line.contains("  no, ")).count();
    assert_eq!(rows, 10);
    // Without that key nobody is asked.
    let without = sized(&[("boost_by = \"3600 rpm\"\n", "")]);
    assert!(!report::text(&without).contains("By 3600 rpm"));
}

#[test]
fn without_an_inertia_the_arrival_is_not_guessed() {
    let area = "effective_area = \"700 mm2\"";
    let b = "area_over_radius = { value = \"20.8 mm\", source = \"seller's list\", grade = \"stated by seller\" }\n\
             wheel = { value = \"63 mm\", source = \"seller's list\", grade = \"stated by seller\" }";
    let sizing = sized(&[(b, area)]);
    let rise = sizing.entries[0].rise.as_ref().unwrap();
    assert!(rise.arrival.is_err() && !rise.line.points.is_empty());
    let words: Vec<String> = report::text(&sizing).split_whitespace().map(String::from).collect();
    assert!(words.join(" ").contains("the inertia of the rotor is not known"));
    assert_eq!(rise.there_by(rpm(3600.0))[0], None);
}

// A fuel that is allowed no boost has none to wait for, and every face says so instead of a time.
#[cfg(feature = "cli")]
#[test]
fn a_fuel_without_boost_is_told() {
    let sizing =
        sized(&[("most_boost = { value = \"190 kPa gauge\"", "most_boost = { value = \"0 kPa gauge\"")]);
    let barometer = sizing.study.installation.site.pressure();
    let Err(shaftwork::study::NoRise::NoBoost(pressure)) = sizing.entries[0].rise else {
        panic!("{:?}", sizing.entries[0].rise)
    };
    assert!((pressure / barometer - 1.0).abs() < 1e-9);
    for face in [report::text(&sizing), report::json(&sizing), report::html(&sizing)] {
        assert!(face.contains("is needed, which is no boost"));
    }
}
