//! The way of the exhaust from the ports to the turbine: what its pipes take, and the volume that must fill.

use crate::formula::{FormulaError, checked};
use crate::gas::{Gas, towards};
use crate::quantity::*;

/// Coefficient and exponent of the heat transfer in engine manifolds, [depcik-assanis-2002].
const INSIDE: [f64; 2] = [0.07, 0.75];
/// Prandtl number of air and exhaust, within 5 % from 300 to 1300 K (from memory).
const PRANDTL: f64 = 0.7;

formulas! { room "engine" group EXHAUST_WAY;
    /// Temperature at the end of a pipe
    ///
    /// T_2 = T_w + (T_1 - T_w) exp(-h A/(W cp)): a wall of one temperature
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 1100 K into a wall of 700 K, 5 W/K, 0.05 kg/s of 1250 J/(kg K), by hand: 700 + 400 exp(-0.08) = 1069.25 K
    /// let t = shaftwork::engine::pipe_outlet_temperature(kelvin(1100.0), kelvin(700.0), watt_per_k(5.0), kg_per_s(0.05), j_per_kg_k(1250.0))?;
    /// assert!((t.kelvin() - 1069.25).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn pipe_outlet_temperature(
        inlet: Temperature = "T_1" in [250.0, 2000.0], "gas temperature at the inlet";
        wall: Temperature = "T_w" in [200.0, 1500.0], "wall temperature";
        conductance: ThermalConductance = "H" in [0.0, 500.0], "heat transfer coefficient times wall area";
        flow: MassFlow = "W" in [1e-4, 5.0], "flow";
        heat_capacity: SpecificHeat = "cp" in [900.0, 1700.0], "heat capacity of the gas";
    ) -> Temperature = "T_2"
    source "[energy-balance] of a pipe; the form in [eriksson-nielsen], companion parameter files"
    { towards(inlet, wall, conductance, flow * heat_capacity) }

    /// Temperature at the inlet of a pipe
    ///
    /// T_1 = T_w + (T_2 - T_w) exp(h A/(W cp)): [`pipe_outlet_temperature`](crate::engine::pipe_outlet_temperature) turned
    /// round
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // The example of pipe_outlet_temperature turned round: 1069.2465 K left of 1100 K
    /// let t = shaftwork::engine::pipe_inlet_temperature(kelvin(1069.246539), kelvin(700.0), watt_per_k(5.0), kg_per_s(0.05), j_per_kg_k(1250.0))?;
    /// assert!((t.kelvin() - 1100.0).abs() < 1e-5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn pipe_inlet_temperature(
        outlet: Temperature = "T_2" in [250.0, 2000.0], "gas temperature at the outlet";
        wall: Temperature = "T_w" in [200.0, 1500.0], "wall temperature";
        conductance: ThermalConductance = "H" in [0.0, 500.0], "heat transfer coefficient times wall area";
        flow: MassFlow = "W" in [1e-4, 5.0], "flow";
        heat_capacity: SpecificHeat = "cp" in [900.0, 1700.0], "heat capacity of the gas";
    ) -> Temperature = "T_1"
    source "[energy-balance] of a pipe; the form in [eriksson-nielsen], companion parameter files"
    { towards(outlet, wall, -conductance, flow * heat_capacity) }

    /// Exhaust flow of a fuel flow
    ///
    /// W_e = W_f (1 + a)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 16 g/s of fuel in 12.5 times as much air: 216 g/s
    /// let w = shaftwork::engine::exhaust_of_fuel(g_per_s(16.0), AirFuelRatio::new(12.5)?)?;
    /// assert!((w.si() - 0.216).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn exhaust_of_fuel(
        fuel: MassFlow = "W_f" in [1e-7, 2.0], "fuel flow";
        ratio: AirFuelRatio = "a" in [1.0, 100.0], "mass of air, its water included, per mass of fuel";
    ) -> MassFlow = "W_e"
    source "[by-definition]"
    { fuel * (ratio + 1.0) }

    /// Conductance from the exhaust in a pipe to what surrounds it
    ///
    /// H = pi d l/(1/h_i + 1/h_o), h_i = 0.07 Re^0.75 (mu cp/Pr)/d, Re = 4 W/(pi d mu), Pr 0.7. Pulsing flow near an engine
    /// takes about twice the heat of steady flow in a long pipe. The wall conducts too well to count. Outside, a bare
    /// hot pipe loses 40 to 120 W/(m2 K) by draught and radiation, a wrapped one 10 to 40 (from memory).
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: Re 63662, Nu 280.6, h_i 400.8; with 70 outside over 0.15708 m2: 9.361 W/K
    /// let h = shaftwork::engine::pipe_conductance(
    ///     kg_per_s(0.1), mm(50.0), m(1.0), upa_s(40.0), j_per_kg_k(1250.0), w_per_m2_k(70.0))?;
    /// assert!((h.si() - 9.361).abs() < 1e-3);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn pipe_conductance(
        flow: MassFlow = "W" in [1e-4, 5.0], "flow";
        bore: Length = "d" in [0.01, 0.2], "bore";
        length: Length = "l" in [0.0, 10.0], "length";
        viscosity: Viscosity = "mu" in [1e-5, 7e-5], "viscosity of the gas";
        heat_capacity: SpecificHeat = "cp" in [900.0, 1700.0], "heat capacity of the gas";
        outside: HeatTransferCoefficient = "h_o" in [0.5, 500.0], "heat transfer coefficient outside, radiation included";
    ) -> ThermalConductance = "H"
    source "[depcik-assanis-2002], universal correlation, inside; two resistances in series"
    {
        let [factor, power] = INSIDE;
        let re = (flow * 4.0 / (bore * viscosity * core::f64::consts::PI)).called("Re");
        let conductivity = viscosity * heat_capacity / PRANDTL;
        let inside = (re.powf(S::lit(power)) * factor * conductivity / bore).called_in("h_i", "W/(m2 K)");
        bore * length * core::f64::consts::PI / (c(1.0) / inside + c(1.0) / outside)
    }
}

