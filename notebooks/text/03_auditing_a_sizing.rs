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
// # Auditing a sizing
//
// A reviewer gets a result and asks: where does this number come from, and is it right? Every number here has a record: the formula, its inputs with their values, and where each was handed in. Three mistakes that people really make are put into the demonstration below. Two are found by walking the record; one the library refuses, and the formula behind it on record says why. Each is put right. The demonstration is invented.
//
// | symbol | meaning | symbol | meaning |
// |---|---|---|---|
// | P | crank power | m | margin to a limit |
// | p_0, p_m | ambient and manifold pressure, absolute | boost | manifold pressure above the barometer |
// | T_01, p_01 | state before the compressor, total | Δp, `dp` | pressure loss |
// | N, N_c | shaft speed, corrected speed | W, W_c | air flow, corrected flow |
// | T_ref, p_ref | reference conditions of a map | Π | pressure ratio, total to total |
//
// As an index, lim marks a limit and ref a reference. Each row of a record says in words what its equation takes.

// %%
// :dep shaftwork = { path = "..", default-features = false, features = ["notebook"] }
use shaftwork::prelude::*;
use shaftwork::study::SourceFile;

// %% [markdown]
// ## A sound record first
//
// The most power of candidate B on the ethanol blend, and what each of its numbers rests on, counted by how well the inputs are known.

// %%
let sizing = Study::demo()?.size()?;
let sound = sizing.record_of_most_power("B", "ethanol blend")?;
let power = sound.output("power").ok_or("no power")?;
assert!((sound.nodes()[power].value / 1e3 - 247.7).abs() < 0.5);
sound

// %% [markdown]
// From the power down, two hops at a time. The power itself was searched for: the greatest at which no limit is exceeded. Its row names the limit that was met, and the margin to it is zero. A symbol is the one of the equation in its row; in brackets stands the number that was put in for it, where that has another name or a row.

// %%
sound.down("power", 2)?

// %% [markdown]
// And the other way: what would move if the cooler's effectiveness were wrong?

// %%
let moved = sound.up("cooler.effectiveness")?;
assert!(moved.rows.len() > 20 && !moved.rows.iter().any(|row| row.what.starts_with("indicated_efficiency")));
moved

// %% [markdown]
// ## First mistake: absolute for gauge
//
// The knock limit of the pump fuel was noted as 203 kPa *absolute* in the manifold, from the tuning gauge. Someone typed it as gauge pressure. The study is read without complaint: 203 kPa of boost is not impossible.

// %%
fn with(study: &Study, file: &str, old: &str, new: &str) -> Result<Study, Box<dyn std::error::Error>> {
    let mut files: Vec<SourceFile> = study.files.clone();
    let found = files.iter_mut().find(|f| f.name == file).ok_or("no such file")?;
    if !found.text.contains(old) {
        return Err(format!("{file} does not say {old}").into());
    }
    found.text = found.text.replace(old, new);
    Ok(Study::from_texts(&files)?)
}
let wrong = with(&sizing.study, "hill-climb.toml", "\"115 kPa gauge\"", "\"203 kPa gauge\"")?.size()?;
let suspect = wrong.record_of_most_power("B", "95 RON E10")?;
let honest = sizing.record_of_most_power("B", "95 RON E10")?;
fn value(record: &Record, key: &str) -> Result<f64, Box<dyn std::error::Error>> {
    let node = record.output(key).or_else(|| record.input(key)).ok_or("no such number")?;
    Ok(record.nodes()[node].value)
}
fn kilowatts(record: &Record) -> Result<f64, Box<dyn std::error::Error>> {
    Ok(value(record, "power")? / 1e3)
}
let gain = kilowatts(&suspect)? - kilowatts(&honest)?;
assert!(gain > 30.0, "{gain}");
println!("{:.0} kW on pump fuel, where it was {:.0} kW", kilowatts(&suspect)?, kilowatts(&honest)?);

// %% [markdown]
// Too good for pump fuel at a compression ratio of 9.2. Walk down from the boost margin: one hop.

// %%
suspect.down("margin to boost limit of the fuel", 1)?

// %% [markdown]
// The limit that the margin works with is 203 kPa above the barometer, which is 291 kPa in the manifold. The source in the row says "knock seen above it": the tuning gauge reads absolute pressure, so the limit is 203 - 88 = 115 kPa gauge. The formula adds p_0 itself; it must not be in the figure already.

// %%
let limit = value(&suspect, "fuel.most_boost")? / 1e3;
let ambient = sizing.study.installation.site.pressure().kpa();
let absolute = limit + ambient;
assert!((absolute - 291.3).abs() < 0.5);
assert!((203.0 - ambient - 115.0).abs() < 0.5);
println!("{limit:.0} kPa gauge is {absolute:.0} kPa absolute at this site");

