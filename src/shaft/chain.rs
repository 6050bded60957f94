//! The way from the inputs to an operating point, written once for every kind of number: with plain
//! numbers it is computed, with recording numbers it writes its own record.

use super::air_path::{AirWay, Path, stated};
use super::candidate::Candidate;
use super::heat::{Burned, Heat, Hot};
use super::installation::{FuelPlan, Installation};
use super::limits::Limit;
use super::warmed::{Warmed, warmed};
use super::{
    boost_margin, duty_margin, exhaust_pressure_margin, expansion_margin, mean_pressure_margin,
    power_to_drive, restrictor_margin, temperature_margin, torque_margin,
};
use crate::charge::{boost, loss_at_flow};
use crate::compressor::{density_ratio, power};
use crate::engine::{Demand, Figures, breathing_against, demand, exhaust_flow, pumping_pressure};
use crate::formula::{FormulaError, Giver, Scalar};
use crate::gas::{Gas, WaterGas, burn, density, gas_constant};
use crate::supply::{Injectors, all_injectors, injector_duty, injector_flow};
use crate::turbine::{
    self, Turbine, TurbineParts, TurbineState, expansion_ratio, expansion_work, nozzle_flow, wastegate_share,
    work_asked,
};

/// What an operating point is worked out for.
#[derive(Clone, Copy)]
pub(crate) struct Case<'a> {
    pub installation: &'a Installation,
    pub candidate: &'a Candidate,
    pub turbine: &'a Turbine,
    pub plan: &'a FuelPlan,
}

/// The gases that an operating point works with.
pub(crate) struct Gases {
    pub air: Gas,
    pub exhaust: Gas,
}

impl Gases {
    pub fn of(installation: &Installation, plan: &FuelPlan) -> Result<Self, FormulaError> {
        let air = installation.air()?;
        let exhaust = burn(&plan.fuel, plan.lambda, &air, WaterGas::default())?.gas;
        Ok(Self { air, exhaust })
    }
}

impl Case<'_> {
    pub fn gases(&self) -> Result<Gases, FormulaError> {
        Gases::of(self.installation, self.plan)
    }
}

/// What does not change while the state is looked for.
#[derive(Clone, Copy)]
pub(crate) struct Setting<S> {
    pub way: AirWay<S>,
    pub(super) figures: Figures<S>,
    pub(super) back_pressure: [S; 2],
    pub(super) heat: Heat<S>,
    /// From the exhaust to the compressed air, where it is stated.
    pub(super) conductance: Option<S>,
    exhaust_constant: S,
    pub(super) turbine: TurbineParts<S>,
    injectors: InjectorSetting<S>,
}

#[derive(Clone, Copy)]
struct InjectorSetting<S> {
    count: S,
    rated: S,
    test_density: S,
    test_pressure: S,
    pressure: S,
    fuel_density: S,
}

impl<S: Scalar> InjectorSetting<S> {
    fn new(set: &Injectors, g: &impl Giver<S>, fuel_density: S) -> Self {
        Self {
            count: g.give("injectors.count", "", set.count()),
            rated: g.give("injectors.rated_flow", "", set.rated()),
            test_density: g.give("injectors.test_fluid_density", "", set.test_density()),
            test_pressure: g.give("injectors.test_pressure", "", set.test_pressure()),
            pressure: g.give("injectors.pressure_over_manifold", "", set.pressure()),
            fuel_density,
        }
    }
    fn duty(&self, fuel: S) -> Result<S, FormulaError> {
        let one = injector_flow::step(
            self.rated,
            self.test_density,
            self.test_pressure,
            self.pressure,
            self.fuel_density,
        )?;
        injector_duty::step(fuel, all_injectors::step(self.count, one)?)
    }
}

/// Values that the plain chain is worked out from and must come back to.
#[derive(Clone, Copy)]
pub(crate) struct Settled<S> {
    pub manifold_temperature: S,
    pub pumping: S,
    pub breathing: S,
}

/// What compressor and exhaust system load the turbine with.
#[derive(Clone, Copy)]
pub(crate) struct Load<S> {
    pub compressor_power: S,
    pub exhaust: S,
    pub turbine_outlet: S,
}

