//! What the driver feels: the time from opening the throttle to boost.

use super::motion::{Moment, Stuck, follow};
use super::rotor::{Pace, Rotor};
use super::vehicle::Gear;
use crate::compressor::CompressorMap;
use crate::formula::{FormulaError, checked};
use crate::quantity::units::rpm_per_s;
use crate::quantity::*;
use crate::shaft::balance::{Bench, Closing, Solved};
use crate::shaft::chain::{Case, Setting};
use crate::shaft::operating::NotFound;
use crate::shaft::{Candidate, FuelPlan, Installation};
use crate::solve::root;
use crate::turbine::Turbine;

/// What stores energy and gas between the throttle and the turbine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stores {
    inertia: Inertia,
    charge: Volume,
    exhaust: Volume,
}

impl Stores {
    /// Moment of inertia of the rotor (1e-7 to 0.1 kg m2), volume from the compressor to the valves (0.1 to 200 L),
    /// volume of exhaust manifold and crossover (0.05 to 50 L).
    pub fn new(inertia: Inertia, charge: Volume, exhaust: Volume) -> Result<Self, FormulaError> {
        const NAME: &str = "shaft::Stores::new";
        Ok(Self {
            inertia: checked(NAME, "inertia", "moment of inertia of the rotor", inertia, 1e-7, 0.1)?,
            charge: checked(NAME, "charge", "volume of the charge pipes and manifold", charge, 1e-4, 0.2)?,
            exhaust: checked(NAME, "exhaust", "volume of the exhaust manifold", exhaust, 5e-5, 0.05)?,
        })
    }
    /// Moment of inertia of the rotor.
    pub fn inertia(&self) -> Inertia {
        self.inertia
    }
}

/// How the engine speed moves while boost builds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sweep {
    /// It is held: a step of the throttle on a brake.
    Held(ShaftSpeed),
    /// It rises at a stated rate from a speed.
    Rising(ShaftSpeed, AngularAcceleration),
    /// The vehicle speeds up in a gear, from an engine speed.
    InGear(ShaftSpeed, Gear),
}

impl Sweep {
    /// The engine speed at the start.
    pub fn from(&self) -> ShaftSpeed {
        match self {
            Self::Held(speed) | Self::Rising(speed, _) | Self::InGear(speed, _) => *speed,
        }
    }
    /// How the engine speed moves, judged: while the motion is followed nothing is.
    pub(super) fn pace(&self) -> Result<Pace, FormulaError> {
        const NAME: &str = "shaft::Sweep::Rising";
        Ok(match self {
            Self::Held(_) => Pace::Rate(0.0),
            Self::Rising(_, rate) => {
                let most = FASTEST.si();
                Pace::Rate(checked(NAME, "rate", "rate of the engine speed", *rate, -most, most)?.si())
            }
            Self::InGear(_, gear) => {
                gear.acceleration(0.0)?;
                Pace::Gear(*gear)
            }
        })
    }
}

/// The fastest change of engine speed that is followed.
const FASTEST: AngularAcceleration = rpm_per_s(20_000.0);

/// A moment of a sweep.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SweepMoment {
    /// Time since the throttle opened.
    pub time: Time,
    /// Engine speed.
    pub speed: ShaftSpeed,
    /// Manifold pressure.
    pub manifold_pressure: Pressure,
    /// Exhaust manifold pressure.
    pub exhaust_pressure: Pressure,
    /// Turbine inlet temperature, as fast as the heat balance moves: hot walls keep it up longer.
    pub exhaust_temperature: Temperature,
    /// Shaft speed of the rotor.
    pub shaft_speed: ShaftSpeed,
    /// Torque at the crankshaft.
    pub torque: Torque,
    /// Position on the compressor's speed line: below 0 the compressor is left of its surge line.
    pub position: Fraction,
    /// True where the compressor turns slower than its map knows, and the fan laws stand in for it.
    pub below_map: bool,
}

/// When boost arrives.
#[derive(Clone, Debug, PartialEq)]
pub struct Arrival {
    /// The boost waited for.
    pub target: Pressure,
    /// From the opening of the throttle until the boost is there, or the end of the time looked at.
    pub moments: Vec<SweepMoment>,
    /// When 90 % of the boost above the barometer was there, and at which engine speed.
    pub ninety: Option<(Time, ShaftSpeed)>,
    /// When all of it was there.
    pub whole: Option<(Time, ShaftSpeed)>,
}

impl Arrival {
    /// True if the compressor, once right of its surge line, crossed it on the way.
    pub fn crosses_surge(&self) -> bool {
        let mut right = self.moments.iter().skip_while(|moment| moment.position.si() < 0.0);
        right.any(|moment| moment.position.si() < -1e-6)
    }
    /// True if part of the way lies below the map, where the fan laws stand in for it.
    pub fn leaves_map(&self) -> bool {
        self.moments.iter().any(|moment| moment.below_map)
    }
}

