//! The example of every key: it reads, it sizes, each key does what it says.

use shaftwork::prelude::*;
use shaftwork::record::{Kind, Origin};
use shaftwork::shaft::Limit;
use shaftwork::study::{Entry, Sizing, SourceFile};
use std::collections::BTreeSet;
use std::sync::OnceLock;

fn sizing() -> &'static Sizing {
    static SIZING: OnceLock<Sizing> = OnceLock::new();
    SIZING.get_or_init(|| Study::from_file("data/demo/every-key.toml").unwrap().size().unwrap())
}

fn entry(housing: &str) -> &'static Entry {
    let sizing = sizing();
    let named =
        |entry: &&Entry| sizing.study.candidates[entry.candidate].housings()[entry.housing].name == housing;
    sizing.entries.iter().find(named).unwrap()
}

fn limits(housing: &str) -> BTreeSet<Limit> {
    let points = &entry(housing).judgement.points;
    points
        .iter()
        .flat_map(|(_, point)| point.as_ref().unwrap().margins.iter().map(|margin| margin.limit))
        .collect()
}

#[test]
fn every_limit_of_the_user_is_judged() {
    for housing in ["mapped", "single"] {
        let limits = limits(housing);
        for limit in [Limit::MeanPressure, Limit::ExhaustOverManifold, Limit::TurbineInlet, Limit::Restrictor]
        {
            assert!(limits.contains(&limit), "{housing}: {limits:?}");
        }
    }
}

// By hand: 25 bar in 1.862 L at 6000 rev/min is 232.8 kW at the crank; margins are taken at the target, 190/0.86 kW.
#[test]
fn a_mean_pressure_is_a_margin() {
    let (speed, point) = &entry("single").judgement.points[0];
    let margins = &point.as_ref().unwrap().margins;
    let margin = margins.iter().find(|margin| margin.limit == Limit::MeanPressure).unwrap();
    let allowed = 25e5 * 1.862_03e-3 * speed.rpm() / 120.0;
    assert!((margin.margin.si() - (allowed / (190e3 / 0.86) - 1.0)).abs() < 1e-4);
}

// Common practice, no source: a division that keeps the pulses apart brings boost earlier; on a common log it only costs.
#[test]
fn a_divided_housing_helps_only_where_the_pulses_are_kept_apart() {
    let [single, log, apart] = ["single", "divided, common log", "divided, kept apart"].map(|housing| {
        match entry(housing).line().unwrap().threshold.exhaust {
            Onset::At(speed) => speed.rpm(),
            other => panic!("{housing}: {other:?}"),
        }
    });
    assert!(apart < single - 50.0, "{apart} {single}");
    assert!(log > single, "{log} {single}");
}

#[test]
fn a_record_names_the_turbine_map_and_its_file() {
    let sizing = sizing();
    let index = sizing.entries.iter().position(|one| one == entry("mapped")).unwrap();
    let record = &sizing.record_at(index, 0).unwrap();
    let maps: Vec<(&str, &Origin)> = record
        .nodes()
        .iter()
        .filter_map(|node| match &node.kind {
            Kind::Map(origin) => Some((node.quantity, origin)),
            _ => None,
        })
        .collect();
    let file = |quantity: &str| {
        let found = maps.iter().find(|(of, _)| *of == quantity);
        match found.unwrap_or_else(|| panic!("{maps:?}")).1 {
            Origin::File { file, .. } => file.clone(),
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(file("a turbine map"), "turbine-map.csv");
    assert_eq!(file("a compressor map"), "map-b.csv");
}

// The spring holds 70 kPa over the barometer whatever is asked for; the band of the turbine's area moves the threshold.
#[test]
fn spring_and_band() {
    let rise = entry("single").rise.as_ref().unwrap();
    assert!(!rise.by_spring);
    let [small, large] = rise.sides.each_ref().map(|side| match side.as_ref().unwrap().threshold.exhaust {
        Onset::At(speed) | Onset::Below(speed) => speed.rpm(),
        other => panic!("{other:?}"),
    });
    let Onset::At(middle) = rise.line.threshold.exhaust else { panic!() };
    assert!(small < middle.rpm() && middle.rpm() < large, "{small} {middle} {large}");
    let mut strong = sizing().study.clone();
    strong.driving.wastegate = Some(Wastegate::new(mm(38.0), kpa_gauge(250.0)).unwrap());
    let candidate = strong.candidates.remove(1);
    strong.candidates = vec![candidate];
    let sized = strong.size().unwrap();
    let rise = sized.entries[0].rise.as_ref().unwrap();
    assert!(rise.by_spring);
    let barometer = sized.study.installation.site.pressure();
    assert!((rise.pressure().kpa() - barometer.kpa() - 250.0).abs() < 1e-9);
}

/// Keys that a table knows, from the message about one that it does not.
fn known(text: &str, table: &str) -> Vec<String> {
    let broken = text.replacen(&format!("{table}\n"), &format!("{table}\nno_such_key = 1\n"), 1);
    assert_ne!(broken, *text, "{table}");
    let mut files = vec![SourceFile { name: "study.toml".into(), text: broken }];
    for name in ["map-b.csv", "map-c.csv", "turbine-map.csv", "printed-lines.csv"] {
        let text = std::fs::read_to_string(format!("data/demo/{name}")).unwrap();
        files.push(SourceFile { name: name.into(), text });
    }
    let problems = Study::from_texts(&files).map(|_| ()).unwrap_err().to_string();
    let line =
        problems.lines().find(|line| line.contains("no_such_key")).unwrap_or_else(|| panic!("{problems}"));
    let list = line.rsplit_once(": ").unwrap().1;
    list.split(", ").map(|key| key.trim().trim_matches('"').to_string()).collect()
}

// What is not shown is not found.
#[test]
fn every_key_has_an_example() {
    let folder = std::fs::read_dir("data/demo").unwrap();
    let studies =
        folder.map(|file| file.unwrap().path()).filter(|path| path.extension().is_some_and(|e| e == "toml"));
    let all: String = studies.map(|path| std::fs::read_to_string(path).unwrap()).collect();
    let text = std::fs::read_to_string("data/demo/every-key.toml").unwrap();
    let tables = [
        "[target]",
        "[site]",
        "[engine]",
        "[intake]",
        "[cooler]",
        "[exhaust]",
        "[injectors]",
        "[limits]",
        "[[fuel]]",
        "[[candidate]]",
        "[[candidate.turbine]]",
    ];
    let (mut counted, mut missing) = (0, Vec::new());
    for table in tables {
        for key in known(&text, table) {
            counted += 1;
            let shown = all.lines().any(|line| {
                line.starts_with(&format!("{key} ="))
                    || line.starts_with(&format!("# {key} ="))
                    || line.starts_with(&format!("[[candidate.{key}"))
            });
            if !shown {
                missing.push(format!("{table} {key}"));
            }
        }
    }
    assert_eq!(missing, Vec::<String>::new());
    assert!(counted > 60, "{counted}");
}