/// The turbine at an expansion ratio.
#[derive(Clone, Copy)]
pub(crate) struct Expansion<S> {
    pub flow: S,
    pub efficiency: S,
    pub power: S,
    /// What the bearings take, where that is not in the efficiency.
    pub loss: Option<S>,
}

/// The turbine at work.
#[derive(Clone, Copy)]
pub(crate) struct TurbineSide<S> {
    pub pressure: S,
    pub temperature: S,
    pub efficiency: S,
    pub power: S,
    /// What the shaft asks of it: compressor and bearings.
    pub asked: S,
    pub wastegate: S,
    /// The least expansion ratio that could do it; one where nothing is asked.
    pub least: Option<S>,
}

/// Figures that nothing else depends on.
#[derive(Clone, Copy)]
pub(crate) struct Outcome<S> {
    pub density_ratio: S,
    pub manifold_density: S,
    pub boost: S,
    pub duty: S,
}

/// What the limits of engine, fuel, injectors, turbine and user are held against.
#[derive(Clone, Copy)]
pub(crate) struct Reached<S> {
    pub torque: S,
    pub brake_pressure: S,
    pub air: S,
    pub manifold: S,
    pub exhaust_pressure: S,
    pub exhaust_temperature: S,
    pub duty: S,
    pub expansion: S,
}

impl<S: Scalar> Setting<S> {
    /// Everything fixed by the inputs alone.
    pub fn new(case: &Case<'_>, gases: &Gases, g: &impl Giver<S>, speed: S) -> Result<Self, FormulaError> {
        let Installation { engine, exhaust, injectors, .. } = case.installation;
        let way = AirWay::new(case.installation, &gases.air, g, speed)?;
        let lambda = g.give("fuel.lambda", "", case.plan.lambda);
        let fuel = case.plan.fuel.record(g)?;
        let [carbon, hydrogen, oxygen] = fuel.elements;
        g.gas(&gases.exhaust, &[carbon, hydrogen, oxygen, lambda, way.vapour]);
        case.turbine.bearings_once(exhaust.efficiency)?;
        let efficiency = g.give("exhaust.turbine_efficiency", "", exhaust.efficiency.overall());
        let figures = Figures {
            speed,
            displacement: way.displacement,
            bore: way.bore,
            stroke: way.stroke,
            compression: g.give("engine.compression_ratio", "", engine.compression_ratio()),
            work: g.give("engine.work_factor", "", engine.work()),
            lambda,
            heating_value: fuel.heating_value,
            ratio: fuel.ratio,
            humidity: way.humidity,
        };
        let conductance = case.candidate.heat_conductance();
        Ok(Self {
            heat: Heat::new(exhaust, gases, g, &figures, way.ambient[1])?,
            conductance: conductance
                .map(|given| g.give("candidate.heat_conductance", case.candidate.name(), given)),
            figures,
            way,
            back_pressure: stated(g, ["exhaust.back_pressure", "exhaust.at_flow"], &exhaust.back_pressure),
            exhaust_constant: gas_constant::step(&gases.exhaust)?,
            turbine: case.turbine.parts(efficiency, g)?,
            injectors: InjectorSetting::new(injectors, g, fuel.density),
        })
    }

    /// Air and fuel asked for, and the way of that air.
    pub fn air_side(
        &self,
        air: &Gas,
        power: S,
        settled: &Settled<S>,
    ) -> Result<(Demand<S>, Path<S>), FormulaError> {
        let demand = demand(&self.figures, power, settled.pumping)?;
        let path = self.way.path(air, demand.air, settled.manifold_temperature, settled.breathing)?;
        Ok((demand, path))
    }

    /// Compressor power, exhaust flow and the pressure after the turbine.
    pub fn load(&self, air: &Gas, flow: S, fuel: S, outlet: S) -> Result<Load<S>, FormulaError> {
        let exhaust = exhaust_flow::step(flow, fuel)?;
        let back_pressure = loss_at_flow::step(self.back_pressure[0], exhaust, self.back_pressure[1])?;
        Ok(Load {
            compressor_power: power::step(air, flow, self.way.inlet_temperature, outlet)?,
            exhaust,
            turbine_outlet: turbine::outlet_pressure::step(self.way.ambient[0], back_pressure)?,
        })
    }

