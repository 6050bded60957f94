//! A candidate whose map is a printed one: merged, sized, and said among the assumptions.
#![cfg(feature = "cli")]

#[path = "support/map_study.rs"]
mod map_study;
#[path = "support/reference.rs"]
mod reference;

use map_study::{data, study};
use reference::{close, close_relative};
use shaftwork::compressor::MapFile;
use shaftwork::prelude::*;
use shaftwork::report::{html, json, text};
use shaftwork::study::Grade;

#[test]
fn a_printed_map_sizes_as_the_map_it_was_taken_from() {
    let printed = data("printed-map.csv");
    let merged = study(&printed).unwrap();
    let assumed = merged.assumptions.iter().find(|assumption| assumption.key == "candidate.map").unwrap();
    assert!(assumed.what.ends_with("merged from a printed map"), "{}", assumed.what);
    assert!(assumed.value.contains("63 line points within") && assumed.value.ends_with("of flow (RMS)"));
    assert_eq!(assumed.grade, Grade::Assumed);

    let known = study(&data("map-b.csv")).unwrap();
    assert!(known.assumptions.iter().all(|assumption| assumption.key != "candidate.map"));
    // The printed map was taken from candidate B's: an operating point is the same to what the figure is read to.
    let at = |study: &Study| {
        let candidate = study.candidates.iter().find(|candidate| candidate.name() == "B").unwrap();
        let turbine = &candidate.housings()[0].turbine;
        let target = Target::crank(kw(200.0), rpm(6600.0));
        operating_point(&study.installation, candidate, turbine, &study.fuels[0], target).unwrap()
    };
    let (merged, known) = (at(&merged), at(&known));
    close(merged.efficiency.si(), known.efficiency.si(), 0.005);
    close_relative(merged.shaft_speed.si(), known.shaft_speed.si(), 0.005);
    close_relative(merged.ratio.si(), known.ratio.si(), 0.005);
}

#[test]
fn problems_of_a_printed_map_are_those_of_its_file() {
    let printed = data("printed-map.csv");
    let wrong = study(&printed.replace("0.045,1.31\n", "0.045,\n")).unwrap_err().to_string();
    assert!(wrong.contains("column \"pressure ratio\": is missing; a speed line needs it"), "{wrong}");
    let lines = printed.split("\n\n").next().unwrap();
    let one = format!("{lines}\n\ncontour,,0.7,0.1,1.5\n");
    let few = study(&one).unwrap_err().to_string();
    assert!(few.contains("1 points with an efficiency lie on and between the speed lines"), "{few}");
}

// Flows by volume are converted by the density at the map's reference: 100 kPa/(287.05 J/(kg K) 298.15 K) = 1.16844 kg/m3.
#[test]
fn a_printed_map_in_volume_flows_is_the_same_map() {
    let printed = data("printed-map.csv");
    let rows = printed.lines().map(|row| {
        let cells: Vec<&str> = row.split(',').collect();
        match cells.get(3).and_then(|flow| flow.parse::<f64>().ok()) {
            Some(flow) => format!("{},{},{},{},{}", cells[0], cells[1], cells[2], flow / 1.16844, cells[4]),
            None => row.replace("[kg/s]", "[m3/s]"),
        }
    });
    let volumes = rows.collect::<Vec<_>>().join("\n");
    let [known, found] = [&printed, &volumes].map(|text| {
        MapFile::from_csv_text("map.csv", text).unwrap_or_else(|problems| panic!("{problems}")).into_map()
    });
    close_relative(found.greatest_flow().si(), known.greatest_flow().si(), 1e-4);
    assert!(found.provenance().contains("in m3/s times 1.168"), "{}", found.provenance());
    let without = volumes.replace("# reference pressure: 100 kPa\n", "");
    let refused = MapFile::from_csv_text("map.csv", &without).unwrap_err().to_string();
    assert!(refused.contains("times the density at the map's reference it is a mass flow"), "{refused}");
}

// What contradicts the rest stands in the assumptions, the text, the page and the JSON, by its line of the file.
#[test]
fn what_contradicts_the_rest_is_in_every_report() {
    let printed = data("printed-map.csv");
    let row = "speed line,104000,,0.15,1.75\n";
    let line = printed[..printed.find(row).unwrap()].lines().count() + 1;
    let sizing = study(&printed.replace(row, "speed line,104000,,0.15,1.85\n")).unwrap().size().unwrap();
    let said = format!("line {line}: the speed line point");
    for report in [text(&sizing), html(&sizing), json(&sizing)] {
        assert!(report.contains(&said), "{said}\n{report}");
    }
    // Many of them: a handful by their lines, the rest counted.
    let swapped = printed.replace(",0.7,", ",x,").replace(",0.76,", ",0.7,").replace(",x,", ",0.76,");
    let study = study(&swapped).unwrap();
    let named = study.assumptions.iter().find(|one| one.what.ends_with("what contradicts the rest")).unwrap();
    assert_eq!(named.value.matches("line ").count(), 8, "{}", named.value);
    assert!(named.value.contains("points from the fit") && named.value.ends_with(" more"), "{}", named.value);
}