/// Why no sweep was worked out.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum SweepError {
    /// There is no steady state at the start.
    NoStart(NotFound),
    /// The motion could not be followed.
    Stuck(Stuck),
    /// The compressor surges so deeply that its flow turns back.
    TurnsBack {
        /// When, after the throttle moved.
        time: Time,
    },
    /// A formula refused its inputs.
    Formula(FormulaError),
}

impl core::fmt::Display for SweepError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::NoStart(error) => write!(f, "no steady state to start from: {error}"),
            Self::Stuck(error) => error.fmt(f),
            Self::TurnsBack { time } => write!(
                f,
                "the compressor's flow turns back {time} after the throttle shut: deep surge, which can break a wheel or \
                 its bearings; fit a recirculation valve, or a larger one"
            ),
            Self::Formula(error) => error.fmt(f),
        }
    }
}
impl core::error::Error for SweepError {}
impl From<FormulaError> for SweepError {
    fn from(error: FormulaError) -> Self {
        Self::Formula(error)
    }
}
impl From<Stuck> for SweepError {
    fn from(error: Stuck) -> Self {
        Self::Stuck(error)
    }
}

/// Error allowed in each step, relative to what counts as one.
pub(super) const TOLERANCE: f64 = 1e-6;

/// A turbocharger on an engine, ready to be swept.
pub struct Sweeper<'a> {
    bench: Bench<'a>,
    stores: Stores,
}

impl<'a> Sweeper<'a> {
    /// For a candidate with one turbine on one fuel.
    ///
    /// # Errors
    ///
    /// [`FormulaError`] where a formula refuses its inputs.
    pub fn new(
        installation: &'a Installation,
        candidate: &'a Candidate,
        turbine: &'a Turbine,
        plan: &'a FuelPlan,
        stores: Stores,
    ) -> Result<Self, FormulaError> {
        let case = Case { installation, candidate, turbine, plan };
        Ok(Self { bench: Bench::new(case, candidate.map())?, stores })
    }

