//! The exhaust of a study file: its temperature, the pipe to the turbine, the back pressure.

use super::Reader;
use crate::engine::{BARE_PIPE, ExhaustPipe};
use crate::quantity::*;
use crate::shaft::*;
use crate::study::Grade;
use crate::study::document::Table;
use crate::turbine::TurbineEfficiency;

impl<'d, 'a> Reader<'d, 'a> {
    pub(super) fn exhaust(&self, table: Table<'d, 'a>, target: Option<&PowerBand>) -> Option<Exhaust> {
        let temperature = table.optional::<Temperature>("temperature");
        let seen_at = self.seen_at(&table, target);
        let pipe = self.exhaust_pipe(&table, seen_at.as_ref().is_some_and(Option::is_some));
        let loss = self.loss(&table, "back_pressure", "at_flow", "12 kPa");
        let efficiency = table.optional::<Efficiency>("turbine_efficiency");
        let of_wheel = table.optional::<Efficiency>("wheel_efficiency");
        if let (Some(_), Some(second)) = (&efficiency, &of_wheel) {
            let message =
                "is the turbine's without its bearings, turbine_efficiency with them; leave one out";
            table.problem(second.line, "wheel_efficiency", message);
        }
        let most = table.optional::<ExpansionRatio>("most_expansion");
        self.default(
            &temperature,
            "exhaust.temperature",
            "turbine inlet temperature",
            DEFAULT_EXHAUST_TEMPERATURE,
            "+-75 K",
            Grade::FromMemory,
        );
        self.default(
            if of_wheel.is_some() { &of_wheel } else { &efficiency },
            "exhaust.turbine_efficiency",
            "turbine efficiency, total to static with bearings",
            DEFAULT_TURBINE_EFFICIENCY,
            "0.60 to 0.72",
            Grade::FromMemory,
        );
        self.default(
            &most,
            "exhaust.most_expansion",
            "greatest expansion ratio",
            DEFAULT_MOST_EXPANSION,
            "2.5 to 3.5",
            Grade::FromMemory,
        );
        if let Some(found) = temperature.as_ref().filter(|f| !(700.0..=1400.0).contains(&f.value.si())) {
            table.problem(
                found.line,
                "temperature",
                "of the turbine inlet is between 430 and 1120 degC at full load",
            );
        }
        if let Some(found) = most.as_ref().filter(|f| !(1.2..=6.0).contains(&f.value.si())) {
            table.problem(found.line, "most_expansion", "is between 1.2 and 6");
        }
        for (key, found) in [("turbine_efficiency", &efficiency), ("wheel_efficiency", &of_wheel)] {
            if let Some(found) = found.as_ref().filter(|f| !(0.3..=0.9).contains(&f.value.si())) {
                table.problem(found.line, key, "is between 0.3 and 0.9");
            }
        }
        table.close();
        let default = Efficiency::from_si_unchecked(DEFAULT_TURBINE_EFFICIENCY);
        Some(Exhaust {
            temperature: temperature.map_or(DEFAULT_EXHAUST_TEMPERATURE, |f| f.value),
            seen_at: seen_at?,
            pipe: pipe?,
            back_pressure: loss?,
            efficiency: match of_wheel {
                Some(found) => TurbineEfficiency::of_wheel_alone(found.value),
                None => TurbineEfficiency::with_bearings(efficiency.map_or(default, |f| f.value)),
            },
            most_expansion: most
                .map_or(ExpansionRatio::from_si_unchecked(DEFAULT_MOST_EXPANSION), |f| f.value),
        })
    }

    /// The pipe between manifold and turbine, if there is one.
    fn exhaust_pipe(&self, table: &Table<'d, 'a>, balanced: bool) -> Option<Option<ExhaustPipe>> {
        let bore = table.optional::<Length>("pipe_bore");
        let length = table.optional::<Length>("pipe_length");
        let outside = table.optional::<HeatTransferCoefficient>("pipe_outside");
        let (Some(bore), Some(length)) = (&bore, &length) else {
            for key in ["pipe_bore", "pipe_length", "pipe_outside"] {
                if let Some(line) = table.line_of(key) {
                    table.problem(
                        Some(line),
                        key,
                        "needs pipe_bore and pipe_length; give both, or leave it out",
                    );
                }
            }
            return Some(None);
        };
        if !balanced {
            let message =
                "follows the engine's heat balance; leave it out beside temperature_over_speed = \"same\"";
            table.problem(bore.line, "pipe_bore", message);
        }
        self.default(
            &outside,
            "exhaust.pipe_outside",
            "heat transfer coefficient outside the pipe to the turbine",
            BARE_PIPE,
            "bare 40 to 120, wrapped 10 to 40 W/(m2 K)",
            Grade::FromMemory,
        );
        let keys = [("bore", "pipe_bore"), ("length", "pipe_length")];
        let made = self.fit_keys(table, &keys, ExhaustPipe::new(bore.value, length.value))?;
        match outside {
            Some(found) => self.fit(table, "pipe_outside", found.line, made.outside(found.value)).map(Some),
            None => Some(Some(made)),
        }
    }

