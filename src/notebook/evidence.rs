//! Evidence of a compressor in a notebook.

use super::sheet::{Cell, Sheet};
use crate::compressor::{
    Combined, Evidence, MiddleBand, MiddlePoint, ReadingWeights, SELLER_FIGURE, SELLER_VOLUME, ScaledMap,
    WheelLines, WheelReading,
};
use crate::quantity::significant;

impl Evidence {
    /// Shows in a notebook what it says and how sure it is.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new(self.name(), &["", ""]);
        sheet.row(["observations", &self.count().to_string()]);
        sheet.row(["uncertainty", self.basis()]);
        if self.basis().starts_with("a seller's figure") {
            let volume = self.basis().contains("a volume flow").then_some(SELLER_VOLUME);
            for doubt in SELLER_FIGURE.into_iter().chain(volume) {
                let [bias, sigma] = [doubt.bias, doubt.sigma].map(|share| significant(100.0 * share, 2));
                let bias = if doubt.bias > 0.0 { format!("+{bias}") } else { bias };
                sheet.row([doubt.what, &format!("bias {bias} %, spread {sigma} % (judgement)")]);
            }
        }
        sheet.show();
    }
}

/// A share in percent, or that it is next to nothing.
fn little(percent: impl Fn(f64) -> String, share: f64) -> String {
    if share < 1e-3 { "below 0.1 %".into() } else { percent(share) }
}

/// How well a middle point is known.
fn within(band: &MiddleBand) -> String {
    let [ratio, choke] = [band.ratio, band.choke].map(|share| significant(share.percent(), 2));
    format!("{ratio} %, {choke} %")
}

impl Combined {
    /// Shows in a notebook what each piece of evidence was worth, and which contradicts the rest.
    pub fn evcxr_display(&self) {
        let head = [
            "evidence",
            "share",
            "off the rest (sigma)",
            "weight",
            "without it: ratio, choke",
            "uncertainty from",
        ];
        let mut sheet = Sheet::new("Evidence weighed together", &head);
        let percent = |share: f64| format!("{} %", significant(100.0 * share, 2));
        let prior = percent(self.prior_share().si());
        sheet.row([
            "the estimate from geometry",
            &prior,
            "",
            "",
            "",
            "defaults and spreads of the mean line",
        ]);
        for piece in self.pieces() {
            let outlier = if piece.is_outlier() { ", an outlier: check it" } else { "" };
            let off = format!("{}{outlier}", significant(piece.deviation, 2));
            let [share, weight] = [piece.share, piece.weight].map(|share| little(percent, share.si()));
            sheet.row([&piece.name, &share, &off, &weight, &within(&piece.without), &piece.basis]);
        }
        let with = within(&self.known());
        sheet.row([
            "all together",
            "",
            "",
            "",
            &with,
            "1 sigma of pressure ratio and choke flow, middle line",
        ]);
        sheet.cells([Cell::from(self.judgement()).over(6)]);
        sheet.cells([Cell::from(self.estimate().size_check().words()).over(6)]);
        sheet.show();
    }
}

impl WheelLines {
    /// Shows in a notebook what is left of the lines and the efficiency in the middle with its band.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new("Printed speed lines with the efficiency of their wheel", &["", ""]);
        let MiddlePoint { speed, point, sigma } = self.middle();
        let efficiency = format!("{:.1} % +-{:.1} (1 sigma)", point.efficiency.percent(), sigma.percent());
        sheet.row([&format!("in the middle of {speed}, at {} and {}", point.flow, point.ratio), &efficiency]);
        sheet.row(["the lines", &self.fitted().summary()]);
        for conflict in self.fitted().conflicts() {
            sheet.row(["contradicts the rest", &conflict.to_string()]);
        }
        sheet.show();
    }
}

impl ReadingWeights {
    /// Shows the weights of all readings in a notebook.
    pub fn evcxr_display(&self) {
        let head = ["reading", "weight before", "weight after the evidence"];
        let mut sheet = Sheet::new("Which reading the evidence favours; they are not averaged", &head);
        for weight in self.iter() {
            let [before, after] =
                [weight.before, weight.after].map(|share| format!("{} %", significant(share.percent(), 3)));
            sheet.row([&weight.reading.short(), &before, &after]);
        }
        let by = |(reading, odds): (&WheelReading, f64)| {
            let advice = if odds < 3.0 { "hardly worth a mention: measure again" } else { "" };
            (format!("{} by {} to 1", reading.short(), significant(odds, 3)), advice)
        };
        if let Some((said, advice)) = self.favoured().map(by) {
            sheet.row([&said, advice, ""]);
        }
        if let (Some((said, advice)), false) = (self.favoured_by_evidence().map(by), self.were_alike()) {
            sheet.row([&format!("by the evidence alone, {said}"), advice, ""]);
        }
        sheet.show();
    }
}

impl ScaledMap {
    /// Shows the steps of the scaling in a notebook, each with what it leaves open.
    pub fn evcxr_display(&self) {
        let head =
            ["step", "flow times", "efficiency, points", "leaves open (1 sigma): flow, work", "losses"];
        let mut sheet = Sheet::new("A map scaled from a machine taken as similar", &head);
        let percent = |share: f64| format!("{} %", significant(100.0 * share, 2));
        for step in self.steps() {
            let open = format!("{}, {}", percent(step.spread.flow().si()), percent(step.spread.work().si()));
            sheet.row([
                step.what,
                &significant(step.flow, 4),
                &significant(100.0 * step.efficiency, 2),
                &open,
                &percent(step.spread.loss().si()),
            ]);
        }
        let whole = self.spread();
        let open = format!("{}, {}", percent(whole.flow().si()), percent(whole.work().si()));
        sheet.row(["all together", "", "", &open, &percent(whole.loss().si())]);
        sheet.show();
    }
}
