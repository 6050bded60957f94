//! A candidate's wheel in the study file: its dimensions, and what stands in for those not given.

use super::assumption::Assumption;
use super::bands;
use super::document::{Found, Table};
use super::evidence::EvidenceKeys;
use super::measured::{self, Measured, Spread};
use super::vanes::VaneKeys;
use super::{Grade, read::Reader};
use crate::compressor::{
    CompressorWheel, DimensionDefault, EstimateError, EstimatedMap, Factor, GeometryError, MapLinesError,
    Material, ReadWheel, Readings, Reference, WheelBuilder, WheelDimension, WheelReading, defaults,
};
use crate::quantity::*;
use crate::shaft::{Candidate, ESTIMATED_AT};

/// Key of the study file under which a dimension may be given, and of the default that stands in.
const DIMENSIONS: [(Factor, &str); 10] = [
    (Factor::Hub, "wheel.hub_share"),
    (Factor::InducerAngle, "wheel.inducer_tip_angle"),
    (Factor::ExitWidth, "wheel.exit_share"),
    (Factor::Backsweep, "wheel.backsweep"),
    (Factor::Clearance, "wheel.clearance"),
    (Factor::DiffuserRatio, "wheel.diffuser_ratio"),
    (Factor::DiffuserWidth, "wheel.diffuser_share"),
    (Factor::VaneThroat, "wheel.vane_throat_share"),
    (Factor::VaneRadius, "wheel.vane_ratio"),
    (Factor::VaneAngle, "wheel.vane_angle"),
];

/// What the geometry calls a dimension, and its key.
const CALLED: [(&str, &str); 19] = [
    ("inducer tip diameter", "inducer"),
    ("outer diameter", "exducer"),
    ("inducer hub diameter", "hub"),
    ("inducer tip angle", "inducer_tip_angle"),
    ("inducer mean angle", "inducer_mean_angle"),
    ("throat area", "throat"),
    ("exit width", "exit_width"),
    ("backsweep", "backsweep"),
    ("full blades", "blades"),
    ("splitter blades", "splitters"),
    ("clearance at the exit", "clearance"),
    ("diffuser radius ratio", "diffuser_ratio"),
    ("diffuser width", "diffuser_width"),
    ("diffuser vanes", "diffuser_vanes"),
    ("vane leading-edge ratio", "vane_ratio"),
    ("vane angle", "vane_angle"),
    ("diffuser throat", "diffuser_throat"),
    ("diffuser throat width", "diffuser_throat_width"),
    ("matched tip speed", "matched_tip_speed"),
];

/// The keys of a wheel beside its two diameters.
pub(super) struct WheelKeys {
    measured: Measured,
    material: Option<Material>,
    vanes: VaneKeys,
    slot: bool,
    /// One standard deviation of dimensions with a band, as a share.
    spreads: Vec<Spread>,
    /// The maker's highest shaft speed.
    limit: Option<ShaftSpeed>,
}

impl WheelKeys {
    /// Reads the keys; the hub's band counts here, and the maker's limit of the shaft speed.
    pub fn read(
        table: &Table<'_, '_>,
        hub: Option<Found<Readings<Length>>>,
        limit: Option<ShaftSpeed>,
    ) -> Self {
        let measured = Measured::read(table, hub);
        let (material, vanes) = (material(table), VaneKeys::read(table));
        let slot = table.flag("recirculation_slot");
        let spreads = measured.spreads(table);
        bands::refuse_others(table);
        measured.refuse_what_excludes(table);
        Self { measured, material, vanes, slot, spreads, limit }
    }

    /// One wheel with all that is known of it.
    fn give(&self, read: &ReadWheel) -> WheelBuilder {
        let mut builder = read.builder;
        if let Some(material) = self.material {
            builder = builder.material(material);
        }
        if let Some(vanes) = self.vanes.diffuser() {
            builder = builder.vaned_diffuser(vanes);
        }
        if let Some(limit) = self.limit {
            builder = builder.speed_limit(limit);
        }
        for spread in self.spreads.iter().filter(|spread| read.measured.contains(&spread.of)) {
            builder = builder.spread_of(spread.factor, spread.share);
        }
        if self.slot { builder.recirculation_slot() } else { builder }
    }

