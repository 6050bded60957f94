//! What else is known of a compressor without a map: the tables `[[candidate.evidence]]`.

mod kinds;
mod said;
mod sheet;

use super::Study;
use super::document::Table;
use super::read::Reader;
use crate::compressor::{
    Evidence, MapEstimate, PrintedMap, ReadWithin, ReadingWeights, Reference, weigh_readings,
};
use crate::shaft::Candidate;
use core::cell::Cell;
use said::Told;
use sheet::Sheet;

/// The kinds of evidence, as a study names them.
const KINDS: [&str; 7] = [
    "seller's flow",
    "measured point",
    "catalogue point",
    "choke flow",
    "surge flow",
    "similar machine",
    "printed lines",
];

/// The evidence of one candidate.
pub(super) struct EvidenceKeys<'d, 'a> {
    told: Vec<Told<'d, 'a>>,
    /// The speed lines that the candidate's map is printed with, without efficiency, and their file.
    lines: Option<(String, PrintedMap)>,
    /// Whether a reading of the wheel could not take all of it together, which is said once.
    refused: Cell<bool>,
}

impl<'d, 'a> EvidenceKeys<'d, 'a> {
    /// Reads the tables; `clearance` says whether those of the candidate's own wheel and its exit width are both given.
    pub fn read(reader: &Reader<'d, 'a>, candidate: &Table<'d, 'a>, clearance: bool) -> Self {
        let mut told: Vec<Told> = Vec::new();
        for (index, table) in candidate.tables_if_there("evidence").into_iter().enumerate() {
            let kind = table.required_text("kind", KINDS[0]);
            let name = table.text("name");
            let kind = kind.map(|kind| (KINDS.iter().position(|known| *known == kind.value), kind));
            if let Some((None, kind)) = &kind {
                let kinds = KINDS.map(|kind| format!("\"{kind}\"")).join(", ");
                table.problem(kind.line, "kind", format!("is one of: {kinds}"));
            }
            let place = kind.and_then(|(place, _)| place);
            let line = name.as_ref().map(|name| name.line);
            let name =
                name.map_or_else(|| place.map_or("?", |place| KINDS[place]).into(), |found| found.value);
            if told.iter().any(|before| before.name == name) {
                table.problem(line, "name", format!("\"{name}\" stands before; name each piece apart"));
            }
            let sheet = Sheet::new(reader, &table, &name, index + 1);
            let said = place.and_then(|place| match place {
                0 => sheet.seller(),
                1 => sheet.measured(),
                2 => sheet.catalogue(),
                3 | 4 => sheet.end(place == 3),
                5 => sheet.similar(clearance),
                _ => sheet.lines(),
            });
            let figures = sheet.stated();
            told.push(Told::new(table, name, place.is_some(), said, figures));
        }
        Self { told, lines: None, refused: Cell::new(false) }
    }

    /// The same beside printed speed lines that have no efficiency.
    pub fn beside(self, lines: Option<(String, PrintedMap)>) -> Self {
        Self { lines, ..self }
    }
    /// The reference of those lines.
    pub fn lines_at(&self) -> Option<Reference> {
        self.lines.as_ref().map(|(_, printed)| printed.reference)
    }

    pub fn is_empty(&self) -> bool {
        self.told.is_empty() && self.lines.is_none()
    }

    /// The estimate of one reading of the wheel with all the evidence weighed in; nothing where it cannot be.
    pub fn candidate(
        &self,
        reader: &Reader<'d, 'a>,
        candidate: &Table<'d, 'a>,
        name: &str,
        estimate: &MapEstimate,
    ) -> Option<Candidate> {
        // Every piece is looked at before the first that is refused ends it.
        let pieces: Vec<Option<Evidence>> = self.told.iter().map(|told| told.piece(estimate)).collect();
        let pieces: Vec<Evidence> = pieces.into_iter().collect::<Option<_>>()?;
        let figures = self.told.iter().flat_map(|told| told.figures.clone()).collect();
        if let Some((file, printed)) = &self.lines {
            let made = printed.with_wheel(estimate, ReadWithin::default(), &pieces);
            let made = made.map_err(|error| {
                if !self.refused.replace(true) {
                    reader.lines_refused(candidate, file, printed, error);
                }
            });
            let lines = made.ok()?.read_from(file);
            reader.lines_made(&lines);
            return Some(Candidate::with_lines(name, lines).stating(figures));
        }
        let made = estimate
            .combined(&pieces)
            .and_then(|combined| Ok(Candidate::with_evidence(name, combined)?.stating(figures)));
        made.map_err(|error| {
            if !self.refused.replace(true) {
                candidate.problem(candidate.line_of("evidence"), "evidence", error.to_string());
            }
        })
        .ok()
    }

    /// Reports the keys that no kind asked for.
    pub fn close(self) {
        self.told.into_iter().filter(|told| told.known).for_each(|told| told.table.close());
    }
}

impl Study {
    /// Which reading of a candidate's doubtful dimensions its evidence favours, by the candidate's name, beginning from the
    /// weights that the study gives them. `None` where the wheel was read in one way, or nothing was weighed in.
    pub fn reading_weights(&self, name: &str) -> Option<ReadingWeights> {
        let named = self.candidates.iter().filter(|candidate| candidate.name() == name);
        let read: Vec<_> = named
            .filter_map(|one| Some((one.reading()?.clone(), one.reading_weight()?, one.evidence()?)))
            .collect();
        (read.len() > 1).then(|| weigh_readings(read))
    }
}
