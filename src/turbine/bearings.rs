//! What the bearings take, and the inertia of the rotor.

use crate::formula::{FormulaError, checked};
use crate::quantity::*;

formulas! { room "turbine" group BEARINGS;
    /// Friction figure of plain bearings
    ///
    /// k_f = 2 pi n mu r^3 L/c: Petroff's law of a concentric, lightly loaded journal, torque over speed. The film is
    /// warmer than the oil that feeds it. Floating rings take about half of it (from memory).
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // two journals 8 x 6 mm, clearance 15 um, 8 mPa s by hand: 282 W at 100 000 rev/min
    /// let k = shaftwork::turbine::journal_friction(mpa_s(8.0), mm(8.0), mm(6.0), mm(0.015), Count::new(2.0)?)?;
    /// let p = shaftwork::turbine::bearing_power(k, rpm(100_000.0))?;
    /// assert!((p.si() - 282.2).abs() < 0.1);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn journal_friction(
        viscosity: Viscosity = "mu" in [5e-4, 2.0], "viscosity of the oil in the film";
        diameter: Length = "d_j" in [0.003, 0.03], "diameter of the journal";
        width: Length = "L" in [0.002, 0.04], "width of one bearing";
        clearance: Length = "c" in [5e-6, 2e-4], "radial clearance";
        bearings: Count = "n" in [1.0, 8.0], "number of bearings";
    ) -> RotationalFriction = "k_f"
    source "[derived-here], Petroff's law of a concentric journal"
    {
        let radius = (diameter / 2.0).called_in("r", "m");
        bearings * viscosity * radius.powi(3) * width / clearance * (2.0 * core::f64::consts::PI)
    }

    /// Friction figure of rolling-element bearings from that of plain ones
    ///
    /// k_f = (1 - s) k_p: from memory s lies between 0.2 and 0.5, more with cold oil and at low speed
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let k = shaftwork::turbine::rolling_friction(nms(2.0e-6), percent(35.0))?;
    /// assert!((k.si() - 1.3e-6).abs() < 1e-18);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn rolling_friction(
        plain: RotationalFriction = "k_p" in [1e-9, 1e-4], "friction figure of plain bearings";
        saved: Fraction = "s" in [0.0, 0.8], "share that rolling elements save";
    ) -> RotationalFriction = "k_f"
    source "[common-practice], no source; the share from memory"
    { plain * (c(1.0) - saved) }

    /// Power that the bearings take
    ///
    /// P_f = k_f omega^2
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // companion file, 9.7187e-7 N m s at 100 000 rev/min: 106.6 W
    /// let p = shaftwork::turbine::bearing_power(nms(9.7187e-7), rpm(100_000.0))?;
    /// assert!((p.si() - 106.6).abs() < 0.05);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn bearing_power(
        friction: RotationalFriction = "k_f" in [1e-9, 1e-4], "friction torque over speed";
        speed: ShaftSpeed = "omega" in [0.0, 4e4], "shaft speed";
    ) -> Power = "P_f"
    source "[eriksson-nielsen], companion parameter files"
    { friction * speed * speed }

    /// Inertia of a rotor scaled in all dimensions
    ///
    /// J = J_r (d/d_r)^5, same shape and materials
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Ten per cent larger: 1.1^5 = 1.61051
    /// let j = shaftwork::turbine::scaled_inertia(kg_m2(2.0e-5), mm(50.0), mm(55.0))?;
    /// assert!((j.si() - 3.22102e-5).abs() < 1e-12);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn scaled_inertia(
        reference: Inertia = "J_r" in [1e-7, 0.1], "inertia of the reference rotor";
        reference_wheel: Length = "d_r" in [0.02, 0.2], "its wheel's diameter";
        wheel: Length = "d_t" in [0.02, 0.2], "diameter of the wheel at its inlet";
    ) -> Inertia = "J"
    source "[derived-here] from mass by the cube and radius of gyration squared"
    { reference * (wheel / reference_wheel).powi(5) }
}

