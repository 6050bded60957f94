//! Everything that the page shows, worked out once: its records with their links both ways.

use super::super::pick::hardest;
use crate::markup::escape;
use crate::record::{Given, Kind, Node, Origin, Record};
use crate::sources::{keys_in, source};
use crate::study::Sizing;
use core::cell::RefCell;
use std::collections::BTreeSet;

/// What a record was made of.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Of {
    /// The hardest point at the target, by its index.
    Target(usize),
    /// The most power.
    Most,
}

/// A record with its place.
pub(super) struct Filed {
    pub entry: usize,
    pub of: Of,
    pub record: Record,
    /// For each node the nodes made from it.
    pub uses: Vec<Vec<usize>>,
    /// For each node that was handed in, its row in the one table of these.
    handed: Vec<Option<usize>>,
}

/// A number that was handed in: one row for all records that start from it.
pub(super) struct Handed {
    pub node: Node,
    pub given: Given,
    /// Record and node of each number made from it.
    pub uses: Vec<(usize, usize)>,
}

pub(super) struct Book<'a> {
    pub sizing: &'a Sizing,
    pub records: Vec<Filed>,
    pub handed: Vec<Handed>,
    /// Records that could not be made: the entry and why.
    pub faults: Vec<(usize, String)>,
    cited: RefCell<BTreeSet<&'static str>>,
}

impl<'a> Book<'a> {
    pub fn new(sizing: &'a Sizing) -> Self {
        let (records, handed, faults) = Default::default();
        let mut book = Self { sizing, records, handed, faults, cited: RefCell::default() };
        for (index, entry) in sizing.entries.iter().enumerate() {
            if let Some((point, _)) = hardest(entry) {
                book.file(index, Of::Target(point), sizing.record_at(index, point).map(Some));
            }
            book.file(index, Of::Most, sizing.record_of_most(index));
        }
        book
    }

    fn file(&mut self, entry: usize, of: Of, made: Result<Option<Record>, impl core::fmt::Display>) {
        let record = match made {
            Ok(Some(record)) => record,
            Ok(None) => return,
            Err(error) => return self.faults.push((entry, error.to_string())),
        };
        let at = self.records.len();
        let mut uses = vec![Vec::new(); record.nodes().len()];
        for (index, node) in record.nodes().iter().enumerate() {
            node.from.iter().for_each(|&below| uses[below].push(index));
        }
        let mut handed = vec![None; record.nodes().len()];
        for (index, node) in record.nodes().iter().enumerate() {
            let Kind::Given(given) = &node.kind else { continue };
            let same =
                |known: &Handed| known.given == *given && known.node.value.to_bits() == node.value.to_bits();
            let row = self.handed.iter().position(same).unwrap_or_else(|| {
                self.handed.push(Handed { node: node.clone(), given: given.clone(), uses: Vec::new() });
                self.handed.len() - 1
            });
            self.handed[row].uses.extend(uses[index].iter().map(|&above| (at, above)));
            handed[index] = Some(row);
        }
        self.records.push(Filed { entry, of, record, uses, handed });
    }

    /// The index of a record.
    pub fn find(&self, entry: usize, of: Of) -> Option<usize> {
        self.records.iter().position(|filed| filed.entry == entry && filed.of == of)
    }

    /// A link to the row of a record's number; `shown` is markup.
    pub fn link(&self, record: usize, node: usize, shown: &str) -> String {
        match self.records[record].handed[node] {
            Some(row) => format!("<a href=\"#h{}\">{shown}</a>", row + 1),
            None => format!("<a href=\"#{}\">{shown}</a>", row_id(record, node)),
        }
    }

    /// The same under the row's own name: "R3.54", or "H12" where it was handed in.
    pub fn link_by_name(&self, record: usize, node: usize) -> String {
        let name = match self.records[record].handed[node] {
            Some(row) => format!("H{}", row + 1),
            None => format!("R{}.{}", record + 1, node + 1),
        };
        self.link(record, node, &name)
    }

    /// The rows of what was handed in from such an origin, as links.
    pub fn rows_from(&self, is: impl Fn(&Origin) -> bool) -> String {
        let rows = self.handed.iter().enumerate().filter(|(_, handed)| is(&handed.given.origin));
        let links = rows.map(|(row, _)| format!("<a href=\"#h{0}\">H{0}</a>", row + 1));
        links.collect::<Vec<_>>().join(" ")
    }

    /// A text of the library with its keys linked to the bibliography.
    pub fn cite(&self, text: &str) -> String {
        let mut out = escape(text).replace("+-", "±").replace(" - ", " \u{2212} ");
        for source in keys_in(text).collect::<BTreeSet<_>>().into_iter().filter_map(source) {
            self.cited.borrow_mut().insert(&source.key);
            let key = &source.key;
            out = out.replace(&format!("[{key}]"), &format!("<a href=\"#s-{key}\">[{key}]</a>"));
        }
        out
    }

    /// The keys that were cited so far.
    pub fn cited(&self) -> BTreeSet<&'static str> {
        self.cited.borrow().clone()
    }
}

/// The id of a row in a record.
pub(super) fn row_id(record: usize, node: usize) -> String {
    format!("r{}-{}", record + 1, node + 1)
}
