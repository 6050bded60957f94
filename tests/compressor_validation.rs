//! The estimate from geometry against published machines. What misses is shown: the tables
//! of `data/validation/README.md` are written from here, and the test fails while they are stale.

#[path = "support/reference.rs"]
mod reference;
#[path = "support/validation.rs"]
mod validation;
#[path = "support/wheel_lines.rs"]
mod wheel_lines;

use reference::{between, close};
use shaftwork::compressor::SizeCheck;
use std::fmt::Write;
use std::path::Path;
use validation::{
    Comparison, Errors, Known, Machine, Taken, as_measured, best_efficiencies, compare, machines,
    one_measured, reference as rig_reference, vaned_lines,
};

fn compared(machine: &Machine, known: Known) -> Comparison {
    let estimate = machine.wheel(known).estimate(rig_reference()).unwrap();
    compare(&estimate, machine.points.iter(), true)
}

fn machine(id: &str) -> Machine {
    machines().into_iter().find(|machine| machine.id == id).unwrap()
}

// Another trial of the same method on the same machines, by other code, gave these mean errors of pressure
// ratio (percent, points below 0.97 of choke flow). It made its own choices where the method leaves them open (wake,
// diffuser end, choking loss): 2.5 points are granted.
#[test]
fn mean_errors_are_those_of_another_trial() {
    for (id, trial) in
        [("nasa-hecc-vaneless", -1.9), ("nasa-cc3-vaneless", 6.9), ("eckardt-o", -1.6), ("eckardt-a", -3.7)]
    {
        close(100.0 * compared(&machine(id), Known::Geometry).ratio.mean, trial, 2.5);
    }
}

// Measured work lies within 5 % of the mean line's on all but Eckardt A, where slip correlations are known to fail.
#[test]
fn work_is_within_five_percent_on_three_machines() {
    for machine in machines() {
        let work = compared(&machine, Known::Geometry).work;
        if machine.id == "eckardt-a" {
            between(work.mean, -0.15, -0.05);
        } else {
            // CC3's wheel behind vanes works where its vaneless build was not measured, and there its miss is larger.
            let most = if machine.id == "nasa-cc3-vaned" { 0.065 } else { 0.055 };
            assert!(work.mean.abs() + work.sd < most, "{}: {work:?}", machine.id);
        }
    }
}

// A throat cannot pass less than what was measured through it: 4 %, one standard deviation, is granted.
#[test]
fn no_machine_passed_more_than_its_estimated_choke_flow() {
    for machine in machines() {
        let estimate = machine.wheel(Known::Geometry).estimate(rig_reference()).unwrap();
        for line in machine.lines() {
            let choke = estimate.line(line[0].speed).unwrap().choke;
            let greatest = line[line.len() - 1].flow;
            assert!(greatest.si() < 1.04 * choke.si(), "{}: {greatest} over {choke}", machine.id);
        }
    }
    // Eckardt A at 14 000 rpm: measured choke flow 6.75 kg/s (Eckardt 1979).
    let a = machine("eckardt-a");
    let estimate = a.wheel(Known::Geometry).estimate(rig_reference()).unwrap();
    let choke = estimate.line(shaftwork::prelude::corrected_rpm(14_000.0)).unwrap().choke.si();
    close(choke, 6.75, 0.04 * 6.75);
}

// The throat of CC3's vanes is known, that of HECC's stands as a default.
#[test]
fn vanes_choke_where_they_were_measured_to() {
    for id in ["nasa-cc3-vaned", "nasa-hecc-vaned"] {
        let machine = machine(id);
        let estimate = machine.wheel(Known::Geometry).estimate(rig_reference()).unwrap();
        let lines = vaned_lines(&machine, &estimate);
        assert!(lines.len() >= 4);
        for line in lines {
            let [found, measured] = line.choke.map(|flow| flow.si());
            let off = (found / measured).ln();
            assert!(off.abs() < 1.645 * line.choke_sigma, "{id} {}: {off} {}", line.speed, line.choke_sigma);
            if id == "nasa-cc3-vaned" {
                between(off, -0.06, 0.06);
            }
        }
    }
}

