//! Wrong files: each fault is named with its file, its line and what to do, and nothing is written.
#![cfg(feature = "cli")]

use shaftwork::prelude::*;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A file of the repository.
fn ours(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}
fn fixture(name: &str) -> PathBuf {
    ours("tests/fixtures/bad").join(name)
}
fn text(path: PathBuf) -> String {
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// An empty folder for one case.
fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("bad_input").join(name.replace(' ', "-"));
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).unwrap();
    path
}

/// A folder with the plain study, whose map is this file.
fn with_map(name: &str, map: impl AsRef<[u8]>) -> PathBuf {
    let folder = folder(name);
    fs::write(folder.join("plain.csv"), map).unwrap();
    fs::copy(fixture("plain.toml"), folder.join("study.toml")).unwrap();
    folder.join("study.toml")
}
/// A folder with the plain map and this study.
fn with_study(name: &str, study: impl AsRef<[u8]>) -> PathBuf {
    let folder = folder(name);
    fs::copy(fixture("plain.csv"), folder.join("plain.csv")).unwrap();
    fs::copy(ours("data/demo/printed-lines.csv"), folder.join("lines.csv")).unwrap();
    fs::write(folder.join("study.toml"), study).unwrap();
    folder.join("study.toml")
}

/// Where a message must stand.
enum At {
    Line(usize),
    File,
    Anywhere,
}

/// The library refuses the study with such a message, and so does the command, which writes nothing.
fn refused(study: &Path, at: At, says: &[String]) -> Result<(), String> {
    let Err(problems) = Study::from_file(study) else { return Err("is accepted".into()) };
    let fits = problems.iter().any(|problem| {
        let shown = problem.to_string();
        let place = match at {
            At::Line(line) => {
                problem.line == Some(line) && shown.contains(&format!("{}, line {line}", problem.file))
            }
            At::File => problem.line.is_none() && shown.starts_with(&problem.file),
            At::Anywhere => true,
        };
        place && says.iter().all(|words| shown.contains(words))
    });
    if !fits {
        return Err(format!("no message says {says:?} at its place in\n{problems}"));
    }
    let out = study.with_file_name("out");
    let run = Command::new(env!("CARGO_BIN_EXE_shaftwork"));
    let run = { run }.arg("size").arg(study).arg("--out").arg(&out).output().unwrap();
    let told = String::from_utf8_lossy(&run.stderr);
    if run.status.code() != Some(1)
        || !run.stdout.is_empty()
        || !says.iter().all(|words| told.contains(words))
    {
        return Err(format!("the command ends with {}, out {:?}, err {told}", run.status, run.stdout));
    }
    if out.exists() { Err("something is written".into()) } else { Ok(()) }
}

fn all_hold(results: impl Iterator<Item = (String, Result<(), String>)>) {
    let (mut count, mut failures) = (0, Vec::new());
    for (name, result) in results {
        count += 1;
        failures.extend(result.err().map(|error| format!("{name}: {error}")));
    }
    assert!(count > 0 && failures.is_empty(), "{} of {count}:\n{}", failures.len(), failures.join("\n"));
}

fn cases(file: &str, list: &str) -> Vec<toml::Table> {
    let table: toml::Table = text(fixture(file)).parse().unwrap();
    table[list].as_array().unwrap().iter().map(|case| case.as_table().unwrap().clone()).collect()
}
fn says(case: &toml::Table) -> Vec<String> {
    case["says"].as_array().unwrap().iter().map(|words| words.as_str().unwrap().to_string()).collect()
}

/// Every file of `maps.toml` under this heading.
fn maps(list: &str) {
    all_hold(cases("maps.toml", list).iter().map(|case| {
        let file = case["file"].as_str().unwrap();
        let study = with_map(&format!("{list}-{file}"), fs::read(fixture("maps").join(file)).unwrap());
        let at = match case.get("line").and_then(toml::Value::as_integer) {
            Some(line) => At::Line(line.try_into().unwrap()),
            None if list == "header" => At::Anywhere,
            None => At::File,
        };
        (file.to_string(), refused(&study, at, &says(case)))
    }));
}

/// Every edit of `studies.toml` under this heading.
fn studies(list: &str) {
    let plain = text(fixture("plain.toml"));
    all_hold(cases("studies.toml", list).iter().map(|case| {
        let get = |key: &str| case.get(key).map(|value| value.as_str().unwrap());
        let (name, replace, by) = (get("name").unwrap(), get("replace").unwrap(), get("by").unwrap());
        assert_eq!(plain.matches(replace).count(), 1, "{name}: replaces something that stands once");
        let spoilt = plain.replace(replace, by);
        let start = spoilt.find(get("at").unwrap_or(by)).unwrap_or_else(|| panic!("{name}: no place"));
        let line = spoilt[..start].matches('\n').count() + 1;
        let at = match (case.contains_key("whole"), case.contains_key("anywhere")) {
            (true, _) => At::File,
            (_, true) => At::Anywhere,
            _ => At::Line(line),
        };
        (name.to_string(), refused(&with_study(&format!("{list}-{name}"), &spoilt), at, &says(case)))
    }));
}

#[test]
fn the_plain_study_is_sound() {
    let study = Study::from_file(fixture("plain.toml")).unwrap();
    assert_eq!(study.candidates.len(), 3); // one wheel is read in two ways
    CompressorMap::from_csv(fixture("maps/sound.csv")).unwrap();
}

