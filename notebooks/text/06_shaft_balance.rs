// ---
// jupyter:
//   jupytext:
//     text_representation:
//       extension: .rs
//       format_name: percent
//   kernelspec:
//     display_name: Rust (shaftwork)
//     language: rust
//     name: shaftwork
// ---

// %% [markdown]
// # The balance on the shaft
//
// Compressor and turbine sit on one shaft. What the one takes the other must give, from exhaust that the engine makes of the
// very air that the compressor delivers. So nothing here can be worked out alone: air flow, shaft speed, exhaust pressure
// and power are found together. This notebook solves that balance over engine speed, says from where a boost can be held,
// and follows boost in time after the throttle opens. Engine, maps and candidates are the invented ones of the first notebook.
//
// | symbol | meaning | symbol | meaning |
// |---|---|---|---|
// | W | air flow | p_m, p_3 | inlet and exhaust manifold pressure |
// | Pi | compressor pressure ratio | PR_t | turbine expansion ratio |
// | N | shaft speed | A/R | area over radius of the turbine housing |
// | P_c, P_t | power of compressor and turbine | T_3 | exhaust temperature before the turbine |

// %%
// :dep shaftwork = { path = "..", default-features = false, features = ["notebook"] }
use shaftwork::prelude::*;

// %%
let study = Study::demo()?;
let car = study.installation.clone();
let blend = study.fuels[1].clone();
let b = study.candidates.iter().find(|candidate| candidate.name() == "B").ok_or("no B")?.clone();
let c = study.candidates.iter().find(|candidate| candidate.name() == "C").ok_or("no C")?.clone();
let turbine_b = b.housings()[0].turbine.clone();
let [c_small, c_large] = [c.housings()[0].turbine.clone(), c.housings()[1].turbine.clone()];
assert!(c_small.area() < c_large.area());

// %% [markdown]
// ## One engine speed
//
// Four relations must close: the engine breathes what the compressor passes; that flow is the air flow; turbine and
// compressor exchange the same power; and the manifold pressure is the one asked for, with what the turbine does not need
// going through the wastegate. They are solved by Newton's method. The rows at the end say what the plain formulas leave of each.
// Manifold pressures are absolute here, not counted above the barometer; a pressure of 190 kPa is 102 kPa above it on this site.

// %%
let control = Control::manifold(kpa(190.0))?;
let at = operating_line(&car, &b, &turbine_b, &blend, control, &[rpm(4500.0)])?;
let point = at.points[0].1.clone()?;
assert!(point.left.iter().all(|gap| gap.abs() < 1e-9));
// What the turbine gives, the compressor takes: no bearings are counted apart here.
assert!((point.shaft_power / point.compressor_power - 1.0).abs() < 1e-9);
point

// %% [markdown]
// ## The operating line
//
// Below some engine speed the exhaust has nothing to spare: the wastegate is shut and the boost is what it is. Where the
// state would lie left of the surge line, the boost is taken as held down on that line: by the driver's throttle or an early wastegate,
// for nothing does it by itself. From there on the wastegate regulates.

// %%
let speeds: Vec<ShaftSpeed> = (8..=30).map(|k| rpm(250.0 * f64::from(k))).collect();
let line_b = operating_line(&car, &b, &turbine_b, &blend, control, &speeds)?;
line_b.clone()

// %%
let from = line_b.threshold;
assert!(matches!(from.held(), Onset::At(speed) if speed > rpm(2800.0) && speed < rpm(4000.0)), "{from:?}");
from

// %% [markdown]
// ## How hot the exhaust is
//
// The turbine lives on the exhaust's heat. At full load someone has seen a temperature, here 900 degC at 245 kW and 7200 rpm. What
// the pistons take and what stays in unburned gas is known there, so the rest of the fuel's heat went through the walls. At another
// state the walls take more or less of it: their share falls with fuel flow to the power 0.2, since heat transfer follows pressure and gas
// velocity to the power 0.8. So a slow engine has a cooler exhaust, and boost comes later than full-load heat would promise.

