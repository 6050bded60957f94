//! The macros that make every quantity the same shape.

/// Defines named quantities: a newtype over the SI value, its units, its constructors and readers.
///
/// `bounds` closes a type: it then has a checked `new` and its values cannot leave the interval. `least`
/// only says what cannot be read from text or a file, such as a pressure below vacuum.
macro_rules! quantities {
    ($(
        $(#[doc = $doc:literal])+
        $name:ident, $words:literal, shown $shown:literal also [$($also:literal)?]
        $(, uom $uq:ident :: $uu:ident : $ut:ident)?
        $(, bounds $low:literal to $high:literal)?
        $(, least $least:literal)?
        { $( $unit:ident = $label:literal, $factor:expr $(, offset $offset:expr)? $(, aka [$($aka:literal),+])? ; )+ }
    )+) => {
        $(
            $(#[doc = $doc])+
            ///
            /// Holds the SI value. See [`Quantity`] for the units it reads and prints.
            #[derive(Clone, Copy, PartialEq, PartialOrd)]
            pub struct $name(pub(super) f64);

            impl Quantity for $name {
                const NAME: &'static str = $words;
                const UNITS: &'static [Unit] = &[$(Unit {
                    label: $label,
                    factor: $factor,
                    offset: 0.0 $(+ $offset)?,
                    aliases: &[$($($aka),+)?],
                }),+];
                const SHOWN: &'static str = $shown;
                const ALSO: Option<&'static str> = quantities!(@also $($also)?);
                const BOUNDS: (f64, f64) = quantities!(@bounds $($low, $high)? $($least)?);
                fn si(self) -> f64 { self.0 }
                fn from_si_unchecked(value: f64) -> Self { Self(value) }
            }

            impl $name {
                quantities!{@new $name $($low, $high)?}
                /// The SI value.
                pub const fn si(self) -> f64 { self.0 }
                $(
                    #[doc = concat!("The value in `", $label, "`.")]
                    pub fn $unit(self) -> f64 { (self.0 - (0.0 $(+ $offset)?)) / ($factor) }
                )+
                /// The value in any unit this quantity knows, by its written name.
                pub fn get(self, unit: &str) -> Result<f64, QuantityError> {
                    super::parse::unit_of::<Self>(unit).map(|u| u.number(self.0))
                }
                /// Prints in the named unit with so many significant figures.
                pub fn show(self, unit: &str, figures: usize) -> Result<String, QuantityError> {
                    super::parse::unit_of::<Self>(unit).map(|u| super::print::with_unit(u.number(self.0), u.label, figures))
                }
            }

            impl core::fmt::Display for $name {
                fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                    super::print::pad(f, &super::print::shown(*self, f.precision().unwrap_or(4)))
                }
            }
            impl core::fmt::Debug for $name {
                fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                    write!(f, "{}", super::print::shown(*self, 6))
                }
            }
            impl core::str::FromStr for $name {
                type Err = QuantityError;
                fn from_str(text: &str) -> Result<Self, QuantityError> { super::parse::quantity(text) }
            }
            impl serde::Serialize for $name {
                fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                    super::wire::serialize(*self, to)
                }
            }
            impl<'de> serde::Deserialize<'de> for $name {
                fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                    super::wire::deserialize(from)
                }
            }
            $(
                #[cfg(feature = "uom")]
                impl From<uom::si::f64::$ut> for $name {
                    fn from(value: uom::si::f64::$ut) -> Self { Self(value.get::<uom::si::$uq::$uu>()) }
                }
                #[cfg(feature = "uom")]
                impl From<$name> for uom::si::f64::$ut {
                    fn from(value: $name) -> Self { uom::si::f64::$ut::new::<uom::si::$uq::$uu>(value.0) }
                }
                #[cfg(feature = "uom")]
                impl super::relations::Judged for $name { type Uom = uom::si::f64::$ut; }
            )?
        )+

        /// Every quantity, so that a wrong unit can be told from an unknown one and a value printed by the name
        /// of what it is.
        pub(super) static KINDS: &[Kind] = &[$(Kind {
            words: $words,
            units: $name::UNITS,
            both: |value| $name::from_si_unchecked(value).both(),
        }),+];

        /// Short constructors for notebooks: `mm(84.0)`, `kw(245.0)`, `deg_c(24.0)`.
        ///
        /// They take any number; NaN and values out of range are refused by whatever uses them.
        pub mod units {
            use super::*;
            $( quantities!{@short $name [$($low)?] $($unit = $label, $factor, 0.0 $(+ $offset)?;)+} )+
        }
    };
    (@also) => { None };
    (@also $also:literal) => { Some($also) };
    (@bounds) => { (f64::NEG_INFINITY, f64::INFINITY) };
    (@bounds $low:literal, $high:literal) => { ($low, $high) };
    (@bounds $least:literal) => { ($least, f64::INFINITY) };
    (@new $name:ident) => {};
    (@new $name:ident $low:literal, $high:literal) => {
        #[doc = concat!("Checks that the value is finite and from ", $low, " to ", $high, ".")]
        pub fn new(value: f64) -> Result<Self, QuantityError> { super::parse::bounded(value) }
    };
    (@short $name:ident [$low:literal] $($rest:tt)*) => {};
    (@short $name:ident [] $($unit:ident = $label:literal, $factor:expr, $offset:expr;)+) => {
        $(
            #[doc = concat!("A [`", stringify!($name), "`] from a number of `", $label, "`.")]
            pub const fn $unit(value: f64) -> $name { $name(value * ($factor) + ($offset)) }
        )+
    };
}
