//! What a wheel's dimensions must satisfy together.

use super::builder::InducerAngle;
use super::geometry_error::within;
use super::{Factor, Factors, GeometryError, WheelBuilder};
use crate::compressor::inducer_area;
use crate::quantity::*;

/// What is wrong so far.
#[derive(Default)]
struct Found(Vec<GeometryError>);

impl Found {
    fn take(&mut self, checked: Result<(), GeometryError>) {
        self.0.extend(checked.err());
    }
    fn mm(&mut self, what: &'static str, value: Length, [low, high]: [f64; 2], why: &'static str) {
        self.take(within(what, value.mm(), [1e3 * low, 1e3 * high], "mm", why));
    }
    fn deg(&mut self, what: &'static str, value: Angle, range: [f64; 2], why: &'static str) {
        self.take(within(what, value.deg(), range, "deg", why));
    }
}

impl WheelBuilder {
    /// Everything that keeps the dimensions from belonging to one wheel. What is measured against a dimension that is wrong
    /// itself is not judged.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let wheel = WheelGeometry::builder(mm(38.0), mm(52.0)).exit_width(mm(20.0)).backsweep(deg(-10.0));
    /// assert_eq!(wheel.problems().len(), 2);
    /// ```
    pub fn problems(&self) -> Vec<GeometryError> {
        let mut found = Found::default();
        self.diameters(&mut found);
        if found.0.is_empty() {
            self.blading(&mut found);
            self.exit(&mut found);
        }
        let central = |found: &Found| found.0.is_empty().then(|| self.dimensions(&Factors::central()));
        if let (Some(vanes), Some(central)) = (&self.vanes, central(&found)) {
            found.take(vanes.check(&self.around(&central), self.diffuser_ratio));
        }
        found.0
    }

    fn diameters(&self, found: &mut Found) {
        let (inducer, outer) = (self.inducer.si(), self.outer.si());
        found.mm("outer diameter", self.outer, [0.02, 0.6], "wheels from 20 to 600 mm are taken");
        if !found.0.is_empty() {
            return;
        }
        let why =
            "the inducer of a centrifugal wheel is 0.4 to 0.95 of its outer diameter; are they swapped?";
        found.mm("inducer tip diameter", self.inducer, [0.4 * outer, 0.95 * outer], why);
        if let (Some(hub), true) = (self.hub, found.0.is_empty()) {
            let why = "the hub is 0.1 to 0.8 of the inducer's tip diameter";
            found.mm("inducer hub diameter", hub, [0.1 * inducer, 0.8 * inducer], why);
        }
    }

    /// Blades, angles and the throat between them.
    fn blading(&self, found: &mut Found) {
        match self.angle {
            Some(InducerAngle::Tip(angle)) => {
                let why = "inducer blades stand 35 to 72 degrees from axial at the tip";
                found.deg("inducer tip angle", angle, [35.0, 72.0], why);
            }
            Some(InducerAngle::Mean(angle)) => {
                let why = "inducer blades stand 30 to 70 degrees from axial at the mean radius";
                found.deg("inducer mean angle", angle, [30.0, 70.0], why);
            }
            None => {}
        }
        if let Some(throat) = self.throat {
            let hub = self.dimensions(&Factors::central()).hub;
            let annulus = 1e6 * inducer_area::of(self.inducer.si(), hub);
            let why = "a throat is 0.3 to 0.9 of the inducer's annulus";
            found.take(within("throat area", throat.mm2(), [0.3 * annulus, 0.9 * annulus], "mm2", why));
        }
        if let Some(angle) = self.backsweep {
            found.deg("backsweep", angle, [0.0, 65.0], "blades lean back by 0 (radial) to 65 degrees");
        }
        if let Some([full, splitters]) = self.blades.map(|counts| counts.map(f64::from)) {
            found.take(within("full blades", full, [4.0, 30.0], "", "wheels have 4 to 30 full blades"));
            let why = "at most two splitters stand between full blades";
            found.take(within("splitter blades", splitters, [0.0, 2.0 * full], "", why));
        }
        for factor in Factor::ALL {
            let why = "one standard deviation is at most half of the dimension";
            found.take(within("spread of a dimension", self.spread(factor), [0.0, 0.5], "", why));
        }
    }

    /// Exit, clearance and diffuser.
    fn exit(&self, found: &mut Found) {
        let outer = self.outer.si();
        let central = self.dimensions(&Factors::central());
        let before = found.0.len();
        if let Some(width) = self.width {
            let height = (central.inducer - central.hub) / 2.0;
            let why = "the exit is at least 0.02 of the outer diameter and narrower than the inducer's blades are high";
            found.mm("exit width", width, [0.02 * outer, height], why);
        }
        if let Some(ratio) = self.diffuser_ratio {
            let why = "a diffuser ends at 1.05 to 2.5 of the wheel's radius";
            found.take(within("diffuser radius ratio", ratio.si(), [1.05, 2.5], "", why));
        }
        if found.0.len() > before || !central.width.is_finite() {
            return;
        }
        if let Some(clearance) = self.clearance {
            let why = "a clearance is less than 0.3 of the exit width";
            found.mm("clearance at the exit", clearance, [0.0, 0.3 * central.width], why);
        }
        for width in self.diffuser_widths.into_iter().flatten() {
            let range = [0.4, 1.4].map(|share| share * central.width);
            found.mm("diffuser width", width, range, "it is 0.4 to 1.4 of the exit width");
        }
    }
}
