//! Doubtful dimensions of a wheel in a study file: each reading is a candidate of its own, weighted before the evidence and by it.
#![cfg(feature = "cli")]

#[path = "support/reference.rs"]
mod reference;
#[path = "support/small_study.rs"]
mod small_study;

use reference::{close, close_relative};
use shaftwork::compressor::WheelBuilder;
use shaftwork::prelude::*;
use shaftwork::problem::Problems;
use shaftwork::report::{self, html, json, text};
use small_study::{ENGINE, candidate, diameters, read};

/// The wheel of 38 mm in 52 mm with more lines.
fn with(lines: &str) -> Result<Study, Problems> {
    read(&[candidate("W", &(diameters("38", "52") + lines))])
}
fn sound(lines: &str) -> Study {
    with(lines).unwrap_or_else(|problems| panic!("{lines}: {problems}"))
}
fn labels(study: &Study) -> Vec<String> {
    study.candidates.iter().map(Candidate::label).collect()
}

/// The greatest flow, as someone stated it for the highest line of the estimate: 420 m/s on 52 mm.
const CHOKE: &str = "[[candidate.evidence]]\nkind = \"choke flow\"\nname = \"a stated choke\"\nspeed = \"154258 rpm\"\n\
                     flow = \"0.2 kg/s\"\nflow_sigma = \"4 %\"\nreference_temperature = \"298.15 K\"\n\
                     reference_pressure = \"100 kPa\"\n";

#[test]
fn every_dimension_takes_several_readings() {
    type Give = fn(WheelBuilder, f64) -> WheelBuilder;
    let cases: [(&str, [f64; 2], &str, Give); 10] = [
        ("hub", [11.0, 12.5], "mm", |wheel, x| wheel.hub(mm(x))),
        ("inducer_tip_angle", [55.0, 60.0], "deg", |wheel, x| wheel.inducer_tip_angle(deg(x))),
        ("inducer_mean_angle", [48.0, 52.5], "deg", |wheel, x| wheel.inducer_mean_angle(deg(x))),
        ("throat", [560.0, 640.0], "mm2", |wheel, x| wheel.throat(mm2(x))),
        ("exit_width", [3.8, 4.05], "mm", |wheel, x| wheel.exit_width(mm(x))),
        ("backsweep", [30.0, 40.0], "deg", |wheel, x| wheel.backsweep(deg(x))),
        ("clearance", [0.2, 0.3], "mm", |wheel, x| wheel.exit_clearance(mm(x))),
        ("diffuser_ratio", [1.5, 1.7], "", |wheel, x| wheel.diffuser_ratio(fraction(x))),
        ("diffuser_width", [3.4, 3.7], "mm", |wheel, x| wheel.diffuser_width(mm(x))),
        ("blades", [6.0, 7.0], "", |wheel, x| wheel.blades(x as u8, 0)),
    ];
    for (key, values, unit, give) in cases {
        let study = sound(&format!(
            "{key} = [{}]\n",
            values.map(|x| format!("\"{x} {unit}\"").replace(" \"", "\"")).join(", ")
        ));
        assert_eq!(study.candidates.len(), 2, "{key}");
        for (one, value) in study.candidates.iter().zip(values) {
            // Which is the wheel that its reading alone makes.
            let geometry = one.estimated().unwrap().estimate().geometry();
            let alone = give(WheelGeometry::builder(mm(38.0), mm(52.0)), value).build().unwrap();
            assert_eq!(geometry, &alone, "{key}");
            let reading = one.reading().unwrap();
            assert_eq!(reading.of(), key.replace('_', " "));
            assert_eq!(one.label(), format!("W, {reading}"));
            close(one.reading_weight().unwrap().si(), 0.5, 0.0);
        }
        assert_ne!(labels(&study)[0], labels(&study)[1]);
        let typed =
            &study.inputs.iter().find(|input| input.key == format!("candidate[1].{key}")).unwrap().typed;
        assert!(typed.contains(" or "), "{typed}");
    }
    // The diameters, and what each reading is called.
    let two = read(&[candidate("W", "inducer = \"38 mm\"\nexducer = [\"52 mm\", \"53.25 mm\"]\n")]).unwrap();
    assert_eq!(labels(&two), ["W, exducer 52.0 mm", "W, exducer 53.25 mm"]);
    let one = sound("backsweep = [\"40 deg\"]\n");
    assert_eq!(labels(&one), ["W"]);
    assert!(one.candidates[0].reading().is_none() && one.candidates[0].reading_weight().is_none());
}

