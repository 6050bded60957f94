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
// # A complete sizing
//
// An invented club hill-climb single-seater is to make 245 kW at the crank, held from 6200 to 7200 rpm, at 1150 m and 24 degC. Three candidate turbochargers are at hand: **A**, second-hand, no published map, one wheel dimension read two ways; **B**, new, with a map; **C**, larger, with a map and two turbine housings. Engine, sellers, maps and prices do not exist.
//
// Two questions are asked of each: *does it reach the target, with what margins*, and *what is the most it gives on each fuel, and what stops it first*.
//
// | symbol | meaning | symbol | meaning |
// |---|---|---|---|
// | T_01, T_02 | compressor inlet, outlet total temperature | Π | compressor pressure ratio, total to total |
// | T_2s | outlet temperature without losses | η | isentropic efficiency |
// | h, s | specific enthalpy, specific entropy of the air | Δh | specific work of the compressor |
// | R | gas constant of the air | A/R | area over radius of a turbine housing |
//
// Pressures and temperatures are total and absolute unless the name says otherwise. Run the cells from the top; change a number and run on.

// %%
// :dep shaftwork = { path = "..", default-features = false, features = ["notebook"] }
use shaftwork::prelude::*;

// %% [markdown]
// ## The engine and the place
//
// Bore, stroke and compression ratio decide what a given air flow can do. The torque limit is the gearbox builder's figure.

// %%
let engine = Engine::four_stroke(4, mm(84.0), mm(84.0), CompressionRatio::new(9.2)?)?
    .volumetric_efficiency(percent(97.0))?
    .torque_limit(nm(390.0))?;
assert!((engine.displacement()?.litre() - 1.862).abs() < 0.001);
engine

// %%
let site = Site::at_altitude(m(1150.0))?
    .air_temperature(deg_c(24.0))?
    .humidity(RelativeHumidity::new(0.40)?)?;
// 13 % less pressure than at the sea: every compressor works harder here.
assert!((site.pressure() / kpa(101.325) - 0.871).abs() < 0.001);
site

// %% [markdown]
// ## The fuel
//
// The blend was measured at 71 % ethanol by volume; what a pump calls "85" may be anything from 51 to 83 % (ASTM D5798). Its stoichiometric ratio follows from its elements.

// %%
let blend = Fuel::ethanol_blend(percent(71.0), &Gasoline::typical())?.named("ethanol blend");
assert!((blend.stoichiometric_ratio()?.ratio() - 10.55).abs() < 0.01);
blend

// %% [markdown]
// ## The air the engine must breathe
//
// From the power: friction and pumping on top, the indicated efficiency below, and the mixture decides the air. The trade's rule that a pound of air a minute carries about 10 horsepower comes out; it does not go in.

// %%
let humidity = shaftwork::gas::humidity_ratio(site.vapour())?;
let running = Running::new(Lambda::new(0.85)?, kpa_diff(30.0)).humidity(humidity);
let air = air_demand(&engine, &blend, running, Target::crank(kw(245.0), rpm(6700.0)))?;
let horsepower_per_pound = air.power.hp() / air.air.lb_per_min();
assert!(horsepower_per_pound > 9.5 && horsepower_per_pound < 10.5);
air

// %% [markdown]
// ## The boost that takes
//
// Filter, cooler and pipes all cost pressure, and the compressor has to make it up: the pressure ratio is that of the whole chain, not manifold over barometer.

// %%
let installation = Installation {
    engine: engine.clone(),
    site: site.clone(),
    intake: Intake { loss: Loss::new(kpa_diff(3.0), kg_per_s(0.25))?, heating: kelvin_diff(2.0) },
    cooler: ChargeCooler::new(Effectiveness::new(0.75)?, Loss::new(kpa_diff(8.0), kg_per_s(0.22))?),
    exhaust: Exhaust {
        temperature: deg_c(900.0),
        // At full load; at every other speed and load the engine's heat balance gives it.
        seen_at: Some(SeenAt::new(kw(245.0), rpm(7200.0))?),
        pipe: None,
        back_pressure: Loss::new(kpa_diff(9.0), kg_per_s(0.27))?,
        efficiency: TurbineEfficiency::with_bearings(Efficiency::new(0.66)?),
        most_expansion: ExpansionRatio::new(3.0)?,
    },
    injectors: Injectors::new(4, cc_per_min(680.0), bar_diff(3.0), Component::n_heptane().density(), bar_diff(3.5))?,
    limits: UserLimits::default(),
};
let boost = boost_demand(&installation, &air, Efficiency::new(0.70)?)?;
let short_cut = boost.manifold_pressure / site.pressure();
assert!(boost.ratio.ratio() > short_cut + 0.15, "the losses must show");
boost

