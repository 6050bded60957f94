//! Every default and simplification, listed.

use super::Grade;

/// A value or a simplification that the user did not give.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumption {
    /// The key of the study file that would replace it; nothing where it is a simplification.
    pub key: &'static str,
    /// What is assumed.
    pub what: String,
    /// The value in use.
    pub value: String,
    /// The band it may lie in.
    pub band: String,
    /// How well it is known.
    pub grade: Grade,
}

/// All assumptions of a study.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Assumptions(pub(super) Vec<Assumption>);

impl core::ops::Deref for Assumptions {
    type Target = [Assumption];
    fn deref(&self) -> &[Assumption] {
        &self.0
    }
}

impl Assumption {
    pub(super) fn new(
        key: &'static str,
        what: &str,
        value: impl Into<String>,
        band: &str,
        grade: Grade,
    ) -> Self {
        Self { key, what: what.into(), value: value.into(), band: band.into(), grade }
    }

    /// What holds for every study at this depth of calculation. Published: friction and work below lambda 1
    /// in [eriksson-nielsen], the turbine's flow in [nasa-tn-d-5090], fuel density by [thermo-library].
    pub(super) fn standing() -> Vec<Self> {
        use Grade::{Assumed, Published};
        vec![
            Self::new("", "friction", "engine::friction_pressure", "+-20 % (2 sigma)", Published),
            Self::new("", "work below lambda 1", "in proportion to lambda", "+-5 %", Published),
            Self::new(
                "",
                "volumetric efficiency",
                "engine::breathing_against, no valve overlap",
                "overlap widens the effect either way",
                Published,
            ),
            Self::new(
                "turbine.head",
                "turbine flow over wheel speed",
                "turbine::swallowing_flow, one turbine's shape",
                "k 0.6 to 1.0, n 2.4 to 3.8",
                Assumed,
            ),
            Self::new(
                "turbine.efficiency_curve",
                "turbine efficiency over blade speed ratio",
                "turbine::efficiency_power, one turbine's shape",
                "0.03 inside 0.5 to 0.85, more outside",
                Assumed,
            ),
            Self::new(
                "",
                "cooling air of the charge cooler",
                "at ambient temperature",
                "0 to +15 K",
                Assumed,
            ),
            Self::new(
                "",
                "charge cooling by the fuel",
                "not counted",
                "0 to -20 K with ethanol blends",
                Assumed,
            ),
            Self::new(
                "",
                "injectors",
                "opening delay not counted",
                "0.7 to 1.2 ms of each cycle",
                Grade::FromMemory,
            ),
            Self::new(
                "",
                "fuel vapour in the manifold",
                "displaces no air",
                "-2 % of air on gasoline, -7 % on ethanol, port",
                Assumed,
            ),
            Self::new(
                "",
                "compressor",
                "adiabatic",
                "too cold by the heat from the turbine at low speed",
                Assumed,
            ),
            Self::new(
                "",
                "engine speeds looked at",
                "both ends and the middle of the target's band",
                "",
                Assumed,
            ),
            Self::new(
                "",
                "water-gas constant of the exhaust",
                "3.5, frozen",
                "3.5 to 3.8",
                Grade::FromMemory,
            ),
            Self::new("", "fuel density", "at 15 degC", "-1 % for each 10 K", Published),
        ]
    }
}