    fn map(&self) -> &CompressorMap {
        self.bench.map
    }
    pub(super) fn bench(&self) -> &Bench<'a> {
        &self.bench
    }
    pub(super) fn ambient(&self) -> Pressure {
        self.bench.case.installation.site.pressure()
    }
    pub(super) fn setting(&self, speed: ShaftSpeed) -> Setting<f64> {
        self.bench.setting(speed)
    }
    /// The flow at the surge end of the speed line of a state, at its inlet.
    pub(super) fn surge_flow(&self, solved: &Solved) -> f64 {
        let [corrected, ..] = self.map().continued(solved.at.speed.max(self.map().lowest_speed().si()), 0.0);
        solved.at.air * corrected / solved.state.corrected_flow
    }

    /// The time until boost: the engine runs steadily at the manifold pressure `start`, the throttle opens at
    /// once, the wastegate stays shut.
    ///
    /// # Errors
    ///
    /// [`SweepError`].
    pub fn arrival(
        &self,
        sweep: Sweep,
        start: Pressure,
        target: Pressure,
        longest: Time,
    ) -> Result<Arrival, SweepError> {
        const NAME: &str = "shaft::Sweeper::arrival";
        let ambient = self.bench.case.installation.site.pressure();
        let start = checked(NAME, "start", "manifold pressure at the start", start, 1e4, ambient.si())?;
        let target = checked(NAME, "target", "manifold pressure waited for", target, ambient.si(), 8e5)?;
        let longest = checked(NAME, "longest", "longest time looked at", longest, 1e-3, 120.0)?;
        let setting = self.bench.setting(sweep.from());
        let (steady, _) = self.cruising(&setting, start).map_err(SweepError::NoStart)?;
        let rotor = self.rotor(&setting, 1.0, 0.0, sweep.pace()?);
        let unknowns = rotor.scaled(&steady.at, sweep.from().si(), steady.state.delivered);
        self.rise(&rotor, Moment { time: 0.0, unknowns }, [ambient, target], longest)
    }

    /// Follows the rise of boost to 90 % and to the whole of it.
    pub(super) fn rise(
        &self,
        rotor: &Rotor<'_>,
        start: Moment<6>,
        [ambient, target]: [Pressure; 2],
        longest: Time,
    ) -> Result<Arrival, SweepError> {
        let ninety = ambient.si() + 0.9 * (target.si() - ambient.si());
        let above = |level: f64| {
            move |moment: &Moment<6>| {
                rotor.plain(moment.unknowns).map_or(f64::NAN, |plain| plain.manifold_pressure / level - 1.0)
            }
        };
        let until = start.time + longest.si();
        let mut moments = follow(rotor, start, until, TOLERANCE, above(ninety))?;
        let at = |moment: &Moment<6>| (moment.time, moment.unknowns[4] * super::rotor::SPEED);
        let mut reached = [None; 2];
        let last = *moments.last().unwrap_or(&start);
        if above(ninety)(&last) >= -1e-9 {
            reached[0] = Some(at(&last));
            let rest = follow(rotor, last, until, TOLERANCE, above(target.si()))?;
            moments.extend(rest.into_iter().skip(1));
            let last = *moments.last().unwrap_or(&last);
            if above(target.si())(&last) >= -1e-9 {
                reached[1] = Some(at(&last));
            }
        }
        self.told(rotor, &moments, target, reached)
    }

    /// What happened, in quantities.
    pub(super) fn told(
        &self,
        rotor: &Rotor<'_>,
        moments: &[Moment<6>],
        target: Pressure,
        reached: [Option<(f64, f64)>; 2],
    ) -> Result<Arrival, SweepError> {
        let start = moments.first().map_or(0.0, |first| first.time);
        let [ninety, whole] = reached.map(|found| {
            found.map(|(time, speed)| {
                (Time::from_si_unchecked(time - start), ShaftSpeed::from_si_unchecked(speed))
            })
        });
        let moments = moments.iter().map(|moment| self.moment(rotor, moment, start));
        Ok(Arrival { target, moments: moments.collect::<Result<_, _>>()?, ninety, whole })
    }

    fn moment(&self, rotor: &Rotor<'_>, moment: &Moment<6>, start: f64) -> Result<SweepMoment, FormulaError> {
        let state = rotor.plain(moment.unknowns)?;
        Ok(SweepMoment {
            time: Time::from_si_unchecked(moment.time - start),
            speed: ShaftSpeed::from_si_unchecked(state.speed),
            manifold_pressure: Pressure::from_si_unchecked(state.manifold_pressure),
            exhaust_pressure: Pressure::from_si_unchecked(state.exhaust_pressure),
            exhaust_temperature: Temperature::from_si_unchecked(state.exhaust_temperature),
            shaft_speed: ShaftSpeed::from_si_unchecked(state.shaft_speed),
            torque: Torque::from_si_unchecked(state.torque),
            position: Fraction::from_si_unchecked(state.position),
            below_map: state.corrected_speed < self.map().lowest_speed().si(),
        })
    }

    pub(super) fn rotor<'b>(
        &'b self,
        setting: &'b Setting<f64>,
        throttle: f64,
        valve: f64,
        pace: Pace,
    ) -> Rotor<'b> {
        Rotor {
            setting,
            gases: &self.bench.gases,
            map: self.bench.map,
            throttle,
            valve,
            pace,
            inertia: self.stores.inertia.si(),
            charge: self.stores.charge.si(),
            exhaust: self.stores.exhaust.si(),
        }
    }

    /// The steady state with the wastegate shut and the throttle closed so far that the manifold is at a
    /// pressure, and that share.
    fn cruising(&self, setting: &Setting<f64>, manifold: Pressure) -> Result<(Solved, f64), NotFound> {
        let speed = ShaftSpeed::from_si_unchecked(setting.way.speed);
        let turbine_map = self.bench.case.turbine.map().map(|map| map.title());
        let mut missing =
            NotFound::NoBalance { speed, left: f64::NAN, steps: 0, at_most_expansion: false, turbine_map };
        let mut near: Option<Solved> = None;
        let mut below: Option<f64> = None;
        // From nearly shut upwards: with the throttle wide open and the wastegate shut there may be no state at all.
        for k in 0..=FIRST_SHARES {
            let share = 0.15 + 0.85 * f64::from(k) / f64::from(FIRST_SHARES);
            let solved = match self.bench.solve(setting, share, Closing::Gate(0.0), near.as_ref()) {
                Ok(solved) => solved,
                Err(fault) => {
                    missing = fault;
                    continue;
                }
            };
            near = Some(solved);
            match below {
                _ if solved.state.manifold_pressure < manifold.si() => below = Some(share),
                Some(low) => {
                    let gap = |share: f64| {
                        let found = self.bench.solve(setting, share, Closing::Gate(0.0), near.as_ref());
                        found.map_or(f64::NAN, |found| found.state.manifold_pressure / manifold.si() - 1.0)
                    };
                    let share = root(gap, [low, share], 1e-9).map_err(|_| missing)?;
                    return Ok((self.bench.solve(setting, share, Closing::Gate(0.0), near.as_ref())?, share));
                }
                None => return Ok((solved, share)),
            }
        }
        Err(missing)
    }
}

/// Steps in which the throttle is opened to find where it stood at the start.
const FIRST_SHARES: u32 = 24;
