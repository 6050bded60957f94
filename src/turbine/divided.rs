//! Divided housings: two entries, each with its own pressure, and what pulses give.

use crate::formula::{FormulaError, Scalar, c, case, checked};
use crate::quantity::*;

/// Phases of a half period at which a pulse is taken: their mean is within 7e-4 of the integral up to a swing of 40 %.
const PHASES: usize = 8;

/// Power of an ideal nozzle, but for a constant, by the ratio of inlet to outlet pressure.
fn nozzle_power<S: Scalar>(ratio: S, critical: S, gamma: S) -> S {
    let power = || {
        let used = S::cases(ratio, critical, case("not choked", || ratio), case("choked", || critical));
        let psi = (used.powf(c(-2.0) / gamma) - used.powf(-(gamma + 1.0) / gamma)).sqrt();
        ratio * psi * (c(1.0) - ratio.powf((c(1.0) - gamma) / gamma))
    };
    S::cases(ratio, S::lit(1.0), case("no drop", || S::lit(0.0)), case("drop", power))
}

formulas! { room "turbine" group DIVIDED;
    /// How unevenly two entries are fed
    ///
    /// a = |W_1/A_1 - W_2/A_2|/(W_1/A_1 + W_2/A_2): 0 with equal feed, 1 where one entry takes nothing
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Equal areas, 0.06 and 0.02 kg/s: a half
    /// let a = shaftwork::turbine::admission_asymmetry(kg_per_s(0.06), kg_per_s(0.02), mm2(250.0), mm2(250.0))?;
    /// assert!((a.si() - 0.5).abs() < 1e-12);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn admission_asymmetry(
        first: MassFlow = "W_1" in [0.0, 5.0], "flow through the first entry";
        second: MassFlow = "W_2" in [0.0, 5.0], "flow through the second entry";
        first_area: Area = "A_1" in [1e-6, 0.1], "effective area of the first entry";
        second_area: Area = "A_2" in [1e-6, 0.1], "effective area of the second entry";
    ) -> Fraction = "a"
    source "[derived-here]"
    {
        let one = (first / first_area).called_in("m_1", "kg/(s m2)");
        let two = (second / second_area).called_in("m_2", "kg/(s m2)");
        let gap = S::cases(one, two, case("second leads", || two - one), case("first leads", || one - two)).called_in("d", "kg/(s m2)");
        gap / (one + two)
    }

    /// Efficiency with uneven admission
    ///
    /// eta = eta_f (1 - d a): from memory d lies between 0.05 and 0.15, partial admission at 0.80 to 0.88 of full being the
    /// far end
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let e = shaftwork::turbine::partial_admission(Efficiency::new(0.70)?, fraction(0.10), fraction(1.0))?;
    /// assert!((e.si() - 0.63).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn partial_admission(
        full: Efficiency = "eta_f" in [0.05, 0.95], "efficiency with equal feed";
        loss: Fraction = "d" in [0.0, 0.3], "share lost with one entry alone";
        asymmetry: Fraction = "a" in [0.0, 1.0], "how unevenly the entries are fed";
    ) -> Efficiency = "eta_t"
    source "[common-practice], no source; figures from memory"
    { full * (c(1.0) - loss * asymmetry) }

    /// Efficiency of a divided housing
    ///
    /// eta_t = eta_s (1 - k): the second scroll's friction and the wall between them, from memory 0 to 0.04
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let e = shaftwork::turbine::divided_efficiency(Efficiency::new(0.70)?, fraction(0.02))?;
    /// assert!((e.si() - 0.686).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn divided_efficiency(
        single: Efficiency = "eta_s" in [0.01, 0.95], "efficiency of the same housing undivided";
        friction: Fraction = "k" in [0.0, 0.2], "share lost to the division";
    ) -> Efficiency = "eta_t"
    source "[common-practice], no source; figures from memory"
    { single * (c(1.0) - friction) }

    /// Power with pulses
    ///
    /// P = P_m [1 + k (f_p - 1)]: of what a quasi-steady pulse gives, a share k is left, from memory a half to all
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 20 kW, a tenth of gain, three quarters of it left: 21.5 kW
    /// let p = shaftwork::turbine::pulsed_power(kw(20.0), fraction(1.1), fraction(0.75))?;
    /// assert!((p.kw() - 21.5).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn pulsed_power(
        still: Power = "P_m" in [0.0, 1e6], "power at the mean state";
        factor: Fraction = "f_p" in [0.5, 1e3], "power of pulses over that of the mean state";
        kept: Fraction = "k" in [0.0, 1.0], "share of the gain that is left";
    ) -> Power = "P"
    source "[own-judgement]; the share from memory"
    { still * (kept * (factor - 1.0) + 1.0) }

    /// Power that the mean state must give
    ///
    /// P_m = P/[1 + k (f_p - 1)]: [`pulsed_power`] turned round
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let p = shaftwork::turbine::still_power(kw(21.5), fraction(1.1), fraction(0.75))?;
    /// assert!((p.kw() - 20.0).abs() < 1e-9);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn still_power(
        power: Power = "P" in [0.0, 1e6], "power asked for";
        factor: Fraction = "f_p" in [0.5, 1e3], "power of pulses over that of the mean state";
        kept: Fraction = "k" in [0.0, 1.0], "share of the gain that is left";
    ) -> Power = "P_m"
    source "[own-judgement]; the share from memory"
    { power / (kept * (factor - 1.0) + 1.0) }

    /// What pulses give over their mean pressure
    ///
    /// f = mean of P(p)/P(p_mean) over p = p_mean (1 + a sin), P = W(p) [h(T_03) - h_4s(p)] of an ideal nozzle at constant
    /// T_03 and p_4, no less than p_4: quasi-steady, eight phases. Little is left of it at high boost, and the fall of
    /// efficiency with the momentary blade speed ratio is not in it.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // gamma 1.3, 130 over 105 kPa, a swing of 20 %: the integral is 1.12535
    /// let f = shaftwork::turbine::pulse_factor(ExpansionRatio::new(130.0 / 105.0)?, percent(20.0), HeatCapacityRatio::new(1.3)?)?;
    /// assert!((f.si() - 1.12535).abs() < 6e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn pulse_factor(
        ratio: ExpansionRatio = "PR_m" in [1.005, 20.0], "mean inlet pressure over outlet pressure";
        swing: Fraction = "a" in [0.0, 0.9], "swing of the inlet pressure over its mean";
        gamma: HeatCapacityRatio = "gamma" in [1.2, 1.45], "ratio of specific heats of the exhaust gas";
    ) -> Fraction = "f_p"
    source "[derived-here], quasi-steady flow of an [ideal-gas]"
    {
        let critical = ((gamma + 1.0) / 2.0).powf(gamma / (gamma - 1.0)).called("PR_crit");
        let still = nozzle_power(ratio, critical, gamma).called("P_m");
        let mut sum = S::lit(0.0);
        for phase in 0..PHASES {
            let angle = core::f64::consts::PI * ((phase as f64 + 0.5) / PHASES as f64 - 0.5);
            sum = sum + nozzle_power(ratio * (swing * angle.sin() + 1.0), critical, gamma);
        }
        sum / (still * PHASES as f64)
    }
}