#[test]
fn several_doubtful_dimensions_make_every_combination() {
    let lines = "inducer = { value = [\"38 mm\", \"39 mm\"], weights = [3, 1] }\nexducer = \"52 mm\"\n\
                 backsweep = { value = [\"30 deg\", \"40 deg\"], weights = [\"80 %\", 0.2], source = \"photo\" }\n";
    let study = read(&[candidate("W", lines)]).unwrap();
    assert_eq!(
        labels(&study),
        [
            "W, inducer 38.0 mm, backsweep 30 deg",
            "W, inducer 38.0 mm, backsweep 40 deg",
            "W, inducer 39.0 mm, backsweep 30 deg",
            "W, inducer 39.0 mm, backsweep 40 deg",
        ]
    );
    // By hand: 3/4 and 1/4 times 0.8 and 0.2.
    let weights: Vec<f64> = study.candidates.iter().map(|one| one.reading_weight().unwrap().si()).collect();
    for (found, expected) in weights.iter().zip([0.6, 0.15, 0.2, 0.05]) {
        close(*found, expected, 1e-12);
    }
    let typed = |key: &str| study.inputs.iter().find(|input| input.key == key).unwrap().typed.as_str();
    assert_eq!(typed("candidate[1].inducer"), "38 mm or 39 mm, weighted 3 to 1");
    assert_eq!(typed("candidate[1].backsweep"), "30 deg or 40 deg, weighted 80 % to 0.2");
    let noted: Vec<_> = study.assumptions.iter().filter(|one| one.key == "wheel.readings").collect();
    assert_eq!(noted.len(), 2);
    assert_eq!(noted[0].value, "38.0 mm 75.0 %, 39.0 mm 25.0 %");
    assert!(
        noted[1].what.starts_with("backsweep of W") && noted[1].band.contains("no evidence"),
        "{:?}",
        noted[1]
    );
    // Blades and splitters are counted together.
    let pairs = sound("blades = [6, 7]\nsplitters = [6, 0]\n");
    assert_eq!(labels(&pairs), ["W, blades 6 + 6", "W, blades 7 + 0"]);
    let beside = sound("blades = 6\nsplitters = { value = [0, 6], weights = [1, 4] }\n");
    assert_eq!(labels(&beside), ["W, blades 6 + 0", "W, blades 6 + 6"]);
    close(beside.candidates[1].reading_weight().unwrap().si(), 0.8, 1e-12);
    let all = sound("blades = { value = [6, 7], weights = [1, 4] }\nsplitters = 6\n");
    assert_eq!(labels(&all), ["W, blades 6 + 6", "W, blades 7 + 6"]);
    close(all.candidates[1].reading_weight().unwrap().si(), 0.8, 1e-12);
    assert!(
        !sound("blades = [6, 7]\nsplitters = 0\n").assumptions.iter().any(|one| one.key == "wheel.splitters")
    );
}

