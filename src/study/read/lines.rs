//! Printed speed lines without efficiency: told apart from a map, and what is said of them.

use super::Reader;
use super::fitted::named;
use crate::compressor::{LinePoint, MapKind, PrintedMap, WheelLines, WheelLinesError};
use crate::study::Grade;
use crate::study::document::{Found, Table};

impl<'d, 'a> Reader<'d, 'a> {
    /// The speed lines of a printed map that has no contours. Nothing is told of a file that is none: whoever reads it does.
    pub(super) fn bare_lines(&self, name: &Found<String>) -> Option<PrintedMap> {
        let (file, text) = (self.maps)(&name.value).ok()?.ok()?;
        MapKind::of(&file, &text).ok().filter(|kind| *kind == MapKind::Printed)?;
        PrintedMap::from_csv_text(&file, &text).ok().filter(|printed| printed.contours.is_empty())
    }

    /// A printed map as it stands, with the name of its file.
    pub(in crate::study) fn printed(
        &self,
        table: &Table<'d, 'a>,
        name: &Found<String>,
    ) -> Option<(String, PrintedMap)> {
        let (file, text) = self.file(table, name)?;
        let read = PrintedMap::from_csv_text(&file, &text);
        let read = read.map_err(|problems| self.document.problems.borrow_mut().extend(problems.0)).ok()?;
        Some((file, read))
    }

    /// Tells why speed lines and wheel make no map.
    pub(in crate::study) fn lines_refused(
        &self,
        table: &Table<'d, 'a>,
        file: &str,
        printed: &PrintedMap,
        error: WheelLinesError,
    ) {
        match error {
            WheelLinesError::Lines(error) => {
                self.document.problems.borrow_mut().extend(printed.told(file, &error).0);
            }
            error => table.problem(table.line_of("map"), "map", error.to_string()),
        }
    }

    /// Speed lines and their efficiency go among the assumptions.
    pub(in crate::study) fn lines_made(&self, made: &WheelLines) {
        let (title, fitted, middle) = (made.map().title(), made.fitted(), made.middle());
        let LinePoint { flow, ratio, efficiency } = middle.point;
        let value = format!("{:.1} % at {flow} and pressure ratio {ratio}", efficiency.percent());
        let band = format!("+-{:.1} points there (1 sigma), wrong in common", middle.sigma.percent());
        let what = format!("{title}, efficiency estimated from the wheel");
        self.note("candidate.map", &what, value, &band, Grade::Assumed);
        let what = format!("{title}, speed lines of a printed map");
        let band = "flows and pressure ratios as read";
        self.note("candidate.map", &what, fitted.summary(), band, Grade::Assumed);
        if let Some(named) = named(fitted.conflicts()) {
            let band = "points of speed lines and the surge line have no say in the map";
            let what = format!("{title}, what contradicts the rest");
            self.note("candidate.map", &what, named, band, Grade::Assumed);
        }
    }
}
