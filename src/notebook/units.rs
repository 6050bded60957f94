//! The units of a session, and numbers that are not printed by their quantity alone.

use crate::quantity::{Length, MassFlow, Power, Quantity, both_by_name, significant};
pub use crate::session::Units;
use crate::session::{set_units, units};
use crate::shaft::{MostPower, most_words};
use std::io::Result;

/// Chooses the units in which this session shows quantities, until it chooses others. Both are shown until then.
///
/// The choice holds for quantities, for tables of results and for the flow axis of maps made from now on. The steps
/// of a calculation stay in SI, in which they were calculated, and words from a study file stay as they were typed.
///
/// ```
/// use shaftwork::prelude::*;
/// show_units(Units::Trade)?;
/// assert_eq!(in_chosen_units(kpa(203.0)), "29.4 psia");
/// show_units(Units::Both)?;
/// assert_eq!(in_chosen_units(kpa(203.0)), "203.0 kPa (29.4 psia)");
/// # Ok::<(), std::io::Error>(())
/// ```
///
/// # Errors
///
/// The folder for temporary files cannot be written.
pub fn show_units(units: Units) -> Result<()> {
    set_units(units)
}

/// A quantity as this session shows it, for a text of your own.
pub fn in_chosen_units<Q: Quantity>(quantity: Q) -> String {
    units().of(&quantity.both())
}

/// A value that was printed in both units, as this session shows it.
pub(super) fn chosen(both: &str) -> String {
    units().of(both)
}

/// An SI value of a calculation, and behind it what people read: "203000 Pa (203.0 kPa, 29.4 psia)".
pub(super) fn also_in_chosen_units(quantity: &str, value: f64, si: String) -> String {
    // The trade's millimetres belong to parts, not to altitudes.
    if quantity == "a length" && value.abs() >= 1.0 {
        return si;
    }
    let Some(shown) = both_by_name(quantity, value).map(|both| units().of(&both)) else { return si };
    let unit = si.split_once(' ').map_or("", |(_, unit)| unit);
    if shown == format!("{} {unit}", significant(value, 4)).trim_end() {
        return si;
    }
    match shown.strip_suffix(')').and_then(|shown| shown.split_once(" (")) {
        Some((first, second)) => format!("{si} ({first}, {second})"),
        None => format!("{si} ({shown})"),
    }
}

/// Several values of one quantity behind each other with their unit: "84.0 x 84.0 mm (3.31 x 3.31 in)".
pub(super) fn joined(by: &str, values: &[Length]) -> String {
    let all = |read: fn(Length) -> f64, unit: &str, decimals: usize| {
        let numbers: Vec<String> =
            values.iter().map(|value| format!("{:.decimals$}", read(*value))).collect();
        format!("{} {unit}", numbers.join(by))
    };
    units().of(&format!("{} ({})", all(Length::mm, "mm", 1), all(Length::inch, "in", 2)))
}

/// A flow where there is room for one unit only: kg/s, unless the trade's alone is chosen.
pub(super) fn flow(si: f64) -> (f64, &'static str) {
    let flow = MassFlow::from_si_unchecked(si);
    match units() {
        Units::Trade => (flow.lb_per_min(), "lb/min"),
        Units::Si | Units::Both => (flow.kg_per_s(), "kg/s"),
    }
}

/// Such flows from one to another: "0.21 to 0.27 kg/s".
pub(super) fn flows(ends: [MassFlow; 2]) -> String {
    let [(low, _), (high, unit)] = ends.map(|end| flow(end.si()));
    format!("{} to {} {unit}", significant(low, 3), significant(high, 3))
}

/// An altitude: "1150 m (3773 ft)".
pub(super) fn altitude(height: Length) -> String {
    units().of(&format!("{:.0} m ({:.0} ft)", height.m(), height.ft()))
}

/// A power that is asked for: "245 kW".
pub(super) fn power(power: Power) -> String {
    units().of(&format!("{} kW ({} hp)", significant(power.kw(), 3), significant(power.hp(), 3)))
}

/// The most power with its band: "247 kW (228 to 247)"; with both units "247 kW (228 to 247), 331 hp".
pub(super) fn most(most: &MostPower) -> String {
    let in_hp = |power: Option<Power>| power.map_or("none".into(), |power| significant(power.hp(), 3));
    let [middle, low, high] = [most.power, most.low, most.high].map(in_hp);
    let Some(_) = most.power else { return most_words(most) };
    match units() {
        Units::Si => most_words(most),
        Units::Both => format!("{}, {middle} hp", most_words(most)),
        Units::Trade if low == high && low == middle => format!("{middle} hp"),
        Units::Trade => format!("{middle} hp ({low} to {high})"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::units::*;

    // 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 lb = 0.45359237 kg (international yard and pound agreement, 1959), and the
    // horsepower of 550 foot-pounds a second; by hand.
    #[test]
    fn both_units_stand_in_tables_until_a_session_chooses() {
        assert_eq!(joined(" x ", &[mm(84.0), mm(50.8)]), "84.0 x 50.8 mm (3.31 x 2.00 in)");
        assert_eq!(altitude(m(3048.0)), "3048 m (10000 ft)");
        assert_eq!(power(kw(245.0)), "245 kW (329 hp)");
        assert_eq!(flows([kg_per_s(0.2), kg_per_s(0.3)]), "0.200 to 0.300 kg/s");
        assert_eq!(in_chosen_units(kg_per_s(0.453_592_37)), "0.4536 kg/s (60.0 lb/min)");
    }

    #[test]
    fn an_si_value_is_followed_by_what_people_read_where_that_says_more() {
        let also = |quantity, value: f64, unit: &str| {
            also_in_chosen_units(
                quantity,
                value,
                format!("{} {unit}", significant(value, 6)).trim_end().into(),
            )
        };
        assert_eq!(also("an absolute pressure", 203e3, "Pa"), "203000 Pa (203.0 kPa, 29.4 psia)");
        assert_eq!(also("a temperature", 300.0, "K"), "300.000 K (26.9 degC)");
        assert_eq!(
            also("a specific fuel consumption", 300.0 / 3.6e9, "kg/J"),
            "8.33333e-8 kg/J (300.0 g/kWh, 0.493 lb/(hp h))"
        );
        for (quantity, value, unit) in
            [("a pressure ratio", 2.0, ""), ("a length", 1150.0, "m"), ("a velocity", 18.2, "m/s")]
        {
            assert!(!also(quantity, value, unit).contains('('), "{quantity}");
        }
    }

    #[test]
    fn the_most_power_keeps_its_band_in_either_unit() {
        let most_power = |power, low, high| MostPower { power, beyond: None, stop: None, low, high };
        let [middle, low, high] = [247.0, 228.0, 250.0].map(|power| Some(kw(power)));
        assert_eq!(most(&most_power(middle, low, high)), "247 kW (228 to 250), 331 hp");
        assert_eq!(most(&most_power(middle, middle, middle)), "247 kW, 331 hp");
        assert_eq!(most(&most_power(None, None, None)), "none");
    }
}
