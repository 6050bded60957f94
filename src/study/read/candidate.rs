//! The candidates of a study file, with their maps.

use super::Reader;
use crate::compressor::{CompressorMap, MapFile};
use crate::quantity::*;
use crate::shaft::Candidate;
use crate::study::document::{Found, Table};
use crate::study::evidence::EvidenceKeys;
use crate::study::wheel::WheelKeys;
use crate::study::{Grade, SourceFile};
use crate::turbine::Turbine;

/// Highest shaft speeds of turbochargers, rad/s: 20 000 to 400 000 rpm.
const LIMITS: core::ops::RangeInclusive<f64> = 2e3..=4.2e4;

impl<'d, 'a> Reader<'d, 'a> {
    /// One candidate, or one for each reading of a wheel's dimensions.
    pub(super) fn candidate(&self, table: Table<'d, 'a>) -> Option<Vec<Candidate>> {
        let name = table.required_text("name", "A");
        let map = table.text("map");
        let inducer = table.readings::<Length>("inducer");
        let exducer = table.readings::<Length>("exducer");
        let hub = table.readings::<Length>("hub");
        let limit = table.optional::<ShaftSpeed>("speed_limit");
        let possible = |found: &&Found<ShaftSpeed>| LIMITS.contains(&found.value.si());
        let keys = WheelKeys::read(&table, hub, limit.as_ref().filter(possible).map(|found| found.value));
        let evidence = EvidenceKeys::read(self, &table, keys.has_clearance_share());
        let conductance = table.optional::<ThermalConductance>("heat_conductance");
        let tested_at = table.optional::<Temperature>("map_tested_at");
        let units = table.optional::<Count>("units");
        let stages = table.optional::<Count>("stages");
        if let Some(found) = stages.filter(|found| found.value.si() != 1.0) {
            let message = "must be 1: two stages in series need a second map, a cooler and valves between them, which \
                           this balance does not have; leave it out, or size each stage as a study of its own";
            table.problem(found.line, "stages", message);
        }
        table.text("description");
        let turbines: Vec<_> =
            table.tables("turbine").into_iter().map(|turbine| self.turbine(turbine)).collect();
        let name = name.map_or_else(|| "?".to_string(), |f| f.value);
        let bare = map.as_ref().and_then(|map| self.bare_lines(map));
        let is_bare = bare.is_some();
        // Speed lines without efficiency and a wheel make a map together.
        let lines = bare.filter(|_| inducer.is_some() && exducer.is_some());
        let evidence = evidence.beside(
            lines.zip(map.as_ref()).and_then(|(lines, map)| Some((self.file(&table, map)?.0, lines))),
        );
        let made = match (map.as_ref().filter(|_| evidence.lines_at().is_none()), inducer, exducer) {
            (Some(map), wheel, _) => {
                if wheel.is_some() && !is_bare {
                    table.problem(
                        table.line_of("inducer"),
                        "inducer",
                        "is not used beside a map; leave out one of them",
                    );
                }
                if !evidence.is_empty() {
                    let message = "is weighed into an estimate, not into a map; leave out one of them";
                    table.problem(table.line_of("evidence"), "evidence", message);
                }
                let hot = conductance.as_ref().zip(tested_at.as_ref());
                let cold = |map: CompressorMap| match hot {
                    Some((through, at)) => {
                        let made = map.without_heat(through.value, at.value);
                        let keys = [("conductance", "heat_conductance"), ("exhaust", "map_tested_at")];
                        self.fit_keys(&table, &keys, made)
                    }
                    None => Some(map),
                };
                self.map(&table, map).and_then(cold).map(|map| vec![Candidate::with_map(name, map)])
            }
            (None, Some(inducer), Some(exducer)) => {
                let wheel = keys.wheel(&table, inducer.value, exducer.value);
                wheel.and_then(|wheel| keys.candidates(self, &table, &name, &wheel, &evidence))
            }
            _ => {
                // What is there and cannot be read was told already.
                let absent = |key| table.line_of(key).is_none();
                if table.exists() && absent("map") && (absent("inducer") || absent("exducer")) {
                    table.problem(None, "map", "is missing; give a map, or the wheel by inducer and exducer");
                }
                None
            }
        };
        let names: Vec<&str> = turbines.iter().flatten().map(|(name, _)| name.as_str()).collect();
        if let Some(again) = (1..names.len()).find(|&i| names[..i].contains(&names[i])) {
            let message = format!(
                "number {} is named \"{}\" like one before it; name it apart",
                again + 1,
                names[again]
            );
            table.problem(None, "turbine", message);
        }
        let turbines: Option<Vec<_>> = turbines.into_iter().collect();
        let with = |candidate: Candidate, (name, turbine): &(String, Turbine)| {
            candidate.housing(name.clone(), turbine.clone())
        };
        let mut made: Option<Vec<Candidate>> = made.zip(turbines).map(|(read, turbines)| {
            read.into_iter().map(|candidate| turbines.iter().fold(candidate, with)).collect()
        });
        if let Some(found) = tested_at.filter(|_| conductance.is_none() || map.is_none() || is_bare) {
            let message =
                "belongs to a map with an efficiency and to heat_conductance; give both, or leave it out";
            table.problem(found.line, "map_tested_at", message);
        }
        self.default(
            &conductance,
            "candidate.heat_conductance",
            "heat from the turbine to the compressed air",
            "not counted",
            "0.1 to 0.6 W/K: 5 to 20 K before the cooler at low speed",
            Grade::FromMemory,
        );
        if let Some(found) = conductance {
            let with =
                |one: Candidate| self.fit(&table, "heat_conductance", found.line, one.heat_flow(found.value));
            made = made.and_then(|read| read.into_iter().map(with).collect());
        }
        if let Some(found) = units.filter(|found| found.value.si() != 1.0) {
            if found.value.si() != 2.0 {
                table.problem(found.line, "units", "is 1, or 2 in parallel");
            } else if made.iter().flatten().any(|candidate| candidate.estimated().is_some()) {
                let message = "2 needs a map: the band of an estimated one is not carried to a pair yet";
                table.problem(found.line, "units", message);
            } else if let Some(singles) = made.take() {
                let pairs: Result<Vec<_>, _> = singles.into_iter().map(Candidate::in_parallel).collect();
                made = pairs.map_err(|error| table.problem(found.line, "units", error.to_string())).ok();
            }
        }
        if limit.is_none() {
            let band = "the top speed line of the map stands in";
            self.note("candidate.speed_limit", "highest shaft speed", "not stated", band, Grade::Assumed);
        }
        if let Some(found) = limit {
            if !LIMITS.contains(&found.value.si()) {
                table.problem(
                    found.line,
                    "speed_limit",
                    "of a turbocharger is between 20 000 and 400 000 rpm",
                );
            }
            made = made.map(|read| read.into_iter().map(|one| one.speed_limit(found.value)).collect());
        }
        evidence.close();
        table.close();
        made
    }

    pub(in crate::study) fn map(&self, table: &Table<'d, 'a>, name: &Found<String>) -> Option<CompressorMap> {
        let (file, text) = self.file(table, name)?;
        let read = MapFile::from_csv_text(&file, &text);
        let read = read.map_err(|problems| self.document.problems.borrow_mut().extend(problems.0)).ok()?;
        self.fitted(&read);
        Some(read.into_map())
    }

    /// Name and text of a map that is named beside the study, which is kept with it.
    pub(super) fn file(&self, table: &Table<'d, 'a>, name: &Found<String>) -> Option<(String, String)> {
        let found =
            (self.maps)(&name.value).map_err(|missing| table.problem(name.line, "map", missing)).ok()?;
        let (file, text) =
            found.map_err(|problems| self.document.problems.borrow_mut().extend(problems.0)).ok()?;
        let mut files = self.files.borrow_mut();
        if !files.iter().any(|known| known.name == name.value) {
            files.push(SourceFile { name: name.value.clone(), text: text.clone() });
        }
        Some((file, text))
    }
}
