//! The wheel as calipers see it: areas, trim, tip speed, and the flow its inducer can pass.

use crate::gas::{Gas, isentropic_temperature};
use crate::quantity::*;

formulas! { room "compressor" group WHEEL;
    /// Trim
    ///
    /// 100 (d_inducer/d_exducer)^2
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 50 mm in 70 mm: 51.02
    /// let trim = shaftwork::compressor::trim(mm(50.0), mm(70.0))?;
    /// assert!((trim.si() - 51.02).abs() < 0.005);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn trim(
        inducer: Length = "d_1t" in [0.01, 0.5], "inducer tip diameter";
        exducer: Length = "d_2" in [0.01, 0.7], "outer diameter of the wheel";
    ) -> Fraction = "trim"
    source "[sae-j922]"
    { (inducer / exducer).powi(2) * 100.0 }

    /// Annulus area of the inducer
    ///
    /// A = pi/4 (d_1t^2 - d_1h^2)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Eckardt rotor A, 280 and 120 mm: 0.05027 m2
    /// let a = shaftwork::compressor::inducer_area(mm(280.0), mm(120.0))?;
    /// assert!((a.si() - 0.05027).abs() < 1e-5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn inducer_area(
        tip: Length = "d_1t" in [0.01, 0.5], "inducer tip diameter";
        hub: Length = "d_1h" in [0.002, 0.3], "inducer hub diameter";
    ) -> Area = "A_1"
    source "[elementary-geometry]"
    { (tip * tip - hub * hub) * core::f64::consts::FRAC_PI_4 }

    /// Hub diameter from its share
    ///
    /// d_1h = k d_1t
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let d = shaftwork::compressor::hub_diameter(mm(46.4), percent(30.0))?;
    /// assert!((d.mm() - 13.92).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn hub_diameter(
        inducer: Length = "d_1t" in [0.01, 0.5], "inducer tip diameter";
        share: Fraction = "k_h" in [0.1, 0.8], "hub over tip diameter";
    ) -> Length = "d_1h"
    source "[elementary-geometry]"
    { inducer * share }

    /// Throat area from its share of the inducer
    ///
    /// A = k A_1
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let a = shaftwork::compressor::throat_from_share(mm2(1500.0), percent(57.0))?;
    /// assert!((a.mm2() - 855.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn throat_from_share(
        annulus: Area = "A_1" in [1e-5, 0.2], "inducer area";
        share: Fraction = "k_A" in [0.3, 1.0], "throat over annulus area";
    ) -> Area = "A"
    source "[by-definition]"
    { annulus * share }

    /// Blade speed at the inducer's root-mean-square radius
    ///
    /// U_1 = omega sqrt((d_1t^2 + d_1h^2)/8)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let u = shaftwork::compressor::inducer_blade_speed(mm(46.0), mm(14.0), rpm(120_000.0))?;
    /// assert!((u.si() - 213.63).abs() < 0.01); // sqrt(289) = 17.0 mm by hand
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn inducer_blade_speed(
        tip: Length = "d_1t" in [0.01, 0.5], "inducer tip diameter";
        hub: Length = "d_1h" in [0.002, 0.3], "inducer hub diameter";
        speed: ShaftSpeed = "omega" in [0.0, 5e4], "shaft speed";
    ) -> Velocity = "U_1"
    source "[elementary-geometry]"
    { speed * ((tip.powi(2) + hub.powi(2)) / 8.0).sqrt() }

    /// Shaft speed behind a tip speed
    ///
    /// omega = 2 U_2/d_2
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let n = shaftwork::compressor::shaft_speed_for_tip_speed(m_per_s(400.0), mm(61.0))?;
    /// assert!((n.rpm() - 125_236.0).abs() < 1.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn shaft_speed_for_tip_speed(
        tip_speed: Velocity = "U_2" in [0.0, 900.0], "tip speed of the wheel";
        exducer: Length = "d_2" in [0.01, 0.7], "outer diameter of the wheel";
    ) -> ShaftSpeed = "omega"
    source "[elementary-geometry]"
    { tip_speed * 2.0 / exducer }

    /// Tip speed
    ///
    /// U_2 = omega d_2/2
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // [nasa-tm-107541], CC3: 431 mm at 21 789 rev/min: 492 m/s
    /// let u = shaftwork::compressor::tip_speed(mm(431.0), rpm(21_789.0))?;
    /// assert!((u.si() - 492.0).abs() < 0.5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn tip_speed(
        exducer: Length = "d_2" in [0.01, 0.7], "outer diameter of the wheel";
        speed: ShaftSpeed = "omega" in [1.0, 5e4], "shaft speed";
    ) -> Velocity = "U_2"
    source "[elementary-geometry]"
    { exducer * speed / 2.0 }

    /// Corrected speed of a tip speed
    ///
    /// N_c = 2 U_2/d_2, at the reference temperature
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 420 m/s on 61 mm: 2 x 420/0.061 = 13 770.49 rad/s
    /// let n = shaftwork::compressor::corrected_speed_at_tip_speed(m_per_s(420.0), mm(61.0))?;
    /// assert!((n.si() - 13_770.492).abs() < 1e-3);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn corrected_speed_at_tip_speed(
        tip_speed: Velocity = "U_2" in [1.0, 900.0], "tip speed at the reference temperature";
        exducer: Length = "d_2" in [0.01, 0.7], "outer diameter of the wheel";
    ) -> CorrectedSpeed = "N_c"
    source "[elementary-geometry]"
    { tip_speed * 2.0 / exducer }

    /// Tip speed that a pressure ratio needs
    ///
    /// U_2 = sqrt([h(T_2s) - h(T_01)]/(eta lambda)) with the work coefficient lambda = dh_0/U_2^2
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA HECC reading 1979: Pi 4.5445, eta 0.838, lambda 0.777, 296.56 K: near its 492 m/s
    /// let u = shaftwork::compressor::tip_speed_for_ratio(&Gas::dry_air(), kelvin(296.56), PressureRatio::new(4.5445)?, Efficiency::new(0.838)?, percent(77.7))?;
    /// assert!((u.si() - 492.0).abs() < 8.0, "{u}");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn tip_speed_for_ratio [gas: &Gas] (
        inlet: Temperature = "T_01" in [200.0, 500.0], "inlet total temperature";
        ratio: PressureRatio = "Pi" in [1.0, 12.0], "total pressure ratio";
        efficiency: Efficiency = "eta" in [0.05, 1.0], "isentropic efficiency, total to total";
        work: Fraction = "lambda" in [0.3, 1.2], "work coefficient";
    ) -> Velocity = "U_2"
    source "[by-definition] of the work coefficient"
    {
        let ideal = isentropic_temperature::of(gas, inlet, ratio).called_in("T_2s", "K");
        let rise = (S::property(&gas.h(), ideal) - S::property(&gas.h(), inlet)).called_in("dh_s", "J/kg");
        let zero = S::lit(0.0);
        // At a ratio of one the last bit of T_2s may fall below T_01.
        let rise = S::cases(rise, zero, case("no compression", || zero), case("compression", || rise)).called_in("dh", "J/kg");
        (rise / (efficiency * work)).sqrt()
    }

    /// Choke flow of an inducer
    ///
    /// W = A rho_01 a_01 {2/(gamma+1) [1 + (gamma-1)/2 (U_1/a_01)^2]}^((gamma+1)/(2(gamma-1))): sonic flow
    /// through the throat in the rotating frame, axial inlet.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 1000 mm2, 288.15 K, 101.325 kPa, U equal to the speed of sound, gamma 1.4, R 287.05: 0.416862 kg/s
    /// let gamma = HeatCapacityRatio::new(1.4)?;
    /// let u = m_per_s((1.4_f64 * 287.05 * 288.15).sqrt());
    /// let w = shaftwork::compressor::inducer_choke_flow(mm2(1000.0), kelvin(288.15), kpa(101.325), u, gamma, j_per_kg_k(287.05))?;
    /// assert!((w.si() - 0.416862).abs() < 1e-5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn inducer_choke_flow(
        throat: Area = "A" in [1e-6, 0.2], "throat area between the blades";
        temperature: Temperature = "T_01" in [200.0, 500.0], "inlet total temperature";
        pressure: Pressure = "p_01" in [2e4, 2e5], "inlet total pressure";
        blade_speed: Velocity = "U_1" in [0.0, 700.0], "blade speed at the inducer's root-mean-square radius";
        gamma: HeatCapacityRatio = "gamma" in [1.1, 1.6667], "ratio of specific heats";
        gas_constant: SpecificHeat = "R" in [150.0, 600.0], "specific gas constant";
    ) -> MassFlow = "W"
    source "[derived-here] for one-dimensional choked flow in the relative frame; compare [dixon-hall], ch. 7"
    {
        let sound = (gamma * gas_constant * temperature).sqrt().called_in("a_01", "m/s");
        let mach = (blade_speed / sound).called("M_U");
        let head = ((gamma - 1.0) / 2.0 * mach * mach + 1.0) * 2.0 / (gamma + 1.0);
        let passed = head.powf((gamma + 1.0) / ((gamma - 1.0) * 2.0));
        throat * pressure / (gas_constant * temperature) * sound * passed
    }
}

