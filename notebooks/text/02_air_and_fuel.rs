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
// # Air and fuel
//
// What the engine breathes and what it burns decide everything downstream. Three questions: what does a high-ethanol blend change, what do humid and thin air cost, and when does constant gamma mislead? Prices, people and places are invented; properties and standards are not.
//
// | symbol | meaning | symbol | meaning |
// |---|---|---|---|
// | AFR_st | stoichiometric air-fuel ratio, by mass of dry air | LHV | lower heating value of the liquid |
// | λ, `lambda` | air supplied over air needed | φ, `phi` | relative humidity |
// | c_p, `cp` | heat capacity at constant pressure | γ, `gamma` | ratio of specific heats |
// | Π, `pi` | pressure ratio, total to total | η, `eta` | isentropic efficiency, total to total |

// %%
// :dep shaftwork = { path = "..", default-features = false, features = ["notebook"] }
use shaftwork::prelude::*;
use shaftwork::fuel::{DIRECT_COOLING, PORT_COOLING, PumpGrade};
use shaftwork::gas::{WaterGas, burn};

// %% [markdown]
// ## A blend is a range before it is a number
//
// A pump that says "85" may deliver 51 to 83 % ethanol (ASTM D5798). Whoever assumes 85 has the mixture wrong by up to a fifth.

// %%
let gasoline = Gasoline::typical();
let flex = PumpGrade::all().into_iter().find(|grade| grade.standard == "ASTM D5798").ok_or("no such grade")?;
let [weak, strong] = flex.ends(&gasoline)?;
let [most_air, least_air] = [weak.stoichiometric_ratio()?.ratio(), strong.stoichiometric_ratio()?.ratio()];
// Assumed 85 %, delivered 51 %: the engine would run this much leaner than meant.
let assumed = Fuel::ethanol_blend(percent(85.0), &gasoline)?.stoichiometric_ratio()?.ratio();
assert!((most_air / assumed - 1.0 - 0.19).abs() < 0.01);
weak

// %%
strong

// %% [markdown]
// ## What the blend changes
//
// Against pump gasoline with 10 % ethanol at equal λ and efficiency: the air hardly changes, the fuel volume does. The injectors and the pump feel it.

// %%
fn blend(share: f64) -> Result<Fuel, FormulaError> {
    Fuel::ethanol_blend(percent(share), &Gasoline::typical())
}
fn volume(share: f64) -> Result<f64, FormulaError> {
    Ok(100.0 * (blend(share)?.volume_against(&blend(10.0)?)?.fraction() - 1.0))
}
assert!((volume(71.0)? - 27.0).abs() < 1.0);
curves("Fuel volume for the same energy, against E10", "ethanol, % by volume", "more fuel volume, %",
    &[Curve::sampled("volume", [10.0, 100.0], volume)])?

// %% [markdown]
// Per kilogram of air the energy is nearly the same for all of them: that is why a power target asks for almost the same air flow on any of these fuels.

// %%
fn energy(share: f64) -> Result<f64, FormulaError> {
    let fuel = blend(share)?;
    Ok(fuel.heating_value().mj_per_kg() / fuel.stoichiometric_ratio()?.ratio())
}
assert!((energy(100.0)? / energy(0.0)? - 1.0).abs() < 0.015);
curves("Energy that a kilogram of air can burn", "ethanol, % by volume", "LHV/AFR_st, MJ per kg of air",
    &[Curve::sampled("λ = 1", [0.0, 100.0], energy)])?

// %% [markdown]
// Evaporating fuel cools the charge. How much of that reaches the air depends on where it evaporates; both shares are from memory and wide: the bands run from the least to the most, the curves lie in their middle.

// %%
fn cooling(share: f64, taken: f64) -> Result<f64, FormulaError> {
    let cp = shaftwork::gas::heat_capacity(&Gas::dry_air(), kelvin(310.0))?;
    Ok(blend(share)?.charge_cooling(Lambda::new(0.85)?, fraction(taken), cp)?.kelvin_diff())
}
assert!((cooling(71.0, 1.0)? - 70.0).abs() < 8.0);
fn between(share: f64, [least, most]: [f64; 2]) -> Result<[f64; 3], FormulaError> {
    Ok([cooling(share, least)?, cooling(share, 0.5 * (least + most))?, cooling(share, most)?])
}
curves("Charge cooling by the fuel at λ = 0.85", "ethanol, % by volume", "cooling, K", &[
    Curve::sampled_with_band("direct injection", [0.0, 100.0], |v| between(v, DIRECT_COOLING)),
    Curve::sampled_with_band("port injection", [0.0, 100.0], |v| between(v, PORT_COOLING)),
])?

// %% [markdown]
// ## Humid air and thin air
//
// Water vapour displaces oxygen. On a hot, humid day that costs as much as a few hundred metres of altitude, and no boost gauge shows it.

// %%
let muggy = Site::at_altitude(m(0.0))?.air_temperature(deg_c(35.0))?.humidity(RelativeHumidity::new(0.60)?)?;
// 35 degC and 60 %: a thirtieth of the oxygen is gone
assert!((muggy.oxygen_lost()?.percent() - 3.33).abs() < 0.02);
muggy