// %% [markdown]
// ## Second mistake: pounds an hour for pounds a minute
//
// The cooler's loss was measured at 29 lb/min and typed as 29 lb/h. That is 60 times less flow for the same loss.

// %%
let old = "at_flow = { value = \"0.22 kg/s\"";
let swapped = with(&sizing.study, "hill-climb.toml", old, "at_flow = { value = \"29 lb/h\"")?;
let refused = swapped.size().err().ok_or("the mistake went through")?.to_string();
assert!(refused.ends_with("check cooler.loss and cooler.at_flow"), "{refused}");
println!("{refused}");

// %% [markdown]
// The library stops: no cooler loses that much. What is refused has no record to walk, but the message names the formula and the two inputs to check. Record that one formula, with the air flow of the sound record, and read its first line.

// %%
let flow = kg_per_s(value(&sound, "air_flow")?);
let stated = pa_diff(value(&sound, "cooler.loss")?);
let loss = shaftwork::charge::loss_at_flow::record(stated, flow, lb_per_h(29.0))?;
let relative = loss.lines[0].value;
assert!((relative - 67.0).abs() < 1.0);
loss

// %% [markdown]
// The flow stands at 67 times its reference, so the loss is stretched by 4500. A factor near 60 between two flows of one machine is an hour taken for a minute. With the right unit it is the 8 kPa that were measured, stretched from 0.22 to 0.25 kg/s:

// %%
let mended = shaftwork::charge::loss_at_flow(stated, flow, lb_per_min(29.0))?;
// 29 x 0.45359237/60 = 0.21924 kg/s, by hand
assert!((mended.kpa_diff() - 8.0 * (flow.kg_per_s() / 0.21924).powi(2)).abs() < 0.01);
assert!((mended.kpa_diff() - 10.0).abs() < 0.2);
mended

// %% [markdown]
// ## Third mistake: the map's reference
//
// Map B is corrected to 298.15 K and 100 kPa. Someone copied its front matter from another map: 288.15 K and 101.325 kPa. Nothing fails; every flow read from the map is 3 % off.

// %%
fn margin(record: &Record, limit: &str) -> Result<f64, Box<dyn std::error::Error>> {
    Ok(100.0 * value(record, &format!("margin to {limit}"))?)
}
let once = with(&sizing.study, "map-b.csv", "reference temperature: 298.15 K", "reference temperature: 288.15 K")?;
let wrong = with(&once, "map-b.csv", "reference pressure: 100 kPa", "reference pressure: 101.325 kPa")?.size()?;
let suspect = wrong.record_of_most_power("B", "ethanol blend")?;
println!("power            {:5.1} kW, where it was {:5.1} kW", kilowatts(&suspect)?, kilowatts(&sound)?);
let surge = [margin(&suspect, "surge")?, margin(&sound, "surge")?];
let choke = [margin(&suspect, "choke")?, margin(&sound, "choke")?];
println!("margin to surge  {:5.1} %,  where it was {:5.1} %", surge[0], surge[1]);
println!("margin to choke  {:5.1} %,  where it was {:5.1} %", choke[0], choke[1]);
assert!((kilowatts(&suspect)? / kilowatts(&sound)? - 0.99).abs() < 0.005);
assert!(surge[0] - surge[1] > 2.0 && choke[0] - choke[1] < -1.5);

// %% [markdown]
// The power moves by a hundredth, because B is stopped by its top speed line. The margins move by more: the point seems to lie further from surge, and nearer to choke, than it does. Walk down from the corrected flow and compare the two records hop by hop: the air flow is the same kind of number, the references are not, and their row names the file and what it says of itself.

// %%
suspect.down("corrected_flow", 1)?

// %%
fn correction(record: &Record) -> Result<f64, Box<dyn std::error::Error>> {
    Ok(value(record, "corrected_flow")? / value(record, "air_flow")?)
}
// The two references differ by sqrt(298.15/288.15) x 101.325/100 in corrected flow.
let ratio = correction(&suspect)? / correction(&sound)?;
assert!((ratio - 1.0307).abs() < 2e-3, "{ratio}");
println!("corrected flow over air flow: {:.4} here, {:.4} in the sound record, {:+.1} %",
    correction(&suspect)?, correction(&sound)?, 100.0 * (ratio - 1.0));

// %% [markdown]
// Three per cent of flow is about four points of B's surge margin. B has more than 40 %; of a margin planned at 10 % more than a third would not be there. A map's reference is therefore always given by value, never by the name of a standard, and it stands in the record of every number read from the map.
//
// ## What to take along
//
// - Ask of any surprising number: what was it made from, one hop at a time. In `report.html` the same hops are links.
// - A factor of 60, 2.2, 6.9 or 14.5 between two numbers of one kind is a unit. A difference of one barometer is gauge taken for absolute. Three to five per cent of flow is a map's reference.
// - `shaftwork diff` names the changed inputs between two results and what moved because of each; `shaftwork recheck` shows that a result is still what its inputs give.
