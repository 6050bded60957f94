//! Flow and speed brought to a map's reference conditions.

use crate::formula::{FormulaError, checked};
use crate::quantity::*;

formulas! { room "compressor" group CORRECTED;
    /// Corrected mass flow
    ///
    /// W_c = W sqrt(T_01/T_ref)/(p_01/p_ref), the same gas at both states. Every map carries its
    /// reference; references in use differ by 3 to 5 % of flow.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // The same machine on 288.15 K/101.325 kPa against 298.15 K/100 kPa: 3.068 % between them
    /// let at = |t, p| shaftwork::compressor::corrected_mass_flow(kg_per_s(0.2), deg_c(24.0), kpa(85.0), t, p);
    /// let ratio = at(kelvin(288.15), kpa(101.325))?.si() / at(kelvin(298.15), kpa(100.0))?.si();
    /// assert!((ratio - 1.03068).abs() < 1e-5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn corrected_mass_flow(
        flow: MassFlow = "W" in [1e-5, 50.0], "mass flow";
        temperature: Temperature = "T_01" in [200.0, 400.0], "compressor inlet total temperature";
        pressure: Pressure = "p_01" in [2e4, 2e5], "compressor inlet total pressure";
        reference_temperature: Temperature = "T_ref" in [270.0, 320.0], "reference temperature of the map";
        reference_pressure: Pressure = "p_ref" in [8e4, 1.1e5], "reference pressure of the map";
    ) -> CorrectedMassFlow = "W_c"
    source "[derived-here] from similarity at equal Mach numbers; checked on [nasa-hecc]"
    { flow * (temperature / reference_temperature).sqrt() / (pressure / reference_pressure) }

    /// Mass flow behind a corrected one
    ///
    /// W = W_c (p_01/p_ref)/sqrt(T_01/T_ref)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let w = shaftwork::compressor::mass_flow_from_corrected(corrected_kg_per_s(0.2), kelvin(298.15), kpa(90.0), kelvin(298.15), kpa(100.0))?;
    /// assert!((w.si() - 0.18).abs() < 1e-12);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn mass_flow_from_corrected(
        corrected: CorrectedMassFlow = "W_c" in [1e-5, 50.0], "corrected mass flow";
        temperature: Temperature = "T_01" in [200.0, 400.0], "compressor inlet total temperature";
        pressure: Pressure = "p_01" in [2e4, 2e5], "compressor inlet total pressure";
        reference_temperature: Temperature = "T_ref" in [270.0, 320.0], "reference temperature of the map";
        reference_pressure: Pressure = "p_ref" in [8e4, 1.1e5], "reference pressure of the map";
    ) -> MassFlow = "W"
    source "[derived-here], corrected mass flow turned round"
    { corrected * (pressure / reference_pressure) / (temperature / reference_temperature).sqrt() }

    /// Corrected speed
    ///
    /// N_c = N/sqrt(T_01/T_ref)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let n = shaftwork::compressor::corrected_speed(rpm(120_000.0), kelvin(313.15), kelvin(298.15))?;
    /// assert!((n.corrected_rpm() - 117_090.7).abs() < 0.1);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn corrected_speed(
        speed: ShaftSpeed = "N" in [1.0, 5e4], "shaft speed";
        temperature: Temperature = "T_01" in [200.0, 400.0], "compressor inlet total temperature";
        reference_temperature: Temperature = "T_ref" in [270.0, 320.0], "reference temperature of the map";
    ) -> CorrectedSpeed = "N_c"
    source "[derived-here] from similarity at equal Mach numbers; checked on [nasa-hecc]"
    { speed / (temperature / reference_temperature).sqrt() }

    /// Shaft speed behind a corrected one
    ///
    /// N = N_c sqrt(T_01/T_ref)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let n = shaftwork::compressor::shaft_speed_from_corrected(corrected_rpm(117_090.7), kelvin(313.15), kelvin(298.15))?;
    /// assert!((n.rpm() - 120_000.0).abs() < 0.1);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn shaft_speed_from_corrected(
        corrected: CorrectedSpeed = "N_c" in [1.0, 5e4], "corrected speed";
        temperature: Temperature = "T_01" in [200.0, 400.0], "compressor inlet total temperature";
        reference_temperature: Temperature = "T_ref" in [270.0, 320.0], "reference temperature of the map";
    ) -> ShaftSpeed = "N"
    source "[derived-here], corrected speed turned round"
    { corrected * (temperature / reference_temperature).sqrt() }
}

/// The conditions that a map's flow and speed are corrected to, always given by value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reference {
    temperature: Temperature,
    pressure: Pressure,
}

impl Reference {
    /// 270 to 320 K and 80 to 110 kPa.
    pub fn new(temperature: Temperature, pressure: Pressure) -> Result<Self, FormulaError> {
        const NAME: &str = "compressor::Reference::new";
        Ok(Self {
            temperature: checked(NAME, "temperature", "reference temperature", temperature, 270.0, 320.0)?,
            pressure: checked(NAME, "pressure", "reference pressure (absolute)", pressure, 8e4, 1.1e5)?,
        })
    }
    /// Reference temperature.
    pub fn temperature(&self) -> Temperature {
        self.temperature
    }
    /// Reference pressure.
    pub fn pressure(&self) -> Pressure {
        self.pressure
    }
}

/// The state at the compressor inlet, station 1, total.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InletState {
    /// Total temperature.
    pub temperature: Temperature,
    /// Total pressure.
    pub pressure: Pressure,
}

impl InletState {
    /// A flow at this inlet, corrected to a reference.
    pub fn correct(&self, flow: MassFlow, to: &Reference) -> Result<CorrectedMassFlow, FormulaError> {
        corrected_mass_flow(flow, self.temperature, self.pressure, to.temperature, to.pressure)
    }
    /// The flow at this inlet behind a corrected one.
    pub fn uncorrect(&self, flow: CorrectedMassFlow, from: &Reference) -> Result<MassFlow, FormulaError> {
        mass_flow_from_corrected(flow, self.temperature, self.pressure, from.temperature, from.pressure)
    }
}
