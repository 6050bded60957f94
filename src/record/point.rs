//! The record of an operating point: the chain that found it, run once more with recording numbers.

use super::inputs::symbol_and_words;
use super::node::{Gap, Given, Kind, MARGIN, Node, Origin, Output, Record};
use crate::compressor::{
    Reading, choke_margin, corrected_mass_flow, corrected_speed_at_tip_speed, shaft_speed_from_corrected,
    surge_margin, tip_speed,
};
use crate::engine::crank_power;
use crate::formula::{
    Context, Entry, FormulaError, Giver, LookUp, Rec, Scalar, Surface, What, context, entry_of, given, read,
    trail,
};
use crate::quantity::*;
use crate::shaft::chain::{Case, Gases, Reached, Setting, Settled};
use crate::shaft::heat::Burned;
use crate::shaft::{
    Candidate, FuelPlan, HALVINGS, Installation, Limit, MostPower, OperatingPoint, PowerBand, StatedFigure,
    middle_speed, reference, speed_margin,
};
use crate::turbine::Turbine;
use core::cell::RefCell;

/// What was asked for.
#[derive(Clone, Copy)]
#[cfg_attr(not(feature = "study"), allow(dead_code))] // a study asks for the other two
pub(crate) enum Asked<'a> {
    /// A power at an engine speed, in code.
    Plain,
    /// The target of a study.
    Target(&'a PowerBand),
    /// The most power, found where a limit is met.
    Most(&'a PowerBand, &'a MostPower),
}

/// A number handed in: key, what it belongs to, value, quantity, unit.
struct Taken {
    key: &'static str,
    of: String,
    quantity: &'static str,
    unit: &'static str,
    number: Rec,
}

/// Gives recording numbers, each input once.
#[derive(Default)]
struct Noting {
    taken: RefCell<Vec<Taken>>,
    gases: RefCell<Vec<String>>,
    outputs: RefCell<Vec<(String, usize)>>,
}

impl Giver<Rec> for Noting {
    fn give<Q: Quantity>(&self, key: &'static str, of: &str, value: Q) -> Rec {
        let mut taken = self.taken.borrow_mut();
        if let Some(known) = taken.iter().find(|known| known.key == key && known.of == of) {
            return known.number;
        }
        let number = given(taken.len(), value.si());
        taken.push(Taken { key, of: of.into(), quantity: Q::NAME, unit: Q::si_unit(), number });
        number
    }
    fn gas(&self, gas: &impl Context, from: &[Rec]) {
        let mut gases = self.gases.borrow_mut();
        if !gases.iter().any(|name| name == gas.label()) {
            gases.push(gas.label().into());
            context(gas.label(), from);
        }
    }
    fn read(&self, surface: &impl Surface, x: Rec, y: Rec) -> Rec {
        read(surface, x, y)
    }
}

impl Noting {
    /// A figure of a candidate's evidence.
    fn figure(&self, figure: &StatedFigure) -> Rec {
        let StatedFigure { key, of, value, quantity, unit, .. } = figure;
        let mut taken = self.taken.borrow_mut();
        if let Some(known) = taken.iter().find(|known| known.key == *key && known.of == *of) {
            return known.number;
        }
        let number = given(taken.len(), *value);
        taken.push(Taken { key, of: of.clone(), quantity, unit, number });
        number
    }
    fn show(&self, key: impl Into<String>, number: Rec) {
        if let Some(entry) = entry_of(number) {
            self.outputs.borrow_mut().push((key.into(), entry));
        }
    }
}

/// What a solved number closes, while recording.
struct Closing {
    key: &'static str,
    gap: Gap,
}

/// Records an operating point that was found before. `origin` says where a key's value comes from.
pub(crate) fn record_point(
    title: String,
    case: &Case<'_>,
    asked: Asked<'_>,
    point: &OperatingPoint,
    origin: &dyn Fn(&str, &str) -> Origin,
) -> Result<Record, FormulaError> {
    let gases = case.gases()?;
    let ((noting, closings), entries) = trail(|| -> Result<_, FormulaError> {
        let noting = Noting::default();
        let closings = follow(case, &gases, asked, point, &noting)?;
        Ok((noting, closings))
    })
    .transposed()?;
    let map = case.turbine.map().map(|map| map.label().to_string());
    Ok(assemble(title, (&gases, map), noting, &closings, entries, origin))
}

impl OperatingPoint {
    /// The record of this point, which was found for these: every number with its formula, its inputs and
    /// where they come from. The inputs count as set in code.
    pub fn record(
        &self,
        installation: &Installation,
        candidate: &Candidate,
        turbine: &Turbine,
        plan: &FuelPlan,
    ) -> Result<Record, FormulaError> {
        let case = Case { installation, candidate, turbine, plan };
        let title = format!("{}, {:.0} rpm", candidate.name(), self.demand.speed.rpm());
        record_point(title, &case, Asked::Plain, self, &|_, _| Origin::Code)
    }
}

