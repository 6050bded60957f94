//! Exercises with their worked answers, and the key by which answers are marked without a compiler.

mod error;
mod mistakes;
#[cfg(test)]
mod tests;

pub use error::ExerciseError;

use super::units::chosen;
use crate::formula::Derivation;
use crate::markup::escape;
use crate::quantity::*;
use core::any::TypeId;
use mistakes::{Mistake, is_closed, takes_absolute_pressure, usual};

/// The type under which a cell's output carries the key of its exercise.
///
/// Front ends show the types that they know and pass over this one; scripts read it from the notebook file.
const KEY_TYPE: &str = "application/vnd.shaftwork.exercise+json";

/// A pressure with the other zero, by which people mistake it.
#[derive(Clone, Copy, Debug)]
struct OtherZero {
    quantity: &'static str,
    units: &'static [Unit],
    /// What takes it to the quantity asked for, in barometers.
    sign: f64,
}

/// An exercise: what is asked for, its worked answer, and how far an answer may be off.
///
/// Shown as the last line of a cell, it shows the worked answer and carries the key by which
/// `notebooks/student` and `notebooks/mark` work.
#[derive(Clone, Debug)]
pub struct Exercise {
    name: String,
    quantity: &'static str,
    value: f64,
    answer: String,
    shown: &'static str,
    within: Fraction,
    units: &'static [Unit],
    other: Option<OtherZero>,
    barometer: Option<Pressure>,
    steps: Option<Derivation>,
    mistakes: Vec<Mistake>,
}

/// Sets an exercise: its name, the worked answer, and the fraction of the answer's SI value by which another may be
/// off (of a temperature: of the kelvin).
///
/// The name is what stands in the answer file: one line of 1 to 80 characters without `=` and `#`.
///
/// ```
/// use shaftwork::prelude::*;
/// let flow = exercise("air flow at 6500 rpm", kg_per_s(0.1932), percent(2.0))?;
/// assert_eq!(flow.to_string(), "air flow at 6500 rpm: 0.1932 kg/s (25.6 lb/min), within 2 %");
/// let boost = exercise("boost", kpa_gauge(95.0), percent(2.0))?.barometer(kpa(101.325))?;
/// assert_eq!(boost.to_string(), "boost: 95.00 kPa gauge (13.8 psig), within 2 %, barometer 101.3 kPa");
/// # Ok::<(), ExerciseError>(())
/// ```
///
/// # Errors
///
/// [`ExerciseError`] for a name that cannot stand in an answer file, an answer that is zero or not finite, and a
/// fraction that is not above 0 and at most 0.5.
pub fn exercise<Q: Quantity>(name: &str, answer: Q, within: Fraction) -> Result<Exercise, ExerciseError> {
    let name = name.to_string();
    let length = name.chars().count();
    if name.trim() != name
        || name.contains(|c: char| c.is_control() || "=#".contains(c))
        || !(1..=80).contains(&length)
    {
        return Err(ExerciseError::Name { name });
    }
    let value = answer.si();
    if !value.is_finite() || value == 0.0 {
        return Err(ExerciseError::Answer { name, value });
    }
    if !within.si().is_finite() || within.si() <= 0.0 || within.si() > 0.5 {
        return Err(ExerciseError::Within { name, within: within.si() });
    }
    let asked = TypeId::of::<Q>();
    let other = if asked == TypeId::of::<Pressure>() {
        Some(OtherZero { quantity: GaugePressure::NAME, units: GaugePressure::UNITS, sign: 1.0 })
    } else if asked == TypeId::of::<GaugePressure>() {
        Some(OtherZero { quantity: Pressure::NAME, units: Pressure::UNITS, sign: -1.0 })
    } else {
        None
    };
    Ok(Exercise {
        name,
        quantity: Q::NAME,
        value,
        answer: answer.both(),
        shown: Q::SHOWN,
        within,
        units: Q::UNITS,
        other,
        barometer: None,
        steps: None,
        mistakes: Vec::new(),
    })
}

impl Exercise {
    /// States the barometer at an exercise that asks for a pressure, or whose [`steps`](Self::steps) take an absolute
    /// one, so that gauge taken for absolute, and the reverse, is recognised when answers are marked.
    ///
    /// # Errors
    ///
    /// [`ExerciseError::NotAPressure`], and [`ExerciseError::Barometer`] outside 50 to 110 kPa.
    pub fn barometer(mut self, barometer: Pressure) -> Result<Self, ExerciseError> {
        if self.other.is_none() && !self.steps.as_ref().is_some_and(takes_absolute_pressure) {
            return Err(ExerciseError::NotAPressure { name: self.name, quantity: self.quantity });
        }
        if !barometer.si().is_finite() || !(5e4..=1.1e5).contains(&barometer.si()) {
            return Err(ExerciseError::Barometer { name: self.name, value: barometer.si() });
        }
        self.barometer = Some(barometer);
        Ok(self)
    }

