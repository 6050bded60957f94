//! Ends of printed speed lines against those of the other lines: no false alarms, and what is planted is found.

#[path = "support/printed.rs"]
mod printed;
#[path = "support/reference.rs"]
mod reference;

use printed::taken_apart;
use reference::plain;
use shaftwork::compressor::{
    Conflict, FitError, LineEnd, MapLinesError, PrintedMap, PrintedPoint, ReadWithin,
};
use shaftwork::prelude::*;
use std::path::Path;

fn demo(name: &str) -> CompressorMap {
    CompressorMap::from_csv(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap()
}

/// Maps that are sound: those of the demonstration and of the tests, and what the estimate makes of some wheels.
fn sound() -> Vec<CompressorMap> {
    let reference = Reference::new(kelvin(298.15), kpa(100.0)).unwrap();
    let wheels = [
        (46.4, 61.0, 4.0, 40.0),
        (38.0, 52.0, 3.8, 40.0),
        (80.0, 110.0, 7.5, 35.0),
        (28.0, 40.0, 2.6, 30.0),
        (60.0, 76.0, 6.0, 45.0),
        (50.0, 80.0, 4.0, 25.0),
    ];
    let estimated = wheels.into_iter().flat_map(|(inducer, outer, width, backsweep)| {
        let builder =
            WheelGeometry::builder(mm(inducer), mm(outer)).exit_width(mm(width)).backsweep(deg(backsweep));
        let vaned = builder.vaned_diffuser(VanedDiffuser::new().vanes(17));
        [builder, vaned].map(|one| one.build().unwrap().estimate(reference).unwrap().map().unwrap())
    });
    let read = ["data/demo/map-b.csv", "data/demo/map-c.csv", "tests/fixtures/bad/plain.csv"].map(demo);
    read.into_iter().chain(estimated).collect()
}

/// The lines of a map, as read off a picture.
fn lines(map: &CompressorMap) -> PrintedMap {
    let mut lines = taken_apart(map, &[], 4);
    lines.surge.clear();
    lines
}

/// What contradicts the rest, of lines alone; where they cross, the message.
fn conflicts(lines: &PrintedMap, wheel: &MapEstimate) -> Result<Vec<Conflict>, String> {
    let made = lines.with_wheel(wheel, ReadWithin::default(), &[]);
    made.map(|made| made.fitted().conflicts().to_vec()).map_err(|error| error.to_string())
}

fn of_b() -> MapEstimate {
    let wheel = WheelGeometry::builder(mm(48.0), mm(63.0)).build().unwrap();
    wheel.estimate(Reference::new(kelvin(298.15), kpa(100.0)).unwrap()).unwrap()
}

#[test]
fn sound_maps_raise_no_alarm() {
    let mut counted = 0;
    for map in sound() {
        assert_eq!(lines(&map).line_conflicts(), Ok(Vec::new()), "{}", map.title());
        counted += 1;
    }
    assert_eq!(counted, 15);
}

// Misread digits: the first digit that is not zero, and the next, of each flow; the first decimal of each pressure ratio; one
// up or down. What changes a flow by less than 8 %, or a rise by less than 15 %, is left out, as is what moves an end beyond
// its neighbour. Found is what is named with its line and end, or refused in a message that names the line.
#[test]
fn misread_ends_are_found() {
    let (mut counts, mut wrong) = ([[0_usize; 2]; 4], 0);
    // By whom: the other lines, the own line, the refusal.
    let mut by = [0; 3];
    for map in sound().into_iter().take(7) {
        let whole = lines(&map);
        for line in 0..whole.lines.len() {
            let points = &whole.lines[line].1;
            for (end, index, next) in [(0, 0, 1), (1, points.len() - 1, points.len() - 2)] {
                let (point, beside) = (points[index], points[next]);
                let digit = 10f64.powf(point.flow.si().log10().floor());
                let flows = [1.0, -1.0, 0.1, -0.1].map(|by| point.flow.si() + by * digit);
                let ratios = [0.1, -0.1, 0.2, -0.2].map(|by| point.ratio.si() + by);
                let planted = flows.into_iter().map(|flow| {
                    let order = if end == 0 { flow < beside.flow.si() } else { flow > beside.flow.si() };
                    let sound = order && flow > 0.0 && (flow / point.flow.si()).ln().abs() > 0.08;
                    (sound, PrintedPoint::new(corrected_kg_per_s(flow.max(1e-6)), point.ratio), 0)
                });
                let ratios = ratios.into_iter().map(|ratio| {
                    let order = end == 0 || ratio < beside.ratio.si();
                    let far = ((ratio - 1.0) / (point.ratio.si() - 1.0)).ln().abs() > 0.15;
                    (order && ratio > 1.01 && far, PrintedPoint::new(point.flow, plain(ratio.max(1.001))), 1)
                });
                for (counts_here, planted, what) in planted.chain(ratios) {
                    if !counts_here {
                        continue;
                    }
                    let mut spoilt = whole.clone();
                    spoilt.lines[line].1[index] = planted;
                    let speed = whole.lines[line].0;
                    let named = |conflict: &Conflict| match conflict {
                        Conflict::OffAcross { speed: its, point, .. } => (*its, *point) == (speed, planted),
                        Conflict::OffLine { residual, .. } => {
                            (residual.speed, residual.flow, residual.ratio)
                                == (speed, planted.flow, planted.ratio)
                        }
                        _ => false,
                    };
                    let found = match spoilt.line_conflicts() {
                        Ok(all) => {
                            wrong += all.iter().filter(|conflict| !named(conflict)).count();
                            let across = |one: &Conflict| matches!(one, Conflict::OffAcross { .. });
                            let its = all.iter().find(|conflict| named(conflict));
                            its.inspect(|one| by[usize::from(!across(one))] += 1).is_some()
                        }
                        // Lines that cross are no map, and the error says which.
                        Err(FitError::Lines(
                            MapLinesError::Crossing { line: its } | MapLinesError::Value { line: its },
                        )) => {
                            by[2] += 1;
                            its.abs_diff(line) <= 1
                        }
                        Err(error) => panic!("{error}"),
                    };
                    let count = &mut counts[2 * end + what];
                    count[0] += usize::from(found);
                    count[1] += 1;
                }
            }
        }
    }
    let shares = counts.map(|[found, all]| found as f64 / all as f64);
    eprintln!(
        "found of planted: surge flow, surge ratio, choke flow, choke ratio {counts:?}, by {by:?}; others named {wrong}"
    );
    for (share, least) in shares.into_iter().zip([0.8, 0.95, 0.9, 0.55]) {
        assert!(share >= least, "{counts:?}");
    }
    // Nothing sound is named beside, and most is seen by the other lines alone.
    assert_eq!(wrong, 0);
    assert!(by[0] > 2 * (by[1] + by[2]), "{by:?}");
}

// The flow typed 0.31 for 0.21, as the wrong end of a line: line 4 of the demonstration ends at 0.276 kg/s.
#[test]
fn a_wrong_end_is_named_with_its_value() {
    let map = demo("data/demo/map-b.csv");
    let whole = lines(&map);
    assert_eq!(conflicts(&whole, &of_b()), Ok(Vec::new()));
    let mut spoilt = whole;
    let last = spoilt.lines[3].1.len() - 1;
    spoilt.lines[3].1[last].flow = corrected_kg_per_s(0.376);
    spoilt.lines[3].1[last].row = Some(42);
    let found = conflicts(&spoilt, &of_b()).unwrap();
    let [named @ Conflict::OffAcross { end, told, .. }] = &found[..] else { panic!("{found:?}") };
    assert_eq!((named.row(), *end), (Some(42), LineEnd::Choke));
    reference::close_relative(told.flow.si(), 0.276, 0.03);
    let said = named.to_string();
    assert!(said.contains("the choke end of speed line 118000 rpm") && said.contains("0.376"), "{said}");
    assert!(said.contains("other lines, which say"), "{said}");
}
