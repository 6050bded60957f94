//! From a study file to a study.

use super::assumption::{Assumption, Assumptions};
use super::document::{Document, Found, Table};
use super::driving::DrivingKeys;
use super::evidence::EvidenceKeys;
use super::wheel::WheelKeys;
use super::{Grade, SourceFile, Study};
use crate::charge::{ChargeCooler, Loss};
use crate::compressor::{CompressorMap, CompressorWheel, PrintedMap, Readings};
use crate::engine::{DEFAULT_VOLUMETRIC_EFFICIENCY, DEFAULT_WORK_FACTOR, Engine};
use crate::formula::FormulaError;
use crate::fuel::{Component, Fuel, Gasoline};
use crate::problem::Problems;
use crate::quantity::units::mm;
use crate::quantity::*;
use crate::shaft::*;
use crate::site::Site;
use crate::supply::{DEFAULT_DUTY_LIMIT, Injectors};
use crate::turbine::{DENSITY_SHARE, EXIT_SHARE, STATED_AREA_SIGMA, Turbine, TurbineEfficiency, WIDTH_SHARE};
use core::cell::RefCell;
use toml::de::DeTable;

/// A map's full name and its text, or what is wrong with the file.
pub(super) type MapText = Result<(String, String), Problems>;
/// Finds the map that a study names; the error says that there is no such file.
pub(super) type MapSource<'s> = &'s dyn Fn(&str) -> Result<MapText, String>;

pub(super) fn study(file: &str, text: &str, maps: MapSource<'_>) -> Result<Study, Problems> {
    let document = Document::new(file, text);
    let (root, faults) = DeTable::parse_recoverable(text);
    for fault in &faults {
        let line = fault.span().map(|span| document.line(span.start));
        document.problem(line, "", format!("is not TOML here: {}", fault.message()));
    }
    if !faults.is_empty() {
        return Err(Problems(document.problems.take()));
    }
    let own = SourceFile { name: file.into(), text: text.into() };
    let reader =
        Reader { document: &document, assumptions: RefCell::default(), files: RefCell::new(vec![own]), maps };
    let study = reader.study(Table::root(&document, root.get_ref()));
    let mut problems = document.problems.take();
    match study {
        Some(study) if problems.is_empty() => {
            problems = study.check_flows(file);
            if problems.is_empty() { Ok(study) } else { Err(Problems(problems)) }
        }
        _ => {
            problems
                .sort_by(|a, b| (a.file != file, &a.file, a.line).cmp(&(b.file != file, &b.file, b.line)));
            Err(Problems(problems))
        }
    }
}

pub(super) struct Reader<'d, 'a> {
    document: &'d Document<'a>,
    pub(super) assumptions: RefCell<Vec<Assumption>>,
    files: RefCell<Vec<SourceFile>>,
    maps: MapSource<'d>,
}