// %%
let walls = wall_share_seen(&car, &blend)?.ok_or("the temperature is held")?;
assert!(walls.si() > 0.10 && walls.si() < 0.25, "{walls}");
{
let title = format!("Exhaust before the turbine; walls at full load take {:.0} % of the fuel's heat", walls.percent());
let mut temperatures = table(title, ["engine speed", "p_m", "T_3"]);
for (speed, found) in line_b.points.iter().step_by(4) {
    let found = found.as_ref().map_err(|error| error.to_string())?;
    temperatures.row([speed, &found.manifold_pressure, &found.exhaust_temperature]);
}
temperatures.evcxr_display();
};

// %%
let mut hot = car.clone();
hot.exhaust.seen_at = None;
let as_hot = operating_line(&hot, &b, &turbine_b, &blend, control, &speeds)?;
let (Onset::At(balanced), Onset::At(held)) = (line_b.threshold.exhaust, as_hot.threshold.exhaust) else { return Err("no threshold".into()) };
assert!(balanced > held);
println!("the exhaust drives 190 kPa from {:.0} rpm; 900 degC at every speed would say {:.0} rpm", balanced.rpm(), held.rpm());

// %% [markdown]
// ## Heat on its way
//
// A turbine mounted low stands behind a pipe that loses heat to the engine bay; a wrap keeps most of it. The other way heat is lost
// is through the housings: from the turbine into the air that the compressor has just compressed. Both are nearly constant flows of
// heat, so a slow engine with little gas feels them most. The conductance of the housings, 0.35 W/K, is from memory and worth a band
// of 0.1 to 0.6; the loss of a bare pipe, 70 W/(m2 K), one of 40 to 120.

// %%
fn exhaust_from(line: &OperatingLine) -> f64 {
    match line.threshold.exhaust { Onset::At(speed) => speed.rpm(), _ => f64::NAN }
}
let mut low_mounted = car.clone();
low_mounted.exhaust.pipe = Some(ExhaustPipe::new(mm(50.0), m(1.2))?);
let mut wrapped = car.clone();
wrapped.exhaust.pipe = Some(ExhaustPipe::new(mm(50.0), m(1.2))?.outside(w_per_m2_k(20.0))?);
let warm_b = b.clone().heat_flow(watt_per_k(0.35))?;
let line_bare = operating_line(&low_mounted, &b, &turbine_b, &blend, control, &speeds)?;
let line_wrapped = operating_line(&wrapped, &b, &turbine_b, &blend, control, &speeds)?;
let line_warm = operating_line(&car, &warm_b, &turbine_b, &blend, control, &speeds)?;
assert!(exhaust_from(&line_b) < exhaust_from(&line_wrapped) && exhaust_from(&line_wrapped) < exhaust_from(&line_bare));
assert!(exhaust_from(&line_b) < exhaust_from(&line_warm));
let mut heat = table("From the turbine into the compressed air, through the housings", ["engine speed", "W", "heat", "warmer by"]);
for (speed, found) in line_warm.points.iter().step_by(8) {
    let found = found.as_ref().map_err(|error| error.to_string())?;
    let flow = found.housing_heat.ok_or("no heat")?;
    heat.row([speed, &found.air, &format!("{:.0} W", flow.watt()), &format!("{:.1} K", flow.si() / found.air.si() / 1010.0)]);
}
heat

// %%
let mut from = table("The exhaust drives 190 kPa in the manifold", ["turbine", "from"]);
for (what, line) in [("at the manifold", &line_b), ("behind 1.2 m of wrapped pipe", &line_wrapped),
    ("behind 1.2 m of bare pipe", &line_bare), ("at the manifold, heat into the charge", &line_warm)] {
    from.row([&what, &format!("{:.0} rpm", exhaust_from(line))]);
}
from

// %% [markdown]
// ## Housings side by side
//
// Common practice, no source: a smaller housing brings boost earlier and costs exhaust pressure at the top. C is a larger unit,
// and its surge line, not its exhaust, keeps the boost back at low speed: a housing cannot cure that.

