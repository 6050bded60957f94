//! How a balanced state answers to each of its inputs: exact derivatives through the closed relations.

use super::bench::{Bench, Solved};
use super::line::{Control, Line};
use super::plant::{Closing, Plant};
use super::state::{State, Unknowns};
use crate::formula::{Context, Dual, FormulaError, Giver, Plain, Scalar, Surface};
use crate::gas::{Gas, WaterGas, burn_elements};
use crate::quantity::*;
use crate::record::symbol_and_words;
use crate::shaft::chain::{Case, Gases, Setting};
use crate::shaft::operating::NotFound;
use crate::shaft::{Candidate, FuelPlan, Installation};
use crate::turbine::Turbine;
use core::cell::{Cell, RefCell};
use nalgebra::{SMatrix, SVector};

/// What the slopes are of.
const OUTPUTS: usize = 6;

/// The slopes of a balanced state to one input, each in SI units per SI unit of the input.
#[derive(Clone, Debug, PartialEq)]
pub struct InputSlope {
    /// The input's key in a study file, such as `engine.bore`.
    pub key: &'static str,
    /// What it belongs to, where the key alone does not say it.
    pub of: String,
    /// The input's value in SI units.
    pub value: f64,
    /// Its SI unit.
    pub unit: &'static str,
    /// Power at the crankshaft.
    pub power: f64,
    /// Manifold pressure.
    pub manifold_pressure: f64,
    /// Exhaust manifold pressure.
    pub exhaust_pressure: f64,
    /// Shaft speed.
    pub shaft_speed: f64,
    /// Manifold temperature.
    pub manifold_temperature: f64,
    /// Share of the exhaust through the wastegate.
    pub wastegate: f64,
}

impl InputSlope {
    /// What the input is, in words, and what it belongs to where that has to be said.
    pub fn words(&self) -> String {
        let (_, words) = symbol_and_words(self.key);
        if self.of.is_empty() { words.into() } else { format!("{words}, {}", self.of) }
    }
    /// Change of power in watts for a change of the input by one per cent of its value.
    pub fn power_per_cent(&self) -> f64 {
        self.power * self.value * 0.01
    }
}

/// An input met on the way, once.
#[derive(Clone)]
struct Met {
    key: &'static str,
    of: String,
    value: f64,
    unit: &'static str,
}

/// Notes every input.
#[derive(Default)]
struct Noting(RefCell<Vec<Met>>);

impl Giver<f64> for Noting {
    fn give<Q: Quantity>(&self, key: &'static str, of: &str, value: Q) -> f64 {
        let mut met = self.0.borrow_mut();
        if !met.iter().any(|known| known.key == key && known.of == of) {
            met.push(Met { key, of: of.into(), value: value.si(), unit: Q::si_unit() });
        }
        value.si()
    }
    fn gas(&self, gas: &impl Context, from: &[f64]) {
        Plain.gas(gas, from);
    }
    fn read(&self, surface: &impl Surface, x: f64, y: f64) -> f64 {
        Plain.read(surface, x, y)
    }
}

type Slope = Dual<1>;

/// Gives every input as a constant but one, which carries a derivative of one.
struct Seeded<'a> {
    seed: &'a Met,
    /// How vapour, and elements and lambda, which make the gases, move with it.
    air: Cell<f64>,
    exhaust: RefCell<[f64; 5]>,
}

impl Giver<Slope> for Seeded<'_> {
    fn give<Q: Quantity>(&self, key: &'static str, of: &str, value: Q) -> Slope {
        let mut number = Slope::lit(value.si());
        number.eps[0] = f64::from(u8::from(self.seed.key == key && self.seed.of == of));
        number
    }
    fn gas(&self, _gas: &impl Context, from: &[Slope]) {
        match from {
            [vapour] => self.air.set(vapour.eps[0]),
            [..] => {
                if let Ok(from) = <&[Slope; 5]>::try_from(from) {
                    self.exhaust.replace(from.map(|part| part.eps[0]));
                }
            }
        }
    }
    fn read(&self, surface: &impl Surface, x: Slope, y: Slope) -> Slope {
        Slope::surface(surface, x, y)
    }
}

/// The gaps and what is asked of the state, in one kind of number.
struct Reading<S> {
    gaps: [S; 4],
    outputs: [S; OUTPUTS],
}

fn outputs<S: Scalar>(state: &State<S>) -> [S; OUTPUTS] {
    let wastegate = -(state.turbine_flow / state.exhaust) + 1.0;
    [
        state.power,
        state.manifold_pressure,
        state.turbine_inlet,
        state.shaft_speed,
        state.manifold_temperature,
        wastegate,
    ]
}

/// How the make of the gases moves with an input, per unit of it.
struct Shift {
    air: f64,
    /// Mass fractions of carbon, hydrogen and oxygen, lambda, vapour.
    exhaust: [f64; 5],
    /// The half width of a difference along it.
    half: f64,
}

impl Shift {
    fn along(air: f64, exhaust: [f64; 5]) -> Option<Self> {
        let most = exhaust.iter().fold(air.abs(), |most, part| most.max(part.abs()));
        (most > 0.0).then(|| Self { air, exhaust, half: 1e-5 / most })
    }
}