// At the same share of choke flow the speed lines have the measured shape: pressure ratio within 10 %, and an efficiency
// that is 3 to 7 points high throughout, inside its 90 % band.
#[test]
fn vaned_lines_have_the_measured_shape() {
    for id in ["nasa-cc3-vaned", "nasa-hecc-vaned"] {
        let machine = machine(id);
        let estimate = machine.wheel(Known::Geometry).estimate(rig_reference()).unwrap();
        for line in vaned_lines(&machine, &estimate) {
            let told = format!("{id} {}: {:?} {:?}", line.speed, line.ratio, line.efficiency);
            assert!(line.ratio.count >= 2 && line.ratio.rms < 0.10, "{told}");
            assert!(line.ratio.sd < 0.015 && line.efficiency.sd < 0.012, "{told}");
            assert!(line.efficiency.mean > 0.02 && line.efficiency.mean < 0.075, "{told}");
            assert!(line.peak.abs() < 1.645 * line.peak_sigma, "{told}: {} {}", line.peak, line.peak_sigma);
        }
    }
}

// Aim: 80 to 95 % of all points inside the 90 % band.
#[test]
fn bands_hold_what_they_say_over_all_machines() {
    let (mut inside, mut count) = (0.0, 0.0);
    for machine in machines() {
        let found = compared(&machine, Known::Geometry);
        inside += found.inside * found.ratio.count as f64;
        count += found.ratio.count as f64;
    }
    between(inside / count, 0.80, 0.95);
}

// From the lowest to the highest speed the best efficiency was measured to fall, on every machine without vanes. The
// estimate misses part of that, by 4 points at most; without its loss of high tip-speed Mach numbers by more.
#[test]
fn best_efficiency_is_missed_by_a_few_points_along_the_speeds() {
    for machine in machines().iter().filter(|machine| !machine.is_vaned()) {
        let lines = best_efficiencies(machine);
        let (first, last) = (&lines[0], &lines[lines.len() - 1]);
        assert!(last.measured < first.measured - 0.009, "{}", machine.id);
        let [low, high] = [first, last].map(|line| line.estimated - line.measured);
        between(high - low, 0.0, 0.04);
        assert!(low.abs() < 0.05 && high.abs() < 0.035, "{}: {low} {high}", machine.id);
    }
}

#[test]
fn a_measured_point_is_met() {
    for machine in machines() {
        let estimate = machine.wheel(Known::Geometry).estimate(rig_reference()).unwrap();
        for line in machine.lines() {
            let point = line[line.len() / 2];
            let scaled = estimate.clone().with_measured_point(as_measured(&point)).unwrap();
            let found = scaled.at(point.speed, point.flow).unwrap();
            close(found.ratio.si(), point.ratio.si(), 1e-6);
            close(found.efficiency.si(), point.efficiency.si(), 1e-6);
        }
    }
}

// Aim: 2.5 % rms at all other points after one measured point near best efficiency. NASA HECC misses it: its lines fall
// from 0.85 of choke flow on, those of the mean line only close to choke. With vanes a point says nothing of their choke
// flow, from which the pressure falls within some percent of flow: the aim is out of reach, and the band says so.
#[test]
fn one_measured_point_leaves_two_and_a_half_percent_on_three_machines() {
    for machine in machines() {
        let (errors, inside, sigma) = one_measured(&machine, Known::Geometry, Taken::Best);
        let most = match &*machine.id {
            "nasa-hecc-vaneless" => 0.032,
            "nasa-cc3-vaned" => 0.13,
            "nasa-hecc-vaned" => 0.17,
            _ => 0.025,
        };
        if machine.is_vaned() {
            assert!(inside > 0.75 && sigma > 0.05, "{}: {inside} {sigma}", machine.id);
        }
        assert!(errors.count > 50 && errors.rms < most, "{}: {errors:?}", machine.id);
    }
}

#[test]
fn machines_of_this_size_are_validated() {
    for machine in machines() {
        let estimate = machine.wheel(Known::Geometry).estimate(rig_reference()).unwrap();
        assert_eq!(estimate.size_check(), SizeCheck::Validated);
    }
}

