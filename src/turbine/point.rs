//! A turbine at one state, for reading.

use super::{BearingLoss, Turbine, TurbineEfficiency, TurbineState, expansion_work, power};
use crate::formula::{Dual, FormulaError, Plain};
use crate::gas::{Gas, gas_constant, heat_capacity_ratio};
use crate::quantity::*;

/// The state before a turbine, what it expands over, and how fast it turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurbineInlet {
    /// Inlet total pressure.
    pub pressure: Pressure,
    /// Inlet total temperature.
    pub temperature: Temperature,
    /// Expansion ratio, total to static.
    pub ratio: ExpansionRatio,
    /// Shaft speed; without it, and without a wheel, flow is a plain nozzle's and efficiency the stated one.
    pub shaft_speed: Option<ShaftSpeed>,
}

/// A turbine at one state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurbinePoint {
    /// Flow through the wheel.
    pub flow: MassFlow,
    /// Efficiency, total to static, with what the stated one includes.
    pub efficiency: Efficiency,
    /// Power, before bearings that count apart.
    pub power: Power,
    /// What the bearings take, where they count apart and the shaft speed is known.
    pub bearings: Option<Power>,
}

/// Flow and efficiency with their slopes to inlet pressure, inlet temperature, expansion ratio and shaft speed.
#[derive(Clone, Copy, Debug)]
pub struct TurbineSlopes {
    /// Flow, kg/s, and its slopes per Pa, K, unit of ratio and rad/s.
    pub flow: (f64, [f64; 4]),
    /// Efficiency and its slopes.
    pub efficiency: (f64, [f64; 4]),
}

impl Turbine {
    /// Flow, efficiency and power at a state, with the efficiency at its best (or as stated, where the wheel or its speed
    /// is not known).
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let exhaust = Gas::products(&Fuel::gasoline()?, Lambda::new(0.85)?)?;
    /// let turbine = Turbine::from_area_over_radius(mm(17.8), mm(60.0))?;
    /// let peak = TurbineEfficiency::with_bearings(Efficiency::new(0.70)?);
    /// let inlet = |speed| TurbineInlet {
    ///     pressure: kpa(200.0),
    ///     temperature: kelvin(1173.15),
    ///     ratio: ExpansionRatio::new(2.0).unwrap(),
    ///     shaft_speed: Some(rpm(speed)),
    /// };
    /// let (slow, fast) = (turbine.at(&exhaust, peak, &inlet(60e3))?, turbine.at(&exhaust, peak, &inlet(140e3))?);
    /// // The faster it turns, the less it swallows.
    /// assert!(fast.flow < slow.flow && fast.efficiency > slow.efficiency);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`FormulaError`] where a figure leaves the range of its formula; and where bearings are given beside an
    /// efficiency that includes them, or an efficiency without bearings has none beside it.
    pub fn at(
        &self,
        gas: &Gas,
        peak: TurbineEfficiency,
        inlet: &TurbineInlet,
    ) -> Result<TurbinePoint, FormulaError> {
        self.bearings_once(peak)?;
        let parts = self.parts(peak.overall().si(), &Plain)?;
        let state = state(gas, inlet)?;
        let flow = MassFlow::from_si(parts.flow(gas, &state)?)?;
        let efficiency = Efficiency::from_si(parts.efficiency(gas, &state)?)?;
        let work = expansion_work(gas, inlet.temperature, inlet.ratio, efficiency)?;
        Ok(TurbinePoint {
            flow,
            efficiency,
            power: power(flow, work)?,
            bearings: match state.shaft_speed {
                Some(speed) => parts.bearing_power(speed)?.map(Power::from_si_unchecked),
                None => None,
            },
        })
    }

    /// Refuses bearings that would count twice, or not at all.
    pub(crate) fn bearings_once(&self, peak: TurbineEfficiency) -> Result<(), FormulaError> {
        let refuse = |why: &str| Err(FormulaError::NoResult { formula: "turbine::Turbine", why: why.into() });
        let counted = self.map().map_or(peak.bearings(), |map| map.bearings());
        match (counted, self.bearings()) {
            (BearingLoss::InEfficiency, Some(_)) => refuse(
                "the efficiency includes the bearings, which are given besides: they would count twice",
            ),
            (BearingLoss::Apart, None) => {
                refuse("the efficiency is of the wheel alone; give the bearings by with_bearings")
            }
            _ => Ok(()),
        }
    }

    /// Flow and efficiency at a state with exact slopes.
    ///
    /// # Errors
    ///
    /// [`FormulaError`] as [`at`](Self::at).
    pub fn slopes(
        &self,
        gas: &Gas,
        peak: TurbineEfficiency,
        inlet: &TurbineInlet,
    ) -> Result<TurbineSlopes, FormulaError> {
        self.at(gas, peak, inlet)?;
        let parts = self.parts(peak.overall().si(), &Plain)?.lift::<Dual<4>>();
        let plain = state(gas, inlet)?;
        let input = Dual::<4>::input;
        let temperature = input(plain.inlet_temperature, 1);
        let lifted = TurbineState {
            inlet_pressure: input(plain.inlet_pressure, 0),
            inlet_temperature: temperature,
            ratio: input(plain.ratio, 2),
            shaft_speed: plain.shaft_speed.map(|speed| input(speed, 3)),
            gamma: heat_capacity_ratio::of(gas, temperature),
            gas_constant: gas_constant::of(gas),
        };
        let [flow, efficiency] = [parts.flow(gas, &lifted)?, parts.efficiency(gas, &lifted)?];
        Ok(TurbineSlopes { flow: (flow.re, flow.eps), efficiency: (efficiency.re, efficiency.eps) })
    }
}

fn state(gas: &Gas, inlet: &TurbineInlet) -> Result<TurbineState<f64>, FormulaError> {
    Ok(TurbineState {
        inlet_pressure: inlet.pressure.si(),
        inlet_temperature: inlet.temperature.si(),
        ratio: inlet.ratio.si(),
        shaft_speed: inlet.shaft_speed.map(ShaftSpeed::si),
        gamma: heat_capacity_ratio(gas, inlet.temperature)?.si(),
        gas_constant: gas_constant(gas)?.si(),
    })
}
