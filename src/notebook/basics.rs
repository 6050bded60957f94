//! How quantities, figures and errors show themselves.

use super::emit;
use super::exercise::ExerciseError;
use super::units::in_chosen_units;
use crate::chart::{Figure, FigureError, Gallery};
use crate::formula::FormulaError;
use crate::markup::escape;
use crate::quantity::*;
use crate::record::NoSuchNumber;

fn show<Q: Quantity>(quantity: Q) {
    let shown = in_chosen_units(quantity);
    // Where two units are shown, the second is in brackets, and its own name may have some.
    let two = shown.strip_suffix(')').and_then(|shown| shown.split_once(" ("));
    let (first, also) = two.map_or((shown.as_str(), None), |(first, also)| (first, Some(also)));
    let also =
        also.map_or(String::new(), |also| format!(" <small style=\"color:#666\">{}</small>", escape(also)));
    emit(&shown, "text/html", &format!("<b>{}</b>{also}", escape(first)));
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
    Angle AngularAcceleration Inertia RotationalFriction ThermalConductance HeatTransferCoefficient
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
        Err(error) => error.evcxr_display(),
    }
}

macro_rules! errors_show {
    ($($name:ty),+) => { $(
        impl $name {
            /// Shows in a notebook what is wrong and what to do, where the error is the last line of a cell.
            pub fn evcxr_display(&self) {
                emit(&self.to_string(), "text/html", &escape(&self.to_string()));
            }
        }
    )+ };
}
errors_show! { FigureError, FormulaError, NoSuchNumber, QuantityError, ExerciseError }
