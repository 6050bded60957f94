//! A wheel in a study file: which materials, bands, counts and limits it takes, and what is told where it cannot be sized.
#![cfg(feature = "cli")]

use shaftwork::prelude::*;
use shaftwork::problem::Problems;
use shaftwork::record::Node;
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
            assert!(estimated.left_out().is_empty(), "{lines}");
        }
    }
    // With an exit this wide the line at the bold end of titanium crosses the one below it on the better side.
    let wide = "exit_width = \"7.3 mm\"\nbacksweep = \"20 deg\"\n";
    let study = with(&format!("{wide}material = \"titanium\"\n")).unwrap();
    let out = study.candidates[0].estimated().unwrap().left_out();
    assert_eq!(out.iter().map(|out| out.of).collect::<Vec<_>>(), ["better side"]);
    assert!(!out[0].tip_speeds.is_empty() && out[0].tip_speeds.iter().all(|speed| *speed > out[0].highest));
    let named = assumed(&study, "wheel.lines_left_out", "speed lines left out of the better side").unwrap();
    assert!(named.0.contains(&out[0].highest.to_string()) && named.1.contains("crosses"), "{named:?}");
    for lines in ["material = \"titanium\"\n", wide] {
        assert!(with(lines).unwrap().candidates[0].estimated().unwrap().left_out().is_empty());
    }
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
    for part in ["small.toml", "line 47", "candidate T <small>, A/R 10.0 mm, on 95", &missing.why.to_string()]
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

/// The most power of the only entry: worse side, estimate, better side, kW.
fn most(sizing: &Sizing) -> [f64; 3] {
    let most = &sizing.entries[0].judgement.most;
    [most.low, most.power, most.high].map(|power| power.unwrap().kw())
}

#[test]
fn a_band_of_a_measured_dimension_widens_that_of_the_map() {
    let width = |band: &str| format!("exit_width = {{ value = \"3.8 mm\"{band} }}\n");
    let [none, narrow, wide] =
        ["", ", band = \"+-0.2 mm\"", ", band = \"+-1 mm\""].map(|band| sized(&width(band)));
    let spread = |sizing: &Sizing| {
        let [low, _, high] = most(sizing);
        high - low
    };
    assert_eq!(most(&none)[1], most(&wide)[1]);
    assert!(spread(&none) < spread(&narrow) && spread(&narrow) < spread(&wide), "{none:?}");
    // However it is written: two standard deviations either way.
    let of = |band: &str, factor| {
        let study = with(&width(band)).unwrap_or_else(|why| panic!("{band}: {why}"));
        let estimate = study.candidates[0].estimated().unwrap().estimate().clone();
        let speed = corrected_rpm(130_000.0);
        let band = estimate.band_at(speed, estimate.line(speed).unwrap().points[6].flow).unwrap();
        band.ratio_by(factor)
    };
    let share = of(", band = \"+-0.2 mm\"", Factor::ExitWidth);
    assert!(share.abs() > 1e-4, "{share}");
    for band in [", band = \"3.6 to 4.0 mm\"", ", band = \"3.6 mm to 4 mm\"", ", band = \"\u{b1}0.2 mm\""] {
        assert!((of(band, Factor::ExitWidth) / share - 1.0).abs() < 1e-6, "{band}");
    }
    assert!((of(", band = \"+-5.2632 %\"", Factor::ExitWidth) / share - 1.0).abs() < 1e-3);
    assert!(assumed(&wide.study, "wheel.bands", "bands of the wheel's dimensions").is_some());
    // Every dimension that takes one.
    for line in [
        "hub = { value = \"12 mm\", band = \"+-2 mm\" }",
        "inducer_tip_angle = { value = \"58 deg\", band = \"55 to 61 deg\" }",
        "inducer_mean_angle = { value = \"50 deg\", band = \"+-4 deg\" }",
        "throat = { value = \"600 mm2\", band = \"+-10 %\" }",
        "backsweep = { value = \"40 deg\", band = \"+-10 deg\" }",
        "clearance = { value = \"0.3 mm\", band = \"+-0.1 mm\" }",
        "diffuser_ratio = { value = 1.6, band = \"1.5 to 1.7\" }",
        "diffuser_width = { value = \"3.8 mm\", band = \"+-0.4 mm\" }",
    ] {
        let plain = line.split(", band").next().unwrap().to_string() + " }";
        let parts = [line, &plain].map(|line| {
            let study = with(line).unwrap_or_else(|why| panic!("{line}: {why}"));
            let estimate = study.candidates[0].estimated().unwrap().estimate().clone();
            Factor::ALL.into_iter().filter(|factor| estimate.geometry().varies(*factor)).count()
        });
        assert_eq!(parts[0], parts[1] + 1, "{line}");
    }
}

