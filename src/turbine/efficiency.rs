//! Efficiency over blade speed ratio, and what size, clearance, bearings and heat do to it.

use crate::formula::{FormulaError, Giver, Scalar, checked};
use crate::gas::{Gas, isentropic_temperature};
use crate::quantity::*;

formulas! { room "turbine" group EFFICIENCY;
    /// Ideal velocity of an expansion
    ///
    /// C_0 = sqrt(2 [h(T_03) - h(T_4s)]): total to static, cp(T); also called the spouting velocity.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Cantera 3.2.0: stoichiometric CH1.85, 1173.15 K, 200 to 101.325 kPa gives 212 017.2 J/kg, so 651.18 m/s
    /// let exhaust = Gas::products(&Fuel::gasoline()?, Lambda::new(1.0)?)?;
    /// let v = shaftwork::turbine::ideal_velocity(&exhaust, kelvin(1173.15), ExpansionRatio::new(200.0 / 101.325)?)?;
    /// assert!((v.si() - 651.18).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn ideal_velocity [gas: &Gas] (
        inlet: Temperature = "T_03" in [250.0, 1500.0], "turbine inlet total temperature";
        ratio: ExpansionRatio = "PR_t" in [1.0, 20.0], "expansion ratio, total to static";
    ) -> Velocity = "C_0"
    source "[by-definition]"
    {
        let ideal = isentropic_temperature::of(gas, inlet, c(1.0) / ratio).called_in("T_4s", "K");
        ((S::property(&gas.h(), inlet) - S::property(&gas.h(), ideal)) * 2.0).sqrt()
    }

    /// Blade speed ratio
    ///
    /// nu = U/C_0: blade speed at the wheel's inlet, ideal velocity total to static
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Axial leaving flow without loss gives up U^2 per mass, so C_0^2 = 2 U^2 at its best: 0.7071
    /// let nu = shaftwork::turbine::blade_speed_ratio(m_per_s(300.0), m_per_s(424.264))?;
    /// assert!((nu.si() - 0.70711).abs() < 1e-5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn blade_speed_ratio(
        blade: Velocity = "U" in [0.0, 1200.0], "blade speed at the wheel's inlet";
        ideal: Velocity = "C_0" in [0.1, 2500.0], "ideal velocity, total to static";
    ) -> Fraction = "nu"
    source "[by-definition]"
    { blade / ideal }

    /// Efficiency over blade speed ratio by a parabola
    ///
    /// eta = eta_p [1 - c (nu - nu_0)^2], and no less than 0.05. NASA TN D-5090, total to static, blade speed ratios 0.5
    /// to 0.85: 0.8725 - 2.400 (nu - 0.698)^2, so c 2.751; farther out it falls too fast.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA TN D-5090, figure: 0.871 at 0.690
    /// let e = shaftwork::turbine::efficiency_parabola(Efficiency::new(0.8725)?, fraction(2.4 / 0.8725), fraction(0.698), fraction(0.690))?;
    /// assert!((e.si() - 0.871).abs() < 0.003);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn efficiency_parabola(
        peak: Efficiency = "eta_p" in [0.1, 0.95], "efficiency at its best, total to static";
        curvature: Fraction = "c" in [0.0, 20.0], "curvature";
        best: Fraction = "nu_0" in [0.3, 1.0], "blade speed ratio of the best efficiency";
        speed_ratio: Fraction = "nu" in [0.0, 1e4], "blade speed ratio";
    ) -> Efficiency = "eta_t"
    source "[derived-here]; shape fitted to [nasa-tn-d-5090]"
    {
        let off = speed_ratio - best;
        let eta = (peak * (c(1.0) - curvature * off * off)).called("eta");
        S::cases(eta, S::lit(LEAST), case("held", || S::lit(LEAST)), case("curve", || eta))
    }

    /// Efficiency over blade speed ratio at all speeds
    ///
    /// eta = eta_p [1 - |1 - nu/nu_0|^e], and no less than 0.05: nothing at rest, nothing at 2 nu_0. NASA TN D-5090, total
    /// to static, all speeds: 0.8791, nu_0 0.6968, e 1.689, within 0.0078 (rms).
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA TN D-5090, figure: 0.547 at 0.305
    /// let e = shaftwork::turbine::efficiency_power(Efficiency::new(0.8791)?, fraction(1.689), fraction(0.6968), fraction(0.305))?;
    /// assert!((e.si() - 0.547).abs() < 0.003);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn efficiency_power(
        peak: Efficiency = "eta_p" in [0.1, 0.95], "efficiency at its best, total to static";
        exponent: Fraction = "e" in [1.1, 3.0], "exponent of the fall";
        best: Fraction = "nu_0" in [0.3, 1.0], "blade speed ratio of the best efficiency";
        speed_ratio: Fraction = "nu" in [0.0, 1e4], "blade speed ratio";
    ) -> Efficiency = "eta_t"
    source "[derived-here]; shape fitted to [nasa-tn-d-5090]"
    {
        let off = (c(1.0) - speed_ratio / best).called("x");
        let away = S::cases(off, S::lit(0.0), case("faster", || -off), case("slower", || off)).called("z");
        let eta = (peak * (c(1.0) - away.powf(exponent))).called("eta");
        S::cases(eta, S::lit(LEAST), case("held", || S::lit(LEAST)), case("curve", || eta))
    }

    /// Reynolds number of a radial turbine
    ///
    /// Re = W/(mu r)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 0.12 kg/s, 45 uPa s, 30 mm by hand: 88 889
    /// let re = shaftwork::turbine::wheel_reynolds(kg_per_s(0.12), upa_s(45.0), mm(30.0))?;
    /// assert!((re.si() - 88_889.0).abs() < 0.5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn wheel_reynolds(
        flow: MassFlow = "W" in [1e-4, 5.0], "flow through the wheel";
        viscosity: Viscosity = "mu" in [5e-6, 1e-4], "viscosity at the inlet";
        radius: Length = "r" in [0.01, 0.1], "radius of the wheel at its inlet";
    ) -> Fraction = "Re"
    source "[nasa-tn-d-5090] (definition from memory; the report's design flow gives its Reynolds number)"
    { flow / (viscosity * radius) }

    /// Efficiency at another Reynolds number
    ///
    /// eta = 1 - (1 - eta_r) (Re/Re_r)^-0.237: loss falls with size and density. Fitted on 35 000 to 176 000 of one
    /// wheel; a smaller wheel of the same clearance loses more than this.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA TN D-5090, total to total: 0.890 at 34 950, 0.925 at 175 800
    /// let e = shaftwork::turbine::reynolds_efficiency(Efficiency::new(0.890)?, fraction(34_950.0), fraction(175_800.0))?;
    /// assert!((e.si() - 0.925).abs() < 0.001);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn reynolds_efficiency(
        reference: Efficiency = "eta_r" in [0.1, 0.95], "efficiency at the reference Reynolds number";
        reference_reynolds: Fraction = "Re_r" in [1e4, 1e6], "reference Reynolds number";
        reynolds: Fraction = "Re" in [5e3, 2e6], "Reynolds number";
    ) -> Efficiency = "eta_t"
    source "[derived-here]; exponent fitted to [nasa-tn-d-5090]"
    { c(1.0) - (c(1.0) - reference) * (reynolds / reference_reynolds).powf(S::lit(-0.237)) }

    /// Efficiency at another tip clearance
    ///
    /// eta = eta_r [1 - k_c (eps - eps_r)], k_c from 1/5 to 1/3: per cent of efficiency per per cent of blade height
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 0.87, five per cent of blade height more at 0.27 each, by hand: 0.87 (1 - 0.0135)
    /// let e = shaftwork::turbine::clearance_efficiency(Efficiency::new(0.87)?, fraction(0.27), percent(1.0), percent(6.0))?;
    /// assert!((e.si() - 0.858255).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn clearance_efficiency(
        reference: Efficiency = "eta_r" in [0.1, 0.95], "efficiency at the reference clearance";
        slope: Fraction = "k_c" in [0.1, 0.5], "share of efficiency lost per share of blade height";
        reference_clearance: Fraction = "eps_r" in [0.0, 0.2], "reference clearance over blade height";
        clearance: Fraction = "eps" in [0.0, 0.2], "clearance over blade height";
    ) -> Efficiency = "eta_t"
    source "[nasa-tm-x-52552], 1/5 to 1/3 % per %"
    { reference * (c(1.0) - slope * (clearance - reference_clearance)) }

    /// What heat from the turbine does to a compressor's measured efficiency
    ///
    /// eta_app/eta_c = P_c/(P_c + Q): a stand that takes the compressor's power from its outlet temperature counts the
    /// heat that flows over from the turbine as work. At low speed the power is small and the heat is not.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 300 W of heat into 900 W of compression: 0.75
    /// let k = shaftwork::turbine::heat_share(watt(900.0), watt(300.0))?;
    /// assert!((k.si() - 0.75).abs() < 1e-12);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn heat_share(
        power: Power = "P_c" in [1.0, 1e6], "power that the compressor takes";
        heat: Power = "Q" in [0.0, 1e5], "heat from the turbine to the compressor's gas";
    ) -> Fraction = "k_q"
    source "[energy-balance]; [nasa-tm-x-2350], appendix B, discusses it"
    { power / (power + heat) }
}

