//! How results show themselves.

use super::basics;
use super::sheet::{Cell, Sheet};
use super::units::{self, chosen, in_chosen_units, joined};
use crate::chart::bare_map_figure;
use crate::compressor::{ChokeBands, CompressorMap, MapPoint};
use crate::engine::{AirDemand, Engine};
use crate::formula::{FormulaError, LookUp};
use crate::fuel::Fuel;
use crate::quantity::significant;
use crate::shaft::{
    AreaBand, BoostDemand, Judgement, OperatingPoint, Row, Verdict, answer, boost_rows, demand_rows,
    doubt_words, stop_words,
};
use crate::site::{PowerCorrection, Site};
use crate::study::{Assumptions, Sizing};
use crate::turbine::Turbine;

fn numbers(title: &str, rows: Vec<Row>) -> Sheet {
    let mut sheet = Sheet::new(title, &["", "", "by"]);
    for row in rows {
        sheet.cells([row.words.into(), Cell::held(&chosen(&row.shown)), row.by.into()]);
    }
    sheet
}

impl AirDemand {
    /// Shows the demand in a notebook.
    pub fn evcxr_display(&self) {
        numbers(&format!("Air and fuel at {:.0} rpm", self.speed.rpm()), demand_rows(self)).show();
    }
}

impl BoostDemand {
    /// Shows the demand in a notebook.
    pub fn evcxr_display(&self) {
        numbers("Boost that it takes", boost_rows(self)).show();
    }
}

impl OperatingPoint {
    /// Shows the point in a notebook.
    pub fn evcxr_display(&self) {
        let mut sheet =
            numbers(&format!("Operating point at {:.0} rpm", self.demand.speed.rpm()), self.rows());
        for margin in &self.margins {
            let [worse, middle, better] =
                [AreaBand::Worse, AreaBand::Estimate, AreaBand::Better].map(|side| 100.0 * margin.on(side));
            let band =
                if worse == better { String::new() } else { format!(" ({worse:+.1} to {better:+.1})") };
            sheet.row([&format!("margin to {}", margin.limit.words()), &format!("{middle:+.1} %{band}"), ""]);
        }
        sheet.show();
    }
}

impl Judgement {
    /// Whether it reaches the target, the most power, and what stops it first: for a [`table`](super::table()).
    pub fn in_words(&self) -> [String; 3] {
        [answer(&self.verdict).into(), units::most(&self.most), stop_words(&self.most.stop)]
    }
    /// Shows the judgement in a notebook.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new("Both questions", &["", ""]);
        let [reaches, most, stop] = self.in_words();
        sheet.row(["reaches the target", &reaches]);
        if let Verdict::Open(doubts) = &self.verdict {
            for doubt in doubts {
                sheet.row(["in doubt", &doubt_words(doubt)]);
            }
        }
        sheet.row(["most power", &most]);
        sheet.row(["stopped first by", &stop]);
        sheet.show();
    }
}

impl Sizing {
    /// Shows the verdicts in a notebook.
    pub fn evcxr_display(&self) {
        let target = format!("{}?", units::power(self.study.target.power()));
        let mut sheet =
            Sheet::new(&self.study.title, &["candidate", "fuel", &target, "most power", "stopped first by"]);
        for entry in &self.entries {
            let candidate = &self.study.candidates[entry.candidate];
            let name = format!("{}, {}", candidate.label(), candidate.housings()[entry.housing].name);
            let fuel = self.study.fuels[entry.fuel].fuel.name();
            let [reaches, most, stop] = entry.judgement.in_words();
            sheet.row([&name, fuel, &reaches, &most, &stop]);
        }
        for one in &self.not_sized {
            let candidate = &self.study.candidates[one.candidate];
            let name = format!("{}, {}", candidate.label(), candidate.housings()[one.housing].name);
            let fuel = self.study.fuels[one.fuel].fuel.name();
            sheet.row([&name, fuel, one.missing.words(), "", &one.why.to_string()]);
        }
        sheet.show();
    }
}

impl ChokeBands {
    /// Shows the bands in a notebook.
    pub fn evcxr_display(&self) {
        let head = ["inducer", "trim", "tip speed needed", "choke flow", "one sigma down and up"];
        let mut sheet = Sheet::new("Greatest flow of the inducer, from diameters alone", &head);
        let several = self.iter().any(|band| band.exducer != self[0].exducer);
        for band in self.iter() {
            let inducer = joined("", &[band.inducer]);
            let outer = if several { format!(" in {}", joined("", &[band.exducer])) } else { String::new() };
            sheet.row([
                &(inducer + &outer),
                &significant(band.trim.si(), 3),
                &band.tip_speed.to_string(),
                &in_chosen_units(band.flow),
                &units::flows(band.band()),
            ]);
        }
        sheet.show();
    }
}

impl Assumptions {
    /// Shows the assumptions in a notebook.
    pub fn evcxr_display(&self) {
        let mut sheet =
            Sheet::new("Assumptions: every default and simplification", &["what", "value", "band", "grade"]);
        for a in self.iter() {
            sheet.row([&a.what, &a.value, &a.band, a.grade.words()]);
        }
        sheet.show();
    }
}

