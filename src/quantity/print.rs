//! Numbers with the digits they deserve.

use super::Quantity;

/// Rounds to so many significant figures and prints without an exponent.
///
/// ```
/// use shaftwork::quantity::significant;
/// assert_eq!(significant(141_523.0, 4), "141500");
/// assert_eq!(significant(0.012345, 3), "0.0123");
/// assert_eq!(significant(9.9996, 4), "10.00");
/// assert_eq!(significant(f64::NAN, 4), "not a number");
/// ```
pub fn significant(value: f64, figures: usize) -> String {
    if value.is_nan() {
        return "not a number".into();
    }
    if value.is_infinite() {
        return if value > 0.0 { "infinity" } else { "-infinity" }.into();
    }
    if value == 0.0 {
        return "0".into();
    }
    let figures = figures.clamp(1, 17) as i32;
    // Let the formatter round first, so that 9.9996 takes the decimals of 10.00.
    let rounded: f64 = format!("{value:.*e}", figures as usize - 1).parse().unwrap_or(value);
    let magnitude = rounded.abs().log10().floor() as i32;
    let decimals = (figures - 1 - magnitude).max(0) as usize;
    if decimals > 12 { format!("{rounded:e}") } else { format!("{rounded:.decimals$}") }
}

/// Five significant figures without trailing zeros, for limits in messages.
pub(crate) fn trimmed(value: f64) -> String {
    trimmed_zeros(&significant(value, 5)).into()
}

/// A number with six significant digits at most, very small and very large ones with a power of ten.
pub(crate) fn six_figures(value: f64) -> String {
    if value == 0.0 || !value.is_finite() || (1e-4..1e9).contains(&value.abs()) {
        return trimmed_zeros(&significant(value, 6)).into();
    }
    let digits = format!("{value:.5e}");
    let (mantissa, exponent) = digits.split_once('e').unwrap_or((&digits, "0"));
    format!("{}e{exponent}", trimmed_zeros(mantissa))
}

/// Without zeros at the end of decimals.
pub(crate) fn trimmed_zeros(digits: &str) -> &str {
    if !digits.contains('.') || digits.contains('e') {
        return digits;
    }
    digits.trim_end_matches('0').trim_end_matches('.')
}

pub(super) fn with_unit(number: f64, unit: &str, figures: usize) -> String {
    let digits = significant(number, figures);
    match unit {
        "" => digits,
        _ => format!("{digits} {unit}"),
    }
}

pub(super) fn shown<Q: Quantity>(quantity: Q, figures: usize) -> String {
    in_unit(quantity, Q::SHOWN, figures)
}

fn in_unit<Q: Quantity>(quantity: Q, label: &str, figures: usize) -> String {
    let unit = Q::UNITS.iter().find(|u| u.label == label).unwrap_or(&Q::UNITS[0]);
    let number = unit.number(quantity.si());
    if unit.offset == 0.0 || !number.is_finite() {
        return with_unit(number, unit.label, figures);
    }
    // A temperature takes the decimals that the absolute scale would give it: 24.0 degC, 900 degC.
    let absolute = (quantity.si() / unit.factor).abs().max(1.0);
    let decimals = (figures as i32 - 1 - absolute.log10().floor() as i32).max(0) as usize;
    format!("{number:.decimals$} {}", unit.label)
}

pub(super) fn both<Q: Quantity>(quantity: Q) -> String {
    match Q::ALSO {
        Some(also) => format!("{} ({})", shown(quantity, 4), in_unit(quantity, also, 3)),
        None => shown(quantity, 4),
    }
}

/// Pads like a text; the precision has been used for the figures and must cut nothing off.
pub(super) fn pad(f: &mut core::fmt::Formatter<'_>, text: &str) -> core::fmt::Result {
    use core::fmt::Alignment;
    let width = f.width().unwrap_or(0);
    match f.align() {
        Some(Alignment::Right) => write!(f, "{text:>width$}"),
        Some(Alignment::Center) => write!(f, "{text:^width$}"),
        _ => write!(f, "{text:<width$}"),
    }
}
