//! Files damaged at random are refused with a reason or read; nothing panics.
#![cfg(feature = "cli")]

#[path = "support/reference.rs"]
mod reference;

use proptest::prelude::*;
use proptest::sample::Index;
use reference::seeded;
use shaftwork::prelude::*;
use shaftwork::report;
use std::cell::Cell;
use std::fs;
use std::path::{Path, PathBuf};

/// The text of a file of the repository.
fn text(path: &str) -> String {
    fs::read_to_string(ours(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}
fn ours(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}
/// An empty folder.
fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("damaged_input").join(name);
    let _ = fs::remove_dir_all(&path);
    fs::create_dir_all(&path).unwrap();
    path
}

/// One way to spoil a file.
#[derive(Clone, Debug)]
enum Damage {
    Cut(Index),
    Flip(Vec<(Index, u8)>),
    Swap(Vec<(Index, Index)>),
    Digits(Vec<(Index, u8)>),
}

impl Damage {
    fn any() -> impl Strategy<Value = Self> {
        prop_oneof![
            any::<Index>().prop_map(Self::Cut),
            prop::collection::vec((any::<Index>(), 1_u8..), 1..4).prop_map(Self::Flip),
            Self::digits(),
            prop::collection::vec(any::<(Index, Index)>(), 1..4).prop_map(Self::Swap),
        ]
    }
    /// Digits for digits: most of what comes out is still read.
    fn digits() -> impl Strategy<Value = Self> {
        prop::collection::vec((any::<Index>(), b'0'..=b'9'), 1..4).prop_map(Self::Digits)
    }
    fn to(&self, text: &str) -> Vec<u8> {
        let mut bytes = text.as_bytes().to_vec();
        match self {
            Self::Cut(at) => bytes.truncate(at.index(bytes.len())),
            Self::Flip(flips) => flips.iter().for_each(|(at, mask)| *at.get_mut(&mut bytes) ^= mask),
            Self::Digits(digits) => {
                let places: Vec<usize> = (0..bytes.len()).filter(|&i| bytes[i].is_ascii_digit()).collect();
                digits.iter().for_each(|(at, digit)| bytes[*at.get(&places)] = *digit);
            }
            Self::Swap(swaps) => {
                let mut lines: Vec<&str> = text.lines().collect();
                let count = lines.len();
                swaps.iter().for_each(|(a, b)| lines.swap(a.index(count), b.index(count)));
                bytes = lines.join("\n").into_bytes();
            }
        }
        bytes
    }
}

// Property: a damaged file is refused with a reason or read; it never panics, and a map that is read gives numbers.
#[test]
fn damaged_maps_never_panic() {
    let path = folder("maps").join("map.csv");
    let maps = ["data/demo/map-b.csv", "data/demo/map-c.csv"].map(text);
    proptest!(seeded(300), |(damage in Damage::any(), which in 0..2_usize)| {
        fs::write(&path, damage.to(&maps[which])).unwrap();
        match CompressorMap::from_csv(&path) {
            Err(problems) => prop_assert!(problems.iter().count() > 0),
            Ok(map) => for k in 0..64 {
                let flow = map.greatest_flow() * (f64::from(k % 8) / 7.0);
                let ratio = PressureRatio::new(1.0 + 0.4 * f64::from(k / 8)).unwrap();
                if let Ok(point) = map.at_point(flow, ratio) {
                    let numbers = [point.speed.si(), point.efficiency.si(), point.surge.0.si(), point.choke.0.si()];
                    prop_assert!(numbers.iter().all(|number| number.is_finite()), "{:?}", point);
                }
            },
        }
    });
}

// Property: the same for readings that scatter; what is read is a map.
#[test]
fn damaged_readings_never_panic() {
    let sound = text("data/demo/measured-lines.csv");
    let read = Cell::new(0);
    proptest!(seeded(60), |(damage in Damage::any())| {
        let damaged = String::from_utf8_lossy(&damage.to(&sound)).into_owned();
        match CompressorMap::from_measured_csv_text("map", &damaged) {
            Err(problems) => prop_assert!(problems.iter().count() > 0),
            Ok(measured) => {
                read.set(read.get() + 1);
                prop_assert!(measured.lines().iter().all(|line| line.flow_rms().si().is_finite()));
            }
        }
    });
    assert!(read.get() >= 20, "only {} were read", read.get());
}

// Property: the same for studies; one that is read is sized, or the reason is given.
#[test]
fn damaged_studies_never_panic() {
    let (demo, plain) = (text("data/demo/hill-climb.toml"), text("tests/fixtures/bad/plain.toml"));
    let folder = folder("studies");
    for map in ["map-b.csv", "map-c.csv"] {
        fs::copy(ours("data/demo").join(map), folder.join(map)).unwrap();
    }
    fs::copy(ours("tests/fixtures/bad/plain.csv"), folder.join("plain.csv")).unwrap();
    let read = |bytes: Vec<u8>| {
        fs::write(folder.join("study.toml"), bytes).unwrap();
        Study::from_file(folder.join("study.toml"))
    };
    proptest!(seeded(200), |(damage in Damage::any())| {
        let refused = read(damage.to(&demo)).err();
        prop_assert!(refused.is_none_or(|problems| !problems.to_string().is_empty()));
    });
    let sized = Cell::new(0);
    proptest!(seeded(40), |(damage in Damage::digits())| {
        if let Ok(study) = read(damage.to(&plain)) {
            sized.set(sized.get() + 1);
            let told = study.size().map_or_else(|error| error.to_string(), |sizing| report::text(&sizing));
            prop_assert!(told.len() > 20, "{}", told);
        }
    });
    assert!(sized.get() >= 10, "only {} studies were read", sized.get());
}

#[test]
fn a_header_longer_than_its_rows() {
    let longer = text("data/demo/map-c.csv").replace("corrected speed", "note,corrected speed");
    let problems = CompressorMap::from_csv_text("map", &longer).unwrap_err();
    assert!(problems.to_string().contains("unknown column \"note\""), "{problems}");
}

#[test]
fn many_faults_take_no_more_memory_than_is_shown() {
    let head = text("tests/fixtures/bad/maps/only-header.csv");
    for faulty in [head + &"1\n".repeat(100_000), "a,".repeat(100_000), "# a:\n".repeat(100_000)] {
        let problems = CompressorMap::from_csv_text("map", &faulty).unwrap_err();
        assert!((1..2000).contains(&problems.iter().count()));
    }
}
