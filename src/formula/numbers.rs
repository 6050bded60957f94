//! A line of a record with the numbers in it, as text and as MathML.

use super::Line;
use super::expr::Expr;
use crate::quantity::{six_figures, trimmed_zeros};

/// A line with its numbers: what is put in, and what comes out with its unit.
pub(super) struct Put {
    /// The expression with its numbers; nothing where the line is a bare number, such as a gas constant.
    pub expression: Option<Expr>,
    /// What comes out: six figures, but of terms that nearly cancel no more decimals than they have themselves.
    pub result: String,
}

impl Line {
    /// The line with the numbers in it, in SI units, to six figures, and what comes out with its unit. `value` gives the
    /// value behind a symbol. All digits stand in the worksheets of a result.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// use shaftwork::charge::inlet_pressure;
    /// let record = inlet_pressure::record(kpa(88.2536), pa_diff(2905.817))?;
    /// let shown = record.lines[0].with_numbers(&|symbol| record.value_of(symbol));
    /// assert_eq!(shown, "p_01 = 88253.6 - 2905.82 = 85347.8 Pa");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn with_numbers(&self, value: &dyn Fn(&str) -> Option<f64>) -> String {
        let Put { expression, result } = self.put(value);
        let (symbol, unit) = (self.symbol, self.unit);
        let result = format!("{result} {unit}");
        let result = result.trim_end();
        match expression {
            None => format!("{symbol} = {result}"),
            // Behind a condition, an equals sign would belong to the condition.
            Some(condition) if condition.is_condition() => {
                format!("{symbol} = {condition}; {symbol} = {result}")
            }
            Some(numbers) => format!("{symbol} = {numbers} = {result}"),
        }
    }

    pub(super) fn put(&self, value: &dyn Fn(&str) -> Option<f64>) -> Put {
        let expression = (!self.is_bare()).then(|| self.expression.with_values(value));
        Put { expression, result: self.digits(value) }
    }

    /// Whether the line is a bare number that has its symbol, such as a gas constant.
    pub fn is_bare(&self) -> bool {
        matches!(self.expression, Expr::Number(_))
    }

    fn digits(&self, value: &dyn Fn(&str) -> Option<f64>) -> String {
        let mut largest: f64 = 0.0;
        terms(&self.expression, &mut |term| largest = largest.max(term.evaluate(value).abs()));
        if !(largest.is_finite() && self.value.abs() < 1e-3 * largest) {
            return six_figures(self.value);
        }
        // The rest has no meaning: a limit that is met reads 0.
        let decimals = (5 - largest.log10().floor() as i32).clamp(0, 12) as usize;
        match trimmed_zeros(&format!("{:.decimals$}", self.value)) {
            "-0" => "0".into(),
            digits => digits.into(),
        }
    }
}

/// The terms of a sum; nothing for all else.
fn terms<'e>(expr: &'e Expr, see: &mut dyn FnMut(&'e Expr)) {
    let Expr::Binary('+' | '-', left, right) = expr else { return };
    for side in [left, right] {
        match **side {
            Expr::Binary('+' | '-', ..) => terms(side, see),
            _ => see(side),
        }
    }
}
