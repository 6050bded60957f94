//! Evidence in a study file: weighed into the estimate of each reading, told in every report and on record.
#![cfg(feature = "cli")]

#[path = "support/reference.rs"]
mod reference;

use reference::{close, close_relative};
use shaftwork::prelude::*;
use shaftwork::problem::Problems;
use shaftwork::record::{Kind, Origin};
use shaftwork::report::{html, json, text};
use shaftwork::study::{Sizing, SourceFile};
use std::path::Path;
use std::sync::OnceLock;

fn data(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("data/demo").join(name)).unwrap()
}
const NAME: &str = "hill-climb-evidence.toml";

fn study(text: String) -> Result<Study, Problems> {
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    Study::from_texts(&[file(NAME, text), file("map-b.csv", data("map-b.csv"))])
}
/// The example with what stands before the turbine instead of its evidence.
fn with(evidence: &str) -> String {
    let text = data(NAME);
    let (start, end) =
        (text.find("[[candidate.evidence]]").unwrap(), text.find("[[candidate.turbine]]").unwrap());
    format!("{}{evidence}\n{}", &text[..start], &text[end..])
}
fn sizing() -> &'static Sizing {
    static SIZING: OnceLock<Sizing> = OnceLock::new();
    SIZING.get_or_init(|| study(data(NAME)).unwrap_or_else(|problems| panic!("{problems}")).size().unwrap())
}

#[test]
fn the_example_is_weighed_for_each_reading() {
    let study = &sizing().study;
    assert_eq!(study.candidates.len(), 2);
    for candidate in &study.candidates {
        let combined = candidate.evidence().unwrap();
        let names: Vec<&str> = combined.pieces().iter().map(|piece| piece.name.as_str()).collect();
        assert_eq!(
            names,
            [
                "the seller's 40 lb/min",
                "the last owner's run",
                "the one point in the old catalogue",
                "candidate B, scaled"
            ]
        );
        let shares =
            combined.prior_share().si() + combined.pieces().iter().map(|p| p.share.si()).sum::<f64>();
        close(shares, 1.0, 1e-9);
        // The estimate that is judged is the one that the evidence left.
        assert_eq!(candidate.estimated().unwrap().estimate(), combined.estimate());
        assert!(
            candidate
                .map()
                .provenance()
                .contains("weighed with: the seller's 40 lb/min, the last owner's run")
        );
    }
    let weights = study.reading_weights("A").unwrap();
    close(weights.iter().map(|one| one.after.si()).sum::<f64>(), 1.0, 1e-12);
    assert!(study.reading_weights("B").is_none() && Study::demo().unwrap().reading_weights("A").is_none());
    // What the evidence says is among the assumptions where nobody stated it.
    let standing = |key: &str| study.assumptions.iter().any(|assumption| assumption.key == key);
    assert!(standing("evidence.seller") && standing("evidence.map") && standing("evidence.efficiency_sigma"));
    assert!(!standing("evidence.outlet_temperature_sigma"));
}

