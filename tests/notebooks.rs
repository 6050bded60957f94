//! Proves each notebook as plain code, and proves on seeded faults that this check sees them.

#[path = "support/notebook/mod.rs"]
mod notebook;
#[path = "support/program.rs"]
mod program;

use notebook::{Failure, Kind, Proof, of_notebook, of_twin, prove, run_within};
use serde_json::{Value, json};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

#[test]
fn every_notebook_runs() {
    let folders = [notebook::folder(), notebook::folder().join("exercises")];
    let (proofs, failures): (Vec<_>, Vec<_>) =
        folders.iter().map(|folder| prove_all(folder)).partition(Result::is_ok);
    for Proof { notebook, shown } in proofs.into_iter().flatten().flatten() {
        println!("{notebook}: {} cells", shown.len());
    }
    let failures: Vec<String> = failures.into_iter().filter_map(Result::err).collect();
    assert!(failures.is_empty(), "not proved:\n{}", failures.join("\n\n"));
}

/// The scripts write the twins; here they are read by other code.
#[test]
fn every_notebook_has_the_cells_of_its_text_twin() {
    let folders = [notebook::folder(), notebook::folder().join("exercises")];
    let notebooks: Vec<PathBuf> = folders.iter().flat_map(|folder| notebooks_in(folder).unwrap()).collect();
    let twin_of = |path: &Path| {
        let inside = path.strip_prefix(notebook::folder()).unwrap();
        notebook::folder().join("text").join(inside).with_extension("rs")
    };
    for path in &notebooks {
        let notebook = serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap();
        let twin = fs::read_to_string(twin_of(path)).unwrap_or_default();
        let (cells, twins) = (of_notebook(&notebook), of_twin(&twin));
        let what_to_do = "`notebooks/twin` writes the twins, `notebooks/twin --apply` takes their cells";
        let place = path.display();
        for (number, (cell, twin)) in cells.iter().zip(&twins).enumerate() {
            assert_eq!(cell, twin, "{place}, cell {}: {what_to_do}", number + 1);
        }
        assert_eq!(cells.len(), twins.len(), "{place}: {what_to_do}");
    }
    // And no twin is left behind by a notebook that is gone.
    let expected: Vec<PathBuf> = notebooks.iter().map(|path| twin_of(path)).collect();
    for folder in ["text", "text/exercises"].map(|folder| notebook::folder().join(folder)) {
        for path in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            assert!(path.is_dir() || expected.contains(&path), "{} has no notebook", path.display());
        }
    }
}

/// The runner says so before it makes or fetches anything: its first half needs no more than Python.
#[test]
fn a_name_that_no_notebook_has_is_refused_at_once() {
    let Some(python) = program::program(&["python3", "python"]) else { return };
    let runner = notebook::folder().join("runner");
    let out = Command::new(python).arg("-B").arg(runner).args(["05", "no_such"]).output().unwrap();
    let [text, error] = [out.stdout, out.stderr].map(|bytes| String::from_utf8(bytes).unwrap());
    assert_eq!((out.status.code(), text.as_str()), (Some(1), ""));
    let words =
        "notebooks/run: no notebook begins with no_such; there are 01_complete_sizing, 02_air_and_fuel, ";
    assert!(error.starts_with(words) && error.ends_with(", first_boost\n"), "{error}");
}

#[test]
fn no_notebook_is_a_failure() {
    let empty = scratch().join("empty");
    fs::create_dir_all(&empty).unwrap();
    assert!(prove_all(&empty).is_err());
    assert!(prove_all(&scratch().join("missing")).is_err());
}

#[test]
fn the_fixture_runs() {
    let proof = prove(&edited("unedited", |_| ())).unwrap();
    assert_eq!(proof.notebook, "unedited.ipynb");
    assert_eq!(proof.shown.len(), 3);
}

#[test]
fn a_failing_assertion_is_found() {
    let failure = refused("assertion", 3, "let low = 1.0;\n\nassert!(low > 2.0);\nlow");
    expect(&failure, Kind::FailedAssertion, 3, 3, "low > 2.0");
}

