//! What stops each candidate and what would help, where it is asked for: in the text, on the page and in the results.
#![cfg(feature = "cli")]

#[path = "support/markup.rs"]
mod markup;

use markup::{Element, parse};
use serde_json::Value;
use shaftwork::report;
use shaftwork::study::{Cures, Sizing, SourceFile, Study};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

const HOUSINGS: &str = "[[candidate]]
name = '<i>C</i> & \"co\"'
map = \"plain.csv\"

[[candidate.turbine]]
name = \"small\"
effective_area = \"700 mm2\"

[[candidate.turbine]]
name = \"large\"
effective_area = \"820 mm2\"
";

/// A study of one candidate with two housings on two fuels, whose names want to be markup.
fn files(torque: &str) -> Vec<SourceFile> {
    let bad = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/bad");
    let read = |name: &str| fs::read_to_string(bad.join(name)).unwrap();
    let plain = read("plain.toml").replace("390 N m", torque);
    let (head, _) = plain.split_once("[[candidate]]").unwrap();
    let fuel = head[head.find("[[fuel]]").unwrap()..].replace("ethanol blend", "<b>blend</b>");
    let study = head.to_string() + &fuel.replace("190 kPa gauge", "90 kPa gauge") + HOUSINGS;
    vec![
        SourceFile { name: "study.toml".into(), text: study },
        SourceFile { name: "plain.csv".into(), text: read("plain.csv") },
    ]
}
fn sized(torque: &str) -> Sizing {
    Study::from_texts(&files(torque)).unwrap().size().unwrap()
}
fn cured() -> &'static Sizing {
    static CURED: OnceLock<Sizing> = OnceLock::new();
    CURED.get_or_init(|| sized("390 N m").with_cures().unwrap())
}
fn found() -> &'static [Cures] {
    cured().cures.as_deref().unwrap()
}
fn results() -> Value {
    serde_json::from_str(&report::json(cured())).unwrap()
}
fn saved(name: &str, text: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("report_cures");
    fs::create_dir_all(&folder).unwrap();
    let file = folder.join(name);
    fs::write(&file, text).unwrap();
    file
}

/// What stands between the head of this part of the page and the next.
fn part(page: &str) -> Element {
    let (_, rest) = page.split_once("<h2 id=\"cures\">").expect("the part is there");
    let (part, _) = rest.split_once("<h2 ").unwrap();
    parse(&format!("<div><h2>{part}</div>"))
}

#[test]
fn nothing_is_said_unasked() {
    let plain = sized("390 N m");
    let page = report::html(&plain);
    assert!(!page.contains("id=\"cures\"") && !page.contains("#cures"));
    assert!(!report::text(&plain).contains("WHAT WOULD HELP"));
    let results: Value = serde_json::from_str(&report::json(&plain)).unwrap();
    assert!(results["results"].as_array().unwrap().iter().all(|entry| entry["cures"].is_null()));
}

#[test]
fn the_page_has_two_tables_for_each() {
    let page = report::html(cured());
    assert!(page.contains("<a href=\"#cures\">"));
    let part = part(&page);
    let tables = part.named("table");
    assert_eq!(tables.len(), 2 * cured().entries.len());
    for (cures, pair) in found().iter().zip(tables.chunks(2)) {
        let rows = |table: &Element| table.named("tr").len() - 1;
        assert_eq!([rows(pair[0]), rows(pair[1])], [cures.met.len(), cures.remedies.len()]);
        assert!(cures.met.len() > 3 && cures.remedies.len() > 7);
        let first = &cures.met[0];
        let cells: Vec<String> = pair[0].named("tr")[1].named("td").iter().map(|cell| cell.text()).collect();
        assert_eq!(cells[0], first.limit.words());
        assert_eq!(cells[1], format!("{:.0}\u{a0}kW", first.power.kw()));
        // What ends in a unit stands to the right, with its head.
        for cell in pair.iter().flat_map(|table| table.named("td")) {
            let number =
                [" kW", " rpm"].iter().any(|unit| cell.text().replace('\u{a0}', " ").ends_with(unit));
            assert!(!number || cell.attribute("class") == Some("right"), "{}", cell.text());
        }
        let right = |row: &Element, tag: &str| {
            row.named(tag).iter().map(|cell| cell.attribute("class") == Some("right")).collect::<Vec<_>>()
        };
        for table in pair {
            let rows = table.named("tr");
            assert!(rows[1..].iter().all(|row| right(row, "td") == right(rows[0], "th")));
        }
    }
}

#[test]
fn names_stay_text_on_the_page() {
    let part = part(&report::html(cured()));
    assert!(part.named("i").is_empty() && part.named("b").is_empty());
    let heads: Vec<String> = part.named("h3").iter().map(|head| head.text()).collect();
    assert!(heads[0].contains("<i>C</i> & \"co\""), "{}", heads[0]);
    // The other fuel is among the changes, under its own name.
    assert!(part.named("td").iter().any(|cell| cell.text() == "fuel <b>blend</b>"));
    assert!(report::text(cured()).contains("fuel <b>blend</b>"));
}

