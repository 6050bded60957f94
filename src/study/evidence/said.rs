//! One table of evidence as it was read, and the piece of evidence that it makes about a wheel.

use crate::compressor::{
    CompressorMap, Evidence, EvidenceError, InletState, MapEstimate, PrintedMap, ReadWithin, RunPoint,
    SimilarMachine, corrected_speed,
};
use crate::quantity::*;
use crate::shaft::StatedFigure;
use crate::study::document::Table;
use core::cell::Cell;

/// What the evidence calls a figure, and its key.
const CALLED: [(&str, &str); 12] = [
    ("flow", "flow"),
    ("corrected flow", "flow"),
    ("deviation of the flow", "flow_sigma"),
    ("pressure ratio", "pressure_ratio"),
    ("deviation of the pressure ratio", "pressure_ratio_sigma"),
    ("outlet temperature over the inlet's", "outlet_temperature"),
    ("deviation of the outlet temperature", "outlet_temperature_sigma"),
    ("outer diameter over that of the known machine", "exducer"),
    ("inducer over outer diameter of the known machine", "inducer"),
    ("inducer over outer diameter", "exducer"),
    ("clearance over exit width of the known machine", "clearance"),
    ("clearance over exit width", "clearance"),
];

/// One table.
pub(super) struct Told<'d, 'a> {
    pub table: Table<'d, 'a>,
    pub name: String,
    /// Whether its kind is known.
    pub known: bool,
    said: Option<Said>,
    pub figures: Vec<StatedFigure>,
    /// Whether a reading of the wheel could not take it, which is said once.
    refused: Cell<bool>,
}

/// What a table says, by its kind.
pub(super) enum Said {
    Seller(MassFlow),
    SellerVolume(VolumeFlow),
    Point(RunPoint),
    End {
        choke: bool,
        inlet: InletState,
        speed: ShaftSpeed,
        flow: MassFlow,
        sigma: Fraction,
    },
    Similar {
        map: Box<CompressorMap>,
        outer: Length,
        inducer: Option<Length>,
        /// Clearance over exit width, used beside that of the candidate's own wheel.
        clearance: Option<Fraction>,
    },
    Lines(Box<PrintedMap>, ReadWithin),
}

impl<'d, 'a> Told<'d, 'a> {
    pub fn new(
        table: Table<'d, 'a>,
        name: String,
        known: bool,
        said: Option<Said>,
        figures: Vec<StatedFigure>,
    ) -> Self {
        Self { table, name, known, said, figures, refused: Cell::new(false) }
    }

    /// The piece of evidence about one reading of the wheel.
    pub fn piece(&self, of: &MapEstimate) -> Option<Evidence> {
        let name = &self.name;
        let made = match self.said.as_ref()? {
            Said::Seller(flow) => Evidence::seller_figure(name, of, *flow),
            Said::SellerVolume(flow) => Evidence::seller_volume(name, of, *flow),
            Said::Point(point) => Evidence::run(name, of, *point),
            Said::End { choke, inlet, speed, flow, sigma } => {
                let reference = of.reference();
                let speed = corrected_speed(*speed, inlet.temperature, reference.temperature());
                let flow = inlet.correct(*flow, reference);
                speed.and_then(|speed| Ok((speed, flow?))).map_err(EvidenceError::from).and_then(
                    |(speed, flow)| {
                        let end = if *choke { Evidence::choke } else { Evidence::surge };
                        end(name, of, speed, flow, *sigma)
                    },
                )
            }
            Said::Lines(printed, read) => Evidence::printed_lines(name, of, printed, *read),
            Said::Similar { map, outer, inducer, clearance } => {
                let wheel = of.geometry();
                let clearances = clearance.zip(wheel.clearance_share()).map(<[Fraction; 2]>::from);
                let machine = SimilarMachine { map, outer: *outer, inducer: *inducer, clearances };
                machine.scaled_to(wheel.outer(), wheel.inducer()).and_then(|scaled| scaled.evidence(name, of))
            }
        };
        made.map_err(|error| {
            if !self.refused.replace(true) {
                // A pressure ratio that was not written is boost and barometer over the inlet.
                let key = match key_of(&error) {
                    "pressure_ratio" if self.table.line_of("pressure_ratio").is_none() => "boost",
                    key => key,
                };
                self.table.problem(self.table.line_of(key), key, error.to_string());
            }
        })
        .ok()
    }
}

fn key_of(error: &EvidenceError) -> &'static str {
    match error {
        EvidenceError::Value { what, .. } => {
            CALLED.iter().find(|(called, _)| called == what).map_or("kind", |(_, key)| key)
        }
        EvidenceError::Impossible { .. } => "outlet_temperature",
        EvidenceError::BeyondAnnulus { .. } => "flow",
        EvidenceError::Scaled { .. } => "exducer",
        EvidenceError::Empty { .. } | EvidenceError::Lines(_) | EvidenceError::Fit(_) => "map",
        EvidenceError::Estimate(_) => "speed",
        _ => "kind",
    }
}
