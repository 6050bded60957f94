//! What a record is made of.

use crate::formula::{Formula, Line, LookUp};

/// The record of one operating point.
#[derive(Clone, Debug)]
pub struct Record {
    /// What it is the record of.
    pub title: String,
    pub(super) nodes: Vec<Node>,
    pub(super) outputs: Vec<Output>,
}

/// One number of a record, or a gas.
#[derive(Clone, Debug)]
pub struct Node {
    /// Its symbol.
    pub symbol: String,
    /// What it is.
    pub words: String,
    /// SI value; NaN for a gas.
    pub value: f64,
    /// What kind of quantity it is.
    pub quantity: &'static str,
    /// SI unit.
    pub unit: &'static str,
    /// How it came about.
    pub kind: Kind,
    /// The nodes it was made from.
    pub from: Vec<usize>,
}

/// How a number came about.
#[derive(Clone, Debug)]
pub enum Kind {
    /// It was handed in.
    Given(Given),
    /// A formula gave it. `inputs` are the nodes of its arguments, in their order.
    Step {
        /// The formula.
        formula: &'static Formula,
        /// The nodes of its arguments; nothing for a constant.
        inputs: Vec<Option<usize>>,
        /// Its named intermediates and its result.
        lines: Vec<Line>,
    },
    /// It was read from a table.
    LookUp(LookUp),
    /// It was solved for together with the rest: the value at which the gap closes.
    Solved(Gap),
    /// A gas of fixed composition, by mole fractions in percent.
    Gas(String),
    /// A compressor map, and where it comes from.
    Map(Origin),
}

impl Node {
    /// The value as a practitioner reads it, in the units of the trade.
    pub fn shown(&self) -> String {
        let plain = || format!("{} {}", crate::quantity::significant(self.value, 4), self.unit);
        crate::quantity::both_by_name(self.quantity, self.value).unwrap_or_else(|| plain().trim_end().into())
    }
    /// The name of the input behind a node that was handed in, the same in every record of a study:
    /// `engine.bore`, `default of engine.work_factor`, `file map-b.csv`.
    pub fn input_name(&self) -> Option<String> {
        let (key, of, origin) = match &self.kind {
            Kind::Given(given) => (given.key.as_str(), given.of.as_str(), &given.origin),
            Kind::Map(origin) if self.quantity == "a turbine map" => ("turbine.map", "", origin),
            Kind::Map(origin) => ("map.table", "", origin),
            _ => return None,
        };
        Some(match origin {
            Origin::Input { key, .. } => key.clone(),
            Origin::Default { key, .. } => format!("default of {key}"),
            Origin::Library { .. } => format!("library: {key}, {of}"),
            Origin::File { file, .. } => format!("file {file}"),
            Origin::Code => format!("constant {key}"),
        })
    }
}

/// What a solved number closes.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// The condition in words.
    pub words: String,
    /// The nodes of both sides; the right one may be zero.
    pub sides: (Option<usize>, Option<usize>),
    /// Where it was looked for; nothing where the state was iterated until it stood still.
    pub bracket: Option<[f64; 2]>,
    /// The steps taken.
    pub steps: usize,
    /// What is left of it, relative to the size of its sides.
    pub residual: f64,
}

impl Gap {
    /// How it was looked for, in words.
    pub fn search(&self) -> String {
        match self.bracket {
            Some([low, high]) => {
                let [low, high] = [low, high].map(|end| crate::quantity::significant(end, 8));
                format!("looked for from {low} to {high}, {} steps", self.steps)
            }
            None => format!("iterated until it stood still, {} passes", self.steps),
        }
    }
}

/// A number that was handed in.
#[derive(Clone, Debug, PartialEq)]
pub struct Given {
    /// Its key, as in a study file: `engine.bore`.
    pub key: String,
    /// What it belongs to, where the key alone does not say it.
    pub of: String,
    /// Where it comes from.
    pub origin: Origin,
}

/// Where a number that was handed in comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Origin {
    /// The user's study file.
    Input {
        /// Its full key there.
        key: String,
        /// As typed.
        typed: String,
        /// Line.
        line: usize,
        /// Source as stated, if any.
        source: Option<String>,
        /// Evidence grade, if any.
        grade: Option<&'static str>,
    },
    /// A default of the library.
    Default {
        /// The key of the study file that would replace it.
        key: &'static str,
        /// Its band.
        band: String,
        /// Evidence grade.
        grade: &'static str,
    },
    /// A table that ships with the library.
    Library {
        /// Source.
        source: String,
        /// Evidence grade.
        grade: String,
    },
    /// A file that the study names, with what the file says of itself.
    File {
        /// Its name.
        file: String,
        /// What kind of file it is.
        kind: &'static str,
        /// Its provenance.
        provenance: String,
    },
    /// Set in code, without a study.
    Code,
}

impl Origin {
    /// Its evidence grade in words.
    pub fn grade(&self) -> &str {
        match self {
            Self::Input { grade, .. } => grade.unwrap_or("not stated"),
            Self::Default { grade, .. } => grade,
            Self::Library { grade, .. } => grade,
            Self::File { .. } => "as its file says",
            Self::Code => "set in code",
        }
    }
    /// Where it comes from, in words.
    pub fn says(&self) -> String {
        match self {
            Self::Input { key, line, source, grade, .. } => {
                let source = source.as_deref().unwrap_or("no source stated");
                let grade = grade.map_or(String::new(), |grade| format!(", {grade}"));
                format!("{key}, line {line}: {source}{grade}")
            }
            Self::Default { band, grade, .. } => format!("default, band {band}, {grade}"),
            Self::Library { source, grade } => format!("library table: {source}, {grade}"),
            Self::File { file, kind, provenance } => format!("{file}, {kind}: {provenance}"),
            Self::Code => "set in code".into(),
        }
    }
    /// Whether source or grade say where it comes from.
    pub fn is_stated(&self) -> bool {
        match self {
            Self::Input { source, grade, .. } => source.is_some() || grade.is_some(),
            Self::Code => false,
            _ => true,
        }
    }
}

/// What the key of a distance to a limit begins with.
pub(super) const MARGIN: &str = "margin to ";

/// A number that a result shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Output {
    /// Its key in results, such as `air_flow`.
    pub key: String,
    /// Its node.
    pub node: usize,
}

impl Record {
    /// All nodes, each after those it was made from, but for what was solved together.
    pub fn nodes(&self) -> &[Node] {
        &self.nodes
    }
    /// The numbers that a result shows, and their nodes.
    pub fn outputs(&self) -> &[Output] {
        &self.outputs
    }
    /// The node behind a number of the result.
    pub fn output(&self, key: &str) -> Option<usize> {
        self.outputs.iter().find(|output| output.key == key).map(|output| output.node)
    }
    /// The node of an input by its key in the study.
    pub fn input(&self, key: &str) -> Option<usize> {
        self.nodes.iter().position(|node| match &node.kind {
            Kind::Given(given) => {
                given.key == key || matches!(&given.origin, Origin::Input { key: full, .. } if full == key)
            }
            _ => false,
        })
    }
}
