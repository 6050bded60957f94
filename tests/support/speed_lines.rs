//! How the speed lines of an estimate behave, whatever its diffuser.

use proptest::prelude::*;
use shaftwork::prelude::*;

/// Flow rises from surge to choke, pressure ratio falls from its peak on, a choked line falls at constant flow, efficiency and
/// work are those of a machine, faster lines lie above and right.
pub fn behave(estimate: &MapEstimate) -> Result<(), TestCaseError> {
    let lines = estimate.lines().unwrap();
    for line in &lines {
        let points = &line.points;
        for p in points {
            prop_assert!(p.efficiency.si() > 0.0 && p.efficiency.si() < 0.95, "{p:?}");
            prop_assert!(p.ratio.si() > 1.0 && p.ratio.si() < 12.0, "{p:?}");
            prop_assert!(p.work_coefficient.si() > 0.03 && p.work_coefficient.si() < 1.2, "{p:?}");
            prop_assert!(p.flow >= line.surge && p.flow <= line.choke, "{p:?}");
        }
        for pair in points.windows(2) {
            prop_assert!(pair[0].flow < pair[1].flow || pair[0].ratio > pair[1].ratio, "{pair:?}");
        }
        let by_ratio = |&a: &usize, &b: &usize| points[a].ratio.si().total_cmp(&points[b].ratio.si());
        let peak = (0..points.len()).max_by(by_ratio).unwrap();
        for pair in points[peak..].windows(2) {
            prop_assert!(pair[0].ratio > pair[1].ratio, "{}: {pair:?}", line.tip_speed);
        }
    }
    for pair in lines.windows(2) {
        prop_assert!(pair[0].choke < pair[1].choke && pair[0].surge < pair[1].surge);
    }
    estimate.map().unwrap();
    Ok(())
}
