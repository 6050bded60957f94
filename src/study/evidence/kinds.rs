//! What each kind of evidence asks of its table.

use super::said::Said;
use super::sheet::{EFFICIENCY, FLOW, OUTLET, RATIO, Sheet};
use crate::compressor::{InletState, RunPoint, SELLER_FIGURE, outlet_temperature};
use crate::formula::FormulaError;
use crate::gas::Gas;
use crate::quantity::*;
use crate::shaft::StatedFigure;
use crate::study::Grade;

impl Sheet<'_, '_, '_> {
    pub fn seller(&self) -> Option<Said> {
        let flow = self.required("evidence.flow", "38 lb/min");
        let bias: f64 = SELLER_FIGURE.iter().map(|doubt| doubt.bias).sum();
        let sigma = SELLER_FIGURE.iter().map(|doubt| doubt.sigma * doubt.sigma).sum::<f64>().sqrt();
        let value = format!("choke flow {:+.0} %, spread {:.0} % (1 sigma)", 100.0 * bias, 100.0 * sigma);
        let band = "nobody says reference, speed or meaning";
        self.reader.note("evidence.seller", "what a seller's flow figure means", value, band, Grade::Assumed);
        flow.map(Said::Seller)
    }

    pub fn measured(&self) -> Option<Said> {
        let temperature = self.required("evidence.inlet_temperature", "24 degC");
        let pressure = self.required::<Pressure>("evidence.inlet_pressure", "98 kPa");
        let speed = self.required("evidence.speed", "110000 rpm");
        let flow = self.required("evidence.flow", "0.17 kg/s");
        let ratio = match self.table.line_of("boost") {
            None => self.required("evidence.pressure_ratio", "2.0"),
            Some(_) => {
                let boost = self.optional::<GaugePressure>("evidence.boost");
                let barometer = self.required::<Pressure>("evidence.barometer", "99 kPa");
                if let Some(line) = self.table.line_of("pressure_ratio") {
                    self.table.problem(line, "pressure_ratio", "is boost over inlet_pressure; leave one out");
                }
                let absolute = boost.zip(barometer).map(|(boost, air)| air.si() + boost.si());
                let ratio = absolute.zip(pressure).map(|(absolute, inlet)| absolute / inlet.si());
                ratio.map(PressureRatio::from_si_unchecked)
            }
        };
        let inlet =
            temperature.zip(pressure).map(|(temperature, pressure)| InletState { temperature, pressure });
        self.point(inlet, speed, flow, ratio)
    }

    pub fn catalogue(&self) -> Option<Said> {
        let inlet = self.reference();
        let (speed, flow) = self.corrected();
        let ratio = self.required("evidence.pressure_ratio", "2.0");
        self.point(Some(inlet), speed, flow, ratio)
    }

    /// The rest of a point: how the outlet was found, and the spreads.
    fn point(
        &self,
        inlet: Option<InletState>,
        speed: Option<ShaftSpeed>,
        flow: Option<MassFlow>,
        ratio: Option<PressureRatio>,
    ) -> Option<Said> {
        let flow_sigma = self.spread(FLOW);
        let ratio_sigma = self.spread(RATIO);
        let outlet = self.optional::<Temperature>("evidence.outlet_temperature");
        let efficiency = self.optional::<Efficiency>("evidence.efficiency");
        if let (Some(_), Some(line)) = (outlet, self.table.line_of("efficiency")) {
            self.table.problem(line, "efficiency", "is the outlet temperature in other words; leave one out");
        }
        let outlet = match (outlet, efficiency) {
            (Some(outlet), _) => Some((outlet, self.spread(OUTLET)?)),
            (None, Some(efficiency)) => {
                let sigma = self.spread::<Fraction>(EFFICIENCY)?;
                let (inlet, ratio) = (inlet?, ratio?);
                let outlet = outlet_temperature(&Gas::dry_air(), inlet.temperature, ratio, efficiency);
                let outlet = outlet.map_err(|error: FormulaError| {
                    self.table.problem(self.table.line_of("efficiency"), "efficiency", error.plainly());
                });
                let outlet = outlet.ok()?;
                // The rise goes with 1/efficiency.
                let rise = (outlet.si() - inlet.temperature.si()) * sigma.si() / efficiency.si();
                Some((outlet, TemperatureDifference::from_si_unchecked(rise)))
            }
            (None, None) => None,
        };
        Some(Said::Point(RunPoint {
            inlet: inlet?,
            speed: speed?,
            flow: flow?,
            flow_sigma: flow_sigma?,
            ratio: ratio?,
            ratio_sigma: ratio_sigma?,
            outlet,
        }))
    }

    pub fn end(&self, choke: bool) -> Option<Said> {
        let inlet = self.reference();
        let (speed, flow) = self.corrected();
        let sigma = self.spread(FLOW);
        Some(Said::End { choke, inlet, speed: speed?, flow: flow?, sigma: sigma? })
    }

    pub fn similar(&self, own: Option<Fraction>) -> Option<Said> {
        let file = self.table.required_text("map", "similar.csv");
        let outer = self.required("evidence.exducer", "63 mm");
        let inducer = self.optional("evidence.inducer");
        let clearance = self.optional::<Length>("evidence.clearance");
        let width = self.optional::<Length>("evidence.exit_width");
        let clearances = match (clearance, width, own) {
            (Some(clearance), Some(width), Some(own)) => {
                Some([Fraction::from_si_unchecked(clearance / width), own])
            }
            (None, None, _) => None,
            _ => {
                let message = "is used as clearance over exit_width, here and of the candidate's own wheel; give all \
                               four, or leave both out";
                let key = if clearance.is_some() { "clearance" } else { "exit_width" };
                self.table.problem(self.table.line_of(key), key, message);
                return None;
            }
        };
        let map = self.reader.map(self.table, &file?)?;
        let of = StatedFigure::new("evidence.map", self.name, self.place, map.highest_speed());
        self.keep(of.standing_for(&map));
        let what = format!("machine taken as similar, {}", self.name);
        let value =
            "scaled: flow with D^2 and inducer area to 0.9, losses with Reynolds number and clearance";
        let band = "5 % of flow, 4 % of work, 15 % of losses (1 sigma), more by each step of the scaling";
        self.reader.note("evidence.map", &what, value, band, Grade::Assumed);
        Some(Said::Similar { map: Box::new(map), outer: outer?, inducer, clearances })
    }
}
