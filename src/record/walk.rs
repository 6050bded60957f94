//! Down from a result to its inputs, up from an input to all that depends on it.

use super::node::{Kind, Node, Record};
use std::collections::BTreeMap;

impl Record {
    /// Everything that a node was made from, itself left out, in the order of the record.
    pub fn below(&self, node: usize) -> impl Iterator<Item = &Node> {
        self.indices_below(node).into_iter().map(|index| &self.nodes[index])
    }

    /// The same by index.
    pub fn indices_below(&self, node: usize) -> Vec<usize> {
        let mut seen = vec![false; self.nodes.len()];
        let mut open = self.nodes.get(node).map_or(Vec::new(), |node| node.from.clone());
        while let Some(index) = open.pop() {
            if !core::mem::replace(&mut seen[index], true) {
                open.extend(&self.nodes[index].from);
            }
        }
        (0..seen.len()).filter(|&index| seen[index] && index != node).collect()
    }

    /// Everything that depends on a node, by index.
    pub fn indices_above(&self, node: usize) -> Vec<usize> {
        (0..self.nodes.len())
            .filter(|&index| index != node && self.indices_below(index).contains(&node))
            .collect()
    }

    /// The keys of the shown numbers that depend on a node.
    pub fn dependents(&self, node: usize) -> Vec<&str> {
        let depends = |at: usize| at == node || self.indices_below(at).contains(&node);
        self.outputs.iter().filter(|output| depends(output.node)).map(|output| output.key.as_str()).collect()
    }

    /// The fewest hops from a node down to a number that was handed in, each hop from a number to one it was
    /// made from; both ends included.
    pub fn shortest_way_down(&self, from: usize, to: usize) -> Option<Vec<usize>> {
        let mut before: BTreeMap<usize, usize> = BTreeMap::new();
        let mut wave = vec![from];
        while !wave.is_empty() && !before.contains_key(&to) {
            let mut next = Vec::new();
            for &index in &wave {
                for &below in &self.nodes[index].from {
                    if below != from && !before.contains_key(&below) {
                        before.insert(below, index);
                        next.push(below);
                    }
                }
            }
            wave = next;
        }
        let mut way = vec![to];
        while way[way.len() - 1] != from {
            way.push(*before.get(&way[way.len() - 1])?);
        }
        way.reverse();
        Some(way)
    }

    /// How many of the numbers handed in below a node carry each evidence grade, the most first.
    pub fn grades(&self, node: usize) -> Vec<(String, usize)> {
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        for below in self.below(node) {
            if let Kind::Given(given) = &below.kind {
                *counts.entry(given.origin.grade()).or_default() += 1;
            }
        }
        let mut counts: Vec<(String, usize)> =
            counts.into_iter().map(|(grade, count)| (grade.to_string(), count)).collect();
        counts.sort_by_key(|(_, count)| core::cmp::Reverse(*count));
        counts
    }
}
