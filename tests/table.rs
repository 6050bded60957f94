//! What the three kinds of map share as files: fields, numbers, headers and front matter, each problem at its place.

#[path = "support/maps.rs"]
mod maps;

use maps::file;
use shaftwork::compressor::PrintedMap;
use shaftwork::prelude::*;
use shaftwork::problem::Problems;

/// A kind of map: its reader and a sound file.
struct Kind {
    read: fn(&str) -> Result<(), Problems>,
    text: String,
}

fn kinds() -> [Kind; 3] {
    let text = |name: &str| std::fs::read_to_string(file(name)).unwrap();
    [
        Kind {
            read: |text| CompressorMap::from_csv_text("m.csv", text).map(drop),
            text: text("demo/map-b.csv"),
        },
        Kind {
            read: |text| PrintedMap::from_csv_text("m.csv", text).map(drop),
            text: text("demo/printed-map.csv"),
        },
        Kind {
            read: |text| TurbineMap::from_csv_text("m.csv", text).map(drop),
            text: text("turbine/demo-map.csv"),
        },
    ]
}

impl Kind {
    fn lines(&self) -> Vec<String> {
        self.text.lines().map(String::from).collect()
    }
    /// Where the header stands, counted from zero.
    fn header(&self) -> usize {
        self.text.lines().position(|line| !line.starts_with('#')).unwrap()
    }
    /// The messages about the file whose line at this place, counted from zero, is changed.
    fn changed(&self, at: usize, change: impl Fn(&str) -> String) -> Vec<String> {
        let mut lines = self.lines();
        let before = lines[at].clone();
        lines[at] = change(&before);
        assert_ne!(lines[at], before, "nothing is changed");
        self.says(&lines.join("\n"))
    }
    fn says(&self, text: &str) -> Vec<String> {
        (self.read)(text).err().iter().flat_map(Problems::iter).map(ToString::to_string).collect()
    }
}

#[track_caller]
fn holds(all: &[String], expected: &str) {
    assert!(all.iter().any(|problem| problem.starts_with(expected)), "{expected}\n{all:#?}");
}

/// The row with the last field, a number in every kind of map, put differently.
fn last(row: &str, change: impl Fn(&str) -> String) -> String {
    let (rest, field) = row.rsplit_once(',').unwrap();
    format!("{rest},{}", change(field))
}

#[test]
fn quoted_fields_are_read() {
    for kind in kinds() {
        assert_eq!(kind.says(&kind.text), [""; 0]);
        let quoted: Vec<String> = kind
            .lines()
            .iter()
            .map(|line| match line.is_empty() || line.starts_with('#') {
                true => line.clone(),
                false => line.split(',').map(|field| format!("\"{field}\"")).collect::<Vec<_>>().join(","),
            })
            .collect();
        assert_eq!(kind.says(&quoted.join("\n")), [""; 0]);
    }
}

#[test]
fn a_field_that_is_no_number_is_named_with_its_column() {
    for kind in kinds() {
        let (header, row) = (kind.header(), kind.header() + 1);
        let name = kind.lines()[header].rsplit(',').next().unwrap().split(" [").next().unwrap().to_string();
        for (field, says) in [
            ("x", "\"x\" is not a number"),
            ("\"1,5\"", "\"1,5\" is not a number; write it with a decimal point"),
            ("NaN", "is not finite (NaN or infinity); leave the point out"),
            ("-inf", "is not finite"),
            ("1e999", "is not finite"),
            ("77", "is not between"),
        ] {
            let all = kind.changed(row, |text| last(text, |_| field.into()));
            holds(&all, &format!("m.csv, line {}, column \"{name}\": {says}", row + 1));
        }
    }
}

#[test]
fn fields_that_do_not_belong_are_counted() {
    for kind in kinds() {
        let row = kind.header() + 1;
        let count = kind.lines()[row].split(',').count();
        let at = format!("m.csv, line {}: has", row + 1);
        let all = kind.changed(row, |text| text.replace(',', ";"));
        holds(&all, &format!("{at} 1 fields where {count} belong; commas separate them, not semicolons"));
        let all = kind.changed(row, |text| last(text, |_| "1,5".into()));
        holds(&all, &format!("{at} {} fields where {count} belong; is it a decimal comma?", count + 1));
        let all = kind.changed(row, |text| text.rsplit_once(',').unwrap().0.into());
        holds(&all, &format!("{at} {} fields where {count} belong; ", count - 1));
        for place in [row, row - 1] {
            let all = kind.changed(place, |text| last(text, |field| format!("\"{field}")));
            holds(&all, &format!("m.csv, line {}: has a quotation mark that is not closed", place + 1));
        }
    }
}

