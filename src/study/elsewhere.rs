//! The same engine at another place: what a control by gauge or by absolute pressure holds there.

use super::rise::Rise;
use super::{Driving, Study};
use crate::formula::FormulaError;
use crate::quantity::Pressure;
use crate::shaft::{Candidate, Control, FuelPlan, Installation, OperatingLine, operating_line};
use crate::site::Site;
use crate::turbine::{BoostControl, Turbine};

/// Another place.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Its name.
    pub name: String,
    /// Its air.
    pub site: Site,
}

/// What a boost control measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// The pressure above the barometer.
    Gauge,
    /// The absolute pressure.
    Absolute,
}

impl Holds {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Gauge => "gauge",
            Self::Absolute => "absolute",
        }
    }
}

/// The boost of a rise, held at another place.
#[derive(Clone, Debug, PartialEq)]
pub struct Away {
    /// Which place of the study.
    pub place: usize,
    /// What the control measures.
    pub holds: Holds,
    /// True where the boost above that barometer is more than the fuel's limit.
    pub over_fuel: bool,
    /// Balanced states over engine speed there.
    pub line: OperatingLine,
}

impl Driving {
    /// What holds a manifold pressure, and whether the wastegate's spring alone holds more, which then stands.
    pub(super) fn control(
        &self,
        asked: Pressure,
        barometer: Pressure,
    ) -> Result<(Control, bool), FormulaError> {
        let Some(gate) = self.wastegate else { return Ok((Control::manifold(asked)?, false)) };
        let least = gate.least(barometer)?;
        let by_spring = least > asked;
        let held = if by_spring { least } else { asked };
        Ok((Control::manifold(held)?.wastegate(gate.area())?, by_spring))
    }
    /// What the controls looked at measure: the one that is fitted, or both where that is not said.
    pub fn controls(&self) -> &'static [Holds] {
        match self.holds {
            Some(Holds::Gauge) => &[Holds::Gauge],
            Some(Holds::Absolute) => &[Holds::Absolute],
            None => &[Holds::Gauge, Holds::Absolute],
        }
    }
}

impl Study {
    /// A rise's boost held at every other place of the study.
    pub(super) fn away(
        &self,
        (candidate, turbine, plan): (&Candidate, &Turbine, &FuelPlan),
        rise: &Rise,
    ) -> Vec<Result<Away, FormulaError>> {
        let home = self.installation.site.pressure();
        let (absolute, gauge) = (rise.pressure(), rise.pressure().above(home));
        let held = |place: usize, holds: Holds| {
            let site = self.elsewhere[place].site.clone();
            let barometer = site.pressure();
            let asked = match holds {
                Holds::Gauge => BoostControl::Gauge(gauge),
                Holds::Absolute => BoostControl::Absolute(absolute),
            };
            let (control, _) = self.driving.control(asked.target(barometer)?, barometer)?;
            let installation = Installation { site, ..self.installation.clone() };
            let mut speeds = self.line_speeds();
            speeds.push(self.target.ends()[1]);
            let line = operating_line(&installation, candidate, turbine, plan, control, &speeds)?;
            let over_fuel = plan
                .most_boost
                .is_some_and(|most| control.target().above(barometer).si() > most.si() * (1.0 + 1e-9));
            Ok(Away { place, holds, over_fuel, line })
        };
        let every = (0..self.elsewhere.len())
            .flat_map(|place| self.driving.controls().iter().map(move |holds| (place, *holds)));
        every.map(|(place, holds)| held(place, holds)).collect()
    }
}
