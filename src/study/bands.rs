//! Bands of a wheel's dimensions in the study file, carried into the estimate.

use super::document::{Found, Table};
use crate::compressor::{Readings, WheelDimension};
use crate::quantity::*;
use core::str::FromStr;

/// Keys of a wheel whose band the estimate does not carry, and what to do instead.
const NOT_CARRIED: [(&str, &str); 10] = [
    (
        "inducer",
        "give its readings as a list, inducer = [\"37 mm\", \"39 mm\"]: each is judged on a map of its own",
    ),
    (
        "exducer",
        "give its readings as a list, exducer = [\"51 mm\", \"52 mm\"]: each is judged on a map of its own",
    ),
    (
        "blades",
        "give the counts as a list, or leave blades out, and their number has the band of the default",
    ),
    (
        "splitters",
        "give the counts as a list, or leave blades and splitters out, and their number has the band of the default",
    ),
    ("diffuser_vanes", "leave the band out"),
    ("vane_ratio", "leave the band out, or the key: the default has one"),
    ("vane_angle", "leave the band out, or the key: the default has one"),
    ("diffuser_throat", "leave the band out, or the key: the default has one"),
    ("diffuser_throat_width", "leave the band out, or the key: the default has one"),
    ("matched_tip_speed", "leave the band out"),
];

/// Reports bands that would be read and not used.
pub(super) fn refuse_others(table: &Table<'_, '_>) {
    for (key, instead) in NOT_CARRIED {
        if let (Some(_), Some(line)) = (table.band(key), table.line_of(key)) {
            table.problem(line, key, format!("has a band, which the estimate does not carry; {instead}"));
        }
    }
}

/// One standard deviation of each reading of a dimension with a band, as a share of it. The band is taken as two either way.
pub(super) fn shares<Q>(
    table: &Table<'_, '_>,
    key: &'static str,
    found: &Option<Found<Readings<Q>>>,
    dimension: impl Fn(Q) -> WheelDimension,
) -> Vec<(WheelDimension, Fraction)>
where
    Q: Quantity + FromStr<Err = QuantityError>,
{
    let (Some(found), Some(band)) = (found, table.band(key)) else { return Vec::new() };
    let share = |(value, _): &(Q, Fraction)| {
        let half = half_width(&band, *value)?;
        Ok((dimension(*value), Fraction::from_si_unchecked(0.5 * half)))
    };
    let shares: Result<Vec<_>, String> = found.value.iter().map(share).collect();
    let refused = |why: String| {
        let write = match found.value.len() {
            1 => "write \"+-0.1 mm\", \"+-5 %\" or \"3.9 to 4.1 mm\", in the key's own unit",
            _ => "beside several readings write \"+-0.1 mm\" or \"+-5 %\", in the key's own unit",
        };
        table.problem(found.line, key, format!("its band \"{}\" {why}; {write}", shorten(&band)));
    };
    shares.map_err(refused).unwrap_or_default()
}

/// Half the width of a band as a share of the value inside it.
fn half_width<Q>(band: &str, value: Q) -> Result<f64, String>
where
    Q: Quantity + FromStr<Err = QuantityError>,
{
    let of = |text: &str| text.trim().parse::<Q>().map_err(|error| format!("cannot be used: {error}"));
    let half = match band.trim().strip_prefix("+-").or_else(|| band.trim().strip_prefix('\u{b1}')) {
        // A percentage is one of the value.
        Some(half) if half.trim().ends_with('%') => {
            let half: Fraction = half.trim().parse().map_err(|error| format!("cannot be used: {error}"))?;
            half.si()
        }
        Some(half) => of(half)?.si() / value.si(),
        None => {
            let (low, high) = band.split_once(" to ").ok_or("cannot be read")?;
            let high_value = of(high)?;
            // The unit may stand behind the second number alone.
            let unit = high.trim().trim_start_matches(|c: char| !c.is_alphabetic() && c != '%');
            let low = of(low).or_else(|error| of(&format!("{low} {unit}")).map_err(|_| error))?;
            if !(low <= value && value <= high_value) {
                return Err("does not hold the value".into());
            }
            (high_value.si() - low.si()) / (2.0 * value.si())
        }
    };
    if half > 0.0 && half <= 1.0 {
        Ok(half)
    } else {
        Err("is not between nothing and the value itself".into())
    }
}
