//! How boost is waited for and what holds it: the keys of the study file, and what stands in for them.

use super::Grade;
use super::document::{Found, Table};
use super::elsewhere::Holds;
use super::read::Reader;
use super::vehicle::{Vehicle, VehicleKeys};
use crate::formula::FormulaError;
use crate::quantity::units::{kpa, rpm_per_s};
use crate::quantity::*;
use crate::shaft::{Installation, PowerBand, Sweep};
use crate::turbine::{DISCHARGE, INERTIA_REFERENCE, INERTIA_SIGMA, INERTIA_WHEEL, Turbine, Wastegate};

/// How the throttle is opened in gear, what stores gas on the way to boost, and the wastegate that holds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Driving {
    /// Engine speed at which the throttle is opened.
    pub from: ShaftSpeed,
    /// How fast the engine speed rises in gear.
    pub rate: AngularAcceleration,
    /// Manifold pressure before the throttle is opened.
    pub start: Pressure,
    /// Volume from the compressor to the valves.
    pub charge: Volume,
    /// Volume from the valves to the turbine.
    pub exhaust: Volume,
    /// The wastegate; without one it is taken as always large enough.
    pub wastegate: Option<Wastegate>,
    /// What its control measures, where that is said. At one place it makes no difference.
    pub holds: Option<Holds>,
    /// The engine speed by which boost is to be there.
    pub boost_by: Option<ShaftSpeed>,
    /// The vehicle in the gear in which boost is waited for; without one the engine speed rises at the stated rate.
    pub vehicle: Option<Vehicle>,
}

impl Driving {
    /// The engine speed over time.
    pub fn sweep(&self) -> Sweep {
        match self.vehicle {
            Some(vehicle) => Sweep::InGear(self.from, vehicle.gear),
            None => Sweep::Rising(self.from, self.rate),
        }
    }
}

/// Volume from the compressor to the valves over displacement, where it is not given ([own-judgement]).
const CHARGE_VOLUMES: f64 = 3.5;
/// Volume from the valves to the turbine over displacement ([own-judgement]).
const EXHAUST_VOLUMES: f64 = 1.2;
/// Where the throttle is opened, over the upper end of the target.
const FROM: f64 = 0.4;
/// How fast the engine speed rises in a middle gear (from memory).
const RATE: AngularAcceleration = rpm_per_s(900.0);
/// Manifold pressure on part load, and its most over the barometer.
const START: (Pressure, f64) = (kpa(60.0), 0.8);

/// The keys as typed.
pub(super) struct DrivingKeys {
    from: Option<Found<ShaftSpeed>>,
    rate: Option<Found<AngularAcceleration>>,
    start: Option<Found<Pressure>>,
    charge: Option<Found<Volume>>,
    exhaust: Option<Found<Volume>>,
    wastegate: Option<Wastegate>,
    holds: Option<Holds>,
    boost_by: Option<Found<ShaftSpeed>>,
    vehicle: VehicleKeys,
    /// Where the sweep stands in the file.
    lines: [Option<usize>; 2],
}

impl DrivingKeys {
    pub fn read(
        [target, cooler, exhaust]: [&Table<'_, '_>; 3],
        sweep: Table<'_, '_>,
        vehicle: Table<'_, '_>,
    ) -> Self {
        let bore = exhaust.optional::<Length>("wastegate");
        let spring = exhaust.optional::<GaugePressure>("spring");
        if let (None, Some(found)) = (&bore, &spring) {
            exhaust.problem(found.line, "spring", "belongs to a wastegate; give its bore, or leave it out");
        }
        let wastegate = bore.and_then(|bore| {
            let none = GaugePressure::from_si_unchecked(0.0);
            let made = Wastegate::new(bore.value, spring.as_ref().map_or(none, |found| found.value));
            let refused = |error: FormulaError| match (error.argument(), &spring) {
                (Some("spring"), Some(found)) => exhaust.problem(found.line, "spring", error.plainly()),
                _ => exhaust.problem(bore.line, "wastegate", error.plainly()),
            };
            made.map_err(refused).ok()
        });
        let holds = exhaust.text("control").and_then(|found| match found.value.as_str() {
            "gauge" => Some(Holds::Gauge),
            "absolute" => Some(Holds::Absolute),
            _ => {
                let message = "is \"gauge\" (it holds a pressure above the barometer) or \"absolute\"";
                exhaust.problem(found.line, "control", message);
                None
            }
        });
        let keys = Self {
            from: sweep.optional("from"),
            rate: sweep.optional("rate"),
            start: sweep.optional("start"),
            charge: cooler.optional("charge_volume"),
            exhaust: exhaust.optional("volume"),
            wastegate,
            holds,
            boost_by: target.optional("boost_by"),
            vehicle: VehicleKeys::read(vehicle),
            lines: ["from", "start"].map(|key| sweep.line_of(key)),
        };
        if let Some(found) = keys.rate.as_ref().filter(|_| keys.vehicle.exists()) {
            let message = "follows from the vehicle; leave it out, or leave out the vehicle";
            sweep.problem(found.line, "rate", message);
        }
        within(&sweep, "from", &keys.from, [50.0, 2500.0], "is between 480 and 24 000 rpm");
        within(&sweep, "rate", &keys.rate, [1.0, 2000.0], "is between 10 and 19 000 rpm/s");
        within(&sweep, "start", &keys.start, [1e4, 1.1e5], "is between 10 and 110 kPa, absolute");
        within(cooler, "charge_volume", &keys.charge, [1e-4, 0.2], "is between 0.1 and 200 L");
        within(exhaust, "volume", &keys.exhaust, [5e-5, 0.05], "is between 0.05 and 50 L");
        within(target, "boost_by", &keys.boost_by, [50.0, 2500.0], "is between 480 and 24 000 rpm");
        sweep.close();
        keys
    }

