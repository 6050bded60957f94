//! From fuel to work at the crankshaft.

use crate::quantity::*;

/// Share of the ideal cycle's work that an engine turns into indicated work, where none is given.
///
/// Published parameters of one boosted 1.95 L engine give 0.677 ([eriksson-nielsen],
/// companion files); the band is +-8 %.
pub const DEFAULT_WORK_FACTOR: f64 = 0.677;

/// The friction correlation's scale and the share of it that the load adds.
const FRICTION_SCALE: f64 = 0.487;
const FRICTION_OF_LOAD: f64 = 0.0215;

formulas! { room "engine" group WORK;
    /// Indicated efficiency of the fuel's heating value
    ///
    /// eta_i = (1 - r_c^(1 - 1.35)) k min(1, lambda): the ideal cycle with an effective gamma of 1.35,
    /// times the share k that real engines reach. The work, not the composition, uses min(1, lambda);
    /// exhaust energy always follows from the composition.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Eriksson and Nielsen's companion file: 0.565188 x 0.676945 = 0.3826 at r_c 10.8
    /// let eta = shaftwork::engine::indicated_efficiency(CompressionRatio::new(10.8)?, percent(67.6945), Lambda::new(1.0)?)?;
    /// assert!((eta.si() - 0.3826).abs() < 1e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn indicated_efficiency(
        compression: CompressionRatio = "r_c" in [6.0, 16.0], "compression ratio";
        share: Fraction = "k" in [0.4, 0.9], "work factor: indicated work over that of the ideal cycle";
        lambda: Lambda = "lambda" in [0.7, 1.3], "relative air-fuel ratio";
    ) -> Efficiency = "eta_i"
    source "[eriksson-nielsen], companion parameter files"
    {
        let ideal = (c(1.0) - compression.powf(S::lit(1.0 - 1.35))).called("eta_0");
        let supplied = S::cases(
            lambda,
            S::lit(1.0),
            case("rich", || lambda),
            case("stoichiometric or lean", || S::lit(1.0)),
        ).called("s");
        ideal * share * supplied
    }

    /// Mean effective pressure of a power
    ///
    /// bmep = P/(V_d omega/(4 pi)), four-stroke
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 100 kW from 2.0 L at 6000 rev/min: 10 bar
    /// let p = shaftwork::engine::mean_effective_pressure(kw(100.0), litre(2.0), rpm(6000.0))?;
    /// assert!((p.bar_diff() - 10.0).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn mean_effective_pressure(
        power: Power = "P" in [1.0, 5e6], "power";
        displacement: Volume = "V_d" in [2e-5, 0.05], "displacement";
        speed: ShaftSpeed = "omega" in [10.0, 2500.0], "engine speed";
    ) -> PressureDifference = "mep"
    source "[by-definition] of mean effective pressure"
    { power / (displacement * speed / (4.0 * core::f64::consts::PI)) }

    /// Friction mean effective pressure
    ///
    /// fmep = 0.487 [(0.464 + 0.0072 S_p^1.8) 1.85 bar + 0.0215 bmep] sqrt(0.075 m/B): friction and
    /// auxiliaries without pumping, layout for boost.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // companion file, B 81.7 mm, S 86 mm, bmep 15 bar, 6000 rev/min: 1.5919 bar
    /// let f = shaftwork::engine::friction_pressure(m_per_s(17.2), bar_diff(15.0), mm(81.7))?;
    /// assert!((f.bar_diff() - 1.5919).abs() < 1e-3);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn friction_pressure(
        piston_speed: Velocity = "S_p" in [0.5, 30.0], "mean piston speed";
        brake_pressure: PressureDifference = "bmep" in [0.0, 6e6], "brake mean effective pressure";
        bore: Length = "B" in [0.03, 0.2], "bore";
    ) -> PressureDifference = "fmep"
    source "[eriksson-nielsen], companion parameter files; +-20 % (2 sigma)"
    {
        let speed = (piston_speed.powf(S::lit(1.8)) * 0.0072 + 0.464).called("f_S");
        (speed * 1.85e5 + brake_pressure * FRICTION_OF_LOAD) * FRICTION_SCALE * (c(0.075) / bore).sqrt()
    }

    /// Brake mean effective pressure behind an indicated one
    ///
    /// bmep = (imep - pmep - fmep_0)/(1 + b): what is left when friction, itself b bmep more than without load
    /// ([`friction_pressure`]), and pumping are paid.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // The friction example turned round: 15 bar + 1.5919 bar friction + 0.5 bar pumping
    /// let p = shaftwork::engine::brake_pressure(bar_diff(17.0919), bar_diff(0.5), m_per_s(17.2), mm(81.7))?;
    /// assert!((p.bar_diff() - 15.0).abs() < 1e-3);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn brake_pressure(
        indicated: PressureDifference = "imep" in [0.0, 1e7], "indicated mean effective pressure";
        pumping: PressureDifference = "pmep" in [-1e6, 3e6], "pumping mean effective pressure";
        piston_speed: Velocity = "S_p" in [0.5, 30.0], "mean piston speed";
        bore: Length = "B" in [0.03, 0.2], "bore";
    ) -> PressureDifference = "bmep"
    source "[by-definition] of mean effective pressures, with the friction of [eriksson-nielsen]"
    {
        let unloaded = friction_pressure::of(piston_speed, S::lit(0.0), bore).called_in("fmep_0", "Pa");
        let of_load = ((c(0.075) / bore).sqrt() * (FRICTION_OF_LOAD * FRICTION_SCALE)).called("b");
        (indicated - pumping - unloaded) / (of_load + 1.0)
    }

    /// Power of a mean effective pressure
    ///
    /// P = mep V_d omega/(4 pi), four-stroke
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 10 bar in 2.0 L at 6000 rev/min: 100 kW
    /// let p = shaftwork::engine::power_of_pressure(bar_diff(10.0), litre(2.0), rpm(6000.0))?;
    /// assert!((p.kw() - 100.0).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn power_of_pressure(
        pressure: PressureDifference = "mep" in [-1e6, 1e7], "mean effective pressure";
        displacement: Volume = "V_d" in [2e-5, 0.05], "displacement";
        speed: ShaftSpeed = "omega" in [10.0, 2500.0], "engine speed";
    ) -> Power = "P"
    source "[by-definition] of mean effective pressure"
    { pressure * (displacement * speed / (4.0 * core::f64::consts::PI)) }

    /// Indicated power of a fuel flow
    ///
    /// P_i = W_f LHV eta_i
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 20 g/s of 43 MJ/kg at 0.3: 258 kW
    /// let p = shaftwork::engine::power_of_fuel(g_per_s(20.0), mj_per_kg(43.0), Efficiency::new(0.3)?)?;
    /// assert!((p.kw() - 258.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn power_of_fuel(
        fuel: MassFlow = "W_f" in [1e-7, 2.0], "fuel flow";
        heating_value: SpecificEnergy = "LHV" in [1e6, 1.3e8], "lower heating value";
        efficiency: Efficiency = "eta_i" in [0.05, 0.6], "indicated efficiency";
    ) -> Power = "P_i"
    source "[energy-balance] of the fuel supplied"
    { fuel * heating_value * efficiency }

    /// Power at the crankshaft for a power at the wheels
    ///
    /// P = P_wheels/eta_d. The loss has no public standard and changes with gear, load and oil
    /// temperature: it is an input, never a hidden figure.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let crank = shaftwork::engine::crank_power(kw(208.25), Efficiency::new(0.85)?)?;
    /// assert!((crank.kw() - 245.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn crank_power(
        wheels: Power = "P_w" in [1.0, 5e6], "power at the wheels";
        driveline: Efficiency = "eta_d" in [0.6, 1.0], "driveline efficiency";
    ) -> Power = "P"
    source "[by-definition] of driveline efficiency"
    { wheels / driveline }

    /// Torque of a power
    ///
    /// M = P/omega
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 245 kW at 6200 rev/min: 377.35 N m by hand
    /// let m = shaftwork::engine::torque(kw(245.0), rpm(6200.0))?;
    /// assert!((m.nm() - 377.35).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn torque(
        power: Power = "P" in [1.0, 5e6], "power at the crankshaft";
        speed: ShaftSpeed = "omega" in [10.0, 2500.0], "engine speed";
    ) -> Torque = "M"
    source "[by-definition]"
    { power / speed }

    /// Pumping mean effective pressure
    ///
    /// pmep = p_3 - p_m: what the pistons push against less what pushes them; below zero it is a gain.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let p = shaftwork::engine::pumping_pressure(kpa(320.0), kpa(250.0))?;
    /// assert!((p.kpa_diff() - 70.0).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn pumping_pressure(
        exhaust: Pressure = "p_3" in [1e4, 3e6], "exhaust manifold pressure";
        manifold: Pressure = "p_m" in [1e4, 1e6], "manifold pressure";
    ) -> PressureDifference = "pmep"
    source "[by-definition], for constant pressures and ideal valve timing"
    { exhaust - manifold }

    /// Indicated power behind a brake power
    ///
    /// P_i = P (bmep + fmep + pmep)/bmep
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let p = shaftwork::engine::indicated_power(kw(200.0), bar_diff(20.0), bar_diff(1.5), bar_diff(0.5))?;
    /// assert!((p.kw() - 220.0).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn indicated_power(
        power: Power = "P" in [1.0, 5e6], "power at the crankshaft";
        brake: PressureDifference = "bmep" in [1.0, 1e7], "brake mean effective pressure";
        friction: PressureDifference = "fmep" in [0.0, 2e6], "friction mean effective pressure";
        pumping: PressureDifference = "pmep" in [-1e6, 3e6], "pumping mean effective pressure";
    ) -> Power = "P_i"
    source "[by-definition] of mean effective pressures"
    { power * ((brake + friction + pumping) / brake) }

    /// Fuel per work at the crankshaft
    ///
    /// bsfc = W_f/P
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let b = shaftwork::engine::specific_consumption(kg_per_h(75.0), kw(250.0))?;
    /// assert!((b.g_per_kwh() - 300.0).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn specific_consumption(
        fuel: MassFlow = "W_f" in [1e-7, 2.0], "fuel flow";
        power: Power = "P" in [1.0, 5e6], "power at the crankshaft";
    ) -> SpecificFuelConsumption = "bsfc"
    source "[by-definition]"
    { fuel / power }

    /// Exhaust flow
    ///
    /// W_e = W + W_f
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let w = shaftwork::engine::exhaust_flow(kg_per_s(0.25), kg_per_s(0.028))?;
    /// assert!((w.si() - 0.278).abs() < 1e-12);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn exhaust_flow(
        air: MassFlow = "W" in [1e-4, 5.0], "air flow";
        fuel: MassFlow = "W_f" in [0.0, 2.0], "fuel flow";
    ) -> MassFlow = "W_e"
    source "[mass-balance]"
    { air + fuel }

    /// Dry air flow for an indicated power
    ///
    /// W = P_i lambda AFR_st/(eta_i LHV)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 100 kW at 0.3 on 43 MJ/kg, lambda 1, ratio 14.6: 0.1132 kg/s by hand
    /// let w = shaftwork::engine::air_for_power(kw(100.0), Efficiency::new(0.3)?, mj_per_kg(43.0), Lambda::new(1.0)?, AirFuelRatio::new(14.6)?)?;
    /// assert!((w.si() - 0.113178).abs() < 1e-6);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn air_for_power(
        indicated: Power = "P_i" in [1.0, 5e6], "indicated power";
        efficiency: Efficiency = "eta_i" in [0.05, 0.6], "indicated efficiency";
        heating_value: SpecificEnergy = "LHV" in [1e6, 1.3e8], "lower heating value";
        lambda: Lambda = "lambda" in [0.6, 2.0], "relative air-fuel ratio";
        ratio: AirFuelRatio = "AFR_st" in [1.0, 40.0], "stoichiometric air-fuel ratio";
    ) -> MassFlow = "W_d"
    source "[energy-balance] of the fuel supplied"
    { indicated * lambda * ratio / (efficiency * heating_value) }

    /// Fuel flow that goes with a flow of dry air
    ///
    /// W_f = W_d/(lambda AFR_st)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let f = shaftwork::engine::fuel_for_air(kg_per_s(0.25), Lambda::new(0.85)?, AirFuelRatio::new(10.5)?)?;
    /// assert!((f.g_per_s() - 28.011).abs() < 1e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn fuel_for_air(
        air: MassFlow = "W_d" in [1e-4, 5.0], "dry air flow";
        lambda: Lambda = "lambda" in [0.6, 2.0], "relative air-fuel ratio";
        ratio: AirFuelRatio = "AFR_st" in [1.0, 40.0], "stoichiometric air-fuel ratio";
    ) -> MassFlow = "W_f"
    source "[by-definition] of lambda"
    { air / (lambda * ratio) }

    /// Dry air in a flow of moist air
    ///
    /// W_d = W/(1 + w)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let w = shaftwork::engine::dry_air_flow(kg_per_s(0.255), HumidityRatio::new(0.02)?)?;
    /// assert!((w.si() - 0.25).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn dry_air_flow(
        moist: MassFlow = "W" in [1e-4, 5.0], "moist air flow";
        humidity: HumidityRatio = "w" in [0.0, 0.2], "humidity ratio";
    ) -> MassFlow = "W_d"
    source "[by-definition] of the humidity ratio"
    { moist / (humidity + 1.0) }

    /// Flow of moist air that carries a flow of dry air
    ///
    /// W = W_d (1 + w)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let w = shaftwork::engine::moist_air_flow(kg_per_s(0.25), HumidityRatio::new(0.02)?)?;
    /// assert!((w.si() - 0.255).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn moist_air_flow(
        dry: MassFlow = "W_d" in [1e-4, 5.0], "dry air flow";
        humidity: HumidityRatio = "w" in [0.0, 0.2], "humidity ratio";
    ) -> MassFlow = "W"
    source "[by-definition] of the humidity ratio"
    { dry * (humidity + 1.0) }
}
