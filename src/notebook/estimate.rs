//! Estimates from geometry in a notebook.

use super::sheet::Sheet;
use super::units::{self, joined};
use crate::compressor::{DimensionDefault, Factor, MapEstimate, PointBand, WheelGeometry};
use crate::quantity::{CorrectedMassFlow, Fraction, significant};

impl WheelGeometry {
    /// Shows in a notebook what was not measured and what stands in for it.
    pub fn evcxr_display(&self) {
        let [inducer, outer] = [self.inducer(), self.outer()].map(|diameter| joined("", &[diameter]));
        let title = format!("Wheel, inducer {inducer}, outer diameter {outer}: what is assumed");
        let mut sheet = Sheet::new(title, &["not measured", "stands in", "one sigma", "counted", "basis"]);
        for DimensionDefault { what, value, sigma, unit, basis } in self.assumed() {
            sheet.row([what, &significant(*value, 3), &significant(*sigma, 2), unit, basis]);
        }
        if self.assumed().next().is_none() {
            sheet.row(["nothing: every dimension was given", "", "", "", ""]);
        }
        sheet.show();
    }
}

impl MapEstimate {
    /// Shows the estimate in a notebook: a row for each speed line, each figure with one standard deviation.
    pub fn evcxr_display(&self) {
        let title = format!("Estimated map, {}", self.size_check().words());
        let head = [
            "corrected speed",
            "tip speed",
            "surge flow",
            "choke flow",
            "best efficiency",
            "pressure ratio there",
        ];
        let mut sheet = Sheet::new(title, &head);
        let lines = match self.in_brief() {
            Ok(lines) => lines,
            Err(error) => {
                sheet.row([&error.to_string(), "", "", "", "", ""]);
                return sheet.show();
            }
        };
        for line in &lines {
            let with = |value: f64, unit: &str, share: Fraction| {
                format!("{}{unit} +-{} %", significant(value, 3), significant(share.percent(), 2))
            };
            let flow = |flow: CorrectedMassFlow, share: Fraction| {
                let (number, unit) = units::flow(flow.si());
                with(number, &format!(" {unit}"), share)
            };
            sheet.row([
                &line.speed.to_string(),
                &line.tip_speed.to_string(),
                &flow(line.surge.flow, line.surge_sigma),
                &flow(line.choke.flow, line.choke_sigma),
                &format!(
                    "{} +-{}",
                    significant(line.best.efficiency.si(), 2),
                    significant(line.band.efficiency.si(), 1)
                ),
                &with(line.best.ratio.si(), "", line.band.ratio),
            ]);
        }
        sheet.show();
    }
}

impl PointBand {
    /// Shows in a notebook what makes the point uncertain, the largest first.
    pub fn evcxr_display(&self) {
        let title = format!(
            "One standard deviation of the pressure ratio: {} %",
            significant(self.ratio.percent(), 2)
        );
        let mut sheet = Sheet::new(title, &["cause", "one sigma of it moves the pressure ratio by"]);
        let mut causes: Vec<Factor> =
            Factor::ALL.into_iter().filter(|&cause| self.ratio_by(cause) != 0.0).collect();
        causes.sort_by(|a, b| self.ratio_by(*b).abs().total_cmp(&self.ratio_by(*a).abs()));
        for cause in causes {
            sheet.row([cause.words(), &format!("{:+.1} %", 100.0 * self.ratio_by(cause))]);
        }
        sheet.show();
    }
}
