//! The records of a sizing, each input traced to where the study has it from.

use super::{Assumption, Entry, InputRecord, Sizing, Study};
use crate::compressor::MapKind;
use crate::formula::FormulaError;
use crate::fuel::facts;
use crate::record::{Asked, Origin, Record, record_point};
use crate::shaft::chain::Case;
use crate::shaft::{Candidate, NotFound, OperatingPoint, operating_point};

impl Sizing {
    /// The record of a point at the target, by the indices of the entry and of its engine speed.
    ///
    /// # Errors
    ///
    /// [`NotFound`] where there is no such operating point.
    pub fn record_at(&self, entry: usize, point: usize) -> Result<Record, NotFound> {
        let entry = self.entry(entry)?;
        let (speed, found) = entry.judgement.points.get(point).ok_or_else(|| missing("point"))?;
        let found = found.as_ref().map_err(Clone::clone)?;
        let title = format!("{}, at the target, {:.0} rpm", self.study.label(entry), speed.rpm());
        Ok(self.study.record(title, entry, Asked::Target(&self.study.target), found)?)
    }

    /// The record of the most power, at the engine speed where it is stopped, by the index of the entry. `None`
    /// where no power is within all limits.
    pub fn record_of_most(&self, entry: usize) -> Result<Option<Record>, NotFound> {
        let entry = self.entry(entry)?;
        let most = &entry.judgement.most;
        let Some(power) = most.power else { return Ok(None) };
        let stop = most.stop.as_ref();
        let speed = stop.map_or(self.study.target.ends()[0], |stop| stop.speed);
        let case = self.study.case(entry);
        let target = crate::engine::Target::crank(power, speed);
        let point = operating_point(case.installation, case.candidate, case.turbine, case.plan, target)?;
        let title = format!("{}, the most power, {:.0} rpm", self.study.label(entry), speed.rpm());
        let asked = Asked::Most(&self.study.target, most);
        Ok(Some(self.study.record(title, entry, asked, &point)?))
    }

    /// The record of a candidate with its first housing on a fuel, by their names: the point at the target where
    /// its margins are least.
    pub fn record_at_target(&self, candidate: &str, fuel: &str) -> Result<Record, NotFound> {
        let index = self.named(candidate, fuel)?;
        let point = self.entries[index].judgement.hardest();
        self.record_at(index, point.ok_or_else(|| missing("operating point at the target"))?)
    }

    /// The record of the most power of a candidate with its first housing on a fuel, by their names.
    pub fn record_of_most_power(&self, candidate: &str, fuel: &str) -> Result<Record, NotFound> {
        self.record_of_most(self.named(candidate, fuel)?)?.ok_or_else(|| missing("power within all limits"))
    }

    fn named(&self, candidate: &str, fuel: &str) -> Result<usize, NotFound> {
        let matches = |entry: &Entry| {
            let (of, on) = (&self.study.candidates[entry.candidate], &self.study.fuels[entry.fuel]);
            of.is_called(candidate) && on.fuel.name() == fuel
        };
        self.entries.iter().position(matches).ok_or_else(|| {
            let mut candidates: Vec<&str> = self.study.candidates.iter().map(|of| of.name()).collect();
            candidates.dedup();
            let fuels: Vec<&str> = self.study.fuels.iter().map(|on| on.fuel.name()).collect();
            let there = format!("candidates are {}; fuels are {}", candidates.join(", "), fuels.join(", "));
            missing(&format!("\"{candidate}\" on \"{fuel}\"; {there}"))
        })
    }

    fn entry(&self, index: usize) -> Result<&Entry, NotFound> {
        self.entries.get(index).ok_or_else(|| missing("entry"))
    }
}

fn missing(what: &str) -> NotFound {
    let why = format!("this sizing has no {what}");
    NotFound::Formula(FormulaError::NoResult { formula: "study::Sizing::record_at", why })
}

impl Study {
    /// "B, A/R 20.8 mm, on ethanol blend".
    pub(crate) fn label(&self, entry: &Entry) -> String {
        let candidate = &self.candidates[entry.candidate];
        let housing = &candidate.housings()[entry.housing].name;
        combination(&candidate.label(), housing, self.fuels[entry.fuel].fuel.name())
    }

