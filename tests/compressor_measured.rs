//! Measured speed lines from a file: a known map read with noise comes back, what is left of each reading is told, and
//! those far off are named with their line in the file.

#[path = "support/maps.rs"]
mod maps;
#[path = "support/noise.rs"]
mod noise;
#[path = "support/reference.rs"]
mod reference;

use maps::{demo, file};
use noise::Noise;
use reference::{between, close, plain};
use shaftwork::compressor::{Conflict, MeasuredMap};
use shaftwork::prelude::*;
use std::fmt::Write;

/// Standard deviations: flow and pressure ratio relative, efficiency as a fraction.
const NOISE: [f64; 3] = [0.005, 0.003, 0.005];
const SWEEPS: usize = 3;

/// Three sweeps over all lines of a map, from choke to surge and back, each reading with its own errors.
fn readings(map: &CompressorMap, noise: [f64; 3], seed: u32) -> String {
    let mut deviate = Noise(seed);
    let mut text = String::from(
        "# shaftwork-measured-map: 1\n# title: Readings of candidate B (invented)\n# reference temperature: 298.15 K\n\
         # reference pressure: 100 kPa\n# provenance: invented; points of map-b.csv with normal errors of 0.5 % in flow, \
         0.3 % in pressure ratio, 0.5 points in efficiency, and two misread; no machine stands behind it\n\
         corrected speed [rpm],corrected flow [kg/s],pressure ratio [-],efficiency [-]\n",
    );
    for sweep in 0..SWEEPS {
        for (speed, mut points) in map.points() {
            if sweep % 2 == 0 {
                points.reverse();
            }
            for p in points {
                let [flow, ratio] = [(p.flow.si(), noise[0]), (p.ratio.si(), noise[1])]
                    .map(|(value, noise)| value * (1.0 + noise * deviate.normal()));
                let efficiency = p.efficiency.si() + noise[2] * deviate.normal();
                writeln!(text, "{:.0},{flow:.4},{ratio:.3},{efficiency:.3}", speed.corrected_rpm()).unwrap();
            }
        }
    }
    text
}

/// The example: readings of which two are misread, digits swapped in a pressure ratio and in an efficiency.
fn example() -> (String, [usize; 2]) {
    let mut lines: Vec<String> = readings(&demo("map-b.csv"), NOISE, 7).lines().map(String::from).collect();
    // The third point of line 118000 in the second sweep, the fifth of line 104000 in the first, counted from zero.
    let (ratio, efficiency) = (6 + 63 + 3 * 9 + 2, 6 + 2 * 9 + 4);
    for (row, column, from, to) in [(ratio, 2, "2.0", "2.8"), (efficiency, 3, "0.7", "0.6")] {
        let mut fields: Vec<String> = lines[row].split(',').map(String::from).collect();
        assert!(fields[column].starts_with(from), "{fields:?}");
        fields[column] = fields[column].replacen(from, to, 1);
        lines[row] = fields.join(",");
    }
    (lines.join("\n") + "\n", [ratio + 1, efficiency + 1])
}

fn fitted(text: &str) -> MeasuredMap {
    CompressorMap::from_measured_csv_text("m.csv", text).unwrap_or_else(|problems| panic!("{problems}"))
}

/// Worst and root mean square of what parts the lines from those of the known map, as the nearest distance in flow and
/// pressure ratio (relative), and of what parts efficiency at the same flow and pressure ratio.
fn off(known: &CompressorMap, map: &CompressorMap) -> [[f64; 2]; 2] {
    let (mut lines, mut efficiencies) = (Vec::new(), Vec::new());
    for speed in known.speeds() {
        let at = |map: &CompressorMap, k: u32, of: f64| map.on_line(speed, plain(f64::from(k) / of)).unwrap();
        for k in 1..40 {
            let exact = at(known, k, 40.0);
            let near = |k: u32| {
                let p = at(map, k, 2000.0);
                (p.flow.si() / exact.flow.si() - 1.0).hypot(p.ratio.si() / exact.ratio.si() - 1.0)
            };
            lines.push((0..=2000).map(near).fold(f64::INFINITY, f64::min));
            if let (Ok(a), Ok(b)) =
                (known.at_point(exact.flow, exact.ratio), map.at_point(exact.flow, exact.ratio))
            {
                efficiencies.push((a.efficiency.si() - b.efficiency.si()).abs());
            }
        }
    }
    assert!(efficiencies.len() * 10 > lines.len() * 7, "{} of {}", efficiencies.len(), lines.len());
    [lines, efficiencies].map(|all| {
        let square: f64 = all.iter().map(|off| off * off).sum();
        [all.iter().copied().fold(0.0, f64::max), (square / all.len() as f64).sqrt()]
    })
}

