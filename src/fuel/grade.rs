//! What a pump may deliver under a name: a range, never a number.

use super::{Fuel, Gasoline};
use crate::formula::FormulaError;
use crate::quantity::*;

/// Ethanol by volume that a standard allows under a name.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpGrade {
    /// The standard.
    pub standard: String,
    /// Least ethanol by volume.
    pub least: Fraction,
    /// Most ethanol by volume.
    pub most: Fraction,
    /// Evidence grade in words.
    pub grade: String,
    /// More about it.
    pub note: String,
}

impl PumpGrade {
    /// All known grades, from `data/fuel/grades.csv`.
    ///
    /// ```
    /// use shaftwork::fuel::PumpGrade;
    /// let flex = PumpGrade::all().into_iter().find(|g| g.standard == "ASTM D5798").unwrap();
    /// assert_eq!((flex.least.percent(), flex.most.percent()), (51.0, 83.0));
    /// ```
    pub fn all() -> Vec<Self> {
        let mut reader = csv::Reader::from_reader(include_str!("../../data/fuel/grades.csv").as_bytes());
        let grade = |row: csv::StringRecord| {
            let text = |i: usize| row.get(i).unwrap_or_default().to_string();
            let share = |i: usize| {
                let percent: f64 = row.get(i).and_then(|field| field.parse().ok()).unwrap_or(f64::NAN);
                Fraction::from_si_unchecked(percent / 100.0)
            };
            Self { standard: text(0), least: share(1), most: share(2), grade: text(3), note: text(4) }
        };
        reader.records().filter_map(Result::ok).map(grade).collect()
    }
    /// The blends at both ends of the range.
    pub fn ends(&self, gasoline: &Gasoline) -> Result<[Fuel; 2], FormulaError> {
        Ok([Fuel::ethanol_blend(self.least, gasoline)?, Fuel::ethanol_blend(self.most, gasoline)?])
    }
}