/// Share of efficiency lost where one entry takes everything: from memory 0.05 to 0.15.
pub const ADMISSION_LOSS: f64 = 0.10;

/// Share of efficiency that the division itself takes: from memory 0 to 0.04.
pub const DIVISION_FRICTION: f64 = 0.02;
/// Share of a quasi-steady pulse's gain that is left: from memory a half to all.
pub const PULSES_KEPT: f64 = 0.75;

/// The two entries of a divided housing.
///
/// A division that the manifold does not keep up gives nothing back: where all cylinders feed one common log, both
/// entries see the same steady pressure, and the second scroll's friction and the wall between them are only lost.
/// In the shaft's balance both entries are fed equally on average.
///
/// ```
/// use shaftwork::prelude::*;
/// let entry = DividedEntry::equal(ManifoldKind::CommonLog)?;
/// assert_eq!(entry.shares(), [percent(50.0), percent(50.0)]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DividedEntry {
    first: Fraction,
    loss: Fraction,
    friction: Fraction,
    kept: Fraction,
    manifold: ManifoldKind,
}

/// What feeds a turbine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ManifoldKind {
    /// All cylinders into one volume: steady pressure.
    CommonLog,
    /// Groups of cylinders kept apart, with the swing of pressure over its mean (0 to 0.9). The mean state then
    /// understates the power by [`pulse_factor`], of which half to all is left (from memory).
    KeptApart {
        /// Swing of pressure over its mean.
        swing: Fraction,
    },
}