#[test]
fn the_example_is_a_map_with_noise() {
    let (expected, _) = example();
    let path = file("demo/measured-lines.csv");
    // `SHAFTWORK_WRITE_TABLES=1 cargo test --test compressor_measured` writes it again.
    if std::env::var_os("SHAFTWORK_WRITE_TABLES").is_some() {
        std::fs::write(&path, &expected).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap(), expected);
}

// Every seed is another set of readings. The truth is known: it is the map that they were made from.
#[test]
fn the_map_without_noise_comes_back_within_the_noise() {
    let known = demo("map-b.csv");
    let (mut named, mut all) = (0, 0);
    for seed in 1..=6 {
        let measured = fitted(&readings(&known, NOISE, seed));
        let [[line_worst, line], [worst, efficiency]] = off(&known, measured.map());
        named += measured.outliers().len();
        all += measured.lines().iter().map(|line| line.readings().len()).sum::<usize>();
        eprintln!(
            "seed {seed}: lines {:.2} % rms, {:.2} % worst; efficiency {:.2} points rms, {:.2} worst; {}",
            100.0 * line,
            100.0 * line_worst,
            100.0 * efficiency,
            100.0 * worst,
            measured.fitted().summary()
        );
        between(line, 0.0, NOISE[1]);
        between(line_worst, 0.0, 3.0 * NOISE[0]);
        between(efficiency, 0.0, NOISE[2]);
        between(worst, 0.0, 5.0 * NOISE[2]);
        // What is left is the noise, less what the fit takes up; where efficiency falls to choke, that of flow adds to it.
        between(measured.fitted().efficiency_rms().si(), 0.7 * NOISE[2], 1.5 * NOISE[2]);
        for line in measured.lines() {
            between(line.flow_rms().si().hypot(line.ratio_rms().si()), 0.5 * NOISE[1], 1.2 * NOISE[0]);
        }
    }
    eprintln!("{named} of {all} named");
    // Beyond three standard deviations lie 0.3 % of normal errors; each reading is judged twice.
    assert!(named * 100 <= 2 * all, "{named} of {all}");
}

#[test]
fn misread_digits_are_named_with_their_line() {
    let (text, [ratio, efficiency]) = example();
    let measured = fitted(&text);
    let kinds: Vec<(usize, bool)> = measured
        .outliers()
        .into_iter()
        .map(|(point, conflict)| (point.row, matches!(conflict, Conflict::OffLine { .. })))
        .collect();
    eprintln!("{measured}");
    assert!(kinds.contains(&(ratio, true)) && kinds.contains(&(efficiency, false)), "{kinds:?}");
    let told = measured.to_string();
    assert!(told.contains(&format!("\nm.csv, line {ratio}: ")), "{told}");
    // They have no say: the map is that of the sound readings alone.
    let sound: Vec<&str> =
        text.lines().enumerate().filter(|(i, _)| i + 1 != ratio).map(|(_, line)| line).collect();
    let without = fitted(&sound.join("\n"));
    for (with, without) in measured.map().points().zip(without.map().points()) {
        let ends = |points: &[shaftwork::compressor::LinePoint]| [points[0], points[points.len() - 1]];
        for (a, b) in ends(&with.1).into_iter().zip(ends(&without.1)) {
            close(a.flow.si() / b.flow.si(), 1.0, 1e-3);
            close(a.ratio.si() / b.ratio.si(), 1.0, 1e-3);
        }
    }
    // What is left of the misread ratio is what was done to it: 2.8 for 2.1.
    let point =
        measured.lines().iter().flat_map(|line| line.readings()).find(|point| point.row == ratio).unwrap();
    between(point.flow_off.hypot(point.ratio_off), 0.1, 0.4);
    let point = measured
        .lines()
        .iter()
        .flat_map(|line| line.readings())
        .find(|point| point.row == efficiency)
        .unwrap();
    close(point.efficiency_off, -0.10, 0.02);
}