#[test]
fn a_failing_assertion_with_its_own_words_is_found() {
    let source = "assert!(\n    pressure.kpa() > 300.0,\n    \"too low\"\n);";
    let failure = refused("own words", 3, source);
    expect(&failure, Kind::FailedAssertion, 3, 1, "too low");
}

#[test]
fn an_error_met_by_the_question_mark_is_found() {
    let failure = refused(
        "question mark",
        2,
        "let text = \"2O3\";\nlet pressure = kpa(\n    text.parse::<f64>()?,\n);",
    );
    expect(&failure, Kind::ReturnedError, 2, 3, "ParseFloatError");
}

#[test]
fn an_error_of_any_type_is_found() {
    let source = "#[derive(Debug)]\nstruct Odd;\nlet pressure: Pressure = Err(Odd)?;";
    expect(&refused("odd error", 2, source), Kind::ReturnedError, 2, 3, "Odd");
}

#[test]
fn a_panic_is_found() {
    let failure = refused("panic", 2, "let none: Option<f64> = None;\nlet pressure = kpa(none.unwrap());");
    expect(&failure, Kind::Panic, 2, 2, "None");
}

#[test]
fn a_panic_in_an_earlier_cells_function_is_laid_to_the_caller() {
    let failure = prove(&edited("caller", |notebook| {
        set(notebook, 2, "fn risky() -> f64 {\n    panic!(\"too risky\")\n}\nlet pressure = kpa(1.0);");
        set(notebook, 3, "let fine = 1.0;\nrisky()");
    }));
    let words = "too risky (raised in cell 2, line 2)";
    expect(&failure.unwrap_err(), Kind::Panic, 3, 2, words);
}

#[test]
fn a_compile_error_is_found() {
    let failure = refused("compile error", 3, "let ratio = 2.0;\nlet wrong: f64 = \"two\";");
    expect(&failure, Kind::CompileError, 3, 2, "mismatched types");
}

#[test]
fn a_name_from_a_later_cell_is_a_compile_error() {
    let failure = prove(&edited("later name", |notebook| {
        set(notebook, 2, "let pressure = kpa(203.0);\nlet map: HashMap<u8, u8>;");
        set(notebook, 3, "use std::collections::HashMap;");
    }));
    expect(&failure.unwrap_err(), Kind::CompileError, 2, 2, "HashMap");
}

#[test]
fn a_value_that_cannot_be_shown_is_a_compile_error() {
    let failure = refused("not shown", 3, "struct Mute;\n\nMute");
    expect(&failure, Kind::CompileError, 3, 3, "evcxr_display");
}

#[test]
fn a_syntax_error_is_found() {
    let failure = refused("syntax", 2, "let pressure = kpa(203.0)\n\npressure");
    expect(&failure, Kind::CompileError, 2, 3, "expected");
}

#[test]
fn an_unfinished_cell_is_found() {
    let ends = "let pressure = kpa(203.0);\nlet rest =";
    expect(&refused("ends", 2, ends), Kind::CompileError, 2, 2, "end of input");
    let open = "let pressure = kpa(203.0);\nif true {\n";
    expect(&refused("open", 2, open), Kind::CompileError, 2, 2, "unclosed");
}

#[test]
fn a_dependency_in_a_later_cell_is_found() {
    let failure = refused("late", 2, "// More.\n:dep toml = \"1\"\nlet pressure = kpa(1.0);");
    expect(&failure, Kind::KernelCommand, 2, 2, ":dep toml");
}

#[test]
fn a_missing_dependency_is_found() {
    let failure = refused("missing", 1, "use shaftwork::prelude::*;");
    assert_eq!((failure.kind, failure.cell), (Kind::KernelCommand, Some(1)));
}