    /// The wheel with its readings; nothing where some are refused, which is told with all else that is wrong.
    pub fn wheel(
        &self,
        table: &Table<'_, '_>,
        inducer: Readings<Length>,
        exducer: Readings<Length>,
    ) -> Option<CompressorWheel> {
        let (wheel, whole) = self.measured.wheel(table, inducer, exducer)?;
        // Where one is refused the other dimensions are looked at all the same.
        (self.fit(table, &wheel) && whole).then_some(wheel)
    }

    /// Reports what keeps the dimensions from belonging to one wheel, each thing once, with the readings that it takes; true
    /// where nothing does.
    fn fit(&self, table: &Table<'_, '_>, wheel: &CompressorWheel) -> bool {
        let all = wheel.as_read();
        let mut wrong: Vec<(GeometryError, Vec<&WheelReading>)> = Vec::new();
        for read in &all {
            for error in self.give(read).problems() {
                match wrong.iter_mut().find(|(known, _)| what(known) == what(&error)) {
                    Some((_, readings)) => readings.push(&read.reading),
                    None => wrong.push((error, vec![&read.reading])),
                }
            }
        }
        for (error, readings) in &wrong {
            let key = key_of(error);
            // What these readings have in common; the dimension itself stands in the message.
            let common = |one: &&WheelDimension| {
                measured::key_of(one.words()) != key
                    && readings.iter().all(|of| of.dimensions().contains(*one))
            };
            let common = readings[0].dimensions().iter().filter(common).map(ToString::to_string);
            let message = match common.collect::<Vec<_>>().as_slice() {
                [] => error.to_string(),
                common => format!("{}: {error}", common.join(", ")),
            };
            table.problem(table.line_of(key), key, message);
        }
        wrong.is_empty()
    }

    /// Whether clearance and exit width are both given.
    pub fn has_clearance_share(&self) -> bool {
        self.measured.clearance.is_some() && self.measured.width.is_some()
    }

    /// One candidate for each reading of the wheel, each with all the evidence there is.
    pub fn candidates<'d, 'a>(
        &self,
        reader: &Reader<'d, 'a>,
        table: &Table<'d, 'a>,
        name: &str,
        wheel: &CompressorWheel,
        evidence: &EvidenceKeys<'d, 'a>,
    ) -> Option<Vec<Candidate>> {
        let made = |read: &ReadWheel| {
            let wheel = self.give(read).build()?;
            self.assume(reader, &wheel);
            if evidence.lines_at().is_none() {
                Self::assume_map(reader, &wheel);
            }
            if evidence.is_empty() {
                return Candidate::with_geometry(name, wheel).map(Some);
            }
            let (temperature, pressure) = ESTIMATED_AT;
            let reference = evidence.lines_at().map_or_else(|| Reference::new(temperature, pressure), Ok)?;
            Ok(evidence.candidate(reader, table, name, &wheel.estimate(reference)?))
        };
        let read = wheel.as_read().into_iter().map(|read| match made(&read) {
            Ok(one) => Ok(one.map(|one| one.read_as(&read))),
            Err(error) => Err(read.named(error)),
        });
        match read.collect::<Result<Option<Vec<_>>, EstimateError>>() {
            Ok(read) => {
                let read = read?;
                self.measured.note_weights(reader, table, name, wheel, !evidence.is_empty());
                read.iter().for_each(|candidate| left_out(reader, candidate));
                Some(read)
            }
            Err(error) => {
                table.problem_of_all(format!("its dimensions give no map: {error}"));
                None
            }
        }
    }

    /// Lists what stands in for the dimensions that were not given.
    fn assume(&self, reader: &Reader<'_, '_>, wheel: &crate::compressor::WheelGeometry) {
        let open = DIMENSIONS.into_iter().filter(|(factor, _)| wheel.varies(*factor));
        for (default, key) in open.filter_map(|(factor, key)| Some((factor.dimension()?, key))) {
            let value = format!("{} {}", significant(default.value, 3), default.unit);
            let band = format!("+-{} (1 sigma); {}", significant(default.sigma, 2), default.basis);
            reader.note(key, &format!("{} of the wheel", default.what), value, &band, Grade::FromMemory);
        }
        if wheel.varies(Factor::Blades) {
            let what = "number of blades of the wheel, full and splitters";
            let DimensionDefault { value, sigma, unit, basis, .. } = defaults::BLADE_NUMBER;
            let [value, sigma] = [value, sigma].map(|number| significant(number, 3));
            let band = format!("+-{sigma} of {value} {unit} (1 sigma); {basis}, which lies further off");
            reader.note("wheel.blades", what, "6 + 6", &band, Grade::CommonPractice);
        }
        if self.measured.without_splitters() {
            let band = "not counted in the band: most small wheels have as many as full blades; write splitters = 0 or their number";
            reader.note("wheel.splitters", "splitters of the wheel", "none", band, Grade::Assumed);
        }
        if !self.spreads.is_empty() {
            let what = "bands of the wheel's dimensions as given";
            reader.note("wheel.bands", what, "2 sigma either way", "a choice", Grade::Assumed);
        }
        if wheel.has_slot() {
            let band = "0.8 to 0.95 of the flow; 0 to 4 % of work";
            let value = "surge at 0.87 of the flow, 2 % of work";
            reader.note("wheel.recirculation_slot", "recirculation slot", value, band, Grade::FromMemory);
        }
        if wheel.has_vanes() {
            let value = "0.8 of the ideal recovery, stall at a diffusion of 1.45 from wheel to throat";
            let band = "+-0.12 and +-0.15 (1 sigma)";
            reader.note("wheel.vanes", "vanes of the diffuser", value, band, Grade::FromMemory);
        }
    }

