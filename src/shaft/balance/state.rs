//! The whole chain at a state of the shaft, from the filter to the turbine, in every kind of number.

use crate::charge::{delivered_pressure, inlet_pressure};
use crate::compressor::{CompressorMap, mass_flow_from_corrected, shaft_speed_from_corrected};
use crate::engine::{air_flow, breathing_against, exhaust_flow, power_of_fuel_flow, pumping_pressure};
use crate::formula::{FormulaError, Scalar};
use crate::shaft::chain::{Gases, Setting};
use crate::shaft::heat::{Burned, Hot};
use crate::shaft::power_to_drive;
use crate::shaft::warmed::{Warmed, heated};
use crate::turbine::inlet_pressure as inlet_pressure_of_turbine;

/// Where the compressor works, what flows, and how far the turbine expands: the unknowns of the balance.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Unknowns<S> {
    /// Air flow, kg/s.
    pub air: S,
    /// Corrected speed, rad/s.
    pub speed: S,
    /// Position along the speed line.
    pub position: S,
    /// Turbine expansion ratio.
    pub expansion: S,
}

impl<S: Scalar> Unknowns<S> {
    /// From the numbers that a solver moves: shares of the map's greatest flow and highest speed, the position, and the
    /// root of the expansion ratio's excess over one. The flow of a turbine starts as that root, so in it it starts
    /// straight.
    pub fn of(map: &CompressorMap, [air, speed, position, root]: [S; 4]) -> Self {
        Self {
            air: air * map.greatest_flow().si(),
            speed: speed * map.highest_speed().si(),
            position,
            expansion: root * root + 1.0,
        }
    }
}

impl Unknowns<f64> {
    /// The other way round.
    pub fn scaled(&self, map: &CompressorMap) -> [f64; 4] {
        [
            self.air / map.greatest_flow().si(),
            self.speed / map.highest_speed().si(),
            self.position,
            (self.expansion - 1.0).max(0.0).sqrt(),
        ]
    }
    /// The same as constants of another kind of number.
    pub fn lit<S: Scalar>(&self) -> Unknowns<S> {
        Unknowns {
            air: S::lit(self.air),
            speed: S::lit(self.speed),
            position: S::lit(self.position),
            expansion: S::lit(self.expansion),
        }
    }
}

/// What the unknowns come to. The flows through compressor and engine, and the powers of turbine and
/// compressor, agree only in a balanced state.
#[derive(Clone, Copy, Debug)]
pub(crate) struct State<S> {
    pub inlet_pressure: S,
    pub corrected_flow: S,
    pub ratio: S,
    pub efficiency: S,
    /// The flow that the compressor passes where it works.
    pub compressor_flow: S,
    pub shaft_speed: S,
    /// The compressor's outlet temperature without heat from the turbine, and with it.
    pub cold_outlet: S,
    pub outlet_temperature: S,
    /// Heat from the turbine into the compressed air, where its way is known.
    pub housing_heat: Option<S>,
    pub manifold_temperature: S,
    /// The pressure that the compressor delivers before the throttle.
    pub delivered: S,
    pub manifold_pressure: S,
    pub breathing: S,
    /// The flow that the engine breathes.
    pub engine_flow: S,
    pub fuel: S,
    pub pumping: S,
    pub brake_pressure: S,
    pub power: S,
    pub exhaust: S,
    pub turbine_outlet: S,
    pub turbine_inlet: S,
    /// The exhaust before the turbine.
    pub hot: Hot<S>,
    /// The flow that the turbine passes.
    pub turbine_flow: S,
    pub turbine_efficiency: S,
    pub turbine_power: S,
    pub compressor_power: S,
    /// What the shaft asks of the turbine: compressor and bearings.
    pub asked: S,
}

/// Passes until the heat of the turbine stands still, and the change of temperature that counts as none, K.
const MOST_PASSES: usize = 20;
const SETTLED: f64 = 1e-10;

