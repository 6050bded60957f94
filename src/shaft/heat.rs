//! The temperature before the turbine: one figure at every state, or the engine's energy balance.

use super::chain::Gases;
use super::installation::{Exhaust, FuelPlan, Installation};
use crate::engine::{
    ExhaustPipe, Figures, air_heat, air_per_fuel, demand, exhaust_heat, exhaust_of_fuel, exhaust_temperature,
    heat_at_temperature, pipe_conductance, pipe_inlet_temperature, pipe_outlet_temperature, piston_share,
    unburned_share, wall_share, wall_share_at_flow,
};
use crate::formula::{FormulaError, Giver, Plain, Scalar};
use crate::gas::{Gas, heat_capacity, heat_capacity_ratio, viscosity};
use crate::quantity::{Fraction, Quantity};

/// What gives the temperature before the turbine.
#[derive(Clone, Copy)]
pub(crate) enum Heat<S> {
    /// The same at every state.
    Held(S),
    /// What work, walls and unburned gas leave.
    Balanced(Shares<S>),
}

/// What does not change while the state is looked for.
#[derive(Clone, Copy)]
pub(crate) struct Shares<S> {
    indicated: S,
    unburned: S,
    /// Moist air per fuel.
    ratio: S,
    /// Share of the walls, and the fuel flow at which it is known.
    walls: [S; 2],
    pipe: Option<Pipe<S>>,
}

/// The pipe to the turbine. Its gas has the properties of the temperature as stated.
#[derive(Clone, Copy)]
struct Pipe<S> {
    bore: S,
    length: S,
    outside: S,
    /// Temperature of what surrounds it: the ambient air's.
    around: S,
    viscosity: S,
    heat_capacity: S,
}

impl<S: Scalar> Pipe<S> {
    fn new(
        pipe: &ExhaustPipe,
        gas: &Gas,
        g: &impl Giver<S>,
        [stated, around]: [S; 2],
    ) -> Result<Self, FormulaError> {
        Ok(Self {
            bore: g.give("exhaust.pipe_bore", "", pipe.bore()),
            length: g.give("exhaust.pipe_length", "", pipe.length()),
            outside: g.give("exhaust.pipe_outside", "", pipe.loses()),
            around,
            viscosity: viscosity::step(stated)?,
            heat_capacity: heat_capacity::step(gas, stated)?,
        })
    }
    fn conductance(&self, flow: S) -> Result<S, FormulaError> {
        pipe_conductance::step(flow, self.bore, self.length, self.viscosity, self.heat_capacity, self.outside)
    }
    fn outlet(&self, inlet: S, flow: S) -> Result<S, FormulaError> {
        let through = self.conductance(flow)?;
        pipe_outlet_temperature::step(inlet, self.around, through, flow, self.heat_capacity)
    }
    fn inlet(&self, outlet: S, flow: S) -> Result<S, FormulaError> {
        let through = self.conductance(flow)?;
        pipe_inlet_temperature::step(outlet, self.around, through, flow, self.heat_capacity)
    }
}

impl Pipe<f64> {
    fn lift<S: Scalar>(&self) -> Pipe<S> {
        Pipe {
            bore: S::lit(self.bore),
            length: S::lit(self.length),
            outside: S::lit(self.outside),
            around: S::lit(self.around),
            viscosity: S::lit(self.viscosity),
            heat_capacity: S::lit(self.heat_capacity),
        }
    }
}

/// What the energy balance needs of a state.
#[derive(Clone, Copy)]
pub(crate) struct Burned<S> {
    pub fuel: S,
    pub pumping: S,
    pub manifold_temperature: S,
}

/// The exhaust before the turbine.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Hot<S> {
    pub temperature: S,
    pub gamma: S,
}

impl<S: Scalar> Heat<S> {
    /// From the temperature as stated. Where it stands beside the power and speed at which it was seen, the share of the
    /// walls follows from it.
    pub fn new(
        exhaust: &Exhaust,
        gases: &Gases,
        g: &impl Giver<S>,
        figures: &Figures<S>,
        around: S,
    ) -> Result<Self, FormulaError> {
        let stated = g.give("exhaust.temperature", "", exhaust.temperature);
        let Some(seen) = &exhaust.seen_at else { return Ok(Self::Held(stated)) };
        let power = g.give("exhaust.temperature_power", "", seen.power());
        let speed = g.give("exhaust.temperature_speed", "", seen.speed());
        let manifold = g.give("exhaust.temperature_manifold", "", seen.manifold());
        let pumping = g.give("exhaust.temperature_pumping", "", seen.pumping());
        let f = Figures { speed, ..*figures };
        let found = demand(&f, power, pumping)?;
        let ratio = air_per_fuel::step(f.lambda, f.ratio, f.humidity)?;
        let unburned = unburned_share::step(&gases.exhaust, ratio, f.heating_value)?;
        let brought = air_heat::step(&gases.air, manifold, ratio)?;
        let pipe =
            exhaust.pipe.map(|pipe| Pipe::new(&pipe, &gases.exhaust, g, [stated, around])).transpose()?;
        let before = match &pipe {
            Some(pipe) if !seen.is_before_pipe() => {
                pipe.inlet(stated, exhaust_of_fuel::step(found.fuel, ratio)?)?
            }
            _ => stated,
        };
        let heat = heat_at_temperature::step(&gases.exhaust, before)?;
        let indicated = found.indicated_efficiency;
        let work =
            piston_share::step(indicated, pumping, f.displacement, speed, found.fuel, f.heating_value)?;
        let walls = wall_share::step(f.heating_value, work, unburned, brought, ratio, heat)?;
        Ok(Self::Balanced(Shares { indicated, unburned, ratio, walls: [walls, found.fuel], pipe }))
    }