impl<'d, 'a> Reader<'d, 'a> {
    fn study(&self, root: Table<'d, 'a>) -> Option<Study> {
        if let Some(schema) = root.count("schema", "1").filter(|schema| schema.value != 1) {
            root.problem(schema.line, "schema", "this version reads schema 1");
        }
        let title = root.required_text("title", "Hill-climb single-seater");
        let invented = root.flag("invented");
        let site = self.site(root.table("site"));
        let engine = self.engine(root.table("engine"));
        let tables = ["target", "intake", "cooler", "exhaust"].map(|name| root.table(name));
        let [target, _, cooler, exhaust] = &tables;
        let driving = DrivingKeys::read([target, cooler, exhaust], root.table_if_there("sweep"));
        let [target, intake, cooler, exhaust] = tables;
        let target = self.target(target, engine.as_ref().and_then(Engine::most_speed));
        let intake = self.intake(intake);
        let cooler = self.cooler(cooler);
        let exhaust = self.exhaust(exhaust);
        let injectors = self.injectors(root.table("injectors"));
        let fuels: Vec<_> = root.tables("fuel").into_iter().map(|table| self.fuel(table)).collect();
        let candidates: Vec<_> =
            root.tables("candidate").into_iter().map(|table| self.candidate(table)).collect();
        let twice = |names: Vec<&str>, list: &'static str| {
            for (i, name) in names.iter().enumerate().filter(|(i, name)| names[..*i].contains(name)) {
                root.problem(
                    None,
                    list,
                    format!("number {} is named \"{name}\" like one before it; name it apart", i + 1),
                );
            }
        };
        twice(fuels.iter().flatten().map(|plan: &FuelPlan| plan.fuel.name()).collect(), "fuel");
        let named = candidates.iter().flatten().filter_map(|read| read.first());
        twice(named.map(Candidate::name).collect(), "candidate");
        root.close();
        let installation = Installation {
            engine: engine?,
            site: site?,
            intake: intake?,
            cooler: cooler?,
            exhaust: exhaust?,
            injectors: injectors?,
        };
        let target = target?;
        let driving = driving.settle(self, &installation, &target)?;
        let mut assumptions = self.assumptions.take();
        assumptions.extend(Assumption::standing());
        Some(Study {
            title: title?.value,
            invented,
            installation,
            target,
            driving,
            fuels: fuels.into_iter().collect::<Option<_>>()?,
            candidates: candidates.into_iter().collect::<Option<Vec<_>>>()?.concat(),
            inputs: self.document.inputs.take(),
            assumptions: Assumptions(assumptions),
            files: self.files.take(),
        })
    }

    fn site(&self, table: Table<'d, 'a>) -> Option<Site> {
        let altitude = table.required("altitude", "1150 m");
        let temperature = table.required("air_temperature", "24 degC");
        let barometer = table.optional::<Pressure>("barometer");
        let reduced = table.optional::<SeaLevelPressure>("barometer_at_sea_level");
        let humidity = table.optional::<RelativeHumidity>("relative_humidity");
        let lost = "35 degC and 60 % humidity cost 3.3 % of the oxygen";
        self.default(&humidity, "site.relative_humidity", "humidity", "dry air", lost, Grade::Assumed);
        if let (Some(a), Some(b)) = (&altitude, &barometer) {
            let standard = crate::site::standard_pressure(a.value).ok();
            if let Some(standard) = standard.filter(|standard| (b.value / *standard - 1.0).abs() > 0.06) {
                let message = format!(
                    "{} is far from the {standard} of the standard atmosphere at {:.0} m; a reading reduced to sea \
                     level belongs under barometer_at_sea_level",
                    b.value,
                    a.value.m()
                );
                table.problem(b.line, "barometer", message);
            }
        }
        if let (Some(_), Some(second)) = (&barometer, &reduced) {
            table.problem(
                second.line,
                "barometer_at_sea_level",
                "one barometer reading at a time; leave one out",
            );
        }
        let made =
            altitude.as_ref().and_then(|f| self.fit(&table, "altitude", f.line, Site::at_altitude(f.value)));
        // A stand-in lets the other keys be judged where the altitude is no good.
        let mut site = made.clone().or_else(|| Site::at_altitude(Length::from_si_unchecked(0.0)).ok());
        let mut good = made.is_some();
        let mut set =
            |name: &'static str, line: usize, apply: &dyn Fn(Site) -> Result<Site, FormulaError>| {
                if let Some(old) = site.take() {
                    let new = self.fit(&table, name, line, apply(old.clone()));
                    good &= new.is_some();
                    site = new.or(Some(old));
                }
            };
        if let Some(f) = &temperature {
            set("air_temperature", f.line, &|site| site.air_temperature(f.value));
        }
        if let Some(f) = &barometer {
            set("barometer", f.line, &|site| site.barometer(f.value));
        }
        if let Some(f) = &reduced {
            set("barometer_at_sea_level", f.line, &|site| site.sea_level_barometer(f.value));
        }
        if let Some(f) = &humidity {
            set("relative_humidity", f.line, &|site| site.humidity(f.value));
        }
        table.close();
        temperature.and(site).filter(|_| good)
    }

    fn engine(&self, table: Table<'d, 'a>) -> Option<Engine> {
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

    fn target(&self, table: Table<'d, 'a>, most_speed: Option<ShaftSpeed>) -> Option<PowerBand> {
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

    fn loss(
        &self,
        table: &Table<'d, 'a>,
        loss: &'static str,
        flow: &'static str,
        example: &str,
    ) -> Option<Loss> {
        let found = table.required::<PressureDifference>(loss, example);
        let at = table.required::<MassFlow>(flow, "0.25 kg/s");
        let (found, at) = (found?, at?);
        self.fit(table, loss, found.line, Loss::new(found.value, at.value))
    }

    fn intake(&self, table: Table<'d, 'a>) -> Option<Intake> {
        let loss = self.loss(&table, "loss", "at_flow", "3 kPa");
        let heating = table.optional::<TemperatureDifference>("heating");
        self.default(
            &heating,
            "intake.heating",
            "heating of the air before the compressor",
            DEFAULT_INTAKE_HEATING,
            "0 to 15 K",
            Grade::Assumed,
        );
        if let Some(found) = heating.as_ref().filter(|f| !(0.0..=60.0).contains(&f.value.si())) {
            table.problem(found.line, "heating", "is a rise of 0 to 60 K above the ambient air");
        }
        table.close();
        Some(Intake { loss: loss?, heating: heating.map_or(DEFAULT_INTAKE_HEATING, |f| f.value) })
    }

    fn cooler(&self, table: Table<'d, 'a>) -> Option<ChargeCooler> {
        let effectiveness = table.required::<Effectiveness>("effectiveness", "0.75");
        let loss = self.loss(&table, "loss", "at_flow", "8 kPa");
        table.close();
        Some(ChargeCooler::new(effectiveness?.value, loss?))
    }

    fn exhaust(&self, table: Table<'d, 'a>) -> Option<Exhaust> {
        let temperature = table.optional::<Temperature>("temperature");
        let loss = self.loss(&table, "back_pressure", "at_flow", "12 kPa");
        let efficiency = table.optional::<Efficiency>("turbine_efficiency");
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
            &efficiency,
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
        if let Some(found) = efficiency.as_ref().filter(|f| !(0.3..=0.9).contains(&f.value.si())) {
            table.problem(found.line, "turbine_efficiency", "is between 0.3 and 0.9");
        }
        table.close();
        let default = Efficiency::from_si_unchecked(DEFAULT_TURBINE_EFFICIENCY);
        Some(Exhaust {
            temperature: temperature.map_or(DEFAULT_EXHAUST_TEMPERATURE, |f| f.value),
            back_pressure: loss?,
            efficiency: TurbineEfficiency::with_bearings(efficiency.map_or(default, |f| f.value)),
            most_expansion: most
                .map_or(ExpansionRatio::from_si_unchecked(DEFAULT_MOST_EXPANSION), |f| f.value),
        })
    }

    fn injectors(&self, table: Table<'d, 'a>) -> Option<Injectors> {
        let count = table.count("count", "4");
        let rated = table.required::<VolumeFlow>("rated_flow", "650 cm3/min");
        let test = table.required::<PressureDifference>("test_pressure", "3 bar");
        let density = table.optional::<Density>("test_fluid_density");
        let pressure = table.required::<PressureDifference>("pressure_over_manifold", "3.5 bar");
        let duty = table.optional::<Fraction>("duty_limit");
        let heptane = Component::n_heptane().density();
        self.default(
            &density,
            "injectors.test_fluid_density",
            "injector test fluid",
            format!("n-heptane, {heptane}"),
            "gasoline would be 8 % denser",
            Grade::CommonPractice,
        );
        self.default(
            &duty,
            "injectors.duty_limit",
            "longest opening of the injectors",
            DEFAULT_DUTY_LIMIT,
            "0.80 to 0.85",
            Grade::FromMemory,
        );
        let keys = [
            ("rated", "rated_flow"),
            ("count", "count"),
            ("test_density", "test_fluid_density"),
            ("test_pressure", "test_pressure"),
            ("pressure", "pressure_over_manifold"),
            ("density", "test_fluid_density"),
        ];
        let fluid = density.map_or(heptane, |f| f.value);
        let made = match (count, rated, test, pressure) {
            (Some(n), Some(q), Some(t), Some(p)) => {
                self.fit_keys(&table, &keys, Injectors::new(n.value, q.value, t.value, fluid, p.value))
            }
            _ => None,
        };
        let made = match (made, &duty) {
            (Some(set), Some(found)) => {
                self.fit(&table, "duty_limit", found.line, set.duty_limit(found.value))
            }
            (made, _) => made,
        };
        table.close();
        made
    }

    fn fuel(&self, table: Table<'d, 'a>) -> Option<FuelPlan> {
        let name = table.required_text("name", "95 RON E10");
        let ethanol = table.optional::<Fraction>("ethanol");
        let methanol = table.optional::<Fraction>("methanol");
        let density = table.optional::<Density>("gasoline_density");
        let value = table.optional::<SpecificEnergy>("gasoline_heating_value");
        let hydrogen = table.optional::<AtomRatio>("gasoline_hydrogen_to_carbon");
        let lambda = table.required::<Lambda>("lambda", "0.85");
        let boost = table.optional::<GaugePressure>("most_boost");
        let typical = Gasoline::typical();
        self.default(
            &density,
            "fuel.gasoline_density",
            "density of the gasoline at 15 degC",
            typical.component().density(),
            "720 to 780 kg/m3",
            Grade::Published,
        );
        self.default(
            &value,
            "fuel.gasoline_heating_value",
            "heating value of the gasoline",
            format!("{:.1} MJ/kg", typical.component().heating_value().mj_per_kg()),
            "42.0 to 44.0 MJ/kg",
            Grade::Published,
        );
        self.default(
            &hydrogen,
            "fuel.gasoline_hydrogen_to_carbon",
            "hydrogen to carbon ratio of the gasoline",
            significant(Fuel::of(typical.component()).hydrogen_to_carbon().si(), 3),
            "1.75 to 2.0",
            Grade::FromMemory,
        );
        if let (Some(_), Some(second)) = (&ethanol, &methanol) {
            table.problem(second.line, "methanol", "one alcohol at a time; leave out ethanol or methanol");
        }
        let mut plain = true;
        for (name, found) in [("ethanol", &ethanol), ("methanol", &methanol)] {
            if let Some(f) = found.as_ref().filter(|f| f.value.si() > 1.5) {
                let number = significant(f.value.si(), 3);
                let meant = format!(
                    "{number} means {} %; write \"{number} %\" for percent",
                    significant(f.value.percent(), 4)
                );
                table.problem(f.line, name, meant);
                plain = false;
            }
        }
        let mut gasoline = Some(typical).filter(|_| plain);
        let mut set =
            |name: &'static str, line: usize, apply: &dyn Fn(Gasoline) -> Result<Gasoline, QuantityError>| {
                gasoline = gasoline.take().and_then(|gasoline| self.fit(&table, name, line, apply(gasoline)));
            };
        if let Some(f) = &density {
            set("gasoline_density", f.line, &|g| g.density(f.value));
        }
        if let Some(f) = &value {
            set("gasoline_heating_value", f.line, &|g| g.heating_value(f.value));
        }
        if let Some(f) = &hydrogen {
            set("gasoline_hydrogen_to_carbon", f.line, &|g| g.hydrogen_to_carbon(f.value));
        }
        let fuel = gasoline.and_then(|gasoline| match (&ethanol, &methanol) {
            (Some(f), _) => self.fit(&table, "ethanol", f.line, Fuel::ethanol_blend(f.value, &gasoline)),
            (None, Some(f)) => self.fit(&table, "methanol", f.line, Fuel::methanol_blend(f.value, &gasoline)),
            (None, None) => Some(Fuel::of(gasoline.component())),
        });
        if let Some(found) = lambda.as_ref().filter(|f| !(0.7..=1.3).contains(&f.value.si())) {
            table.problem(found.line, "lambda", "is between 0.7 and 1.3 here");
        }
        if let Some(found) = boost.as_ref().filter(|f| !(0.0..=4e5).contains(&f.value.si())) {
            table.problem(found.line, "most_boost", "is between 0 and 400 kPa gauge");
        }
        table.close();
        let fuel = fuel?.named(name?.value);
        Some(FuelPlan { fuel, lambda: lambda?.value, most_boost: boost.map(|f| f.value) })
    }

    /// One candidate, or one for each reading of a wheel's inducer.
    fn candidate(&self, table: Table<'d, 'a>) -> Option<Vec<Candidate>> {
        let name = table.required_text("name", "A");
        let map = table.text("map");
        let inducer = table.readings::<Length>("inducer");
        let exducer = table.optional::<Length>("exducer");
        let hub = table.optional::<Length>("hub");
        let keys = WheelKeys::read(&table);
        let evidence = EvidenceKeys::read(self, &table, keys.clearance_share());
        let limit = table.optional::<ShaftSpeed>("speed_limit");
        let units = table.optional::<Count>("units");
        let stages = table.optional::<Count>("stages");
        if let Some(found) = stages.filter(|found| found.value.si() != 1.0) {
            let message = "must be 1: two stages in series need a second map, a cooler and valves between them, which \
                           this balance does not have; leave it out, or size each stage as a study of its own";
            table.problem(found.line, "stages", message);
        }
        table.text("description");
        let turbines: Vec<_> =
            table.tables("turbine").into_iter().map(|turbine| self.turbine(turbine)).collect();
        let name = name.map_or_else(|| "?".to_string(), |f| f.value);
        let made = match (&map, inducer, exducer) {
            (Some(map), wheel, _) => {
                if wheel.is_some() {
                    table.problem(
                        table.line_of("inducer"),
                        "inducer",
                        "is not used beside a map; leave out one of them",
                    );
                }
                if !evidence.is_empty() {
                    let message = "is weighed into an estimate, not into a map; leave out one of them";
                    table.problem(table.line_of("evidence"), "evidence", message);
                }
                self.map(&table, map).map(|map| vec![Candidate::with_map(name, map)])
            }
            (None, Some(inducer), Some(exducer)) => {
                let line = table.line_of("inducer");
                let swapped = inducer.iter().find(|reading| **reading >= exducer.value);
                let wheel = match swapped {
                    Some(reading) => {
                        let [inner, outer] =
                            [*reading, exducer.value].map(|length| format!("{:.1} mm", length.mm()));
                        let message =
                            format!("{inner} is not less than the exducer, {outer}; are they swapped?");
                        table.problem(line, "inducer", message);
                        None
                    }
                    None => {
                        let keys = [("inducer", "inducer"), ("exducer", "exducer")];
                        self.fit_keys(
                            &table,
                            &keys,
                            CompressorWheel::new(Readings::from(inducer), exducer.value),
                        )
                    }
                };
                let wheel = match (wheel, &hub) {
                    (Some(wheel), Some(f)) => self.fit(&table, "hub", f.line, wheel.hub(f.value)),
                    (wheel, _) => wheel,
                };
                wheel.and_then(|wheel| keys.candidates(self, &table, &name, &wheel, &evidence))
            }
            _ => {
                if table.exists() {
                    table.problem(None, "map", "is missing; give a map, or the wheel by inducer and exducer");
                }
                None
            }
        };
        let turbines: Option<Vec<_>> = turbines.into_iter().collect();
        let with = |candidate: Candidate, (name, turbine): &(String, Turbine)| {
            candidate.housing(name.clone(), turbine.clone())
        };
        let mut made: Option<Vec<Candidate>> = made.zip(turbines).map(|(read, turbines)| {
            read.into_iter().map(|candidate| turbines.iter().fold(candidate, with)).collect()
        });
        if let Some(found) = units.filter(|found| found.value.si() != 1.0) {
            if found.value.si() != 2.0 {
                table.problem(found.line, "units", "is 1, or 2 in parallel");
            } else if made.iter().flatten().any(|candidate| candidate.estimated().is_some()) {
                let message = "2 needs a map: the band of an estimated one is not carried to a pair yet";
                table.problem(found.line, "units", message);
            } else if let Some(singles) = made.take() {
                let pairs: Result<Vec<_>, _> = singles.into_iter().map(Candidate::in_parallel).collect();
                made = pairs.map_err(|error| table.problem(found.line, "units", error.to_string())).ok();
            }
        }
        if limit.is_none() {
            let band = "the top speed line of the map stands in";
            self.note("candidate.speed_limit", "highest shaft speed", "not stated", band, Grade::Assumed);
        }
        if let Some(found) = limit {
            if !(2e3..=4.2e4).contains(&found.value.si()) {
                table.problem(
                    found.line,
                    "speed_limit",
                    "of a turbocharger is between 20 000 and 400 000 rpm",
                );
            }
            made = made.map(|read| read.into_iter().map(|one| one.speed_limit(found.value)).collect());
        }
        evidence.close();
        table.close();
        made
    }

    pub(super) fn map(&self, table: &Table<'d, 'a>, name: &Found<String>) -> Option<CompressorMap> {
        let found = match (self.maps)(&name.value) {
            Ok(found) => found,
            Err(missing) => {
                table.problem(name.line, "map", missing);
                return None;
            }
        };
        let made = found.and_then(|(file, text)| {
            let mut files = self.files.borrow_mut();
            if !files.iter().any(|known| known.name == name.value) {
                files.push(SourceFile { name: name.value.clone(), text: text.clone() });
            }
            if PrintedMap::is_printed(&text) {
                return self.printed(&file, &text);
            }
            CompressorMap::from_csv_text(&file, &text)
        });
        made.map_err(|problems| self.document.problems.borrow_mut().extend(problems.0)).ok()
    }

    /// A map that is printed: merged, with what is left of it among the assumptions.
    fn printed(&self, file: &str, text: &str) -> Result<CompressorMap, Problems> {
        let printed = PrintedMap::from_csv_text(file, text)?;
        let merged =
            CompressorMap::from_printed(&printed).map_err(|error| Problems::one(file, error.to_string()))?;
        let band = format!("+-{:.1} points of efficiency (2 sigma)", 2.0 * merged.efficiency_rms().percent());
        let what = format!("{}, merged from a printed map", merged.map().title());
        self.note("candidate.map", &what, merged.summary(), &band, Grade::Assumed);
        Ok(merged.into_map())
    }

    fn turbine(&self, table: Table<'d, 'a>) -> Option<(String, Turbine)> {
        let name = table.text("name");
        let aspect = table.optional::<Length>("area_over_radius");
        let wheel = table.optional::<Length>("wheel");
        let area = table.optional::<Area>("effective_area");
        let sigma = table.optional::<Fraction>("area_sigma");
        let inertia = table.optional::<Inertia>("inertia");
        if let (Some(found), None) = (&sigma, &area) {
            table.problem(found.line, "area_sigma", "belongs to effective_area; leave it out");
        }
        let made = match (&area, &aspect, &wheel) {
            (Some(area), None, _) => {
                let stated = Fraction::from_si_unchecked(STATED_AREA_SIGMA);
                self.default(
                    &sigma,
                    "turbine.area_sigma",
                    "spread of a stated turbine area (1 sigma)",
                    stated,
                    "0.05 to 0.15",
                    Grade::Assumed,
                );
                let sigma = sigma.map_or(stated, |f| f.value);
                let made = Turbine::from_effective_area(area.value, sigma);
                let made = match &wheel {
                    Some(wheel) => made.and_then(|turbine| turbine.with_wheel(wheel.value)),
                    None => made,
                };
                self.fit(&table, "effective_area", area.line, made)
            }
            (None, Some(aspect), Some(wheel)) => {
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
                let made = Turbine::from_area_over_radius(aspect.value, wheel.value);
                self.fit(&table, "area_over_radius", aspect.line, made)
            }
            _ => {
                if table.exists() {
                    let message = "give effective_area = \"650 mm2\", or area_over_radius = \"17.8 mm\" and wheel = \"60 mm\"";
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
        table.close();
        made.map(|turbine| (name, turbine))
    }

    /// Turns a refusal into a problem at its place.
    fn fit<T, E: Into<FormulaError>>(
        &self,
        table: &Table<'d, 'a>,
        name: &str,
        line: impl Into<Option<usize>>,
        made: Result<T, E>,
    ) -> Option<T> {
        made.map_err(|error| table.problem(line.into(), name, error.into().plainly())).ok()
    }

    /// The same where several keys go in: `keys` pairs each argument with its key, the first for the rest.
    fn fit_keys<T>(
        &self,
        table: &Table<'d, 'a>,
        keys: &[(&str, &'static str)],
        made: Result<T, FormulaError>,
    ) -> Option<T> {
        made.map_err(|error| {
            let named = error.argument().and_then(|argument| keys.iter().find(|(name, _)| *name == argument));
            let key = named.unwrap_or(&keys[0]).1;
            table.problem(table.line_of(key), key, error.plainly());
        })
        .ok()
    }

    /// A problem of the study at a line.
    pub(super) fn problem_at(&self, line: Option<usize>, key: &str, message: String) {
        self.document.problem(line, key, message);
    }

    pub(super) fn default<Q>(
        &self,
        given: &Option<Found<Q>>,
        key: &'static str,
        what: &str,
        value: impl core::fmt::Display,
        band: &str,
        grade: Grade,
    ) {
        if given.is_none() {
            self.note(key, what, value, band, grade);
        }
    }
}

/// The compression ratio of the stand-in engine.
fn typical_ratio() -> CompressionRatio {
    CompressionRatio::from_si_unchecked(9.0)
}