/// A pipe between the ports and the turbine, by its size: what it takes follows the flow.
///
/// ```
/// use shaftwork::prelude::*;
/// let pipe = ExhaustPipe::new(mm(48.0), m(0.9))?.outside(w_per_m2_k(25.0))?;
/// assert!((pipe.volume().litre() - 1.63).abs() < 0.01);
/// assert!(ExhaustPipe::new(mm(48.0), m(f64::NAN)).is_err());
/// # Ok::<(), FormulaError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExhaustPipe {
    bore: Length,
    length: Length,
    outside: HeatTransferCoefficient,
}

/// Heat transfer coefficient outside a bare hot pipe, where none is given: from memory 40 to 120 W/(m2 K).
pub const BARE_PIPE: HeatTransferCoefficient = crate::quantity::units::w_per_m2_k(70.0);

impl ExhaustPipe {
    /// Bore (10 to 200 mm) and length (5 mm to 10 m), bare outside: [`BARE_PIPE`].
    pub fn new(bore: Length, length: Length) -> Result<Self, FormulaError> {
        const NAME: &str = "engine::ExhaustPipe::new";
        Ok(Self {
            bore: checked(NAME, "bore", "bore of the exhaust pipe", bore, 0.01, 0.2)?,
            length: checked(NAME, "length", "length of the exhaust pipe", length, 0.005, 10.0)?,
            outside: BARE_PIPE,
        })
    }
    /// Sets the heat transfer coefficient outside, 0.5 to 500 W/(m2 K).
    pub fn outside(mut self, outside: HeatTransferCoefficient) -> Result<Self, FormulaError> {
        const NAME: &str = "engine::ExhaustPipe::outside";
        self.outside = checked(NAME, "outside", "heat transfer coefficient outside", outside, 0.5, 500.0)?;
        Ok(self)
    }
    /// Bore.
    pub fn bore(&self) -> Length {
        self.bore
    }
    /// Length.
    pub fn length(&self) -> Length {
        self.length
    }
    /// Heat transfer coefficient outside.
    pub fn loses(&self) -> HeatTransferCoefficient {
        self.outside
    }
    /// Its volume.
    pub fn volume(&self) -> Volume {
        self.bore * self.bore * self.length * core::f64::consts::FRAC_PI_4
    }
}

/// A length of pipe that takes heat from the exhaust: manifold or crossover.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HotPipe {
    conductance: ThermalConductance,
    wall: Temperature,
}

impl HotPipe {
    /// Heat transfer coefficient times wall area (0 to 500 W/K), and wall temperature (200 to 1500 K).
    pub fn new(conductance: ThermalConductance, wall: Temperature) -> Result<Self, FormulaError> {
        const NAME: &str = "engine::HotPipe::new";
        let words = "heat transfer coefficient times wall area";
        Ok(Self {
            conductance: checked(NAME, "conductance", words, conductance, 0.0, 500.0)?,
            wall: checked(NAME, "wall", "wall temperature", wall, 200.0, 1500.0)?,
        })
    }
    /// Heat transfer coefficient times wall area.
    pub fn conductance(&self) -> ThermalConductance {
        self.conductance
    }
    /// Wall temperature.
    pub fn wall(&self) -> Temperature {
        self.wall
    }
}

/// The way of the exhaust from the ports to the turbine: pipes in order, and the volume that must fill before pressure
/// rises.
///
/// ```
/// use shaftwork::prelude::*;
/// let way = ExhaustWay::new(vec![HotPipe::new(watt_per_k(8.0), kelvin(850.0))?], litre(1.6))?;
/// let t = way.turbine_inlet(&Gas::products(&Fuel::gasoline()?, Lambda::new(0.85)?)?, kelvin(1180.0), kg_per_s(0.12))?;
/// assert!(t.kelvin() < 1180.0 && t.kelvin() > 1150.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct ExhaustWay {
    pipes: Vec<HotPipe>,
    volume: Volume,
}

impl ExhaustWay {
    /// Pipes from the ports on, and the volume between the valves and the turbine, 0.05 to 50 litres.
    pub fn new(pipes: Vec<HotPipe>, volume: Volume) -> Result<Self, FormulaError> {
        let words = "volume before the turbine";
        let volume = checked("engine::ExhaustWay::new", "volume", words, volume, 5e-5, 0.05)?;
        Ok(Self { pipes, volume })
    }
    /// The pipes.
    pub fn pipes(&self) -> &[HotPipe] {
        &self.pipes
    }
    /// Volume between the valves and the turbine.
    pub fn volume(&self) -> Volume {
        self.volume
    }
    /// Turbine inlet temperature: the temperature at the ports less what the pipes take. Each pipe uses the heat
    /// capacity at its own inlet.
    pub fn turbine_inlet(
        &self,
        exhaust: &Gas,
        ports: Temperature,
        flow: MassFlow,
    ) -> Result<Temperature, FormulaError> {
        let through = |t: Temperature, pipe: &HotPipe| {
            let cp = crate::gas::heat_capacity(exhaust, t)?;
            pipe_outlet_temperature(t, pipe.wall, pipe.conductance, flow, cp)
        };
        self.pipes.iter().try_fold(ports, through)
    }
}
