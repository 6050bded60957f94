//! A candidate whose map is a printed one: merged, sized, and said among the assumptions.
#![cfg(feature = "study")]

#[path = "support/map_study.rs"]
mod map_study;
#[path = "support/reference.rs"]
mod reference;

use map_study::{data, study};
use reference::{close, close_relative};
use shaftwork::prelude::*;
use shaftwork::study::Grade;

#[test]
fn a_printed_map_sizes_as_the_map_it_was_taken_from() {
    let printed = data("printed-map.csv");
    let merged = study(&printed).unwrap();
    let assumed = merged.assumptions.iter().find(|assumption| assumption.key == "candidate.map").unwrap();
    assert!(assumed.what.ends_with("merged from a printed map"), "{}", assumed.what);
    assert!(assumed.value.contains("63 line points within") && assumed.value.ends_with("points (RMS)"));
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
