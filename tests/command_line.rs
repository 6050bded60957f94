//! The command: what it prints, what it writes, and what it leaves alone.
#![cfg(feature = "cli")]

#[path = "support/markup.rs"]
mod markup;

use markup::parse;
use serde_json::Value;
use shaftwork::compressor::LinePoint;
use shaftwork::prelude::*;
use shaftwork::report;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;

fn shaftwork() -> Command {
    Command::new(env!("CARGO_BIN_EXE_shaftwork"))
}
fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}
fn plain() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/bad/plain.toml")
}

/// An empty folder for one case.
fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("command_line").join(name);
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).unwrap();
    path
}

/// Every file of a folder with its content.
fn contents(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap());
    let mut all: Vec<_> = entries
        .map(|entry| (entry.file_name().into_string().unwrap(), fs::read(entry.path()).unwrap_or_default()))
        .collect();
    all.sort();
    all
}
fn names(folder: &Path) -> Vec<String> {
    contents(folder).into_iter().map(|(name, _)| name).collect()
}

/// Sizes the plain study into a folder.
fn size_into(folder: &Path) -> Output {
    shaftwork().arg("size").arg(plain()).arg("--out").arg(folder).output().unwrap()
}

/// The files of the plain study: one wheel read in two ways, one map; for each the map with its powers, and with its lines.
/// The maps of the wheel are tables too.
const FIGURES: [&str; 8] = [
    "line-a-inducer-46-4-mm.svg",
    "line-a-inducer-48-2-mm.svg",
    "line-c.svg",
    "map-a-inducer-46-4-mm.csv",
    "map-a-inducer-46-4-mm.svg",
    "map-a-inducer-48-2-mm.csv",
    "map-a-inducer-48-2-mm.svg",
    "map-c.svg",
];
const TEXTS: [&str; 3] = ["report.html", "results.json", "sizing.txt"];

/// The demonstration, sized once into a folder, with what was printed.
fn demo() -> &'static (PathBuf, String) {
    static DEMO: OnceLock<(PathBuf, String)> = OnceLock::new();
    DEMO.get_or_init(|| {
        let folder = folder("demo");
        let run = shaftwork().args(["size", "--out"]).arg(&folder).output().unwrap();
        assert!(run.status.success() && run.stderr.is_empty(), "{}", text(&run.stderr));
        (folder, text(&run.stdout))
    })
}
#[test]
fn without_arguments_it_sizes_the_demonstration() {
    let expected = report::text(&Study::demo().unwrap().size().unwrap());
    let run = shaftwork().output().unwrap();
    assert!(run.status.success() && run.stderr.is_empty());
    assert_eq!(text(&run.stdout), expected);
    assert!(expected.contains("invented demonstration"));
    let (folder, printed) = demo();
    assert!(printed.starts_with(&expected));
    assert_eq!(fs::read_to_string(folder.join("sizing.txt")).unwrap(), expected);
    assert_eq!(printed[expected.len()..].matches("written: ").count(), 13);
}

#[test]
fn the_files_of_the_demonstration() {
    let of = ["a-inducer-46-4-mm", "a-inducer-48-2-mm", "b", "c"];
    let [lines, maps] = ["line", "map"].map(|kind| of.map(|name| format!("{kind}-{name}.svg")));
    let others = ["report.html", "results.json", "sizing.txt"];
    let tables = ["a-inducer-46-4-mm", "a-inducer-48-2-mm"].map(|name| format!("map-{name}.csv"));
    let all = lines.into_iter().chain(maps).chain(tables).chain(others.map(String::from));
    let mut all: Vec<String> = all.collect();
    all.sort();
    assert_eq!(names(&demo().0), all);
    let results: Value = serde_json::from_slice(&fs::read(demo().0.join("results.json")).unwrap()).unwrap();
    assert_eq!(results["schema"], "shaftwork-results/7");
    for figure in all.iter().filter(|name| name.ends_with(".svg")) {
        assert_eq!(parse(&fs::read_to_string(demo().0.join(figure)).unwrap()).name, "svg");
    }
    let page = fs::read_to_string(demo().0.join("report.html")).unwrap();
    assert_eq!(page, report::html(&Study::demo().unwrap().size().unwrap()));
}

