//! Proves each notebook as plain code, and proves on seeded faults that this check sees them.

#[path = "support/notebook/mod.rs"]
mod notebook;

use notebook::{Failure, Kind, Proof, prove, prove_within};
use serde_json::{Value, json};
use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

#[test]
fn every_notebook_runs() {
    for folder in [notebook::folder(), notebook::folder().join("exercises")] {
        match prove_all(&folder) {
            Ok(proofs) => {
                for Proof { notebook, cells } in proofs {
                    println!("{notebook}: {cells} cells");
                }
            }
            Err(failures) => panic!("not proved:\n{failures}"),
        }
    }
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
    assert_eq!(proof.cells, 3);
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
fn a_cell_that_ends_the_process_is_found() {
    let failure = refused("exit", 2, "let pressure = kpa(203.0);\nstd::process::exit(0);");
    expect(&failure, Kind::Stopped, 2, 2, "ended early");
}

#[test]
fn an_endless_cell_is_stopped() {
    let path = edited("endless", |notebook| {
        set(notebook, 3, "let ratio = 1.0;\nloop {}");
    });
    let failure = prove_within(&path, Duration::from_secs(1)).unwrap_err();
    expect(&failure, Kind::Stopped, 3, 2, "still running after 1s");
}

#[test]
fn cells_may_do_what_the_kernel_allows() {
    let path = edited("allowed", |notebook| {
        let cells = notebook["cells"].as_array_mut().unwrap();
        for source in [
            "vec![Some(1.5), None] // shown by `Debug` alone\n// and a remark",
            "let ratio = format!(\"{ratio:.1}\"); // another type\nratio",
            "ratio; pressure.kpa()",
            "let names = vec![String::from(\"a\")]; names[0]",
            "mod shape { #[derive(Debug)] pub enum Shape { Round, Square } }\nuse shape::Shape::{self, *};\nfn round() -> Shape { Round }\nround()",
            "use std::fmt;\nstruct Named;\nimpl fmt::Debug for Named {\n    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result { f.write_str(\"named\") }\n}\nmacro_rules! named { () => { Named } }\nnamed!()",
            "use std::fmt;\nstruct Named(f64);\nfn round() -> Shape { Square }\nif let Round = round() { Named(1.0).0 } else { -Named(2.0).0 }",
            "let boxed: Result<f64, Box<dyn std::error::Error>> = Ok(2.0);\nboxed?",
            "let caught = std::panic::catch_unwind(|| panic!(\"caught\"));\nassert!(caught.is_err());",
            "let Some(kept) = Some(3) else { panic!() };\nfor _ in 0..kept {}",
            "// only a remark",
            "",
            "let text = \"é: ü\";  let size = text.len(); size",
        ] {
            cells.push(json!({"cell_type": "code", "outputs": [], "source": source}));
        }
    });
    let proof = prove(&path).unwrap_or_else(|failure| panic!("{failure}"));
    assert_eq!(proof.cells, 16);
}

/// Proves all notebooks of a folder; that there is none is a failure, and so is one that fails. Copies for
/// students are not ours to prove: their cells wait for work.
fn prove_all(folder: &Path) -> Result<Vec<Proof>, String> {
    let entries = fs::read_dir(folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    let mut paths: Vec<PathBuf> = entries
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "ipynb"))
        .filter(|path| !path.to_string_lossy().ends_with(".student.ipynb"))
        .collect();
    paths.sort();
    if paths.is_empty() {
        return Err(format!("{}: no notebook", folder.display()));
    }
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

#[track_caller]
fn expect(failure: &Failure, kind: Kind, cell: usize, line: usize, words: &str) {
    assert_eq!(failure.kind, kind, "{failure}");
    assert_eq!((failure.cell, failure.line), (Some(cell), Some(line)), "{failure}");
    assert!(failure.message.contains(words), "{failure}");
}
