//! What else is known of a compressor without a map: the tables `[[candidate.evidence]]`.

use super::document::Table;
use super::read::Reader;
use super::{Grade, Study};
use crate::compressor::{
    CompressorMap, Evidence, EvidenceError, InletState, MapEstimate, ReadingWeights, RunPoint, SELLER_FIGURE,
    SimilarMachine, corrected_speed, outlet_temperature, weigh_readings,
};
use crate::formula::FormulaError;
use crate::gas::Gas;
use crate::quantity::*;
use crate::shaft::{Candidate, ESTIMATED_AT, StatedFigure};
use core::cell::{Cell, RefCell};
use core::str::FromStr;

/// The kinds of evidence, as a study names them.
const KINDS: [&str; 6] =
    ["seller's flow", "measured point", "catalogue point", "choke flow", "surge flow", "similar machine"];

/// A spread where none is stated, one standard deviation: key, what of, value, band. All of it is [own-judgement].
type Spread = (&'static str, &'static str, f64, &'static str);
const FLOW: Spread =
    ("evidence.flow_sigma", "flow", 0.05, "2 % from a meter, 5 to 10 % from an engine's air demand");
const RATIO: Spread = ("evidence.pressure_ratio_sigma", "pressure ratio", 0.02, "1 to 4 %");
const EFFICIENCY: Spread = ("evidence.efficiency_sigma", "efficiency", 0.03, "1 to 5 points");
const OUTLET: Spread = (
    "evidence.outlet_temperature_sigma",
    "outlet temperature",
    5.0,
    "2 to 15 K; heat from the turbine comes on top",
);

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

/// The evidence of one candidate.
pub(super) struct EvidenceKeys<'d, 'a> {
    told: Vec<Told<'d, 'a>>,
    /// Whether a reading of the wheel could not take all of it together, which is said once.
    refused: Cell<bool>,
}

/// One table.
struct Told<'d, 'a> {
    table: Table<'d, 'a>,
    name: String,
    known: bool,
    said: Option<Said>,
    figures: Vec<StatedFigure>,
    /// Whether a reading of the wheel could not take it, which is said once.
    refused: Cell<bool>,
}

enum Said {
    Seller(MassFlow),
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
        clearances: Option<[Fraction; 2]>,
    },
}

impl<'d, 'a> EvidenceKeys<'d, 'a> {
    /// Reads the tables; `clearance` is that of the candidate's own wheel over its exit width, where both are given.
    pub fn read(reader: &Reader<'d, 'a>, candidate: &Table<'d, 'a>, clearance: Option<Fraction>) -> Self {
        let mut told: Vec<Told> = Vec::new();
        for (index, table) in candidate.tables_if_there("evidence").into_iter().enumerate() {
            let kind = table.required_text("kind", KINDS[0]);
            let name = table.text("name");
            let kind = kind.map(|kind| (KINDS.iter().position(|known| *known == kind.value), kind));
            if let Some((None, kind)) = &kind {
                let kinds = KINDS.map(|kind| format!("\"{kind}\"")).join(", ");
                table.problem(kind.line, "kind", format!("is one of: {kinds}"));
            }
            let place = kind.and_then(|(place, _)| place);
            let line = name.as_ref().map(|name| name.line);
            let name =
                name.map_or_else(|| place.map_or("?", |place| KINDS[place]).into(), |found| found.value);
            if told.iter().any(|before| before.name == name) {
                table.problem(line, "name", format!("\"{name}\" stands before; name each piece apart"));
            }
            let sheet =
                Sheet { reader, table: &table, name: &name, place: index + 1, figures: RefCell::default() };
            let said = place.and_then(|place| match place {
                0 => sheet.seller(),
                1 => sheet.measured(),
                2 => sheet.catalogue(),
                3 | 4 => sheet.end(place == 3),
                _ => sheet.similar(clearance),
            });
            let figures = sheet.figures.into_inner();
            told.push(Told { table, name, known: place.is_some(), said, figures, refused: Cell::new(false) });
        }
        Self { told, refused: Cell::new(false) }
    }

    pub fn is_empty(&self) -> bool {
        self.told.is_empty()
    }

    /// The estimate of one reading of the wheel with all the evidence weighed in; nothing where it cannot be.
    pub fn candidate(
        &self,
        candidate: &Table<'d, 'a>,
        name: &str,
        estimate: &MapEstimate,
    ) -> Option<Candidate> {
        // Every piece is looked at before the first that is refused ends it.
        let pieces: Vec<Option<Evidence>> = self.told.iter().map(|told| told.piece(estimate)).collect();
        let pieces: Vec<Evidence> = pieces.into_iter().collect::<Option<_>>()?;
        let made = estimate.combined(&pieces).and_then(|combined| {
            let figures = self.told.iter().flat_map(|told| told.figures.clone()).collect();
            Ok(Candidate::with_evidence(name, combined)?.stating(figures))
        });
        made.map_err(|error| {
            if !self.refused.replace(true) {
                candidate.problem(candidate.line_of("evidence"), "evidence", error.to_string());
            }
        })
        .ok()
    }