#[test]
fn wrong_maps_are_refused_with_what_to_do() {
    maps("case");
    maps("header");
}

#[test]
fn wrong_studies_are_refused_with_what_to_do() {
    studies("case");
}

// Property: a byte-order mark and carriage returns are not part of the data.
#[test]
fn line_ends_and_byte_order_mark_do_not_matter() {
    let dressed = |text: String| format!("\u{feff}{}", text.replace('\n', "\r\n"));
    let study = with_map("dressed", text(fixture("plain.csv")));
    // The texts themselves are kept as they are.
    let read = || Study { files: Vec::new(), ..Study::from_file(&study).unwrap() };
    let plain = read();
    fs::write(study.with_file_name("plain.csv"), dressed(text(fixture("plain.csv")))).unwrap();
    assert_eq!(read(), plain);
    fs::write(&study, dressed(text(fixture("plain.toml")))).unwrap();
    assert_eq!(read(), plain);
}

// A map in pounds per hour where pounds per minute were meant: 56.48 lb/h are 0.007116 kg/s, 56.48 lb/s 25.62 kg/s.
#[test]
fn flows_that_cannot_belong_to_the_engine() {
    let map = text(ours("data/demo/map-c.csv"));
    for (unit, flow) in [("lb/h", "0.007116"), ("lb/s", "25.62")] {
        let study = with_map(&unit.replace('/', "-per-"), map.replace("lb/min", unit));
        let words = [format!("candidate C ends at {flow} kg/s"), "check the unit of its flow column".into()];
        refused(&study, At::Anywhere, &words).unwrap();
    }
    Study::from_file(with_map("lb-per-min", map)).unwrap();
}

#[test]
fn what_is_no_file_or_far_too_large() {
    let mut results = Vec::new();
    let mut see = |name: &str, study: PathBuf, at, words: &str| {
        results.push((name.to_string(), refused(&study, at, &[words.to_string()])));
    };
    see("folder", folder("folder"), At::File, "is a folder; name a file");
    see("missing", folder("missing").join("study.toml"), At::File, "cannot be opened");
    see("empty", with_study("empty", ""), At::File, "is empty");
    see(
        "only comments",
        with_study("only comments", "# nothing\n"),
        At::File,
        "the table [engine] is missing",
    );
    see("text", with_study("text", "Dear reader\n"), At::Line(1), "is not TOML here");
    see("byte", with_study("byte", b"schema = 1\ntitle = \"\xb5\"\n"), At::Line(2), "is not UTF-8");
    let long = "a".repeat(20_000_000);
    see("long study", with_study("long study", &long), At::File, "has 20 MB; at most 2 MB are read");
    see("long map", with_map("long map", &long), At::File, "has 20 MB; at most 8 MB are read");
    let candidates = text(fixture("plain.toml")).split("[[candidate]]").next().unwrap().to_string();
    see("no candidate", with_study("no candidate", &candidates), At::File, "no [[candidate]]; at least one");
    let listed = format!("candidate = []\n{candidates}");
    see("empty list", with_study("empty list", listed), At::File, "no [[candidate]]; at least one");
    all_hold(results.into_iter());
}

// One line just below the limit: the message quotes no more of it than is needed.
#[test]
fn a_long_line_does_not_make_a_long_message() {
    let problems = Study::from_file(with_map("line", "a".repeat(7_900_000))).unwrap_err();
    assert!(problems.to_string().len() < 2000);
    let study = format!("title = 1\n{} = 1\n", "a".repeat(1_900_000));
    let problems = Study::from_file(with_study("key", study)).unwrap_err();
    assert!(problems.to_string().len() < 4000);
}

// Every fault of the study, in the order of its lines, then those of its map.
#[test]
fn all_problems_are_reported_at_once() {
    let edits = [
        ("power = \"230 kW\"", "power = 230", "target.power"),
        ("altitude = \"1150 m\"", "altitude = \"1150 kg\"", "site.altitude"),
        ("stroke = \"84 mm\"", "strock = \"84 mm\"", "engine.strock"),
        ("compression_ratio = 9.2", "compression_ratio = 1", "engine.compression_ratio"),
        ("effectiveness = 0.75", "effectiveness = 75", "cooler.effectiveness"),
        ("lambda = 0.85", "lambda = 3", "fuel[1].lambda"),
        ("wheel = \"60 mm\"", "wheel = \"60,0 mm\"", "candidate[2].turbine[1].wheel"),
    ];
    let spoilt = edits.iter().fold(text(fixture("plain.toml")), |text, (from, to, _)| text.replace(from, to));
    let study = with_study("several", &spoilt);
    fs::copy(fixture("maps/nan.csv"), study.with_file_name("plain.csv")).unwrap();
    let problems = Study::from_file(&study).unwrap_err();
    let found: Vec<_> = problems.iter().map(|p| (p.file.ends_with(".csv"), p.line)).collect();
    assert!(found.is_sorted(), "{problems}");
    assert_eq!(found.last(), Some(&(true, Some(7))));
    for (_, to, key) in edits {
        let line = spoilt.lines().position(|line| line == to).unwrap() + 1;
        let at = Some(format!("key \"{key}\""));
        assert!(
            problems.iter().any(|p| p.line == Some(line) && p.at == at),
            "{key} in line {line}:\n{problems}"
        );
    }
}