fn tables() -> String {
    let mut out = String::from(HEAD);
    let percent = |x: f64| format!("{:+.1}", 100.0 * x);
    let plain = |x: f64| format!("{:.1}", 100.0 * x);
    let share = |x: f64| format!("{:.0} %", 100.0 * x);
    for known in [Known::Geometry, Known::Diameters] {
        let told = match known {
            Known::Geometry => "all dimensions",
            Known::Diameters => "diameters and blade count",
        };
        for machine in machines() {
            let Comparison { ratio, work, efficiency, beyond, inside, sigma } = compared(&machine, known);
            let cells = [
                machine.id.clone(),
                told.into(),
                ratio.count.to_string(),
                beyond.to_string(),
                percent(ratio.mean),
                plain(ratio.sd),
                plain(ratio.rms),
                percent(work.mean),
                percent(efficiency.mean),
                share(inside),
                plain(sigma),
            ];
            writeln!(out, "| {} |", cells.join(" | ")).unwrap();
        }
    }
    out.push_str(LINES);
    for machine in machines() {
        let estimate = machine.wheel(Known::Geometry).estimate(rig_reference()).unwrap();
        for line in machine.lines() {
            let found = estimate.line(line[0].speed).unwrap();
            let (lowest, greatest) = (line[0].flow.si(), line[line.len() - 1].flow.si());
            writeln!(
                out,
                "| {} | {:.0} | {:.2} | {greatest:.2} | {:.2} | {:.2} | {lowest:.2} | {:.2} |",
                machine.id,
                line[0].speed.corrected_rpm(),
                found.choke.si(),
                found.choke.si() / greatest,
                found.surge.si(),
                found.surge.si() / lowest
            )
            .unwrap();
        }
    }
    out.push_str(VANED);
    for machine in machines().iter().filter(|machine| machine.is_vaned()) {
        let estimate = machine.wheel(Known::Geometry).estimate(rig_reference()).unwrap();
        for line in vaned_lines(machine, &estimate) {
            let [found, measured] = line.choke.map(|flow| flow.si());
            let cells = [
                machine.id.clone(),
                format!("{:.0}", line.speed.corrected_rpm()),
                percent(found / measured - 1.0),
                plain(line.choke_sigma),
                percent(line.peak),
                plain(line.peak_sigma),
                line.ratio.count.to_string(),
                percent(line.ratio.mean),
                plain(line.ratio.sd),
                percent(line.efficiency.mean),
                plain(line.efficiency.sd),
            ];
            writeln!(out, "| {} |", cells.join(" | ")).unwrap();
        }
    }
    out.push_str(BEST);
    for machine in machines().iter().filter(|machine| !machine.is_vaned()) {
        let lines = best_efficiencies(machine);
        let (first, last) = (&lines[0], &lines[lines.len() - 1]);
        let cells = [first, last].map(|line| {
            format!("{:.2} | {:.3} | {}", line.mach, line.measured, percent(line.estimated - line.measured))
        });
        writeln!(out, "| {} | {} |", machine.id, cells.join(" | ")).unwrap();
    }
    out.push_str(ONE);
    for machine in machines() {
        for (taken, words) in [(Taken::Best, "best efficiency of each line"), (Taken::Any, "anywhere")] {
            let (Errors { count, mean, rms, .. }, inside, sigma) =
                one_measured(&machine, Known::Geometry, taken);
            writeln!(
                out,
                "| {} | {words} | {count} | {} | {} | {} | {} |",
                machine.id,
                percent(mean),
                plain(rms),
                share(inside),
                plain(sigma)
            )
            .unwrap();
        }
    }
    out.push_str(FOOT);
    out.push_str(&wheel_lines::table(&machines()));
    out
}

// `SHAFTWORK_WRITE_TABLES=1 cargo test --test compressor_validation` writes them again.
#[test]
fn published_tables_are_current() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/validation/README.md");
    let now = tables();
    if std::env::var_os("SHAFTWORK_WRITE_TABLES").is_some() {
        std::fs::write(&path, &now).unwrap();
    }
    let written = std::fs::read_to_string(&path).unwrap();
    assert!(written == now, "data/validation/README.md is stale; now:\n{now}");
}

const HEAD: &str = "\
# Estimates from geometry against published machines

Written by `tests/compressor_validation.rs`. The coefficients (`src/compressor/estimate/coefficients.rs`) were set before
the first comparison and none is tuned to a machine, with these reservations: the choking loss joined after it, with its
published coefficients (it moved no mean error by more than 0.1 %); so did, much later, the published loss of high
tip-speed Mach numbers; how far past the chart surge is put is the middle of
what these machines show; of clearances on which sources differ, the one read was taken. Each machine has a TOML with its
geometry and the source of each dimension, and a CSV with the measured points (NASA HECC:
`data/reference/nasa-hecc-points.csv`). All have 400 to 432 mm and no volute: an estimate for a
smaller wheel says that it is not validated at its size, and the volute is validated nowhere. Six machines are few: a
machine's points err together, so a share inside the band says little beyond its machine.

