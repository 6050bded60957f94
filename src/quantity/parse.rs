//! Reading quantities as people write them, and saying what is wrong when they cannot be read.

use super::{Quantity, Unit, kinds::KINDS, print::trimmed};

/// Why a text or a number is not the quantity asked for.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum QuantityError {
    /// There is no number where one should stand.
    NoNumber {
        /// What stands there.
        text: String,
        /// The quantity asked for.
        quantity: &'static str,
        /// A text that would be read.
        example: String,
    },
    /// A decimal comma.
    DecimalComma {
        /// What stands there.
        text: String,
        /// What may have been meant, in quotes.
        instead: String,
    },
    /// A space between the digits of one number.
    SpaceInNumber {
        /// What stands there.
        text: String,
        /// The same without the space.
        instead: String,
    },
    /// NaN or infinity.
    NotFinite {
        /// The quantity asked for.
        quantity: &'static str,
    },
    /// A number without a unit.
    MissingUnit {
        /// What stands there.
        text: String,
        /// The quantity asked for.
        quantity: &'static str,
        /// The units it knows.
        known: String,
    },
    /// A unit that this quantity does not have.
    UnknownUnit {
        /// The unit as written.
        unit: String,
        /// The quantity asked for.
        quantity: &'static str,
        /// The units it knows.
        known: String,
        /// What the unit measures instead, if it is known at all.
        measures: Option<&'static str>,
    },
    /// A value outside the bounds of its type.
    OutOfBounds {
        /// The quantity asked for.
        quantity: &'static str,
        /// The value in its SI unit.
        value: f64,
        /// Least value.
        low: f64,
        /// Greatest value.
        high: f64,
        /// The SI unit.
        unit: &'static str,
    },
}

impl core::fmt::Display for QuantityError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::NoNumber { text, quantity, example } => {
                write!(f, "\"{text}\" does not start with a number; {quantity} is written like \"{example}\"")
            }
            Self::DecimalComma { text, instead } => {
                write!(f, "\"{text}\" has a comma in its number; write {instead}")
            }
            Self::SpaceInNumber { text, instead } => {
                write!(f, "\"{text}\" has a space inside its number; write \"{instead}\"")
            }
            Self::NotFinite { quantity } => write!(f, "{quantity} must be a finite number"),
            Self::MissingUnit { text, quantity, known } => {
                write!(f, "\"{text}\" has no unit; {quantity} takes one of: {known}")
            }
            Self::UnknownUnit { unit, quantity, known, measures } => {
                match measures {
                    Some(other) => write!(f, "\"{unit}\" is a unit of {other}, but {quantity} is asked for")?,
                    None => write!(f, "unknown unit \"{unit}\" for {quantity}")?,
                }
                write!(f, "; use one of: {known}")
            }
            Self::OutOfBounds { quantity, value, low, high, unit } => {
                let space = if unit.is_empty() { "" } else { " " };
                let [value, least, most] = [value, low, high].map(|v| trimmed(*v));
                if high.is_finite() {
                    write!(f, "{quantity} {value}{space}{unit} is outside {least} to {most}{space}{unit}")
                } else {
                    write!(f, "{quantity} {value}{space}{unit} is below {least}{space}{unit}")
                }
            }
        }
    }
}
impl core::error::Error for QuantityError {}

pub(super) fn bounded<Q: Quantity>(value: f64) -> Result<Q, QuantityError> {
    let (low, high) = Q::BOUNDS;
    if !value.is_finite() {
        Err(QuantityError::NotFinite { quantity: Q::NAME })
    } else if value < low || value > high {
        Err(QuantityError::OutOfBounds { quantity: Q::NAME, value, low, high, unit: Q::si_unit() })
    } else {
        Ok(Q::from_si_unchecked(value))
    }
}

pub(super) fn quantity<Q: Quantity>(text: &str) -> Result<Q, QuantityError> {
    let (number, unit) = split(text.trim());
    if number.is_empty() {
        return Err(QuantityError::NoNumber {
            text: shorten(text),
            quantity: Q::NAME,
            example: example::<Q>(),
        });
    }
    if number.contains(',') {
        return Err(QuantityError::DecimalComma {
            text: shorten(text),
            instead: without_comma(number, unit),
        });
    }
    if unit.starts_with(|c: char| c.is_ascii_digit()) && find(Q::UNITS, unit).is_none() {
        let instead = format!("{number}{unit}");
        return Err(QuantityError::SpaceInNumber { text: shorten(text), instead: shorten(&instead) });
    }
    let value: f64 =
        number.replace(['_', '\u{2009}', '\u{202f}'], "").replace('\u{2212}', "-").parse().map_err(|_| {
            QuantityError::NoNumber { text: shorten(text), quantity: Q::NAME, example: example::<Q>() }
        })?;
    if unit.is_empty() && Q::UNITS.iter().all(|u| !u.label.is_empty()) {
        return Err(QuantityError::MissingUnit {
            text: shorten(text),
            quantity: Q::NAME,
            known: known(Q::UNITS),
        });
    }
    Q::from_si(unit_of::<Q>(unit)?.to_si(value))
}

