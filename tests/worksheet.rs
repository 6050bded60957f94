//! A record exported as plain arithmetic, recomputed by Python and by an office suite.
//!
//! Both are independent of this library: they evaluate what was written, with their own arithmetic. Where one of
//! them is not installed the check says so and is left out, unless `SHAFTWORK_CHECK_EXPORTS` is set.

#[path = "support/program.rs"]
mod program;

use program::program;
use shaftwork::record::{Kind, Record};
use shaftwork::study::Study;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A published map, an estimated one, and powers that were searched for.
fn records() -> Vec<Record> {
    let sizing = Study::demo().unwrap().size().unwrap();
    let named = |name: &str| {
        let entry = sizing.entries.iter().position(|e| sizing.study.candidates[e.candidate].name() == name);
        entry.unwrap() + 1
    };
    vec![
        sizing.record_at(named("B"), 0).unwrap(),
        sizing.record_of_most(named("A")).unwrap().unwrap(),
        sizing.record_of_most(named("B")).unwrap().unwrap(),
    ]
}

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// How many numbers of a record are computed: its steps.
fn steps(record: &Record) -> usize {
    record.nodes().iter().filter(|node| matches!(node.kind, Kind::Step { .. })).count()
}

/// Every difference in a list is at most 1e-9 and a number.
fn all_agree(differences: &[f64], what: &str) {
    for (index, off) in differences.iter().enumerate() {
        assert!(off.is_finite() && *off <= 1e-9, "{what}: row {index} differs by {off:e}");
    }
}

#[test]
fn python_recomputes_every_row() {
    let Some(python) = program(&["python3", "python"]) else { return };
    let folder = folder("worksheet-python");
    for (index, record) in records().iter().enumerate() {
        let file = folder.join(format!("record-{index}.py"));
        std::fs::write(&file, record.python()).unwrap();
        let out = Command::new(&python).arg(&file).output().unwrap();
        let text = String::from_utf8_lossy(&out.stdout);
        assert!(out.status.success(), "{}\n{text}\n{}", record.title, String::from_utf8_lossy(&out.stderr));
        let rows: Vec<Vec<&str>> = text
            .lines()
            .map(|line| line.split('\t').collect())
            .filter(|row: &Vec<&str>| row.len() == 7)
            .collect();
        assert!(rows.len() > steps(record), "{} rows for {} steps", rows.len(), steps(record));
        let differences: Vec<f64> = rows.iter().map(|row| row[2].parse().unwrap()).collect();
        all_agree(&differences, &record.title);
        println!("{}: {} rows, {}", record.title, rows.len(), text.lines().last().unwrap());
    }
}

/// The check itself: a number changed in the script is found.
#[test]
fn python_finds_a_changed_number() {
    let Some(python) = program(&["python3", "python"]) else { return };
    let script = records()[0].python();
    let bore = "row(8.4e-2, 8.4e-2,";
    assert!(script.contains(bore), "{}", &script[..2000]);
    let file = folder("worksheet-python-changed").join("changed.py");
    std::fs::write(&file, script.replacen(bore, "row(8.41e-2, 8.4e-2,", 1)).unwrap();
    let out = Command::new(&python).arg(&file).output().unwrap();
    assert_eq!(out.status.code(), Some(1), "{}", String::from_utf8_lossy(&out.stderr));
}

#[test]
fn an_office_suite_recomputes_every_row() {
    let Some(office) = program(&["soffice", "libreoffice"]) else { return };
    let folder = folder("worksheet-office");
    let records = records();
    let files: Vec<PathBuf> = records
        .iter()
        .enumerate()
        .map(|(index, record)| {
            let file = folder.join(format!("record-{index}.csv"));
            std::fs::write(&file, record.worksheet()).unwrap();
            file
        })
        .collect();
    let out = folder.join("computed");
    let profile = format!("-env:UserInstallation={}", url(&folder.join("profile")));
    // Comma, double quote, UTF-8; on the way out full precision instead of what a cell shows.
    let run = Command::new(&office)
        .args([&profile, "--headless", "--infilter=CSV:44,34,76,1,,1033,false,true"])
        .args(["--convert-to", "csv:Text - txt - csv (StarCalc):44,34,76,1,,1033,false,true,false"])
        .arg("--outdir")
        .arg(&out)
        .args(&files)
        .output()
        .unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    for (record, file) in records.iter().zip(&files) {
        let computed = out.join(file.file_name().unwrap());
        let mut reader =
            csv::ReaderBuilder::new().has_headers(false).flexible(true).from_path(&computed).unwrap();
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).skip(4).collect();
        let mut differences = Vec::new();
        for row in &rows {
            let number = |column: usize| row.get(column).unwrap_or("").parse::<f64>();
            assert!(number(3).is_ok(), "no value in {row:?}");
            if !row.get(4).unwrap_or("").is_empty() {
                // Compared here once more, besides the difference that the sheet itself works out.
                differences.push(number(5).unwrap_or_else(|_| panic!("{row:?}")));
            }
        }
        assert!(differences.len() > steps(record), "{} rows", differences.len());
        all_agree(&differences, &record.title);
        let worst = differences.iter().copied().fold(0.0, f64::max);
        println!("{}: {} rows, largest difference {worst:e}", record.title, differences.len());
    }
}

#[test]
fn names_from_files_cannot_become_code() {
    let mut files = Study::demo().unwrap().files;
    let nasty = "=HYPERLINK(0)\\\" + quit() #";
    files[0].text = files[0].text.replace("name = \"B\"", &format!("name = '{nasty}'"));
    assert!(files[0].text.contains(nasty));
    let sizing = Study::from_texts(&files).unwrap().size().unwrap();
    let entry =
        sizing.entries.iter().position(|e| sizing.study.candidates[e.candidate].name() == nasty).unwrap() + 1;
    let record = sizing.record_at(entry, 0).unwrap();
    let sheet = record.worksheet();
    let mut reader =
        csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(sheet.as_bytes());
    for row in reader.records().map(Result::unwrap) {
        for (column, field) in row.iter().enumerate().filter(|(column, _)| ![3, 5].contains(column)) {
            assert!(!field.starts_with(['=', '+', '@']), "column {column}: {field}");
        }
    }
    let Some(python) = program(&["python3", "python"]) else { return };
    let file = folder("worksheet-nasty").join("nasty.py");
    std::fs::write(&file, record.python()).unwrap();
    let out = Command::new(&python).arg(&file).output().unwrap();
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    assert!(String::from_utf8_lossy(&out.stdout).contains(nasty));
}

/// A path as the address of a file. With a bare blank in it the office suite waits for ever.
fn url(path: &Path) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"/-._~".contains(&byte);
    let written = |byte: u8| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") };
    format!("file://{}", path.to_string_lossy().bytes().map(written).collect::<String>())
}
