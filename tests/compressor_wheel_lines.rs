//! Printed speed lines without efficiency, which their wheel gives them. Against published machines: their measured lines as
//! flow and pressure ratio alone, with their geometry; measured efficiency is the judge. Sources of each machine stand in
//! `data/validation`.

#[path = "support/reference.rs"]
mod reference;
#[path = "support/validation.rs"]
mod validation;
#[path = "support/wheel_lines.rs"]
mod wheel_lines;

use reference::{between, close};
use shaftwork::compressor::{Conflict, EvidenceError, FitError, PrintedMap, ReadWithin, WheelLinesError};
use shaftwork::prelude::*;
use validation::{Known, Machine, machines};
use wheel_lines::{compared, lines_of, with_wheel};

fn machine(id: &str) -> Machine {
    machines().into_iter().find(|machine| machine.id == id).unwrap()
}

// NASA HECC with a vaneless diffuser, 114 readings; NASA CC3 with and without vanes; Eckardt's rotors. NASA HECC with vanes holds
// the loss of a bend and guide vanes that the estimate does not know: it misses, and one outlet temperature mends it.
#[test]
fn efficiency_is_that_measured_within_its_band() {
    let mut seen = 0;
    for machine in machines() {
        let found = compared(&machine, &with_wheel(&machine, Known::Geometry, false).unwrap());
        let said = format!("{}: {:?} inside {}", machine.id, found.efficiency, found.inside);
        between(found.sigma, 0.01, 0.035);
        if machine.id == "nasa-hecc-vaned" {
            assert!(found.efficiency.mean > 0.03 && found.inside < 0.5, "{said}");
        } else {
            assert!(found.efficiency.mean.abs() < 0.02 && found.inside >= 0.8, "{said}");
            seen += 1;
        }
        let with = compared(&machine, &with_wheel(&machine, Known::Geometry, true).unwrap());
        assert!(
            with.efficiency.mean.abs() < 0.02 && with.inside >= 0.8,
            "{}: {:?}",
            machine.id,
            with.efficiency
        );
        assert!(with.sigma < found.sigma, "{}: {} {}", machine.id, with.sigma, found.sigma);
    }
    assert_eq!(seen, 5);
}

// Flow and pressure ratio are those printed: the smoothed lines are compared with the readings of NASA CC3, which hardly scatter.
#[test]
fn flows_and_pressure_ratios_stay_as_printed() {
    let machine = machine("nasa-cc3-vaneless");
    let made = with_wheel(&machine, Known::Geometry, false).unwrap();
    for residual in made.fitted().line_residuals() {
        let off = residual.flow_off.hypot(residual.ratio_off);
        assert!(off < 0.005, "{residual:?}");
    }
    assert!(made.fitted().ratio_rms().percent() < 0.15 && made.fitted().flow_rms().percent() < 0.1);
    // Both sides have the same lines, and another efficiency.
    for (side, higher) in [(made.worse(), false), (made.better(), true)] {
        for ((_, points), (_, other)) in made.map().points().zip(side.points()) {
            for (point, other) in points.iter().zip(&other) {
                assert_eq!((point.flow, point.ratio), (other.flow, other.ratio));
                assert_eq!(other.efficiency > point.efficiency, higher);
            }
        }
    }
}

// By hand, from the first law: the efficiency is the lossless rise over the rise of the wheel's work at this place. The estimate
// so weighed says that work at a point of its own line.
#[test]
fn efficiency_is_lossless_rise_over_work() {
    let machine = machine("nasa-hecc-vaneless");
    let made = with_wheel(&machine, Known::Geometry, false).unwrap();
    let middle = made.middle();
    let work = made.combined().estimate().at(middle.speed, middle.point.flow).unwrap().work.si();
    // cp of dry air 1004.7 J/(kg K) at 288.15 K, gamma 1.4, which is what a hand calculation takes: within 1 %.
    let lossless = 1004.7 * 288.15 * (middle.point.ratio.si().powf(0.4 / 1.4) - 1.0);
    close(middle.point.efficiency.si(), lossless / work, 0.01);
    between(middle.sigma.si(), 0.01, 0.035);
}