/// Splits "1.5e-3 kg/s" after the number. A comma inside the number stays with it, to be complained of.
fn split(text: &str) -> (&str, &str) {
    let bytes: Vec<(usize, char)> = text.char_indices().collect();
    let mut end = 0;
    for (i, &(at, ch)) in bytes.iter().enumerate() {
        let next = bytes.get(i + 1).map(|b| b.1);
        let digit_follows = next.is_some_and(|n| n.is_ascii_digit());
        let part = ch.is_ascii_digit()
            || (matches!(ch, '+' | '-' | '\u{2212}') && (i == 0 || matches!(bytes[i - 1].1, 'e' | 'E')))
            || (ch == '.')
            || (matches!(ch, ',' | '_' | '\u{2009}' | '\u{202f}') && i > 0 && digit_follows)
            || (matches!(ch, 'e' | 'E') && i > 0 && (digit_follows || matches!(next, Some('+' | '-'))));
        if !part {
            break;
        }
        end = at + ch.len_utf8();
    }
    let number = &text[..end];
    if number.chars().any(|c| c.is_ascii_digit()) { (number, text[end..].trim()) } else { ("", text) }
}

/// What a number with a comma may have meant: three digits after it look like thousands.
fn without_comma(number: &str, unit: &str) -> String {
    let after = number.rsplit(',').next().unwrap_or_default();
    let thousands = number.contains('.') || number.matches(',').count() > 1;
    let plain = format!("{} {unit}", number.replace(',', ""));
    let decimal = format!("{} {unit}", number.replacen(',', ".", 1));
    let [plain, decimal] = [plain, decimal].map(|text| shorten(&text));
    match (thousands, after.len()) {
        (true, _) => format!("\"{plain}\""),
        (false, 3) => format!("\"{plain}\" for thousands, \"{decimal}\" for a fraction"),
        _ => format!("\"{decimal}\" with a decimal point"),
    }
}

/// The unit of this quantity that a text names.
pub(super) fn unit_of<Q: Quantity>(text: &str) -> Result<Unit, QuantityError> {
    find(Q::UNITS, text).ok_or_else(|| QuantityError::UnknownUnit {
        unit: shorten(text),
        quantity: Q::NAME,
        known: known(Q::UNITS),
        measures: KINDS.iter().find(|kind| find(kind.units, text).is_some()).map(|kind| kind.words),
    })
}

fn find(units: &[Unit], text: &str) -> Option<Unit> {
    let spellings =
        |u: &Unit| core::iter::once(u.label).chain(u.aliases.iter().copied()).map(plain).collect::<Vec<_>>();
    let wanted = plain(text);
    // Case is ignored only where nothing matches exactly, and never between m and M: "mPa" is not "MPa".
    let milli = |s: &str| s.starts_with('m');
    units.iter().find(|u| spellings(u).contains(&wanted)).copied().or_else(|| {
        let lower = wanted.to_lowercase();
        let mut hits = units
            .iter()
            .filter(|u| spellings(u).iter().any(|s| s.to_lowercase() == lower && milli(s) == milli(&wanted)));
        let hit = hits.next().copied();
        if hits.next().is_some() { None } else { hit }
    })
}

/// One spelling for the many ways to type a unit.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{b2}' => out.push('2'),
            '\u{b3}' => out.push('3'),
            '\u{b0}' => out.push_str("deg"),
            '\u{b5}' | '\u{3bc}' => out.push('u'),
            '.' | '\u{b7}' | '*' | '^' | '(' | ')' => {}
            _ if c.is_whitespace() => {}
            _ => out.push(c),
        }
    }
    out
}

fn known(units: &[Unit]) -> String {
    units
        .iter()
        .map(|u| if u.label.is_empty() { "a plain number" } else { u.label })
        .collect::<Vec<_>>()
        .join(", ")
}

fn example<Q: Quantity>() -> String {
    format!("1.5 {}", Q::SHOWN).trim_end().into()
}

/// Enough of a text to recognise it in a message.
pub(crate) fn shorten(text: &str) -> String {
    let text = text.trim();
    if text.chars().count() <= 40 {
        text.into()
    } else {
        text.chars().take(37).chain("...".chars()).collect()
    }
}
