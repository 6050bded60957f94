//! The measured dimensions of a candidate's wheel in the study file, each one reading or several.

use super::document::{Found, Table};
use super::{Grade, bands, read::Reader};
use crate::compressor::{CompressorWheel, Factor, Readings, ReadingsError, WheelDimension};
use crate::quantity::*;

/// What was read of a dimension.
type Read<Q> = Option<Found<Readings<Q>>>;

/// Dimensions that calipers and eye can give, beside the two diameters.
pub(super) struct Measured {
    hub: Read<Length>,
    tip_angle: Read<Angle>,
    mean_angle: Read<Angle>,
    throat: Read<Area>,
    pub width: Read<Length>,
    backsweep: Read<Angle>,
    /// Full blades and splitters.
    blades: Read<(u8, u8)>,
    /// Lines of the two counts.
    counted: [Option<usize>; 2],
    pub clearance: Read<Length>,
    diffuser_ratio: Read<Fraction>,
    diffuser_width: Read<Length>,
}

/// One standard deviation of a reading with a band.
pub(super) struct Spread {
    /// The reading.
    pub of: WheelDimension,
    /// What varies with it.
    pub factor: Factor,
    /// As a share of it.
    pub share: Fraction,
}

impl Measured {
    pub fn read(table: &Table<'_, '_>, hub: Read<Length>) -> Self {
        let [tip_angle, mean_angle] =
            ["inducer_tip_angle", "inducer_mean_angle"].map(|key| table.readings(key));
        let throat = table.readings("throat");
        let width = table.readings("exit_width");
        let backsweep = table.readings("backsweep");
        let counted = ["blades", "splitters"].map(|key| table.line_of(key));
        Self {
            hub,
            tip_angle,
            mean_angle,
            throat,
            width,
            backsweep,
            blades: blades(table),
            counted,
            clearance: table.readings("clearance"),
            diffuser_ratio: table.readings("diffuser_ratio"),
            diffuser_width: table.readings("diffuser_width"),
        }
    }

    /// Whether full blades were counted and nothing was said of splitters.
    pub fn without_splitters(&self) -> bool {
        matches!(self.counted, [Some(_), None])
    }

    /// The bands beside the dimensions.
    pub fn spreads(&self, table: &Table<'_, '_>) -> Vec<Spread> {
        use WheelDimension as D;
        let tip = bands::shares(table, "inducer_tip_angle", &self.tip_angle, D::InducerTipAngle);
        let mean = bands::shares(table, "inducer_mean_angle", &self.mean_angle, D::InducerMeanAngle);
        let angle = if tip.is_empty() { mean } else { tip };
        let throat = bands::shares(table, "throat", &self.throat, D::Throat);
        if let (false, Some(_)) = (angle.is_empty(), &self.throat) {
            let message =
                "an angle's band has no say beside a throat; leave it out, and give the throat its band";
            table.problem(table.line_of("throat"), "throat", message);
        }
        let spreads = [
            (Factor::Hub, bands::shares(table, "hub", &self.hub, D::Hub)),
            (Factor::InducerAngle, if throat.is_empty() { angle } else { throat }),
            (Factor::ExitWidth, bands::shares(table, "exit_width", &self.width, D::ExitWidth)),
            (Factor::Backsweep, bands::shares(table, "backsweep", &self.backsweep, D::Backsweep)),
            (Factor::Clearance, bands::shares(table, "clearance", &self.clearance, D::Clearance)),
            (
                Factor::DiffuserRatio,
                bands::shares(table, "diffuser_ratio", &self.diffuser_ratio, D::DiffuserRatio),
            ),
            (
                Factor::DiffuserWidth,
                bands::shares(table, "diffuser_width", &self.diffuser_width, D::DiffuserWidth),
            ),
        ];
        let each = |(factor, shares): (Factor, Vec<(D, Fraction)>)| {
            shares.into_iter().map(move |(of, share)| Spread { of, factor, share })
        };
        spreads.into_iter().flat_map(each).collect()
    }