// %% [markdown]
// Any number can be opened. The record below is not typed beside the formula: it is the formula, evaluated with a number that writes down what is done to it.

// %%
shaftwork::compressor::outlet_temperature::record(
    &site.air()?, boost.inlet.temperature, boost.ratio, Efficiency::new(0.70)?)?

// %% [markdown]
// ## Candidate A: calipers only
//
// The inducer reads 46.4 mm at the blade tips and 48.2 mm at the contour. Each reading gives its own greatest flow, with a band of 12 % (one standard deviation) because blade angle and throat are unknown. They are not averaged.
//
// Each reading is then judged on a map estimated for it, with that map's band: one candidate for each. Notebook 05 shows what such an estimate stands on. The tip speed in the table above is more than the 420 m/s that are taken for a cast wheel of unknown make: the estimated map ends there, and there A is stopped.

// %%
let wheel = CompressorWheel::new(one_of([mm(46.4), mm(48.2)]), mm(61.0))?;
let chokes = wheel.choke(boost.ratio, Efficiency::new(0.70)?, &boost.inlet)?;
let [small, large] = [chokes[0].distance(air.air), chokes[1].distance(air.air)];
assert!(small < large && small > -2.0 && large < 2.0, "neither reading decides it");
chokes

// %%
let band = PowerBand::crank(kw(245.0), rpm(6200.0), rpm(7200.0))?;
let plan = FuelPlan { fuel: blend.clone(), lambda: Lambda::new(0.85)?, most_boost: Some(kpa_gauge(190.0)) };
let turbine_a = Turbine::from_area_over_radius(mm(17.8), mm(60.0))?;
let a = Candidate::from_wheel("A", &wheel)?;
let mut readings = table("Candidate A on the ethanol blend, each reading judged", ["reading", "reaches 245 kW", "most power", "stopped first by"]);
for read in &a {
    let judged = judge(&installation, read, &turbine_a, &plan, &band)?;
    assert!(matches!(judged.verdict, Verdict::Open(_)), "open for {}", read.label());
    let [reaches, most, stop] = judged.in_words();
    readings.row([&read.label(), &reaches, &most, &stop]);
}
readings

// %% [markdown]
// ## Candidate B: a map
//
// Thick lines are speed lines, thin ones efficiency. Left of the surge line and right of the ends of the speed lines the map says nothing, and is not asked.

// %%
let map_b = CompressorMap::from_csv("../data/demo/map-b.csv")?;
map_b

// %%
let turbine_b = Turbine::from_area_over_radius(mm(20.8), mm(63.0))?;
let b = Candidate::with_map("B", map_b.clone());
let point = operating_point(&installation, &b, &turbine_b, &plan, Target::crank(kw(245.0), rpm(6200.0)))?;
assert!(point.margins.iter().all(|margin| margin.margin.fraction() >= 0.0), "inside every limit, if barely");
point

// %%
let judged_b = judge(&installation, &b, &turbine_b, &plan, &band)?;
let most_b = judged_b.most.power.ok_or("B has no power within its limits")?;
assert!((most_b.kw() - 246.0).abs() < 3.0);
judged_b

// %% [markdown]
// ## All candidates, both fuels
//
// The study file `data/demo/hill-climb.toml` holds the same inputs with their sources; the command line reads it too.

// %%
let sizing = Study::demo()?.size()?;
let from_file = sizing.judgement("B", "ethanol blend").and_then(|j| j.most.power).ok_or("B gives no power")?;
assert!((from_file.kw() - most_b.kw()).abs() < 0.01, "the cells above and the study file agree");
sizing

// %% [markdown]
// On pump fuel the user's own boost limit stops B and C near 200 kW: no turbocharger cures that. A is stopped before by the top speed line of its estimated map, on either fuel. On the blend, C with the larger housing reaches the target across the band of its turbine's area, and the gearbox stops it first. B reaches it at the last speed line of its map; A is a bet on a reading. Friction, volumetric efficiency and turbine efficiency stand as given: their bands are not in these verdicts yet.

// %%
map_figure(&sizing, 2)?

// %% [markdown]
// ## What all this rests on

// %%
sizing.study.assumptions.clone()

// %% [markdown]
// **Not judged yet:** knock (the boost limit of the fuel stands in for it), oil, coolant and cost. When boost arrives is the subject of notebook 06.
//
// **Cautions.** These numbers help to choose and to plan; they release nothing for use. A wheel that overspeeds can burst, a lean or knocking engine fails at once, a leaking fuel or oil line near a turbine burns. Keep to the makers' limits, have pressure, fuel and brake work checked by qualified people, and follow local law.