// Property: the fitted map written to a file is the same map.
#[test]
fn a_fitted_map_goes_through_a_file() {
    let measured = fitted(&example().0);
    let map = measured.map();
    let read = CompressorMap::from_csv_text("fitted.csv", &map.to_csv_text()).unwrap();
    assert_eq!((read.title(), read.provenance()), (map.title(), map.provenance()));
    assert_eq!(read.reference(), map.reference());
    assert_eq!(read.points().count(), 7);
    for ((speed, points), (same, others)) in map.points().zip(read.points()) {
        close(same.si() / speed.si(), 1.0, 1e-14);
        assert_eq!(points, others);
    }
}

// Property: the order of the rows says nothing.
#[test]
fn rows_may_stand_in_any_order() {
    let text = readings(&demo("map-b.csv"), NOISE, 3);
    let (head, rows): (Vec<&str>, Vec<&str>) =
        text.lines().partition(|line| !line.starts_with(char::is_numeric));
    let mut shuffled = rows.clone();
    shuffled.sort_by_key(|row| row.chars().rev().collect::<String>());
    assert_ne!(rows, shuffled);
    let other = fitted(&[head, shuffled].concat().join("\n"));
    let plain = fitted(&text);
    for ((_, a), (_, b)) in plain.map().points().zip(other.map().points()) {
        for (a, b) in a.iter().zip(&b) {
            close(a.flow.si() / b.flow.si(), 1.0, 1e-6);
            close(a.ratio.si() / b.ratio.si(), 1.0, 1e-6);
            close(a.efficiency.si(), b.efficiency.si(), 1e-5);
        }
    }
}

#[test]
fn readings_that_make_no_map_are_named() {
    let text = readings(&demo("map-b.csv"), [0.0; 3], 1);
    let says = |text: &str| {
        let problems = CompressorMap::from_measured_csv_text("m.csv", text).unwrap_err();
        problems.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    // A speed that is logged as it was, not as the line's.
    let first = text.lines().position(|line| line.starts_with("88000")).unwrap();
    let scattered = text.replacen("88000,", "88010,", 1);
    let expected = format!(
        "m.csv, line {}: speed line 88010 rpm has 1 readings; at least 5 are needed, each with the line's nominal speed",
        first + 1
    );
    assert_eq!(says(&scattered), [expected]);
    // Two lines interchanged.
    let crossed =
        text.replace("\n88000,", "\nx,").replace("\n104000,", "\n88000,").replace("\nx,", "\n104000,");
    let all = says(&crossed);
    assert!(
        all[0].starts_with(&format!(
            "m.csv, line {}: speed line 104000 rpm, fitted, does not lie above",
            first + 1
        )),
        "{all:?}"
    );
    let one: String =
        text.lines().filter(|line| !line.starts_with(['7', '8', '1'])).map(|l| format!("{l}\n")).collect();
    assert_eq!(says(&one), ["m.csv: 0 speed line; at least 2 are needed"]);
    let same = text.lines().map(|line| match line.starts_with("70000") {
        true => "70000,0.1,1.2,0.7\n".to_string(),
        false => format!("{line}\n"),
    });
    let all = says(&same.collect::<String>());
    assert_eq!(all, ["m.csv, line 7: speed line 70000 rpm: all readings are the same point"]);
    // What is wrong with a row is told as for any map.
    let all = says(&text.replacen(",0.1", ",x", 1));
    assert!(all[0].contains("column \"corrected flow\": \"x"), "{all:?}");
}
