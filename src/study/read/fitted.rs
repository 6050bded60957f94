//! What is left of a map that was merged or fitted, among the assumptions.

use super::Reader;
use crate::compressor::{Conflict, MapFile};
use crate::study::Grade;

/// How many contradictions are named; the rest is counted.
const HANDFUL: usize = 8;

impl Reader<'_, '_> {
    /// What is left of a map that was merged or fitted goes among the assumptions, with what contradicts the rest.
    pub(super) fn fitted(&self, read: &MapFile) {
        let (fitted, how, what, band) = match read {
            MapFile::Lines(_) => return,
            MapFile::Printed(fitted) => (
                fitted,
                "merged from a printed map",
                "what contradicts the rest",
                "points of speed lines and the surge line have no say in the map, efficiencies less the further they are off",
            ),
            MapFile::Measured(measured) => (
                measured.fitted(),
                "fitted to measured readings",
                "readings beyond three standard deviations",
                "they have no say in their speed line, and less in the efficiency",
            ),
        };
        let title = fitted.map().title();
        let spread =
            format!("+-{:.1} points of efficiency (2 sigma)", 2.0 * fitted.efficiency_rms().percent());
        self.note("candidate.map", &format!("{title}, {how}"), fitted.summary(), &spread, Grade::Assumed);
        if let Some(named) = named(fitted.conflicts()) {
            self.note("candidate.map", &format!("{title}, {what}"), named, band, Grade::Assumed);
        }
    }
}

/// The first of them with their lines of the file, and how many more there are.
pub(super) fn named(conflicts: &[Conflict]) -> Option<String> {
    let each = |conflict: &Conflict| {
        conflict.row().map_or_else(|| conflict.to_string(), |row| format!("line {row}: {conflict}"))
    };
    let mut words: Vec<String> = conflicts.iter().take(HANDFUL).map(each).collect();
    if conflicts.len() > HANDFUL {
        words.push(format!("and {} more", conflicts.len() - HANDFUL));
    }
    (!words.is_empty()).then(|| words.join("; "))
}
