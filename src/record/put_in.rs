//! What a number was made from, by the symbols of the equation that took it.

use super::node::{Kind, Node, Record};
use crate::formula::Argument;
use crate::quantity::six_figures;

/// A number that another was made from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PutIn {
    /// The symbol that it has in the equation; its own where no equation took it, none for a gas or a map.
    pub symbol: String,
    /// Its SI value with six figures, or the name of a gas or a map.
    pub value: String,
    /// What it is to the one that it was put in for: "limit of shaft speed".
    pub words: String,
    /// The number that was put in, where its own symbol is another, and its row where that is shown: "N, row 4".
    pub given_by: String,
}

/// "N_lim = 15734.3 rad/s, limit of shaft speed (N, row 4)".
impl core::fmt::Display for PutIn {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let Self { symbol, value, words, given_by } = self;
        let equals = if symbol.is_empty() { "" } else { " = " };
        let comma = if words.is_empty() { "" } else { ", " };
        write!(f, "{symbol}{equals}{value}{comma}{words}")?;
        if given_by.is_empty() { Ok(()) } else { write!(f, " ({given_by})") }
    }
}

impl Record {
    /// What a node was made from: first what its formula took, in the order and by the symbols of its equation.
    pub(super) fn put_in(&self, index: usize, shown: &[usize]) -> Vec<PutIn> {
        let node = &self.nodes[index];
        let taken: Vec<(&str, &str, usize)> = match &node.kind {
            Kind::Step { formula, inputs, .. } => {
                let arguments = formula.arguments.iter().zip(inputs);
                let taken = |(argument, input): (&'static Argument, &Option<usize>)| {
                    Some((argument.symbol, argument.words, (*input)?))
                };
                arguments.filter_map(taken).collect()
            }
            _ => Vec::new(),
        };
        let others = node.from.iter().filter(|below| taken.iter().all(|(.., known)| known != *below));
        let own = |&below: &usize| {
            let Node { symbol, words, .. } = &self.nodes[below];
            (symbol.as_str(), words.as_str(), below)
        };
        let others: Vec<(&str, &str, usize)> = others.map(own).collect();
        taken.into_iter().chain(others).map(|one| self.one_put_in(one, shown)).collect()
    }

    fn one_put_in(&self, (symbol, words, below): (&str, &str, usize), shown: &[usize]) -> PutIn {
        let input = &self.nodes[below];
        let row = shown.iter().position(|known| *known == below).map(|row| format!("row {}", row + 1));
        if input.value.is_nan() {
            // A gas or a map is no number.
            let (symbol, words, value) = (String::new(), String::new(), input.words.clone());
            return PutIn { symbol, value, words, given_by: row.unwrap_or_default() };
        }
        let given_by = match row {
            Some(row) if symbol == input.symbol => row,
            Some(row) => format!("{}, {row}", input.symbol),
            None if symbol == input.symbol => String::new(),
            None => format!("{}, {}", input.symbol, input.words),
        };
        // A limit is met to a millionth.
        let value = if self.is_margin(below) { (input.value * 1e6).round() / 1e6 } else { input.value };
        let value = format!("{} {}", six_figures(value), input.unit).trim_end().into();
        PutIn { symbol: symbol.into(), value, words: words.into(), given_by }
    }
}
