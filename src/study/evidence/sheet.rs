//! One table of evidence while it is read: its figures, each kept for the record, and what stands in for those left out.

use crate::compressor::InletState;
use crate::gas::{Gas, density};
use crate::quantity::*;
use crate::shaft::{ESTIMATED_AT, StatedFigure};
use crate::study::Grade;
use crate::study::document::Table;
use crate::study::read::Reader;
use core::cell::RefCell;
use core::str::FromStr;

/// A spread where none is stated, one standard deviation: key, what of, value, band. All of it is [own-judgement].
pub(super) type Spread = (&'static str, &'static str, f64, &'static str);
pub(super) const FLOW: Spread =
    ("evidence.flow_sigma", "flow", 0.05, "2 % from a meter, 5 to 10 % from an engine's air demand");
pub(super) const RATIO: Spread = ("evidence.pressure_ratio_sigma", "pressure ratio", 0.02, "1 to 4 %");
pub(super) const EFFICIENCY: Spread = ("evidence.efficiency_sigma", "efficiency", 0.03, "1 to 5 points");
pub(super) const OUTLET: Spread = (
    "evidence.outlet_temperature_sigma",
    "outlet temperature",
    5.0,
    "2 to 15 K; heat from the turbine comes on top",
);

/// The same of a line that is read off a small picture.
pub(super) const LINE_FLOW: Spread =
    ("evidence.flow_sigma", "flow of printed lines", 0.01, "0.3 % from a large figure, 3 % from a thumbnail");
pub(super) const LINE_RATIO: Spread = (
    "evidence.pressure_ratio_sigma",
    "pressure ratio of printed lines",
    0.005,
    "0.3 % from a large figure, 2 % from a thumbnail",
);

/// One table while it is read, with the figures found.
pub(super) struct Sheet<'t, 'd, 'a> {
    pub reader: &'t Reader<'d, 'a>,
    pub table: &'t Table<'d, 'a>,
    pub name: &'t str,
    pub place: usize,
    figures: RefCell<Vec<StatedFigure>>,
}

/// The name of a key inside its table.
fn short(key: &'static str) -> &'static str {
    key.split_once('.').map_or(key, |(_, name)| name)
}

impl<'t, 'd, 'a> Sheet<'t, 'd, 'a> {
    pub fn new(reader: &'t Reader<'d, 'a>, table: &'t Table<'d, 'a>, name: &'t str, place: usize) -> Self {
        Self { reader, table, name, place, figures: RefCell::default() }
    }
    /// The figures found.
    pub fn stated(self) -> Vec<StatedFigure> {
        self.figures.into_inner()
    }
    /// Keeps a figure for the record.
    pub fn keep(&self, figure: StatedFigure) {
        self.figures.borrow_mut().push(figure);
    }
    pub fn state<Q: Quantity>(&self, key: &'static str, value: Q) {
        self.keep(StatedFigure::new(key, self.name, self.place, value));
    }
    pub fn optional<Q>(&self, key: &'static str) -> Option<Q>
    where
        Q: Quantity + FromStr<Err = QuantityError>,
    {
        let found = self.table.optional::<Q>(short(key))?;
        self.state(key, found.value);
        Some(found.value)
    }
    pub fn required<Q>(&self, key: &'static str, example: &str) -> Option<Q>
    where
        Q: Quantity + FromStr<Err = QuantityError>,
    {
        let found = self.table.required::<Q>(short(key), example)?;
        self.state(key, found.value);
        Some(found.value)
    }
    /// A spread, or what stands in for it.
    pub fn spread<Q>(&self, (key, what, value, band): Spread) -> Option<Q>
    where
        Q: Quantity + FromStr<Err = QuantityError> + core::fmt::Display,
    {
        let given = self.table.line_of(short(key)).is_some();
        let found = self.table.optional::<Q>(short(key)).map(|found| found.value);
        let stands = Q::from_si_unchecked(value);
        if !given {
            let what = format!("spread of the {what} of evidence (1 sigma)");
            self.reader.note(key, &what, stands, band, Grade::Assumed);
        }
        // A spread that cannot be read is a problem already.
        let value = if given { found? } else { stands };
        self.state(key, value);
        Some(value)
    }

    /// The conditions that corrected figures are corrected to.
    pub fn reference(&self) -> InletState {
        let [temperature, pressure] = ["evidence.reference_temperature", "evidence.reference_pressure"];
        let found = (self.optional::<Temperature>(temperature), self.optional::<Pressure>(pressure));
        let (t, p) = ESTIMATED_AT;
        let band = "in use 288 to 303 K and 95 to 101 kPa: 5 % of flow";
        if found.0.is_none() {
            self.reader.note(temperature, "reference temperature of evidence", t, band, Grade::Assumed);
            self.state(temperature, t);
        }
        if found.1.is_none() {
            self.reader.note(pressure, "reference pressure of evidence", p, band, Grade::Assumed);
            self.state(pressure, p);
        }
        InletState { temperature: found.0.unwrap_or(t), pressure: found.1.unwrap_or(p) }
    }

    /// A corrected speed and flow, which are the real ones at the reference.
    pub fn corrected(&self, reference: InletState) -> (Option<ShaftSpeed>, Option<MassFlow>) {
        let speed = self.required::<CorrectedSpeed>("evidence.speed", "110000 rpm");
        let flow = match self.volume() {
            Some(volume) => volume.and_then(|volume| self.mass(volume, reference)),
            None => self
                .required::<CorrectedMassFlow>("evidence.flow", "0.17 kg/s")
                .map(|flow| MassFlow::from_si_unchecked(flow.si())),
        };
        (speed.map(|speed| ShaftSpeed::from_si_unchecked(speed.si())), flow)
    }

    /// The flow where it is stated as a volume.
    pub fn volume(&self) -> Option<Option<VolumeFlow>> {
        self.table.reads_as::<VolumeFlow>("flow").then(|| self.optional("evidence.flow"))
    }
    /// The mass of a volume flow of dry air in a state.
    pub fn mass(&self, volume: VolumeFlow, at: InletState) -> Option<MassFlow> {
        let density = density(&Gas::dry_air(), at.pressure, at.temperature);
        let density = density.map_err(|error| {
            self.table.problem(self.table.line_of("flow"), "flow", error.plainly());
        });
        density.ok().map(|density| MassFlow::from_si_unchecked(volume.si() * density.si()))
    }
}
