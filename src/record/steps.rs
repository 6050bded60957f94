//! Rows for reading: relation, inputs with their values, result, source.

use super::PutIn;
use super::node::{Kind, MARGIN, Output, Record};
use crate::markup::escape;

/// One row of a record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// Its symbol.
    pub symbol: String,
    /// The number in words with its symbol.
    pub what: String,
    /// How it comes about.
    pub relation: String,
    /// The same with the numbers in it, where a formula gave it.
    pub numbers: String,
    /// Both as markup: equations as MathML, line by line, then the roots found.
    pub markup: String,
    /// What it was made from.
    pub inputs: Vec<PutIn>,
    /// Its value.
    pub result: String,
    /// Formula and source, or where it was handed in.
    pub source: String,
}

/// Rows of a record, from a result down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Steps {
    /// What they lead down from.
    pub title: String,
    /// The rows.
    pub rows: Vec<Step>,
}

impl Record {
    /// A number of the result and what it was made from, so many hops down. `key` is the key of a result, such
    /// as `compressor_power`, or of an input, such as `engine.bore`.
    ///
    /// # Errors
    ///
    /// [`NoSuchNumber`], which names the keys there are.
    pub fn down(&self, key: &str, hops: usize) -> Result<Steps, NoSuchNumber> {
        let start = self.output(key).or_else(|| self.input(key)).ok_or_else(|| self.unknown(key))?;
        let mut shown = vec![start];
        let mut wave = vec![start];
        for _ in 0..hops {
            let mut next: Vec<usize> = Vec::new();
            for &index in wave.iter().flat_map(|&index| &self.nodes[index].from) {
                if !shown.contains(&index) {
                    shown.push(index);
                    next.push(index);
                }
            }
            wave = next;
        }
        let rows = shown.iter().map(|&index| self.row(index, &shown)).collect();
        let hops = if hops == 1 { "one hop".to_string() } else { format!("{hops} hops") };
        Ok(Steps { title: format!("{}: {key} and {hops} down", self.title), rows })
    }

    /// Everything shown in the result that depends on an input, by the input's key in the study.
    ///
    /// # Errors
    ///
    /// [`NoSuchNumber`], which names the keys there are.
    pub fn up(&self, key: &str) -> Result<Steps, NoSuchNumber> {
        let start = self.input(key).or_else(|| self.output(key)).ok_or_else(|| self.unknown(key))?;
        let depends = |node: usize| node != start && self.indices_below(node).contains(&start);
        let moved: Vec<&Output> = self.outputs.iter().filter(|output| depends(output.node)).collect();
        let shown: Vec<usize> = moved.iter().map(|output| output.node).collect();
        let rows = moved.iter().map(|output| {
            let mut step = self.row(output.node, &shown);
            step.what = format!("{}: {}", output.key, step.what);
            step
        });
        Ok(Steps { title: format!("{}: what depends on {key}", self.title), rows: rows.collect() })
    }

    fn unknown(&self, key: &str) -> NoSuchNumber {
        let shown = self.outputs.iter().map(|output| output.key.clone());
        let given = self.nodes.iter().filter_map(|node| match &node.kind {
            Kind::Given(given) => Some(given.key.clone()),
            _ => None,
        });
        NoSuchNumber { key: key.into(), known: shown.chain(given).collect() }
    }

    /// One row by the index of its node.
    pub fn step(&self, index: usize) -> Step {
        self.row(index, &[])
    }

    /// The value of a number as a practitioner reads it; a distance to a limit in percent.
    pub fn shown(&self, index: usize) -> String {
        let node = &self.nodes[index];
        if !self.is_margin(index) {
            return node.shown();
        }
        let percent = format!("{:+.1} %", 100.0 * node.value);
        // The share of a wastegate is the distance to a turbine that is too large: a share has no sign.
        let share = self.outputs.iter().any(|output| output.node == index && !output.key.starts_with(MARGIN));
        match percent.as_str() {
            "+0.0 %" | "-0.0 %" => "0.0 %".into(),
            _ if share => percent.trim_start_matches('+').into(),
            _ => percent,
        }
    }