impl<S: Scalar> Setting<S> {
    /// The chain read forwards. `throttle` is the manifold pressure over the pressure before the throttle; that
    /// pressure is what the compressor delivers, unless the volume between them holds another, `plenum`.
    pub(crate) fn state(
        &self,
        gases: &Gases,
        map: &CompressorMap,
        throttle: S,
        at: &Unknowns<S>,
        plenum: Option<S>,
    ) -> Result<State<S>, FormulaError> {
        let way = &self.way;
        let t_ref = S::lit(map.reference().temperature().si());
        let p_ref = S::lit(map.reference().pressure().si());
        let [corrected_flow, ratio, efficiency] = map.continued(at.speed, at.position);
        let [filter_loss, cooler_loss] = way.losses(at.air)?;
        let inlet = inlet_pressure::step(way.ambient[0], filter_loss)?;
        let delivered = delivered_pressure::step(inlet, ratio, cooler_loss, S::lit(1.0))?;
        let manifold = match plenum {
            None => delivered_pressure::step(inlet, ratio, cooler_loss, throttle)?,
            Some(pressure) => pressure * throttle,
        };
        let cold = way.compressed(&gases.air, ratio, efficiency)?;
        let shaft_speed = shaft_speed_from_corrected::step(at.speed, way.inlet_temperature, t_ref)?;

        // The tail pipe sees what flows through; what the engine breathes and burns follows from the pressures.
        let through = self.load(&gases.air, at.air, self.figures.fuel_of_air(at.air)?, cold)?;
        let turbine_inlet = inlet_pressure_of_turbine::step(through.turbine_outlet, at.expansion)?;
        let pumping = pumping_pressure::step(turbine_inlet, manifold)?;
        let breathing =
            breathing_against::step(way.breathing, self.figures.compression, turbine_inlet, manifold)?;
        let breathed = |outlet: S| -> Result<(S, Burned<S>), FormulaError> {
            let cooled = way.cooled(outlet)?;
            let flow = air_flow::step(&gases.air, manifold, cooled, breathing, way.displacement, way.speed)?;
            let fuel = self.figures.fuel_of_air(flow)?;
            Ok((flow, Burned { fuel, pumping, manifold_temperature: cooled }))
        };
        let outlet = self.outlet(gases, (cold, at.air), |outlet| Ok(breathed(outlet)?.1))?;
        let (engine_flow, burned) = breathed(outlet)?;
        let Burned { fuel, manifold_temperature: cooled, .. } = burned;
        let made = power_of_fuel_flow(&self.figures, fuel, pumping)?;
        let exhaust = exhaust_flow::step(engine_flow, fuel)?;
        let (hot, Warmed { heat, wheel, .. }) = self.warmed(gases, (at.air, cold), exhaust, &burned)?;
        let pair = (turbine_inlet, at.expansion);
        let expansion = self.expansion(&gases.exhaust, &wheel, pair, Some(shaft_speed))?;
        Ok(State {
            inlet_pressure: inlet,
            corrected_flow,
            ratio,
            efficiency,
            compressor_flow: mass_flow_from_corrected::step(
                corrected_flow,
                way.inlet_temperature,
                inlet,
                t_ref,
                p_ref,
            )?,
            shaft_speed,
            cold_outlet: cold,
            outlet_temperature: outlet,
            housing_heat: heat,
            manifold_temperature: cooled,
            delivered,
            manifold_pressure: manifold,
            breathing,
            engine_flow,
            fuel,
            pumping,
            brake_pressure: made.brake_pressure,
            power: made.power,
            exhaust,
            turbine_outlet: through.turbine_outlet,
            turbine_inlet,
            hot,
            turbine_flow: expansion.flow,
            turbine_efficiency: expansion.efficiency,
            turbine_power: expansion.power,
            compressor_power: through.compressor_power,
            asked: match expansion.loss {
                Some(loss) => power_to_drive::step(through.compressor_power, loss)?,
                None => through.compressor_power,
            },
        })
    }

    /// The compressor's outlet temperature with the heat of the turbine. The heat follows the exhaust temperature, which a
    /// warmer charge moves a little: each pass leaves less than a tenth of what the one before it left.
    fn outlet(
        &self,
        gases: &Gases,
        (cold, air): (S, S),
        burned: impl Fn(S) -> Result<Burned<S>, FormulaError>,
    ) -> Result<S, FormulaError> {
        let Some(conductance) = self.conductance else { return Ok(cold) };
        let mut outlet = cold;
        for _ in 0..MOST_PASSES {
            let hot = self.heat.hot(gases, &self.figures, &burned(outlet)?)?;
            let next = heated(&gases.air, conductance, [cold, hot.temperature], air)?;
            let left = (next.value() - outlet.value()).abs();
            outlet = next;
            if left < SETTLED {
                break;
            }
        }
        Ok(outlet)
    }
}
