//! The wastegate, and the valve that lets air back when the throttle shuts: orifices between two pressures.

use super::nozzle_flow;
use crate::formula::{FormulaError, checked};
use crate::quantity::*;

formulas! { room "turbine" group VALVES;
    /// Flow through an orifice
    ///
    /// W = C_d (pi/4) d^2 p_0/sqrt(R T_0) psi, choked beyond the critical ratio: a nozzle of the bore's area times a
    /// discharge coefficient. For the flap of a wastegate C_d lies between 0.6 and 0.8 (from memory).
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // C_d 0.8, 20 mm, 1150 K, 200 to 110 kPa, gamma 1.3, R 290 by hand: 0.0580765 kg/s
    /// let w = shaftwork::turbine::orifice_flow(fraction(0.8), mm(20.0), kpa(200.0), kelvin(1150.0), ExpansionRatio::new(200.0 / 110.0)?, HeatCapacityRatio::new(1.3)?, j_per_kg_k(290.0))?;
    /// assert!((w.si() - 0.0580765).abs() < 1e-7);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn orifice_flow(
        discharge: Fraction = "C_d" in [0.2, 1.0], "discharge coefficient";
        bore: Length = "d" in [5e-4, 0.12], "bore";
        pressure: Pressure = "p_0" in [2e4, 2e6], "upstream total pressure";
        temperature: Temperature = "T_0" in [200.0, 1500.0], "upstream total temperature";
        ratio: ExpansionRatio = "PR" in [1.0, 20.0], "upstream over downstream pressure";
        gamma: HeatCapacityRatio = "gamma" in [1.1, 1.6667], "ratio of specific heats";
        gas_constant: SpecificHeat = "R" in [150.0, 600.0], "specific gas constant";
    ) -> MassFlow = "W"
    source "[derived-here] for isentropic flow of an [ideal-gas], with a discharge coefficient"
    {
        let area = (discharge * bore * bore * core::f64::consts::FRAC_PI_4).called_in("A", "m2");
        nozzle_flow::of(area, pressure, temperature, ratio, gamma, gas_constant)
    }

    /// Bore that an orifice needs for a flow
    ///
    /// d = sqrt(4 W/(pi C_d w)), w the flow of one square metre at the same state
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // The example of `orifice_flow` turned round: 20 mm
    /// let d = shaftwork::turbine::orifice_bore(kg_per_s(0.0580765), fraction(0.8), kpa(200.0), kelvin(1150.0), ExpansionRatio::new(200.0 / 110.0)?, HeatCapacityRatio::new(1.3)?, j_per_kg_k(290.0))?;
    /// assert!((d.mm() - 20.0).abs() < 1e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn orifice_bore(
        flow: MassFlow = "W" in [0.0, 5.0], "flow to pass";
        discharge: Fraction = "C_d" in [0.2, 1.0], "discharge coefficient";
        pressure: Pressure = "p_0" in [2e4, 2e6], "upstream total pressure";
        temperature: Temperature = "T_0" in [200.0, 1500.0], "upstream total temperature";
        ratio: ExpansionRatio = "PR" in [1.01, 20.0], "upstream over downstream pressure";
        gamma: HeatCapacityRatio = "gamma" in [1.1, 1.6667], "ratio of specific heats";
        gas_constant: SpecificHeat = "R" in [150.0, 600.0], "specific gas constant";
    ) -> Length = "d"
    source "[derived-here], the flow of an orifice turned round"
    {
        let each = nozzle_flow::of(S::lit(1.0), pressure, temperature, ratio, gamma, gas_constant).called_in("w", "kg/(s m2)");
        (flow / (discharge * each) / core::f64::consts::FRAC_PI_4).sqrt()
    }

    /// Flow that must go back when the throttle shuts
    ///
    /// W_r = W_c - W: what the compressor still delivers at a flow it is stable at, less what the engine takes
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let w = shaftwork::turbine::recirculated_flow(kg_per_s(0.16), kg_per_s(0.02))?;
    /// assert!((w.si() - 0.14).abs() < 1e-12);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn recirculated_flow(
        compressor: MassFlow = "W_c" in [0.0, 5.0], "flow that the compressor needs to stay stable";
        engine: MassFlow = "W" in [0.0, 5.0], "flow that the engine takes";
    ) -> MassFlow = "W_r"
    source "[mass-balance]"
    { compressor - engine }

    /// Pressure that a gauge boost target asks for
    ///
    /// p_m = p_0 + boost
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 120 kPa gauge at 1150 m (88.25 kPa): 208.25 kPa
    /// let p = shaftwork::turbine::boosted_pressure(kpa(88.25), kpa_gauge(120.0))?;
    /// assert!((p.kpa() - 208.25).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn boosted_pressure(
        ambient: Pressure = "p_0" in [5e4, 1.1e5], "ambient pressure";
        boost: GaugePressure = "boost" in [0.0, 6e5], "boost above ambient";
    ) -> Pressure = "p_m"
    source "[by-definition] of gauge pressure"
    { ambient + boost }
}

/// Discharge coefficient of a wastegate's flap or of a valve, where none is given: from memory 0.6 to 0.8.
pub const DISCHARGE: f64 = 0.70;

