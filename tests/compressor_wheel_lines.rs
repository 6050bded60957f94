//! Printed speed lines without efficiency, which their wheel gives them.

#[path = "support/reference.rs"]
mod reference;
#[path = "support/validation.rs"]
mod validation;
#[path = "support/wheel_lines.rs"]
mod wheel_lines;

use validation::{Known, machines};
use wheel_lines::{compared, with_wheel};

#[test]
fn look() {
    for known in [Known::Geometry, Known::Diameters] {
        for machine in machines() {
            for run in [false, true] {
                match with_wheel(&machine, known, run) {
                    Ok(made) => {
                        let found = compared(&machine, &made);
                        eprintln!(
                            "{} {known:?} {run}: n {} mean {:+.1} sd {:.1} worst {:+.1} inside {:.0} % sigma {:.1}; {}",
                            machine.id,
                            found.efficiency.count,
                            100.0 * found.efficiency.mean,
                            100.0 * found.efficiency.sd,
                            100.0 * found.worst,
                            100.0 * found.inside,
                            100.0 * found.sigma,
                            made.fitted().summary()
                        );
                        for piece in made.combined().pieces() {
                            eprintln!(
                                "    {} dev {:.1} weight {:.3} share {:.2}",
                                piece.name,
                                piece.deviation,
                                piece.weight.si(),
                                piece.share.si()
                            );
                        }
                    }
                    Err(error) => eprintln!("{} {known:?} {run}: {error}", machine.id),
                }
            }
        }
    }
}

#[test]
fn debug_vaned() {
    use shaftwork::compressor::ReadWithin;
    use shaftwork::prelude::*;
    let machine = machines().into_iter().find(|m| m.id == "nasa-hecc-vaned").unwrap();
    let all = wheel_lines::lines_of(&machine);
    let estimate = machine.wheel(Known::Geometry).estimate(validation::reference()).unwrap();
    for (flow, ratio) in [(1.0, 0.5), (2.0, 1.0), (4.0, 2.0)] {
        for first in 0..7 {
            for last in first + 2..=7 {
                if last - first > 2 && (first, last) != (0, 7) && (first, last) != (0, 5) {
                    continue;
                }
                let mut some = all.clone();
                some.lines = all.lines[first..last].to_vec();
                let read = ReadWithin { flow: percent(flow), ratio: percent(ratio) };
                let made = some.with_wheel(&estimate, read, &[]);
                eprintln!(
                    "{flow} {first}..{last}: {}",
                    made.map_or_else(
                        |e| e.to_string(),
                        |m| format!(
                            "steps {} dev {:.1}",
                            m.combined().steps(),
                            m.combined().pieces()[0].deviation
                        )
                    )
                );
            }
        }
    }
}
