//! A gear change: the throttle shuts, the engine lands at another speed, boost comes back.

use super::motion::{Moment, follow};
use super::sweep::{Arrival, Sweep, SweepError, Sweeper, TOLERANCE};
use crate::formula::checked;
use crate::quantity::*;
use crate::shaft::balance::Closing;
use crate::shaft::heat::Heat;
use crate::turbine::recirculated_flow;

/// Position, in lengths of the speed line left of its surge end, at which a tenth of the surge flow is left: there the flow
/// turns back, which no map knows.
const TURNS_BACK: f64 = -2.5;

/// How a gear is changed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shift {
    /// Engine speed before.
    pub from: ShaftSpeed,
    /// How long it lasts: 0.2 to 0.6 s by hand, less by an automatic gearbox (from memory).
    pub lasts: Time,
    /// Manifold pressure over the pressure before the throttle meanwhile: 1 where the throttle stays open.
    pub throttle: Fraction,
    /// Turbine inlet temperature meanwhile: that of the exhaust where the engine stays on load.
    pub exhaust: Temperature,
    /// Effective area of the valve that lets the charge back to the compressor's inlet, where there is one.
    pub valve: Option<Area>,
}

/// What a gear change does to the boost.
#[derive(Clone, Debug, PartialEq)]
pub struct Recovery {
    /// From the throttle's shutting to its opening.
    pub meanwhile: Arrival,
    /// From its opening until the boost is back; times count from there.
    pub after: Arrival,
    /// What a recirculation valve has to pass when the throttle shuts, so that the compressor stays right of its
    /// surge line: its flow there at this shaft speed, less what the engine still takes.
    pub valve_passes: MassFlow,
}

impl Sweeper<'_> {
    /// Follows a gear change from the state that holds the boost before it; `then` is how the engine speed moves after it,
    /// from the speed at which it lands.
    ///
    /// # Errors
    ///
    /// [`SweepError`]; [`SweepError::NoStart`] where the boost cannot be held before, [`SweepError::TurnsBack`] where the
    /// compressor surges so deeply that its flow would turn back.
    pub fn recovery(
        &self,
        shift: Shift,
        then: Sweep,
        target: Pressure,
        longest: Time,
    ) -> Result<Recovery, SweepError> {
        const NAME: &str = "shaft::Sweeper::recovery";
        let ambient = self.ambient();
        let target = checked(NAME, "target", "manifold pressure to come back to", target, ambient.si(), 8e5)?;
        let lasts = checked(NAME, "lasts", "length of the gear change", shift.lasts, 1e-3, 5.0)?;
        let throttle = checked(NAME, "throttle", "throttle meanwhile", shift.throttle, 0.1, 1.0)?;
        let exhaust =
            checked(NAME, "exhaust", "turbine inlet temperature meanwhile", shift.exhaust, 400.0, 1500.0)?;
        let longest = checked(NAME, "longest", "longest time looked at", longest, 1e-3, 120.0)?;
        let setting = self.setting(shift.from);
        let closing = Closing::Manifold(target.si());
        let held = self.bench().solve(&setting, 1.0, closing, None).map_err(SweepError::NoStart)?;

        let mut shut = setting;
        shut.heat = Heat::Held(exhaust.si());
        let rate = (then.from() - shift.from).si() / lasts.si();
        let valve = shift.valve.map_or(0.0, Area::si);
        let rotor = self.rotor(&shut, throttle.si(), valve, super::rotor::Pace::Rate(rate));
        let unknowns = rotor.scaled(&held.at, shift.from.si(), held.state.delivered);
        let turns_back = |moment: &Moment<6>| TURNS_BACK - moment.unknowns[2];
        let moments = follow(&rotor, Moment { time: 0.0, unknowns }, lasts.si(), TOLERANCE, turns_back)?;
        let last = moments[moments.len() - 1];
        if turns_back(&last) >= -1e-6 {
            return Err(SweepError::TurnsBack { time: Time::from_si_unchecked(last.time) });
        }
        let taken = rotor.plain(moments[0].unknowns)?.engine_flow;
        let surge = self.surge_flow(&held);
        let valve_passes = recirculated_flow(
            MassFlow::from_si_unchecked(surge),
            MassFlow::from_si_unchecked(taken.min(surge)),
        )?;
        let meanwhile = self.told(&rotor, &moments, target, [None; 2])?;

        let landed = self.setting(then.from());
        let open = self.rotor(&landed, 1.0, 0.0, then.pace()?);
        let mut start = last;
        start.unknowns[4] = then.from().si() / super::rotor::SPEED;
        let after = self.rise(&open, start, [ambient, target], longest)?;
        Ok(Recovery { meanwhile, after, valve_passes })
    }
}
