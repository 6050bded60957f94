//! What a candidate's evidence states, figure by figure: where the record of its map starts from.

use crate::compressor::{CompressorMap, MapKind};
use crate::quantity::Quantity;

/// A figure of a candidate's evidence.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StatedFigure {
    /// Its key: `evidence.flow`.
    pub key: &'static str,
    /// The name of the piece of evidence.
    pub of: String,
    /// The place of the piece, from one.
    pub place: usize,
    /// The value in SI, what it is and its unit.
    pub value: f64,
    pub quantity: &'static str,
    pub unit: &'static str,
    /// Kind, name and provenance of the file that it stands for.
    pub file: Option<(&'static str, [String; 2])>,
}

#[cfg_attr(not(feature = "study"), allow(dead_code))] // only a study states figures
impl StatedFigure {
    pub fn new<Q: Quantity>(key: &'static str, of: &str, place: usize, value: Q) -> Self {
        let (quantity, unit) = (Q::NAME, Q::si_unit());
        Self { key, of: of.into(), place, value: value.si(), quantity, unit, file: None }
    }
    /// Says that it stands for a file.
    pub fn standing_for(mut self, map: &CompressorMap) -> Self {
        let kind = map.kind().map_or("computed", MapKind::words);
        self.file = Some((kind, [map.file().into(), map.provenance().into()]));
        self
    }
}