    /// The turbine at an expansion ratio, whatever it must drive.
    pub fn expansion(
        &self,
        gas: &Gas,
        hot: &Hot<S>,
        (pressure, ratio): (S, S),
        shaft_speed: Option<S>,
    ) -> Result<Expansion<S>, FormulaError> {
        let at = TurbineState {
            inlet_pressure: pressure,
            inlet_temperature: hot.temperature,
            ratio,
            shaft_speed,
            gamma: hot.gamma,
            gas_constant: self.exhaust_constant,
        };
        let flow = self.turbine.flow(gas, &at)?;
        let efficiency = self.turbine.efficiency(gas, &at)?;
        let work = expansion_work::step(gas, hot.temperature, ratio, efficiency)?;
        let loss = match shaft_speed {
            Some(speed) => self.turbine.bearing_power(speed)?,
            None => None,
        };
        let power = self.turbine.pulsed(turbine::power::step(flow, work)?, &at)?;
        Ok(Expansion { flow, efficiency, power, loss })
    }

    /// The exhaust before the turbine, and what the heat through the housings does to air and exhaust.
    pub fn warmed(
        &self,
        gases: &Gases,
        (air, cold): (S, S),
        exhaust: S,
        burned: &Burned<S>,
    ) -> Result<(Hot<S>, Warmed<S>), FormulaError> {
        let hot = self.heat.hot(gases, &self.figures, burned)?;
        let warmed = warmed([&gases.air, &gases.exhaust], self.conductance, cold, [air, exhaust], &hot)?;
        Ok((hot, warmed))
    }

    /// The turbine at an expansion ratio, with a compressor to drive.
    pub fn turbine_side(
        &self,
        gas: &Gas,
        load: &Load<S>,
        (hot, warmed): &(Hot<S>, Warmed<S>),
        ratio: S,
        shaft_speed: Option<S>,
    ) -> Result<TurbineSide<S>, FormulaError> {
        let wheel = &warmed.wheel;
        let pressure = turbine::inlet_pressure::step(load.turbine_outlet, ratio)?;
        let at = self.expansion(gas, wheel, (pressure, ratio), shaft_speed)?;
        let asked = match at.loss {
            Some(loss) => power_to_drive::step(load.compressor_power, loss)?,
            None => load.compressor_power,
        };
        let least = if asked.value() > 0.0 {
            let each = work_asked::step(self.turbine.unpulsed(asked, ratio, wheel.gamma)?, load.exhaust)?;
            Some(expansion_ratio::step(gas, wheel.temperature, each, at.efficiency)?)
        } else {
            None
        };
        Ok(TurbineSide {
            pressure,
            temperature: hot.temperature,
            efficiency: at.efficiency,
            power: at.power,
            asked,
            wastegate: wastegate_share::step(at.flow, load.exhaust)?,
            least,
        })
    }

    /// The pumping pressure that the turbine side comes to.
    pub fn pumping(side: &TurbineSide<S>, path: &Path<S>) -> Result<S, FormulaError> {
        pumping_pressure::step(side.pressure, path.manifold)
    }

    /// The volumetric efficiency that the turbine side leaves.
    pub fn breathing(&self, side: &TurbineSide<S>, path: &Path<S>) -> Result<S, FormulaError> {
        breathing_against::step(self.way.breathing, self.figures.compression, side.pressure, path.manifold)
    }

    /// What follows from the settled state for reading.
    pub fn outcome(
        &self,
        air: &Gas,
        (demand, path): (&Demand<S>, &Path<S>),
        outlet: S,
        manifold_temperature: S,
    ) -> Result<Outcome<S>, FormulaError> {
        Ok(Outcome {
            density_ratio: density_ratio::step(path.ratio, self.way.inlet_temperature, outlet)?,
            manifold_density: density::step(air, path.manifold, manifold_temperature)?,
            boost: boost::step(path.manifold, self.way.ambient[0])?,
            duty: self.injectors.duty(demand.fuel)?,
        })
    }