#[test]
fn readings_that_cannot_be_used_are_refused_at_their_line() {
    for (key, lines, part) in [
        (
            "backsweep",
            "backsweep = { value = [\"30 deg\", \"40 deg\"], weights = [1, 2, 3] }",
            "its weights [1, 2, 3]: 3 weights for 2 readings; give one weight for each",
        ),
        (
            "backsweep",
            "backsweep = { value = [\"30 deg\", \"40 deg\"], weights = [2, -1] }",
            "the weight -1.000 is none: a weight is zero or more",
        ),
        (
            "backsweep",
            "backsweep = { value = [\"30 deg\", \"40 deg\"], weights = [nan, 1] }",
            "\"nan\" does not start with a number",
        ),
        (
            "backsweep",
            "backsweep = { value = [\"30 deg\", \"40 deg\"], weights = [inf, 1] }",
            "its weights [inf, 1]",
        ),
        (
            "backsweep",
            "backsweep = { value = [\"30 deg\", \"40 deg\"], weights = [0, 0.0] }",
            "all weights are zero; give the likely reading one above zero",
        ),
        (
            "backsweep",
            "backsweep = { value = [\"30 deg\", \"40 deg\"], weights = 3 }",
            "its weights must be a list of numbers, one for each reading: weights = [3, 1]",
        ),
        (
            "backsweep",
            "backsweep = { value = [\"30 deg\", \"40 deg\"], weights = [[3], [1]] }",
            "its weights must be a list of numbers",
        ),
        (
            "backsweep",
            "backsweep = { value = \"30 deg\", weights = [1] }",
            "has weights, which belong to several readings",
        ),
        (
            "backsweep",
            "backsweep = { value = [\"30 deg\"], weights = [1] }",
            "has weights, which belong to several readings",
        ),
        (
            "hub",
            "hub = { value = \"12 mm\", weights = [1] }",
            "has weights, which belong to several readings",
        ),
        (
            "exit_width",
            "exit_width = [\"3.8 mm\", \"3.8 mm\"]",
            "exit width 3.8 mm stands twice; give it once",
        ),
        ("throat", "throat = []", "no reading of the throat is given"),
        ("exit_width", "exit_width = [\"3.8 mm\", true]", "must be a number, or text with a unit"),
        ("blades", "blades = [6, 6.5]", "\"6.5\" is not a whole number"),
        ("blades", "blades = [6, 300]", "300 is too many: wheels have 4 to 30 full blades"),
        (
            "splitters",
            "blades = [6, 7]\nsplitters = [6, 7, 8]",
            "has 3 readings where blades has 2; they go in pairs",
        ),
        (
            "splitters",
            "blades = [6, 7]\nsplitters = { value = [6, 7], weights = [1, 2] }",
            "goes in pairs with blades; give the weights beside blades",
        ),
        (
            "clearance",
            "backsweep = [\"30 deg\", \"35 deg\", \"40 deg\", \"45 deg\"]\nexit_width = [\"3.8 mm\", \"4 mm\"]\n\
             clearance = [\"0.2 mm\", \"0.3 mm\"]",
            "the readings make 16 wheels (exit width 2, backsweep 4, clearance 2), each judged on a map of its own; at \
             most 12 are: measure one dimension again, or give it one value with its band",
        ),
        // A reading that cannot be, and with what else it cannot be.
        (
            "backsweep",
            "backsweep = [\"30 deg\", \"80 deg\"]",
            "backsweep 80.00 deg is outside 0 to 65.00 deg",
        ),
        ("exit_width", "exit_width = [\"3.8 mm\", \"20 mm\"]", "exit width 20.00 mm is outside"),
        (
            "clearance",
            "clearance = \"1.2 mm\"\nexit_width = [\"3.8 mm\", \"4.2 mm\"]",
            "exit width 3.8 mm: clearance at the exit 1.200 mm is outside",
        ),
        (
            "splitters",
            "blades = 6\nsplitters = [6, 14]",
            "blades 6 + 14: splitter blades 14 is outside 0 to 12",
        ),
        ("hub", "hub = [\"12 mm\", \"40 mm\"]", "0.8 of the inducer's tip diameter at most"),
        // A band in another unit, or of one value alone.
        (
            "exit_width",
            "exit_width = { value = [\"3.8 mm\", \"4 mm\"], band = \"3.7 to 3.9 mm\" }",
            "does not hold the value; beside several readings write \"+-0.1 mm\" or \"+-5 %\"",
        ),
    ] {
        let Err(problems) = with(&(lines.to_string() + "\n")) else { panic!("{lines}") };
        let all: Vec<_> = problems.iter().collect();
        assert_eq!(all.len(), 1, "{lines}: {problems}");
        assert!(all[0].message.contains(part), "{lines}: {problems}");
        assert_eq!(all[0].at.as_deref(), Some(format!("key \"candidate[1].{key}\"").as_str()), "{problems}");
        // Before them stand name, inducer and exducer in their table.
        let line = ENGINE.lines().count() + 5 + lines.lines().position(|line| line.starts_with(key)).unwrap();
        assert_eq!(all[0].line, Some(line), "{problems}");
    }
    // The diameters: the reading is named by its value.
    let wheel = |lines: &str| read(&[candidate("W", lines)]).unwrap_err().to_string();
    let found = wheel("inducer = \"38 mm\"\nexducer = [\"52 mm\", \"37 mm\"]\n");
    let inducer = format!("line {}", ENGINE.lines().count() + 3);
    assert!(
        found.contains(&inducer) && found.contains("38.0 mm is not less than the exducer, 37.0 mm"),
        "{found}"
    );
    let found = wheel("inducer = [\"38 mm\", \"20 mm\"]\nexducer = \"52 mm\"\n");
    assert!(found.contains("20 mm is outside 20.8 to 49.4 mm") && found.contains("check both"), "{found}");
    let found = wheel("inducer = \"38 mm\"\nexducer = []\n");
    assert!(found.contains("exducer") && found.contains("no reading of the exducer is given"), "{found}");
    // What one reading cannot have is told with it, beside what none can have.
    let lines = "inducer = [\"38 mm\", \"28 mm\"]\nexducer = \"52 mm\"\nexit_width = \"10.5 mm\"\nbacksweep = \"80 deg\"\n";
    let found = wheel(lines);
    assert!(found.contains("inducer 28.0 mm: exit width 10.50 mm is outside"), "{found}");
    assert!(
        !found.contains("inducer 28.0 mm: backsweep") && found.contains("backsweep 80.00 deg"),
        "{found}"
    );
    // Elsewhere weights are not known.
    let found = with("speed_limit = { value = \"150000 rpm\", weights = [1] }\n").unwrap_err().to_string();
    assert!(
        found.contains("\"weights\" is not known here") && found.ends_with("source, grade, band"),
        "{found}"
    );
}