    /// Where the exhaust temperature was seen; nothing where it is to be the same at every speed.
    fn seen_at(&self, table: &Table<'d, 'a>, target: Option<&PowerBand>) -> Option<Option<SeenAt>> {
        let over_speed = table.text("temperature_over_speed");
        let power = table.optional::<Power>("temperature_power");
        let speed = table.optional::<ShaftSpeed>("temperature_speed");
        let manifold = table.optional::<Temperature>("temperature_manifold");
        let pumping = table.optional::<PressureDifference>("temperature_pumping");
        let place = table.text("temperature_seen");
        match over_speed.as_ref().map(|found| found.value.as_str()) {
            None | Some("heat balance") => {}
            Some("same") => {
                let given = [power.is_some(), speed.is_some(), manifold.is_some(), pumping.is_some()];
                if given.contains(&true) {
                    let message =
                        "\"same\" needs no power, speed, manifold or pumping; leave out one or the others";
                    table.problem(table.line_of("temperature_over_speed"), "temperature_over_speed", message);
                }
                let band = "100 to 250 K less low down: boost later than told";
                self.note(
                    "exhaust.temperature_over_speed",
                    "turbine inlet temperature over engine speed",
                    "the same",
                    band,
                    Grade::Assumed,
                );
                return Some(None);
            }
            Some(_) => {
                let message = "is \"heat balance\" (work, walls and unburned gas leave it) or \"same\"";
                table.problem(table.line_of("temperature_over_speed"), "temperature_over_speed", message);
            }
        }
        let target = target?;
        let [_, to] = target.ends();
        let at = |speed: ShaftSpeed| format!("{:.0} rpm", speed.rpm());
        self.default(
            &power,
            "exhaust.temperature_power",
            "power at which the turbine inlet temperature is meant",
            target.power(),
            "the target's",
            Grade::Assumed,
        );
        self.default(
            &speed,
            "exhaust.temperature_speed",
            "engine speed at which it is meant",
            at(to),
            "the target's upper end",
            Grade::Assumed,
        );
        self.default(
            &manifold,
            "exhaust.temperature_manifold",
            "manifold temperature at which it is meant",
            SEEN_MANIFOLD,
            "20 to 70 degC, worth +-10 K",
            Grade::Assumed,
        );
        self.default(
            &pumping,
            "exhaust.temperature_pumping",
            "pumping pressure at which it is meant",
            SEEN_PUMPING,
            "-30 to 60 kPa, worth +-15 K",
            Grade::Assumed,
        );
        self.note(
            "",
            "share of the heat through the walls over fuel flow",
            "engine::wall_share_at_flow",
            "fuel flow^-0.2 to ^-0.3",
            Grade::Published,
        );
        let line = |key: &'static str| table.line_of(key);
        let keys = [("power", "temperature_power"), ("speed", "temperature_speed")];
        let power = power.map_or(target.power(), |f| f.value);
        let mut seen = self.fit_keys(table, &keys, SeenAt::new(power, speed.map_or(to, |f| f.value)))?;
        if let Some(found) = manifold {
            let made = seen.with_manifold(found.value);
            seen = self.fit(table, "temperature_manifold", line("temperature_manifold"), made)?;
        }
        if let Some(found) = pumping {
            let made = seen.with_pumping(found.value);
            seen = self.fit(table, "temperature_pumping", line("temperature_pumping"), made)?;
        }
        match place.as_ref().map(|found| found.value.as_str()) {
            None | Some("at the turbine") => {}
            Some("before the pipe") => {
                if table.line_of("pipe_bore").is_none() {
                    let message =
                        "\"before the pipe\" needs pipe_bore and pipe_length; give them, or leave it out";
                    table.problem(line("temperature_seen"), "temperature_seen", message);
                }
                seen = seen.before_pipe();
            }
            Some(_) => {
                let message = "is \"at the turbine\" or \"before the pipe\" that leads to it";
                table.problem(line("temperature_seen"), "temperature_seen", message);
            }
        }
        Some(Some(seen))
    }
}
