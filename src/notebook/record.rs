//! Records in a notebook.

use super::derivation::equation_of;
use super::sheet::{Cell, Sheet};
use super::units::chosen;
use crate::formula::symbol_mathml;
use crate::markup::escape;
use crate::record::{Kind, PutIn, Record, Step, Steps};

impl Steps {
    /// Shows the rows in a notebook.
    pub fn evcxr_display(&self) {
        sheet(self).show_steps();
    }
}

fn sheet(steps: &Steps) -> Sheet {
    let head = ["row", "what; result", "relation; with SI numbers, six figures", "made from; source"];
    let mut sheet = Sheet::new(&steps.title, &head);
    for (index, row) in steps.rows.iter().enumerate() {
        sheet.cells([(index + 1).to_string().into(), what(row), relation(row), origin(row)]);
    }
    sheet
}

/// Equations are not broken: in the size of the text beside them they leave room for it.
const SIZE: &str = "100%";

fn symbol(text: &str) -> String {
    equation_of(text, &symbol_mathml(text), SIZE).markup().into()
}

/// What it is, its symbol set as such, and below it the result.
fn what(row: &Step) -> Cell {
    let result = chosen(&row.result);
    let plain = format!("{}: {result}", row.what);
    let set = match row.what.split_once(&format!("{}, ", row.symbol)) {
        Some((before, words)) => format!("{}{}, {}", escape(before), symbol(&row.symbol), escape(words)),
        None => escape(&row.what),
    };
    let held = Cell::held(&result);
    Cell::marked_up(plain.trim_end_matches(": "), format!("{set}<div><b>{}</b></div>", held.markup()))
}

/// Equations as such, everything else in its words.
fn relation(row: &Step) -> Cell {
    if row.markup.is_empty() {
        return Cell::from(&row.relation);
    }
    let mut plain = row.relation.clone();
    if !row.numbers.is_empty() {
        let behind = if plain.is_empty() { "" } else { "; with numbers " };
        plain += &format!("{behind}{}", row.numbers);
    }
    equation_of(&plain, &row.markup, SIZE)
}

/// What a row was made from, each on a line of its own, and below it the source. Beside the equations, which no page
/// breaks, there is no room for another column.
fn origin(row: &Step) -> Cell {
    let inputs: Vec<String> = row.inputs.iter().map(ToString::to_string).collect();
    let plain = format!("{} [{}]", inputs.join("; "), row.source);
    let mut html: String = row.inputs.iter().map(|input| format!("<div>{}</div>", put_in(input))).collect();
    // The name of a formula may break at its joints.
    let source = escape(&row.source).replace("::", "::<wbr>").replace('_', "_<wbr>");
    html += &format!("<div><small style=\"color:#666\">{source}</small></div>");
    Cell::marked_up(plain.trim_start(), format!("<div style=\"min-width:290px\">{html}</div>"))
}

fn put_in(input: &PutIn) -> String {
    let PutIn { symbol: of, value, words, given_by } = input;
    let left = if of.is_empty() { String::new() } else { format!("{} = ", symbol(of)) };
    let given_by = match given_by.split_once(", ") {
        Some((of, rest)) => format!(" ({}, {})", symbol(of), escape(rest)),
        None if given_by.is_empty() => String::new(),
        None => format!(" ({given_by})"),
    };
    // A number stays with its unit; the name of a gas may break.
    let value = if of.is_empty() { escape(value) } else { Cell::held(value).markup().into() };
    format!("{left}{value} <small>{}{given_by}</small>", escape(words))
}

impl Record {
    /// Shows the results of the record in a notebook, with what each rests on.
    pub fn evcxr_display(&self) {
        results(self).show_steps();
    }
}