    /// The flow through an effective area beside the turbine.
    pub fn gate_flow(&self, area: S, hot: &Hot<S>, (inlet, ratio): (S, S)) -> Result<S, FormulaError> {
        nozzle_flow::step(area, inlet, hot.temperature, ratio, hot.gamma, self.exhaust_constant)
    }

    /// Share of the time that the injectors are open for a fuel flow.
    pub fn duty(&self, fuel: S) -> Result<S, FormulaError> {
        self.injectors.duty(fuel)
    }

    /// Distances to the limits that do not concern the compressor, those of the engine first.
    pub fn distances(
        &self,
        case: &Case<'_>,
        air: &Gas,
        g: &impl Giver<S>,
        reached: &Reached<S>,
    ) -> Result<Vec<(Limit, S)>, FormulaError> {
        let Installation { engine, exhaust, injectors, limits, .. } = case.installation;
        let mut all = Vec::new();
        if let Some(limit) = engine.most_torque() {
            let limit = g.give("engine.torque_limit", "", limit);
            all.push((Limit::Torque, torque_margin::step(limit, reached.torque)?));
        }
        if let Some(limit) = limits.mean_pressure {
            let limit = g.give("limits.mean_pressure", "", limit);
            all.push((Limit::MeanPressure, mean_pressure_margin::step(limit, reached.brake_pressure)?));
        }
        if let Some(limit) = case.plan.most_boost {
            let limit = g.give("fuel.most_boost", "", limit);
            all.push((Limit::Boost, boost_margin::step(limit, self.way.ambient[0], reached.manifold)?));
        }
        if let Some(restrictor) = limits.restrictor {
            let most = restrictor.record(air, g, self.way.ambient)?;
            all.push((Limit::Restrictor, restrictor_margin::step(most, reached.air)?));
        }
        let longest = g.give("injectors.duty_limit", "", injectors.longest_duty());
        all.push((Limit::Injectors, duty_margin::step(longest, reached.duty)?));
        if let Some(limit) = limits.turbine_inlet {
            let limit = g.give("limits.turbine_inlet", "", limit);
            all.push((Limit::TurbineInlet, temperature_margin::step(limit, reached.exhaust_temperature)?));
        }
        if let Some(limit) = limits.exhaust_over_manifold {
            let limit = g.give("limits.exhaust_over_manifold", "", limit);
            let margin = exhaust_pressure_margin::step(limit, reached.exhaust_pressure, reached.manifold)?;
            all.push((Limit::ExhaustOverManifold, margin));
        }
        let most = g.give("exhaust.most_expansion", "", exhaust.most_expansion);
        all.push((Limit::ExpansionRatio, expansion_margin::step(most, reached.expansion)?));
        Ok(all)
    }
}

impl<S: Copy> Setting<S> {
    /// The same figures at another engine speed.
    pub fn at_speed(&self, speed: S) -> Self {
        let (mut way, mut figures) = (self.way, self.figures);
        way.speed = speed;
        figures.speed = speed;
        Self { way, figures, ..*self }
    }
}

impl Setting<f64> {
    /// The same figures as constants of another kind of number.
    pub fn lift<S: Scalar>(&self) -> Setting<S> {
        let pair = |[a, b]: [f64; 2]| [S::lit(a), S::lit(b)];
        let i = &self.injectors;
        Setting {
            way: self.way.lift(),
            figures: self.figures.lift(),
            back_pressure: pair(self.back_pressure),
            heat: self.heat.lift(),
            conductance: self.conductance.map(S::lit),
            exhaust_constant: S::lit(self.exhaust_constant),
            turbine: self.turbine.lift(),
            injectors: InjectorSetting {
                count: S::lit(i.count),
                rated: S::lit(i.rated),
                test_density: S::lit(i.test_density),
                test_pressure: S::lit(i.test_pressure),
                pressure: S::lit(i.pressure),
                fuel_density: S::lit(i.fuel_density),
            },
        }
    }
}
