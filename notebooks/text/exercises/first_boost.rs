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
// # First boost
//
// Exercises: how much air does a club hill-climb engine need at sea level on gasoline, and what must the compressor do for it? Every step can be done with a pocket calculator; the library checks it. The engine and all its data are invented.
//
// | given | | |
// |---|---|---|
// | four cylinders, four-stroke, bore and stroke | B, S | 84.0 mm, 84.0 mm |
// | power at the crank, engine speed | P, N | 180 kW, 6500 rpm |
// | brake specific fuel consumption | bsfc | 300 g/kWh |
// | relative air-fuel ratio; stoichiometric air-fuel ratio | lambda, AFR_st | 0.85; 14.57 |
// | volumetric efficiency, referred to the manifold | eta_v | 95 % |
// | manifold temperature | T_m | 45 degC |
// | gas constant of dry air | R | 287.05 J/(kg K) |
// | barometer; air temperature at the compressor inlet | p_0, T_01 | 101.325 kPa; 25 degC |
// | loss of the filter, loss of the charge cooler | dp_f, dp_c | 3 kPa, 6 kPa |
// | isentropic efficiency of the compressor; ratio of specific heats of air | eta_c, gamma | 72 %; 1.40 |
// | reference of the compressor map | T_ref, p_ref | 288.15 K, 101.325 kPa |

// %%
// :dep shaftwork = { path = "../..", default-features = false, features = ["notebook"] }
use shaftwork::prelude::*;
use shaftwork::{charge, compressor, engine};

// %% [markdown]
// ## How a step shows itself
//
// Each formula of the library can show its equation with the numbers in it: `record` in place of the call. Here the mean piston speed, which is none of the exercises.

// %%
let step = engine::mean_piston_speed::record(mm(84.0), rpm(6500.0))?;
step

// %% [markdown]
// ## 1. Displacement
//
// Of all four cylinders.

// %% tags=["worked"]
let motor = Engine::four_stroke(4, mm(84.0), mm(84.0), CompressionRatio::new(9.2)?)?;
let displacement = motor.displacement()?;
// By hand: 4 x pi/4 x 0.84^2 x 0.84 = 1.8621 litres
assert!((displacement.litre() - 1.8621).abs() < 1e-4);
exercise("displacement", displacement, percent(1.0))?

// %% [markdown]
// ## 2. Air flow
//
// The fuel follows from the power and the consumption, the air from the fuel. Mind the hour in g/kWh.

// %% tags=["worked"]
let fuel = kg_per_s(180.0 * 0.300 / 3600.0);
let air = fuel * (0.85 * 14.57);
// By hand: 15.0 g/s of fuel, 12.3845 times as much air
assert!((air.g_per_s() - 185.77).abs() < 0.01);
exercise("air flow", air, percent(1.0))?

// %% [markdown]
// ## 3. Manifold pressure
//
// Absolute. The engine fills its displacement once in two revolutions, at manifold temperature, eta_v times.

// %% tags=["worked"]
let manifold = engine::manifold_pressure(&Gas::dry_air(), air, deg_c(45.0), percent(95.0), displacement, rpm(6500.0))?;
// By hand: 0.18577 x 287.05 x 318.15/(0.95 x 1.8621e-3 x 54.167) = 177.06 kPa
assert!((manifold.kpa() - 177.06).abs() < 0.05);
// The same on record gives the key what the answer becomes with the usual mistakes: 45 in place of 318.15 K.
let steps = engine::manifold_pressure::record(&Gas::dry_air(), air, deg_c(45.0), percent(95.0), displacement, rpm(6500.0))?;
exercise("manifold pressure", manifold, percent(1.0))?.steps(&steps)?.barometer(kpa(101.325))?

// %% [markdown]
// ## 4. Pressure ratio of the compressor
//
// Total pressures before and behind the compressor: every loss counts.

// %% tags=["worked"]
let ratio = charge::required_pressure_ratio(manifold, kpa_diff(6.0), kpa(101.325), kpa_diff(3.0))?;
// By hand: (177.06 + 6)/(101.325 - 3) = 1.8618
assert!((ratio.ratio() - 1.8618).abs() < 1e-3);
let steps = charge::required_pressure_ratio::record(manifold, kpa_diff(6.0), kpa(101.325), kpa_diff(3.0))?;
exercise("pressure ratio", ratio, percent(1.0))?.steps(&steps)?.barometer(kpa(101.325))?

// %% [markdown]
// The steps, for the discussion afterwards:

// %% tags=["worked"]
charge::required_pressure_ratio::record(manifold, kpa_diff(6.0), kpa(101.325), kpa_diff(3.0))?

// %% [markdown]
// ## 5. Corrected flow
//
// What to look up in the map: the flow at the inlet, 25 degC and behind the filter, brought to the map's reference.

// %% tags=["worked"]
let inlet = charge::inlet_pressure(kpa(101.325), kpa_diff(3.0))?;
let corrected = compressor::corrected_mass_flow(air, deg_c(25.0), inlet, kelvin(288.15), kpa(101.325))?;
// By hand: 0.18577 x sqrt(298.15/288.15) x 101.325/98.325 = 0.19473 kg/s
assert!((corrected.corrected_kg_per_s() - 0.19473).abs() < 1e-4);
let steps = compressor::corrected_mass_flow::record(air, deg_c(25.0), inlet, kelvin(288.15), kpa(101.325))?;
let lossless = compressor::corrected_mass_flow(air, deg_c(25.0), kpa(101.325), kelvin(288.15), kpa(101.325))?;
exercise("corrected flow", corrected, percent(1.0))?.steps(&steps)?.mistake("the loss of the filter left out", lossless)?

// %% [markdown]
// ## 6. Temperature behind the compressor
//
// Total temperature, with one ratio of specific heats for all temperatures.

// %% tags=["worked"]
let (efficiency, gamma) = (Efficiency::new(0.72)?, HeatCapacityRatio::new(1.4)?);
let hot = compressor::outlet_temperature_constant_gamma(deg_c(25.0), ratio, efficiency, gamma)?;
// By hand: 298.15 x [1 + (1.8618^0.28571 - 1)/0.72] = 378.6 K
assert!((hot.kelvin() - 378.6).abs() < 0.1);
let steps = compressor::outlet_temperature_constant_gamma::record(deg_c(25.0), ratio, efficiency, gamma)?;
let (rise, words) = (hot.kelvin() - 298.15, "this is the rise; add the inlet temperature");
exercise("outlet temperature", hot, percent(0.5))?.steps(&steps)?.mistake(words, kelvin(rise))?.mistake(words, deg_c(rise))?