/// The efficiency below which no curve falls. A wheel far from its best speed gives nothing or brakes; the models stop
/// here.
pub const LEAST_EFFICIENCY: f64 = 0.05;
const LEAST: f64 = LEAST_EFFICIENCY;

/// Share of efficiency lost per share of blade height of clearance, the middle of 1/5 to 1/3 of [nasa-tm-x-52552].
pub const CLEARANCE_SLOPE: f64 = 0.27;

/// How efficiency falls off its peak with the blade speed ratio U/C_0, total to static.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EfficiencyCurve {
    shape: Shape,
    best: Fraction,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Shape {
    Parabola(Fraction),
    Power(Fraction),
}

impl Default for EfficiencyCurve {
    /// The shape of [nasa-tn-d-5090] over all speeds: best at 0.6968, exponent 1.689. One turbine of good size; other
    /// wheels peak between 0.60 and 0.72.
    fn default() -> Self {
        let [best, exponent] = [0.6968, 1.689].map(Fraction::from_si_unchecked);
        Self { shape: Shape::Power(exponent), best }
    }
}

impl EfficiencyCurve {
    /// The parabola of [`efficiency_parabola`]: curvature 0 to 20, best blade speed ratio 0.3 to 1.
    pub fn parabola(curvature: Fraction, best: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::EfficiencyCurve::parabola";
        let curvature = checked(NAME, "curvature", "curvature", curvature, 0.0, 20.0)?;
        let best = checked(NAME, "best", "best blade speed ratio", best, 0.3, 1.0)?;
        Ok(Self { shape: Shape::Parabola(curvature), best })
    }
    /// The form of [`efficiency_power`]: exponent 1.1 to 3, best blade speed ratio 0.3 to 1.
    pub fn power(exponent: Fraction, best: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::EfficiencyCurve::power";
        let exponent = checked(NAME, "exponent", "exponent", exponent, 1.1, 3.0)?;
        let best = checked(NAME, "best", "best blade speed ratio", best, 0.3, 1.0)?;
        Ok(Self { shape: Shape::Power(exponent), best })
    }
    /// Blade speed ratio of the best efficiency.
    pub fn best(&self) -> Fraction {
        self.best
    }
    /// Efficiency at a blade speed ratio, with this peak.
    pub fn at(&self, peak: Efficiency, speed_ratio: Fraction) -> Result<Efficiency, FormulaError> {
        match self.shape {
            Shape::Parabola(curvature) => efficiency_parabola(peak, curvature, self.best, speed_ratio),
            Shape::Power(exponent) => efficiency_power(peak, exponent, self.best, speed_ratio),
        }
    }