// The same machine at another reference: 298.15 K and 100 kPa. By hand, at equal Mach numbers speeds go with sqrt(T) and flows
// with p/sqrt(T); the efficiency of the middle point stays.
#[test]
fn the_reference_of_the_lines_does_not_matter() {
    let machine = machine("nasa-cc3-vaneless");
    let known = with_wheel(&machine, Known::Geometry, false).unwrap().middle();
    let (t, p) = (298.15 / 288.15_f64, 100.0 / 101.325);
    let mut other = lines_of(&machine);
    other.reference = Reference::new(kelvin(298.15), kpa(100.0)).unwrap();
    for (speed, points) in &mut other.lines {
        *speed = *speed * t.sqrt();
        points.iter_mut().for_each(|point| point.flow = point.flow * (p / t.sqrt()));
    }
    let estimate = machine.wheel(Known::Geometry).estimate(validation::reference()).unwrap();
    let found = other.with_wheel(&estimate, ReadWithin::default(), &[]).unwrap().middle();
    close(found.point.efficiency.si(), known.point.efficiency.si(), 5e-4);
    close(found.speed.si() / known.speed.si(), t.sqrt(), 1e-9);
}

fn demo(name: &str) -> PrintedMap {
    PrintedMap::from_csv(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("data/demo").join(name))
        .unwrap()
}
fn estimate(outer: f64) -> MapEstimate {
    let wheel = WheelGeometry::builder(mm(0.76 * outer), mm(outer)).build().unwrap();
    wheel.estimate(Reference::new(kelvin(298.15), kpa(100.0)).unwrap()).unwrap()
}

#[test]
fn what_does_not_belong_together_is_refused() {
    let read = ReadWithin::default();
    let refused = |printed: &PrintedMap, outer: f64| {
        printed.with_wheel(&estimate(outer), read, &[]).map(|_| ()).unwrap_err()
    };
    assert_eq!(refused(&demo("printed-map.csv"), 63.0), WheelLinesError::Contours);
    // A wheel too small passes no such flow.
    let small = refused(&demo("printed-lines.csv"), 40.0);
    assert!(matches!(small, WheelLinesError::Evidence(EvidenceError::BeyondAnnulus { .. })), "{small}");
    // A wheel far too large does more work than the lines have.
    let large = demo("printed-lines.csv").with_wheel(&estimate(100.0), read, &[]);
    match large {
        Err(error) => assert!(!error.to_string().is_empty()),
        Ok(made) => {
            assert!(made.combined().outliers().count() > 0, "{}", made.combined().pieces()[0].deviation)
        }
    }
    let wide = ReadWithin { flow: percent(80.0), ..read };
    let wide = demo("printed-lines.csv").with_wheel(&estimate(63.0), wide, &[]).unwrap_err().to_string();
    assert!(wide.contains("deviation of the flow"), "{wide}");
    let mut few = demo("printed-lines.csv");
    few.lines[2].1.truncate(2);
    let few = refused(&few, 63.0);
    assert_eq!(few, WheelLinesError::Lines(FitError::Points { line: 2 }));
}

// What is wrong with lines and surge line is named as on a map with contours.
#[test]
fn what_contradicts_the_rest_is_named() {
    let mut lines = demo("printed-lines.csv");
    let sound = lines.with_wheel(&estimate(63.0), ReadWithin::default(), &[]).unwrap();
    assert_eq!(sound.fitted().conflicts(), []);
    let point = &mut lines.lines[2].1[2];
    point.ratio = PressureRatio::new(point.ratio.si() + 0.1).unwrap();
    let row = point.row;
    let found = lines.with_wheel(&estimate(63.0), ReadWithin::default(), &[]).unwrap();
    let [named @ Conflict::OffLine { .. }] = found.fitted().conflicts() else {
        panic!("{:?}", found.fitted().conflicts())
    };
    assert_eq!(named.row(), row);
    close(found.middle().point.efficiency.si(), sound.middle().point.efficiency.si(), 0.01);
}