    /// Reports the keys that no kind asked for.
    pub fn close(self) {
        self.told.into_iter().filter(|told| told.known).for_each(|told| told.table.close());
    }
}

impl Told<'_, '_> {
    /// The piece of evidence about one reading of the wheel.
    fn piece(&self, of: &MapEstimate) -> Option<Evidence> {
        let name = &self.name;
        let made = match self.said.as_ref()? {
            Said::Seller(flow) => Evidence::seller_figure(name, of, *flow),
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
            Said::Similar { map, outer, inducer, clearances } => {
                let machine =
                    SimilarMachine { map, outer: *outer, inducer: *inducer, clearances: *clearances };
                let wheel = of.geometry();
                machine.scaled_to(wheel.outer(), wheel.inducer()).and_then(|scaled| scaled.evidence(name, of))
            }
        };
        made.map_err(|error| {
            if !self.refused.replace(true) {
                let key = key_of(&error);
                self.table.problem(self.table.line_of(key), key, error.to_string());
            }
        })
        .ok()
    }
}

impl Study {
    /// Which reading of a candidate's inducer its evidence favours, by the candidate's name: before it all readings count
    /// alike. `None` where the wheel was read in one way, or nothing was weighed in.
    pub fn reading_weights(&self, name: &str) -> Option<ReadingWeights> {
        let named = self.candidates.iter().filter(|candidate| candidate.name() == name);
        let read: Vec<_> = named.filter_map(|one| Some((one.reading()?, one.evidence()?))).collect();
        let alike = Fraction::from_si_unchecked(1.0 / read.len().max(1) as f64);
        (read.len() > 1).then(|| weigh_readings(read.into_iter().map(|(reading, of)| (reading, alike, of))))
    }
}

fn key_of(error: &EvidenceError) -> &'static str {
    match error {
        EvidenceError::Value { what, .. } => {
            CALLED.iter().find(|(called, _)| called == what).map_or("kind", |(_, key)| key)
        }
        EvidenceError::Impossible { .. } => "outlet_temperature",
        EvidenceError::Empty { .. } | EvidenceError::Lines(_) => "map",
        EvidenceError::Estimate(_) => "speed",
        _ => "kind",
    }
}

/// One table while it is read, with the figures found.
struct Sheet<'t, 'd, 'a> {
    reader: &'t Reader<'d, 'a>,
    table: &'t Table<'d, 'a>,
    name: &'t str,
    place: usize,
    figures: RefCell<Vec<StatedFigure>>,
}

