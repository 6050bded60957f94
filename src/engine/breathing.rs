//! Geometry and the air that goes through it.

use crate::gas::Gas;
use crate::quantity::*;

/// Volumetric efficiency referred to the manifold, where none is given: four valves, from memory
/// 0.90 to 1.05.
pub const DEFAULT_VOLUMETRIC_EFFICIENCY: f64 = 0.95;

formulas! { room "engine" group BREATHING;
    /// Swept volume of one cylinder
    ///
    /// V = pi/4 B^2 S
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let v = shaftwork::engine::swept_volume(mm(84.0), mm(84.0))?;
    /// assert!((v.cc() - 465.51).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn swept_volume(
        bore: Length = "B" in [0.03, 0.2], "bore";
        stroke: Length = "S" in [0.03, 0.2], "stroke";
    ) -> Volume = "V_1"
    source "[elementary-geometry]"
    { bore * bore * stroke * core::f64::consts::FRAC_PI_4 }

    /// Displacement of all cylinders
    ///
    /// V_d = n V_1
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let v = shaftwork::engine::displacement(Count::new(4.0)?, cc(465.51))?;
    /// assert!((v.cc() - 1862.04).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn displacement(
        cylinders: Count = "n" in [1.0, 16.0], "number of cylinders";
        swept: Volume = "V_1" in [2e-5, 0.01], "swept volume of one cylinder";
    ) -> Volume = "V_d"
    source "[elementary-geometry]"
    { swept * cylinders }

    /// Mean piston speed
    ///
    /// S_p = 2 S N/60 with N in rev/min; with omega in rad/s, S_p = S omega/pi
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let v = shaftwork::engine::mean_piston_speed(mm(84.0), rpm(6700.0))?;
    /// assert!((v.si() - 18.76).abs() < 0.001);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn mean_piston_speed(
        stroke: Length = "S" in [0.03, 0.2], "stroke";
        speed: ShaftSpeed = "omega" in [10.0, 2500.0], "engine speed";
    ) -> Velocity = "S_p"
    source "[by-definition] of mean piston speed"
    { stroke * speed / core::f64::consts::PI }

    /// Air flow of a four-stroke engine from its manifold state
    ///
    /// W = eta_v V_d (omega/(4 pi)) p_m/(R T_m): speed-density, the volumetric efficiency referred to the
    /// manifold.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 2.0 L at 6000 rev/min, 200 kPa, 318.15 K, 0.95, R 287.05 by hand: 0.208048 kg/s
    /// let w = shaftwork::engine::air_flow(&Gas::dry_air(), kpa(200.0), kelvin(318.15), percent(95.0), litre(2.0), rpm(6000.0))?;
    /// assert!((w.si() - 0.208048).abs() < 2e-6);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn air_flow [gas: &Gas] (
        pressure: Pressure = "p_m" in [1e4, 1e6], "manifold pressure";
        temperature: Temperature = "T_m" in [200.0, 600.0], "manifold temperature";
        breathing: Fraction = "eta_v" in [0.3, 1.5], "volumetric efficiency, manifold conditions";
        displacement: Volume = "V_d" in [2e-5, 0.05], "displacement";
        speed: ShaftSpeed = "omega" in [10.0, 2500.0], "engine speed";
    ) -> MassFlow = "W"
    source "[by-definition] of volumetric efficiency; [heywood-1988], eq. 2.27 (from memory)"
    { breathing * displacement * speed / (4.0 * core::f64::consts::PI) * pressure / (temperature * gas.named_r::<S>()) }

    /// Volumetric efficiency against the exhaust pressure
    ///
    /// eta_v = eta_v0 [r_c - (p_3/p_m)^(1/1.3)]/(r_c - 1): burned gas left in the clearance volume expands into the
    /// room of the fresh charge. Without valve overlap; with it, fresh air is lost or gained besides.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // by hand: (9.5 - 1.3^(1/1.3))/8.5 = 0.97369
    /// let eta = shaftwork::engine::breathing_against(percent(100.0), CompressionRatio::new(9.5)?, kpa(130.0), kpa(100.0))?;
    /// assert!((eta.si() - 0.97369).abs() < 1e-5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn breathing_against(
        breathing: Fraction = "eta_v0" in [0.3, 1.5], "volumetric efficiency with equal pressures on both sides";
        compression: CompressionRatio = "r_c" in [6.0, 16.0], "compression ratio";
        exhaust: Pressure = "p_3" in [1e4, 3e6], "exhaust manifold pressure";
        manifold: Pressure = "p_m" in [1e4, 1e6], "manifold pressure";
    ) -> Fraction = "eta_v"
    source "[eriksson-nielsen], companion parameter files; [heywood-1988], eq. 6.2 (from memory)"
    { breathing * ((compression - (exhaust / manifold).powf(S::lit(1.0 / 1.3))) / (compression - 1.0)) }

    /// Manifold pressure for an air flow
    ///
    /// p_m = W R T_m/(eta_v V_d omega/(4 pi)): speed-density turned round.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // The example of `air_flow`, backwards: 200 kPa
    /// let p = shaftwork::engine::manifold_pressure(&Gas::dry_air(), kg_per_s(0.208048), kelvin(318.15), percent(95.0), litre(2.0), rpm(6000.0))?;
    /// assert!((p.kpa() - 200.0).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn manifold_pressure [gas: &Gas] (
        flow: MassFlow = "W" in [1e-4, 5.0], "air flow";
        temperature: Temperature = "T_m" in [200.0, 600.0], "manifold temperature";
        breathing: Fraction = "eta_v" in [0.3, 1.5], "volumetric efficiency, manifold conditions";
        displacement: Volume = "V_d" in [2e-5, 0.05], "displacement";
        speed: ShaftSpeed = "omega" in [10.0, 2500.0], "engine speed";
    ) -> Pressure = "p_m"
    source "[by-definition] of volumetric efficiency; [heywood-1988], eq. 2.27 (from memory)"
    { flow * temperature * gas.named_r::<S>() / (breathing * displacement * speed / (4.0 * core::f64::consts::PI)) }
}