#[test]
fn a_dependency_on_another_crate_does_not_do() {
    let other = scratch().join("other");
    fs::create_dir_all(&other).unwrap();
    let source = format!(":dep shaftwork = {{ path = {other:?} }}");
    let failure = refused("elsewhere", 1, &source);
    assert_eq!((failure.kind, failure.cell), (Kind::KernelCommand, Some(1)));
}

#[test]
fn an_unreadable_file_is_found() {
    let path = edited("unreadable", |_| ());
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, &text[..text.len() / 2]).unwrap();
    let failure = prove(&path).unwrap_err();
    assert_eq!(failure.kind, Kind::Unreadable);
    assert!(failure.to_string().starts_with("unreadable.ipynb: unreadable: EOF"));
}

#[test]
fn committed_errors_are_found() {
    let error = json!({"output_type": "error", "ename": "E", "evalue": "bad", "traceback": []});
    let stderr = json!({"output_type": "stream", "name": "stderr", "text": ["bad\n", "luck\n"]});
    for (name, output, words) in [("error", error, "bad"), ("stderr", stderr, "bad\nluck")] {
        let failure = prove(&edited(name, |notebook| {
            code_cell(notebook, 2)["outputs"] = json!([output]);
        }));
        let failure = failure.unwrap_err();
        assert_eq!((failure.kind, failure.cell), (Kind::CommittedOutput, Some(2)));
        assert_eq!(failure.message, words);
    }
}

#[test]
fn a_changed_number_is_found() {
    let failure = changed("number", |outputs| replace(outputs, "203.0", "203.1"));
    assert_eq!((failure.kind, failure.cell), (Kind::ChangedOutput, Some(2)));
    assert_eq!(failure.message, "`203.1 kPa (29.4 psia)` is now `203.0 kPa (29.4 psia)`");
}

#[test]
fn the_last_of_many_digits_may_change() {
    prove(&edited("digits", |notebook| {
        replace(&mut code_cell(notebook, 3)["outputs"], "2.003454231433506", "2.003454231433507");
    }))
    .unwrap();
    let failure = prove(&edited("too far", |notebook| {
        replace(&mut code_cell(notebook, 3)["outputs"], "2.003454231433506", "2.003464231433506");
    }));
    assert_eq!(failure.unwrap_err().kind, Kind::ChangedOutput);
}

/// The key of an exercise is data, whose fields a notebook file keeps in any order.
#[test]
fn changed_data_is_found() {
    let notebook = |value: f64| {
        move |notebook: &mut Value| {
            let data = json!({
                "text/plain": "share: 0.2500, within 1 %",
                "text/html": "<b>share: 0.2500, within 1 %</b>",
                "application/vnd.shaftwork.exercise+json": {
                    "within": 0.01, "value": value, "shown": "", "quantity": "a fraction", "other_zero": null,
                    "units": [
                        { "offset": 0, "label": "", "factor": 1, "aliases": [] },
                        { "offset": 0, "label": "%", "factor": 0.01, "aliases": [] },
                    ],
                    "name": "share", "mistakes": [],
                },
            });
            notebook["cells"].as_array_mut().unwrap().push(json!({
                "cell_type": "code",
                "source": "exercise(\"share\", fraction(0.25), percent(1.0))?",
                "outputs": [{ "output_type": "execute_result", "data": data }],
            }));
        }
    };
    prove(&edited("data", notebook(0.25))).unwrap_or_else(|failure| panic!("{failure}"));
    let failure = prove(&edited("changed data", notebook(0.26))).unwrap_err();
    assert_eq!((failure.kind, failure.cell), (Kind::ChangedOutput, Some(4)));
    assert_eq!(failure.message, "`\"value\": 0.26,` is now `\"value\": 0.25,`");
}

