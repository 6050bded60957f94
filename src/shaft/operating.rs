//! The operating point: one state of air, fuel, compressor and turbine that closes every balance.

use super::candidate::{Candidate, Compressor};
use super::chain::{Case, Distances, Setting};
use super::drive::{Drive, ExhaustFlow};
use super::installation::{FuelPlan, Installation};
use super::limits::{Limit, Margin};
use super::{expansion_margin, speed_margin};
use crate::compressor::{
    ChokeBands, CompressorMap, InletState, MapEdge, MapPoint, OutsideMap, corrected_mass_flow,
    shaft_speed_from_corrected,
};
use crate::engine::{AirDemand, Target, pumping_pressure};
use crate::formula::{FormulaError, Plain};
use crate::quantity::units::{kelvin, kpa};
use crate::quantity::*;
use crate::turbine::Turbine;

/// Everything at one engine speed and power.
#[derive(Clone, Debug, PartialEq)]
pub struct OperatingPoint {
    /// Air and fuel asked for.
    pub demand: AirDemand,
    /// Compressor inlet, station 1.
    pub inlet: InletState,
    /// Compressor pressure ratio.
    pub ratio: PressureRatio,
    /// Compressor efficiency: read from the map, or assumed.
    pub efficiency: Efficiency,
    /// Compressor outlet temperature, station 2.
    pub outlet_temperature: Temperature,
    /// Density ratio over the compressor.
    pub density_ratio: DensityRatio,
    /// Manifold pressure, station 2c.
    pub manifold_pressure: Pressure,
    /// Manifold temperature.
    pub manifold_temperature: Temperature,
    /// Manifold density.
    pub manifold_density: Density,
    /// Manifold pressure above the barometer.
    pub boost: GaugePressure,
    /// Corrected flow, to the map's reference, else to 298.15 K and 100 kPa.
    pub corrected_flow: CorrectedMassFlow,
    /// Where the point lies on the map.
    pub on_map: Option<MapPoint>,
    /// Shaft speed.
    pub shaft_speed: Option<ShaftSpeed>,
    /// Choke bands of a measured wheel, one for each reading.
    pub choke: ChokeBands,
    /// Passes made until the state stood still.
    pub passes: usize,
    /// Power that the compressor takes up.
    pub compressor_power: Power,
    /// Turbine side at the estimated area.
    pub drive: Drive,
    /// Turbine side with the area one standard deviation smaller and larger, where it can be solved.
    pub drive_band: [Option<Drive>; 2],
    /// Pressure after the turbine.
    pub turbine_outlet: Pressure,
    /// Share of the time the injectors are open.
    pub duty: Fraction,
    /// Distances to the limits.
    pub margins: Vec<Margin>,
}

/// Why there is no operating point.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum NotFound {
    /// The point lies outside the compressor map.
    Outside(OutsideMap),
    /// No expansion ratio drives the compressor.
    TurbineTooSmall(FormulaError),
    /// A formula refused its inputs.
    Formula(FormulaError),
    /// The state did not settle.
    NotConverged {
        /// Passes made.
        passes: usize,
        /// Last change of the manifold temperature.
        temperature: TemperatureDifference,
        /// Last change of the pumping pressure.
        pumping: PressureDifference,
    },
    /// Mass and power do not balance anywhere that was looked.
    NoBalance {
        /// Engine speed.
        speed: ShaftSpeed,
        /// The least that was left of the largest gap.
        left: f64,
        /// Steps of the best try.
        steps: usize,
    },
}

impl NotFound {
    /// The limit that this amounts to, if it is one.
    pub fn limit(&self) -> Option<Limit> {
        match self {
            Self::Outside(outside) => Some(match outside.edge {
                MapEdge::Surge => Limit::Surge,
                MapEdge::Choke => Limit::Choke,
                MapEdge::HighestSpeed => Limit::TopSpeedLine,
                MapEdge::LowestSpeed => Limit::BelowMap,
                MapEdge::NotANumber => return None,
            }),
            Self::TurbineTooSmall(_) => Some(Limit::TurbineTooSmall),
            _ => None,
        }
    }
}

impl core::fmt::Display for NotFound {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Outside(outside) => outside.fmt(f),
            Self::TurbineTooSmall(error) | Self::Formula(error) => error.fmt(f),
            Self::NotConverged { passes, temperature, pumping } => {
                write!(
                    f,
                    "the state did not settle in {passes} passes (last changes {temperature:.2}, {pumping:.2})"
                )
            }
            Self::NoBalance { speed, left, steps } => {
                let speed = speed.rpm();
                write!(f, "mass and power do not balance at {speed:.0} rpm; {left:.1e} is left after {steps} steps")
            }
        }
    }
}
impl core::error::Error for NotFound {}
impl From<FormulaError> for NotFound {
    fn from(error: FormulaError) -> Self {
        Self::Formula(error)
    }
}