impl Bench<'_> {
    /// The gases with their make shifted.
    fn shifted(&self, shift: &Shift, by: f64) -> Result<Gases, FormulaError> {
        let vapour = self.case.installation.site.vapour().si();
        let [c, h, o] = self.case.plan.fuel.record(&Plain)?.elements;
        let [dc, dh, d_o, d_lambda, d_vapour] = shift.exhaust.map(|part| part * by);
        let air = |moved: f64| Gas::humid_air(VapourFraction::from_si_unchecked(vapour + moved));
        let lambda = self.case.plan.lambda.si() + d_lambda;
        let burned_in = air(d_vapour)?;
        let exhaust = burn_elements([c + dc, h + dh, o + d_o], lambda, &burned_in, WaterGas::default())?;
        Ok(Gases { air: air(shift.air * by)?, exhaust })
    }

    fn reading<S: Scalar>(
        &self,
        setting: &Setting<S>,
        gases: &Gases,
        at: &Unknowns<S>,
        [throttle, closing]: [f64; 2],
        kind: fn(f64) -> Closing,
        base: &Setting<f64>,
    ) -> Result<Reading<S>, FormulaError> {
        let plant = Plant { setting: base, gases, map: self.map, throttle, closing: kind(closing) };
        let state = setting.state(gases, self.map, S::lit(throttle), at, None)?;
        Ok(Reading { gaps: plant.left(setting, at, &state)?, outputs: outputs(&state) })
    }

    /// The slopes of a state, closed with the wastegate holding a manifold pressure or shut, to every input.
    ///
    /// The implicit function theorem: with x the unknowns and p an input, dx/dp = -(dg/dx)^-1 dg/dp for the gaps g.
    /// Where an input changes the make of a gas, that part of dg/dp is a central difference.
    pub fn slopes(
        &self,
        setting: &Setting<f64>,
        solved: &Solved,
        throttle: f64,
        closing: Closing,
    ) -> Result<Vec<InputSlope>, NotFound> {
        let (value, kind): (f64, fn(f64) -> Closing) = match closing {
            Closing::Manifold(value) => (value, Closing::Manifold),
            Closing::Power(value) => (value, Closing::Power),
            Closing::Gate(value) => (value, Closing::Gate),
            Closing::Position(value) => (value, Closing::Position),
            Closing::Speed(value) => (value, Closing::Speed),
        };
        let held = [throttle, value];
        let at = &solved.at;
        let by_unknown = {
            let all = [at.air, at.speed, at.position, at.expansion];
            let seeded: [Dual<4>; 4] = core::array::from_fn(|i| Dual::input(all[i], i));
            let [air, speed, position, expansion] = seeded;
            let unknowns = Unknowns { air, speed, position, expansion };
            self.reading(&setting.lift(), &self.gases, &unknowns, held, kind, setting)?
        };
        let slopes = SMatrix::<f64, 4, 4>::from_fn(|row, column| by_unknown.gaps[row].eps[column]);
        let lu = slopes.lu();

        let noting = Noting::default();
        let speed = ShaftSpeed::from_si_unchecked(setting.way.speed);
        let given = Giver::<f64>::give(&noting, "target.speed", "", speed);
        Setting::new(&self.case, &self.gases, &noting, given)?;
        let constant = at.lit::<Slope>();
        let mut rows = Vec::new();
        for seed in noting.0.into_inner() {
            let giver = Seeded { seed: &seed, air: Cell::new(0.0), exhaust: RefCell::new([0.0; 5]) };
            let given = giver.give("target.speed", "", speed);
            let seeded = Setting::new(&self.case, &self.gases, &giver, given)?;
            let direct = self.reading(&seeded, &self.gases, &constant, held, kind, setting)?;
            let mut gaps = direct.gaps.map(|gap| gap.eps[0]);
            let mut out = direct.outputs.map(|output| output.eps[0]);
            if let Some(shift) = Shift::along(giver.air.get(), *giver.exhaust.borrow()) {
                let read = |by: f64| {
                    let gases = self.shifted(&shift, by)?;
                    // A setting holds properties of the gases.
                    let setting = Setting::new(&self.case, &gases, &Plain, speed.si())?;
                    self.reading(&setting, &gases, at, held, kind, &setting)
                };
                let (low, high) = (read(-shift.half)?, read(shift.half)?);
                let slope = |low: f64, high: f64| (high - low) / (2.0 * shift.half);
                gaps = core::array::from_fn(|i| gaps[i] + slope(low.gaps[i], high.gaps[i]));
                out = core::array::from_fn(|k| out[k] + slope(low.outputs[k], high.outputs[k]));
            }
            let right = SVector::<f64, 4>::from_fn(|i, _| -gaps[i]);
            let Some(moved) = lu.solve(&right) else {
                return Err(NotFound::NotConverged { steps: solved.steps, left: f64::NAN });
            };
            let [power, manifold_pressure, exhaust_pressure, shaft_speed, manifold_temperature, wastegate] =
                core::array::from_fn(|k| {
                    out[k] + (0..4).map(|i| by_unknown.outputs[k].eps[i] * moved[i]).sum::<f64>()
                });
            rows.push(InputSlope {
                key: seed.key,
                of: seed.of,
                value: seed.value,
                unit: seed.unit,
                power,
                manifold_pressure,
                exhaust_pressure,
                shaft_speed,
                manifold_temperature,
                wastegate,
            });
        }
        Ok(rows)
    }
}

/// The slopes of the balanced state at an engine speed to every input, with what is asked for held as far as the
/// wastegate can: see [`operating_line`](super::operating_line).
///
/// The power rises with displacement, falls with back pressure; which inputs carry a result is read off here.
///
/// # Errors
///
/// [`NotFound`] where there is no state.
pub fn input_slopes(
    installation: &Installation,
    candidate: &Candidate,
    turbine: &Turbine,
    plan: &FuelPlan,
    control: Control,
    speed: ShaftSpeed,
) -> Result<Vec<InputSlope>, NotFound> {
    let case = Case { installation, candidate, turbine, plan };
    let mut line = Line::new(case, candidate.map(), control)?;
    let (solved, closing) = line.closed(speed)?;
    let bench = line.bench();
    bench.slopes(&bench.setting(speed), &solved, control.opening().si(), closing)
}