/// A number of the results is the one found, but for the last digit that a reader of JSON may drop.
#[track_caller]
fn same(told: &Value, found: Option<f64>) {
    match (told["value"].as_f64(), found) {
        (Some(told), Some(found)) => assert!((told - found).abs() <= 1e-14 * found.abs(), "{told} {found}"),
        (told, found) => assert_eq!(told, found),
    }
}

#[test]
fn the_results_hold_what_was_found() {
    let results = results();
    assert_eq!(results["schema"], "shaftwork-results/7");
    let entries = results["results"].as_array().unwrap();
    assert_eq!(entries.len(), found().len());
    for (entry, cures) in entries.iter().zip(found()) {
        let block = &entry["cures"];
        let list = |key: &str| block[key].as_array().unwrap();
        assert_eq!([list("limits").len(), list("changes").len()], [cures.met.len(), cures.remedies.len()]);
        for (told, met) in list("limits").iter().zip(&cures.met) {
            assert_eq!(told["limit"], met.limit.words());
            same(&told["power"], Some(met.power.si()));
            assert_eq!(told["power"]["unit"], "W");
            same(&told["engine_speed"], Some(met.speed.si()));
            assert_eq!(told["beyond_map"], met.beyond_map);
        }
        for (told, remedy) in list("changes").iter().zip(&cures.remedies) {
            assert_eq!(told["change"].as_str().unwrap(), remedy.what);
            same(&told["power"], remedy.power.map(|power| power.si()));
            assert_eq!(told["stopped_by"].as_str(), remedy.stop.map(|limit| limit.words()));
            same(&told["gain"], remedy.power.map(|_| remedy.gain.si()));
        }
        // The car as it is stands first and is the one that the verdict speaks of, found by another search.
        let (here, verdict) = (&list("changes")[0], &entry["most_power"]["power"]["value"]);
        let apart = here["power"]["value"].as_f64().unwrap() / verdict.as_f64().unwrap() - 1.0;
        assert!(apart.abs() < 1e-3, "{apart}");
    }
}

#[test]
fn it_is_computed_again_and_a_number_changed_by_hand_is_named() {
    let untouched = report::recheck(&saved("untouched.json", &report::json(cured()))).unwrap();
    assert!(untouched.differ.is_empty(), "{untouched}");
    let without = report::recheck(&saved("without.json", &report::json(&sized("390 N m")))).unwrap();
    assert!(without.differ.is_empty() && without.agree + 50 < untouched.agree, "{without}");
    let mut value = results();
    let power = &mut value["results"][1]["cures"]["changes"][2]["power"]["value"];
    *power = (power.as_f64().unwrap() * 1.001).into();
    let found = report::recheck(&saved("by-hand.json", &value.to_string())).unwrap();
    assert_eq!(found.differ.len(), 1, "{found}");
    let name = &found.differ[0][0];
    assert!(name.contains(": with ") && name.ends_with(", most power"), "{name}");
}

/// The torque limit moves the power at which it is met, in every entry, and says so.
#[test]
fn two_results_side_by_side() {
    let first = saved("first.json", &report::json(cured()));
    let second = saved("second.json", &report::json(&sized("391 N m").with_cures().unwrap()));
    let found = report::diff(&first, &second).unwrap();
    let met: Vec<_> =
        found.results.iter().filter(|moved| moved.name.ends_with("torque limit, met at")).collect();
    assert_eq!(met.len(), cured().entries.len(), "{found}");
    for moved in found.results.iter().filter(|moved| moved.name.contains(": limit ")) {
        assert_eq!(moved.because, ["engine.torque_limit"], "{}", moved.name);
        assert!(moved.name.contains(": limit torque limit"), "{}", moved.name);
    }
    // Where only one of two was asked for it, nothing has moved.
    let without = saved("one.json", &report::json(&sized("390 N m")));
    let found = report::diff(&first, &without).unwrap();
    assert!(found.results.is_empty() && found.inputs.is_empty(), "{found}");
}

#[test]
fn the_command_says_it_in_every_file() {
    let study = saved("study.toml", &files("390 N m")[0].text);
    saved("plain.csv", &files("390 N m")[1].text);
    let out = study.with_file_name("out");
    let _ = fs::remove_dir_all(&out);
    let mut command = Command::new(env!("CARGO_BIN_EXE_shaftwork"));
    let run = command.arg("size").arg(&study).arg("--remedies").arg("--out").arg(&out).output().unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let printed = String::from_utf8(run.stdout).unwrap();
    let text = fs::read_to_string(out.join("sizing.txt")).unwrap();
    assert!(printed.starts_with(&text) && text.contains("WHAT STOPS IT, AND WHAT WOULD HELP"));
    assert!(fs::read_to_string(out.join("report.html")).unwrap().contains("<h2 id=\"cures\">"));
    let results: Value =
        serde_json::from_str(&fs::read_to_string(out.join("results.json")).unwrap()).unwrap();
    assert!(results["results"][0]["cures"]["changes"].is_array());
}
