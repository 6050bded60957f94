//! A candidate whose map is speed lines without efficiency: sized with its wheel, said in every report and on record.
#![cfg(feature = "cli")]

#[path = "support/reference.rs"]
mod reference;

use reference::{between, close};
use shaftwork::prelude::*;
use shaftwork::problem::Problems;
use shaftwork::record::{Kind, Origin};
use shaftwork::report::{html, json, text};
use shaftwork::study::{Grade, Sizing, SourceFile};
use std::path::Path;
use std::sync::OnceLock;

fn data(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("data/demo").join(name)).unwrap()
}

/// The plain study of the tests with candidate C's map replaced by these keys.
fn study(keys: &str) -> Result<Study, Problems> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/bad");
    let plain = std::fs::read_to_string(path.join("plain.toml")).unwrap();
    let text = plain.replace("map = \"plain.csv\"", keys);
    assert_ne!(text, plain);
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    let others = ["printed-lines.csv", "printed-map.csv"].map(|name| file(name, data(name)));
    let mut files = vec![file("study.toml", text)];
    files.extend(others);
    Study::from_texts(&files)
}

const LINES: &str =
    "map = \"printed-lines.csv\"\ninducer = \"48 mm\"\nexducer = \"63 mm\"\nexit_width = \"4.8 mm\"";

fn sizing() -> &'static Sizing {
    static SIZING: OnceLock<Sizing> = OnceLock::new();
    SIZING.get_or_init(|| study(LINES).unwrap_or_else(|problems| panic!("{problems}")).size().unwrap())
}

#[test]
fn lines_and_wheel_are_a_candidate() {
    let study = &sizing().study;
    let candidate = &study.candidates[0];
    assert_eq!(candidate.name(), "C");
    // The lines are those of the file, not those of the estimate.
    let map = candidate.map();
    let speeds: Vec<f64> = map.speeds().map(|speed| speed.corrected_rpm().round()).collect();
    assert_eq!(speeds, [70e3, 88e3, 104e3, 118e3, 130e3, 141e3, 150e3]);
    let end = map.on_line(corrected_rpm(118e3), fraction(1.0)).unwrap();
    close(end.flow.si(), 0.276, 1e-3);
    close(end.ratio.si(), 1.48, 5e-3);
    let estimated = candidate.estimated().unwrap();
    let middle = estimated.printed_lines().unwrap();
    between(middle.sigma.si(), 0.01, 0.05);
    // The band is of efficiency alone.
    let at = |map: &CompressorMap| {
        map.at_point(corrected_kg_per_s(0.2), PressureRatio::new(2.0).unwrap()).unwrap()
    };
    let [worse, central, better] = [estimated.worse(), estimated.central(), estimated.better()].map(at);
    close(worse.speed.si() / central.speed.si(), 1.0, 1e-9);
    assert!(worse.efficiency < central.efficiency && central.efficiency < better.efficiency);
    assert_eq!(candidate.evidence().unwrap().pieces()[0].name, "the printed speed lines");
}

// The assumption says how wide the efficiency is known, graded as assumed, and every report repeats it.
#[test]
fn every_report_says_that_efficiency_is_estimated() {
    let sizing = sizing();
    let noted =
        sizing.study.assumptions.iter().find(|one| one.what.ends_with("efficiency estimated from the wheel"));
    let noted = noted.unwrap();
    assert_eq!((noted.key, noted.grade), ("candidate.map", Grade::Assumed));
    let middle = sizing.study.candidates[0].estimated().unwrap().printed_lines().unwrap();
    let value = format!("{:.1} % at {}", middle.point.efficiency.percent(), middle.point.flow);
    let band = format!("+-{:.1} points there (1 sigma)", middle.sigma.percent());
    assert!(noted.value.starts_with(&value) && noted.band.starts_with(&band), "{noted:?}");
    for said in [&noted.what, &noted.value, &noted.band] {
        for report in [html(sizing), json(sizing)] {
            let plain = |text: &str| text.replace("+-", "").replace('\u{b1}', "");
            assert!(plain(&report).contains(&plain(said)), "{said}");
        }
        // Its columns are wrapped.
        let text = text(sizing);
        assert!(said.split(' ').all(|word| text.contains(word)), "{said}");
    }
    let json = json(sizing);
    // The tables of estimated maps are of candidate A alone, in two readings.
    let saved: serde_json::Value = serde_json::from_str(&json).unwrap();
    let tables = saved["estimated_maps"].as_array().unwrap();
    assert_eq!(tables.iter().map(|one| one["candidate"].as_str().unwrap()).collect::<Vec<_>>(), ["A", "A"]);
    assert!(json.contains("with an efficiency estimated from the work of the wheel"));
    // Of a wheel's own map nothing is said: the lines are the map.
    let plain = sizing.study.assumptions.iter().filter(|one| one.key == "wheel.reference").count();
    assert_eq!(plain, 1); // candidate A's
}

// Less efficiency at the same flow and pressure ratio leaves more heat, less margin and no less of a band: a verdict carries it.
#[test]
fn verdicts_carry_the_band() {
    let entry = sizing().entries.iter().find(|entry| entry.candidate == 0).unwrap();
    let points = entry.judgement.points.iter().filter_map(|(_, point)| point.as_ref().ok());
    let bands = points.flat_map(|point| &point.margins).filter(|margin| margin.worse < margin.better).count();
    assert!(bands > 0, "{:?}", entry.judgement);
}

