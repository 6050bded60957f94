//! How boost comes, as JSON.

use super::{alive, away};
use crate::quantity::ShaftSpeed;
use crate::shaft::{Arrival, BalancedPoint, NotFound, Onset, Recovery, SweepError};
use crate::study::{Away, Driving, NoRise, Rise, Sizing};
use serde_json::{Value, json};

/// The most moments of a sweep that are written.
const MOMENTS: usize = 30;

pub(super) fn sweep(driving: &Driving) -> Value {
    json!({
        "from": driving.from, "rate": driving.rate, "start": driving.start,
        "charge_volume": driving.charge, "exhaust_volume": driving.exhaust,
        "wastegate_area": driving.wastegate.map(|gate| gate.area()),
        "control": driving.holds.map(|holds| holds.words()),
        "vehicle": driving.vehicle.map(|vehicle| json!({
            "gear": vehicle.number, "gearing": vehicle.gear.gearing, "mass": vehicle.gear.mass,
            "wheel_radius": vehicle.gear.wheel, "driveline_efficiency": vehicle.gear.driveline,
            "turning": vehicle.gear.turning, "resistance": vehicle.gear.resistance,
            "change": vehicle.change.map(|change| json!({
                "at": change.shift.from, "lands": change.lands, "lasts": change.shift.lasts,
                "automatic": change.automatic, "gearing": change.next.gearing,
            })),
        })),
    })
}

pub(super) fn rise(sizing: &Sizing, rise: &Result<Rise, NoRise>) -> Value {
    let driving = &sizing.study.driving;
    let rise = match rise {
        Ok(rise) => rise,
        Err(none) => return json!({ "why": none.to_string() }),
    };
    let threshold = &rise.line.threshold;
    json!({
        "asked_for": alive::asked_for(rise),
        "manifold_pressure": rise.pressure(),
        "held": onset(threshold.held()),
        "held_by_exhaust": onset(threshold.exhaust),
        "held_by_compressor": onset(threshold.surge),
        "held_with_smaller_turbine": rise.sides[0].as_ref().map(|line| onset(line.threshold.held())),
        "held_with_larger_turbine": rise.sides[1].as_ref().map(|line| onset(line.threshold.held())),
        "held_on_worse_map": rise.map_sides[0].as_ref().map(|line| onset(line.threshold.held())),
        "held_on_better_map": rise.map_sides[1].as_ref().map(|line| onset(line.threshold.held())),
        "there_in_time": driving.boost_by.map(|by| {
            let [in_gear, held] = rise.there_by(by).map(alive::said);
            json!({ "in_gear": in_gear, "held": held })
        }),
        "arrival": match &rise.arrival {
            Ok(found) => arrival(found),
            Err(error) => json!({ "why": error.to_string() }),
        },
        "recovery": rise.recovery.as_ref().map(recovery),
        "elsewhere": rise.away.iter().map(|found| match found {
            Ok(found) => elsewhere(sizing, found),
            Err(error) => json!({ "why": error.to_string() }),
        }).collect::<Vec<_>>(),
        "line": rise.line.points.iter().map(point).collect::<Vec<_>>(),
    })
}

pub(super) fn onset(onset: Onset) -> Value {
    let (is, speed) = match onset {
        Onset::At(speed) => ("from", Some(speed)),
        Onset::Below(speed) => ("already at", Some(speed)),
        Onset::Above(speed) => ("not up to", Some(speed)),
        Onset::Unknown => ("not known", None),
    };
    json!({ "is": is, "engine_speed": speed })
}

fn recovery(found: &Result<Recovery, SweepError>) -> Value {
    match found {
        Ok(found) => json!({
            "meanwhile": arrival(&found.meanwhile), "after": arrival(&found.after),
            "valve_passes": found.valve_passes,
        }),
        Err(error) => json!({ "why": error.to_string() }),
    }
}

fn elsewhere(sizing: &Sizing, found: &Away) -> Value {
    let upper = sizing.study.target.ends()[1];
    json!({
        "place": sizing.study.elsewhere[found.place].name, "control": found.holds.words(),
        "manifold_pressure": found.line.control.target(), "above_fuel_limit": found.over_fuel,
        "held": onset(found.line.threshold.held()),
        "at_upper_end": away::at_upper(sizing, found).map(|at| point(&(upper, at.clone()))),
    })
}

fn arrival(arrival: &Arrival) -> Value {
    let [ninety, whole] = [arrival.ninety, arrival.whole]
        .map(|there| there.map(|(time, speed)| json!({ "time": time, "engine_speed": speed })));
    let every = arrival.moments.len().div_ceil(MOMENTS).max(1);
    let last = arrival.moments.len().saturating_sub(1);
    let kept = arrival.moments.iter().enumerate().filter(|(index, _)| index % every == 0 || *index == last);
    let moments = kept.map(|(_, moment)| {
        json!({
            "time": moment.time, "engine_speed": moment.speed,
            "manifold_pressure": moment.manifold_pressure, "exhaust_pressure": moment.exhaust_pressure,
            "shaft_speed": moment.shaft_speed, "torque": moment.torque,
        })
    });
    json!({
        "ninety_per_cent": ninety, "whole": whole,
        "crosses_surge": arrival.crosses_surge(), "below_map": arrival.leaves_map(),
        "moments": moments.collect::<Vec<_>>(),
    })
}

fn point((speed, found): &(ShaftSpeed, Result<BalancedPoint, NotFound>)) -> Value {
    match found {
        Ok(at) => json!({
            "engine_speed": speed, "power": at.power, "torque": at.torque,
            "manifold_pressure": at.manifold_pressure, "exhaust_pressure": at.exhaust_pressure,
            "exhaust_temperature": at.exhaust_temperature,
            "shaft_speed": at.shaft_speed, "corrected_flow": at.corrected_flow, "pressure_ratio": at.ratio,
            "wastegate_share": at.wastegate, "wastegate": at.gate.words(), "below_map": at.beyond.is_some(),
        }),
        Err(error) => json!({
            "engine_speed": speed, "outside": error.limit().map(|limit| limit.words()), "why": error.to_string(),
        }),
    }
}
