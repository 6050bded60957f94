//! Formulas on record: the equation, the numbers in it, the result, the source.

use super::sheet::{Cell, Sheet};
use super::units::also_in_chosen_units;
use crate::formula::{Derivation, Line, symbol_mathml};
use crate::quantity::six_figures;

/// A font that knows where the parts of a fraction belong, where the system has one: without, they touch. The page
/// of a notebook has no style sheet of ours, so it is said at each equation.
const MATH: &str = "<math style=\"font-family:'STIX Two Math','Cambria Math','Latin Modern Math',\
                    'DejaVu Math TeX Gyre',math;font-size:";

/// A cell for an equation as text and as MathML.
fn equation(plain: &str, mathml: &str) -> Cell {
    equation_of(plain, mathml, "115%")
}

/// The same in a size of its own.
pub(super) fn equation_of(plain: &str, mathml: &str, size: &str) -> Cell {
    let lines = mathml.replace("<div>", "<div style=\"padding:3px 0\">");
    // A fraction within a fraction keeps its size.
    let large = lines
        .replace("<mfrac>", "<mfrac displaystyle=\"true\">")
        .replace("<math", &format!("{MATH}{size}\""));
    Cell::marked_up(plain, large)
}

/// What stands before a line with its numbers.
const WITH_NUMBERS: &str = "with numbers, SI";

fn symbol(text: &str) -> Cell {
    equation(text, &symbol_mathml(text))
}

/// A line, nothing where it is a bare number, then the same with the numbers in it; each as text and as MathML.
fn equations(line: &Line, value: &dyn Fn(&str) -> Option<f64>) -> (Option<Cell>, Cell) {
    let apart = |mathml: String| format!("<div>{mathml}</div>");
    let relation = || equation(&format!("{} = {}", line.symbol, line.relation()), &apart(line.mathml()));
    let numbers = equation(&line.with_numbers(value), &apart(line.mathml_with_numbers(value)));
    ((!line.is_bare()).then(relation), numbers)
}

fn number(value: f64, unit: &str) -> String {
    format!("{} {unit}", six_figures(value)).trim_end().into()
}

impl Derivation {
    /// Shows the record in a notebook.
    pub fn evcxr_display(&self) {
        sheet(self).show_steps();
    }
}

fn sheet(record: &Derivation) -> Sheet {
    let formula = record.formula;
    let mut sheet = Sheet::new(format!("{}: {}", formula.name, formula.summary), &["", "", "", ""]);
    let Some((result, named)) = record.lines.split_last() else { return sheet };
    let value_of = |symbol: &str| record.value_of(symbol);
    for (what, line) in core::iter::once(("relation", result)).chain(named.iter().map(|line| ("where", line)))
    {
        let (relation, numbers) = equations(line, &value_of);
        let numbers_are = if relation.is_some() { WITH_NUMBERS } else { what };
        if let Some(relation) = relation {
            sheet.cells([what.into(), relation.over(3)]);
        }
        sheet.cells([numbers_are.into(), numbers.over(3)]);
    }
    for (argument, value) in formula.arguments.iter().zip(&record.inputs) {
        let shown = also_in_chosen_units(argument.quantity, *value, number(*value, argument.unit));
        sheet.cells(["input".into(), symbol(argument.symbol), argument.words.into(), Cell::held(&shown)]);
    }
    let shown = also_in_chosen_units(formula.quantity, result.value, number(result.value, formula.unit));
    sheet.cells(["result".into(), symbol(result.symbol), formula.quantity.into(), Cell::held(&shown)]);
    for root in record.roots() {
        sheet.cells(["root".into(), Cell::from(root.to_string()).over(3)]);
    }
    sheet.cells(["source".into(), Cell::from(formula.source).over(3)]);
    sheet
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compressor::{density_ratio, outlet_temperature};
    use crate::gas::Gas;
    use crate::quantity::units::*;
    use crate::quantity::{Efficiency, PressureRatio};

    #[test]
    fn a_record_shows_equation_numbers_result_and_source() {
        let record =
            density_ratio::record(PressureRatio::new(2.0).unwrap(), kelvin(300.0), kelvin(400.0)).unwrap();
        let (plain, html) = (sheet(&record).plain(), sheet(&record).html());
        // 2 x 300/400, by hand.
        for line in ["Pi·T_01/T_02", "= 2·300/400 = 1.5", "300 K (26.9 degC)", record.formula.source] {
            assert!(plain.contains(line), "{line} in {plain}");
        }
        assert!(
            html.contains("<mrow><mn>2</mn><mo>·</mo><mn>300</mn></mrow><mrow><mn>400</mn></mrow></mfrac>"),
            "{html}"
        );
        assert!(html.contains("<math"), "{html}");
    }

    #[test]
    fn intermediates_show_their_numbers_too() {
        let ratio = PressureRatio::new(2.0).unwrap();
        let record =
            outlet_temperature::record(&Gas::dry_air(), deg_c(24.0), ratio, Efficiency::new(0.72).unwrap());
        let plain = sheet(&record.unwrap()).plain();
        let numbers = plain.lines().filter(|line| line.starts_with("with numbers"));
        for line in numbers {
            // What is put in leaves no symbol of an input behind.
            assert!(!line.contains("T_01") && !line.contains("Pi"), "{line}");
        }
        assert!(plain.contains("root"), "{plain}");
    }
}