Of vaned diffusers two were compared. Their coefficients too were set before, with these reservations: how far vanes may
slow the flow before they stall is the middle of what these two show, so that their surge flows check nothing; and the
spread of the recovery behind the throat was doubled afterwards, because both machines lost more than its middle says.
Two rules of the comparison were chosen after the vaned results were seen: a measured flow beyond the choke of a shifted
estimate counts as the bottom of its line (without that, and before the loss of high tip-speed Mach numbers, 71 % of
NASA CC3's points lay inside, not 77), and a single measured point is not taken from beyond 0.97 of choke (else half of the points lie inside the band it leaves, not four
fifths). The throat of NASA CC3 rests on an aspect ratio told second-hand; it was read as height over width after the throat
that its choke flow asks for had been worked out, so the agreement of its choke flow is no blind test.

Errors are estimated less measured, of pressure ratio at measured speed and flow, for points below 0.97 of the
estimated choke flow (`beyond` counts the others). Efficiency is in points. `inside` is the share of points in the 90 %
band, `sigma` the mean standard deviation that the estimate states.

| machine | told | points | beyond | ratio, mean % | sd % | rms % | work, mean % | efficiency, mean | inside | sigma % |
|---|---|---|---|---|---|---|---|---|---|---|
";
const LINES: &str = "
With diameters alone the defaults stand for what was not told: 38 degrees of backsweep, a diffuser of 1.6, an exit area
of 1.12 throat areas. Blade angle and exit area are drawn from these same four machines, so that this half of the table
is kinder than a new machine will be. A radial wheel (Eckardt O) lies outside the defaults and outside the band: look
at the blades.

## Choke and surge, told all dimensions

Flows in kg/s. The greatest and lowest flows are those measured: choke flow is at least the one, surge at most the other.

| machine | speed, rpm | choke, estimated | greatest measured | ratio | surge, estimated | lowest measured | ratio |
|---|---|---|---|---|---|---|---|
";
const VANED: &str = "
## Vanes in the diffuser, told all that is known

A line with vanes ends in a vertical fall at their choke flow, so that an error in choke flow of some percent is one of tens
of percent in pressure ratio at a given flow: the table at the top shows it, and its band holds it. Here choke flow and
what lies before it are apart: `ratio` and `efficiency` are compared at equal shares of choke flow, estimated and measured,
below 0.97. Of NASA CC3 the throat of the vanes is known, of NASA HECC it is the default.

| machine | speed, rpm | choke, % | sigma % | best efficiency | sigma | points | ratio, mean % | sd % | efficiency, mean | sd |
|---|---|---|---|---|---|---|---|---|---|---|
";
const BEST: &str = "
## Best efficiency from the lowest to the highest speed, told all dimensions

Without vanes; the errors in points, estimated less measured. On all four machines the best efficiency falls with tip
speed by more than the estimate's, whose loss of high tip-speed Mach numbers is a small part of what was measured: from
the lowest to the highest speed the estimate rises by 1 to 4 points against them. Small wheels have a lower Reynolds number
at low speed, and may differ. Believe the efficiency of a high speed line less than that of a middle one.

| machine | tip-speed Mach | measured | off | tip-speed Mach | measured | off |
|---|---|---|---|---|---|---|
";
const ONE: &str = "
## Scaled to one measured point

Each named point in turn is the one that was measured; the errors are those at all other points of the machine.

| machine | measured point | pairs | ratio, mean % | rms % | inside | sigma % |
|---|---|---|---|---|---|---|
";
const FOOT: &str = "
Known misses: Eckardt A (work 10 % low: its measured slip is smaller than Wiesner's); NASA CC3 (work 3 % and efficiency 2
points high); NASA HECC falls earlier towards choke than the mean line. The clearance term costs a small wheel 0.8 to 0.9
points for one percent of its exit width, where 0.34 was measured on another (NASA TM X-2350).

With vanes the best efficiency is 3 to 6 points high (NASA HECC's readings hold the loss of a bend and guide vanes, which
are not in the estimate), and a single measured point leaves 10 to 15 %: measure the choke flow too.

Not compared: Krain's rotor and Eckardt B (no digitised lines here), any wheel with a volute.
";