// The same figures by the library, step by step.
#[test]
fn the_keys_reach_the_evidence() {
    let point = "[[candidate.evidence]]\nkind = \"measured point\"\ninlet_temperature = \"21 degC\"\n\
        inlet_pressure = \"96 kPa\"\nbarometer = \"98 kPa\"\nboost = \"92 kPa gauge\"\nspeed = \"108500 rpm\"\n\
        flow = \"0.152 kg/s\"\nflow_sigma = \"6 %\"\nefficiency = \"70 %\"\nefficiency_sigma = 0.02\n\
        [[candidate.evidence]]\nkind = \"surge flow\"\nspeed = \"110000 rpm\"\nflow = \"0.09 kg/s\"\n\
        reference_temperature = \"288.15 K\"\nreference_pressure = \"101.325 kPa\"\n";
    let study = study(with(point)).unwrap_or_else(|problems| panic!("{problems}"));
    let reference = Reference::new(kelvin(298.15), kpa(100.0)).unwrap();
    // 4.6 mm within 0.1 mm, two standard deviations.
    let wheel = WheelGeometry::builder(mm(46.4), mm(61.0)).exit_width(mm(4.6));
    let wheel = wheel.spread_of(Factor::ExitWidth, fraction(0.05 / 4.6)).build().unwrap();
    let of = wheel.estimate(reference).unwrap();
    let inlet = InletState { temperature: deg_c(21.0), pressure: kpa(96.0) };
    let ratio = PressureRatio::new(190.0 / 96.0).unwrap();
    let outlet = shaftwork::compressor::outlet_temperature(
        &Gas::dry_air(),
        inlet.temperature,
        ratio,
        Efficiency::new(0.7).unwrap(),
    )
    .unwrap();
    // By hand: a rise of 0.02/0.70 of itself.
    let sigma = kelvin_diff((outlet.kelvin() - 294.15) * 0.02 / 0.70);
    let run = RunPoint {
        inlet,
        speed: rpm(108_500.0),
        flow: kg_per_s(0.152),
        flow_sigma: percent(6.0),
        ratio,
        ratio_sigma: percent(2.0),
        outlet: Some((outlet, sigma)),
    };
    let run = Evidence::run("measured point", &of, run).unwrap();
    // By hand: W sqrt(T)/p and N/sqrt(T) stay from one reference to the other.
    let root = (298.15_f64 / 288.15).sqrt();
    let surge = Evidence::surge(
        "surge flow",
        &of,
        corrected_rpm(110_000.0 * root),
        corrected_kg_per_s(0.09 / (root * 1.01325)),
        percent(5.0),
    );
    let expected = of.combined(&[run, surge.unwrap()]).unwrap();
    let found = study.candidates[0].evidence().unwrap();
    for (found, expected) in found.pieces().iter().zip(expected.pieces()) {
        close_relative(found.deviation, expected.deviation, 1e-6);
        close_relative(found.share.si(), expected.share.si(), 1e-6);
    }
}

// A volume flow is as good as the mass flow that it stands for, at its own density.
#[test]
fn volume_flows_are_taken_at_their_density() {
    let of = |flow: &str| {
        let point = format!(
            "[[candidate.evidence]]\nkind = \"catalogue point\"\nspeed = \"110000 rpm\"\nflow = \"{flow}\"\n\
             pressure_ratio = 2.0\nreference_temperature = \"288.15 K\"\nreference_pressure = \"101.325 kPa\"\n"
        );
        let study = study(with(&point)).unwrap_or_else(|problems| panic!("{problems}"));
        study.candidates[0].evidence().unwrap().pieces()[0].deviation
    };
    // ISO 2533 at sea level: 1.2250 kg/m3; 0.14 m3/s are 504 m3/h and 0.1715 kg/s.
    close_relative(of("504 m3/h"), of("0.1715 kg/s"), 1e-3);
    let seller =
        study(with("[[candidate.evidence]]\nkind = \"seller's flow\"\nflow = \"500 CFM\"\n")).unwrap();
    assert!(
        seller.candidates[0].evidence().unwrap().pieces()[0]
            .basis
            .contains("a volume flow, times 1.168 kg/m3")
    );
}

// The clearance of the candidate's own wheel over its exit width is that of the reading.
#[test]
fn a_similar_machine_is_scaled_to_the_clearance_of_each_reading() {
    let similar = "[[candidate.evidence]]\nkind = \"similar machine\"\nmap = \"map-b.csv\"\nexducer = \"63 mm\"\n\
                   clearance = \"0.2 mm\"\nexit_width = \"4.8 mm\"\n";
    let own = data(NAME).lines().find(|line| line.starts_with("exit_width")).unwrap().to_string();
    let shares = |width: &str| -> Vec<f64> {
        let text = with(similar).replace(&own, &format!("exit_width = {width}\nclearance = \"0.4 mm\""));
        let text = text.replace("[\"46.4 mm\", \"48.2 mm\"]", "\"46.4 mm\"");
        let study = study(text).unwrap_or_else(|problems| panic!("{problems}"));
        study.candidates.iter().map(|one| one.evidence().unwrap().pieces()[0].share.si()).collect()
    };
    let both = shares("[\"5.0 mm\", \"5.3 mm\"]");
    assert_eq!(both, [shares("\"5.0 mm\""), shares("\"5.3 mm\"")].concat());
    assert!((both[0] / both[1] - 1.0).abs() > 1e-4, "{both:?}");
}