    /// Reports dimensions that exclude each other, and splitters alone.
    pub fn refuse_what_excludes(&self, table: &Table<'_, '_>) {
        if let (Some(_), Some(second)) = (&self.tip_angle, &self.mean_angle) {
            table.problem(second.line, "inducer_mean_angle", "one inducer angle at a time; leave one out");
        }
        if let [None, Some(splitters)] = self.counted {
            let message = "belongs to blades; give the number of full blades too";
            table.problem(splitters, "splitters", message);
        }
    }

    /// The wheel with all readings that were not refused, and whether none was.
    pub fn wheel(
        &self,
        table: &Table<'_, '_>,
        inducer: Readings<Length>,
        exducer: Readings<Length>,
    ) -> Option<(CompressorWheel, bool)> {
        let each = |readings: &Readings<Length>| readings.iter().map(|(one, _)| *one).collect::<Vec<_>>();
        let outer = each(&exducer);
        let pairs =
            each(&inducer).into_iter().flat_map(|inner| outer.iter().map(move |outer| [inner, *outer]));
        if let Some(swapped) = pairs.into_iter().find(|[inner, outer]| inner >= outer) {
            let [inner, outer] = swapped.map(|length| format!("{:.1} mm", length.mm()));
            let message = format!("{inner} is not less than the exducer, {outer}; are they swapped?");
            table.problem(table.line_of("inducer"), "inducer", message);
            return None;
        }
        let wheel = CompressorWheel::new(inducer, exducer);
        let wheel = wheel.map_err(|error| refuse(table, "inducer", &error)).ok()?;
        let mut made = Made { table, wheel, refused: false };
        made.take("hub", &self.hub, CompressorWheel::hub);
        made.take("inducer_tip_angle", &self.tip_angle, CompressorWheel::inducer_tip_angle);
        made.take("inducer_mean_angle", &self.mean_angle, CompressorWheel::inducer_mean_angle);
        made.take("throat", &self.throat, CompressorWheel::throat);
        made.take("exit_width", &self.width, CompressorWheel::exit_width);
        made.take("backsweep", &self.backsweep, CompressorWheel::backsweep);
        made.take("blades", &self.blades, CompressorWheel::blades);
        made.take("clearance", &self.clearance, CompressorWheel::exit_clearance);
        made.take("diffuser_ratio", &self.diffuser_ratio, CompressorWheel::diffuser_ratio);
        made.take("diffuser_width", &self.diffuser_width, CompressorWheel::diffuser_width);
        Some((made.wheel, !made.refused))
    }

    /// Lists what each reading counts before any evidence: where the study says so, and where evidence is weighed onto it.
    pub fn note_weights(
        &self,
        reader: &Reader<'_, '_>,
        table: &Table<'_, '_>,
        name: &str,
        wheel: &CompressorWheel,
        evidence: bool,
    ) {
        for (dimension, readings) in wheel.doubtful() {
            let stated = table.has_weights(key_of(dimension));
            if !stated && !evidence {
                continue;
            }
            let what = format!("{dimension} of {name}, weights of its readings before the evidence");
            let each = readings
                .iter()
                .map(|(one, weight)| format!("{} {} %", one.value(), significant(weight.percent(), 3)));
            let band = match (stated, evidence) {
                (true, true) => "as the study says; what the evidence says is multiplied onto them",
                (true, false) => "as the study says; no evidence stands beside them",
                (false, _) => "alike, as the study does not say; weights beside the readings do",
            };
            reader.note("wheel.readings", &what, each.collect::<Vec<_>>().join(", "), band, Grade::Assumed);
        }
    }
}

/// A wheel while its readings are given to it.
struct Made<'t, 'd, 'a> {
    table: &'t Table<'d, 'a>,
    wheel: CompressorWheel,
    refused: bool,
}