#[test]
fn a_band_beside_several_readings_is_one_of_each() {
    let study = sound("exit_width = { value = [\"3.8 mm\", \"4.2 mm\"], band = \"+-0.2 mm\" }\n");
    for (one, width) in study.candidates.iter().zip([3.8, 4.2]) {
        let wheel = WheelGeometry::builder(mm(38.0), mm(52.0)).exit_width(mm(width));
        // Two standard deviations either way.
        let wheel = wheel.spread_of(Factor::ExitWidth, fraction(0.1 / width)).build().unwrap();
        let spread = |geometry: WheelGeometry| {
            let of = geometry.estimate(Reference::new(kelvin(298.15), kpa(100.0)).unwrap()).unwrap();
            let (speed, flow) = (corrected_rpm(130_000.0), corrected_kg_per_s(0.12));
            of.band_at(speed, flow).unwrap().ratio_by(Factor::ExitWidth)
        };
        let found = spread(*one.estimated().unwrap().estimate().geometry());
        assert!(found.abs() > 1e-4);
        close_relative(found, spread(wheel), 1e-9);
    }
}

// Bayes' rule by hand: ln of the stated flow is a normal observation of what each wheel predicts, with the variances of
// estimate and statement added; the odds after are those before times those of the densities.
#[test]
fn the_odds_after_are_those_before_times_those_of_the_evidence() {
    let lines = |weights: &str| {
        format!(
            "inducer = {{ value = [\"38 mm\", \"40 mm\"]{weights} }}\nexducer = \"52 mm\"\n\
             backsweep = {{ value = [\"30 deg\", \"40 deg\"] }}\n{CHOKE}"
        )
    };
    let weighed =
        |weights: &str| read(&[candidate("W", &lines(weights))]).unwrap().reading_weights("W").unwrap();
    let (alike, weighted) = (weighed(""), weighed(", weights = [5, 1]"));
    assert!(alike.were_alike() && !weighted.were_alike());
    let reference = Reference::new(kelvin(298.15), kpa(100.0)).unwrap();
    let density = |inducer: f64, sweep: f64| {
        let wheel = WheelGeometry::builder(mm(inducer), mm(52.0)).backsweep(deg(sweep)).build().unwrap();
        let of = wheel.estimate(reference).unwrap();
        let speed = corrected_rpm(154_258.0);
        let own = of.band().unwrap().into_iter().last().unwrap().choke.si();
        let off = (0.2 / of.line(speed).unwrap().choke.si()).ln();
        let variance = own * own + 0.0016;
        (-0.5 * off * off / variance).exp() / variance.sqrt()
    };
    let readings = [(38.0, 30.0), (38.0, 40.0), (40.0, 30.0), (40.0, 40.0)];
    let densities = readings.map(|(inducer, sweep)| density(inducer, sweep));
    let sum: f64 = densities.iter().sum();
    let prior = [5.0 / 12.0, 5.0 / 12.0, 1.0 / 12.0, 1.0 / 12.0];
    let norm: f64 = prior.iter().zip(&densities).map(|(prior, density)| prior * density).sum();
    for i in 0..4 {
        close(weighted[i].before.si(), prior[i], 1e-12);
        close(alike[i].before.si(), 0.25, 1e-12);
        // The density is exact where predictions are linear in the factors, as they nearly are.
        close(alike[i].after.si(), densities[i] / sum, 0.02);
        close(weighted[i].after.si(), prior[i] * densities[i] / norm, 0.02);
        close(weighted[i].alone.si(), alike[i].after.si(), 1e-12);
    }
    let odds = |of: &shaftwork::compressor::ReadingWeights| of[0].after / of[2].after;
    close_relative(odds(&weighted), 5.0 * odds(&alike), 1e-9);
    // The evidence tells something, so that the check could fail.
    assert!((odds(&alike) - 1.0).abs() > 0.2, "{alike:?}");
    // Of each dimension by itself: the sums.
    let each = weighted.of_each_dimension();
    close(each[0][0].after.si(), (weighted[0].after + weighted[1].after).si(), 1e-12);
    close(each[1][0].after.si(), (weighted[0].after + weighted[2].after).si(), 1e-12);
    close(each[0][1].before.si(), 1.0 / 6.0, 1e-12);
    // A reading that counts nothing before counts nothing after.
    let none = weighed(", weights = [0, 1]");
    close(none[0].after.si() + none[1].after.si(), 0.0, 0.0);
    close(none[2].after.si() + none[3].after.si(), 1.0, 1e-12);
}