impl DividedEntry {
    /// Two entries of equal area with [`ADMISSION_LOSS`].
    pub fn equal(manifold: ManifoldKind) -> Result<Self, FormulaError> {
        let [half, loss] = [0.5, ADMISSION_LOSS].map(Fraction::from_si_unchecked);
        Self::new(half, loss, manifold)
    }
    /// The first entry's share of the effective area (0.2 to 0.8) and the share of efficiency lost with one entry alone
    /// (0 to 0.3).
    pub fn new(first: Fraction, loss: Fraction, manifold: ManifoldKind) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::DividedEntry::new";
        if let ManifoldKind::KeptApart { swing } = manifold {
            checked(NAME, "swing", "swing of the inlet pressure over its mean", swing, 0.0, 0.9)?;
        }
        Ok(Self {
            first: checked(NAME, "first", "share of the first entry", first, 0.2, 0.8)?,
            loss: checked(NAME, "loss", "share lost with one entry alone", loss, 0.0, 0.3)?,
            friction: Fraction::from_si_unchecked(DIVISION_FRICTION),
            kept: Fraction::from_si_unchecked(PULSES_KEPT),
            manifold,
        })
    }
    /// Sets the share of efficiency that the division itself takes, 0 to 0.2; [`DIVISION_FRICTION`] without.
    pub fn with_friction(mut self, friction: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::DividedEntry::with_friction";
        self.friction = checked(NAME, "friction", "share lost to the division", friction, 0.0, 0.2)?;
        Ok(self)
    }
    /// Sets the share of a pulse's gain that is left, 0 to 1; [`PULSES_KEPT`] without.
    pub fn with_pulses_kept(mut self, kept: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::DividedEntry::with_pulses_kept";
        self.kept = checked(NAME, "kept", "share of the pulses' gain that is left", kept, 0.0, 1.0)?;
        Ok(self)
    }
    /// Both entries' shares of the effective area.
    pub fn shares(&self) -> [Fraction; 2] {
        [self.first, Fraction::from_si_unchecked(1.0 - self.first.si())]
    }
    /// Share of efficiency lost with one entry alone.
    pub fn loss(&self) -> Fraction {
        self.loss
    }
    /// Share of efficiency that the division itself takes.
    pub fn friction(&self) -> Fraction {
        self.friction
    }
    /// Share of a pulse's gain that is left.
    pub fn kept(&self) -> Fraction {
        self.kept
    }
    /// What feeds it.
    pub fn manifold(&self) -> ManifoldKind {
        self.manifold
    }
    /// The power of pulses over that of the mean state: least, likely, most. One where the manifold is a common log.
    pub fn pulse_gain(
        &self,
        ratio: ExpansionRatio,
        gamma: HeatCapacityRatio,
    ) -> Result<[Fraction; 3], FormulaError> {
        let ManifoldKind::KeptApart { swing } = self.manifold else {
            return Ok([1.0; 3].map(Fraction::from_si_unchecked));
        };
        let gain = pulse_factor(ratio, swing, gamma)?.si() - 1.0;
        Ok([0.5, self.kept.si(), 1.0].map(|kept| Fraction::from_si_unchecked(1.0 + kept * gain)))
    }
}
