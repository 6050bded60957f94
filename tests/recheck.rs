//! A saved result computed again, and two saved results side by side.
#![cfg(feature = "cli")]

use serde_json::{Value, json};
use shaftwork::report::{self, diff, recheck};
use shaftwork::study::{SourceFile, Study};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

fn demo() -> &'static str {
    static DEMO: OnceLock<String> = OnceLock::new();
    DEMO.get_or_init(|| report::json(&Study::demo().unwrap().size().unwrap()))
}

fn saved(name: &str, text: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("recheck");
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join(name);
    std::fs::write(&file, text).unwrap();
    file
}

/// The demonstration with something else in its study.
fn changed(old: &str, new: &str) -> String {
    let mut files: Vec<SourceFile> = Study::demo().unwrap().files;
    assert!(files[0].text.contains(old), "{old}");
    files[0].text = files[0].text.replace(old, new);
    report::json(&Study::from_texts(&files).unwrap().size().unwrap())
}

#[test]
fn an_untouched_result_agrees() {
    let found = recheck(&saved("untouched.json", demo())).unwrap();
    assert!(found.differ.is_empty() && found.formulas.is_empty(), "{found}");
    assert!(found.agree > 700, "{found}");
}

#[test]
fn a_number_changed_by_hand_is_named_and_so_is_a_formula_of_another_version() {
    let mut value: Value = serde_json::from_str(demo()).unwrap();
    let flow = &mut value["results"][5]["points"][1]["air_flow"]["value"];
    let was = flow.as_f64().unwrap();
    *flow = json!(was * 1.0001);
    value["formulas"]["engine::friction_pressure"] = json!(0);
    let found = recheck(&saved("by-hand.json", &value.to_string())).unwrap();
    assert_eq!(found.differ.len(), 1, "{found}");
    let [name, recorded, now, by] = &found.differ[0];
    assert_eq!(name, "B, A/R 20.8 mm, on ethanol blend, 6700 rpm: air_flow");
    assert_ne!(recorded, now);
    assert_eq!(by, "-1.0e-4");
    assert_eq!(found.formulas, ["engine::friction_pressure: version 1, was 0"]);
    let text = found.to_string();
    assert!(
        text.contains("formula engine::friction_pressure: version 1, was 0; see NUMERIC in the changelog"),
        "{text}"
    );
}

#[test]
fn a_number_that_is_none_differs() {
    let mut value: Value = serde_json::from_str(demo()).unwrap();
    value["results"][5]["points"][1]["air_flow"]["value"] = Value::Null;
    let found = recheck(&saved("null.json", &value.to_string())).unwrap();
    assert_eq!(found.differ.len(), 1, "{found}");
}

#[test]
fn what_is_no_result_is_refused_with_what_to_do() {
    let says = |name: &str, text: &str| recheck(&saved(name, text)).unwrap_err().to_string();
    assert!(says("broken.json", &demo()[..5000]).contains("not JSON here; is it a whole results.json?"));
    assert!(says("other.json", "{}").contains("not a results file; name the results.json of a sizing"));
    let old = demo().replace("shaftwork-results/7", "shaftwork-results/1");
    assert!(says("old.json", &old).contains("its layout is \"shaftwork-results/1\", this version reads"));
    let mut value: Value = serde_json::from_str(demo()).unwrap();
    value.as_object_mut().unwrap().remove("files");
    assert!(says("less.json", &value.to_string()).contains("\"files\" is missing; size the study again"));
    let spoiled = demo().replace("bore = { value = \\\"84 mm\\\"", "bore = { value = \\\"84 kg\\\"");
    assert_ne!(spoiled, demo());
    assert!(says("spoiled.json", &spoiled).contains("the study in it is not accepted"));
    let missing = Path::new(env!("CARGO_TARGET_TMPDIR")).join("recheck/none.json");
    let _ = std::fs::remove_file(&missing);
    assert!(recheck(&missing).unwrap_err().to_string().contains("none.json"));
}