    /// What gives the temperature.
    pub fn by(&self) -> &'static str {
        match self {
            Self::Held(_) => "as stated",
            Self::Balanced(Shares { pipe: Some(_), .. }) => "engine::pipe_outlet_temperature",
            Self::Balanced(_) => "engine::exhaust_temperature",
        }
    }

    /// The exhaust of a state.
    pub fn hot(
        &self,
        gases: &Gases,
        figures: &Figures<S>,
        burned: &Burned<S>,
    ) -> Result<Hot<S>, FormulaError> {
        let temperature = match self {
            Self::Held(temperature) => *temperature,
            Self::Balanced(shares) => shares.temperature(gases, figures, burned)?,
        };
        Ok(Hot { temperature, gamma: heat_capacity_ratio::step(&gases.exhaust, temperature)? })
    }
}

impl<S: Scalar> Shares<S> {
    fn temperature(&self, gases: &Gases, f: &Figures<S>, burned: &Burned<S>) -> Result<S, FormulaError> {
        let Burned { fuel, pumping, manifold_temperature } = *burned;
        let work =
            piston_share::step(self.indicated, pumping, f.displacement, f.speed, fuel, f.heating_value)?;
        let [walls, known] = self.walls;
        let walls = wall_share_at_flow::step(walls, known, fuel)?;
        let brought = air_heat::step(&gases.air, manifold_temperature, self.ratio)?;
        let heat = exhaust_heat::step(f.heating_value, work, walls, self.unburned, brought, self.ratio)?;
        let before = exhaust_temperature::step(&gases.exhaust, bearable(heat))?;
        match &self.pipe {
            Some(pipe) => pipe.outlet(before, exhaust_of_fuel::step(fuel, self.ratio)?),
            None => Ok(before),
        }
    }
}

/// The share of the fuel's heat that the walls take where the exhaust temperature was seen; nothing where that is the same
/// at every state.
///
/// ```
/// use shaftwork::prelude::*;
/// let study = Study::demo()?;
/// let walls = wall_share_seen(&study.installation, &study.fuels[0])?.unwrap();
/// // A spark-ignition engine at full load loses a tenth to a quarter to its chamber walls (common practice, no source).
/// assert!((0.10..0.25).contains(&walls.si()));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
///
/// [`FormulaError`]: a figure leaves the range of its formula.
pub fn wall_share_seen(
    installation: &Installation,
    plan: &FuelPlan,
) -> Result<Option<Fraction>, FormulaError> {
    let Some(seen) = installation.exhaust.seen_at else { return Ok(None) };
    let gases = Gases::of(installation, plan)?;
    let running = (plan.lambda, installation.humidity()?);
    let figures = Figures::of(&installation.engine, &plan.fuel, running, seen.speed())?;
    let around = installation.site.temperature().si();
    Ok(match Heat::new(&installation.exhaust, &gases, &Plain, &figures, around)? {
        Heat::Held(_) => None,
        Heat::Balanced(shares) => Some(Fraction::from_si_unchecked(shares.walls[0])),
    })
}

/// Heat per mass of exhaust that a state on a solver's way may carry; what it settles on is judged by the formulas.
const BEARABLE: [f64; 2] = [5e4, 2.5e6];

fn bearable<S: Scalar>(heat: S) -> S {
    let [low, high] = BEARABLE;
    match heat.value() {
        _ if S::JUDGED => heat,
        value if value < low => S::lit(low),
        value if value > high => S::lit(high),
        _ => heat,
    }
}

impl Heat<f64> {
    /// The same figures as constants of another kind of number.
    pub fn lift<S: Scalar>(&self) -> Heat<S> {
        match self {
            Self::Held(temperature) => Heat::Held(S::lit(*temperature)),
            Self::Balanced(shares) => Heat::Balanced(Shares {
                indicated: S::lit(shares.indicated),
                unburned: S::lit(shares.unburned),
                ratio: S::lit(shares.ratio),
                walls: shares.walls.map(S::lit),
                pipe: shares.pipe.as_ref().map(Pipe::lift),
            }),
        }
    }
}