// %%
let line_small = operating_line(&car, &c, &c_small, &blend, control, &speeds)?;
let line_large = operating_line(&car, &c, &c_large, &blend, control, &speeds)?;
fn top(line: &OperatingLine) -> f64 {
    line.points.last().and_then(|(_, point)| point.as_ref().ok()).map_or(f64::NAN, |point| point.exhaust_pressure.kpa())
}
assert!(exhaust_from(&line_small) < exhaust_from(&line_large));
assert!(top(&line_small) > top(&line_large));
fn surge_from(line: &OperatingLine) -> f64 {
    match line.threshold.surge { Onset::At(speed) => speed.rpm(), _ => f64::NAN }
}
let mut limits = table("190 kPa can be held", ["candidate", "driven by the exhaust from", "right of the surge line from"]);
for (name, line) in [("B", &line_b), ("C, A/R 20.8 mm", &line_small), ("C, A/R 26.9 mm", &line_large)] {
    limits.row([&name, &format!("{:.0} rpm", exhaust_from(line)), &format!("{:.0} rpm", surge_from(line))]);
}
assert!(surge_from(&line_small) > exhaust_from(&line_small) && surge_from(&line_large) > exhaust_from(&line_large));
limits

// %%
line_figures("B, and C with two housings", &[
    ("B".to_string(), &line_b), ("C, A/R 20.8 mm".to_string(), &line_small), ("C, A/R 26.9 mm".to_string(), &line_large),
])?

// %% [markdown]
// ## One entry or two
//
// A divided housing keeps two groups of cylinders apart up to the wheel, so that the pulse of one does not spend itself in the other's
// pipe. A pulse gives more than its mean: here a swing of 60 %, from memory for two cylinders to an entry at low speed, of whose gain
// three quarters are left. On a common log there is no pulse to keep, and the wall between the entries only costs.

// %%
let on_log = turbine_b.clone().with_divided_entry(DividedEntry::equal(ManifoldKind::CommonLog)?);
let apart = turbine_b.clone().with_divided_entry(DividedEntry::equal(ManifoldKind::KeptApart { swing: percent(60.0) })?);
let line_log = operating_line(&car, &b, &on_log, &blend, control, &speeds)?;
let line_apart = operating_line(&car, &b, &apart, &blend, control, &speeds)?;
assert!(exhaust_from(&line_apart) < exhaust_from(&line_b) && exhaust_from(&line_b) < exhaust_from(&line_log));
let mut from = table("The exhaust drives 190 kPa in the manifold", ["housing", "from"]);
for (what, line) in [("undivided", &line_b), ("divided, common log", &line_log), ("divided, pulses kept apart", &line_apart)] {
    from.row([&what, &format!("{:.0} rpm", exhaust_from(line))]);
}
from

// %% [markdown]
// The boost itself is the same with all three: up to 3390 rpm it is B's surge line that keeps it back, above it the wastegate. What the
// housing changes is the exhaust pressure.

// %%
line_figures("B, its housing undivided and divided", &[
    ("undivided".to_string(), &line_b), ("divided, common log".to_string(), &line_log), ("divided, kept apart".to_string(), &line_apart),
])?.figures()[3].clone()

// %% [markdown]
// ## What the driver feels
//
// The line above is steady: it says what comes in the end, not when. Now the engine runs at 3000 rpm with 60 kPa in the
// manifold, the throttle opens, and the engine speed rises by 900 rpm a second, about a middle gear. Rotor, charge pipes and exhaust
// manifold have to be filled with energy and gas first. The rotor's inertia is scaled from an anchor with a band of 40 %. The inlet
// manifold itself takes the pressure before the throttle at once, so the curves start there, near 100 kPa, and not at 60; the wave in
// their first tenth of a second is the gas in the pipes, which swings against the compressor. Each curve ends where 190 kPa is reached.

// %%
let stores = Stores::new(kg_m2(4.5e-5), litre(6.5), litre(2.2))?;
let sweep = Sweep::Rising(rpm(3000.0), rpm_per_s(900.0));
let arrival_b = Sweeper::new(&car, &b, &turbine_b, &blend, stores)?.arrival(sweep, kpa(60.0), kpa(190.0), second(6.0))?;
let arrival_c = Sweeper::new(&car, &c, &c_large, &blend, stores)?.arrival(sweep, kpa(60.0), kpa(190.0), second(6.0))?;
fn after(arrival: &Arrival) -> f64 {
    arrival.ninety.map_or(f64::NAN, |(time, _)| time.si())
}
assert!(after(&arrival_b) < after(&arrival_c), "the larger unit comes later");
arrival_b.clone()

// %%
sweep_figures("In gear from 3000 rpm", &[("B".to_string(), &arrival_b), ("C, A/R 26.9 mm".to_string(), &arrival_c)])?

