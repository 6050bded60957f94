//! Tables that a reader fills with results of his own.

use super::align::first_number;
use super::sheet::{Cell, Sheet};
use super::units::in_chosen_units;
use crate::quantity::Quantity;

/// A table of a reader's own results, as the last value of a cell. Made by [`table()`].
pub struct Table<const N: usize>(Sheet);

/// Starts a table with a title and the heads of its columns.
///
/// Quantities stand in it in the units of the session; numbers in one unit stand point under point.
///
/// ```
/// use shaftwork::prelude::*;
/// let mut costs = table("Air that is asked for", ["power", "air flow"]);
/// for [power, air] in [[150.0, 0.18], [245.0, 0.295]] {
///     costs.row([&kw(power), &kg_per_s(air)]);
/// }
/// assert!(costs.plain().contains("150.0 kW (201.2 hp)  0.1800 kg/s (23.8 lb/min)"));
/// ```
pub fn table<const N: usize>(title: impl Into<String>, head: [&str; N]) -> Table<N> {
    Table(Sheet::new(title, &head))
}

/// What may stand in a table: words, or a quantity.
pub trait Entry {
    /// As the table shows it.
    fn entry(&self) -> String;
}
impl Entry for &str {
    fn entry(&self) -> String {
        (*self).into()
    }
}
impl Entry for String {
    fn entry(&self) -> String {
        self.clone()
    }
}
impl<Q: Quantity> Entry for Q {
    fn entry(&self) -> String {
        in_chosen_units(*self)
    }
}

impl<const N: usize> Table<N> {
    /// Adds a row.
    pub fn row(&mut self, cells: [&dyn Entry; N]) {
        self.0.cells(cells.map(|cell| {
            let shown = cell.entry();
            if first_number(&shown).is_some() { Cell::held(&shown) } else { shown.into() }
        }));
    }
    /// The table as plain text.
    pub fn plain(&self) -> String {
        self.0.plain()
    }
    /// Shows the table in a notebook.
    pub fn evcxr_display(&self) {
        self.0.show();
    }
}
