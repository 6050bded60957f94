//! From a study file to a study.

mod around;
mod candidate;
mod engine;
mod exhaust;
mod fitted;
mod fuel;
mod lines;
mod site;
mod turbine;

use super::assumption::{Assumption, Assumptions};
use super::document::{Document, Found, Table};
use super::driving::DrivingKeys;
use super::{Grade, Place, SourceFile, Study};
use crate::engine::Engine;
use crate::formula::FormulaError;
use crate::problem::Problems;
use crate::shaft::{Candidate, FuelPlan, Installation};
use core::cell::RefCell;
use toml::de::DeTable;

/// A map's full name and its text, or what is wrong with the file.
pub(super) type MapText = Result<(String, String), Problems>;
/// Finds the map that a study names; the error says that there is no such file.
pub(super) type MapSource<'s> = &'s dyn Fn(&str) -> Result<MapText, String>;

pub(super) fn study(file: &str, text: &str, maps: MapSource<'_>) -> Result<Study, Problems> {
    let document = Document::new(file, text);
    let (root, faults) = DeTable::parse_recoverable(text);
    for fault in &faults {
        let line = fault.span().map(|span| document.line(span.start));
        document.problem(line, "", format!("is not TOML here: {}", fault.message()));
    }
    if !faults.is_empty() {
        return Err(Problems(document.problems.take()));
    }
    let own = SourceFile { name: file.into(), text: text.into() };
    let reader =
        Reader { document: &document, assumptions: RefCell::default(), files: RefCell::new(vec![own]), maps };
    let study = reader.study(Table::root(&document, root.get_ref()));
    let mut problems = document.problems.take();
    match study {
        Some(study) if problems.is_empty() => {
            problems = study.check(file);
            if problems.is_empty() { Ok(study) } else { Err(Problems(problems)) }
        }
        _ => {
            problems
                .sort_by(|a, b| (a.file != file, &a.file, a.line).cmp(&(b.file != file, &b.file, b.line)));
            Err(Problems(problems))
        }
    }
}

pub(super) struct Reader<'d, 'a> {
    document: &'d Document<'a>,
    pub(super) assumptions: RefCell<Vec<Assumption>>,
    files: RefCell<Vec<SourceFile>>,
    maps: MapSource<'d>,
}

impl<'d, 'a> Reader<'d, 'a> {
    fn study(&self, root: Table<'d, 'a>) -> Option<Study> {
        if let Some(schema) = root.count("schema", "1").filter(|schema| schema.value != 1) {
            root.problem(schema.line, "schema", "this version reads schema 1");
        }
        let title = root.required_text("title", "Hill-climb single-seater");
        let invented = root.flag("invented");
        let site = self.site(root.table("site"));
        let engine = self.engine(root.table("engine"));
        let tables = ["target", "intake", "cooler", "exhaust"].map(|name| root.table(name));
        let [target, _, cooler, exhaust] = &tables;
        let (sweep, vehicle) = (root.table_if_there("sweep"), root.table_if_there("vehicle"));
        let driving = DrivingKeys::read([target, cooler, exhaust], sweep, vehicle);
        let [target, intake, cooler, exhaust] = tables;
        let target = self.target(target, engine.as_ref().and_then(Engine::most_speed));
        let intake = self.intake(intake);
        let cooler = self.cooler(cooler);
        let exhaust = self.exhaust(exhaust, target.as_ref());
        let limits = self.limits(root.table_if_there("limits"));
        let injectors = self.injectors(root.table("injectors"));
        let elsewhere: Vec<_> =
            root.tables_if_there("elsewhere").into_iter().map(|t| self.place(t)).collect();
        let fuels: Vec<_> = root.tables("fuel").into_iter().map(|table| self.fuel(table)).collect();
        let candidates: Vec<_> =
            root.tables("candidate").into_iter().map(|table| self.candidate(table)).collect();
        let twice = |names: Vec<&str>, list: &'static str| {
            for (i, name) in names.iter().enumerate().filter(|(i, name)| names[..*i].contains(name)) {
                root.problem(
                    None,
                    list,
                    format!("number {} is named \"{name}\" like one before it; name it apart", i + 1),
                );
            }
        };
        twice(elsewhere.iter().flatten().map(|place: &Place| place.name.as_str()).collect(), "elsewhere");
        twice(fuels.iter().flatten().map(|plan: &FuelPlan| plan.fuel.name()).collect(), "fuel");
        let named = candidates.iter().flatten().filter_map(|read| read.first());
        twice(named.map(Candidate::name).collect(), "candidate");
        root.close();
        let installation = Installation {
            engine: engine?,
            site: site?,
            intake: intake?,
            cooler: cooler?,
            exhaust: exhaust?,
            injectors: injectors?,
            limits: limits?,
        };
        let target = target?;
        let driving = driving.settle(self, &installation, &target)?;
        let mut assumptions = self.assumptions.take();
        assumptions.extend(Assumption::standing());
        Some(Study {
            title: title?.value,
            invented,
            installation,
            target,
            driving,
            elsewhere: elsewhere.into_iter().collect::<Option<_>>()?,
            fuels: fuels.into_iter().collect::<Option<_>>()?,
            candidates: candidates.into_iter().collect::<Option<Vec<_>>>()?.concat(),
            inputs: self.document.inputs.take(),
            assumptions: Assumptions(assumptions),
            files: self.files.take(),
        })
    }

    /// Turns a refusal into a problem at its place.
    fn fit<T, E: Into<FormulaError>>(
        &self,
        table: &Table<'d, 'a>,
        name: &str,
        line: impl Into<Option<usize>>,
        made: Result<T, E>,
    ) -> Option<T> {
        made.map_err(|error| table.problem(line.into(), name, error.into().plainly())).ok()
    }

    /// The same where several keys go in: `keys` pairs each argument with its key, the first for the rest.
    fn fit_keys<T>(
        &self,
        table: &Table<'d, 'a>,
        keys: &[(&str, &'static str)],
        made: Result<T, FormulaError>,
    ) -> Option<T> {
        made.map_err(|error| {
            let named = error.argument().and_then(|argument| keys.iter().find(|(name, _)| *name == argument));
            let key = named.unwrap_or(&keys[0]).1;
            table.problem(table.line_of(key), key, error.plainly());
        })
        .ok()
    }

    /// A problem of the study at a line.
    pub(super) fn problem_at(&self, line: Option<usize>, key: &str, message: String) {
        self.document.problem(line, key, message);
    }

    pub(super) fn default<Q>(
        &self,
        given: &Option<Found<Q>>,
        key: &'static str,
        what: &str,
        value: impl core::fmt::Display,
        band: &str,
        grade: Grade,
    ) {
        if given.is_none() {
            self.note(key, what, value, band, grade);
        }
    }
}