/// Hub over tip diameter of the inducer, where the hub was not measured: from memory 0.25 to 0.40.
pub const HUB_RATIO: f64 = 0.30;
/// Throat over annulus area, where neither blade angle nor throat was measured: two published
/// rigs give 0.49 ([eckardt-1979] rotor A, blockage included) and 0.65 ([nasa-hecc]).
pub const THROAT_SHARE: f64 = 0.57;
/// Work coefficient, where nothing is known: published rigs with backswept blades give 0.63 to 0.78.
pub const WORK_COEFFICIENT: f64 = 0.70;
/// One standard deviation of the choke flow from diameters alone: four published rigs and [own-judgement].
pub const CHOKE_SIGMA: f64 = 0.12;

/// What one reading of the diameters says about the greatest flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChokeBand {
    /// The reading of the inducer's tip diameter.
    pub inducer: Length,
    /// The reading of the outer diameter.
    pub exducer: Length,
    /// Trim with that reading.
    pub trim: Fraction,
    /// Tip speed that the pressure ratio needs.
    pub tip_speed: Velocity,
    /// Shaft speed at that tip speed.
    pub speed: ShaftSpeed,
    /// Estimated choke flow at this inlet.
    pub flow: MassFlow,
    /// One standard deviation of it, as a fraction.
    pub sigma: Fraction,
}

/// The choke bands of all readings, in their order.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct ChokeBands(pub(super) Vec<ChokeBand>);

impl core::ops::Deref for ChokeBands {
    type Target = [ChokeBand];
    fn deref(&self) -> &[ChokeBand] {
        &self.0
    }
}

impl ChokeBand {
    /// The flow one standard deviation down and up.
    pub fn band(&self) -> [MassFlow; 2] {
        [self.flow * (1.0 - self.sigma.si()), self.flow * (1.0 + self.sigma.si())]
    }
    /// How many standard deviations a flow lies below the estimated choke flow.
    pub fn distance(&self, flow: MassFlow) -> f64 {
        (self.flow / flow - 1.0) / self.sigma.si()
    }
}