#[test]
fn every_report_says_what_the_readings_count() {
    let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let lines = format!("backsweep = {{ value = [\"30 deg\", \"45 deg\"], weights = [3, 1] }}\n{CHOKE}");
    let sizing = sound(&lines).size().unwrap();
    let weights = sizing.study.reading_weights("W").unwrap();
    let percent = |share: Fraction| significant(share.percent(), 2);
    let each = format!(
        "Readings of the backsweep of W by the evidence: 30 deg {} % (75 % before), 45 deg {} % (25 % before); the evidence \
         alone favours ",
        percent(weights[0].after),
        percent(weights[1].after)
    );
    for face in [one_line(&text(&sizing)), one_line(&html(&sizing))] {
        assert!(face.contains(&each), "{face}");
        assert!(
            face.contains("; with the weights before it 30 deg by ") && face.contains("Nothing is averaged.")
        );
        assert!(
            face.contains("W, backsweep 30 deg, A/R 10.0 mm")
                && face.contains("W, backsweep 45 deg, A/R 10.0 mm")
        );
        assert!(!face.contains("No evidence stands beside them"));
    }
    // The assumptions, in columns and in a table.
    assert!(text(&sizing).contains("30 deg 75.0 %, 45 deg 25.0 %"));
    assert!(html(&sizing).contains("<td>backsweep of W, weights of its readings before the evidence</td>"));
    let saved = json(&sizing);
    let value: serde_json::Value = serde_json::from_str(&saved).unwrap();
    for (i, angle) in [30.0_f64, 45.0].into_iter().enumerate() {
        let result = &value["results"][i];
        let of =
            |pointer: &str| result.pointer(pointer).and_then(serde_json::Value::as_f64).unwrap_or(f64::NAN);
        assert_eq!(result["reading"]["words"], format!("backsweep {angle} deg"));
        close(of("/reading/dimensions/backsweep/value"), angle.to_radians(), 1e-12);
        close(of("/reading/weight/value"), [0.75, 0.25][i], 1e-12);
        close(of("/evidence/reading/weight_before/value"), [0.75, 0.25][i], 1e-12);
        close(of("/evidence/reading/weight_by_it_alone/value"), weights[i].alone.si(), 1e-12);
        close(of("/evidence/reading/weight_after/value"), weights[i].after.si(), 1e-12);
    }
    // What was saved is computed again under the same names.
    let folder = std::env::temp_dir().join(format!("shaftwork-readings-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("results.json");
    std::fs::write(&file, &saved).unwrap();
    let again = report::recheck(&file).unwrap();
    std::fs::remove_dir_all(&folder).unwrap();
    assert!(again.differ.is_empty() && again.agree > 50, "{again}");
    // The record names the dimension with all its readings.
    let record = sizing.record_of_most(0).unwrap().unwrap();
    assert!(record.nodes().iter().any(|node| node.input_name().as_deref() == Some("candidate[1].backsweep")));
}

#[test]
fn without_evidence_the_weights_are_shown_as_what_they_are() {
    let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for (weights, said) in [
        (
            "",
            "Readings of the backsweep of W, alike, as nothing else is said: 30 deg 50 %, 45 deg 50 %. No evidence",
        ),
        (
            ", weights = [3, 1]",
            "Readings of the backsweep of W, as the study weighs them: 30 deg 75 %, 45 deg 25 %. No evidence",
        ),
    ] {
        let study = sound(&format!("backsweep = {{ value = [\"30 deg\", \"45 deg\"]{weights} }}\n"));
        assert!(study.reading_weights("W").is_none());
        let noted = study.assumptions.iter().filter(|one| one.key == "wheel.readings").count();
        assert_eq!(noted, usize::from(!weights.is_empty()));
        let sizing = study.size().unwrap();
        for face in [text(&sizing), html(&sizing)] {
            assert!(one_line(&face).contains(said), "{face}");
            assert!(!face.contains("by the evidence"));
        }
        let value: serde_json::Value = serde_json::from_str(&json(&sizing)).unwrap();
        assert!(
            value["results"][0]["reading"]["weight"]["value"].is_f64()
                && value["results"][0]["evidence"].is_null()
        );
    }
}