    /// Fills in and lists what was not given.
    pub fn settle(
        self,
        reader: &Reader<'_, '_>,
        installation: &Installation,
        target: &PowerBand,
    ) -> Option<Driving> {
        let displacement = installation.engine.displacement().ok()?;
        let barometer = installation.site.pressure();
        let [_, upper] = target.ends();
        let most = installation.engine.most_speed().unwrap_or(upper);
        let [charge, mut exhaust] = [CHARGE_VOLUMES, EXHAUST_VOLUMES].map(|share| displacement * share);
        let pipe = installation.exhaust.pipe;
        if let Some(pipe) = pipe {
            exhaust = exhaust + pipe.volume();
        }
        let from = upper * FROM;
        let most_start = barometer * START.1;
        let start = if START.0 < most_start { START.0 } else { most_start };
        let rpm = |speed: ShaftSpeed| format!("{:.0} rpm", speed.rpm());
        reader.default(
            &self.charge,
            "cooler.charge_volume",
            "volume from the compressor to the valves",
            format!("{} L, {CHARGE_VOLUMES} times the displacement", significant(charge.litre(), 2)),
            "2 to 6 times the displacement",
            Grade::Assumed,
        );
        reader.default(
            &self.exhaust,
            "exhaust.volume",
            "volume from the valves to the turbine",
            format!(
                "{} L, {EXHAUST_VOLUMES} times the displacement{}",
                significant(exhaust.litre(), 2),
                pipe.map_or("", |_| " and the pipe")
            ),
            "0.5 to 3 times the displacement",
            Grade::Assumed,
        );
        if self.wastegate.is_none() {
            let band = "a small one lets the boost creep up";
            reader.note("exhaust.wastegate", "wastegate", "always large enough", band, Grade::Assumed);
        } else {
            reader.note(
                "",
                "discharge coefficient of the wastegate",
                DISCHARGE,
                "0.6 to 0.8",
                Grade::FromMemory,
            );
        }
        let chosen = "a choice: 30 to 60 % of the target's upper end";
        reader.default(
            &self.from,
            "sweep.from",
            "engine speed at which the throttle opens",
            rpm(from),
            chosen,
            Grade::Assumed,
        );
        if !self.vehicle.exists() {
            reader.default(
                &self.rate,
                "sweep.rate",
                "rise of the engine speed in gear",
                format!("{:.0} rpm/s", RATE.rpm_per_s()),
                "400 to 2000 rpm/s",
                Grade::FromMemory,
            );
        }
        reader.default(
            &self.start,
            "sweep.start",
            "manifold pressure before the throttle opens",
            format!("{} kPa absolute", significant(start.kpa(), 3)),
            "30 to 80 kPa",
            Grade::Assumed,
        );
        let driving = Driving {
            from: self.from.map_or(from, |f| f.value),
            rate: self.rate.map_or(RATE, |f| f.value),
            start: self.start.map_or(start, |f| f.value),
            charge: self.charge.map_or(charge, |f| f.value),
            exhaust: self.exhaust.map_or(exhaust, |f| f.value),
            wastegate: self.wastegate,
            holds: self.holds,
            boost_by: self.boost_by.map(|f| f.value),
            vehicle: self.vehicle.settle(reader, target),
        };
        if let Some(Err(error)) = driving.vehicle.map(|vehicle| vehicle.judged()) {
            reader.problem_at(None, "vehicle", error.plainly());
        }
        if driving.from >= most {
            let message = format!("{} is not below {}, where the sweep ends", rpm(driving.from), rpm(most));
            reader.problem_at(self.lines[0], "sweep.from", message);
        }
        if driving.start >= barometer {
            let message = format!("{} is not below the barometer, {barometer}", driving.start);
            reader.problem_at(self.lines[1], "sweep.start", message);
        }
        Some(driving)
    }
}

pub(super) fn within<Q: Quantity>(
    table: &Table<'_, '_>,
    name: &str,
    found: &Option<Found<Q>>,
    [low, high]: [f64; 2],
    words: &str,
) {
    if let Some(found) = found.as_ref().filter(|found| !(low..=high).contains(&found.value.si())) {
        table.problem(found.line, name, words);
    }
}

impl Reader<'_, '_> {
    /// The turbine with the inertia of its rotor: as given, or by the size of the wheel where that is known.
    pub(super) fn inertia(
        &self,
        table: &Table<'_, '_>,
        turbine: Turbine,
        given: Option<Found<Inertia>>,
    ) -> Option<Turbine> {
        if let Some(found) = given {
            let exact = Fraction::from_si_unchecked(0.0);
            let made = turbine.with_inertia(found.value, exact);
            return made.map_err(|error| table.problem(found.line, "inertia", error.plainly())).ok();
        }
        let Ok(estimated) = turbine.clone().inertia_from_geometry() else {
            let band = "without it no arrival of boost is worked out";
            self.note(
                "turbine.inertia",
                "inertia of a rotor without a wheel",
                "not known",
                band,
                Grade::Assumed,
            );
            return Some(turbine);
        };
        let reference =
            format!("{INERTIA_REFERENCE:e} kg m2 at {} mm, by the fifth power", 1e3 * INERTIA_WHEEL);
        let band = format!("+-{:.0} % (1 sigma)", 100.0 * INERTIA_SIGMA);
        self.note(
            "turbine.inertia",
            "inertia of the rotor, both wheels",
            reference,
            &band,
            Grade::FromMemory,
        );
        Some(estimated)
    }
}