    pub(super) fn parts<S: Scalar>(&self, g: &impl Giver<S>) -> CurveParts<S> {
        let best = g.give("turbine.best_speed_ratio", "", self.best);
        match self.shape {
            Shape::Parabola(value) => {
                CurveParts { best, figure: g.give("turbine.curvature", "", value), parabola: true }
            }
            Shape::Power(value) => {
                CurveParts { best, figure: g.give("turbine.fall_exponent", "", value), parabola: false }
            }
        }
    }
}

/// The curve in one kind of number.
#[derive(Clone, Copy)]
pub(super) struct CurveParts<S> {
    best: S,
    figure: S,
    parabola: bool,
}

impl<S: Scalar> CurveParts<S> {
    /// The formula that [`at`](Self::at) takes.
    pub fn by(&self) -> &'static str {
        if self.parabola { "turbine::efficiency_parabola" } else { "turbine::efficiency_power" }
    }
    pub fn at(&self, peak: S, speed_ratio: S) -> Result<S, FormulaError> {
        if self.parabola {
            efficiency_parabola::step(peak, self.figure, self.best, speed_ratio)
        } else {
            efficiency_power::step(peak, self.figure, self.best, speed_ratio)
        }
    }
}

impl CurveParts<f64> {
    pub fn lift<S: Scalar>(&self) -> CurveParts<S> {
        CurveParts { best: S::lit(self.best), figure: S::lit(self.figure), parabola: self.parabola }
    }
}

/// The efficiency of a turbine with what it includes said in the type: gas-stand figures usually
/// include the bearings, and counting those twice costs 4 % of pressure ratio.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurbineEfficiency {
    overall: Efficiency,
    bearings: BearingLoss,
}

/// Where a turbine's bearing loss is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BearingLoss {
    /// In the efficiency: as gas stands report it, or by a mechanical efficiency beside the wheel's.
    InEfficiency,
    /// Apart, as a power of its own: [`Turbine::bearings`](super::Turbine::bearings).
    Apart,
}

impl TurbineEfficiency {
    /// Total to static with the bearing losses included, as gas stands report it.
    pub fn with_bearings(efficiency: Efficiency) -> Self {
        Self { overall: efficiency, bearings: BearingLoss::InEfficiency }
    }
    /// Of the wheel alone, total to static, and the mechanical efficiency beside it.
    pub fn of_wheel(efficiency: Efficiency, mechanical: Efficiency) -> Self {
        let overall = Efficiency::from_si_unchecked(efficiency.si() * mechanical.si());
        Self { overall, bearings: BearingLoss::InEfficiency }
    }
    /// Of the wheel alone, total to static; the bearings take a power of their own.
    pub fn of_wheel_alone(efficiency: Efficiency) -> Self {
        Self { overall: efficiency, bearings: BearingLoss::Apart }
    }
    /// Shaft power at the compressor over the ideal power of the flow; before the bearings where they count apart.
    pub fn overall(&self) -> Efficiency {
        self.overall
    }
    /// Where the bearing loss is counted.
    pub fn bearings(&self) -> BearingLoss {
        self.bearings
    }
}
