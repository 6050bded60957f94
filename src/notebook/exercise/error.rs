//! Why an exercise cannot be set.

use crate::quantity::{shorten, trimmed};

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
    /// A barometer where neither the answer nor an input of the steps is counted from it.
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
    /// Steps that do not give the answer, or that cannot be worked again with mistaken inputs.
    Steps {
        /// The exercise.
        name: String,
        /// The formula of the steps.
        formula: &'static str,
        /// What is wrong with them.
        why: String,
    },
    /// A mistake that cannot be told from its answer.
    Mistake {
        /// The exercise.
        name: String,
        /// What is wrong with it.
        why: String,
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
                    "exercise \"{name}\" asks for {quantity}; a barometer goes with an absolute or gauge pressure, \
                     or with steps that take an absolute pressure (steps first)"
                )
            }
            Self::Barometer { name, value } => {
                let value = trimmed(value / 1e3);
                write!(f, "exercise \"{name}\": barometer {value} kPa is outside 50 to 110 kPa")
            }
            Self::Steps { name, formula, why } => write!(f, "exercise \"{name}\", steps of {formula}: {why}"),
            Self::Mistake { name, why } => write!(f, "exercise \"{name}\", mistake: {why}"),
        }
    }
}
impl core::error::Error for ExerciseError {}