/// The reference that a corrected flow is given to where there is no map.
const PLAIN_REFERENCE: (Temperature, Pressure) = (kelvin(298.15), kpa(100.0));
/// Efficiency used for a state outside the map, only to find which edge it lies beyond.
const BEYOND_THE_MAP: f64 = 0.65;
/// Passes in which the state may still wander off the map and return.
const FIRST_PASSES: usize = 8;
const MOST_PASSES: usize = 200;

/// Solves the operating point of a candidate with one turbine at a power and engine speed.
///
/// Two unknowns are iterated together until they stand still: the manifold temperature (through
/// pressure ratio, efficiency and cooler) and the pumping pressure (through the turbine). Everything
/// else follows from them by the plain formulas.
///
/// # Errors
///
/// [`NotFound`], which says whether it is a limit of the machine or a fault of the inputs. A state
/// that has not settled is never returned.
pub fn operating_point(
    installation: &Installation,
    candidate: &Candidate,
    turbine: &Turbine,
    plan: &FuelPlan,
    target: Target,
) -> Result<OperatingPoint, NotFound> {
    let case = Case { installation, candidate, turbine, plan };
    let gases = case.gases()?;
    let setting = Setting::new(&case, &gases, &Plain, target.speed().si())?;

    let mut manifold_temperature = installation.site.temperature().si() + 25.0;
    let mut pumping = 2e4;
    let mut change = (0.0, 0.0);
    let mut left: Option<OutsideMap> = None;
    let mut before = None;
    for pass in 0..MOST_PASSES {
        let (demand, path) = setting.air_side(&gases.air, target.power().si(), manifold_temperature, pumping)?;
        let inlet = InletState {
            temperature: Temperature::from_si_unchecked(setting.way.inlet_temperature),
            pressure: Pressure::from_si_unchecked(path.inlet_pressure),
        };
        let flow = MassFlow::from_si_unchecked(demand.air);
        let look = Look::at(candidate, &inlet, flow, PressureRatio::from_si_unchecked(path.ratio))?;
        if let (Look::Off(outside), true) = (&look, pass >= FIRST_PASSES) {
            left = Some(*outside);
        }
        // A state that left the map once stays outside: at the edge the efficiency jumps, and the
        // state would hop in and out for ever.
        let efficiency = if left.is_some() { BEYOND_THE_MAP } else { look.efficiency().si() };
        let [outlet, cooled] = setting.way.compressed(&gases.air, path.ratio, efficiency)?;
        let load = setting.load(&gases.air, demand.air, demand.fuel, outlet)?;
        let exhaust = ExhaustFlow {
            gas: &gases.exhaust,
            flow: MassFlow::from_si_unchecked(load.exhaust),
            temperature: installation.exhaust.temperature,
            outlet: Pressure::from_si_unchecked(load.turbine_outlet),
        };
        let compressor_power = Power::from_si_unchecked(load.compressor_power);
        let overall = installation.exhaust.efficiency.overall();
        let drive = exhaust.drive(turbine.area(), overall, compressor_power).map_err(|error| {
            match (&look, error) {
                // Far off the map the turbine is no longer the news.
                (Look::Off(outside), _) => NotFound::Outside(*outside),
                (_, error @ FormulaError::NoResult { .. }) => NotFound::TurbineTooSmall(error),
                (_, error) => NotFound::Formula(error),
            }
        })?;
        let found = pumping_pressure::of(drive.pressure.si(), path.manifold);
        change = (cooled - manifold_temperature, found - pumping);
        let settled = change.0.abs() < 1e-8 && change.1.abs() < 1e-4;
        if !settled {
            manifold_temperature = cooled;
            let step = pumping_step(pumping, change.1, before.replace((pumping, change.1)));
            pumping += step;
            continue;
        }
        if let Some(outside) = left {
            return Err(NotFound::Outside(outside));
        }
        let (on_map, choke) = match look {
            Look::Off(outside) => return Err(NotFound::Outside(outside)),
            Look::On(point) => (Some(point), ChokeBands::default()),
            Look::Wheel { choke, .. } => (None, choke),
        };
        let map = candidate.map();
        let shaft_speed = match (map, &on_map) {
            (Some(map), Some(point)) => Some(map.shaft_speed(point, &inlet)?),
            _ => None,
        };
        let (t, p) = reference(map);
        let air_side = (&demand, &path);
        let outcome = setting.outcome(&gases.air, air_side, outlet, manifold_temperature)?;
        let ratio = drive.ratio.si();
        let distances = setting.distances(&case, &Plain, air_side, &outcome, ratio)?;
        let [small, large] = turbine.band();
        let mut point = OperatingPoint {
            demand: AirDemand::of(target, PressureDifference::from_si_unchecked(pumping), &demand),
            inlet,
            ratio: PressureRatio::from_si_unchecked(path.ratio),
            efficiency: Efficiency::from_si_unchecked(efficiency),
            outlet_temperature: Temperature::from_si_unchecked(outlet),
            density_ratio: DensityRatio::from_si_unchecked(outcome.density_ratio),
            manifold_pressure: Pressure::from_si_unchecked(path.manifold),
            manifold_temperature: Temperature::from_si_unchecked(manifold_temperature),
            manifold_density: Density::from_si_unchecked(outcome.manifold_density),
            boost: GaugePressure::from_si_unchecked(outcome.boost),
            corrected_flow: corrected_mass_flow(flow, inlet.temperature, inlet.pressure, t, p)?,
            on_map,
            shaft_speed,
            choke,
            passes: pass + 1,
            compressor_power,
            drive,
            drive_band: [small, large].map(|area| exhaust.drive(area, overall, compressor_power).ok()),
            turbine_outlet: exhaust.outlet,
            duty: Fraction::from_si_unchecked(outcome.duty),
            margins: Vec::new(),
        };
        point.margins = margins(&point, &case, &distances)?;
        return Ok(point);
    }
    let change =
        (TemperatureDifference::from_si_unchecked(change.0), PressureDifference::from_si_unchecked(change.1));
    Err(NotFound::NotConverged { passes: MOST_PASSES, temperature: change.0, pumping: change.1 })
}