/// Turns a failed run's trail into its error.
trait Transposed<T> {
    fn transposed(self) -> Result<(T, Vec<Entry>), FormulaError>;
}
impl<T> Transposed<T> for (Result<T, FormulaError>, Vec<Entry>) {
    fn transposed(self) -> Result<(T, Vec<Entry>), FormulaError> {
        self.0.map(|out| (out, self.1))
    }
}

fn power(asked: Asked<'_>, point: &OperatingPoint, g: &Noting) -> Result<Rec, FormulaError> {
    match asked {
        Asked::Target(band) => match band.at_wheels() {
            Some((wheels, driveline)) => crank_power::step(
                g.give("target.wheel_power", "", wheels),
                g.give("target.driveline_efficiency", "", driveline),
            ),
            None => Ok(g.give("target.power", "", band.power())),
        },
        Asked::Most(..) => Ok(g.give("solved.power", "", point.demand.power)),
        Asked::Plain => Ok(g.give("target.power", "", point.demand.power)),
    }
}

fn speed(asked: Asked<'_>, point: &OperatingPoint, g: &Noting) -> Result<Rec, FormulaError> {
    let speed = point.demand.speed;
    let (Asked::Target(band) | Asked::Most(band, _)) = asked else {
        return Ok(g.give("target.speed", "", speed));
    };
    let [from, to] = band.ends();
    if speed == from {
        Ok(g.give("target.from", "", from))
    } else if speed == to {
        Ok(g.give("target.to", "", to))
    } else if speed == band.middle() {
        middle_speed::step(g.give("target.from", "", from), g.give("target.to", "", to))
    } else {
        Ok(g.give("target.speed", "", speed))
    }
}

