//! A turbine by what is known of it.

use super::*;
use crate::formula::{FormulaError, Giver, Scalar, checked};
use crate::quantity::*;

/// A turbine known by its housing, by an effective area that someone measured or stated, or by measured flow.
///
/// ```
/// use shaftwork::prelude::*;
/// let turbine = Turbine::from_area_over_radius(mm(17.8), mm(60.0))?;
/// assert_eq!(turbine.area().show("mm2", 3)?, "513 mm2");
/// let stated = Turbine::from_effective_area(mm2(480.0), percent(10.0))?.with_wheel(mm(58.0))?.inertia_from_geometry()?;
/// assert_eq!(stated.wheel(), Some(mm(58.0)));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Turbine {
    pub(super) area: Area,
    sigma: Fraction,
    housing: Option<(Length, Length)>,
    wheel: Option<Length>,
    pub(super) capacity: Capacity,
    pub(super) head: CentrifugalHead,
    pub(super) curve: EfficiencyCurve,
    inertia: Option<(Inertia, Fraction)>,
    bearings: Option<Bearings>,
    pub(super) divided: Option<DividedEntry>,
}

impl Turbine {
    fn new(area: Area, sigma: Fraction, capacity: Capacity) -> Self {
        Self {
            area,
            sigma,
            housing: None,
            wheel: None,
            capacity,
            head: CentrifugalHead::default(),
            curve: EfficiencyCurve::default(),
            inertia: None,
            bearings: None,
            divided: None,
        }
    }
    /// From area over radius and the wheel's diameter at its inlet. Width, exit and density at the
    /// wheel take [`WIDTH_SHARE`], [`EXIT_SHARE`] and [`DENSITY_SHARE`], under the wide band of [`AREA_SIGMA`].
    pub fn from_area_over_radius(area_over_radius: Length, wheel: Length) -> Result<Self, FormulaError> {
        let [width_share, exit_share, sigma] =
            [WIDTH_SHARE, EXIT_SHARE, AREA_SIGMA].map(Fraction::from_si_unchecked);
        let density = DensityRatio::from_si_unchecked(DENSITY_SHARE);
        let radius = wheel_radius(wheel)?;
        let (width, exit) = (wheel_width(wheel, width_share)?, wheel_exit(radius, exit_share)?);
        let area = effective_area(area_over_radius, radius, width, exit, density)?;
        let housing = Some((area_over_radius, wheel));
        Ok(Self { housing, wheel: Some(wheel), ..Self::new(area, sigma, Capacity::Effective) })
    }
    /// From an effective area with its standard deviation as a fraction. Without a wheel
    /// ([`with_wheel`](Self::with_wheel)) its flow is a plain nozzle's at every shaft speed.
    pub fn from_effective_area(area: Area, sigma: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::Turbine::from_effective_area";
        let (area, sigma) = Self::stated(NAME, area, sigma)?;
        Ok(Self::new(area, sigma, Capacity::Effective))
    }
    /// From the two figures of [`square_root_flow`], 2e-5 to 0.02 m2 and 0.5 to 6. The effective area is then that of
    /// the nozzle whose choked flow is the form's limit (gamma 1.33).
    pub fn from_square_root(area: Area, exponent: Fraction, sigma: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::Turbine::from_square_root";
        let (area, sigma) = Self::stated(NAME, area, sigma)?;
        let exponent = checked(NAME, "exponent", "exponent of the square-root form", exponent, 0.5, 6.0)?;
        Ok(Self::new(area / CHOKE_CONSTANT, sigma, Capacity::SquareRoot(area, exponent)))
    }
    /// From the area it chokes at, as fitted to measured flow with the head's figures, and its wheel. The effective area
    /// is then the one that [`choked_area`] would make it from (gamma 1.33).
    pub fn from_choked_area(
        area: Area,
        head: CentrifugalHead,
        wheel: Length,
        sigma: Fraction,
    ) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::Turbine::from_choked_area";
        let (area, sigma) = Self::stated(NAME, area, sigma)?;
        let growth = head.choked_area(area, HeatCapacityRatio::from_si_unchecked(EXHAUST_GAMMA))? / area;
        Self { head, ..Self::new(area / growth, sigma, Capacity::Choked(area)) }.with_wheel(wheel)
    }
    /// From a measured map. Its efficiency takes the place of a stated one wherever the shaft speed is known. The effective
    /// area is that of the nozzle which the largest flow of the map chokes, and serves where the speed is not known.
    pub fn from_map(map: TurbineMap, sigma: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::Turbine::from_map";
        let test = map.test();
        let each = nozzle_flow(
            Area::from_si_unchecked(1e-3),
            test.pressure(),
            test.temperature(),
            ExpansionRatio::from_si_unchecked(10.0),
            test.gamma(),
            test.gas_constant(),
        )?;
        let area = Area::from_si_unchecked(1e-3 * map.greatest_flow().si() / each.si());
        let (area, sigma) = Self::stated(NAME, area, sigma)?;
        let made = Self::new(area, sigma, Capacity::Map(map));
        map.wheel().map_or(Ok(made.clone()), |wheel| made.with_wheel(wheel))
    }
    fn stated(name: &'static str, area: Area, sigma: Fraction) -> Result<(Area, Fraction), FormulaError> {
        let area = checked(name, "area", "effective area", area, 2e-5, 0.02)?;
        Ok((area, checked(name, "sigma", "relative standard deviation", sigma, 0.0, 0.4)?))
    }

    /// The wheel's diameter at its inlet, 20 to 200 mm: with it, flow and efficiency follow the shaft speed.
    pub fn with_wheel(mut self, wheel: Length) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::Turbine::with_wheel";
        let wheel = checked(NAME, "wheel", "diameter of the wheel at its inlet", wheel, 0.02, 0.2)?;
        if self.housing.is_some_and(|(_, known)| known != wheel) {
            let why = "the housing's area was estimated with another wheel; give that one".into();
            return Err(FormulaError::NoResult { formula: NAME, why });
        }
        self.wheel = Some(wheel);
        Ok(self)
    }
    /// Sets how the wheel's head bends the flow.
    pub fn with_head(mut self, head: CentrifugalHead) -> Self {
        self.head = head;
        self
    }
    /// Sets how efficiency falls off its peak.
    pub fn with_curve(mut self, curve: EfficiencyCurve) -> Self {
        self.curve = curve;
        self
    }
    /// Inertia of the whole rotor with its standard deviation as a fraction, 1e-7 to 0.1 kg m2 and 0 to 0.6.
    pub fn with_inertia(mut self, inertia: Inertia, sigma: Fraction) -> Result<Self, FormulaError> {
        const NAME: &str = "turbine::Turbine::with_inertia";
        let inertia = checked(NAME, "inertia", "inertia of the rotor", inertia, 1e-7, 0.1)?;
        let sigma = checked(NAME, "sigma", "relative standard deviation", sigma, 0.0, 0.6)?;
        self.inertia = Some((inertia, sigma));
        Ok(self)
    }
    /// Inertia of the whole rotor by [`scaled_inertia`] from [`INERTIA_REFERENCE`], under the wide band of
    /// [`INERTIA_SIGMA`]: a last resort where nobody has swung or computed the rotor. Needs the wheel.
    pub fn inertia_from_geometry(self) -> Result<Self, FormulaError> {
        let Some(wheel) = self.wheel else {
            let why = "an inertia by geometry needs the wheel's diameter; give it by with_wheel".into();
            return Err(FormulaError::NoResult { formula: "turbine::Turbine::inertia_from_geometry", why });
        };
        let reference = Inertia::from_si_unchecked(INERTIA_REFERENCE);
        let inertia = scaled_inertia(reference, Length::from_si_unchecked(INERTIA_WHEEL), wheel)?;
        self.with_inertia(inertia, Fraction::from_si_unchecked(INERTIA_SIGMA))
    }
    /// The bearings, whose power then counts apart: the efficiency beside them is
    /// [`TurbineEfficiency::of_wheel_alone`].
    pub fn with_bearings(mut self, bearings: Bearings) -> Self {
        self.bearings = Some(bearings);
        self
    }
    /// A divided housing: the two entries' shares of the effective area.
    pub fn with_divided_entry(mut self, entry: DividedEntry) -> Self {
        self.divided = Some(entry);
        self
    }

    /// Effective area: see [`CentrifugalHead`] for the state at which it is meant.
    pub fn area(&self) -> Area {
        self.area
    }
    /// Effective area one standard deviation down and up.
    pub fn band(&self) -> [Area; 2] {
        let k = self.sigma.si();
        [self.area * (1.0 - k), self.area * (1.0 + k)]
    }
    /// The same turbine with its areas that many standard deviations larger.
    pub(crate) fn larger_by(&self, sigmas: f64) -> Self {
        self.scaled(1.0 + sigmas * self.sigma.si())
    }
    /// The same turbine with its areas larger by a factor; the wheel stays.
    pub(crate) fn scaled(&self, scale: f64) -> Self {
        let capacity = self.capacity.scaled(scale);
        // An area given by its housing is no longer the one that the housing gives.
        Self { area: self.area * scale, capacity, housing: None, ..self.clone() }
    }
    /// Two of this turbine beside each other: twice the areas, the inertia and the friction, the same wheel.
    pub(crate) fn in_parallel(&self) -> Self {
        let inertia = self.inertia.map(|(one, sigma)| (one * 2.0, sigma));
        let bearings = self.bearings.map(Bearings::doubled);
        Self { inertia, bearings, ..self.scaled(2.0) }
    }
    /// Area over radius, if it was given.
    pub fn area_over_radius(&self) -> Option<Length> {
        self.housing.map(|(area_over_radius, _)| area_over_radius)
    }
    /// Diameter of the wheel at its inlet, where it is known.
    pub fn wheel(&self) -> Option<Length> {
        self.wheel
    }
    /// How the wheel's head bends the flow.
    pub fn head(&self) -> CentrifugalHead {
        self.head
    }
    /// How efficiency falls off its peak.
    pub fn curve(&self) -> EfficiencyCurve {
        self.curve
    }
    /// Inertia of the rotor and its relative standard deviation, where it is known.
    pub fn inertia(&self) -> Option<(Inertia, Fraction)> {
        self.inertia
    }
    /// The bearings, where their power counts apart.
    pub fn bearings(&self) -> Option<Bearings> {
        self.bearings
    }
    /// The entries of a divided housing.
    pub fn divided_entry(&self) -> Option<DividedEntry> {
        self.divided
    }

    /// The measured map, where there is one.
    pub fn map(&self) -> Option<TurbineMap> {
        match self.capacity {
            Capacity::Map(map) => Some(map),
            _ => None,
        }
    }

    /// The effective area from what it was taken from, and the wheel's radius where it is known.
    pub(super) fn record<S: Scalar>(&self, g: &impl Giver<S>) -> Result<(S, Option<S>), FormulaError> {
        let radius = match self.wheel {
            Some(wheel) => {
                let wheel = g.give("turbine.wheel", "", wheel);
                Some((wheel, wheel_radius::step(wheel)?))
            }
            None => None,
        };
        let (Some((area_over_radius, _)), Some((wheel, radius))) = (self.housing, radius) else {
            return Ok((g.give("turbine.effective_area", "", self.area), radius.map(|(_, radius)| radius)));
        };
        let share = |key, value| g.give(key, "", Fraction::from_si_unchecked(value));
        let area = effective_area::step(
            g.give("turbine.area_over_radius", "", area_over_radius),
            radius,
            wheel_width::step(wheel, share("turbine.width_share", WIDTH_SHARE))?,
            wheel_exit::step(radius, share("turbine.exit_share", EXIT_SHARE))?,
            g.give("turbine.density_share", "", DensityRatio::from_si_unchecked(DENSITY_SHARE)),
        )?;
        Ok((area, Some(radius)))
    }
}

/// Ratio of specific heats of exhaust gas where an area is only to be named.
const EXHAUST_GAMMA: f64 = 1.33;
/// Greatest psi of a nozzle at that gamma: sqrt(gamma) (2/(gamma+1))^((gamma+1)/(2(gamma-1))).
const CHOKE_CONSTANT: f64 = 0.672_628;
