//! The command line of a review: complete inputs, worksheets, recheck and diff.
#![cfg(feature = "cli")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

fn shaftwork(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shaftwork")).args(arguments).output().unwrap()
}

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("command-review").join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// The demonstration with its worksheets, written once.
fn demo() -> &'static PathBuf {
    static DEMO: OnceLock<PathBuf> = OnceLock::new();
    DEMO.get_or_init(|| {
        let folder = folder("demo");
        let run = shaftwork(&["size", "--complete", "--worksheets", "--out", folder.to_str().unwrap()]);
        assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
        folder
    })
}

#[test]
fn the_demonstration_is_complete_and_its_worksheets_are_written() {
    let sheets: Vec<String> = fs::read_dir(demo().join("worksheets"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    let of = |end: &str| sheets.iter().filter(|name| name.ends_with(end)).count();
    // Ten combinations at the most power, and at the target where there is a point: not of A as estimated.
    assert_eq!((of(".py"), of(".csv")), (16, 16));
    assert_eq!(sheets.len(), 32);
    // Written over its own files, not over another's.
    let again = shaftwork(&["size", "--worksheets", "--out", demo().to_str().unwrap()]);
    assert!(again.status.success());
}

#[test]
fn a_foreign_worksheet_is_never_replaced() {
    let folder = folder("foreign");
    let out = folder.to_str().unwrap();
    let name = fs::read_dir(demo().join("worksheets")).unwrap().next().unwrap().unwrap().file_name();
    fs::create_dir_all(folder.join("worksheets")).unwrap();
    fs::write(folder.join("worksheets").join(&name), "mine").unwrap();
    let run = shaftwork(&["size", "--worksheets", "--out", out]);
    assert!(!run.status.success());
    assert!(String::from_utf8_lossy(&run.stderr).contains("was not written by shaftwork"));
    assert_eq!(fs::read_to_string(folder.join("worksheets").join(&name)).unwrap(), "mine");
}

#[test]
fn an_input_without_source_or_grade_is_refused_when_asked() {
    let demo = shaftwork_demo();
    let bare = demo.replace(
        "bore = { value = \"84 mm\", source = \"bore gauge at the last rebuild\", grade = \"measured\" }",
        "bore = \"84 mm\"",
    );
    assert_ne!(bare, demo);
    let folder = folder("bare");
    for map in ["map-b.csv", "map-c.csv"] {
        fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("data/demo").join(map), folder.join(map))
            .unwrap();
    }
    let study = folder.join("study.toml");
    fs::write(&study, bare).unwrap();
    let refused = shaftwork(&["size", "--complete", study.to_str().unwrap()]);
    assert!(!refused.status.success());
    let says = String::from_utf8_lossy(&refused.stderr).into_owned();
    for words in ["study.toml, line 25", "key \"engine.bore\"", "source = \"...\"", "common practice"] {
        assert!(says.contains(words), "{words} is missing in {says}");
    }
    // Without the flag it is sized, and the input is named.
    let sized = shaftwork(&["size", study.to_str().unwrap()]);
    assert!(sized.status.success());
    assert!(String::from_utf8_lossy(&sized.stdout).contains("not vouched for: engine.bore"));
}

fn shaftwork_demo() -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("data/demo/hill-climb.toml")).unwrap()
}

#[test]
fn a_result_is_computed_again_and_a_changed_one_is_named_by_the_exit_code() {
    let results = demo().join("results.json");
    let same = shaftwork(&["recheck", results.to_str().unwrap()]);
    assert!(same.status.success());
    assert!(String::from_utf8_lossy(&same.stdout).contains(" results agree within 1e-9, 0 differ"));
    let text = fs::read_to_string(&results).unwrap();
    let folder = folder("changed");
    let file = folder.join("results.json");
    let mut value: serde_json::Value = serde_json::from_str(&text).unwrap();
    value["results"][0]["most_power"]["high"]["value"] = serde_json::json!(1.0);
    fs::write(&file, value.to_string()).unwrap();
    let differs = shaftwork(&["recheck", file.to_str().unwrap()]);
    assert_eq!(differs.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&differs.stdout).contains("1 differ"));
    let diff = shaftwork(&["diff", results.to_str().unwrap(), file.to_str().unwrap()]);
    assert!(diff.status.success());
    assert!(String::from_utf8_lossy(&diff.stdout).contains("RESULTS THAT MOVED (1)"));
    let wrong = shaftwork(&["diff", results.to_str().unwrap()]);
    assert!(!wrong.status.success());
}