#[test]
fn every_report_says_what_the_evidence_was_worth() {
    let (plain, page) = (text(sizing()), html(sizing()));
    for said in
        ["the last owner's run", "candidate B, scaled", "Readings of the inducer of A by the evidence"]
    {
        assert!(plain.contains(said), "text: {said}");
        assert!(page.contains(&said.replace('\'', "&#39;")) || page.contains(said), "page: {said}");
    }
    assert!(page.contains("href=\"#evidence\"") && page.contains("id=\"evidence\""));
    let value: serde_json::Value = serde_json::from_str(&json(sizing())).unwrap();
    let evidence = &value["results"][0]["evidence"];
    // The set is judged, and each piece has its worth.
    let combined = sizing().study.candidates[0].evidence().unwrap();
    for report in [&plain, &page] {
        let report = report.replace("\n  ", " ");
        assert!(
            report.contains("squared deviations sum to") && report.contains("with all of it"),
            "{report}"
        );
    }
    assert_eq!(evidence["disagrees"].as_bool(), Some(combined.disagrees()));
    close(
        evidence["pieces"][1]["without_it"]["pressure_ratio"]["value"].as_f64().unwrap(),
        combined.pieces()[1].without.ratio.si(),
        1e-12,
    );
    assert_eq!(evidence["pieces"].as_array().unwrap().len(), 4);
    let after =
        |i: usize| value["results"][i]["evidence"]["reading"]["weight_after"]["value"].as_f64().unwrap();
    let last = value["results"].as_array().unwrap().len() - 1;
    close(after(0) + after(last), 1.0, 1e-9);
    // A study without evidence says nothing of it.
    let plain = Study::demo().unwrap().size().unwrap();
    assert!(!text(&plain).contains("EVIDENCE") && !html(&plain).contains("evidence of a map"));
}

// The record names each figure by its key, and the file of the machine taken as similar.
#[test]
fn the_record_says_where_the_map_comes_from() {
    let record = sizing().record_of_most(0).unwrap().unwrap();
    let named: Vec<String> = record.nodes().iter().filter_map(|node| node.input_name()).collect();
    for name in [
        "candidate[1].exit_width",
        "candidate[1].evidence[1].flow",
        "candidate[1].evidence[2].boost",
        "candidate[1].evidence[2].outlet_temperature_sigma",
        "candidate[1].evidence[3].efficiency",
        "default of evidence.efficiency_sigma",
        "candidate[1].evidence[4].exducer",
        "file map-b.csv",
    ] {
        assert!(named.iter().any(|found| found == name), "{name}: {named:?}");
    }
    let flow = record.nodes().iter().find_map(|node| match &node.kind {
        Kind::Given(given) if given.key == "evidence.flow" && given.of == "the seller's 40 lb/min" => {
            Some((node.words.clone(), given.origin.clone()))
        }
        _ => None,
    });
    let (words, origin) = flow.unwrap();
    assert_eq!(words, "flow as stated, the seller's 40 lb/min");
    assert!(matches!(origin, Origin::Input { grade: Some("stated by seller"), .. }), "{origin:?}");
}