/// What the boost is held at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BoostControl {
    /// A pressure above the barometer: it falls with altitude as an absolute pressure.
    Gauge(GaugePressure),
    /// An absolute pressure: the turbocharger works harder the higher the place.
    Absolute(Pressure),
}

impl BoostControl {
    /// The manifold pressure held at this barometer.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let (sea, hill) = (kpa(101.325), kpa(88.25));
    /// let gauge = BoostControl::Gauge(kpa_gauge(100.0));
    /// assert!((gauge.target(sea)? - gauge.target(hill)?).kpa_diff() > 13.0);
    /// let absolute = BoostControl::Absolute(kpa(200.0));
    /// assert_eq!(absolute.target(sea)?, absolute.target(hill)?);
    /// # Ok::<(), FormulaError>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`FormulaError`]: the barometer is outside 50 to 110 kPa, or the target outside 0 to 600 kPa above it.
    pub fn target(&self, barometer: Pressure) -> Result<Pressure, FormulaError> {
        match *self {
            Self::Gauge(boost) => boosted_pressure(barometer, boost),
            Self::Absolute(pressure) => {
                boosted_pressure(
                    barometer,
                    GaugePressure::from_si_unchecked(pressure.si() - barometer.si()),
                )?;
                Ok(pressure)
            }
        }
    }
}

/// A wastegate: its bore, how much of it flows, and the spring that shuts it.
///
/// ```
/// use shaftwork::prelude::*;
/// let gate = Wastegate::new(mm(26.0), kpa_gauge(60.0))?;
/// let target = gate.held(BoostControl::Gauge(kpa_gauge(110.0)), kpa(88.25))?;
/// assert!((target.kpa() - 198.25).abs() < 1e-9);
/// // Less than the spring cannot be held.
/// assert!(gate.held(BoostControl::Gauge(kpa_gauge(40.0)), kpa(88.25)).is_err());
/// # Ok::<(), FormulaError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wastegate {
    bore: Length,
    discharge: Fraction,
    spring: GaugePressure,
}

impl Wastegate {
    /// Bore (5 to 80 mm) and the boost at which the spring begins to open (0 to 300 kPa); discharge coefficient
    /// [`DISCHARGE`].
    pub fn new(bore: Length, spring: GaugePressure) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::Wastegate::new";
        Ok(Self {
            bore: checked(NAME, "bore", "bore of the wastegate", bore, 0.005, 0.08)?,
            discharge: Fraction::from_si_unchecked(DISCHARGE),
            spring: checked(NAME, "spring", "boost at which the spring opens", spring, 0.0, 3e5)?,
        })
    }
    /// Sets the discharge coefficient, 0.2 to 1.
    pub fn discharge(mut self, discharge: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::Wastegate::discharge";
        self.discharge = checked(NAME, "discharge", "discharge coefficient", discharge, 0.2, 1.0)?;
        Ok(self)
    }
    /// Bore.
    pub fn bore(&self) -> Length {
        self.bore
    }
    /// Discharge coefficient.
    pub fn coefficient(&self) -> Fraction {
        self.discharge
    }
    /// Effective area fully open: the bore's area times the discharge coefficient.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// // pi/4 x 38^2 x 0.70 by hand: 793.9 mm2
    /// let gate = Wastegate::new(mm(38.0), kpa_gauge(60.0))?;
    /// assert!((gate.area().mm2() - 793.9).abs() < 0.05);
    /// # Ok::<(), FormulaError>(())
    /// ```
    pub fn area(&self) -> Area {
        self.bore * self.bore * (core::f64::consts::FRAC_PI_4 * self.discharge.si())
    }
    /// The boost at which the spring begins to open.
    pub fn spring(&self) -> GaugePressure {
        self.spring
    }
    /// The least manifold pressure it can hold: the spring's. A control can only add to it. Manifold pressure may lie
    /// below it where the turbocharger gives less.
    pub fn least(&self, barometer: Pressure) -> Result<Pressure, FormulaError> {
        boosted_pressure(barometer, self.spring)
    }
    /// The manifold pressure that a control holds with this spring.
    ///
    /// # Errors
    ///
    /// [`FormulaError::NoResult`]: the target is below the spring's pressure.
    pub fn held(&self, control: BoostControl, barometer: Pressure) -> Result<Pressure, FormulaError> {
        let (target, least) = (control.target(barometer)?, self.least(barometer)?);
        // Rounding must not refuse a target that is the spring itself.
        if target.si() < least.si() * (1.0 - 1e-9) {
            let why = format!(
                "a target of {target} is below {least}, which the spring alone holds; fit a softer spring"
            );
            return Err(FormulaError::NoResult { formula: "turbine::Wastegate::held", why });
        }
        Ok(target)
    }
    /// The most that passes fully open, between these states.
    pub fn most_flow(
        &self,
        inlet: Pressure,
        temperature: Temperature,
        ratio: ExpansionRatio,
        gamma: HeatCapacityRatio,
        gas_constant: SpecificHeat,
    ) -> Result<MassFlow, FormulaError> {
        orifice_flow(self.discharge, self.bore, inlet, temperature, ratio, gamma, gas_constant)
    }
}
