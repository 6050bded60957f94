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
// # Reading a compressor map
//
// A map shows what one compressor does at one inlet state. Everything else is conversion: bring the engine's flow and the shaft's speed to the map's reference, read between the lines, and bring the answer back. The map is the invented one of candidate B.
//
// | symbol | meaning | symbol | meaning |
// |---|---|---|---|
// | W | air flow | T_01, p_01 | state at the compressor inlet, total |
// | W_c | corrected flow | T_ref, p_ref | reference conditions of the map |
// | N | corrected speed | s | position along a speed line, 0 at surge, 1 at choke |
// | Π, `pi` | pressure ratio, total to total | η, `eta` | isentropic efficiency, total to total |

// %%
// :dep shaftwork = { path = "..", default-features = false, features = ["notebook"] }
use shaftwork::prelude::*;
use shaftwork::compressor::{Reading, corrected_mass_flow, density_ratio, mass_flow_from_corrected};
use shaftwork::compressor::{outlet_temperature, shaft_speed_from_corrected};
use shaftwork::formula::Surface;

// %% [markdown]
// ## The map
//
// Speed lines from surge to choke, efficiency between them. Beyond its edges a map says nothing, and nothing is extrapolated here.

// %%
let study = Study::demo()?;
let map = study.candidates.iter()
    .find(|one| one.name() == "B").ok_or("no candidate B")?
    .map().clone();
map

// %% [markdown]
// ## Correcting
//
// The compressor sees Mach numbers, not kilograms. At 1150 m on a warm day the same corrected flow is less air. The formula on record, with its numbers:

// %%
let inlet = InletState { temperature: deg_c(26.0), pressure: kpa(85.3) };
let flow = kg_per_s(0.25);
let corrected = inlet.correct(flow, map.reference())?;
assert!((corrected.si() - 0.25 * (299.15_f64 / 298.15).sqrt() / 0.853).abs() < 1e-9); // by hand
let (t_ref, p_ref) = (map.reference().temperature(), map.reference().pressure());
corrected_mass_flow::record(flow, inlet.temperature, inlet.pressure, t_ref, p_ref)?

// %% [markdown]
// The reference matters. Two in common use differ by 3 % of flow; a map that does not state its reference by value is not a map.

// %%
let other = corrected_mass_flow(flow, inlet.temperature, inlet.pressure, kelvin(288.15), kpa(101.325))?;
let apart = other.si() / corrected.si() - 1.0;
assert!((apart - 0.03068).abs() < 1e-4); // (298.15/288.15)^0.5 x 101.325/100
println!("{other} to 288.15 K and 101.325 kPa: {:+.1} %", 100.0 * apart);

// %% [markdown]
// ## Reading between the lines
//
// Ask for a flow and a pressure ratio; the map answers with speed, efficiency and the distances to its edges.

// %%
let point = map.at_point(corrected, PressureRatio::new(2.6)?)?;
assert!((0.6..0.8).contains(&point.efficiency.si()));
point

// %% [markdown]
// How that efficiency was read is open: two roots place the point (its position along the lines and its speed), then the nodes around it count with these weights. Their sum is the value.

// %%
let reading = map.surface(Reading::Efficiency).look_up(corrected.si(), 2.6);
assert!((reading.value() - point.efficiency.si()).abs() < 1e-12);
let weights: f64 = reading.nodes.iter()
    .filter(|(name, ..)| !name.contains("slope"))
    .map(|(_, _, weight)| weight)
    .sum();
assert!((weights - 1.0).abs() < 1e-9); // a map of one constant efficiency must read as that constant
reading

// %% [markdown]
// ## Surge and choke
//
// Distance to surge is measured along the speed line: pressure ratio and flow at its surge end against those at the point. Another definition in use keeps the flow and asks how much higher the pressure ratio could go. They are different numbers; say which one you mean.

// %%
fn surge_ratio_at(map: &CompressorMap, flow: f64) -> Result<f64, Box<dyn std::error::Error>> {
    let speeds: Vec<f64> = map.speeds().map(|speed| speed.si()).collect();
    let (mut low, mut high) = (speeds[0], speeds[speeds.len() - 1]);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let end = map.on_line(corrected_rad_per_s(middle), fraction(0.0)).ok_or("outside the speeds")?;
        if end.flow.si() < flow { low = middle } else { high = middle }
    }
    Ok(map.on_line(corrected_rad_per_s(low), fraction(0.0)).ok_or("outside the speeds")?.ratio.si())
}
let low_flow = map.at_point(corrected_kg_per_s(0.17), PressureRatio::new(2.2)?)?;
let along = low_flow.surge.0.percent();
let upward = 100.0 * (surge_ratio_at(&map, 0.17)? / 2.2 - 1.0);
assert!(along > 0.0 && upward > 0.0 && (along - upward).abs() > 1.0);
println!("distance to surge along the speed line {along:.0} %, at constant flow {upward:.0} %");

// %% [markdown]
// Beyond an edge there is an answer too: which edge it was.

// %%
let beyond = map.at_point(corrected_kg_per_s(0.10), PressureRatio::new(2.6)?).err().ok_or("inside the map")?;
assert_eq!(beyond.edge.words(), "left of the surge line");
println!("{beyond}");

// %% [markdown]
// ## What the engine gets: density
//
// Pressure is not the aim, density is. Compression heats, and the efficiency decides how much of the pressure ratio arrives as density before the cooler.

// %%
fn arriving(ratio: f64, eta: f64) -> Result<f64, FormulaError> {
    let pi = PressureRatio::from_si_unchecked(ratio);
    let hot = outlet_temperature(&Gas::dry_air(), deg_c(26.0), pi, Efficiency::from_si_unchecked(eta))?;
    Ok(density_ratio(pi, deg_c(26.0), hot)?.si())
}
assert!((arriving(2.6, 0.75)? - 1.81).abs() < 0.03);
let axes = ["pressure ratio, total to total (dimensionless)", "density ratio (dimensionless)"];
curves("Density ratio over the compressor", axes[0], axes[1], &[
    Curve::sampled("η = 0.78", [1.0, 3.5], |pi| arriving(pi, 0.78)),
    Curve::sampled("η = 0.65", [1.0, 3.5], |pi| arriving(pi, 0.65)),
    Curve::sampled("no heating", [1.0, 3.5], |pi| Ok::<f64, FormulaError>(pi)),
])?

// %% [markdown]
// ## Back to the shaft
//
// The speed on the map is a corrected one. On a hot day, or with air from behind the cooler, the same point turns faster: 15 K are 2.5 %.

// %%
let cool = shaft_speed_from_corrected(point.speed, deg_c(26.0), map.reference().temperature())?;
let hot = shaft_speed_from_corrected(point.speed, deg_c(41.0), map.reference().temperature())?;
assert!((hot.rpm() / cool.rpm() - 1.0248).abs() < 1e-3); // sqrt(314.15/299.15)
println!("{cool} at 26 degC, {hot} at 41 degC");

// %% [markdown]
// And the flow the other way: what the choke end of the highest line passes here, in this thin air.

// %%
let most = map.greatest_flow();
let here = mass_flow_from_corrected(most, inlet.temperature, inlet.pressure, t_ref, p_ref)?;
assert!(here.si() < 0.86 * most.si());
here
