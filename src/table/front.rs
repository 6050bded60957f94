//! Front matter: lines `# key: value` above a table.

use super::Table;
use crate::quantity::{Quantity, QuantityError, shorten};
use core::str::FromStr;

impl<const N: usize> Table<'_, N> {
    pub(super) fn read_front(&mut self, lines: Vec<(usize, &str)>) {
        let form = self.form;
        for (line, text) in lines {
            let Some((key, value)) = text.trim_start_matches('#').split_once(':') else { continue };
            let key = key.trim().to_lowercase();
            if key != form.name && !form.keys.contains(&key.as_str()) {
                let keys = form.keys.join(", ");
                let (key, name) = (shorten(&key), form.name);
                let message = if key.starts_with("shaftwork-") {
                    format!("\"{key}\" is another kind of file; this is read as {name}")
                } else {
                    format!("unknown key \"{key}\"; the keys are: {name}, {keys}")
                };
                self.problem(line, message);
            } else if let Some((first, _)) = self.front.insert(key.clone(), (line, value.trim().to_string()))
            {
                let message = format!("\"{key}\" stands a second time (first in line {first}); keep one");
                self.problem(line, message);
            }
        }
        if let Some((line, version)) = self.said(form.name).filter(|(_, version)| *version != "1") {
            let (name, version) = (form.name, shorten(version));
            self.problem(line, format!("{name} {version} is not read; this version reads {name} 1"));
        }
        for (key, needed) in form.phrases {
            if let Some((line, value)) = self.said(key).filter(|(_, value)| value != needed) {
                let value = shorten(value);
                let message = format!(
                    "{key} \"{value}\" is not read; give it {needed}, or leave the line out if it is"
                );
                self.problem(line, message);
            }
        }
    }

    /// Line and value of a key, where it stands.
    pub fn said(&self, key: &str) -> Option<(usize, &str)> {
        self.front.get(key).map(|(line, value)| (*line, value.as_str()))
    }
    /// The title, or else the name of the file.
    pub fn title(&self) -> String {
        self.said("title").map_or(self.file, |(_, title)| title).into()
    }
    /// Where the figures come from.
    pub fn provenance(&self) -> String {
        let words = self.said("provenance").map_or("not stated", |(_, words)| words);
        match &self.volume {
            None => words.into(),
            Some((unit, density)) => {
                format!("{words}; its flow in {unit} times {density:.4} kg/m3, dry air at the reference")
            }
        }
    }

    /// A value that must stand in the front matter; `example` is one that could.
    pub fn value<Q: Quantity + FromStr<Err = QuantityError>>(
        &mut self,
        key: &str,
        example: &str,
    ) -> Option<Q> {
        let Some((line, text)) = self.said(key) else {
            let message =
                format!("no {key}; write \"# {key}: {example}\" above the table, with the map's own value");
            self.problem(None, message);
            return None;
        };
        let value = text.parse();
        value.map_err(|error| self.problem(line, format!("{key}: {error}"))).ok()
    }
}
