//! Exercises with their worked answers, and the key by which answers are marked without a compiler.

use super::units::chosen;
use crate::markup::escape;
use crate::quantity::*;
use core::any::TypeId;

/// The type under which a cell's output carries the key of its exercise.
///
/// Front ends show the types that they know and pass over this one; scripts read it from the notebook file.
const KEY_TYPE: &str = "application/vnd.shaftwork.exercise+json";

/// Why an exercise cannot be set.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum ExerciseError {
    /// The name cannot stand in a line of an answer file.
    Name {
        /// The name.
        name: String,
    },
    /// The answer is not a finite number, or it is zero, of which no fraction can be allowed.
    Answer {
        /// The exercise.
        name: String,
        /// The SI value.
        value: f64,
    },
    /// The fraction by which an answer may be off.
    Within {
        /// The exercise.
        name: String,
        /// The fraction.
        within: f64,
    },
    /// A barometer at an answer that is neither an absolute nor a gauge pressure.
    NotAPressure {
        /// The exercise.
        name: String,
        /// What it asks for.
        quantity: &'static str,
    },
    /// A barometer outside 50 to 110 kPa.
    Barometer {
        /// The exercise.
        name: String,
        /// The barometer in Pa.
        value: f64,
    },
}

impl core::fmt::Display for ExerciseError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Name { name } => {
                let rule = "one line of 1 to 80 characters without = and #, no space at its ends";
                write!(
                    f,
                    "the name of an exercise is {rule}; \"{}\" is not",
                    shorten(&name.escape_debug().to_string())
                )
            }
            Self::Answer { name, value } => {
                let value = trimmed(*value);
                write!(
                    f,
                    "exercise \"{name}\": the answer must be a finite number other than zero, and it is {value}"
                )
            }
            Self::Within { name, within } => {
                let within = trimmed(*within);
                write!(
                    f,
                    "exercise \"{name}\": an answer may be off by more than 0 and at most 0.5 of itself, not {within}"
                )
            }
            Self::NotAPressure { name, quantity } => {
                write!(
                    f,
                    "exercise \"{name}\" asks for {quantity}; only absolute and gauge pressures take a barometer"
                )
            }
            Self::Barometer { name, value } => {
                let value = trimmed(value / 1e3);
                write!(f, "exercise \"{name}\": barometer {value} kPa is outside 50 to 110 kPa")
            }
        }
    }
}
impl core::error::Error for ExerciseError {}

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
    })
}

impl Exercise {
    /// States the barometer at an exercise that asks for a pressure, so that gauge taken for absolute, and the
    /// reverse, is recognised when answers are marked.
    pub fn barometer(mut self, barometer: Pressure) -> Result<Self, ExerciseError> {
        if self.other.is_none() {
            return Err(ExerciseError::NotAPressure { name: self.name, quantity: self.quantity });
        }
        if !barometer.si().is_finite() || !(5e4..=1.1e5).contains(&barometer.si()) {
            return Err(ExerciseError::Barometer { name: self.name, value: barometer.si() });
        }
        self.barometer = Some(barometer);
        Ok(self)
    }

