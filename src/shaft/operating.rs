//! The operating point: one state of air, fuel, compressor and turbine that closes every balance.

use super::balance::{Bench, Closing, MOST_EXPANSION, Solved};
use super::candidate::Candidate;
use super::chain::{Case, Load, Reached, Setting, Settled};
use super::drive::Drive;
use super::heat::Burned;
use super::installation::{FuelPlan, Installation};
use super::limits::{Limit, Margin};
use super::{expansion_margin, speed_margin};
use crate::compressor::{
    CompressorMap, InletState, MapEdge, MapPoint, OutsideMap, shaft_speed_from_corrected,
};
use crate::engine::{AirDemand, Target};
use crate::formula::{FormulaError, Plain};
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
    /// Compressor efficiency, read from the map.
    pub efficiency: Efficiency,
    /// Compressor outlet temperature, station 2.
    pub outlet_temperature: Temperature,
    /// Heat from the turbine in it; nothing where its way is not known.
    pub housing_heat: Option<Power>,
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
    /// Corrected flow, to the map's reference.
    pub corrected_flow: CorrectedMassFlow,
    /// Where the point lies on the map.
    pub on_map: MapPoint,
    /// Shaft speed.
    pub shaft_speed: ShaftSpeed,
    /// Volumetric efficiency against the exhaust pressure.
    pub breathing: Fraction,
    /// Steps until the balance was closed.
    pub steps: usize,
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
    /// The plain formulas do not come back to the settled values.
    NotConverged {
        /// Steps taken.
        steps: usize,
        /// The largest relative difference.
        left: f64,
    },
    /// Mass and power do not balance anywhere that was looked.
    NoBalance {
        /// Engine speed.
        speed: ShaftSpeed,
        /// The least that was left of the largest gap.
        left: f64,
        /// Steps of the best try.
        steps: usize,
        /// True if that try ended at the largest expansion ratio looked at.
        at_most_expansion: bool,
        /// The map of the turbine, which may end before such a state.
        turbine_map: Option<&'static str>,
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
            Self::NotConverged { steps, left } => {
                write!(f, "the state did not settle in {steps} steps; {left:.1e} is left of it")
            }
            Self::NoBalance { speed, left, steps, turbine_map, .. } => {
                let speed = speed.rpm();
                write!(
                    f,
                    "mass and power do not balance at {speed:.0} rpm; {left:.1e} is left after {steps} steps"
                )?;
                turbine_map.map_or(Ok(()), |map| {
                    write!(f, "; the turbine's map, {map}, may end before such a state")
                })
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

/// Solves the operating point of a candidate with one turbine at a power and engine speed.
///
/// The balance of the shaft is closed by Newton's method with the wastegate holding the power; then everything is worked
/// out by the plain formulas from the settled manifold temperature, pumping pressure, volumetric efficiency and
/// expansion ratio, and must come back to them.
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
    let bench = Bench::new(case, candidate.map())?;
    let setting = bench.setting(target.speed());
    let closing = Closing::Power(target.power().si());
    let solved = bench
        .solve(&setting, 1.0, closing, None)
        .map_err(|fault| small(turbine, off_the_map(&bench, &setting, target, fault)))?;
    if let Some(outside) = bench.beyond(&solved) {
        return Err(NotFound::Outside(outside));
    }
    let (mut point, distances) = worked_out(&bench, &setting, &solved, target)?;
    let side = |sigmas: f64| {
        let turbine = turbine.larger_by(sigmas);
        let bench = Bench::new(Case { turbine: &turbine, ..case }, candidate.map()).ok()?;
        let setting = bench.setting(target.speed());
        let solved = bench.solve(&setting, 1.0, closing, Some(&solved)).ok()?;
        Some((
            driven(&setting, &bench, &solved).ok()?,
            ShaftSpeed::from_si_unchecked(solved.state.shaft_speed),
        ))
    };
    let sides = [side(-1.0), side(1.0)];
    point.drive_band = sides.map(|side| side.map(|(drive, _)| drive));
    let speeds = sides.map(|side| side.map(|(_, speed)| speed));
    point.margins = margins(&point, &case, &distances, speeds)?;
    Ok(point)
}

/// The turbine at a balanced state, on the map or not.
fn driven(setting: &Setting<f64>, bench: &Bench<'_>, solved: &Solved) -> Result<Drive, FormulaError> {
    let Solved { at, state, .. } = solved;
    let load = Load {
        compressor_power: state.compressor_power,
        exhaust: state.exhaust,
        turbine_outlet: state.turbine_outlet,
    };
    let burned =
        Burned { fuel: state.fuel, pumping: state.pumping, manifold_temperature: state.manifold_temperature };
    let warmed = setting.warmed(&bench.gases, (at.air, state.cold_outlet), state.exhaust, &burned)?;
    let shaft_speed = Some(state.shaft_speed);
    let side = setting.turbine_side(&bench.gases.exhaust, &load, &warmed, at.expansion, shaft_speed)?;
    Ok(Drive::of(setting, at.expansion, &side))
}

/// Where nothing balances, the point that the air demand alone asks for says which edge of the map lies between: without
/// boost an engine makes more than a small power by itself, and far beyond a map its continuation bears no state.
fn off_the_map(bench: &Bench<'_>, setting: &Setting<f64>, target: Target, fault: NotFound) -> NotFound {
    if !matches!(fault, NotFound::NoBalance { at_most_expansion: false, .. }) {
        return fault;
    }
    let guess = Settled {
        manifold_temperature: setting.way.ambient[1] + 30.0,
        pumping: 2e4,
        breathing: setting.way.breathing,
    };
    let outside = || -> Result<Option<OutsideMap>, FormulaError> {
        let (demand, path) = setting.air_side(&bench.gases.air, target.power().si(), &guess)?;
        let inlet = InletState {
            temperature: Temperature::from_si_unchecked(setting.way.inlet_temperature),
            pressure: Pressure::from_si_unchecked(path.inlet_pressure),
        };
        let flow = inlet.correct(MassFlow::from_si_unchecked(demand.air), bench.map.reference())?;
        Ok(bench.map.at_point(flow, PressureRatio::from_si_unchecked(path.ratio)).err())
    };
    match outside() {
        Ok(Some(outside)) => NotFound::Outside(outside),
        Ok(None) => fault,
        // A range that even this leaves, such as a loss larger than the pressure, is the news.
        Err(error) => NotFound::Formula(error),
    }
}

/// A balance that failed at the largest expansion ratio means that the turbine is too small.
fn small(turbine: &Turbine, fault: NotFound) -> NotFound {
    match fault {
        NotFound::NoBalance { at_most_expansion: true, .. } => {
            NotFound::TurbineTooSmall(FormulaError::NoResult {
                formula: "shaft::operating_point",
                why: format!(
                    "a turbine of {} does not drive the compressor even at an expansion ratio of {MOST_EXPANSION:.1}; \
                 it is too small, or the pressure ratio asked for is too high",
                    turbine.area()
                ),
            })
        }
        fault => fault,
    }
}

/// How far the plain formulas may come back from the settled values, relative.
const COMES_BACK: f64 = 1e-8;

/// The point by the plain formulas from the settled values.
fn worked_out(
    bench: &Bench<'_>,
    setting: &Setting<f64>,
    solved: &Solved,
    target: Target,
) -> Result<(OperatingPoint, Vec<(Limit, f64)>), NotFound> {
    let gases = &bench.gases;
    let state = &solved.state;
    let (manifold_temperature, breathing) = (state.manifold_temperature, state.breathing);
    let settled = Settled { manifold_temperature, pumping: state.pumping, breathing };
    let air_side = setting.air_side(&gases.air, target.power().si(), &settled)?;
    let (demand, path) = &air_side;
    let inlet = InletState {
        temperature: Temperature::from_si_unchecked(setting.way.inlet_temperature),
        pressure: Pressure::from_si_unchecked(path.inlet_pressure),
    };
    let flow = MassFlow::from_si_unchecked(demand.air);
    let ratio = PressureRatio::from_si_unchecked(path.ratio);
    let map = bench.map;
    let corrected = inlet.correct(flow, map.reference())?;
    let on_map = map.at_point(corrected, ratio).map_err(NotFound::Outside)?;
    let shaft_speed = map.shaft_speed(&on_map, &inlet)?;
    let cold = setting.way.compressed(&gases.air, path.ratio, on_map.efficiency.si())?;
    let load = setting.load(&gases.air, demand.air, demand.fuel, cold)?;
    let burned = Burned { fuel: demand.fuel, pumping: settled.pumping, manifold_temperature };
    let warmed = setting.warmed(gases, (demand.air, cold), load.exhaust, &burned)?;
    let outlet = warmed.1.outlet;
    let cooled = setting.way.cooled(outlet)?;
    let side =
        setting.turbine_side(&gases.exhaust, &load, &warmed, solved.at.expansion, Some(shaft_speed.si()))?;
    let pumping = Setting::pumping(&side, path)?;
    let against = setting.breathing(&side, path)?;
    let changes = [
        cooled / manifold_temperature - 1.0,
        (pumping - settled.pumping) / side.pressure,
        against / breathing - 1.0,
        (side.power - side.asked) / side.power,
    ];
    // In the total order NaN is the largest, so it is never lost.
    let most = changes.iter().map(|change| change.abs()).max_by(f64::total_cmp).unwrap_or(f64::NAN);
    if most.is_nan() || most > COMES_BACK {
        return Err(NotFound::NotConverged { steps: solved.steps, left: most });
    }
    let outcome = setting.outcome(&gases.air, (demand, path), outlet, manifold_temperature)?;
    let reached = Reached {
        torque: demand.torque,
        brake_pressure: demand.brake_pressure,
        air: demand.air,
        manifold: path.manifold,
        exhaust_pressure: side.pressure,
        exhaust_temperature: side.temperature,
        duty: outcome.duty,
        expansion: solved.at.expansion,
    };
    let distances = setting.distances(&bench.case, &gases.air, &Plain, &reached)?;
    let point = OperatingPoint {
        demand: AirDemand::of(target, PressureDifference::from_si_unchecked(settled.pumping), demand),
        inlet,
        ratio,
        efficiency: on_map.efficiency,
        outlet_temperature: Temperature::from_si_unchecked(outlet),
        housing_heat: warmed.1.heat.map(Power::from_si_unchecked),
        density_ratio: DensityRatio::from_si_unchecked(outcome.density_ratio),
        manifold_pressure: Pressure::from_si_unchecked(path.manifold),
        manifold_temperature: Temperature::from_si_unchecked(manifold_temperature),
        manifold_density: Density::from_si_unchecked(outcome.manifold_density),
        boost: GaugePressure::from_si_unchecked(outcome.boost),
        breathing: Fraction::from_si_unchecked(breathing),
        corrected_flow: corrected,
        on_map,
        shaft_speed,
        steps: solved.steps,
        compressor_power: Power::from_si_unchecked(load.compressor_power),
        drive: Drive::of(setting, solved.at.expansion, &side),
        drive_band: [None, None],
        turbine_outlet: Pressure::from_si_unchecked(load.turbine_outlet),
        duty: Fraction::from_si_unchecked(outcome.duty),
        margins: Vec::new(),
    };
    Ok((point, distances))
}

fn margins(
    point: &OperatingPoint,
    case: &Case<'_>,
    distances: &[(Limit, f64)],
    side_speeds: [Option<ShaftSpeed>; 2],
) -> Result<Vec<Margin>, FormulaError> {
    let mut margins = Vec::new();
    let mut plain = |limit, margin: f64| margins.push(Margin::new(limit, [margin; 3]));
    plain(Limit::Surge, point.on_map.surge.0.si());
    plain(Limit::Choke, point.on_map.choke.0.si());
    // What a smaller or larger turbine does to the pumping work, the compressor feels as flow.
    let speeds = [Some(point.shaft_speed), side_speeds[0], side_speeds[1]];
    let of_speed = |limit: ShaftSpeed| {
        let at = |speed: ShaftSpeed| speed_margin::of(limit.si(), speed.si());
        let all = speeds.map(|speed| speed.map_or(-1.0, at));
        let [worse, better] =
            [all.iter().fold(all[0], |a, b| a.min(*b)), all.iter().fold(all[0], |a, b| a.max(*b))];
        [worse, all[0], better]
    };
    let map = case.candidate.map();
    let (t, _) = reference(map);
    let top = shaft_speed_from_corrected(map.highest_speed(), point.inlet.temperature, t)?;
    let mut speed_limits = vec![Margin::new(Limit::TopSpeedLine, of_speed(top))];
    if let Some(limit) = case.candidate.highest_speed() {
        speed_limits.push(Margin::new(Limit::ShaftSpeed, of_speed(limit)));
    }
    margins.extend(speed_limits);
    let most = case.installation.exhaust.most_expansion.si();
    let expansion = |drive: &Drive| expansion_margin::of(most, drive.ratio.si());
    // A smaller turbine needs the higher expansion ratio; a larger one leaves less for the wastegate.
    let [small, large] = &point.drive_band;
    let at = |drive: &Option<Drive>, value: &dyn Fn(&Drive) -> f64| drive.as_ref().map_or(-1.0, value);
    for (limit, margin) in distances {
        let all = match limit {
            Limit::ExpansionRatio => [at(small, &expansion), *margin, at(large, &expansion)],
            _ => [*margin; 3],
        };
        margins.push(Margin::new(*limit, all));
    }
    let spilled = |drive: &Drive| drive.wastegate.si();
    let spill = [at(large, &spilled), spilled(&point.drive), at(small, &spilled)];
    margins.push(Margin::new(Limit::TurbineTooLarge, spill));
    Ok(margins)
}

/// The reference of a map.
pub(crate) fn reference(map: &CompressorMap) -> (Temperature, Pressure) {
    (map.reference().temperature(), map.reference().pressure())
}