#[test]
fn a_band_that_is_not_used_is_refused() {
    for (line, part) in [
        ("exit_width = { value = \"3.8 mm\", band = \"about\" }", "its band \"about\" cannot be read"),
        ("exit_width = { value = \"3.8 mm\", band = \"4 to 5 mm\" }", "does not hold the value"),
        ("exit_width = { value = \"3.8 mm\", band = \"+-2 kg\" }", "cannot be used"),
        (
            "exit_width = { value = \"3.8 mm\", band = \"+-5 mm\" }",
            "is not between nothing and the value itself",
        ),
        ("blades = { value = 6, band = \"5 to 7\" }\nsplitters = 6", "which the estimate does not carry"),
        (
            "throat = \"600 mm2\"\ninducer_tip_angle = { value = \"58 deg\", band = \"+-3 deg\" }",
            "has no say beside a throat",
        ),
    ] {
        let found = problems(line);
        assert!(found.len() == 1 && found[0].contains(part), "{line}: {found:?}");
    }
    let inducer = "inducer = { value = \"38 mm\", band = \"36 to 40 mm\" }\nexducer = \"52 mm\"";
    let found = read(&[candidate("W", inducer)]).unwrap_err().to_string();
    assert!(found.contains("give its readings as a list"), "{found}");
}

#[test]
fn blades_that_were_not_counted_have_a_spread() {
    let (open, counted) = (sized(""), sized("blades = 6\nsplitters = 6\n"));
    assert_eq!(most(&open)[1], most(&counted)[1]);
    assert!(most(&open)[0] < most(&counted)[0]);
    let (value, band) = assumed(&open.study, "wheel.blades", "blades").unwrap();
    assert!(value == "6 + 6" && band.starts_with("+-2.40 of 10.2 ") && band.contains("no source"), "{band}");
    assert!(assumed(&counted.study, "wheel.blades", "").is_none());
    assert!(assumed(&counted.study, "wheel.splitters", "").is_none());
    // Of ln of the number 0.235: 5 + 5 and 8 + 8 lie exp(0.47) apart, as both sides do.
    let estimate = |full, splitters| {
        let wheel = WheelGeometry::builder(mm(38.0), mm(52.0)).blades(full, splitters).build().unwrap();
        wheel.estimate(Reference::new(kelvin(298.15), kpa(100.0)).unwrap()).unwrap()
    };
    let (speed, flow) = (corrected_rpm(140_000.0), corrected_kg_per_s(0.11));
    let at = |full, splitters| estimate(full, splitters).at(speed, flow).unwrap().ratio.si();
    let open = WheelGeometry::builder(mm(38.0), mm(52.0)).build().unwrap();
    let open = open.estimate(Reference::new(kelvin(298.15), kpa(100.0)).unwrap()).unwrap();
    let [whole, counted] = [&open, &estimate(6, 6)].map(|of| of.band_at(speed, flow).unwrap());
    let sigma = whole.ratio_by(Factor::Blades);
    let range = (at(8, 8) / at(5, 5)).ln();
    assert!((sigma / range - 0.5).abs() < 0.1, "{sigma} of {range}");
    // An independent cause adds in quadrature.
    assert!(((whole.ratio.si().powi(2) - counted.ratio.si().powi(2)).sqrt() / sigma - 1.0).abs() < 1e-9);
    // Blades alone: that no splitters were taken is said.
    let alone = with("blades = 6\n").unwrap();
    let (value, band) = assumed(&alone, "wheel.splitters", "splitters").unwrap();
    assert!(value == "none" && band.contains("write splitters = 0"), "{band}");
    assert!(assumed(&with("blades = 6\nsplitters = 0\n").unwrap(), "wheel.splitters", "").is_none());
}

#[test]
fn a_makers_limit_above_the_cautious_tip_speed_raises_the_map() {
    let top = |study: &Study| study.candidates[0].map().highest_speed().si() * 0.026;
    let (plain, raised) = (sized(""), sized("speed_limit = \"175000 rpm\"\n"));
    // 175 000 rpm on 52 mm: 476.5 m/s by hand.
    assert!((top(&plain.study) - 420.0).abs() < 1e-6, "{}", top(&plain.study));
    assert!((top(&raised.study) - 476.475).abs() < 1e-3, "{}", top(&raised.study));
    assert!(most(&raised)[1] > most(&plain)[1] + 1.0, "{:?} {:?}", most(&plain), most(&raised));
    let (value, band) = assumed(&raised.study, "wheel.tip_speed_limit", "highest tip speed").unwrap();
    assert!(
        value.starts_with("476.5 m/s") && band.contains("raised from a cautious 420.0 m/s"),
        "{value}; {band}"
    );
    // The lines below stay where they are; a lower limit takes none away, it is judged beside them.
    let low = with("speed_limit = \"120000 rpm\"\n").unwrap();
    assert_eq!(top(&low), top(&plain.study));
    let speeds = |study: &Study| study.candidates[0].map().speeds().collect::<Vec<_>>();
    assert_eq!(speeds(&raised.study)[..8], speeds(&plain.study)[..]);
    assert_eq!(speeds(&low), speeds(&plain.study));
    // The record starts from the limit, and comes to the same distance.
    let point = raised.entries[0].judgement.hardest().unwrap();
    let record = raised.record_at(0, point).unwrap();
    let node = record.output("margin to top speed line of the map").unwrap();
    let margins = &raised.entries[0].judgement.points[point].1.as_ref().unwrap().margins;
    let margin = margins.iter().find(|margin| margin.limit == Limit::TopSpeedLine).unwrap().margin;
    assert!((record.nodes()[node].value - margin.si()).abs() < 1e-9);
    let below: Vec<String> = record.below(node).filter_map(Node::input_name).collect();
    assert!(below.iter().any(|name| name == "candidate[1].speed_limit"), "{below:?}");
    // Beyond what the mean line takes the map ends.
    assert!(top(&with("speed_limit = \"390000 rpm\"\n").unwrap()) <= 700.0 + 1e-6);
}