impl Made<'_, '_, '_> {
    fn take<Q: Clone>(
        &mut self,
        key: &'static str,
        read: &Read<Q>,
        give: impl Fn(CompressorWheel, Readings<Q>) -> Result<CompressorWheel, ReadingsError>,
    ) {
        let Some(found) = read else { return };
        match give(self.wheel.clone(), found.value.clone()) {
            Ok(wheel) => self.wheel = wheel,
            Err(error) => {
                refuse(self.table, key, &error);
                self.refused = true;
            }
        }
    }
}

/// Reports readings that were refused, at their key or at that of the diameter that is meant.
fn refuse(table: &Table<'_, '_>, key: &'static str, error: &ReadingsError) {
    let (key, message) = match error {
        ReadingsError::Formula(error) => {
            let (key, why) = match error.argument() {
                Some("exducer") => ("exducer", ": wheels from 20 to 300 mm are taken; check the unit"),
                Some("hub") => {
                    ("hub", ": a hub has 3 mm at least and 0.8 of the inducer's tip diameter at most")
                }
                Some(_) => (
                    "inducer",
                    ": the inducer is 0.4 to 0.95 of the outer diameter; check both, and their units",
                ),
                None => (key, ""),
            };
            (key, error.plainly() + why)
        }
        ReadingsError::Empty { of: "exducer" } => ("exducer", error.to_string()),
        error => (key, error.to_string()),
    };
    table.problem(table.line_of(key), key, message);
}

/// Full blades and splitters. Where both are in doubt their readings go in pairs: who counts again counts both.
fn blades(table: &Table<'_, '_>) -> Read<(u8, u8)> {
    let count = |name: &'static str, most: u32, why: &str| {
        let found = table.counts(name, "6")?;
        let over = found.value.iter().map(|(value, _)| *value).find(|value| *value > most);
        if let Some(value) = over {
            table.problem(found.line, name, format!("{value} is too many: {why}"));
            return None;
        }
        // More than fits into a byte was refused.
        Some((found.value.map(|value| u8::try_from(value).unwrap_or(u8::MAX)), found.line))
    };
    let full = count("blades", 30, "wheels have 4 to 30 full blades");
    let splitters = count("splitters", 60, "at most two splitters stand between full blades");
    let (full, line) = full?;
    let value = match splitters {
        // What cannot be read was told already.
        None if table.line_of("splitters").is_some() => return None,
        None => full.map(|full| (full, 0)),
        Some((splitters, at)) => {
            let (counts, both) = ([full.len(), splitters.len()], full.len() > 1 && splitters.len() > 1);
            if both && counts[0] != counts[1] {
                let message = format!(
                    "has {} readings where blades has {}; they go in pairs: give one for each of blades, or one alone",
                    counts[1], counts[0]
                );
                table.problem(at, "splitters", message);
                return None;
            }
            if both && table.has_weights("splitters") {
                let message = "goes in pairs with blades; give the weights beside blades";
                table.problem(at, "splitters", message);
                return None;
            }
            full.paired(splitters)
        }
    };
    Some(Found { value, line })
}

/// The key of a dimension, by its name.
pub(super) fn key_of(dimension: &str) -> &'static str {
    const KEYS: [(&str, &str); 12] = [
        ("inducer", "inducer"),
        ("exducer", "exducer"),
        ("hub", "hub"),
        ("inducer tip angle", "inducer_tip_angle"),
        ("inducer mean angle", "inducer_mean_angle"),
        ("throat", "throat"),
        ("exit width", "exit_width"),
        ("backsweep", "backsweep"),
        ("blades", "blades"),
        ("clearance", "clearance"),
        ("diffuser ratio", "diffuser_ratio"),
        ("diffuser width", "diffuser_width"),
    ];
    KEYS.iter().find(|(words, _)| *words == dimension).map_or("blades", |(_, key)| key)
}