    /// Lists what an estimated map rests on besides.
    fn assume_map(reader: &Reader<'_, '_>, wheel: &crate::compressor::WheelGeometry) {
        let material = wheel.material();
        let [cautious, bold] = material.tip_speeds_in_use();
        let highest = wheel.highest_tip_speed();
        let (raised, grade) = match highest > cautious {
            true => (
                format!(
                    "raised from a cautious {cautious} to the maker's limit, as far as the mean line goes"
                ),
                Grade::StatedBySeller,
            ),
            false => ("the maker's limit goes before it".into(), Grade::FromMemory),
        };
        reader.note(
            "wheel.tip_speed_limit",
            &format!("highest tip speed, {}", material.words()),
            highest,
            &format!("in use up to {bold}; {raised}"),
            grade,
        );
        reader.note(
            "wheel.mean_line",
            "map of a wheel without a published one",
            "estimated from geometry",
            "1 sigma in each verdict; validated on machines of 400 mm, not on small ones",
            Grade::Assumed,
        );
        let (temperature, pressure) = ESTIMATED_AT;
        let reference = format!("{} K, {} kPa", temperature.kelvin(), pressure.kpa());
        reader.note(
            "wheel.reference",
            "reference of an estimated map",
            reference,
            "a choice",
            Grade::Assumed,
        );
    }
}

/// Lists the highest speed lines that an estimate had to do without.
fn left_out(reader: &Reader<'_, '_>, candidate: &Candidate) {
    for out in candidate.estimated().into_iter().flat_map(EstimatedMap::left_out) {
        let speeds: Vec<String> = out.tip_speeds.iter().map(ToString::to_string).collect();
        let what = format!("{}, speed lines left out of the {}", candidate.label(), out.of);
        let value = format!("those at tip speeds of {}; it ends at {}", speeds.join(", "), out.highest);
        let why = match &out.why {
            EstimateError::Lines(MapLinesError::Crossing { .. }) => {
                "the lowest of them crosses the line below it".into()
            }
            why => why.to_string(),
        };
        reader.note("wheel.lines_left_out", &what, value, &why, Grade::Assumed);
    }
}

fn material(table: &Table<'_, '_>) -> Option<Material> {
    let all = [Material::CastAluminium, Material::MilledAluminium, Material::Titanium];
    let found = table.text("material")?;
    let named = all.into_iter().find(|material| material.words() == found.value);
    if named.is_none() {
        let known = all.map(|material| format!("\"{}\"", material.words())).join(", ");
        table.problem(found.line, "material", format!("is one of: {known}"));
    }
    named
}

/// What the geometry calls the dimension.
fn what(error: &GeometryError) -> &'static str {
    let (GeometryError::NotFinite { what }
    | GeometryError::OutOfRange { what, .. }
    | GeometryError::Missing { what, .. }) = error;
    what
}

fn key_of(error: &GeometryError) -> &'static str {
    CALLED.iter().find(|(called, _)| *called == what(error)).map_or("inducer", |(_, key)| key)
}

impl Reader<'_, '_> {
    pub(super) fn note(
        &self,
        key: &'static str,
        what: &str,
        value: impl core::fmt::Display,
        band: &str,
        grade: Grade,
    ) {
        let assumption = Assumption::new(key, what, value.to_string(), band, grade);
        let mut all = self.assumptions.borrow_mut();
        if !all.contains(&assumption) {
            all.push(assumption);
        }
    }
}
