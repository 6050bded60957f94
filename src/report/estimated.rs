//! The estimated maps in rows and words: of each speed line both ends and the best point.

use crate::compressor::LineInBrief;
use crate::quantity::*;
use crate::shaft::Candidate;
use crate::study::Study;

/// What each column says.
pub(super) const HEAD: [&str; 6] =
    ["corrected speed", "tip speed", "surge flow", "choke flow", "best efficiency", "pressure ratio there"];

/// What the numbers mean.
pub(super) const MEANING: &str = "Each figure with one standard deviation: of flows and pressure ratios as a share, of \
                                  efficiencies in points. All figures of a map err together, mostly to the same side.";

/// The candidates with an estimated map, and its lines.
pub(super) fn told(study: &Study) -> impl Iterator<Item = (&Candidate, Vec<LineInBrief>)> {
    study.candidates.iter().filter_map(|candidate| {
        let lines = candidate.estimated_map()?.estimate().in_brief().ok()?;
        Some((candidate, lines))
    })
}

/// What stands above the rows of a map.
pub(super) fn title(candidate: &Candidate) -> String {
    let reference = candidate.map().reference();
    let [t, p] = [reference.temperature().to_string(), reference.pressure().to_string()];
    format!("{}, flows and speeds corrected to {t}, {p}", candidate.label())
}

/// The row of a speed line.
pub(super) fn row(line: &LineInBrief) -> [String; 6] {
    let share = |sigma: Fraction| format!(" +-{} %", significant(sigma.percent(), 2));
    let flow = |flow: CorrectedMassFlow, sigma| flow.both() + &share(sigma);
    [
        line.speed.to_string(),
        line.tip_speed.to_string(),
        flow(line.surge.flow, line.surge_sigma),
        flow(line.choke.flow, line.choke_sigma),
        format!(
            "{} % +-{}",
            significant(line.best.efficiency.percent(), 3),
            significant(line.band.efficiency.percent(), 2)
        ),
        format!("{:.2}", line.best.ratio.si()) + &share(line.band.ratio),
    ]
}