/// The chain with recording numbers, from the inputs to the last margin.
fn follow(
    case: &Case<'_>,
    gases: &Gases,
    asked: Asked<'_>,
    point: &OperatingPoint,
    g: &Noting,
) -> Result<Vec<Closing>, FormulaError> {
    let (power, speed) = (power(asked, point, g)?, speed(asked, point, g)?);
    let setting = Setting::new(case, gases, g, speed)?;
    let manifold_temperature = g.give("solved.manifold_temperature", "", point.manifold_temperature);
    let pumping = g.give("solved.pumping", "", point.demand.pumping);
    let breathing = g.give("solved.breathing", "", point.breathing);
    let settled = Settled { manifold_temperature, pumping, breathing };
    let (demand, path) = setting.air_side(&gases.air, power, &settled)?;
    let inlet_temperature = setting.way.inlet_temperature;
    let corrected = corrected(case, g, demand.air, [inlet_temperature, path.inlet_pressure])?;
    let (efficiency, shaft_speed, mut margins) =
        compressor(case, g, setting.way.inlet_temperature, [corrected, path.ratio])?;
    let cold = setting.way.compressed(&gases.air, path.ratio, efficiency)?;
    let load = setting.load(&gases.air, demand.air, demand.fuel, cold)?;
    let ratio = g.give("solved.expansion", "", point.drive.ratio);
    let burned = Burned { fuel: demand.fuel, pumping, manifold_temperature };
    let warmed = setting.warmed(gases, (demand.air, cold), load.exhaust, &burned)?;
    let outlet = warmed.1.outlet;
    let cooled = setting.way.cooled(outlet)?;
    let turbine = setting.turbine_side(&gases.exhaust, &load, &warmed, ratio, Some(shaft_speed))?;
    let found = Setting::pumping(&turbine, &path)?;
    let air_side = (&demand, &path);
    let outcome = setting.outcome(&gases.air, air_side, outlet, manifold_temperature)?;
    let reached = Reached {
        torque: demand.torque,
        brake_pressure: demand.brake_pressure,
        air: demand.air,
        manifold: path.manifold,
        exhaust_pressure: turbine.pressure,
        exhaust_temperature: turbine.temperature,
        duty: outcome.duty,
        expansion: ratio,
    };
    margins.extend(setting.distances(case, &gases.air, g, &reached)?);
    margins.push((Limit::TurbineTooLarge, turbine.wastegate));
    for (key, number) in [
        ("power", power),
        ("torque", demand.torque),
        ("bmep", demand.brake_pressure),
        ("fmep", demand.friction),
        ("pmep", pumping),
        ("indicated_efficiency", demand.indicated_efficiency),
        ("air_flow", demand.air),
        ("fuel_flow", demand.fuel),
        ("consumption", demand.consumption),
        ("inlet_pressure", path.inlet_pressure),
        ("inlet_temperature", inlet_temperature),
        ("manifold_pressure", path.manifold),
        ("boost", outcome.boost),
        ("volumetric_efficiency", breathing),
        ("pressure_ratio", path.ratio),
        ("corrected_flow", corrected),
        ("efficiency", efficiency),
        ("outlet_temperature", outlet),
        ("density_ratio", outcome.density_ratio),
        ("manifold_temperature", manifold_temperature),
        ("manifold_density", outcome.manifold_density),
        ("compressor_power", load.compressor_power),
        ("turbine_outlet", load.turbine_outlet),
        ("expansion_ratio", ratio),
        ("turbine_inlet", turbine.pressure),
        ("turbine_inlet_temperature", turbine.temperature),
        ("turbine_efficiency", turbine.efficiency),
        ("wastegate", turbine.wastegate),
        ("duty", outcome.duty),
    ] {
        g.show(key, number);
    }
    if let Some(heat) = warmed.1.heat {
        g.show("housing_heat", heat);
    }
    if let Some(least) = turbine.least {
        g.show("least_expansion", least);
    }
    for (limit, margin) in &margins {
        g.show(format!("{MARGIN}{}", limit.words()), *margin);
    }
    let against = setting.breathing(&turbine, &path)?;
    // They are found together, by Newton's method on the balance of the shaft.
    let closing = |key, words: &str, (left, right): (Rec, Rec), size: f64| Closing {
        key,
        gap: Gap {
            words: words.into(),
            sides: (entry_of(left), entry_of(right)),
            bracket: None,
            steps: point.steps,
            residual: (left.value() - right.value()) / size,
        },
    };
    let mut closings = vec![
        closing(
            "solved.manifold_temperature",
            "the cooler's outlet is the manifold temperature assumed",
            (cooled, manifold_temperature),
            manifold_temperature.value(),
        ),
        closing(
            "solved.pumping",
            "exhaust less manifold pressure is the pumping pressure assumed",
            (found, pumping),
            turbine.pressure.value(),
        ),
        closing(
            "solved.breathing",
            "the volumetric efficiency against this exhaust pressure is the one assumed",
            (against, breathing),
            breathing.value(),
        ),
        closing(
            "solved.expansion",
            "the turbine's power is what the shaft asks",
            (turbine.power, turbine.asked),
            turbine.asked.value().max(1.0),
        ),
    ];
    if let Asked::Most(_, most) = asked {
        let limit = most.stop.as_ref().map(|stop| stop.limit);
        let margin = margins.iter().find(|(of, _)| Some(*of) == limit);
        let words = limit.map_or("the greatest power searched".into(), |limit| {
            format!("the greatest power with no limit exceeded; first met: {}", limit.words())
        });
        let gap = Gap {
            words,
            sides: (margin.and_then(|(_, margin)| entry_of(*margin)), None),
            bracket: most.power.zip(most.beyond).map(|(within, beyond)| [within.si(), beyond.si()]),
            steps: HALVINGS,
            residual: margin.map_or(f64::NAN, |(_, margin)| margin.value()),
        };
        closings.push(Closing { key: "solved.power", gap });
    }
    Ok(closings)
}

fn corrected(
    case: &Case<'_>,
    g: &Noting,
    flow: Rec,
    [temperature, pressure]: [Rec; 2],
) -> Result<Rec, FormulaError> {
    let map = case.candidate.map();
    let (t, p) = reference(map);
    let title = map.title();
    let [t, p] = [g.give("map.reference_temperature", title, t), g.give("map.reference_pressure", title, p)];
    corrected_mass_flow::step(flow, temperature, pressure, t, p)
}

/// Limit and distance.
type Margins = Vec<(Limit, Rec)>;

