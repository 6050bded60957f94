//! The vehicle that the engine pulls, its gears, and how one is changed: the keys of the study file.

use super::Grade;
use super::document::{Found, Table};
use super::driving::within;
use super::read::Reader;
use crate::formula::FormulaError;
use crate::quantity::units::{deg_c, second};
use crate::quantity::*;
use crate::shaft::{Gear, PowerBand, Shift};
use crate::turbine::DISCHARGE;

/// The gear in which boost is waited for, and the change into the next one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vehicle {
    /// The gear, counted from one.
    pub number: usize,
    /// The vehicle in it.
    pub gear: Gear,
    /// The change into the next gear, where there is one.
    pub change: Option<GearChange>,
}

/// A change into the next gear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GearChange {
    /// What happens to throttle and exhaust meanwhile.
    pub shift: Shift,
    /// True where the gearbox changes under load.
    pub automatic: bool,
    /// The vehicle in the next gear.
    pub next: Gear,
    /// The engine speed at which it lands.
    pub lands: ShaftSpeed,
}

/// Driveline efficiency, where none is given (from memory 0.82 to 0.95).
const DRIVELINE: f64 = 0.88;
/// Mass with what turns, over mass, in a middle gear (from memory 1.05 to 1.4).
const TURNING: f64 = 1.12;
/// Resistance over weight, drag at a middling speed included (from memory 0.02 to 0.08).
const RESISTANCE: f64 = 0.04;
/// How long a change lasts by hand and by an automatic gearbox (from memory 0.2 to 0.6 s, 0.05 to 0.3 s).
const LASTS: [Time; 2] = [second(0.4), second(0.15)];
/// Manifold pressure over the pressure before the throttle meanwhile.
const THROTTLE: [f64; 2] = [0.3, 1.0];
/// Turbine inlet temperature meanwhile (from memory 400 to 700 degC with the throttle shut; on load that of the exhaust).
const EXHAUST: [Temperature; 2] = [deg_c(550.0), deg_c(850.0)];

/// The keys as typed.
pub(super) struct VehicleKeys {
    mass: Option<Found<Mass>>,
    wheel: Option<Found<Length>>,
    final_drive: Option<Found<Fraction>>,
    gears: Option<Vec<Fraction>>,
    gear: Option<Found<Count>>,
    driveline: Option<Found<Efficiency>>,
    turning: Option<Found<Fraction>>,
    resistance: Option<Found<Fraction>>,
    automatic: Option<bool>,
    shift_time: Option<Found<Time>>,
    shift_at: Option<Found<ShaftSpeed>>,
    shift_exhaust: Option<Found<Temperature>>,
    valve: Option<Found<Length>>,
    lines: [Option<usize>; 3],
    exists: bool,
}

