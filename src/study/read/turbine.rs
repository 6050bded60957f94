//! The turbine housings of a candidate.

use super::Reader;
use crate::quantity::*;
use crate::study::Grade;
use crate::study::document::{Found, Table};
use crate::turbine::{
    BearingKind, Bearings, DENSITY_SHARE, DIVISION_FRICTION, DividedEntry, EXIT_SHARE, ManifoldKind,
    PULSES_KEPT, STATED_AREA_SIGMA, Turbine, TurbineMap, WIDTH_SHARE,
};

/// One standard deviation of a map's flow where none is stated ([own-judgement]).
const MAPPED_AREA_SIGMA: f64 = 0.03;

impl<'d, 'a> Reader<'d, 'a> {
    pub(super) fn turbine(&self, table: Table<'d, 'a>) -> Option<(String, Turbine)> {
        let name = table.text("name");
        let aspect = table.optional::<Length>("area_over_radius");
        let wheel = table.optional::<Length>("wheel");
        let area = table.optional::<Area>("effective_area");
        let sigma = table.optional::<Fraction>("area_sigma");
        let map = table.text("map");
        let inertia = table.optional::<Inertia>("inertia");
        let turning = Turning::read(&table);
        let made = match (&map, &area, &aspect, &wheel) {
            (Some(map), None, None, wheel) => self.mapped(&table, map, wheel.as_ref(), sigma),
            (None, Some(area), None, _) => self.stated_area(&table, area, wheel.as_ref(), sigma),
            (None, None, Some(aspect), Some(wheel)) => {
                if let Some(found) = sigma {
                    let message = "belongs to effective_area or map; leave it out";
                    table.problem(found.line, "area_sigma", message);
                }
                self.housing(&table, aspect, wheel.value)
            }
            _ => {
                if table.exists() {
                    let message = "give map = \"turbine.csv\", or effective_area = \"650 mm2\", or area_over_radius = \
                                   \"17.8 mm\" and wheel = \"60 mm\"";
                    table.problem(None, "", message);
                }
                None
            }
        };
        let name = name.map_or_else(
            || {
                aspect.map_or_else(
                    || "housing".to_string(),
                    |f| format!("A/R {} mm", significant(f.value.mm(), 3)),
                )
            },
            |f| f.value,
        );
        let made = made.and_then(|turbine| self.inertia(&table, turbine, inertia));
        let made = turning.apply(self, &table, made);
        table.close();
        made.map(|turbine| (name, turbine))
    }

    /// From a stated area.
    fn stated_area(
        &self,
        table: &Table<'d, 'a>,
        area: &Found<Area>,
        wheel: Option<&Found<Length>>,
        sigma: Option<Found<Fraction>>,
    ) -> Option<Turbine> {
        let sigma = self.area_sigma(sigma, "a stated turbine area", STATED_AREA_SIGMA, "0.05 to 0.15");
        let made = Turbine::from_effective_area(area.value, sigma);
        let made = match wheel {
            Some(wheel) => made.and_then(|turbine| turbine.with_wheel(wheel.value)),
            None => made,
        };
        self.fit(table, "effective_area", area.line, made)
    }

    /// From a measured map.
    fn mapped(
        &self,
        table: &Table<'d, 'a>,
        name: &Found<String>,
        wheel: Option<&Found<Length>>,
        sigma: Option<Found<Fraction>>,
    ) -> Option<Turbine> {
        let (file, text) = self.file(table, name)?;
        let read = TurbineMap::from_csv_text(&file, &text);
        let map = read.map_err(|problems| self.document.problems.borrow_mut().extend(problems.0)).ok()?;
        let sigma = self.area_sigma(sigma, "a turbine map's flow", MAPPED_AREA_SIGMA, "0.01 to 0.05");
        let made = Turbine::from_map(map, sigma);
        let made = match wheel {
            Some(wheel) => made.and_then(|turbine| turbine.with_wheel(wheel.value)),
            None => made,
        };
        self.fit(table, "map", name.line, made)
    }

    fn area_sigma(&self, sigma: Option<Found<Fraction>>, of: &str, stands_in: f64, band: &str) -> Fraction {
        let stands_in = Fraction::from_si_unchecked(stands_in);
        let what = format!("spread of {of} (1 sigma)");
        self.default(&sigma, "turbine.area_sigma", &what, stands_in, band, Grade::Assumed);
        sigma.map_or(stands_in, |found| found.value)
    }

    /// From area over radius.
    fn housing(&self, table: &Table<'d, 'a>, aspect: &Found<Length>, wheel: Length) -> Option<Turbine> {
        self.note(
            "turbine.effective_area",
            "turbine area from area over radius",
            "turbine::effective_area",
            "+-25 % (1 sigma)",
            Grade::Assumed,
        );
        let shape = format!("{WIDTH_SHARE:.3}, {EXIT_SHARE}, {DENSITY_SHARE}");
        let what = "turbine wheel: width over diameter, exit over disc, density at the wheel";
        self.note(
            "turbine.shape",
            what,
            shape,
            "0.12 to 0.2, 0.2 to 0.4, 0.7 to 0.9; inside the area's band",
            Grade::FromMemory,
        );
        let made = Turbine::from_area_over_radius(aspect.value, wheel);
        self.fit(table, "area_over_radius", aspect.line, made)
    }
}