    fn case(&self, entry: &Entry) -> Case<'_> {
        let candidate = &self.candidates[entry.candidate];
        Case {
            installation: &self.installation,
            candidate,
            turbine: &candidate.housings()[entry.housing].turbine,
            plan: &self.fuels[entry.fuel],
        }
    }

    fn record(
        &self,
        title: String,
        entry: &Entry,
        asked: Asked<'_>,
        point: &OperatingPoint,
    ) -> Result<Record, FormulaError> {
        let origin = |key: &str, of: &str| self.origin(entry, key, of);
        record_point(title, &self.case(entry), asked, point, &origin)
    }

    /// The name under which the study names a file.
    fn file_name(&self, file: &str) -> String {
        let named = self.files.iter().find(|known| file.ends_with(&known.name));
        named.map_or(file, |known| &known.name).into()
    }

    /// Where the value under a key of the calculation comes from.
    fn origin(&self, entry: &Entry, key: &str, of: &str) -> Origin {
        let (table, name) = key.split_once('.').unwrap_or((key, ""));
        let fuel = |name: &str| format!("fuel[{}].{name}", entry.fuel + 1);
        let own = &self.candidates[entry.candidate];
        // Several readings of one wheel stand in one table of the file, under one name.
        let mut names: Vec<&str> = self.candidates[..=entry.candidate].iter().map(Candidate::name).collect();
        names.dedup();
        let candidate = |name: &str| format!("candidate[{}].{name}", names.len());
        let printed = own.estimated().map(|estimated| estimated.printed_lines().is_some());
        if let ("map", None | Some(true)) = (table, printed) {
            let map = own.map();
            let kind = match printed {
                None => map.kind().map_or("computed", MapKind::words),
                Some(_) => "printed speed lines, efficiency estimated from the wheel",
            };
            return Origin::File {
                file: self.file_name(map.file()),
                kind,
                provenance: map.provenance().into(),
            };
        }
        let turbine_map = matches!((table, name), ("turbine_map", _) | ("turbine", "map"));
        if let Some(map) = own.housings()[entry.housing].turbine.map().filter(|_| turbine_map) {
            let (kind, provenance) = ("turbine map", map.provenance().into());
            return Origin::File { file: self.file_name(map.file()), kind, provenance };
        }
        let stated = own.stated().iter().find(|figure| figure.key == key && figure.of == of);
        if let Some((kind, [file, provenance])) = stated.and_then(|figure| figure.file.as_ref()) {
            return Origin::File { file: self.file_name(file), kind, provenance: provenance.clone() };
        }
        let typed = match (table, name) {
            ("evidence", name) => stated
                .and_then(|figure| self.input(&candidate(&format!("evidence[{}].{name}", figure.place)))),
            ("fuel", "share") => self.input(&fuel("ethanol")).or_else(|| self.input(&fuel("methanol"))),
            ("fuel", name) => self.input(&fuel(name)),
            ("component", name) if of == "gasoline" => {
                gasoline_key(name).and_then(|key| self.input(&fuel(key)))
            }
            ("target", "wheel_power") => self.input("target.power"),
            ("turbine", name) => self.input(&candidate(&format!("turbine[{}].{name}", entry.housing + 1))),
            ("wheel" | "candidate", name) => self.input(&candidate(name)),
            _ => self.input(key),
        };
        if let Some(input) = typed {
            return Origin::Input {
                key: input.key.clone(),
                typed: input.typed.clone(),
                line: input.line,
                source: input.source.clone(),
                grade: input.grade.map(super::Grade::words),
            };
        }
        let default_key = match (table, name) {
            ("component", name) if of == "gasoline" => gasoline_key(name).map(|key| format!("fuel.{key}")),
            ("turbine", "width_share" | "exit_share" | "density_share") => Some("turbine.shape".into()),
            ("turbine", "head" | "rise" | "design_ratio" | "design_speed_ratio") => {
                Some("turbine.head".into())
            }
            ("turbine", "best_speed_ratio" | "curvature" | "fall_exponent") => {
                Some("turbine.efficiency_curve".into())
            }
            ("wheel", "splitters") if self.input(&candidate("blades")).is_none() => {
                Some("wheel.blades".into())
            }
            ("map", "table") => Some("wheel.mean_line".into()),
            ("map", _) => Some("wheel.reference".into()),
            _ => Some(key.to_string()),
        };
        let default = default_key.and_then(|key| self.assumptions.iter().find(|a| a.key == key));
        if let Some(Assumption { key, band, grade, .. }) = default {
            return Origin::Default { key, band: band.clone(), grade: grade.words() };
        }
        if table == "component" {
            let fact = facts().iter().find(|fact| fact.component == of && fact.property == name);
            if let Some(fact) = fact {
                return Origin::Library { source: fact.source.clone(), grade: fact.grade.clone() };
            }
        }
        Origin::Code
    }

    /// The name of an input of the sweep and of what it stores, as [`Node::input_name`](crate::record::Node) names
    /// it, where it was given or a default stands in.
    #[cfg(feature = "cli")]
    pub(crate) fn driven_by(&self, entry: &Entry, key: &str) -> Option<String> {
        match self.origin(entry, key, "") {
            Origin::Input { key, .. } => Some(key),
            Origin::Default { key, .. } => Some(format!("default of {key}")),
            _ => None,
        }
    }

    fn input(&self, key: &str) -> Option<&InputRecord> {
        self.inputs.iter().find(|input| input.key == key)
    }
}

/// "B, A/R 20.8 mm, on ethanol blend": how results name a candidate with a housing on a fuel.
pub(crate) fn combination(candidate: &str, housing: &str, fuel: &str) -> String {
    format!("{candidate}, {housing}, on {fuel}")
}

/// The key of a study file that replaces a figure of the typical gasoline.
fn gasoline_key(property: &str) -> Option<&'static str> {
    match property {
        "density_15" => Some("gasoline_density"),
        "heating_value" => Some("gasoline_heating_value"),
        "hydrogen" => Some("gasoline_hydrogen_to_carbon"),
        _ => None,
    }
}