/// What was estimated can be named by another study: the table gives the same map.
#[test]
fn an_estimated_map_is_written_as_a_table_that_can_be_read() {
    let sizing = Study::demo().unwrap().size().unwrap();
    let estimated = sizing.study.candidates[0].map();
    let read = CompressorMap::from_csv(demo().0.join("map-a-inducer-46-4-mm.csv")).unwrap();
    assert!(read.provenance().contains("estimated from geometry"), "{}", read.provenance());
    assert!(read.points().count() >= 8);
    for ((speed, points), (same, others)) in read.points().zip(estimated.points()) {
        assert!((speed.si() / same.si() - 1.0).abs() < 1e-12);
        assert_eq!(points.len(), others.len());
        for (a, b) in points.iter().zip(&others) {
            let values = |p: &LinePoint| [p.flow.si(), p.ratio.si(), p.efficiency.si()];
            assert!(values(a).iter().zip(values(b)).all(|(a, b)| (a / b - 1.0).abs() < 1e-12));
        }
    }
}

/// A map of the user's own in the folder, under the name of one of ours, stays.
#[test]
fn a_map_of_the_users_own_is_not_replaced() {
    let folder = folder("own-map");
    let own = "# shaftwork-map: 1\n# title: mine\n";
    fs::write(folder.join("map-a-inducer-46-4-mm.csv"), own).unwrap();
    refuses(&folder, "map-a-inducer-46-4-mm.csv exists and was not written by shaftwork");
    assert_eq!(fs::read_to_string(folder.join("map-a-inducer-46-4-mm.csv")).unwrap(), own);
}

#[test]
fn foreign_files_stay_as_they_are() {
    let folder = folder("foreign");
    fs::write(folder.join("notes.txt"), "mine").unwrap();
    assert!(size_into(&folder).status.success());
    assert_eq!(names(&folder), [&FIGURES[..], &["notes.txt"], &TEXTS].concat());
    assert_eq!(fs::read(folder.join("notes.txt")).unwrap(), b"mine");
    // Its own files are replaced.
    let first = contents(&folder);
    assert!(size_into(&folder).status.success());
    assert_eq!(contents(&folder), first);
    for name in ["report.html", "results.json", "sizing.txt", "map-c.svg"] {
        fs::write(folder.join(name), "{\"mine\": true}").unwrap();
        refuses(&folder, &format!("{name} exists and was not written by shaftwork; name another folder"));
        fs::remove_file(folder.join(name)).unwrap();
        fs::create_dir(folder.join(name)).unwrap();
        refuses(&folder, "exists and was not written by shaftwork");
        fs::remove_dir(folder.join(name)).unwrap();
    }
}

/// Who has an old file open, or linked, keeps it whole: a new one takes its name and is not written over it.
#[test]
fn a_file_is_replaced_and_not_written_over() {
    let folder = folder("replaced");
    let name = folder.join("report.html");
    let old = "<!DOCTYPE html>\n<!-- shaftwork -->\nof another day";
    fs::write(&name, old).unwrap();
    fs::hard_link(&name, folder.join("kept")).unwrap();
    assert!(size_into(&folder).status.success());
    assert_eq!(fs::read_to_string(folder.join("kept")).unwrap(), old);
    assert!(fs::read_to_string(&name).unwrap().ends_with("</html>\n"));
    assert_eq!(names(&folder), [&["kept"], &FIGURES[..], &TEXTS].concat());
}

/// The command fails with these words and changes nothing in the folder.
#[track_caller]
fn refuses(folder: &Path, words: &str) {
    let before = contents(folder);
    let run = size_into(folder);
    assert_eq!(run.status.code(), Some(1));
    assert!(text(&run.stderr).contains(words), "{}", text(&run.stderr));
    assert_eq!(contents(folder), before);
}

#[test]
fn a_foreign_file_that_mentions_the_program() {
    let folder = folder("mentions");
    fs::write(folder.join("sizing.txt"), "My notes on what shaftwork says.\n").unwrap();
    refuses(&folder, "exists and was not written by shaftwork");
    fs::remove_file(folder.join("sizing.txt")).unwrap();
    let page = "<!DOCTYPE html>\n<title>What shaftwork said</title><!-- shaftwork -->\n";
    fs::write(folder.join("report.html"), page).unwrap();
    refuses(&folder, "report.html exists and was not written by shaftwork");
}