    /// States the formula that gives the answer, on record. The answers that it gives with a mistaken input go into
    /// the key, so that a wrong answer can be traced to its mistake: a number in another unit (degrees Celsius in
    /// place of kelvin), gauge for absolute where a barometer is stated, a loss or an efficiency left out; each
    /// for one input, and for all inputs of a quantity alike.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// use shaftwork::compressor::outlet_temperature_constant_gamma as outlet;
    /// let (ratio, eta, gamma) = (PressureRatio::new(2.0)?, Efficiency::new(0.7)?, HeatCapacityRatio::new(1.4)?);
    /// let hot = exercise("outlet temperature", outlet(deg_c(25.0), ratio, eta, gamma)?, percent(0.5))?
    ///     .steps(&outlet::record(deg_c(25.0), ratio, eta, gamma)?)?;
    /// assert!(hot.key().contains("inlet total temperature (T_01) entered in degC; the formula takes K"));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`ExerciseError::Steps`] where the steps do not give the answer, or hold a root or a table, which are known
    /// only where they were read: take the hand form, or state mistakes one by one with [`mistake`](Self::mistake).
    // By reference: a last line that moves a variable of its cell is shown by the kernel as debug text.
    pub fn steps(mut self, steps: &Derivation) -> Result<Self, ExerciseError> {
        let formula = steps.formula;
        let why = if formula.quantity != self.quantity {
            format!("they give {}, and {} is asked for", formula.quantity, self.quantity)
        } else if !steps.lines.last().is_some_and(|line| same(line.value, self.value)) {
            "they give another answer".into()
        } else if !is_closed(steps) {
            "they hold a root or a table; take a hand form, or state mistakes one by one".into()
        } else {
            self.steps = Some(steps.clone());
            return Ok(self);
        };
        Err(ExerciseError::Steps { name: self.name, formula: formula.name, why })
    }

    /// States what the answer becomes with a mistake, and the mistake in words, which whoever makes it is told.
    ///
    /// # Errors
    ///
    /// [`ExerciseError::Mistake`] where the value is of another quantity than the answer, not finite, zero, or so
    /// near to the answer that it would be marked right, and where the words are not one line of 1 to 120 characters.
    pub fn mistake<Q: Quantity>(mut self, words: &str, becomes: Q) -> Result<Self, ExerciseError> {
        let value = becomes.si();
        let why = if words.trim() != words
            || words.contains(char::is_control)
            || !(1..=120).contains(&words.chars().count())
        {
            "its words must be one line of 1 to 120 characters, no space at its ends".into()
        } else if Q::NAME != self.quantity {
            format!("it gives {}, and {} is asked for", Q::NAME, self.quantity)
        } else if !value.is_finite() || value == 0.0 {
            format!(
                "the answer with it must be a finite number other than zero, and it is {}",
                trimmed(value)
            )
        } else if self.is_right(value) {
            "the answer with it would be marked right".into()
        } else {
            self.mistakes.push(Mistake { value, words: words.into() });
            return Ok(self);
        };
        Err(ExerciseError::Mistake { name: self.name, why })
    }

    fn is_right(&self, value: f64) -> bool {
        (value - self.value).abs() <= self.within.si() * self.value.abs()
    }

    /// The mistakes that can be told from their answers, those stated first; of answers alike, to a tenth of what an
    /// answer may be off, the first.
    fn mistakes(&self) -> Vec<Mistake> {
        let mut known = self.mistakes.clone();
        let alike = |a: f64, b: f64| (a - b).abs() <= 0.1 * self.within.si() * b.abs();
        for mistake in self.steps.iter().flat_map(|steps| usual(steps, self.barometer, self.units)) {
            let value = mistake.value;
            // One without a number, or of the other sign, is nobody's answer.
            let believable = value.is_finite() && value * self.value > 0.0 && !self.is_right(value);
            if believable && !known.iter().any(|other| alike(other.value, value)) {
                known.push(mistake);
            }
        }
        known
    }

    /// The key as JSON: SI value, tolerance, the answers with the usual mistakes, and every unit with its factor, so that a marking script needs no table
    /// of units.
    pub fn key(&self) -> String {
        let other = match (&self.other, self.barometer) {
            (Some(other), Some(barometer)) => format!(
                "{{\"quantity\": {}, \"shift\": {}, \"units\": {}}}",
                quoted(other.quantity),
                other.sign * barometer.si(),
                units(other.units)
            ),
            _ => "null".into(),
        };
        let mistakes: Vec<String> = self
            .mistakes()
            .iter()
            .map(|one| format!("{{\"value\": {}, \"words\": {}}}", one.value, quoted(&one.words)))
            .collect();
        format!(
            "{{\"name\": {}, \"quantity\": {}, \"value\": {}, \"within\": {}, \"shown\": {}, \"units\": {}, \"other_zero\": {other}, \"mistakes\": [{}]}}",
            quoted(&self.name),
            quoted(self.quantity),
            self.value,
            self.within.si(),
            quoted(self.shown),
            units(self.units),
            mistakes.join(", "),
        )
    }

    /// Shows the worked answer in a notebook, and carries the key.
    pub fn evcxr_display(&self) {
        let shown = self.to_string().replacen(&self.answer, &chosen(&self.answer), 1);
        crate::notebook::emit(&shown, "text/html", &format!("<b>{}</b>", escape(&shown)));
        crate::notebook::block(KEY_TYPE, &self.key());
    }
}

impl core::fmt::Display for Exercise {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{}: {}, within {} %", self.name, self.answer, trimmed(self.within.percent()))?;
        match self.barometer {
            Some(barometer) => write!(f, ", barometer {barometer}"),
            None => Ok(()),
        }
    }
}

fn units(units: &[Unit]) -> String {
    let unit = |u: &Unit| {
        let aliases: Vec<String> = u.aliases.iter().map(|alias| quoted(alias)).collect();
        format!(
            "{{\"label\": {}, \"aliases\": [{}], \"factor\": {}, \"offset\": {}}}",
            quoted(u.label),
            aliases.join(", "),
            u.factor,
            u.offset
        )
    };
    format!("[{}]", units.iter().map(unit).collect::<Vec<_>>().join(", "))
}

/// Equal but for the rounding of a last digit.
fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * b.abs()
}

/// A text in JSON. Names and words hold no control characters: `exercise` refuses them.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