/// The name of a key inside its table.
fn short(key: &'static str) -> &'static str {
    key.split_once('.').map_or(key, |(_, name)| name)
}

impl Sheet<'_, '_, '_> {
    fn state<Q: Quantity>(&self, key: &'static str, value: Q) {
        self.figures.borrow_mut().push(StatedFigure::new(key, self.name, self.place, value));
    }
    fn optional<Q>(&self, key: &'static str) -> Option<Q>
    where
        Q: Quantity + FromStr<Err = QuantityError>,
    {
        let found = self.table.optional::<Q>(short(key))?;
        self.state(key, found.value);
        Some(found.value)
    }
    fn required<Q>(&self, key: &'static str, example: &str) -> Option<Q>
    where
        Q: Quantity + FromStr<Err = QuantityError>,
    {
        let found = self.table.required::<Q>(short(key), example)?;
        self.state(key, found.value);
        Some(found.value)
    }
    /// A spread, or what stands in for it.
    fn spread<Q>(&self, (key, what, value, band): Spread) -> Option<Q>
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

    fn seller(&self) -> Option<Said> {
        let flow = self.required("evidence.flow", "38 lb/min");
        let bias: f64 = SELLER_FIGURE.iter().map(|doubt| doubt.bias).sum();
        let sigma = SELLER_FIGURE.iter().map(|doubt| doubt.sigma * doubt.sigma).sum::<f64>().sqrt();
        let value = format!("choke flow {:+.0} %, spread {:.0} % (1 sigma)", 100.0 * bias, 100.0 * sigma);
        let band = "nobody says reference, speed or meaning";
        self.reader.note("evidence.seller", "what a seller's flow figure means", value, band, Grade::Assumed);
        flow.map(Said::Seller)
    }

    fn measured(&self) -> Option<Said> {
        let temperature = self.required("evidence.inlet_temperature", "24 degC");
        let pressure = self.required::<Pressure>("evidence.inlet_pressure", "98 kPa");
        let speed = self.required("evidence.speed", "110000 rpm");
        let flow = self.required("evidence.flow", "0.17 kg/s");
        let ratio = match self.optional::<GaugePressure>("evidence.boost") {
            None => self.required("evidence.pressure_ratio", "2.0"),
            Some(boost) => {
                let barometer = self.required::<Pressure>("evidence.barometer", "99 kPa");
                if let Some(line) = self.table.line_of("pressure_ratio") {
                    self.table.problem(line, "pressure_ratio", "is boost over inlet_pressure; leave one out");
                }
                let absolute =
                    barometer.zip(pressure).map(|(air, inlet)| (air.si() + boost.si()) / inlet.si());
                absolute.map(PressureRatio::from_si_unchecked)
            }
        };
        let inlet =
            temperature.zip(pressure).map(|(temperature, pressure)| InletState { temperature, pressure });
        self.point(inlet, speed, flow, ratio)
    }

    fn catalogue(&self) -> Option<Said> {
        let inlet = self.reference();
        let (speed, flow) = self.corrected();
        let ratio = self.required("evidence.pressure_ratio", "2.0");
        self.point(Some(inlet), speed, flow, ratio)
    }

    /// The rest of a point: how the outlet was found, and the spreads.
    fn point(
        &self,
        inlet: Option<InletState>,
        speed: Option<ShaftSpeed>,
        flow: Option<MassFlow>,
        ratio: Option<PressureRatio>,
    ) -> Option<Said> {
        let flow_sigma = self.spread(FLOW);
        let ratio_sigma = self.spread(RATIO);
        let outlet = self.optional::<Temperature>("evidence.outlet_temperature");
        let efficiency = self.optional::<Efficiency>("evidence.efficiency");
        if let (Some(_), Some(line)) = (outlet, self.table.line_of("efficiency")) {
            self.table.problem(line, "efficiency", "is the outlet temperature in other words; leave one out");
        }
        let outlet = match (outlet, efficiency) {
            (Some(outlet), _) => Some((outlet, self.spread(OUTLET)?)),
            (None, Some(efficiency)) => {
                let sigma = self.spread::<Fraction>(EFFICIENCY)?;
                let (inlet, ratio) = (inlet?, ratio?);
                let outlet = outlet_temperature(&Gas::dry_air(), inlet.temperature, ratio, efficiency);
                let outlet = outlet.map_err(|error: FormulaError| {
                    self.table.problem(self.table.line_of("efficiency"), "efficiency", error.plainly());
                });
                let outlet = outlet.ok()?;
                // The rise goes with 1/efficiency.
                let rise = (outlet.si() - inlet.temperature.si()) * sigma.si() / efficiency.si();
                Some((outlet, TemperatureDifference::from_si_unchecked(rise)))
            }
            (None, None) => None,
        };
        Some(Said::Point(RunPoint {
            inlet: inlet?,
            speed: speed?,
            flow: flow?,
            flow_sigma: flow_sigma?,
            ratio: ratio?,
            ratio_sigma: ratio_sigma?,
            outlet,
        }))
    }

    fn end(&self, choke: bool) -> Option<Said> {
        let inlet = self.reference();
        let (speed, flow) = self.corrected();
        let sigma = self.spread(FLOW);
        Some(Said::End { choke, inlet, speed: speed?, flow: flow?, sigma: sigma? })
    }

    /// The conditions that corrected figures are corrected to.
    fn reference(&self) -> InletState {
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
    fn corrected(&self) -> (Option<ShaftSpeed>, Option<MassFlow>) {
        let speed = self.required::<CorrectedSpeed>("evidence.speed", "110000 rpm");
        let flow = self.required::<CorrectedMassFlow>("evidence.flow", "0.17 kg/s");
        (
            speed.map(|speed| ShaftSpeed::from_si_unchecked(speed.si())),
            flow.map(|flow| MassFlow::from_si_unchecked(flow.si())),
        )
    }

    fn similar(&self, own: Option<Fraction>) -> Option<Said> {
        let file = self.table.required_text("map", "similar.csv");
        let outer = self.required("evidence.exducer", "63 mm");
        let inducer = self.optional("evidence.inducer");
        let clearance = self.optional::<Length>("evidence.clearance");
        let width = self.optional::<Length>("evidence.exit_width");
        let clearances = match (clearance, width, own) {
            (Some(clearance), Some(width), Some(own)) => {
                Some([Fraction::from_si_unchecked(clearance / width), own])
            }
            (None, None, _) => None,
            _ => {
                let message = "is used as clearance over exit_width, here and of the candidate's own wheel; give all \
                               four, or leave both out";
                let key = if clearance.is_some() { "clearance" } else { "exit_width" };
                self.table.problem(self.table.line_of(key), key, message);
                return None;
            }
        };
        let map = self.reader.map(self.table, &file?)?;
        let of = StatedFigure::new("evidence.map", self.name, self.place, map.highest_speed());
        self.figures.borrow_mut().push(of.standing_for(&map));
        let what = format!("machine taken as similar, {}", self.name);
        let value =
            "scaled: flow with D^2 and inducer area to 0.9, losses with Reynolds number and clearance";
        let band = "5 % of flow, 4 % of work, 15 % of losses (1 sigma), more by each step of the scaling";
        self.reader.note("evidence.map", &what, value, band, Grade::Assumed);
        Some(Said::Similar { map: Box::new(map), outer: outer?, inducer, clearances })
    }
}