#[test]
fn the_record_names_the_lines_and_starts_at_the_wheel() {
    let sizing = sizing();
    let index = sizing.entries.iter().position(|entry| entry.candidate == 0).unwrap();
    let point = sizing.entries[index].judgement.hardest().unwrap();
    let record = sizing.record_at(index, point).unwrap();
    let map = record.nodes().iter().find(|node| node.quantity == "a compressor map").unwrap();
    let Kind::Map(Origin::File { file, kind, provenance }) = &map.kind else { panic!("{map:?}") };
    assert_eq!(
        (file.as_str(), *kind),
        ("printed-lines.csv", "printed speed lines, efficiency estimated from the wheel")
    );
    assert!(provenance.contains("weighed with: the printed speed lines"), "{provenance}");
    let given: Vec<&str> = map.from.iter().map(|&node| record.nodes()[node].words.as_str()).collect();
    for words in ["inducer tip diameter", "outer diameter of the wheel", "exit width"] {
        assert!(given.iter().any(|from| from.starts_with(words)), "{words}: {given:?}");
    }
}

// Other evidence given with the lines is weighed too: an outlet temperature sharpens the efficiency.
#[test]
fn an_outlet_temperature_sharpens_the_efficiency() {
    let run = "\n[[candidate.evidence]]\nkind = \"measured point\"\ninlet_temperature = \"25 degC\"\n\
        inlet_pressure = \"100 kPa\"\nspeed = \"118000 rpm\"\nflow = \"0.205 kg/s\"\nflow_sigma = \"2 %\"\n\
        pressure_ratio = 2.008\npressure_ratio_sigma = \"1 %\"\noutlet_temperature = \"117 degC\"\n\
        outlet_temperature_sigma = \"1 K\"\n";
    let with = study(&format!("{LINES}\n{run}")).unwrap_or_else(|problems| panic!("{problems}"));
    let middle = |study: &Study| study.candidates[0].estimated().unwrap().printed_lines().unwrap();
    assert!(middle(&with).sigma < middle(&sizing().study).sigma * 0.9);
    assert_eq!(with.candidates[0].evidence().unwrap().pieces().len(), 2);
}

// As evidence the lines bend the estimate, and the map is the wheel's.
#[test]
fn printed_lines_are_evidence_of_a_wheel() {
    let wheel = "inducer = \"48 mm\"\nexducer = \"63 mm\"\n";
    let evidence = "\n[[candidate.evidence]]\nkind = \"printed lines\"\nmap = \"printed-lines.csv\"\n";
    let [alone, bent] = [wheel.into(), format!("{wheel}{evidence}")]
        .map(|keys| study(&keys).unwrap_or_else(|problems| panic!("{problems}")));
    let band = |study: &Study| {
        let estimate = study.candidates[0].estimated().unwrap().estimate().clone();
        assert!(study.candidates[0].estimated().unwrap().printed_lines().is_none());
        estimate.band_at(corrected_rpm(118e3), corrected_kg_per_s(0.2)).unwrap().ratio.si()
    };
    assert!(band(&bent) < 0.5 * band(&alone));
    // The line itself says 2.008 at 0.205 kg/s and 118 000 rpm.
    let found = bent.candidates[0]
        .estimated()
        .unwrap()
        .estimate()
        .at(corrected_rpm(118e3), corrected_kg_per_s(0.205));
    close(found.unwrap().ratio.si(), 2.008, 0.08);
    let noted = |key: &str| bent.assumptions.iter().any(|one| one.key == key);
    assert!(noted("evidence.flow_sigma") && noted("evidence.pressure_ratio_sigma"));
    let whole = evidence.replace("printed-lines.csv", "printed-map.csv");
    let refused = study(&format!("{wheel}{whole}")).unwrap_err().to_string();
    assert!(
        refused.contains("holds efficiency contours")
            && refused.contains("give it as the map of the candidate"),
        "{refused}"
    );
}

#[test]
fn what_lines_and_wheel_cannot_be_is_told() {
    let refused = |keys: &str| study(keys).unwrap_err().to_string();
    // A wheel of another machine.
    let small =
        refused(&LINES.replace("48 mm", "24 mm").replace("63 mm", "34 mm").replace("4.8 mm", "2.4 mm"));
    assert!(small.contains("more than") && small.contains("inducer's whole annulus"), "{small}");
    // A map with contours needs no wheel.
    let both = refused(&LINES.replace("printed-lines.csv", "printed-map.csv"));
    assert!(both.contains("is not used beside a map; leave out one of them"), "{both}");
    // The estimated efficiency holds no heat of a test stand.
    let hot = refused(&format!("{LINES}\nheat_conductance = \"0.2 W/K\"\nmap_tested_at = \"600 degC\""));
    assert!(hot.contains("belongs to a map with an efficiency"), "{hot}");
    // Each reading of the inducer is a machine of its own.
    let two = study(&LINES.replace("\"48 mm\"", "[\"47 mm\", \"48 mm\"]"))
        .unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(two.candidates.iter().filter(|one| one.name() == "C").count(), 2);
    assert!(two.reading_weights("C").is_some());
}