// %%
fn lost(celsius: f64, phi: f64) -> Result<f64, FormulaError> {
    let humidity = RelativeHumidity::new(phi)?;
    Ok(Site::at_altitude(m(0.0))?.air_temperature(deg_c(celsius))?.humidity(humidity)?.oxygen_lost()?.percent())
}
curves("Oxygen lost to humidity at sea level", "air temperature, degC", "oxygen lost, %", &[
    Curve::sampled("relative humidity 100 %", [0.0, 40.0], |t| lost(t, 1.0)),
    Curve::sampled("relative humidity 60 %", [0.0, 40.0], |t| lost(t, 0.6)),
    Curve::sampled("relative humidity 30 %", [0.0, 40.0], |t| lost(t, 0.3)),
])?

// %%
let hill = Site::at_altitude(m(1150.0))?.air_temperature(deg_c(24.0))?.humidity(RelativeHumidity::new(0.40)?)?;
// A correction to standard air is refused up here: the standards stop at 7 %.
let correction = hill.power_correction(shaftwork::site::CorrectionStandard::Iso1585)?;
assert!(correction.outside.is_some() && correction.factor.fraction() > 1.1);
correction

// %% [markdown]
// ## Rich mixtures keep some of their energy
//
// Below λ = 1 the exhaust carries CO and H2. The energy they keep follows from the composition; the shortcut 1 - λ does not.

// %%
fn kept(lambda: f64) -> Result<f64, FormulaError> {
    let products = burn(&Fuel::gasoline()?, Lambda::new(lambda)?, &Gas::dry_air(), WaterGas::default())?;
    Ok(products.unburned_share.percent())
}
assert!((kept(0.85)? - 20.0).abs() < 0.2);
curves("Energy of gasoline left in the exhaust", "λ (dimensionless)", "share of the heating value, %", &[
    Curve::sampled("from the composition", [0.65, 1.0], kept),
    Curve::sampled("1 - λ", [0.65, 1.0], |lambda| Ok::<f64, FormulaError>(100.0 * (1.0 - lambda))),
])?

// %% [markdown]
// ## Constant gamma
//
// Textbooks calculate with γ = 1.4. For a compressor's outlet that reads about a degree too hot at a ratio of 3; efficiency worked back from measured temperatures comes out half a point too high. For hot exhaust it is out of the question.

// %%
use shaftwork::compressor::{outlet_temperature, outlet_temperature_constant_gamma};
fn difference(pi: f64) -> Result<f64, FormulaError> {
    let eta = Efficiency::new(0.72)?;
    let ratio = PressureRatio::new(pi)?;
    let hand = outlet_temperature_constant_gamma(deg_c(24.0), ratio, eta, HeatCapacityRatio::new(1.4)?)?;
    Ok((hand - outlet_temperature(&Gas::dry_air(), deg_c(24.0), ratio, eta)?).kelvin_diff())
}
assert!((difference(3.0)? - 1.1).abs() < 0.1);
// Worked back with gamma 1.4: the ideal rise over the rise that is measured.
let ideal = deg_c(24.0).kelvin() * (3.0_f64.powf(0.4 / 1.4) - 1.0);
let measured = ideal / 0.72 - difference(3.0)?;
assert!((ideal / measured - 0.725).abs() < 0.001);
curves("Constant γ = 1.4 against cp(T), η = 0.72", "pressure ratio, total to total (dimensionless)", "outlet reads too hot by, K",
    &[Curve::sampled("air from 24 degC", [1.0, 4.5], difference)])?

// %%
let exhaust = burn(&blend(71.0)?, Lambda::new(0.85)?, &hill.air()?, WaterGas::default())?.gas;
fn gamma(gas: &Gas, t: f64) -> Result<f64, FormulaError> {
    Ok(shaftwork::gas::heat_capacity_ratio(gas, kelvin(t))?.ratio())
}
assert!((gamma(&exhaust, 1173.0)? - 1.28).abs() < 0.02);
curves("Ratio of specific heats", "temperature, K", "γ (dimensionless)", &[
    Curve::sampled("air", [250.0, 1400.0], |t| gamma(&Gas::dry_air(), t)),
    Curve::sampled("exhaust", [250.0, 1400.0], |t| gamma(&exhaust, t)),
])?

// %% [markdown]
// The ideal gas itself is an assumption too. At compressor outlet conditions it misses the density of real air by this much:

// %%
let error = shaftwork::gas::ideal_density_error(kpa(270.0), deg_c(190.0))?;
assert!(error.percent() > 0.0 && error.percent() < 0.15);
println!("at 270 kPa and 190 degC the ideal gas law says {:.2} % too much density", error.percent());

// %% [markdown]
// ## In the units you think in
//
// Both units are shown until you choose: `Units::Si`, `Units::Trade` or `Units::Both`. The choice holds for this session, for quantities, tables and the flow axis of maps; steps of a calculation stay in SI.

// %%
show_units(Units::Trade)?;
assert_eq!(in_chosen_units(hill.pressure()), hill.pressure().show("psia", 3)?);
hill

// %%
show_units(Units::Both)?;
hill