#[test]
fn an_output_that_is_no_folder() {
    let folder = folder("no-folder");
    fs::write(folder.join("file"), "mine").unwrap();
    for (out, why) in [("file", "is a file; --out names a folder"), ("file/below", "cannot be written: ")] {
        let run = size_into(&folder.join(out));
        assert_eq!(run.status.code(), Some(1));
        let told = text(&run.stderr);
        assert!(told.contains(&format!("{out} {why}")) && !told.contains("panicked"), "{told}");
        assert_eq!(contents(&folder), [("file".to_string(), b"mine".to_vec())]);
    }
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder("locked");
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o555)).unwrap();
    // An account that may write everywhere meets no refusal.
    if fs::write(folder.join("probe"), "").is_err() {
        refuses(&folder, "cannot be written");
        assert!(names(&folder).is_empty());
    }
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn any_name_gives_a_file_of_its_own() {
    let folder = folder("names");
    let given = fs::read_to_string(plain()).unwrap();
    let (head, unit) = given.split_once("[[candidate]]").unwrap();
    let unit = format!("[[candidate]]{}", unit.split("[[candidate]]").next().unwrap());
    let unusual = [
        "../../up/down",
        "a\\\\b",
        "a\\\"b'",
        "<script>alert(1)</script>",
        "&amp; \u{b7}",
        "same",
        "Same",
        "same-2",
        ".",
        "\u{65e5}\u{672c}",
        "\u{dc}bergr\u{f6}\u{df}e",
    ];
    let units = unusual.map(|name| unit.replace("\"C\"", &format!("\"{name}\"")));
    fs::write(folder.join("study.toml"), head.to_string() + &units.concat()).unwrap();
    fs::copy(plain().with_file_name("plain.csv"), folder.join("plain.csv")).unwrap();
    let out = folder.join("out");
    let run = shaftwork().arg("size").arg(folder.join("study.toml")).arg("--out").arg(&out).output().unwrap();
    assert!(run.status.success(), "{}", text(&run.stderr));
    assert_eq!(names(&folder), ["out", "plain.csv", "study.toml"]);
    let figures: Vec<String> = names(&out).into_iter().filter(|name| name.ends_with(".svg")).collect();
    assert_eq!(figures.len(), 2 * unusual.len());
    let safe = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    for figure in &figures {
        let stem = ["map-", "line-"].iter().find_map(|kind| figure.strip_prefix(kind)).unwrap();
        let stem = stem.strip_suffix(".svg").unwrap();
        assert!(!stem.is_empty() && stem.chars().all(safe), "{figure}");
        let svg = fs::read_to_string(out.join(figure)).unwrap();
        assert!(!svg.contains("<script"), "{figure}");
        assert_eq!(parse(&svg).name, "svg");
    }
    let script = figures.iter().find(|name| name.contains("script")).unwrap();
    assert!(fs::read_to_string(out.join(script)).unwrap().contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
    let results: Value = serde_json::from_slice(&fs::read(out.join("results.json")).unwrap()).unwrap();
    assert_eq!(results["results"][3]["candidate"], "<script>alert(1)</script>");
}

#[test]
fn help_version_and_wrong_arguments() {
    let run = |arguments: &[&str]| shaftwork().args(arguments).output().unwrap();
    let help = run(&["--help"]);
    assert!(help.status.success() && text(&help.stdout).contains("size"));
    let help = text(&run(&["size", "--help"]).stdout);
    assert!(["STUDY", "--out", "demonstration"].iter().all(|words| help.contains(words)), "{help}");
    let version = run(&["--version"]);
    assert_eq!(text(&version.stdout), format!("shaftwork {}\n", env!("CARGO_PKG_VERSION")));
    for wrong in [&["seize"][..], &["size", "--folder", "x"], &["size", "a", "b"], &["size", "--out"]] {
        let run = run(wrong);
        assert_eq!(run.status.code(), Some(2), "{wrong:?}");
        assert!(run.stdout.is_empty() && !run.stderr.is_empty(), "{wrong:?}");
    }
}

/// Runs with a reader that has gone before anything is printed.
fn unread(out: Option<&Path>) -> Output {
    let mut command = shaftwork();
    command.arg("size").arg(plain()).stdout(Stdio::piped()).stderr(Stdio::piped());
    if let Some(out) = out {
        command.arg("--out").arg(out);
    }
    let mut child = command.spawn().unwrap();
    drop(child.stdout.take());
    child.wait_with_output().unwrap()
}

#[test]
fn a_reader_that_has_gone_is_no_panic() {
    let run = unread(None);
    assert!(run.status.success() && run.stderr.is_empty(), "{}", text(&run.stderr));
}

#[test]
fn a_reader_that_has_gone_does_not_cost_the_files() {
    let folder = folder("unread");
    assert!(unread(Some(&folder)).status.success());
    assert_eq!(names(&folder), [&FIGURES[..], &TEXTS].concat());
}
