//! What stops a candidate and what would help, as JSON.

use super::json_rise::onset;
use crate::study::Cures;
use serde_json::{Value, json};

/// The limits in order and the changes of one entry; null where they were not asked for.
pub(super) fn cures(found: Option<&Cures>) -> Value {
    let Some(found) = found else { return Value::Null };
    let limits = found.met.iter().map(|met| {
        json!({
            "limit": met.limit.words(), "power": met.power, "engine_speed": met.speed, "beyond_map": met.beyond_map,
        })
    });
    // The first is the car as it is; a gain is over it.
    let changes = found.remedies.iter().map(|remedy| {
        json!({
            "change": remedy.what, "power": remedy.power, "gain": remedy.power.map(|_| remedy.gain),
            "stopped_by": remedy.stop.map(|limit| limit.words()), "held": remedy.held_from.map(onset),
        })
    });
    json!({
        "manifold_pressure": found.control.map(|control| control.target()),
        "limits": limits.collect::<Vec<_>>(),
        "changes": changes.collect::<Vec<_>>(),
    })
}
