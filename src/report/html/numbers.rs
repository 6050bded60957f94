//! Numbers and units as they stand on the page.

use crate::markup::escape;
use crate::quantity::{both_by_name, significant};

/// Units and signs of our own words as print sets them.
pub(super) fn pretty(text: &str) -> String {
    let mut out = escape(text);
    for (typed, set) in [
        ("degC", "°C"),
        ("uPa", "µPa"),
        ("m2", "m²"),
        ("m3", "m³"),
        ("+-", "±"),
        (" -", " \u{2212}"),
        ("(-", "(\u{2212}"),
    ] {
        out = out.replace(typed, set);
    }
    match out.strip_prefix('-') {
        Some(rest) => format!("\u{2212}{rest}"),
        None => out,
    }
}

/// The same, kept on one line.
pub(super) fn held(text: &str) -> String {
    pretty(text).replace(' ', "\u{a0}")
}

/// The name of a formula or a key, which may break at its joints.
pub(super) fn code(name: &str) -> String {
    match name {
        "" => String::new(),
        _ => {
            let name = escape(name).replace("::", "::<wbr/>").replace('_', "_<wbr/>").replace('.', ".<wbr/>");
            format!("<code>{name}</code>")
        }
    }
}

/// An SI value with six figures, so that a reader can go on from it.
pub(super) fn si(value: f64, unit: &str) -> String {
    let space = if unit.is_empty() { "" } else { "\u{a0}" };
    format!("{}{space}{}", digits(value), held(unit))
}

fn digits(value: f64) -> String {
    let small_or_large = value != 0.0 && !(1e-3..1e7).contains(&value.abs());
    if !value.is_finite() || !small_or_large {
        return pretty(without_zeros(&significant(value, 6)));
    }
    let printed = format!("{value:.5e}");
    let (mantissa, exponent) = printed.split_once('e').unwrap_or((&printed, "0"));
    let exponent = exponent.replace('-', "\u{2212}");
    format!("{}·10<sup>{exponent}</sup>", pretty(without_zeros(mantissa)))
}

fn without_zeros(digits: &str) -> &str {
    if digits.contains('.') { digits.trim_end_matches('0').trim_end_matches('.') } else { digits }
}

/// The value in the units of the trade, where they say more than the SI value does.
pub(super) fn friendly(quantity: &str, value: f64, unit: &str) -> Option<String> {
    // A whole and more is no share: counts, exponents, trims.
    if quantity == "a fraction" && value.abs() < 1.0 {
        // A limit is met to a millionth.
        let value = if value.abs() < 5e-7 { 0.0 } else { value };
        return Some(held(&format!("{} %", significant(100.0 * value, 3))));
    }
    if quantity == "a length" && value.abs() >= 1.0 {
        // The trade's millimetres belong to parts, not to altitudes.
        return None;
    }
    let both = both_by_name(quantity, value)?;
    let plain = format!("{} {unit}", significant(value, 4));
    // A line may break before the second unit, nowhere else.
    (both != plain.trim_end()).then(|| held(&both).replace("\u{a0}(", " ("))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_as_print_sets_them() {
        assert_eq!(si(88_250.12, "Pa"), "88250.1\u{a0}Pa");
        assert_eq!(si(-4.8434e-15, ""), "\u{2212}4.8434·10<sup>\u{2212}15</sup>");
        assert_eq!(si(0.0, "kg/s"), "0\u{a0}kg/s");
        assert_eq!(si(4.3e7, "J/kg"), "4.3·10<sup>7</sup>\u{a0}J/kg");
        assert_eq!(si(f64::NAN, ""), "not a number");
        assert_eq!(friendly("a fraction", -0.0436, "").unwrap(), "\u{2212}4.36\u{a0}%");
        assert_eq!(friendly("a fraction", 6.8e-8, "").unwrap(), "0\u{a0}%");
        assert_eq!(friendly("a fraction", 3.09, ""), None);
        assert_eq!(pretty("-18.2 kPa (-2.64 psi)"), "\u{2212}18.2 kPa (\u{2212}2.64 psi)");
        assert_eq!(friendly("a temperature", 297.15, "K").unwrap(), "24.0\u{a0}°C");
        assert_eq!(friendly("a relative humidity", 0.4, "").unwrap(), "40.00\u{a0}%");
        assert_eq!(friendly("a length", 1150.0, "m"), None);
        assert_eq!(friendly("a density", 2.662, "kg/m3"), None);
        assert_eq!(friendly("a pressure ratio", 2.5, ""), None);
    }
}
