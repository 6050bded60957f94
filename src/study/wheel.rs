//! A candidate's wheel in the study file: its dimensions, and what stands in for those not given.

use super::assumption::Assumption;
use super::bands;
use super::document::{Found, Table};
use super::evidence::EvidenceKeys;
use super::vanes::VaneKeys;
use super::{Grade, read::Reader};
use crate::compressor::{
    CompressorWheel, DimensionDefault, EstimateError, EstimatedMap, Factor, GeometryError, MapLinesError,
    Material, Reference, WheelBuilder, defaults,
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

/// The keys of a wheel beside its two diameters and hub.
#[derive(Default)]
pub(super) struct WheelKeys {
    tip_angle: Option<Found<Angle>>,
    mean_angle: Option<Found<Angle>>,
    throat: Option<Found<Area>>,
    width: Option<Found<Length>>,
    backsweep: Option<Found<Angle>>,
    blades: [Option<Found<u32>>; 2],
    clearance: Option<Found<Length>>,
    diffuser_ratio: Option<Found<Fraction>>,
    diffuser_width: Option<Found<Length>>,
    material: Option<Material>,
    vanes: VaneKeys,
    slot: bool,
    /// One standard deviation of dimensions with a band, as a share.
    spreads: Vec<(Factor, Fraction)>,
    /// The maker's highest shaft speed.
    limit: Option<ShaftSpeed>,
}

impl WheelKeys {
    /// Reads the keys; the hub's band counts here, and the maker's limit of the shaft speed.
    pub fn read(table: &Table<'_, '_>, hub: &Option<Found<Length>>, limit: Option<ShaftSpeed>) -> Self {
        let count = |name, most: u32, why: &str| {
            let found = table.line_of(name).and_then(|_| table.count(name, "6"))?;
            if found.value > most {
                table.problem(found.line, name, format!("{} is too many: {why}", found.value));
                return None;
            }
            Some(found)
        };
        let mut keys = Self {
            tip_angle: table.optional("inducer_tip_angle"),
            mean_angle: table.optional("inducer_mean_angle"),
            throat: table.optional("throat"),
            width: table.optional("exit_width"),
            backsweep: table.optional("backsweep"),
            blades: [
                count("blades", 30, "wheels have 4 to 30 full blades"),
                count("splitters", 60, "at most two splitters stand between full blades"),
            ],
            clearance: table.optional("clearance"),
            diffuser_ratio: table.optional("diffuser_ratio"),
            diffuser_width: table.optional("diffuser_width"),
            material: material(table),
            vanes: VaneKeys::read(table),
            slot: table.flag("recirculation_slot"),
            spreads: Vec::new(),
            limit,
        };
        let angles = [
            bands::share(table, "inducer_tip_angle", &keys.tip_angle),
            bands::share(table, "inducer_mean_angle", &keys.mean_angle),
        ];
        let angle = angles.into_iter().flatten().next();
        let throat = bands::share(table, "throat", &keys.throat);
        if let (Some(_), Some(_)) = (angle, &keys.throat) {
            let message =
                "an angle's band has no say beside a throat; leave it out, and give the throat its band";
            table.problem(table.line_of("throat"), "throat", message);
        }
        let spreads = [
            (Factor::Hub, bands::share(table, "hub", hub)),
            (Factor::InducerAngle, throat.or(angle)),
            (Factor::ExitWidth, bands::share(table, "exit_width", &keys.width)),
            (Factor::Backsweep, bands::share(table, "backsweep", &keys.backsweep)),
            (Factor::Clearance, bands::share(table, "clearance", &keys.clearance)),
            (Factor::DiffuserRatio, bands::share(table, "diffuser_ratio", &keys.diffuser_ratio)),
            (Factor::DiffuserWidth, bands::share(table, "diffuser_width", &keys.diffuser_width)),
        ];
        keys.spreads = spreads.into_iter().filter_map(|(factor, share)| Some((factor, share?))).collect();
        bands::refuse_others(table);
        if let (Some(_), Some(second)) = (&keys.tip_angle, &keys.mean_angle) {
            table.problem(second.line, "inducer_mean_angle", "one inducer angle at a time; leave one out");
        }
        if let ([None, Some(splitters)], None) = (&keys.blades, table.line_of("blades")) {
            table.problem(
                splitters.line,
                "splitters",
                "belongs to blades; give the number of full blades too",
            );
        }
        keys
    }

    fn give(&self, mut builder: WheelBuilder) -> WheelBuilder {
        if let Some(f) = &self.tip_angle {
            builder = builder.inducer_tip_angle(f.value);
        }
        if let Some(f) = &self.mean_angle {
            builder = builder.inducer_mean_angle(f.value);
        }
        if let Some(f) = &self.throat {
            builder = builder.throat(f.value);
        }
        if let Some(f) = &self.width {
            builder = builder.exit_width(f.value);
        }
        if let Some(f) = &self.backsweep {
            builder = builder.backsweep(f.value);
        }
        if let [Some(full), splitters] = &self.blades {
            // More than fits into a byte was refused.
            let count = |f: &Found<u32>| u8::try_from(f.value).unwrap_or(u8::MAX);
            builder = builder.blades(count(full), splitters.as_ref().map_or(0, count));
        }
        if let Some(f) = &self.clearance {
            builder = builder.exit_clearance(f.value);
        }
        if let Some(f) = &self.diffuser_ratio {
            builder = builder.diffuser_ratio(f.value);
        }
        if let Some(f) = &self.diffuser_width {
            builder = builder.diffuser_width(f.value);
        }
        if let Some(material) = self.material {
            builder = builder.material(material);
        }
        if let Some(vanes) = self.vanes.diffuser() {
            builder = builder.vaned_diffuser(vanes);
        }
        if let Some(limit) = self.limit {
            builder = builder.speed_limit(limit);
        }
        for (factor, share) in &self.spreads {
            builder = builder.spread_of(*factor, *share);
        }
        if self.slot { builder.recirculation_slot() } else { builder }
    }

    /// Reports what keeps the dimensions from belonging to one wheel; true where nothing does.
    pub fn fit(&self, table: &Table<'_, '_>, wheel: &CompressorWheel) -> bool {
        let wrong = wheel.geometries().map(|builder| self.give(builder).problems());
        let wrong = wrong.into_iter().find(|wrong| !wrong.is_empty()).unwrap_or_default();
        for error in &wrong {
            let key = key_of(error);
            table.problem(table.line_of(key), key, error.to_string());
        }
        wrong.is_empty()
    }

    /// Clearance over exit width, where both are given.
    pub fn clearance_share(&self) -> Option<Fraction> {
        let (clearance, width) = (self.clearance.as_ref()?, self.width.as_ref()?);
        Some(Fraction::from_si_unchecked(clearance.value / width.value))
    }

    /// One candidate for each reading of the wheel's inducer, each with all the evidence there is.
    pub fn candidates<'d, 'a>(
        &self,
        reader: &Reader<'d, 'a>,
        table: &Table<'d, 'a>,
        name: &str,
        wheel: &CompressorWheel,
        evidence: &EvidenceKeys<'d, 'a>,
    ) -> Option<Vec<Candidate>> {
        if !self.fit(table, wheel) {
            return None;
        }
        let read = wheel.geometries().map(|builder| {
            let wheel = self.give(builder).build()?;
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
        });
        match read.collect::<Result<Option<Vec<_>>, EstimateError>>() {
            Ok(read) => {
                let read = read.map(|read| Candidate::as_read(read, wheel.readings()))?;
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
        if let [Some(_), None] = &self.blades {
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

fn key_of(error: &GeometryError) -> &'static str {
    let (GeometryError::NotFinite { what }
    | GeometryError::OutOfRange { what, .. }
    | GeometryError::Missing { what, .. }) = error;
    CALLED.iter().find(|(called, _)| called == what).map_or("inducer", |(_, key)| key)
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
