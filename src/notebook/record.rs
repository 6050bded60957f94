//! Records in a notebook.

use super::derivation::equation;
use super::sheet::{Cell, Sheet};
use super::units::chosen;
use crate::record::{Kind, Record, Step, Steps};

impl Steps {
    /// Shows the rows in a notebook.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new(&self.title, &["what", "result", "relation", "made from", "source"]);
        for row in &self.rows {
            sheet.cells([
                Cell::from(&row.what),
                Cell::held(&chosen(&row.result)),
                relation(row),
                row.inputs.join(", ").into(),
                Cell::from(&row.source),
            ]);
        }
        sheet.show_steps();
    }
}

/// Equations as such, everything else in its words.
fn relation(row: &Step) -> Cell {
    if row.markup.is_empty() {
        return Cell::from(&row.relation);
    }
    let mut plain = row.relation.clone();
    if !row.numbers.is_empty() {
        plain += &format!("; with numbers {}", row.numbers);
    }
    equation(&plain, &row.markup)
}

impl Record {
    /// Shows the results of the record in a notebook, with what each rests on.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new(&self.title, &["key", "what", "value", "rests on"]);
        for output in self.outputs() {
            let node = &self.nodes()[output.node];
            let grades =
                self.grades(output.node).into_iter().map(|(grade, count)| format!("{count} {grade}"));
            let rests_on = match node.kind {
                Kind::Given(_) => "itself".to_string(),
                _ => grades.collect::<Vec<_>>().join(", "),
            };
            sheet.cells([
                Cell::from(&output.key),
                Cell::from(&node.words),
                Cell::held(&chosen(&node.shown())),
                rests_on.into(),
            ]);
        }
        sheet.show_steps();
    }
}