/// The next step of the pumping pressure from its gap now and in the pass before: the secant where the
/// gap falls about as a turbine's does, else a part of the gap, since a small turbine answers strongly
/// to the air it is asked for.
fn pumping_step(pumping: f64, gap: f64, before: Option<(f64, f64)>) -> f64 {
    let slope = before.map(|(at, was)| (gap - was) / (pumping - at));
    match slope {
        Some(slope) if (-4.0..=-0.25).contains(&slope) => gap * (-1.0 / slope),
        _ => gap * 0.6,
    }
}

/// What is known of the compressor at a point.
enum Look {
    On(MapPoint),
    Off(OutsideMap),
    Wheel { choke: ChokeBands, efficiency: Efficiency },
}

impl Look {
    fn at(
        candidate: &Candidate,
        inlet: &InletState,
        flow: MassFlow,
        ratio: PressureRatio,
    ) -> Result<Self, FormulaError> {
        match candidate.compressor() {
            Compressor::Map(map) => {
                let corrected = inlet.correct(flow, map.reference())?;
                Ok(map.at_point(corrected, ratio).map_or_else(Self::Off, Self::On))
            }
            Compressor::Wheel(wheel, efficiency) => {
                Ok(Self::Wheel { choke: wheel.choke(ratio, *efficiency, inlet)?, efficiency: *efficiency })
            }
        }
    }
    fn efficiency(&self) -> Efficiency {
        match self {
            Self::On(point) => point.efficiency,
            Self::Off(_) => Efficiency::from_si_unchecked(BEYOND_THE_MAP),
            Self::Wheel { efficiency, .. } => *efficiency,
        }
    }
}

fn margins(
    point: &OperatingPoint,
    case: &Case<'_>,
    distances: &Distances<f64>,
) -> Result<Vec<Margin>, FormulaError> {
    let mut margins = Vec::new();
    let mut plain = |limit, margin: f64| margins.push(Margin::new(limit, [margin; 3]));
    if let Some(on_map) = &point.on_map {
        plain(Limit::Surge, on_map.surge.0.si());
        plain(Limit::Choke, on_map.choke.0.si());
    }
    let stated = case.candidate.highest_speed();
    if let (Some(speed), Some(map)) = (point.shaft_speed, case.candidate.map()) {
        let (t, _) = reference(Some(map));
        let top = shaft_speed_from_corrected(map.highest_speed(), point.inlet.temperature, t)?;
        plain(Limit::TopSpeedLine, speed_margin(top, speed)?.si());
        if let Some(limit) = stated {
            plain(Limit::ShaftSpeed, speed_margin(limit, speed)?.si());
        }
    } else if let (Some(limit), Some(band)) = (stated, point.choke.first()) {
        plain(Limit::ShaftSpeed, speed_margin(limit, band.speed)?.si());
    }
    if let Some(margin) = distances.torque {
        plain(Limit::Torque, margin);
    }
    if let Some(margin) = distances.boost {
        plain(Limit::Boost, margin);
    }
    plain(Limit::Injectors, distances.duty);
    let most = case.installation.exhaust.most_expansion.si();
    let expansion = |drive: &Drive| expansion_margin::of(most, drive.ratio.si());
    // A smaller turbine needs the higher expansion ratio; a larger one leaves less for the wastegate.
    let [small, large] = &point.drive_band;
    let at = |drive: &Option<Drive>, value: &dyn Fn(&Drive) -> f64| drive.as_ref().map_or(-1.0, value);
    let ratio = [at(small, &expansion), distances.expansion, at(large, &expansion)];
    margins.push(Margin::new(Limit::ExpansionRatio, ratio));
    let spilled = |drive: &Drive| drive.wastegate.si();
    let spill = [at(large, &spilled), spilled(&point.drive), at(small, &spilled)];
    margins.push(Margin::new(Limit::TurbineTooLarge, spill));
    Ok(margins)
}

/// The reference of a map, or a plain one.
pub(crate) fn reference(map: Option<&CompressorMap>) -> (Temperature, Pressure) {
    map.map_or(PLAIN_REFERENCE, |map| (map.reference().temperature(), map.reference().pressure()))
}
