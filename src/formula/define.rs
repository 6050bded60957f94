//! The macro that writes a formula once.

/// Defines formulas: documentation, inputs with symbol and accepted range, result, source, body.
///
/// What stands in square brackets (a gas, a map) is handed to the body as it is.
macro_rules! formulas {
    (room $room:literal group $group:ident; $(
        #[doc = $summary:literal] $(#[doc = $doc:literal])*
        fn $name:ident $([$($ctx:ident : $ctxty:ty),+])? (
            $($arg:ident : $q:ident = $sym:literal in [$low:expr, $high:expr], $words:literal;)*
        ) -> $out:ident = $outsym:literal
        source $source:literal
        $body:block
    )+) => {
        /// The formulas of this file.
        pub(crate) static $group: &[&crate::formula::Formula] = &[$(&$name::FORMULA),+];
        $(
            #[doc = $summary]
            $(#[doc = $doc])*
            ///
            /// | symbol | argument | quantity | accepted (SI) |
            /// |---|---|---|---|
            $(#[doc = concat!("| ", $sym, " | `", stringify!($arg), "` | ", $words, ", [`", stringify!($q), "`](crate::quantity::", stringify!($q), ") | ", stringify!($low), " to ", stringify!($high), " |")])*
            #[doc = concat!("| ", $outsym, " | result | [`", stringify!($out), "`](crate::quantity::", stringify!($out), ") | |")]
            ///
            /// # Errors
            ///
            /// [`FormulaError`](crate::formula::FormulaError): an input is not finite or outside the
            /// accepted range, or the inputs together have no result.
            ///
            /// # Source
            ///
            #[doc = $source]
            pub fn $name($($($ctx: $ctxty,)+)? $($arg: $q),*) -> Result<$out, crate::formula::FormulaError> {
                $name::FORMULA.check(&[$($arg.si()),*])?;
                $name::FORMULA.result($name::of::<f64>($($($ctx,)+)? $($arg.si()),*))
            }

            #[doc(hidden)]
            pub mod $name {
                #[allow(unused_imports)]
                use super::*;
                use crate::formula::{self, Argument, Derivation, Dual, Formula, FormulaError, Rec, Scalar};
                #[allow(unused_imports)]
                use crate::formula::{c, case};
                use crate::quantity::Quantity;

                pub static FORMULA: Formula = Formula {
                    name: concat!($room, "::", stringify!($name)),
                    summary: $summary.trim_ascii(),
                    arguments: &[$(Argument {
                        name: stringify!($arg),
                        symbol: $sym,
                        words: $words,
                        unit: <$q as Quantity>::UNITS[0].label,
                        low: $low,
                        high: $high,
                    }),*],
                    symbol: $outsym,
                    quantity: <$out as Quantity>::NAME,
                    unit: <$out as Quantity>::UNITS[0].label,
                    source: $source,
                };
                const COUNT: usize = FORMULA_ARGUMENTS.len();
                const FORMULA_ARGUMENTS: &[&str] = &[$(stringify!($arg)),*];

                pub fn of<S: Scalar>($($($ctx: $ctxty,)+)? $($arg: S),*) -> S $body

                pub fn gradient($($($ctx: $ctxty,)+)? $($arg: $q),*) -> Result<(f64, [f64; COUNT]), FormulaError> {
                    FORMULA.check(&[$($arg.si()),*])?;
                    let mut index = 0..;
                    $(let $arg = Dual::<COUNT>::input($arg.si(), index.next().unwrap_or_default());)*
                    let out = of($($($ctx,)+)? $($arg),*);
                    FORMULA.result::<$out>(out.re).map(|_| (out.re, out.eps))
                }

                pub fn record($($($ctx: $ctxty,)+)? $($arg: $q),*) -> Result<Derivation, FormulaError> {
                    let inputs = vec![$($arg.si()),*];
                    FORMULA.check(&inputs)?;
                    let lines = formula::session(FORMULA.symbol, || of::<Rec>($($($ctx,)+)? $(formula::input($sym, $arg.si())),*));
                    let last = lines.last().map_or(f64::NAN, |line| line.value);
                    FORMULA.result::<$out>(last)?;
                    Ok(Derivation { formula: &FORMULA, inputs, lines })
                }
            }
        )+
    };
}
