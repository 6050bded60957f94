//! A candidate whose map is a file of readings that scatter: fitted, sized, and said among the assumptions and on record.
#![cfg(feature = "study")]

#[path = "support/map_study.rs"]
mod map_study;
#[path = "support/reference.rs"]
mod reference;

use map_study::{data, study};
use reference::{close, close_relative};
use shaftwork::compressor::{MapFile, MapKind};
use shaftwork::prelude::*;
use shaftwork::record::{Kind, Origin};
use shaftwork::study::Grade;

// The readings are points of candidate B's map with normal errors: an operating point is the same within what is left of
// them after the fit (compressor_measured: 0.9 % of a line, 2 points of efficiency at worst).
#[test]
fn readings_size_as_the_map_they_were_taken_from() {
    let fitted = study(&data("measured-lines.csv")).unwrap();
    let assumed: Vec<_> =
        fitted.assumptions.iter().filter(|assumption| assumption.key == "candidate.map").collect();
    assert_eq!(assumed.len(), 2, "{assumed:?}");
    assert!(assumed[0].what.ends_with("fitted to measured readings"), "{}", assumed[0].what);
    assert_eq!(assumed[0].grade, Grade::Assumed);
    // Two readings were misread; each is named by its line in the file.
    assert!(
        assumed[1].value.contains("line 29") && assumed[1].value.contains("line 99"),
        "{}",
        assumed[1].value
    );
    let known = study(&data("map-b.csv")).unwrap();
    assert!(known.assumptions.iter().all(|assumption| assumption.key != "candidate.map"));
    let at = |study: &Study| {
        let candidate = study.candidates.iter().find(|candidate| candidate.name() == "B").unwrap();
        let turbine = &candidate.housings()[0].turbine;
        let target = Target::crank(kw(200.0), rpm(6600.0));
        operating_point(&study.installation, candidate, turbine, &study.fuels[0], target).unwrap()
    };
    let (fitted, known) = (at(&fitted), at(&known));
    close(fitted.efficiency.si(), known.efficiency.si(), 0.01);
    close_relative(fitted.shaft_speed.si(), known.shaft_speed.si(), 0.01);
    close_relative(fitted.ratio.si(), known.ratio.si(), 0.01);
}

#[test]
fn a_record_names_file_and_kind() {
    for (map, kind) in [
        ("map-b.csv", "compressor map"),
        ("printed-map.csv", "printed map, merged"),
        ("measured-lines.csv", "measured readings, fitted"),
    ] {
        let mut study = study(&data(map)).unwrap();
        study.candidates.retain(|candidate| candidate.name() == "B");
        study.fuels.truncate(1);
        let sizing = study.size().unwrap();
        let record = sizing.record_at(0, 0).unwrap();
        let origins = record.nodes().iter().filter_map(|node| match &node.kind {
            Kind::Map(origin) if node.quantity == "a compressor map" => Some(origin.clone()),
            _ => None,
        });
        let origins: Vec<Origin> = origins.collect();
        assert!(!origins.is_empty());
        for origin in &origins {
            let Origin::File { file, kind: found, .. } = origin else { panic!("{map}: {origin:?}") };
            assert_eq!((file.as_str(), *found), ("map-b.csv", kind), "{map}");
            assert!(origin.says().starts_with(&format!("map-b.csv, {kind}: ")), "{}", origin.says());
        }
    }
}

#[test]
fn problems_of_readings_are_those_of_their_file() {
    let readings = data("measured-lines.csv");
    let says = |text: String| study(&text).unwrap_err().to_string();
    let wrong = says(readings.replacen("0.1655,1.102,0.565", "0.1655,x,0.565", 1));
    assert!(
        wrong.contains("map-b.csv")
            && wrong.contains("line 7")
            && wrong.contains("column \"pressure ratio\""),
        "{wrong}"
    );
    let few = says(
        readings
            .lines()
            .filter(|line| !line.starts_with("70000") || line.contains("0.1655"))
            .fold(String::new(), |all, line| all + line + "\n"),
    );
    assert!(few.contains("at least 5 are needed, each with the line's nominal speed"), "{few}");
    // Readings that scatter are no speed lines: the message says how to have them fitted.
    let plain = says(readings.replacen("shaftwork-measured-map", "shaftwork-map", 1));
    assert!(
        plain.contains("flow goes up and down") && plain.contains("# shaftwork-measured-map: 1"),
        "{plain}"
    );
}

// One clear way: the first key of the front matter; a file without one is a map, or a printed one by its column `kind`.
#[test]
fn the_kind_of_a_file_is_told_by_its_first_key() {
    let of = |text: &str| MapKind::of("m.csv", text);
    for name in ["map-b.csv", "map-c.csv"] {
        assert_eq!(of(&data(name)).unwrap(), MapKind::Lines);
    }
    assert_eq!(of(&data("printed-map.csv")).unwrap(), MapKind::Printed);
    assert_eq!(of(&data("measured-lines.csv")).unwrap(), MapKind::Measured);
    assert_eq!(of("# title: t\nkind,corrected speed [rpm]\n").unwrap(), MapKind::Printed);
    assert_eq!(of("#  SHAFTWORK-Measured-Map : 1\r\n").unwrap(), MapKind::Measured);
    assert_eq!(of("").unwrap(), MapKind::Lines);
    let turbine = of(&data("turbine-map.csv")).unwrap_err().to_string();
    assert!(
        turbine.contains("line 1")
            && turbine.contains("is no kind of compressor map; the kinds are shaftwork-map"),
        "{turbine}"
    );
    let wrong = study(&data("turbine-map.csv")).unwrap_err().to_string();
    assert!(wrong.contains("is no kind of compressor map"), "{wrong}");
    for name in ["map-b.csv", "printed-map.csv", "measured-lines.csv"] {
        let read = MapFile::from_csv_text(name, &data(name)).unwrap();
        assert_eq!((read.map().kind(), read.map().file()), (Some(read.kind()), name));
    }
    let other = CompressorMap::from_csv_text("m.csv", &data("printed-map.csv")).unwrap_err().to_string();
    assert!(other.contains("is another kind of file; this is read as shaftwork-map"), "{other}");
}