/// What is known of the compressor at the point: its efficiency, the shaft speed and the distances to its limits.
fn compressor(
    case: &Case<'_>,
    g: &Noting,
    inlet_temperature: Rec,
    [corrected, ratio]: [Rec; 2],
) -> Result<(Rec, Rec, Margins), FormulaError> {
    let map = case.candidate.map();
    let (t, _) = reference(map);
    let t = g.give("map.reference_temperature", map.title(), t);
    let top = match case.candidate.estimated() {
        None => {
            g.gas(map, &[]);
            g.give("map.highest_speed", map.title(), map.highest_speed())
        }
        Some(estimated) => {
            let geometry = estimated.estimate().geometry();
            let mut from = geometry.given(g);
            from.extend(case.candidate.stated().iter().map(|figure| g.figure(figure)));
            if estimated.printed_lines().is_some() {
                g.gas(map, &from);
                g.give("map.highest_speed", map.title(), map.highest_speed())
            } else {
                let outer = g.give("wheel.exducer", "", geometry.outer());
                let highest = estimated.highest_tip_speed();
                // The map ends at the maker's limit where that raised it, else at a tip speed.
                let limit = geometry.raised_to().filter(|_| highest == geometry.highest_tip_speed());
                let limit = limit.map(|limit| g.give("candidate.speed_limit", case.candidate.name(), limit));
                from.extend(limit);
                g.gas(map, &from);
                let top = match limit {
                    Some(limit) => tip_speed::step(outer, limit)?,
                    None => g.give("wheel.tip_speed_limit", "", highest),
                };
                corrected_speed_at_tip_speed::step(top, outer)?
            }
        }
    };
    let at = |reading: Reading| g.read(&map.surface(reading), corrected, ratio);
    let speed = at(Reading::Speed);
    g.show("corrected_speed", speed);
    let shaft_speed = shaft_speed_from_corrected::step(speed, inlet_temperature, t)?;
    g.show("shaft_speed", shaft_speed);
    let top = shaft_speed_from_corrected::step(top, inlet_temperature, t)?;
    let [surge_flow, surge_ratio] = [at(Reading::SurgeFlow), at(Reading::SurgeRatio)];
    let mut margins = vec![
        (Limit::Surge, surge_margin::step(surge_flow, surge_ratio, corrected, ratio)?),
        (Limit::Choke, choke_margin::step(at(Reading::ChokeFlow), corrected)?),
        (Limit::TopSpeedLine, speed_margin::step(top, shaft_speed)?),
    ];
    if let Some(limit) = case.candidate.highest_speed() {
        let limit = g.give("candidate.speed_limit", case.candidate.name(), limit);
        margins.push((Limit::ShaftSpeed, speed_margin::step(limit, shaft_speed)?));
    }
    Ok((at(Reading::Efficiency), shaft_speed, margins))
}

/// The graph from the trail.
fn assemble(
    title: String,
    (gases, turbine_map): (&Gases, Option<String>),
    noting: Noting,
    closings: &[Closing],
    entries: Vec<Entry>,
    origin: &dyn Fn(&str, &str) -> Origin,
) -> Record {
    let taken = noting.taken.into_inner();
    let nodes = entries.into_iter().enumerate().map(|(own, entry)| {
        let mut from: Vec<usize> = entry.from.iter().copied().flatten().chain(entry.with).collect();
        from.sort_unstable();
        from.dedup();
        let value = entry.value;
        match entry.what {
            What::Given(index) => {
                let Taken { key, of, quantity, unit, .. } = &taken[index];
                let (symbol, words) = symbol_and_words(key);
                let words = if of.is_empty() { words.into() } else { format!("{words}, {of}") };
                let (kind, from) = match closings.iter().find(|closing| closing.key == *key) {
                    Some(Closing { gap, .. }) => {
                        let sides =
                            [gap.sides.0, gap.sides.1].into_iter().flatten().filter(|&side| side != own);
                        (Kind::Solved(gap.clone()), sides.collect())
                    }
                    None => {
                        let given = Given { key: (*key).into(), of: of.clone(), origin: origin(key, of) };
                        (Kind::Given(given), from)
                    }
                };
                Node { symbol: symbol.into(), words, value, quantity, unit, kind, from }
            }
            What::Step(formula, lines) => Node {
                symbol: formula.symbol.into(),
                words: formula.summary.into(),
                value,
                quantity: formula.quantity,
                unit: formula.unit,
                kind: Kind::Step { formula, inputs: entry.from, lines },
                from,
            },
            What::Read(look_up) => {
                let LookUp { what, symbol, quantity, unit, .. } = look_up;
                let words = format!("{what}, read from {}", look_up.table);
                let kind = Kind::LookUp(look_up);
                Node { symbol: symbol.into(), words, value, quantity, unit, kind, from }
            }
            What::Context(name) => {
                let known = [&gases.air, &gases.exhaust];
                let gas = known.into_iter().find(|gas| gas.name() == name);
                let (symbol, quantity, kind) = match gas {
                    Some(gas) => ("gas", "a gas", Kind::Gas(gas.composition())),
                    None if Some(&name) == turbine_map.as_ref() => {
                        ("map", "a turbine map", Kind::Map(origin("turbine.map", &name)))
                    }
                    None => ("map", "a compressor map", Kind::Map(origin("map.table", &name))),
                };
                Node { symbol: symbol.into(), words: name, value, quantity, unit: "", kind, from }
            }
        }
    });
    let nodes: Vec<Node> = nodes.collect();
    let outputs = noting.outputs.into_inner().into_iter().map(|(key, node)| Output { key, node }).collect();
    Record { title, nodes, outputs }
}