// %%
// Twice the inertia, about twice the time: the gas in the pipes is the smaller part. At a held engine speed:
let held_at = Sweep::Held(rpm(4500.0));
let heavier = Stores::new(kg_m2(9.0e-5), litre(6.5), litre(2.2))?;
let one = Sweeper::new(&car, &b, &turbine_b, &blend, stores)?.arrival(held_at, kpa(60.0), kpa(190.0), second(6.0))?;
let two = Sweeper::new(&car, &b, &turbine_b, &blend, heavier)?.arrival(held_at, kpa(60.0), kpa(190.0), second(6.0))?;
let ratio = after(&two) / after(&one);
assert!(ratio > 1.6 && ratio < 2.2, "{ratio}");
println!("nine tenths of the way from ambient to 190 kPa after {:.2} s and {:.2} s: {ratio:.2} times", after(&one), after(&two));

// %% [markdown]
// ## A gear change
//
// At 7000 rpm the throttle shuts for 0.35 s while the rotor still spins: the compressor pumps against a shut door, and a recirculation
// valve must let its air back or it surges deeply. Then the engine lands where the next gear puts it, and the boost is not far away.

// %%
let in_fourth = Gear {
    mass: kg(655.0), wheel: mm(278.0), gearing: fraction(1.24 * 3.9),
    driveline: Efficiency::new(0.88)?, turning: fraction(1.12), resistance: percent(4.0),
};
let shift = Shift {
    from: rpm(7000.0), lasts: second(0.35), throttle: fraction(0.3), exhaust: deg_c(550.0),
    valve: Some(Wastegate::new(mm(30.0), kpa_gauge(0.0))?.area()),
};
let recovery = {
    let sweeper = Sweeper::new(&car, &b, &turbine_b, &blend, stores)?;
    let lands = Sweep::InGear(rpm(7000.0 * 1.24 / 1.55), in_fourth);
    let without = sweeper.recovery(Shift { valve: None, ..shift }, lands, kpa(190.0), second(6.0));
    assert!(matches!(without, Err(SweepError::TurnsBack { .. })));
    sweeper.recovery(shift, lands, kpa(190.0), second(6.0))?
};
assert!(after(&recovery.after) > 0.05 && after(&recovery.after) < 1.0);
println!("nine tenths of the way from ambient to 190 kPa {:.2} s after the throttle opens; the valve has to pass {:.0} g/s; without it the flow turns back",
    after(&recovery.after), recovery.valve_passes.g_per_s());
sweep_figures("From 7000 to 5600 rpm, the throttle open again", &[("B".to_string(), &recovery.after)])?

// %% [markdown]
// ## Up the hill
//
// A control that measures above the barometer holds less absolute pressure the higher the road climbs: power falls, the turbocharger
// is spared. One that measures absolute pressure keeps the power, and the turbocharger pays in shaft speed.

// %%
{
let mut top = car.clone();
top.site = Site::at_altitude(m(2200.0))?.air_temperature(deg_c(12.0))?;
let gate = Wastegate::new(mm(38.0), kpa_gauge(60.0))?;
let (home, high) = (car.site.pressure(), top.site.pressure());
let mut told = Vec::new();
let mut rows = table("At 2200 m and 6500 rpm", ["the control holds", "p_m", "power", "N"]);
for (name, holds) in [("pressure above ambient", BoostControl::Gauge(kpa(190.0).above(home))), ("absolute pressure", BoostControl::Absolute(kpa(190.0)))] {
    let line = operating_line(&top, &b, &turbine_b, &blend, Control::held_by(&gate, holds, high)?, &[rpm(6500.0)])?;
    let at = line.points[0].1.clone()?;
    rows.row([&name, &at.manifold_pressure, &at.power, &at.shaft_speed]);
    told.push(at);
}
assert!(told[1].power > told[0].power && told[1].shaft_speed > told[0].shaft_speed);
rows.evcxr_display();
};

// %% [markdown]
// ## What moves the power
//
// The derivatives of the balanced state to every input are exact: they follow from the relations that close it. The bars show what a
// per cent more of each input does to the power, the manifold pressure held; of a temperature that is about 3 K, since a per cent is one of
// its absolute value. Cylinders come whole and are left out.

