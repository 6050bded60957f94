//! A value that may be a list of readings, of which one is right, with their weights.

use super::{Found, Table, inner};
use crate::compressor::Readings;
use crate::quantity::{Fraction, Quantity, QuantityError};
use core::str::FromStr;
use toml::de::DeValue;

impl<'d, 'a> Table<'d, 'a> {
    /// One value, or a list of readings, each as typed.
    fn typed_each(&self, name: &'static str, weighted: bool) -> Option<Found<Vec<String>>> {
        let (value, line) = self.get(name)?;
        let DeValue::Array(array) = inner(value) else {
            return self
                .typed_beside(name, value, line, weighted)
                .map(|typed| Found { value: vec![typed], line });
        };
        let typed: Option<Vec<String>> =
            array.iter().map(|entry| self.scalar(name, entry.get_ref(), line)).collect();
        let typed = typed?;
        let words = match self.weights_typed(name, weighted) {
            Some(weights) => format!("{}, weighted {}", typed.join(" or "), weights.join(" to ")),
            None => typed.join(" or "),
        };
        self.record(name, value, line, words, weighted);
        Some(Found { value: typed, line })
    }

    /// A list of quantities, or one alone.
    pub fn list<Q>(&self, name: &'static str) -> Option<Vec<Q>>
    where
        Q: Quantity + FromStr<Err = QuantityError>,
    {
        let typed = self.typed_each(name, false)?;
        let parse = |text: &String| self.parse(name, text, typed.line).map(|found| found.value);
        typed.value.iter().map(parse).collect()
    }

    /// A quantity, or several readings of it, of which one is right.
    pub fn readings<Q>(&self, name: &'static str) -> Option<Found<Readings<Q>>>
    where
        Q: Quantity + FromStr<Err = QuantityError>,
    {
        let typed = self.typed_each(name, true)?;
        let parse = |text: &String| self.parse(name, text, typed.line).map(|found| found.value);
        let read: Option<Vec<Q>> = typed.value.iter().map(parse).collect();
        self.weigh(name, Found { value: read?, line: typed.line })
    }

    /// A whole number, or several readings of it.
    pub fn counts(&self, name: &'static str, example: &str) -> Option<Found<Readings<u32>>> {
        let typed = self.typed_each(name, true)?;
        let parse = |text: &String| self.parse_count(name, text, typed.line, example);
        let read: Option<Vec<u32>> = typed.value.iter().map(parse).collect();
        self.weigh(name, Found { value: read?, line: typed.line })
    }

    /// Whether weights stand beside a value.
    pub fn has_weights(&self, name: &'static str) -> bool {
        self.get(name).is_some_and(|(value, _)| weights(value).is_some())
    }

    /// Readings with the weights that stand beside them.
    fn weigh<Q>(&self, name: &'static str, read: Found<Vec<Q>>) -> Option<Found<Readings<Q>>> {
        let Found { value, line } = read;
        let readings = Readings::from(value);
        if !self.has_weights(name) {
            return Some(Found { value: readings, line });
        }
        if readings.len() < 2 {
            let message = "has weights, which belong to several readings; leave them out, or write { value = [\"..\", \"..\"], \
                           weights = [3, 1] }";
            self.problem(line, name, message);
            return None;
        }
        let Some(typed) = self.weights_typed(name, true) else {
            self.problem(
                line,
                name,
                "its weights must be a list of numbers, one for each reading: weights = [3, 1]",
            );
            return None;
        };
        let refused = |why: String| {
            self.problem(line, name, format!("its weights [{}]: {why}", typed.join(", ")));
        };
        let parsed: Result<Vec<Fraction>, QuantityError> = typed.iter().map(|text| text.parse()).collect();
        let weights = parsed.map_err(|error| refused(error.to_string())).ok()?;
        let value = readings.weighted(weights).map_err(|error| refused(error.to_string())).ok()?;
        Some(Found { value, line })
    }

    /// The weights beside a value as typed, where they are a list of numbers.
    fn weights_typed(&self, name: &'static str, weighted: bool) -> Option<Vec<String>> {
        let (value, _) = self.get(name).filter(|_| weighted)?;
        let DeValue::Array(array) = weights(value)? else { return None };
        let number = |value: &DeValue<'_>| match value {
            DeValue::String(text) => Some(text.to_string()),
            DeValue::Integer(number) if number.radix() == 10 => Some(number.as_str().to_string()),
            DeValue::Float(number) => Some(number.as_str().to_string()),
            _ => None,
        };
        array.iter().map(|entry| number(entry.get_ref())).collect()
    }
}

/// What stands beside the value under this name.
fn weights<'d, 'a>(value: &'d DeValue<'a>) -> Option<&'d DeValue<'a>> {
    let DeValue::Table(table) = value else { return None };
    table.iter().find(|(key, _)| key.get_ref() == super::WEIGHTS).map(|(_, weights)| weights.get_ref())
}
