//! A known map taken apart into what is printed of one.

#![allow(dead_code)] // each test file uses its own part

use shaftwork::compressor::{LinePoint, PrintedMap, PrintedPoint};
use shaftwork::prelude::*;

/// Speed lines, contours at the given efficiencies and the surge line, as seen on paper: no number carries more
/// than `digits` decimals of flow (kg/s) and one less of pressure ratio.
pub fn taken_apart(map: &CompressorMap, levels: &[f64], digits: i32) -> PrintedMap {
    let round = |value: f64, digits: i32| (value * 10f64.powi(digits)).round() / 10f64.powi(digits);
    let on_paper = |point: &LinePoint| {
        PrintedPoint::new(
            CorrectedMassFlow::from_si(round(point.flow.si(), digits)).unwrap(),
            PressureRatio::from_si(round(point.ratio.si(), digits - 1)).unwrap(),
        )
    };
    let lines: Vec<_> = map
        .points()
        .map(|(speed, points)| (speed, points.iter().map(on_paper).collect::<Vec<_>>()))
        .collect();
    let mut contours = Vec::new();
    for &level in levels {
        let level = Efficiency::from_si(level).unwrap();
        for contour in map.contours(level) {
            // Every fourth point: a reader of a figure takes some two dozen of a contour.
            let mut points: Vec<PrintedPoint> = contour.iter().step_by(4).map(on_paper).collect();
            points.dedup();
            contours.push((level, points));
        }
    }
    let surge = lines.iter().map(|(_, points)| points[0]).collect();
    PrintedMap {
        title: format!("Printed form of {} (invented)", map.title()),
        provenance: "invented; taken from a demonstration map, no machine stands behind it".into(),
        reference: *map.reference(),
        lines,
        contours,
        surge,
    }
}

/// The text of its file.
pub fn file_of(map: &PrintedMap) -> String {
    let mut text = format!(
        "# shaftwork-printed-map: 1\n# title: {}\n# reference temperature: {} K\n# reference pressure: {} kPa\n\
         # pressure ratio: total to total\n# efficiency: isentropic, total to total\n# provenance: {}\n",
        map.title,
        map.reference.temperature().kelvin(),
        map.reference.pressure().kpa(),
        map.provenance
    );
    text += "kind,corrected speed [rpm],efficiency [-],corrected flow [kg/s],pressure ratio [-]\n";
    let rows = |kind: &str, speed: &str, level: &str, points: &[PrintedPoint]| -> String {
        let row = |p: &PrintedPoint| format!("{kind},{speed},{level},{},{}\n", p.flow.si(), p.ratio.si());
        points.iter().map(row).collect()
    };
    for (speed, points) in &map.lines {
        text += &rows("speed line", &format!("{:.0}", speed.corrected_rpm()), "", points);
    }
    for (level, points) in &map.contours {
        text += "\n";
        text += &rows("contour", "", &level.si().to_string(), points);
    }
    text + "\n" + &rows("surge line", "", "", &map.surge)
}
