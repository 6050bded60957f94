//! The demonstration, sized once for all tests of a file.

#![allow(dead_code)] // each test file uses its own part

use shaftwork::prelude::*;
use shaftwork::study::{Entry, Sizing};
use std::sync::OnceLock;

pub fn demo() -> &'static Sizing {
    static DEMO: OnceLock<Sizing> = OnceLock::new();
    DEMO.get_or_init(|| Study::demo().unwrap().size().unwrap())
}
pub fn installation() -> &'static Installation {
    &demo().study.installation
}
pub fn plan(entry: &Entry) -> &'static FuelPlan {
    &demo().study.fuels[entry.fuel]
}
pub fn candidate(entry: &Entry) -> &'static Candidate {
    &demo().study.candidates[entry.candidate]
}
pub fn turbine(entry: &Entry) -> &'static Turbine {
    &candidate(entry).housings()[entry.housing].turbine
}