#[test]
fn what_cannot_be_is_refused_at_its_key() {
    let seller = "[[candidate.evidence]]\nkind = \"seller's flow\"\n";
    let point =
        "[[candidate.evidence]]\nkind = \"catalogue point\"\nflow = \"0.17 kg/s\"\nspeed = \"110000 rpm\"\n";
    let similar = "[[candidate.evidence]]\nkind = \"similar machine\"\n";
    let run = "[[candidate.evidence]]\nkind = \"measured point\"\nflow = \"0.17 kg/s\"\nspeed = \"110000 rpm\"\n\
        inlet_temperature = \"21 degC\"\ninlet_pressure = \"98 kPa\"\n";
    for (key, lines, words) in [
        (
            "kind",
            "[[candidate.evidence]]\nkind = \"hearsay\"\n".into(),
            "is one of: \"seller's flow\", \"measured point\"",
        ),
        ("flow", seller.into(), "is missing; write for instance: flow = \"38 lb/min\""),
        (
            "speed",
            format!("{seller}flow = \"40 lb/min\"\nspeed = \"1 rpm\"\n"),
            "is not known here; the keys are: flow, kind, name",
        ),
        (
            "name",
            format!("{seller}flow = \"40 lb/min\"\n{seller}name = \"seller's flow\"\nflow = \"41 lb/min\"\n"),
            "stands before",
        ),
        ("flow", format!("{seller}flow = \"4000 lb/min\"\n"), "is outside 0.001000 to 20.00"),
        (
            "pressure_ratio",
            format!("{point}pressure_ratio = 14\n"),
            "pressure ratio 14.00 is outside 1.010 to 12.00",
        ),
        ("speed", format!("{point}pressure_ratio = 2\n").replace("110000", "410000"), "tip speed"),
        (
            "flow_sigma",
            format!("{point}pressure_ratio = 2\nflow_sigma = \"90 %\"\n"),
            "deviation of the flow",
        ),
        (
            "outlet_temperature",
            format!("{run}pressure_ratio = 2.4\noutlet_temperature = \"60 degC\"\n"),
            "colder than a compression without loss",
        ),
        (
            "efficiency",
            format!("{run}pressure_ratio = 2\noutlet_temperature = \"110 degC\"\nefficiency = 0.7\n"),
            "leave one out",
        ),
        ("barometer", format!("{run}boost = \"1 bar gauge\"\n"), "is missing"),
        (
            "barometer",
            format!("{run}boost = \"1 bar gauge\"\nbarometer = \"99 hPa\"\n"),
            "is no pressure of the air around: 50 to 110 kPa",
        ),
        (
            "flow",
            format!("{seller}flow = \"24 kg/s\"\n"),
            "flow 24.00 kg/s is outside 0.001000 to 20.00 kg/s",
        ),
        ("flow", format!("{seller}flow = \"90 lb/min\"\n"), "which the inducer's whole annulus passes"),
        ("flow", format!("{seller}flow = \"1200 CFM\"\n"), "which the inducer's whole annulus passes"),
        (
            "flow",
            format!("{point}pressure_ratio = 2\n").replace("0.17 kg/s", "0.6 kg/s"),
            "which the inducer's whole annulus passes",
        ),
        (
            "outlet_temperature",
            format!("{run}pressure_ratio = 2.0\noutlet_temperature = \"80 degC\"\n"),
            "say how uncertain the reading is with outlet_temperature_sigma",
        ),
        (
            "exducer",
            format!("{similar}map = \"map-b.csv\"\nexducer = \"500 mm\"\n"),
            "is no map when it is scaled to 61",
        ),
        (
            "pressure_ratio",
            format!("{run}boost = \"1 bar gauge\"\nbarometer = \"1 bar\"\npressure_ratio = 2\n"),
            "leave one out",
        ),
        ("map", format!("{similar}map = \"nowhere.csv\"\nexducer = \"63 mm\"\n"), "not among the files"),
        ("exducer", format!("{similar}map = \"map-b.csv\"\n"), "is missing"),
        (
            "inducer",
            format!("{similar}map = \"map-b.csv\"\nexducer = \"63 mm\"\ninducer = \"70 mm\"\n"),
            "outside 0.3000 to 0.9800",
        ),
        (
            "clearance",
            format!("{similar}map = \"map-b.csv\"\nexducer = \"63 mm\"\nclearance = \"0.3 mm\"\n"),
            "give all four",
        ),
    ] {
        let problems = study(with(&lines)).err().unwrap_or_else(|| panic!("{key} is taken: {lines}"));
        let found = problems.iter().find(|problem| {
            problem.message.contains(words)
                && problem.at.as_ref().is_some_and(|at| at.ends_with(&format!("].{key}\"")))
        });
        let found = found.unwrap_or_else(|| panic!("{key}, {words}: {problems}"));
        assert!(
            found.line.is_some() && found.at.as_ref().unwrap().contains("candidate[1].evidence["),
            "{found}"
        );
    }
    // All of them at once, and none twice for the two readings.
    let both = format!("{seller}flow = \"4000 lb/min\"\n{point}pressure_ratio = 14\nname = \"b\"\n");
    let problems = study(with(&both)).unwrap_err();
    assert_eq!(problems.iter().count(), 2, "{problems}");
    // Evidence beside a map.
    let map = data("hill-climb.toml").replacen(
        "map = \"map-c.csv\"",
        &format!("map = \"map-c.csv\"\n{seller}flow = \"40 lb/min\""),
        1,
    );
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    let files =
        [file("x.toml", map), file("map-b.csv", data("map-b.csv")), file("map-c.csv", data("map-c.csv"))];
    let problems = Study::from_texts(&files).unwrap_err();
    assert!(problems.to_string().contains("is weighed into an estimate, not into a map"), "{problems}");
}