fn results(record: &Record) -> Sheet {
    let rests_on = |node: usize| match record.nodes()[node].kind {
        Kind::Given(_) => "itself".to_string(),
        _ => {
            let grades = record.grades(node).into_iter().map(|(grade, count)| format!("{count} {grade}"));
            grades.collect::<Vec<_>>().join(", ")
        }
    };
    let all: Vec<String> = record.outputs().iter().map(|output| rests_on(output.node)).collect();
    let mut sheet = Sheet::new(&record.title, &["key", "what", "value", "rests on inputs that are"]);
    // Most numbers rest on the same inputs: said once.
    let times = |one: &String| all.iter().filter(|other| *other == one).count();
    let common = all.iter().max_by_key(|one| times(one)).filter(|one| times(one) > 1);
    if let Some(common) = common {
        sheet.cells(["where nothing else is said".into(), "".into(), "".into(), common.into()]);
    }
    for (output, rests_on) in record.outputs().iter().zip(&all) {
        let node = &record.nodes()[output.node];
        sheet.cells([
            Cell::from(&output.key),
            Cell::from(&node.words),
            Cell::held(&chosen(&record.shown(output.node))),
            if Some(rests_on) == common { "".into() } else { rests_on.into() },
        ]);
    }
    sheet
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::Study;
    use std::sync::OnceLock;

    fn record() -> &'static Record {
        static RECORD: OnceLock<Record> = OnceLock::new();
        RECORD.get_or_init(|| {
            let sizing = Study::demo().unwrap().size().unwrap();
            sizing.record_of_most_power("B", "ethanol blend").unwrap()
        })
    }

    /// The margin to the top speed line is met, and its formula takes two speeds that are both called N.
    #[test]
    fn what_a_row_was_made_from_has_the_symbols_of_its_equation() {
        let record = record();
        let steps = record.down("power", 2).unwrap();
        let plain = sheet(&steps).plain();
        for said in [
            "N_lim = 15734.3 rad/s, limit of shaft speed (N, row ",
            "m = 0, Distance to a limit of shaft speed (row 2)",
        ] {
            assert!(plain.contains(said), "{said} in {plain}");
        }
        assert_eq!(steps.rows[1].result, "0.0 %", "{plain}");
        assert!(steps.rows[1].numbers.ends_with("m = 15734.3/15734.3 - 1 = 0"), "{}", steps.rows[1].numbers);
        let html = sheet(&steps).html();
        assert!(
            html.contains("<msub><mi>N</mi><mtext>lim</mtext></msub></math> = 15734.3&nbsp;rad/s"),
            "{html}"
        );
    }

    #[test]
    fn a_name_that_the_record_was_given_stands_behind_the_equations_own() {
        let record = record();
        let mut differing = 0;
        for (index, node) in record.nodes().iter().enumerate() {
            let Kind::Step { formula, inputs, .. } = &node.kind else { continue };
            let shown = record.step(index).inputs;
            let taken = formula.arguments.iter().zip(inputs).filter_map(|(a, input)| Some((a, (*input)?)));
            for ((argument, below), put_in) in taken.zip(&shown) {
                let given = &record.nodes()[below];
                assert_eq!(put_in.symbol, argument.symbol, "{}", formula.name);
                let differs = given.symbol != argument.symbol;
                assert_eq!(
                    put_in.given_by.starts_with(&format!("{}, {}", given.symbol, given.words)),
                    differs
                );
                differing += usize::from(differs);
            }
        }
        assert!(differing > 20, "{differing}");
    }

    #[test]
    fn what_most_numbers_rest_on_is_said_once() {
        let record = record();
        let plain = results(record).plain();
        let common = plain.lines().nth(2).unwrap().strip_prefix("where nothing else is said").unwrap().trim();
        assert!(common.contains("measured"), "{plain}");
        assert_eq!(plain.matches(common).count(), 1, "{plain}");
        let torque = plain.lines().find(|line| line.starts_with("margin to torque limit")).unwrap();
        assert!(torque.contains("+2.2 %"), "{torque}");
    }
}