#[test]
fn the_same_result_has_no_differences() {
    let file = saved("same.json", demo());
    let found = diff(&file, &file).unwrap();
    assert!(found.inputs.is_empty() && found.assumptions.is_empty() && found.results.is_empty(), "{found}");
    assert!(found.unmoved.is_empty());
}

/// The torque limit moves its own margins, and the powers and verdicts that it stops; nothing else.
#[test]
fn one_changed_input_lists_exactly_what_depends_on_it() {
    let first = saved("torque-a.json", demo());
    let new = changed("torque_limit = { value = \"390 N m\"", "torque_limit = { value = \"391 N m\"");
    let found = diff(&first, &saved("torque-b.json", &new)).unwrap();
    assert_eq!(found.inputs, [["engine.torque_limit", "390 N m", "391 N m"].map(String::from)]);
    assert!(found.assumptions.is_empty() && found.formulas.is_empty());
    for moved in &found.results {
        assert_eq!(moved.because, ["engine.torque_limit"], "{}", moved.name);
        let margin = moved.name.ends_with("margin to torque limit");
        assert!(margin || moved.name.contains("most power"), "{}", moved.name);
    }
    // Every torque margin of every point that exists has moved, and both powers that this limit stops.
    let value: Value = serde_json::from_str(demo()).unwrap();
    let entries = || value["results"].as_array().unwrap().iter();
    let points =
        entries().flat_map(|entry| entry["points"].as_array().unwrap()).filter(|p| p["margins"].is_array());
    let names: BTreeSet<&str> = found.results.iter().map(|moved| moved.name.as_str()).collect();
    let margins = names.iter().filter(|name| name.ends_with("margin to torque limit")).count();
    assert_eq!(margins, points.count());
    let stopped = entries()
        .filter(|entry| entry["most_power"]["stopped_by"]["limit"] == "torque limit")
        .map(|entry| {
            let text = |key: &str| entry[key].as_str().unwrap();
            format!("{}, {}, on {}: most power", text("candidate"), text("housing"), text("fuel"))
        })
        .collect::<Vec<_>>();
    assert!(!stopped.is_empty());
    for name in &stopped {
        assert!(names.contains(name.as_str()), "{name}");
    }
    // What rests on it and stood still is what only its side of a band might have moved.
    assert!(found.unmoved.iter().all(|name| name.contains("most power") || name.contains("reaches target")));
}

#[test]
fn a_default_that_is_replaced_and_another_map_are_named() {
    let first = saved("map-a.json", demo());
    let mut files = Study::demo().unwrap().files;
    files[0].text = files[0].text.replace("speed_limit = {", "work_factor = 0.66\nspeed_limit = {");
    let map = files.iter_mut().find(|file| file.name == "map-b.csv").unwrap();
    let row = "70000,0.0450,1.3100,0.610";
    assert!(map.text.contains(row));
    map.text = map.text.replace(row, "70000,0.0450,1.3100,0.611");
    let second = report::json(&Study::from_texts(&files).unwrap().size().unwrap());
    let found = diff(&first, &saved("map-b.json", &second)).unwrap();
    let names: Vec<&str> = found.inputs.iter().map(|[name, ..]| name.as_str()).collect();
    assert_eq!(names, ["default of engine.work_factor", "engine.work_factor", "file map-b.csv"]);
    assert_eq!(found.assumptions.len(), 1, "{:?}", found.assumptions);
    assert!(found.assumptions[0].contains("no longer assumed"), "{:?}", found.assumptions);
    for moved in &found.results {
        assert!(!moved.because.is_empty(), "{}", moved.name);
        let on_b = moved.because.iter().any(|name| name == "file map-b.csv");
        assert!(!on_b || moved.name.starts_with("B,"), "{}: {:?}", moved.name, moved.because);
    }
}
