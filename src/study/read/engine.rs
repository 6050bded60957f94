//! The engine of a study file and the power that is asked of it.

use super::Reader;
use crate::engine::{DEFAULT_VOLUMETRIC_EFFICIENCY, DEFAULT_WORK_FACTOR, Engine};
use crate::formula::FormulaError;
use crate::quantity::units::mm;
use crate::quantity::*;
use crate::shaft::PowerBand;
use crate::study::Grade;
use crate::study::document::Table;

impl<'d, 'a> Reader<'d, 'a> {
    pub(super) fn engine(&self, table: Table<'d, 'a>) -> Option<Engine> {
        let cylinders = table.count("cylinders", "4");
        let bore = table.required::<Length>("bore", "84 mm");
        let stroke = table.required::<Length>("stroke", "84 mm");
        let compression = table.required::<CompressionRatio>("compression_ratio", "9.2");
        let breathing = table.optional::<Fraction>("volumetric_efficiency");
        let work = table.optional::<Fraction>("work_factor");
        let torque = table.optional::<Torque>("torque_limit");
        let speed = table.optional::<ShaftSpeed>("speed_limit");
        self.default(
            &breathing,
            "engine.volumetric_efficiency",
            "volumetric efficiency",
            DEFAULT_VOLUMETRIC_EFFICIENCY,
            "0.90 to 1.05",
            Grade::FromMemory,
        );
        self.default(
            &work,
            "engine.work_factor",
            "work factor",
            DEFAULT_WORK_FACTOR,
            "+-8 %",
            Grade::Published,
        );
        let made = match (cylinders, bore, stroke, compression) {
            (Some(n), Some(b), Some(s), Some(r)) => {
                let keys = ["bore", "stroke", "cylinders", "compression_ratio"].map(|key| (key, key));
                self.fit_keys(&table, &keys, Engine::four_stroke(n.value, b.value, s.value, r.value))
            }
            _ => None,
        };
        // A stand-in lets the other keys be judged where the geometry is no good.
        let mut engine =
            made.clone().or_else(|| Engine::four_stroke(4, mm(84.0), mm(84.0), typical_ratio()).ok());
        let mut good = made.is_some();
        let mut set =
            |name: &'static str, line: usize, apply: &dyn Fn(Engine) -> Result<Engine, FormulaError>| {
                if let Some(old) = engine.take() {
                    let new = self.fit(&table, name, line, apply(old.clone()));
                    good &= new.is_some();
                    engine = new.or(Some(old));
                }
            };
        if let Some(f) = &breathing {
            set("volumetric_efficiency", f.line, &|e| e.volumetric_efficiency(f.value));
        }
        if let Some(f) = &work {
            set("work_factor", f.line, &|e| e.work_factor(f.value));
        }
        if let Some(f) = &torque {
            set("torque_limit", f.line, &|e| e.torque_limit(f.value));
        }
        if let Some(f) = &speed {
            set("speed_limit", f.line, &|e| e.speed_limit(f.value));
        }
        table.close();
        engine.filter(|_| good)
    }

    pub(super) fn target(&self, table: Table<'d, 'a>, most_speed: Option<ShaftSpeed>) -> Option<PowerBand> {
        let power = table.required::<Power>("power", "245 kW");
        let from = table.required::<ShaftSpeed>("from", "6200 rpm");
        let to = table.required::<ShaftSpeed>("to", "7200 rpm");
        let at = table.required_text("at", "crank");
        let driveline = table.optional::<Efficiency>("driveline_efficiency");
        let keys =
            [("power", "power"), ("from", "from"), ("to", "to"), ("driveline", "driveline_efficiency")];
        let mut orderly = true;
        if let (Some(f), Some(t)) = (&from, &to) {
            let [low, high] = [f.value, t.value].map(|speed| format!("{:.0} rpm", speed.rpm()));
            if f.value > t.value {
                table.problem(t.line, "to", format!("{high} is below from = {low}; swap them"));
                orderly = false;
            } else if let Some(limit) = most_speed.filter(|limit| t.value > *limit) {
                let limit = format!("{:.0} rpm", limit.rpm());
                table.problem(t.line, "to", format!("{high} is above the engine's speed limit of {limit}"));
                orderly = false;
            }
        }
        let band = match (&at, power, from, to) {
            (Some(at), Some(p), Some(f), Some(t)) if orderly => match (at.value.as_str(), &driveline) {
                ("crank", None) => self.fit_keys(&table, &keys, PowerBand::crank(p.value, f.value, t.value)),
                ("wheels", Some(eta)) => {
                    self.fit_keys(&table, &keys, PowerBand::wheels(p.value, eta.value, f.value, t.value))
                }
                ("crank", Some(eta)) => {
                    table.problem(
                        eta.line,
                        "driveline_efficiency",
                        "belongs to a target at the wheels; leave it out",
                    );
                    None
                }
                ("wheels", None) => {
                    let message =
                        "a target at the wheels needs driveline_efficiency = 0.85 or what you know of yours";
                    table.problem(at.line, "at", message);
                    None
                }
                _ => {
                    table.problem(at.line, "at", "is \"crank\" or \"wheels\"");
                    None
                }
            },
            _ => None,
        };
        table.close();
        band
    }
}

/// The compression ratio of the stand-in engine.
fn typical_ratio() -> CompressionRatio {
    CompressionRatio::from_si_unchecked(9.0)
}
