//! How boost comes, in a notebook.

use super::sheet::{Cell, Sheet};
use super::units::in_chosen_units;
use crate::quantity::significant;
use crate::report::alive;
use crate::shaft::{Arrival, BalancedPoint, OperatingLine, Threshold};

impl BalancedPoint {
    /// Shows the state in a notebook, with what the plain formulas leave of each balance.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new(format!("Balanced at {:.0} rpm", self.speed.rpm()), &["", ""]);
        let share = |value: f64| format!("{} %", significant(100.0 * value, 3));
        let rows = [
            ("wastegate", format!("{}, passes {}", self.gate.words(), share(self.wastegate.si()))),
            ("power", in_chosen_units(self.power)),
            ("torque", in_chosen_units(self.torque)),
            ("air flow", in_chosen_units(self.air)),
            ("manifold pressure, absolute", in_chosen_units(self.manifold_pressure)),
            ("exhaust manifold pressure, absolute", in_chosen_units(self.exhaust_pressure)),
            ("compressor pressure ratio", significant(self.ratio.si(), 4)),
            ("turbine expansion ratio", significant(self.expansion.si(), 4)),
            ("shaft speed", in_chosen_units(self.shaft_speed)),
            ("power on the shaft", in_chosen_units(self.shaft_power)),
            ("compressor efficiency", share(self.efficiency.si())),
            ("turbine efficiency", share(self.turbine_efficiency.si())),
        ];
        for (what, value) in &rows {
            sheet.cells([(*what).into(), Cell::held(value)]);
        }
        let gaps = ["engine flow", "compressor flow", "shaft power", "what is asked for"];
        for (what, left) in gaps.iter().zip(self.left) {
            let left = if left == 0.0 { "nothing".into() } else { format!("{left:.0e}") };
            sheet.row([&format!("left over of {what}, relative"), &left]);
        }
        sheet.row(["steps", &self.steps.to_string()]);
        sheet.show();
    }
}

impl OperatingLine {
    /// Shows the line in a notebook.
    pub fn evcxr_display(&self) {
        let title = format!(
            "Operating line, {} absolute asked for in the manifold",
            in_chosen_units(self.control.target())
        );
        let head = ["engine speed", "manifold", "exhaust", "torque", "power", "shaft speed", "wastegate"];
        let mut sheet = Sheet::new(title, &head);
        for (speed, found) in &self.points {
            let speed = format!("{:.0} rpm", speed.rpm());
            match found {
                Ok(at) => sheet.cells([
                    Cell::held(&speed),
                    Cell::held(&in_chosen_units(at.manifold_pressure)),
                    Cell::held(&in_chosen_units(at.exhaust_pressure)),
                    Cell::held(&in_chosen_units(at.torque)),
                    Cell::held(&in_chosen_units(at.power)),
                    Cell::held(&in_chosen_units(at.shaft_speed)),
                    at.gate.words().into(),
                ]),
                Err(error) => sheet.cells([Cell::held(&speed), Cell::from(error.to_string()).over(6)]),
            }
        }
        let held = format!("held {}", alive::held(&self.threshold));
        sheet.cells(["this pressure".into(), Cell::from(held).over(6)]);
        sheet.show();
    }
}

impl Threshold {
    /// Shows in a notebook from where the boost is held.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new("From where the pressure asked for is held, steadily", &["", ""]);
        sheet.row(["driven by the exhaust", &alive::onset(self.exhaust)]);
        sheet.row(["right of the surge line", &alive::onset(self.surge)]);
        sheet.row(["both", &alive::onset(self.held())]);
        sheet.show();
    }
}

impl Arrival {
    /// Shows in a notebook when boost was there.
    pub fn evcxr_display(&self) {
        let title = format!("Manifold pressure, absolute, from ambient to {}", in_chosen_units(self.target));
        let mut sheet = Sheet::new(title, &["", "", ""]);
        for (what, there) in [("nine tenths of the way", self.ninety), ("all of it", self.whole)] {
            match there {
                Some((time, speed)) => {
                    let after = format!("after {} s", significant(time.si(), 2));
                    sheet.row([what, &after, &format!("at {}", alive::near(speed))]);
                }
                None => sheet.row([what, "not in the time looked at", ""]),
            }
        }
        for flag in alive::flags(self) {
            sheet.row([flag, "", ""]);
        }
        sheet.show();
    }
}