impl Fuel {
    /// Shows the fuel in a notebook.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new(self.name(), &["", ""]);
        let ratio =
            self.stoichiometric_ratio().map_or_else(|error| error.to_string(), |ratio| ratio.to_string());
        sheet.row(["stoichiometric air-fuel ratio", &ratio]);
        sheet.row(["lower heating value", &in_chosen_units(self.heating_value())]);
        sheet.row(["density at 15 degC", &in_chosen_units(self.density())]);
        sheet.row(["heat of vaporisation", &in_chosen_units(self.vaporisation())]);
        let [research, motor] =
            [self.research_octane(), self.motor_octane()].map(|on| format!("{:.1}", on.si()));
        sheet.row(["octane, research / motor (+-1.5)", &format!("{research} / {motor}")]);
        let [c, h, o] = self.elements().map(|w| format!("{} %", significant(w.percent(), 3)));
        sheet.row(["carbon, hydrogen, oxygen by mass", &format!("{c}, {h}, {o}")]);
        sheet.show();
    }
}

impl Site {
    /// Shows the site in a notebook.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new("Site", &["", ""]);
        sheet.row(["altitude", &units::altitude(self.altitude())]);
        sheet.row(["ambient pressure", &in_chosen_units(self.pressure())]);
        sheet.row(["air temperature", &in_chosen_units(self.temperature())]);
        sheet.row(["water vapour by volume", &self.vapour().to_string()]);
        let told = |value: Result<String, FormulaError>| value.unwrap_or_else(|error| error.to_string());
        sheet.row(["air density", &told(self.density().map(|rho| rho.to_string()))]);
        sheet.row(["density altitude", &told(self.density_altitude().map(units::altitude))]);
        sheet.show();
    }
}

impl PowerCorrection {
    /// Shows the factor in a notebook, and why it does not count where it does not.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new("Power correction", &["", ""]);
        sheet.row(["factor on measured power", &significant(self.factor.si(), 4)]);
        if let Some(why) = &self.outside {
            sheet.row(["not allowed here", why]);
        }
        sheet.show();
    }
}

impl Engine {
    /// Shows the engine in a notebook.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new(format!("{} cylinders, four-stroke", self.cylinders()), &["", ""]);
        let displacement = self.displacement().map_or_else(|error| error.to_string(), in_chosen_units);
        sheet.row(["bore x stroke", &joined(" x ", &[self.bore(), self.stroke()])]);
        sheet.row(["displacement", &displacement]);
        sheet.row(["compression ratio", &significant(self.compression_ratio().si(), 3)]);
        sheet.row(["volumetric efficiency", &format!("{} %", significant(self.breathing().percent(), 3))]);
        if let Some(torque) = self.most_torque() {
            sheet.row(["torque limit", &in_chosen_units(torque)]);
        }
        sheet.show();
    }
}

impl Turbine {
    /// Shows the turbine in a notebook.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new("Turbine", &["", ""]);
        let [low, high] = self.band().map(|area| significant(area.mm2(), 3));
        if let Some(aspect) = self.area_over_radius() {
            sheet.row(["area over radius", &in_chosen_units(aspect)]);
        }
        sheet.row([
            "effective area",
            &format!("{} mm2 ({low} to {high}, one sigma)", significant(self.area().mm2(), 3)),
        ]);
        sheet.show();
    }
}

impl CompressorMap {
    /// Shows the map in a notebook.
    pub fn evcxr_display(&self) {
        basics::figure(bare_map_figure(self));
    }
}

impl MapPoint {
    /// Shows the point in a notebook.
    pub fn evcxr_display(&self) {
        let percent = |value: f64| format!("{:+.1} %", 100.0 * value);
        let mut sheet = Sheet::new("A point of the map", &["", ""]);
        sheet.row(["corrected flow", &in_chosen_units(self.flow)]);
        sheet.row(["pressure ratio", &self.ratio.to_string()]);
        sheet.row(["corrected speed", &self.speed.to_string()]);
        sheet.row(["isentropic efficiency", &significant(self.efficiency.si(), 3)]);
        sheet.row(["position along the speed line", &significant(self.position.si(), 3)]);
        sheet.row(["margin to surge, along the speed line", &percent(self.surge.0.si())]);
        sheet.row(["margin to choke, along the speed line", &percent(self.choke.0.si())]);
        sheet.show();
    }
}

impl LookUp {
    /// Shows nodes, weights and roots in a notebook.
    pub fn evcxr_display(&self) {
        let mut sheet = Sheet::new(self.name(), &["node or equation", "value", "weight"]);
        for root in &self.roots {
            let words = format!("root: {}; {root}", root.equation);
            sheet.row([&words, &significant(root.root, 6), ""]);
        }
        for (name, value, weight) in &self.nodes {
            sheet.row([name, &significant(*value, 5), &significant(*weight, 4)]);
        }
        sheet.row(["sum of values times weights", &significant(self.value(), 6), ""]);
        sheet.show_steps();
    }
}