    pub(super) fn is_margin(&self, index: usize) -> bool {
        self.outputs.iter().any(|output| output.node == index && output.key.starts_with(MARGIN))
    }

    fn row(&self, index: usize, shown: &[usize]) -> Step {
        let node = &self.nodes[index];
        let (mut numbers, mut markup) = (Vec::new(), String::new());
        let (relation, source) = match &node.kind {
            Kind::Given(given) => (String::new(), given.origin.says()),
            Kind::Step { formula, lines, inputs } => {
                let arguments = formula.arguments.iter().map(|argument| argument.symbol).zip(inputs);
                let values =
                    arguments.filter_map(|(symbol, input)| Some((symbol, self.nodes[(*input)?].value)));
                let known: Vec<(&str, f64)> =
                    values.chain(lines.iter().map(|line| (line.symbol, line.value))).collect();
                let value = |symbol: &str| known.iter().find(|known| known.0 == symbol).map(|known| known.1);
                for line in lines {
                    if !line.is_bare() {
                        markup += &format!("<div>{}</div>", line.mathml());
                    }
                    numbers.push(line.with_numbers(&value));
                    markup += &format!("<div>{}</div>", line.mathml_with_numbers(&value));
                }
                let relations: Vec<String> = lines
                    .iter()
                    .filter(|line| !line.is_bare())
                    .map(|line| format!("{} = {}", line.symbol, line.relation()))
                    .collect();
                let roots = lines.iter().flat_map(|line| line.expression.roots());
                let roots: Vec<String> = roots.map(ToString::to_string).collect();
                markup.extend(roots.iter().map(|root| format!("<div><small>{}</small></div>", escape(root))));
                let all = relations.into_iter().chain(roots);
                (all.collect::<Vec<_>>().join("; "), format!("{}: {}", formula.name, formula.source))
            }
            Kind::LookUp(look_up) => (
                match look_up.nodes.len() {
                    1 => format!("1 node of {} with its weight", look_up.table),
                    several => format!("{several} nodes of {} with their weights", look_up.table),
                },
                "compressor::CompressorMap::at_point".into(),
            ),
            Kind::Solved(gap) => (
                format!("found so that {}", gap.words),
                format!("{}, left of it {:.0e}", gap.search(), gap.residual),
            ),
            Kind::Gas(composition) => (composition.clone(), "mole fractions".into()),
            Kind::Map(origin) => (String::new(), origin.says()),
        };
        Step {
            symbol: node.symbol.clone(),
            what: format!("{}, {}", node.symbol, node.words),
            relation,
            numbers: numbers.join("; "),
            markup,
            inputs: self.put_in(index, shown),
            result: if node.value.is_nan() { String::new() } else { self.shown(index) },
            source,
        }
    }
}

/// A key that names no number of a record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoSuchNumber {
    /// The key asked for.
    pub key: String,
    /// The keys there are.
    pub known: Vec<String>,
}

impl core::fmt::Display for NoSuchNumber {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let key = crate::quantity::shorten(&self.key);
        write!(f, "the record has no \"{key}\"; it has {}", self.known.join(", "))
    }
}
impl core::error::Error for NoSuchNumber {}

impl core::fmt::Display for Steps {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(&self.title)?;
        for (row, Step { what, relation, inputs, result, source, .. }) in self.rows.iter().enumerate() {
            write!(f, "\n  {}. {what}  {result}", row + 1)?;
            if !relation.is_empty() {
                write!(f, "\n      {relation}")?;
            }
            if !inputs.is_empty() {
                let inputs: Vec<String> = inputs.iter().map(ToString::to_string).collect();
                write!(f, "\n      from {}", inputs.join("; "))?;
            }
            write!(f, "\n      [{source}]")?;
        }
        Ok(())
    }
}
