//! Records in a notebook.

use super::sheet::Sheet;
use crate::record::{Kind, Record, Steps};

impl Steps {
    /// Shows the rows in a notebook.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new(&self.title, &["what", "result", "relation", "made from", "source"]);
        for row in &self.rows {
            sheet.row([&row.what, &row.result, &row.relation, &row.inputs.join(", "), &row.source]);
        }
        sheet.show_steps();
    }
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
            sheet.row([&output.key, &node.words, &node.shown(), &rests_on]);
        }
        sheet.show_steps();
    }
}
