//! The vanes of a candidate's diffuser in the study file.

use super::document::{Found, Table};
use crate::compressor::VanedDiffuser;
use crate::quantity::*;

/// The key that says that there are vanes.
const VANED: &str = "vaned_diffuser";
/// What may be known of them.
const KNOWN: [&str; 6] = [
    "diffuser_vanes",
    "vane_ratio",
    "vane_angle",
    "diffuser_throat",
    "diffuser_throat_width",
    "matched_tip_speed",
];

/// What is known of the vanes.
#[derive(Default)]
pub(super) struct VaneKeys {
    vaned: bool,
    count: Option<Found<u32>>,
    ratio: Option<Found<Fraction>>,
    angle: Option<Found<Angle>>,
    throat: Option<Found<Area>>,
    width: Option<Found<Length>>,
    tip_speed: Option<Found<Velocity>>,
}

impl VaneKeys {
    pub fn read(table: &Table<'_, '_>) -> Self {
        let count = table.line_of("diffuser_vanes").and_then(|_| table.count("diffuser_vanes", "17"));
        let keys = Self {
            vaned: table.flag(VANED),
            count,
            ratio: table.optional("vane_ratio"),
            angle: table.optional("vane_angle"),
            throat: table.optional("diffuser_throat"),
            width: table.optional("diffuser_throat_width"),
            tip_speed: table.optional("matched_tip_speed"),
        };
        if let (Some(_), Some(second)) = (&keys.throat, &keys.width) {
            table.problem(second.line, "diffuser_throat_width", "one throat at a time; leave one out");
        }
        if !keys.vaned {
            for key in KNOWN {
                if let Some(line) = table.line_of(key) {
                    table.problem(line, key, "belongs to a diffuser with vanes: vaned_diffuser = true");
                }
            }
        }
        keys
    }

    /// The diffuser with vanes, where there are any.
    pub fn diffuser(&self) -> Option<VanedDiffuser> {
        if !self.vaned {
            return None;
        }
        let mut vanes = VanedDiffuser::new();
        if let Some(f) = &self.count {
            // What does not fit into a byte is refused as too many.
            vanes = vanes.vanes(u8::try_from(f.value).unwrap_or(u8::MAX));
        }
        if let Some(f) = &self.ratio {
            vanes = vanes.leading_edge(f.value);
        }
        if let Some(f) = &self.angle {
            vanes = vanes.inlet_angle(f.value);
        }
        if let Some(f) = &self.throat {
            vanes = vanes.throat(f.value);
        }
        if let Some(f) = &self.width {
            vanes = vanes.throat_width(f.value);
        }
        if let Some(f) = &self.tip_speed {
            vanes = vanes.matched_at(f.value);
        }
        Some(vanes)
    }
}