#[test]
fn all_problems_of_a_wheel_are_told_at_once_with_their_reasons() {
    let found = problems("exit_width = \"20 mm\"\nbacksweep = \"-10 deg\"\nblades = 300\n");
    assert_eq!(found.len(), 3, "{found:?}");
    for (key, part) in [
        ("exit_width", "narrower than the inducer's blades are high"),
        ("backsweep", "blades lean back by 0 (radial) to 65 degrees"),
        ("blades", "300 is too many: wheels have 4 to 30 full blades"),
    ] {
        assert!(found.iter().any(|one| one.contains(key) && one.contains(part)), "{key}: {found:?}");
    }
    let found = problems("hub = \"40 mm\"\nbacksweep = \"80 deg\"\n");
    assert!(found.len() == 2 && found[0].contains("0.8 of the inducer's tip diameter at most"), "{found:?}");
    let wheel = |lines: &str| read(&[candidate("W", lines)]).unwrap_err().to_string();
    let found = wheel(&diameters("20", "52"));
    assert!(found.contains("0.4 to 0.95 of the outer diameter"), "{found}");
    let found = wheel(&diameters("0.038", "0.052"));
    assert!(found.contains("key \"candidate[1].exducer\"") && found.contains("check the unit"), "{found}");
    let found = problems("inducer_tip_angle = \"30 deg\"\n");
    assert!(found[0].contains("outside 35.00 to 72.00 deg: inducer blades stand 35 to 72"), "{found:?}");
    let found = problems("blades = 2\nsplitters = 2\n");
    assert!(found[0].contains("full blades 2 is outside 4 to 30: "), "{found:?}");
}

#[test]
fn what_cannot_be_read_is_told_once() {
    for typed in ["\"38,0 mm\"", "38", "nan"] {
        let found = read(&[candidate("W", &format!("inducer = {typed}\nexducer = \"52 mm\""))]).unwrap_err();
        assert_eq!(found.iter().count(), 1, "{found}");
        assert!(found.to_string().contains("inducer"), "{found}");
    }
    let run = r#"[[candidate.evidence]]
kind = "measured point"
inlet_temperature = "20 degC"
inlet_pressure = "98 kPa"
barometer = "99 kPa"
speed = "120000 rpm"
flow = "0.1 kg/s"
boost = "80 kPa absolute"
"#;
    let found = problems(run);
    assert!(found.len() == 1 && found[0].contains("evidence[1].boost"), "{found:?}");
    let found = problems(
        &run.replace("boost = \"80 kPa absolute\"", "pressure_ratio = 1.8\nefficiency = \"76\"")
            .replace("barometer = \"99 kPa\"\n", ""),
    );
    assert!(found.len() == 1 && found[0].contains("for percent write \"76 %\""), "{found:?}");
}

#[test]
fn the_text_says_what_an_estimate_is_worth_once() {
    let sizing = sized("");
    let [text, page] = [report::text(&sizing), report::html(&sizing)];
    for face in [&text, &page] {
        assert_eq!(face.matches("edges of such a map have a band").count(), 1);
        assert!(face.contains("The estimated map of W: not validated at this size"), "{face}");
    }
    // Two of three engine speeds lie beyond the top speed line, which no least margin at the third may hide.
    let judged = &sizing.entries[0].judgement;
    assert_eq!(judged.points.iter().filter(|(_, found)| found.is_err()).count(), 2, "{text}");
    assert!(text.contains("least where there is a point"), "{text}");
    let row = text.lines().find(|line| line.trim_start().starts_with("top speed line of the map ")).unwrap();
    assert!(row.contains("beyond") && row.contains("5500, 6000 rpm") && !row.contains('%'), "{row}");
    assert!(page.contains("5500, 6000 rpm") && page.contains("<th>least where there is a point</th>"));
}
