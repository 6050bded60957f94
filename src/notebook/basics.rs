//! How quantities, formulas on record and figures show themselves.

use super::class::emit_steps;
use super::emit;
use super::sheet::Sheet;
use crate::chart::{Figure, FigureError, Gallery};
use crate::formula::Derivation;
use crate::markup::escape;
use crate::quantity::*;

fn show<Q: Quantity>(quantity: Q) {
    let both = quantity.both();
    let (first, also) =
        both.split_once(" (").map_or((both.as_str(), None), |(a, b)| (a, Some(b.trim_end_matches(')'))));
    let also =
        also.map_or(String::new(), |also| format!(" <small style=\"color:#666\">{}</small>", escape(also)));
    emit(&both, "text/html", &format!("<b>{}</b>{also}", escape(first)));
}

macro_rules! quantities_show {
    ($($name:ident)+) => { $(
        impl $name {
            /// Shows the value in a notebook: its unit and, where there is one, the trade's.
            pub fn evcxr_display(&self) { show(*self); }
        }
    )+ };
}
quantities_show! {
    Pressure GaugePressure PressureDifference Temperature TemperatureDifference MassFlow CorrectedMassFlow
    VolumeFlow Power Torque ShaftSpeed CorrectedSpeed Velocity Length Area Volume Mass Time Density
    SpecificEnergy SpecificHeat SpecificFuelConsumption MolarMass Fraction PressureRatio ExpansionRatio
    DensityRatio Efficiency Effectiveness HeatCapacityRatio AirFuelRatio Lambda CompressionRatio AtomRatio
    SeaLevelPressure Viscosity RelativeHumidity HumidityRatio VapourFraction OctaneNumber WaterGasConstant Mach
    Angle
}

impl Figure {
    /// Shows the figure in a notebook.
    pub fn evcxr_display(&self) {
        emit(&format!("[figure] {}", self.title()), "image/svg+xml", self.svg());
    }
}

impl Gallery {
    /// Shows all figures of the gallery in a notebook.
    pub fn evcxr_display(&self) {
        figure(self.joined());
    }
}

/// Shows a figure, or why there is none.
pub(super) fn figure(drawn: Result<Figure, FigureError>) {
    match drawn {
        Ok(figure) => figure.evcxr_display(),
        Err(error) => emit(&error.to_string(), "text/html", &escape(&error.to_string())),
    }
}

impl Derivation {
    /// Shows the record in a notebook.
    pub fn evcxr_display(&self) {
        let formula = self.formula;
        let title = format!("{}: {}", formula.name, formula.summary);
        let mut sheet = Sheet::new(&title, &["", "", "", ""]);
        if let Some((result, named)) = self.lines.split_last() {
            sheet.row(["relation", result.symbol, &result.relation(), ""]);
            for line in named {
                sheet.row(["where", line.symbol, &line.relation(), &significant(line.value, 6)]);
            }
            for (argument, value) in formula.arguments.iter().zip(&self.inputs) {
                let value = format!("{} {}", significant(*value, 6), argument.unit);
                sheet.row(["input", argument.symbol, argument.words, &value]);
            }
            let value = format!("{} {}", significant(result.value, 6), formula.unit);
            sheet.row(["result", result.symbol, formula.quantity, &value]);
            for root in self.roots() {
                sheet.row(["root", "x", &root.to_string(), ""]);
            }
            sheet.row(["source", "", formula.source, ""]);
        }
        emit_steps(&title, &self.to_string(), &sheet.html());
    }
}
