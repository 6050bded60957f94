//! The speed lines of a published machine without their efficiency, given one by its wheel, and how far that lies off.

#![allow(dead_code)] // each test file uses its own part

use super::validation::{Errors, Known, Machine, Point, as_measured, reference};
use shaftwork::compressor::{PrintedMap, PrintedPoint, ReadWithin, WheelLines, WheelLinesError};
use shaftwork::prelude::*;

/// The flows and pressure ratios that were measured, as a printed map without contours.
pub fn lines_of(machine: &Machine) -> PrintedMap {
    let line = |points: &Vec<Point>| {
        let most =
            points.iter().fold([0.0_f64; 2], |most, p| [most[0].max(p.flow.si()), most[1].max(p.ratio.si())]);
        let mut points = points.clone();
        let along = |p: &Point| p.flow.si() / most[0] - p.ratio.si() / most[1];
        points.sort_by(|a, b| along(a).total_cmp(&along(b)));
        let speed = points.iter().map(|p| p.speed.si()).sum::<f64>() / points.len() as f64;
        let points = points.iter().map(|p| PrintedPoint::new(p.flow, p.ratio)).collect();
        (corrected_rpm(rad_per_s(speed).rpm()), points)
    };
    PrintedMap {
        title: machine.title.clone(),
        provenance: "measured".into(),
        reference: reference(),
        lines: machine.lines().iter().map(line).collect(),
        contours: Vec::new(),
        surge: Vec::new(),
    }
}

/// The lines with the wheel, and with the reading of best efficiency of the middle line as a run where asked for.
pub fn with_wheel(machine: &Machine, known: Known, run: bool) -> Result<WheelLines, WheelLinesError> {
    let estimate = machine.wheel(known).estimate(reference()).unwrap();
    let lines = machine.lines();
    let middle = &lines[lines.len() / 2];
    let best = middle.iter().max_by(|a, b| a.efficiency.si().total_cmp(&b.efficiency.si())).unwrap();
    let seen = as_measured(best);
    let point = RunPoint {
        inlet: seen.inlet,
        speed: seen.speed,
        flow: seen.flow,
        flow_sigma: percent(1.0),
        ratio: seen.ratio,
        ratio_sigma: percent(0.5),
        outlet: Some((seen.outlet, kelvin_diff(1.0))),
    };
    let runs =
        if run { vec![Evidence::run("one outlet temperature", &estimate, point)?] } else { Vec::new() };
    lines_of(machine).with_wheel(&estimate, ReadWithin::default(), &runs)
}

/// Efficiency and its standard deviation at the nearest point of the line of a speed.
fn found(made: &WheelLines, speed: CorrectedSpeed, point: &Point) -> [f64; 2] {
    let place = |k: u32| fraction(f64::from(k) / 400.0);
    let off = |k: &u32| {
        let at = made.map().on_line(speed, place(*k)).unwrap();
        (at.flow / point.flow).ln().hypot((at.ratio.si() / point.ratio.si()).ln())
    };
    let nearest = (0..=400).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap();
    let [worse, at, better] = [made.worse(), made.map(), made.better()]
        .map(|map| map.on_line(speed, place(nearest)).unwrap().efficiency.si());
    [at, 0.5 * (better - worse)]
}

/// Estimated less measured efficiency at all points of a machine.
pub struct Compared {
    pub efficiency: Errors,
    pub worst: f64,
    /// Share of points in the 90 % band, and the mean standard deviation stated.
    pub inside: f64,
    pub sigma: f64,
}

pub fn compared(machine: &Machine, made: &WheelLines) -> Compared {
    let (mut errors, mut inside, mut sigmas) = (Vec::new(), 0, 0.0);
    for (line, speed) in machine.lines().iter().zip(made.map().speeds()) {
        for point in line {
            let [efficiency, sigma] = found(made, speed, point);
            let off = efficiency - point.efficiency.si();
            inside += usize::from(off.abs() <= 1.645 * sigma);
            sigmas += sigma;
            errors.push(off);
        }
    }
    let worst = errors.iter().copied().max_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap();
    let n = errors.len() as f64;
    Compared { efficiency: Errors::of(&errors), worst, inside: inside as f64 / n, sigma: sigmas / n }
}

/// The rows of the published table: what is told, then with one outlet temperature.
pub fn table(machines: &[Machine]) -> String {
    let mut out = String::from(HEAD);
    for (known, told) in
        [(Known::Geometry, "all dimensions"), (Known::Diameters, "diameters and blade count")]
    {
        for machine in machines {
            for (run, words) in [(false, "none"), (true, "one outlet temperature")] {
                out += &match with_wheel(machine, known, run) {
                    Ok(made) => {
                        let Compared { efficiency, worst, inside, sigma } = compared(machine, &made);
                        let points = |x: f64| format!("{:+.1}", 100.0 * x);
                        format!(
                            "| {} | {told} | {words} | {} | {} | {:.1} | {} | {:.0} % | {:.1} |\n",
                            machine.id,
                            efficiency.count,
                            points(efficiency.mean),
                            100.0 * efficiency.sd,
                            points(worst),
                            100.0 * inside,
                            100.0 * sigma
                        )
                    }
                    Err(WheelLinesError::Efficiency { value, .. }) => {
                        format!("| {} | {told} | {words} | refused: {value:.3} | | | | | |\n", machine.id)
                    }
                    Err(error) => format!("| {} | {told} | {words} | {error} | | | | | |\n", machine.id),
                };
            }
        }
    }
    out + FOOT
}

const HEAD: &str = "
## Efficiency of printed speed lines by the work of their wheel

The measured lines of each machine are given as flow and pressure ratio alone, with its wheel; the efficiency that
`PrintedMap::with_wheel` gives them is compared with the measured one, in points, estimated less measured, at every reading.
`inside` is the share of readings in the 90 % band, `sigma` the mean standard deviation that is stated. `besides` names other
evidence: the reading of best efficiency of the middle line as a run with an outlet temperature known within 1 K, which is
among the readings compared.

| machine | told | besides | points | mean | sd | worst | inside | sigma |
|---|---|---|---|---|---|---|---|---|
";
const FOOT: &str = "
Nothing was tuned to these figures. Two rules were set while they were worked out, neither by the errors: behind vanes the flat part
of a line is observed at shares of its choke flow, because at its flows the search for the likeliest map of NASA HECC did not
settle; and a greatest flow counts as choke only where the line falls steeply, which these lines and those of the demonstration
set apart. NASA HECC's readings with vanes hold the loss of a bend and guide vanes that the estimate does not know: the lines
alone cannot tell it from less work. With diameters alone the defaults may miss the work by more than their band, as of NASA
CC3's vaneless build with its 50 degrees of backsweep, or the wheel may be none that they speak of, as Eckardt O, which is radial:
its lines are refused, because an efficiency above 0.95 came out. One outlet temperature mends most of it.
";
