//! What each kind of evidence asks of its table.

use super::said::Said;
use super::sheet::{EFFICIENCY, FLOW, LINE_FLOW, LINE_RATIO, OUTLET, RATIO, Sheet};
use crate::compressor::{InletState, ReadWithin, RunPoint, SELLER_FIGURE, SELLER_VOLUME, outlet_temperature};
use crate::formula::FormulaError;
use crate::gas::{Gas, isentropic_temperature};
use crate::quantity::*;
use crate::shaft::StatedFigure;
use crate::study::Grade;

/// Pressures of the air around, Pa: from 5.5 km up to the highest at sea level, with a margin.
const BAROMETERS: core::ops::RangeInclusive<f64> = 5e4..=1.1e5;

impl Sheet<'_, '_, '_> {
    pub fn seller(&self) -> Option<Said> {
        let said = match self.volume() {
            Some(volume) => volume.map(Said::SellerVolume),
            None => self.required("evidence.flow", "38 lb/min").map(Said::Seller),
        };
        let doubts =
            SELLER_FIGURE.iter().chain(matches!(said, Some(Said::SellerVolume(_))).then_some(&SELLER_VOLUME));
        let bias: f64 = doubts.clone().map(|doubt| doubt.bias).sum();
        let sigma = doubts.map(|doubt| doubt.sigma * doubt.sigma).sum::<f64>().sqrt();
        let value = format!("choke flow {:+.0} %, spread {:.0} % (1 sigma)", 100.0 * bias, 100.0 * sigma);
        let band = "nobody says reference, speed or meaning";
        self.reader.note("evidence.seller", "what a seller's flow figure means", value, band, Grade::Assumed);
        said
    }

    pub fn measured(&self) -> Option<Said> {
        let temperature = self.required("evidence.inlet_temperature", "24 degC");
        let pressure = self.required::<Pressure>("evidence.inlet_pressure", "98 kPa");
        let speed = self.required("evidence.speed", "110000 rpm");
        let inlet =
            temperature.zip(pressure).map(|(temperature, pressure)| InletState { temperature, pressure });
        let flow = match self.volume() {
            Some(volume) => volume.zip(inlet).and_then(|(volume, inlet)| self.mass(volume, inlet)),
            None => self.required("evidence.flow", "0.17 kg/s"),
        };
        let ratio = match self.table.line_of("boost") {
            None => self.required("evidence.pressure_ratio", "2.0"),
            Some(_) => {
                let boost = self.optional::<GaugePressure>("evidence.boost");
                let barometer = self.required::<Pressure>("evidence.barometer", "99 kPa");
                if let Some(line) = self.table.line_of("pressure_ratio") {
                    self.table.problem(line, "pressure_ratio", "is boost over inlet_pressure; leave one out");
                }
                let barometer = barometer.filter(|air| self.is_barometer(*air));
                let absolute = boost.zip(barometer).map(|(boost, air)| air.si() + boost.si());
                let ratio = absolute.zip(pressure).map(|(absolute, inlet)| absolute / inlet.si());
                ratio.map(PressureRatio::from_si_unchecked)
            }
        };
        self.point(inlet, speed, flow, ratio)
    }

    /// Whether a pressure can be that of the air around.
    fn is_barometer(&self, air: Pressure) -> bool {
        let fits = BAROMETERS.contains(&air.si());
        if !fits {
            let message = format!("{air} is no pressure of the air around: 50 to 110 kPa, 500 to 1100 hPa");
            self.table.problem(self.table.line_of("barometer"), "barometer", message);
        }
        fits
    }

    pub fn catalogue(&self) -> Option<Said> {
        let inlet = self.reference();
        let (speed, flow) = self.corrected(inlet);
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
            (Some(outlet), _) => {
                let sigma = self.spread(OUTLET)?;
                self.is_lossy(inlet?, ratio?, outlet).then_some((outlet, sigma)).map(Some)?
            }
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

    /// Whether an outlet temperature is above that of a compression without loss, where nobody stated how uncertain it is: the
    /// spread that stands in excuses nothing.
    fn is_lossy(&self, inlet: InletState, ratio: PressureRatio, outlet: Temperature) -> bool {
        let lossless = isentropic_temperature(&Gas::dry_air(), inlet.temperature, ratio);
        let Some(lossless) = lossless.ok().filter(|lossless| {
            outlet < *lossless && self.table.line_of("outlet_temperature_sigma").is_none()
        }) else {
            return true;
        };
        let message = format!(
            "{outlet} is colder than a compression without loss to {ratio} would leave it, {lossless}; check pressure ratio \
             and temperatures, or say how uncertain the reading is with outlet_temperature_sigma"
        );
        self.table.problem(self.table.line_of("outlet_temperature"), "outlet_temperature", message);
        false
    }

    pub fn end(&self, choke: bool) -> Option<Said> {
        let inlet = self.reference();
        let (speed, flow) = self.corrected(inlet);
        let sigma = self.spread(FLOW);
        Some(Said::End { choke, inlet, speed: speed?, flow: flow?, sigma: sigma? })
    }

    pub fn lines(&self) -> Option<Said> {
        let file = self.table.required_text("map", "lines.csv");
        let (flow, ratio) = (self.spread(LINE_FLOW), self.spread(LINE_RATIO));
        let (file, printed) = self.reader.printed(self.table, &file?)?;
        let Some((top, _)) = printed.lines.last().filter(|_| printed.contours.is_empty()) else {
            let message =
                "holds efficiency contours: give it as the map of the candidate, or leave the contours out";
            self.table.problem(self.table.line_of("map"), "map", message);
            return None;
        };
        let of = StatedFigure::new("evidence.map", self.name, self.place, *top);
        let provenance = printed.provenance.clone();
        self.keep(StatedFigure { file: Some(("printed speed lines", [file, provenance])), ..of });
        Some(Said::Lines(Box::new(printed), ReadWithin { flow: flow?, ratio: ratio? }))
    }

    pub fn similar(&self, own: bool) -> Option<Said> {
        let file = self.table.required_text("map", "similar.csv");
        let outer = self.required("evidence.exducer", "63 mm");
        let inducer = self.optional("evidence.inducer");
        let clearance = self.optional::<Length>("evidence.clearance");
        let width = self.optional::<Length>("evidence.exit_width");
        let clearance = match (clearance, width, own) {
            (Some(clearance), Some(width), true) => Some(Fraction::from_si_unchecked(clearance / width)),
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
        Some(Said::Similar { map: Box::new(map), outer: outer?, inducer, clearance })
    }
}