/// Keys of what turns with the wheel and of what feeds it.
struct Turning {
    divided: Option<Found<String>>,
    swing: Option<Found<Fraction>>,
    kept: Option<Found<Fraction>>,
    friction_of_division: Option<Found<Fraction>>,
    bearings: Option<Found<String>>,
    friction: Option<Found<RotationalFriction>>,
}

impl Turning {
    fn read(table: &Table<'_, '_>) -> Self {
        Self {
            divided: table.text("divided"),
            swing: table.optional("pulse_swing"),
            kept: table.optional("pulses_kept"),
            friction_of_division: table.optional("division_friction"),
            bearings: table.text("bearings"),
            friction: table.optional("bearing_friction"),
        }
    }

    fn apply(
        self,
        reader: &Reader<'_, '_>,
        table: &Table<'_, '_>,
        turbine: Option<Turbine>,
    ) -> Option<Turbine> {
        let entry = self.entry(reader, table);
        let bearings = self.bearings(table);
        let mut turbine = turbine?;
        if let Some(entry) = entry? {
            turbine = turbine.with_divided_entry(entry);
        }
        if let Some(bearings) = bearings? {
            turbine = turbine.with_bearings(bearings);
        }
        Some(turbine)
    }

    /// The entries, nothing where the housing is not divided; `None` with a problem.
    fn entry(&self, reader: &Reader<'_, '_>, table: &Table<'_, '_>) -> Option<Option<DividedEntry>> {
        let refuse = |key: &'static str, message: &str| {
            table.problem(table.line_of(key), key, message);
            None
        };
        let Some(divided) = &self.divided else {
            let given = [("pulse_swing", self.swing.is_some()), ("pulses_kept", self.kept.is_some())];
            let given = given.into_iter().chain([("division_friction", self.friction_of_division.is_some())]);
            for (key, _) in given.filter(|(_, given)| *given) {
                refuse(key, "belongs to a divided housing; give divided, or leave it out")?;
            }
            return Some(None);
        };
        let manifold = match (divided.value.as_str(), &self.swing) {
            ("common log", None) => ManifoldKind::CommonLog,
            ("kept apart", Some(swing)) => ManifoldKind::KeptApart { swing: swing.value },
            ("common log", Some(_)) => {
                return refuse("pulse_swing", "is nothing in a common log; leave it out");
            }
            ("kept apart", None) => {
                let message = "pulses kept apart need pulse_swing, the swing of the inlet pressure over its mean, such \
                               as \"30 %\"";
                return refuse("divided", message);
            }
            _ => return refuse("divided", "is \"common log\" or \"kept apart\""),
        };
        let key = if self.swing.is_some() { "pulse_swing" } else { "divided" };
        let mut entry = reader.fit(table, key, table.line_of(key), DividedEntry::equal(manifold))?;
        reader.default(
            &self.friction_of_division,
            "turbine.division_friction",
            "share of the turbine's efficiency that a division takes",
            DIVISION_FRICTION,
            "0 to 0.04",
            Grade::FromMemory,
        );
        if self.swing.is_some() {
            reader.default(
                &self.kept,
                "turbine.pulses_kept",
                "share of the pulses' gain that is left",
                PULSES_KEPT,
                "0.5 to 1",
                Grade::FromMemory,
            );
        }
        if let Some(found) = &self.friction_of_division {
            entry = reader.fit(table, "division_friction", found.line, entry.with_friction(found.value))?;
        }
        if let Some(found) = &self.kept {
            entry = reader.fit(table, "pulses_kept", found.line, entry.with_pulses_kept(found.value))?;
        }
        Some(Some(entry))
    }

    /// The bearings, nothing where they are in the efficiency; `None` with a problem.
    fn bearings(&self, table: &Table<'_, '_>) -> Option<Option<Bearings>> {
        let refuse = |key: &'static str, message: &str| {
            table.problem(table.line_of(key), key, message);
            None
        };
        let kind = match self.bearings.as_ref().map(|found| found.value.as_str()) {
            None | Some("plain") => BearingKind::Plain,
            Some("rolling element") => BearingKind::RollingElement,
            Some(_) => return refuse("bearings", "is \"plain\" or \"rolling element\""),
        };
        match (&self.friction, &self.bearings) {
            (None, None) => Some(None),
            (None, Some(_)) => refuse(
                "bearings",
                "needs bearing_friction, the friction torque over speed, such as \"1e-6 N m s\"",
            ),
            (Some(found), _) => {
                let exact = Fraction::from_si_unchecked(0.0);
                let made = Bearings::stated(kind, found.value, exact);
                let made =
                    made.map_err(|error| table.problem(found.line, "bearing_friction", error.plainly()));
                made.ok().map(Some)
            }
        }
    }
}