    /// The key as JSON: SI value, tolerance and every unit with its factor, so that a marking script needs no table
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
        format!(
            "{{\"name\": {}, \"quantity\": {}, \"value\": {}, \"within\": {}, \"shown\": {}, \"units\": {}, \"other_zero\": {other}}}",
            quoted(&self.name),
            quoted(self.quantity),
            self.value,
            self.within.si(),
            quoted(self.shown),
            units(self.units),
        )
    }

    /// Shows the worked answer in a notebook, and carries the key.
    pub fn evcxr_display(&self) {
        let shown = self.to_string().replacen(&self.answer, &chosen(&self.answer), 1);
        super::emit(&shown, "text/html", &format!("<b>{}</b>", escape(&shown)));
        super::block(KEY_TYPE, &self.key());
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

/// A text in JSON. Names hold no control characters: `exercise` refuses them.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::units::*;
    use serde_json::Value;

    fn key(exercise: &Exercise) -> Value {
        serde_json::from_str(&exercise.key()).unwrap()
    }

    #[test]
    fn a_key_holds_what_marking_needs() {
        let name = "flow \"hot\" \\ é";
        let key = key(&exercise(name, lb_per_min(25.0), percent(1.0)).unwrap());
        assert_eq!(
            (&key["name"], &key["quantity"], &key["shown"]),
            (&name.into(), &"a mass flow".into(), &"kg/s".into())
        );
        // 1 lb = 0.45359237 kg (international yard and pound agreement, 1959).
        assert_eq!(key["value"].as_f64().unwrap(), 25.0 * (0.453_592_37 / 60.0));
        assert_eq!(key["within"], 0.01);
        assert_eq!(key["other_zero"], Value::Null);
        let units = key["units"].as_array().unwrap();
        assert_eq!(units.len(), MassFlow::UNITS.len());
        for (unit, ours) in units.iter().zip(MassFlow::UNITS) {
            assert_eq!(unit["label"], ours.label);
            assert_eq!(unit["factor"].as_f64(), Some(ours.factor), "{}", ours.label);
            assert_eq!(unit["offset"], 0.0);
            let aliases: Vec<&str> =
                unit["aliases"].as_array().unwrap().iter().map(|alias| alias.as_str().unwrap()).collect();
            assert_eq!(aliases, ours.aliases);
        }
    }

    /// The scripts read the committed outputs, so those must be what this code writes.
    #[test]
    fn the_committed_notebook_carries_these_keys() {
        let notebook: Value =
            serde_json::from_str(include_str!("../../notebooks/exercises/first_boost.ipynb")).unwrap();
        let cells = notebook["cells"].as_array().unwrap().iter();
        let outputs = cells.flat_map(|cell| cell["outputs"].as_array().into_iter().flatten());
        let keys: Vec<&Value> = outputs.filter_map(|output| output["data"].get(KEY_TYPE)).collect();
        let named = |name: &str| *keys.iter().find(|key| key["name"] == name).unwrap();
        let displacement = litre(named("displacement")["value"].as_f64().unwrap() * 1e3);
        let manifold = pa(named("manifold pressure")["value"].as_f64().unwrap());
        let flow = corrected_kg_per_s(named("corrected flow")["value"].as_f64().unwrap());
        let written = [
            exercise("displacement", displacement, percent(1.0)),
            exercise("manifold pressure", manifold, percent(1.0)).and_then(|e| e.barometer(kpa(101.325))),
            exercise("corrected flow", flow, percent(1.0)),
        ];
        for exercise in written.map(Result::unwrap) {
            assert_eq!(&key(&exercise), named(&exercise.name));
        }
    }

    #[test]
    fn a_temperature_carries_its_zeros() {
        let key = key(&exercise("t", deg_c(127.0), percent(1.0)).unwrap());
        assert!((key["value"].as_f64().unwrap() - 400.15).abs() < 1e-9);
        let celsius = key["units"].as_array().unwrap().iter().find(|unit| unit["label"] == "degC").unwrap();
        assert_eq!(celsius["offset"], 273.15);
    }

    #[test]
    fn a_barometer_ties_gauge_to_absolute() {
        let absolute = exercise("p", kpa(200.0), percent(1.0)).unwrap();
        assert_eq!(key(&absolute)["other_zero"], Value::Null);
        let absolute = key(&absolute.barometer(kpa(98.0)).unwrap());
        assert_eq!(absolute["other_zero"]["shift"], 98_000.0);
        assert_eq!(absolute["other_zero"]["quantity"], "a gauge pressure");
        let gauge =
            key(&exercise("p", kpa_gauge(102.0), percent(1.0)).unwrap().barometer(kpa(98.0)).unwrap());
        assert_eq!(gauge["other_zero"]["shift"], -98_000.0);
        assert_eq!(gauge["other_zero"]["units"][0]["label"], "Pa");
    }

    #[test]
    fn what_cannot_be_asked_is_refused() {
        let flow = |name: &str, value: f64, within: f64| {
            exercise(name, kg_per_s(value), fraction(within)).unwrap_err().to_string()
        };
        for name in ["", " a", "a\nb", "a = b", "a # b", "a\u{1b}[2J", &"x".repeat(81)] {
            assert!(flow(name, 0.2, 0.01).starts_with("the name of an exercise is one line"), "{name:?}");
        }
        for value in [f64::NAN, f64::INFINITY, 0.0] {
            assert!(flow("a", value, 0.01).contains("a finite number other than zero"), "{value}");
        }
        for within in [f64::NAN, f64::INFINITY, 0.0, -0.01, 0.51] {
            assert!(flow("a", 0.2, within).contains("at most 0.5 of itself"), "{within}");
        }
        let error = exercise("a", kg_per_s(0.2), percent(1.0)).unwrap().barometer(kpa(100.0)).unwrap_err();
        assert!(error.to_string().contains("asks for a mass flow"), "{error}");
        for barometer in [f64::NAN, 49.0, 111.0, f64::INFINITY] {
            let error =
                exercise("a", kpa(200.0), percent(1.0)).unwrap().barometer(kpa(barometer)).unwrap_err();
            assert!(error.to_string().contains("outside 50 to 110 kPa"), "{error}");
        }
    }
}
