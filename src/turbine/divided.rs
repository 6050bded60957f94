//! Divided housings: two entries, each with its own pressure, and what pulses give.

use crate::formula::{FormulaError, Scalar, c, case, checked};
use crate::quantity::*;

/// Phases of a half period at which a pulse is taken: their mean is within 6e-4 of the integral up to a swing of 40 %.
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
        let one = (first / first_area).called("m_1");
        let two = (second / second_area).called("m_2");
        let gap = S::cases(one, two, case("second leads", || two - one), case("first leads", || one - two)).called("d");
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
        ratio: ExpansionRatio = "PR_m" in [1.02, 10.0], "mean inlet pressure over outlet pressure";
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

/// The two entries of a divided housing.
///
/// A division that the manifold does not keep up gives nothing back: where all cylinders feed one common log, both
/// entries see the same steady pressure, and the second scroll's friction and the wall between them are only lost.
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
            manifold,
        })
    }
    /// Both entries' shares of the effective area.
    pub fn shares(&self) -> [Fraction; 2] {
        [self.first, Fraction::from_si_unchecked(1.0 - self.first.si())]
    }
    /// Share of efficiency lost with one entry alone.
    pub fn loss(&self) -> Fraction {
        self.loss
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
        Ok([0.5, 0.75, 1.0].map(|kept| Fraction::from_si_unchecked(1.0 + kept * gain)))
    }
}