#[test]
fn outputs_of_another_number_or_kind_are_found() {
    let none = changed("none", |outputs| *outputs = json!([]));
    assert_eq!(none.message, "it shows text/html, text/plain, committed is nothing");
    let kind = changed("kind", |outputs| {
        outputs[0]["data"].as_object_mut().unwrap().remove("text/html");
    });
    assert_eq!(kind.message, "it shows text/html, text/plain, committed is text/plain");
    let more = changed("more", |outputs| {
        let first = outputs[0].clone();
        outputs.as_array_mut().unwrap().push(first);
    });
    assert_eq!(more.message, "committed are outputs that the kernel does not give");
    let text = json!({"output_type": "stream", "name": "stdout", "text": "once\n"});
    let text = changed("text", |outputs| outputs.as_array_mut().unwrap().push(text));
    assert_eq!(text.message, "it shows text/html, text/plain, committed is text/html, text/plain, text");
}

#[test]
fn a_number_that_is_none_is_found() {
    for (value, shown) in [("0.0 / ratio", "NaN"), ("-1.0 / ratio", "-inf")] {
        let failure = prove(&edited("no number", |notebook| {
            set(notebook, 3, &format!("let ratio = 0.0;\nlet value: f64 = {value};\nvalue"));
            let data = json!({"text/plain": shown});
            code_cell(notebook, 3)["outputs"] = json!([{"output_type": "execute_result", "data": data}]);
        }));
        let failure = failure.unwrap_err();
        assert_eq!((failure.kind, failure.cell), (Kind::NotANumber, Some(3)));
        assert_eq!(failure.message, shown);
    }
}

#[test]
fn printed_text_is_compared_too() {
    let printing = |text: &str| {
        prove(&edited("printing", |notebook| {
            set(notebook, 3, "let ratio = 0.5;\nprint!(\"ratio {ratio}\");");
            let output = json!({"output_type": "stream", "name": "stdout", "text": text});
            code_cell(notebook, 3)["outputs"] = json!([output]);
        }))
    };
    printing("ratio 0.5").unwrap();
    assert_eq!(printing("ratio 0.6").unwrap_err().message, "`ratio 0.6` is now `ratio 0.5`");
    assert_eq!(printing("ratio 0.5\nmore").unwrap_err().message, "2 lines are now 1");
}

#[test]
fn a_cell_that_ends_the_process_is_found() {
    let failure = refused("exit", 2, "let pressure = kpa(203.0);\nstd::process::exit(0);");
    expect(&failure, Kind::Stopped, 2, 2, "ended early");
}

#[test]
fn an_endless_cell_is_stopped() {
    let path = edited("endless", |notebook| {
        set(notebook, 3, "let ratio = 1.0;\nloop {}");
    });
    let failure = run_within(&path, Duration::from_secs(1)).unwrap_err();
    expect(&failure, Kind::Stopped, 3, 2, "still running after 1s");
}

#[test]
fn cells_may_do_what_the_kernel_allows() {
    let path = edited("allowed", |notebook| {
        let cells = notebook["cells"].as_array_mut().unwrap();
        for (source, _) in ALLOWED {
            cells.push(json!({"cell_type": "code", "outputs": [], "source": source}));
        }
    });
    let shown = run_within(&path, Duration::from_mins(2)).unwrap_or_else(|failure| panic!("{failure}"));
    let texts = shown.values().map(|shown| shown.result.get("text/plain").map_or("", String::as_str));
    let expected = ALLOWED.map(|(_, shown)| shown);
    assert_eq!(texts.skip(3).collect::<Vec<_>>(), expected);
}