/// Inertia of a whole rotor (both wheels and the shaft) with a turbine wheel of [`INERTIA_WHEEL`]: from memory.
pub const INERTIA_REFERENCE: f64 = 4.5e-5;
/// The turbine wheel that [`INERTIA_REFERENCE`] belongs to, 52.5 mm.
pub const INERTIA_WHEEL: f64 = 0.0525;
/// One standard deviation of an inertia scaled from them: from memory 1e-5 at 35 to 40 mm, 3e-5 to 6e-5 at 50 to 55 mm,
/// 1.5e-4 to 3e-4 kg m2 at 70 to 80 mm.
pub const INERTIA_SIGMA: f64 = 0.4;
/// Share that rolling elements save against plain bearings, from memory 0.2 to 0.5.
pub const ROLLING_SAVES: f64 = 0.35;

/// The bearings of the rotor, by the friction torque that rises with speed.
///
/// ```
/// use shaftwork::prelude::*;
/// let plain = Bearings::plain(mpa_s(8.0), mm(8.0), mm(6.0), mm(0.015))?;
/// let rolling = Bearings::rolling_element(plain.friction())?;
/// assert!(rolling.power(rpm(120_000.0))? < plain.power(rpm(120_000.0))?);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bearings {
    kind: BearingKind,
    friction: RotationalFriction,
    sigma: Fraction,
}

/// What carries the shaft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BearingKind {
    /// Oil films.
    Plain,
    /// Balls or rollers.
    RollingElement,
}

impl Bearings {
    /// Two plain bearings by Petroff's law: viscosity in the film, journal diameter, width of one, radial clearance.
    /// One standard deviation 40 %: film temperature, rings that float and the thrust bearing are not known.
    pub fn plain(
        viscosity: Viscosity,
        diameter: Length,
        width: Length,
        clearance: Length,
    ) -> Result<Self, FormulaError> {
        let two = Count::from_si_unchecked(2.0);
        let friction = journal_friction(viscosity, diameter, width, clearance, two)?;
        Ok(Self { kind: BearingKind::Plain, friction, sigma: Fraction::from_si_unchecked(0.4) })
    }
    /// Rolling elements in place of plain bearings of this friction, which save [`ROLLING_SAVES`] of it; one standard
    /// deviation 50 %.
    pub fn rolling_element(plain: RotationalFriction) -> Result<Self, FormulaError> {
        let friction = rolling_friction(plain, Fraction::from_si_unchecked(ROLLING_SAVES))?;
        Ok(Self { kind: BearingKind::RollingElement, friction, sigma: Fraction::from_si_unchecked(0.5) })
    }
    /// A friction figure that someone measured or stated, with its standard deviation as a fraction.
    pub fn stated(
        kind: BearingKind,
        friction: RotationalFriction,
        sigma: Fraction,
    ) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::Bearings::stated";
        let friction = checked(NAME, "friction", "friction torque over speed", friction, 1e-9, 1e-4)?;
        let sigma = checked(NAME, "sigma", "relative standard deviation", sigma, 0.0, 1.0)?;
        Ok(Self { kind, friction, sigma })
    }
    /// The bearings of two units.
    pub(super) fn doubled(self) -> Self {
        Self { friction: self.friction * 2.0, ..self }
    }
    /// Plain or rolling.
    pub fn kind(&self) -> BearingKind {
        self.kind
    }
    /// Friction torque over speed.
    pub fn friction(&self) -> RotationalFriction {
        self.friction
    }
    /// Relative standard deviation of it.
    pub fn sigma(&self) -> Fraction {
        self.sigma
    }
    /// What they take at a shaft speed.
    pub fn power(&self, speed: ShaftSpeed) -> Result<Power, FormulaError> {
        bearing_power(self.friction, speed)
    }
}