impl VehicleKeys {
    pub fn read(table: Table<'_, '_>) -> Self {
        let exists = table.exists();
        let automatic = table.text("gearbox").and_then(|found| match found.value.as_str() {
            "manual" => Some(false),
            "automatic" => Some(true),
            _ => {
                let message = "is \"manual\" (the throttle shuts) or \"automatic\" (it changes under load)";
                table.problem(found.line, "gearbox", message);
                None
            }
        });
        let needed = |name: &'static str, example: &str| {
            if exists && table.line_of(name).is_none() {
                table.problem(None, name, format!("is missing; write for instance {name} = {example}"));
            }
        };
        needed("gears", "[2.9, 1.9, 1.4, 1.1]");
        needed("mass", "\"650 kg\"");
        needed("wheel_radius", "\"280 mm\"");
        let keys = Self {
            mass: table.optional("mass"),
            wheel: table.optional("wheel_radius"),
            final_drive: table.optional("final_drive"),
            gears: table.list("gears"),
            gear: table.optional("gear"),
            driveline: table.optional("driveline_efficiency"),
            turning: table.optional("turning"),
            resistance: table.optional("resistance"),
            automatic,
            shift_time: table.optional("shift_time"),
            shift_at: table.optional("shift_at"),
            shift_exhaust: table.optional("shift_exhaust"),
            valve: table.optional("recirculation_valve"),
            lines: ["gears", "gear", "shift_at"].map(|key| table.line_of(key)),
            exists,
        };
        within(&table, "mass", &keys.mass, [50.0, 2e4], "is between 50 and 20 000 kg");
        within(&table, "wheel_radius", &keys.wheel, [0.1, 1.0], "is between 100 and 1000 mm");
        within(&table, "final_drive", &keys.final_drive, [0.5, 12.0], "is between 0.5 and 12");
        within(&table, "driveline_efficiency", &keys.driveline, [0.6, 1.0], "is between 0.6 and 1");
        within(
            &table,
            "turning",
            &keys.turning,
            [1.0, 2.0],
            "is between 1 and 2, mass with what turns over mass",
        );
        within(&table, "resistance", &keys.resistance, [0.0, 0.6], "is between 0 and 60 % of the weight");
        within(&table, "shift_time", &keys.shift_time, [1e-3, 5.0], "is between 0.001 and 5 s");
        within(&table, "shift_at", &keys.shift_at, [50.0, 2500.0], "is between 480 and 24 000 rpm");
        within(&table, "shift_exhaust", &keys.shift_exhaust, [400.0, 1500.0], "is between 130 and 1220 degC");
        within(&table, "recirculation_valve", &keys.valve, [0.005, 0.08], "is a bore of 5 to 80 mm");
        if let Some(gears) = keys.gears.as_ref().filter(|gears| !falling(gears)) {
            let message =
                format!("{} ratios must fall from gear to gear, each between 0.3 and 6", gears.len());
            table.problem(keys.lines[0], "gears", message);
        }
        table.close();
        keys
    }

    /// True where a vehicle is told of.
    pub fn exists(&self) -> bool {
        self.exists
    }

    /// Fills in and lists what was not given; `None` inside where no vehicle is told of or its keys are no good.
    pub fn settle(self, reader: &Reader<'_, '_>, target: &PowerBand) -> Option<Vehicle> {
        let (mass, wheel) = (self.mass.as_ref()?.value, self.wheel.as_ref()?.value);
        let gears = self.gears.as_ref().filter(|all| falling(all))?.clone();
        let number = self.number(reader, &gears)?;
        let driveline = target.at_wheels().map(|(_, efficiency)| efficiency);
        if driveline.is_none() {
            reader.default(
                &self.driveline,
                "vehicle.driveline_efficiency",
                "driveline efficiency in gear",
                DRIVELINE,
                "0.82 to 0.95",
                Grade::FromMemory,
            );
        }
        reader.default(
            &self.turning,
            "vehicle.turning",
            "mass with what turns, over mass",
            TURNING,
            "1.05 in a high gear to 1.4 in first",
            Grade::FromMemory,
        );
        reader.default(
            &self.resistance,
            "vehicle.resistance",
            "resistance over weight, drag included",
            RESISTANCE,
            "0.02 to 0.08",
            Grade::FromMemory,
        );
        let fraction = Fraction::from_si_unchecked;
        let final_drive = self.final_drive.as_ref().map_or(1.0, |found| found.value.si());
        let fallback = driveline.unwrap_or(Efficiency::from_si_unchecked(DRIVELINE));
        let in_gear = |ratio: Fraction| Gear {
            mass,
            wheel,
            gearing: ratio * final_drive,
            driveline: self.driveline.as_ref().map_or(fallback, |found| found.value),
            turning: self.turning.as_ref().map_or(fraction(TURNING), |found| found.value),
            resistance: self.resistance.as_ref().map_or(fraction(RESISTANCE), |found| found.value),
        };
        let [_, upper] = target.ends();
        let change = gears.get(number).map(|next| {
            let which = usize::from(self.automatic == Some(true));
            if self.automatic.is_none() {
                reader.note("vehicle.gearbox", "gearbox", "manual", "changed by hand", Grade::Assumed);
            }
            reader.default(
                &self.shift_time,
                "vehicle.shift_time",
                "length of a gear change",
                LASTS[which],
                ["0.2 to 0.6 s", "0.05 to 0.3 s"][which],
                Grade::FromMemory,
            );
            reader.default(
                &self.shift_exhaust,
                "vehicle.shift_exhaust",
                "turbine inlet temperature during a gear change",
                EXHAUST[which],
                ["400 to 700 degC", "700 to 950 degC"][which],
                Grade::FromMemory,
            );
            reader.note(
                "",
                "throttle during a gear change",
                format!("{} of the pressure before it", THROTTLE[which]),
                ["0.15 to 0.6", "stays open"][which],
                Grade::FromMemory,
            );
            let from = self.shift_at.as_ref().map_or(upper, |found| found.value);
            let valve = self
                .valve
                .as_ref()
                .map(|found| found.value * found.value * (core::f64::consts::FRAC_PI_4 * DISCHARGE));
            GearChange {
                shift: Shift {
                    from,
                    lasts: self.shift_time.as_ref().map_or(LASTS[which], |found| found.value),
                    throttle: fraction(THROTTLE[which]),
                    exhaust: self.shift_exhaust.as_ref().map_or(EXHAUST[which], |found| found.value),
                    valve,
                },
                automatic: which == 1,
                next: in_gear(*next),
                lands: from * (next.si() / gears[number - 1].si()),
            }
        });
        Some(Vehicle { number, gear: in_gear(gears[number - 1]), change })
    }

    /// The gear, counted from one: as given, or a middle one.
    fn number(&self, reader: &Reader<'_, '_>, gears: &[Fraction]) -> Option<usize> {
        let Some(found) = &self.gear else {
            let middle = gears.len().div_ceil(2);
            reader.note(
                "vehicle.gear",
                "gear in which boost is waited for",
                middle,
                "a middle one",
                Grade::Assumed,
            );
            return Some(middle);
        };
        let number = (1..=gears.len()).find(|number| *number as f64 == found.value.si());
        if number.is_none() {
            let message = format!("is a whole number from 1 to {}", gears.len());
            reader.problem_at(self.lines[1], "vehicle.gear", message);
        }
        number
    }
}

fn falling(gears: &[Fraction]) -> bool {
    !gears.is_empty()
        && gears.iter().all(|ratio| (0.3..=6.0).contains(&ratio.si()))
        && gears.windows(2).all(|pair| pair[1] < pair[0])
}

impl Vehicle {
    /// Judges the gears by what accelerates them.
    pub(super) fn judged(&self) -> Result<(), FormulaError> {
        let torque = Torque::from_si_unchecked(0.0);
        let of = |gear: &Gear| {
            let Gear { mass, wheel, gearing, driveline, turning, resistance } = *gear;
            crate::shaft::engine_acceleration(torque, driveline, gearing, wheel, mass, turning, resistance)
        };
        of(&self.gear)?;
        self.change.map_or(Ok(()), |change| of(&change.next).map(|_| ()))
    }
}
