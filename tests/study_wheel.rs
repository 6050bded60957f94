//! A wheel in a study file: which materials, bands, counts and limits it takes, and what is told where it cannot be sized.
#![cfg(feature = "cli")]

use shaftwork::prelude::*;
use shaftwork::problem::Problems;
use shaftwork::report;
use shaftwork::study::{Sizing, SourceFile};

/// A small engine, to be given candidates.
const ENGINE: &str = r#"schema = 1
title = "small"
invented = true
[target]
power = "150 kW"
at = "crank"
from = "5500 rpm"
to = "6500 rpm"
[site]
altitude = "200 m"
air_temperature = "20 degC"
[engine]
cylinders = 4
bore = "81 mm"
stroke = "77 mm"
compression_ratio = 9.5
speed_limit = "7000 rpm"
[intake]
loss = "3 kPa"
at_flow = "0.15 kg/s"
[cooler]
effectiveness = 0.7
loss = "8 kPa"
at_flow = "0.15 kg/s"
[exhaust]
back_pressure = "10 kPa"
at_flow = "0.15 kg/s"
[injectors]
count = 4
rated_flow = "550 cm3/min"
test_pressure = "3 bar"
pressure_over_manifold = "3 bar"
[[fuel]]
name = "95"
ethanol = "10 %"
lambda = 0.85
"#;

/// A candidate by its name and the lines of its compressor.
fn candidate(name: &str, lines: &str) -> String {
    let turbine = "[[candidate.turbine]]\narea_over_radius = \"10 mm\"\nwheel = \"45 mm\"\n";
    format!("[[candidate]]\nname = \"{name}\"\n{lines}\n{turbine}")
}

fn diameters(inducer: &str, exducer: &str) -> String {
    format!("inducer = \"{inducer} mm\"\nexducer = \"{exducer} mm\"\n")
}

fn read(candidates: &[String]) -> Result<Study, Problems> {
    let text = ENGINE.to_string() + &candidates.concat();
    Study::from_texts(&[SourceFile { name: "small.toml".into(), text }])
}

/// The wheel of 38 mm in 52 mm with more lines.
fn with(lines: &str) -> Result<Study, Problems> {
    read(&[candidate("W", &(diameters("38", "52") + lines))])
}

fn sized(lines: &str) -> Sizing {
    with(lines).unwrap_or_else(|problems| panic!("{lines}: {problems}")).size().unwrap()
}

/// The problems of the wheel with more lines.
fn problems(lines: &str) -> Vec<String> {
    with(lines).unwrap_err().iter().map(ToString::to_string).collect()
}

/// The value and the band of an assumption.
fn assumed<'s>(study: &'s Study, key: &str, what: &str) -> Option<(&'s str, &'s str)> {
    let mut listed = study.assumptions.iter();
    let found = listed.find(|one| one.key == key && one.what.contains(what));
    found.map(|one| (one.value.as_str(), one.band.as_str()))
}

#[test]
fn titanium_wheels_of_every_size_have_a_map_with_both_sides() {
    for (inducer, exducer) in [("38", "52"), ("46", "61"), ("60", "80"), ("80", "110")] {
        for slot in ["", "recirculation_slot = true\n"] {
            let lines = diameters(inducer, exducer) + "material = \"titanium\"\n" + slot;
            let study = read(&[candidate("W", &lines)]).unwrap_or_else(|why| panic!("{lines}: {why}"));
            let estimated = study.candidates[0].estimated().unwrap();
            assert_eq!(estimated.central().speeds().count(), 8);
            for out in estimated.left_out() {
                assert!(
                    !out.tip_speeds.is_empty() && out.tip_speeds.iter().all(|speed| *speed > out.highest)
                );
                let what = format!("speed lines left out of the {}", out.of);
                let (value, why) = assumed(&study, "wheel.mean_line", &what).unwrap();
                assert!(
                    value.contains(&out.highest.to_string()) && why.contains("crosses"),
                    "{value}; {why}"
                );
            }
        }
    }
    // The line at the bold end of titanium crosses the one below it on this wheel's better side.
    let study = with("material = \"titanium\"\n").unwrap();
    let out = study.candidates[0].estimated().unwrap().left_out();
    assert_eq!(out.iter().map(|out| out.of).collect::<Vec<_>>(), ["better side"]);
    assert!(with("").unwrap().candidates[0].estimated().unwrap().left_out().is_empty());
}

#[test]
fn a_candidate_that_cannot_be_sized_leaves_the_others_standing() {
    let bad = candidate("T <small>", &(diameters("30", "42") + "material = \"titanium\"\n"));
    let study = read(&[candidate("W", &diameters("38", "52")), bad.clone()]).unwrap();
    let alone = sized("");
    let sizing = study.size().unwrap();
    assert!(!sizing.is_whole() && alone.is_whole());
    assert_eq!(sizing.entries, alone.entries);
    let [missing] = sizing.not_sized.as_slice() else { panic!("{:?}", sizing.not_sized) };
    let said = missing.to_string();
    for part in ["small.toml", "line 49", "candidate T <small>, A/R 10.0 mm, on 95", &missing.why.to_string()]
    {
        assert!(said.contains(part), "{part}: {said}");
    }
    let text = report::text(&sizing);
    let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(one_line(&text).contains(&one_line(&said)), "{text}");
    assert!(text.contains("T <small>, A/R 10.0 mm  95    not sized"), "{text}");
    let page = report::html(&sizing);
    assert!(page.contains("<td>T &lt;small&gt;, A/R 10.0 mm</td><td>95</td><td>not sized</td>"));
    assert!(page.contains("<h3>Not sized</h3>") && !report::html(&alone).contains("<h3>Not sized</h3>"));
    let saved: serde_json::Value = serde_json::from_str(&report::json(&sizing)).unwrap();
    assert_eq!(saved["not_sized"][0]["candidate"], "T <small>");
    assert_eq!(saved["not_sized"][0]["why"], missing.why.to_string());
    assert_eq!(saved["results"].as_array().unwrap().len(), 1);
    // Where none can be sized, each says why.
    let why = read(&[bad]).unwrap().size().unwrap_err();
    assert!(why.to_string().contains("candidate T <small>"), "{why}");
}

#[test]
fn the_command_writes_what_stands_and_fails() {
    let folder = std::env::temp_dir().join(format!("shaftwork-partly-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let bad = candidate("T", &(diameters("30", "42") + "material = \"titanium\"\n"));
    let file = folder.join("small.toml");
    std::fs::write(&file, ENGINE.to_string() + &candidate("W", &diameters("38", "52")) + &bad).unwrap();
    let run = |arguments: &[&std::ffi::OsStr]| {
        std::process::Command::new(env!("CARGO_BIN_EXE_shaftwork")).args(arguments).output().unwrap()
    };
    let out = folder.join("out");
    let first = run(&["size".as_ref(), file.as_ref(), "--out".as_ref(), out.as_ref()]);
    assert_eq!(first.status.code(), Some(1));
    let [said, failed] = [first.stdout, first.stderr].map(|bytes| String::from_utf8(bytes).unwrap());
    assert!(said.contains("W, A/R 10.0 mm") && said.contains("NOT SIZED"), "{said}");
    assert!(failed.contains("candidate T, A/R 10.0 mm, on 95: not sized: "), "{failed}");
    // What was saved is computed again, the failure among it.
    let again = run(&["recheck".as_ref(), out.join("results.json").as_ref()]);
    assert!(again.status.success(), "{}", String::from_utf8_lossy(&again.stdout));
    std::fs::remove_dir_all(&folder).unwrap();
}