/// Cells of many kinds, with what they show.
const ALLOWED: [(&str, &str); 13] = [
    ("vec![Some(1.5), None] // shown by `Debug` alone\n// and a remark", "[Some(1.5), None]"),
    ("let ratio = format!(\"{ratio:.1}\"); // another type\nratio", "\"2.0\""),
    ("ratio; pressure.kpa()", "203.0"),
    ("let names = vec![String::from(\"a\")]; names[0]", "\"a\""),
    (
        "mod shape { #[derive(Debug)] pub enum Shape { Round, Square } }\nuse shape::Shape::{self, *};\nfn round() -> Shape { Round }\nround()",
        "Round",
    ),
    (
        "use std::fmt;\nstruct Named;\nimpl fmt::Debug for Named {\n    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result { f.write_str(\"named\") }\n}\nmacro_rules! named { () => { Named } }\nnamed!()",
        "named",
    ),
    (
        "use std::fmt;\nstruct Named(f64);\nfn round() -> Shape { Square }\nif let Round = round() { Named(1.0).0 } else { -Named(2.0).0 }",
        "-2.0",
    ),
    ("let boxed: Result<f64, Box<dyn std::error::Error>> = Ok(2.0);\nboxed?", "2.0"),
    ("let caught = std::panic::catch_unwind(|| panic!(\"caught\"));\nassert!(caught.is_err());", ""),
    ("let Some(kept) = Some(3) else { panic!() };\nfor _ in 0..kept {}", "()"),
    ("// only a remark", ""),
    ("", ""),
    ("let text = \"é: ü\";  let size = text.len(); size", "6"),
];

/// The notebooks of a folder. Copies for students are not ours to prove: their cells wait for work.
fn notebooks_in(folder: &Path) -> Result<Vec<PathBuf>, String> {
    let entries = fs::read_dir(folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    let mut paths: Vec<PathBuf> = entries
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "ipynb"))
        .filter(|path| !path.to_string_lossy().ends_with(".student.ipynb"))
        .collect();
    paths.sort();
    if paths.is_empty() { Err(format!("{}: no notebook", folder.display())) } else { Ok(paths) }
}

/// Proves all notebooks of a folder; that there is none is a failure, and so is one that fails.
fn prove_all(folder: &Path) -> Result<Vec<Proof>, String> {
    let paths = notebooks_in(folder)?;
    let (mut proofs, mut failures) = (Vec::new(), Vec::new());
    for path in paths {
        match prove(&path) {
            Ok(proof) => proofs.push(proof),
            Err(failure) => failures.push(failure.to_string()),
        }
    }
    if failures.is_empty() { Ok(proofs) } else { Err(failures.join("\n\n")) }
}

fn scratch() -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join("seeded notebooks")
}

/// An edited copy of the fixture.
fn edited(name: &str, edit: impl FnOnce(&mut Value)) -> PathBuf {
    let mut notebook = serde_json::from_str(include_str!("fixtures/notebooks/small.ipynb")).unwrap();
    edit(&mut notebook);
    let path = scratch().join(name).with_extension("ipynb");
    fs::create_dir_all(scratch()).unwrap();
    fs::write(&path, notebook.to_string()).unwrap();
    path
}

fn code_cell(notebook: &mut Value, number: usize) -> &mut Value {
    let cells = notebook["cells"].as_array_mut().unwrap().iter_mut();
    cells.filter(|cell| cell["cell_type"] == "code").nth(number - 1).unwrap()
}

fn set(notebook: &mut Value, cell: usize, source: &str) {
    code_cell(notebook, cell)["source"] = source.into();
}

/// How the fixture fails with another source in one cell.
fn refused(name: &str, cell: usize, source: &str) -> Failure {
    prove(&edited(name, |notebook| set(notebook, cell, source))).unwrap_err()
}

/// How the fixture fails with other committed outputs of its second cell.
fn changed(name: &str, edit: impl FnOnce(&mut Value)) -> Failure {
    prove(&edited(name, |notebook| edit(&mut code_cell(notebook, 2)["outputs"]))).unwrap_err()
}

fn replace(outputs: &mut Value, old: &str, new: &str) {
    let text = outputs.to_string();
    assert!(text.contains(old), "{text}");
    *outputs = serde_json::from_str(&text.replace(old, new)).unwrap();
}

#[track_caller]
fn expect(failure: &Failure, kind: Kind, cell: usize, line: usize, words: &str) {
    assert_eq!(failure.kind, kind, "{failure}");
    assert_eq!((failure.cell, failure.line), (Some(cell), Some(line)), "{failure}");
    assert!(failure.message.contains(words), "{failure}");
}