#[test]
fn a_doubtful_header_ends_the_reading() {
    for kind in kinds() {
        let header = kind.header();
        let at = format!("m.csv, line {}", header + 1);
        let all = kind.changed(header, |text| text.replace(',', ";"));
        assert_eq!(all.len(), 1, "{all:?}");
        holds(&all, &format!("{at}: fields are separated by semicolons; separate them by commas"));
        let all = kind.changed(header, |text| text.replace(',', "\t"));
        holds(&all, &format!("{at}: fields are separated by tabs; separate them by commas"));
        assert_eq!(all.len(), 1, "{all:?}");
        // What is wrong with it is said at once, unit and names alike.
        let all = kind.changed(header, |text| {
            text.replace("[rpm]", "[stone]")
                .replace("corrected flow", "goodness")
                .replace("efficiency [-]", "efficiency")
        });
        holds(&all, &format!("{at}, column \"corrected speed\": "));
        holds(&all, &format!("{at}: unknown column \"goodness\"; the columns are "));
        holds(&all, &format!("{at}, column \"corrected flow\": is missing"));
        holds(&all, &format!("{at}, column \"efficiency\": has no unit; write \"efficiency [-]\""));
    }
}

#[test]
fn front_matter_says_what_is_not_read() {
    for kind in kinds() {
        let says = |line: &str| kind.says(&format!("{line}\n{}", kind.text));
        let long = "a".repeat(1000);
        let all = says(&format!("# {long}: 1"));
        holds(&all, "m.csv, line 1: unknown key \"aaaa");
        assert!(all[0].len() < 400, "{}", all[0]);
        // The second of two stands in the file itself.
        let all = says("# title: once more");
        assert!(all[0].contains("\"title\" stands a second time (first in line 1); keep one"), "{all:?}");
    }
}

// As many problems as a reader can mend, then no more.
#[test]
fn problems_end() {
    for kind in kinds() {
        let (header, mut lines) = (kind.header(), kind.lines());
        let faulty = last(&lines[header + 1], |_| "x".into());
        lines.truncate(header + 1);
        lines.extend(core::iter::repeat_n(faulty, 10_000));
        let all = kind.says(&lines.join("\n"));
        assert_eq!(all.len(), 201);
        let last = format!("m.csv, line {}: the 200 problems up to here come first", header + 202);
        assert!(all[200].starts_with(&last), "{}", all[200]);
        let shown = (kind.read)(&lines.join("\n")).unwrap_err().to_string();
        assert!(shown.contains("\n... and 161 more, the last:\nm.csv, line"), "{shown}");
    }
}

// Property: a byte-order mark is not part of the data, nor is how lines end.
#[test]
fn line_ends_and_byte_order_mark_do_not_matter() {
    for kind in kinds() {
        for end in ["\r\n", "\r"] {
            let dressed = kind.text.replace('\n', end);
            assert_eq!(kind.says(&format!("\u{feff}{dressed}")), [""; 0], "{end:?}");
            // A fault keeps its line.
            let row = kind.header() + 1;
            let mut lines = kind.lines();
            lines[row] = last(&lines[row], |_| "x".into());
            let all = kind.says(&lines.join(end));
            assert!(
                all.iter().any(|problem| problem.starts_with(&format!("m.csv, line {}, column", row + 1))),
                "{all:?}"
            );
        }
        // One inside a line is no end: nothing behind it is lost, and front matter is not torn.
        let row = kind.header() + 1;
        for at in [1, row] {
            let all = kind.changed(at, |text| text.replacen([',', ':'], "\r", 1));
            holds(&all, &format!("m.csv, line {}: holds a carriage return in its middle", at + 1));
        }
    }
}

#[test]
fn numbers_in_the_wrong_columns_are_named() {
    for kind in kinds() {
        let header = kind.header();
        let all = kind.changed(header, |text| {
            let [speed, flow] = ["corrected speed [rpm]", "corrected flow [kg/s]"];
            text.replace(speed, "?").replace(flow, speed).replace('?', flow)
        });
        let at = format!("m.csv, line {}, column", header + 2);
        holds(
            &all,
            &format!("{at} \"corrected speed\": is not between 1000 and 470 000 rpm; check unit and order"),
        );
        holds(&all, &format!("{at} \"corrected flow\": is not between 0 and "));
    }
}

#[test]
fn a_file_that_is_too_large_is_not_read() {
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("too-large.csv");
    std::fs::write(&path, "1,".repeat(4_500_000)).unwrap();
    let says = [
        CompressorMap::from_csv(&path).unwrap_err(),
        PrintedMap::from_csv(&path).unwrap_err(),
        TurbineMap::from_csv(&path).unwrap_err(),
        CompressorMap::from_measured_csv(&path).unwrap_err(),
    ];
    for problems in says {
        assert_eq!(problems.to_string(), format!("{}: has 9 MB; at most 8 MB are read", path.display()));
    }
    std::fs::remove_file(&path).unwrap();
}
