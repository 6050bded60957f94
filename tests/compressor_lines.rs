//! A map from computed lines: the same as one read from a file, and what it refuses.

#[path = "support/reference.rs"]
mod reference;

use reference::{close_relative, plain};
use shaftwork::compressor::{LinePoint, MapLinesError};
use shaftwork::prelude::*;

type Lines = Vec<(CorrectedSpeed, Vec<LinePoint>)>;

fn iso() -> Reference {
    Reference::new(kelvin(298.15), kpa(100.0)).unwrap()
}

fn point(flow: f64, ratio: f64, efficiency: f64) -> LinePoint {
    LinePoint { flow: corrected_kg_per_s(flow), ratio: plain(ratio), efficiency: plain(efficiency) }
}

/// Two invented lines, the upper one choked.
fn lines() -> Lines {
    vec![
        (
            corrected_rpm(80e3),
            vec![point(0.05, 1.50, 0.68), point(0.09, 1.45, 0.72), point(0.12, 1.25, 0.55)],
        ),
        (
            corrected_rpm(120e3),
            vec![
                point(0.10, 2.60, 0.70),
                point(0.16, 2.45, 0.74),
                point(0.20, 2.0, 0.60),
                point(0.20, 1.7, 0.50),
            ],
        ),
    ]
}

fn build(lines: &Lines) -> Result<CompressorMap, MapLinesError> {
    CompressorMap::from_lines("computed", "invented", iso(), lines)
}

#[test]
fn a_computed_map_is_the_map_of_its_file() {
    let computed = build(&lines()).unwrap();
    let mut text = String::from("# reference temperature: 298.15 K\n# reference pressure: 100 kPa\n");
    text.push_str("corrected speed [rpm],corrected flow [kg/s],pressure ratio [-],efficiency [-]\n");
    for (speed, points) in lines() {
        for p in points {
            let (flow, ratio, efficiency) = (p.flow.si(), p.ratio.si(), p.efficiency.si());
            text.push_str(&format!("{:.0},{flow},{ratio},{efficiency}\n", speed.corrected_rpm()));
        }
    }
    let read = CompressorMap::from_csv_text("lines.csv", &text).unwrap();
    for (flow, ratio) in [(0.12, 2.0), (0.15, 1.9), (0.10, 1.6)] {
        let at = |map: &CompressorMap| map.at_point(corrected_kg_per_s(flow), plain(ratio)).unwrap();
        close_relative(at(&computed).efficiency.si(), at(&read).efficiency.si(), 1e-9);
        close_relative(at(&computed).speed.si(), at(&read).speed.si(), 1e-9);
    }
    assert_eq!(
        (computed.provenance(), computed.file(), computed.header_line()),
        ("invented", "computed", None)
    );
}

#[test]
fn lines_that_make_no_map_are_refused() {
    let with = |change: fn(&mut Lines)| {
        let mut lines = lines();
        change(&mut lines);
        build(&lines).unwrap_err()
    };
    for (found, expected, words) in [
        (with(|l| l.truncate(1)), MapLinesError::Lines { count: 1 }, "1 speed lines; a map has 2 to 40"),
        (
            with(|l| l[1].1.truncate(2)),
            MapLinesError::Points { line: 1 },
            "speed line 1 has fewer than 3 points",
        ),
        (
            with(|l| l[0].1[1].flow = corrected_kg_per_s(f64::NAN)),
            MapLinesError::Value { line: 0 },
            "speed line 0 has a value that is not finite or out of range",
        ),
        (
            with(|l| l[1].0 = corrected_rpm(80e3)),
            MapLinesError::Speeds { line: 1 },
            "speed line 1 is not faster than the one before it",
        ),
        (
            with(|l| l[0].1.reverse()),
            MapLinesError::Order { line: 0 },
            "speed line 0 does not run from surge to choke",
        ),
        (
            with(|l| l[1].1 = l[0].1.clone()),
            MapLinesError::Crossing { line: 1 },
            "speed line 1 crosses the one before it",
        ),
    ] {
        assert_eq!(found, expected);
        assert_eq!(found.to_string(), words);
    }
}