// %%
{
let mut slopes = input_slopes(&car, &b, &turbine_b, &blend, control, rpm(6000.0))?;
slopes.sort_by(|a, b| b.power_per_cent().abs().total_cmp(&a.power_per_cent().abs()));
slopes.retain(|slope| slope.key != "engine.cylinders");
assert!(slopes[0].power_per_cent() > 0.0);
let moved: Vec<(String, f64)> = slopes.iter().take(10).map(|slope| (slope.words(), slope.power_per_cent() / 1e3)).collect();
bars("A per cent more of an input, at 6000 rpm and 190 kPa", "change of power, kW", &moved)?.evcxr_display();
};

// %% [markdown]
// ## Three engines
//
// The same map with its flows scaled to the engine, the same boost. Would a practitioner believe it?

// %%
{
let sized = |litres: f64| -> Result<(f64, f64, f64), Box<dyn std::error::Error>> {
    let k = litres / 1.862;
    let bore = mm(84.0 * k.cbrt());
    let mut other = car.clone();
    other.engine = Engine::four_stroke(4, bore, bore, CompressionRatio::new(9.2)?)?.volumetric_efficiency(percent(97.0))?;
    other.intake.loss = Loss::new(kpa_diff(3.0), kg_per_s(0.25 * k))?;
    other.cooler = ChargeCooler::new(Effectiveness::new(0.75)?, Loss::new(kpa_diff(8.0), kg_per_s(0.22 * k))?);
    other.exhaust.seen_at = Some(SeenAt::new(kw(245.0 * k), rpm(7200.0))?);
    other.exhaust.back_pressure = Loss::new(kpa_diff(9.0), kg_per_s(0.27 * k))?;
    let map = b.map();
    let scaled = map.altered("scaled", "demonstration map B, scaled", 1.0 / k.sqrt(), |p| {
        shaftwork::compressor::LinePoint { flow: p.flow * k, ..p }
    })?;
    let unit = Candidate::with_map("scaled", scaled);
    let turbine = Turbine::from_effective_area(turbine_b.area() * k, percent(10.0))?.with_wheel(mm(63.0 * k.sqrt()))?;
    let line = operating_line(&other, &unit, &turbine, &blend, control, &speeds)?;
    let stores = Stores::new(kg_m2(4.5e-5 * k.powf(2.5)), litre(6.5 * k), litre(2.2 * k))?;
    let arrival = Sweeper::new(&other, &unit, &turbine, &blend, stores)?.arrival(held_at, kpa(60.0), kpa(190.0), second(6.0))?;
    let Onset::At(from) = line.threshold.held() else { return Err("no threshold".into()) };
    let last = line.points.last().ok_or("no line")?.1.clone()?;
    Ok((from.rpm(), arrival.ninety.ok_or("no boost")?.0.si(), last.power.kw()))
};
let three = [1.0, 1.862, 3.0].map(|litres| (litres, sized(litres)));
let mut rows = table("190 kPa with everything scaled", ["engine", "held from", "nine tenths of the way, at 4500 rpm", "power at 7500 rpm"]);
for (litres, found) in &three {
    let (from, time, power) = found.as_ref().map_err(|error| error.to_string())?;
    rows.row([&litre(*litres), &format!("{from:.0} rpm"), &format!("after {time:.2} s"), &kw(*power)]);
}
rows.evcxr_display();
let times: Vec<f64> = three.iter().map(|(_, found)| found.as_ref().map_or(f64::NAN, |found| found.1)).collect();
assert!(times[0] < times[1] && times[1] < times[2], "larger rotors take longer");
};

// %% [markdown]
// Scaled in everything, the three hold their boost from nearly the same engine speed, as they must, and the time grows with the size of
// the rotor: its energy goes with the cube of the diameter, the power that feeds it with the square. About 115 kW for each
// litre at 1 bar of boost at 7500 rpm, at 1150 m, is what such engines give. What a practitioner would doubt: 0.3 s at 4500 rpm is quick.
// The exhaust follows the heat balance of each moment at once, heat that goes into a cold manifold is not counted, and the demonstration's
// surge lines reach far to the right, which a real unit of this size would undercut. The order of the answers is sound, the tenths
// of a second are not.
//
// **Cautions.** A wheel that overspeeds or surges hard can break, and a hot turbine housing sets oil and fuel alight. These figures
// release nothing for use; keep to the makers' limits, have the work checked by qualified people, and follow local law.
