//! The macro that writes a formula once.

/// Defines formulas: documentation, inputs with symbol and accepted range, result, source, body.
///
/// What stands in square brackets (a gas, a map) is handed to the body as it is. `version 2` after the source
/// says that the results changed since version 1, which the changelog tells.
macro_rules! formulas {
    (room $room:literal group $group:ident; $(
        #[doc = $summary:literal] $(#[doc = $doc:literal])*
        fn $name:ident $([$($ctx:ident : $ctxty:ty),+])? (
            $($arg:ident : $q:ident = $sym:literal in [$low:expr, $high:expr], $words:literal;)*
        ) -> $out:ident = $outsym:literal
        source $source:literal $(version $version:literal)?
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
                #[allow(unused_imports)]
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
                        quantity: <$q as Quantity>::NAME,
                        unit: <$q as Quantity>::UNITS[0].label,
                        low: $low,
                        high: $high,
                        show: |value| <$q as Quantity>::from_si_unchecked(value).to_string(),
                    }),*],
                    symbol: $outsym,
                    quantity: <$out as Quantity>::NAME,
                    unit: <$out as Quantity>::UNITS[0].label,
                    source: $source,
                    version: formulas!(@version $($version)?),
                };
                const COUNT: usize = FORMULA_ARGUMENTS.len();
                const FORMULA_ARGUMENTS: &[&str] = &[$(stringify!($arg)),*];

                pub fn of<S: Scalar>($($($ctx: $ctxty,)+)? $($arg: S),*) -> S $body

                /// The formula as one step of a longer calculation, checked as the public function is.
                #[allow(dead_code)]
                pub(crate) fn step<S: Scalar>($($($ctx: $ctxty,)+)? $($arg: S),*) -> Result<S, FormulaError> {
                    if !S::JUDGED {
                        return Ok(of($($($ctx,)+)? $($arg),*));
                    }
                    // Which one is refused, and why, is asked only where one is.
                    let accepted = true $(&& ($low..=$high).contains(&$arg.value()))*;
                    if !accepted {
                        FORMULA.check(&[$($arg.value()),*])?;
                    }
                    let out = S::step(&FORMULA, &[$($(formula::Context::label($ctx)),+)?], [$($arg),*], |[$($arg),*]| of($($($ctx,)+)? $($arg),*));
                    if !formula::holds::<$out>(out.value()) {
                        FORMULA.result::<$out>(out.value())?;
                    }
                    Ok(out)
                }

                pub fn gradient($($($ctx: $ctxty,)+)? $($arg: $q),*) -> Result<(f64, [f64; COUNT]), FormulaError> {
                    FORMULA.check(&[$($arg.si()),*])?;
                    #[allow(unused_mut, unused_variables)]
                    let mut index = 0..;
                    $(let $arg = Dual::<COUNT>::input($arg.si(), index.next().unwrap_or_default());)*
                    let out = of::<Dual<COUNT>>($($($ctx,)+)? $($arg),*);
                    FORMULA.result::<$out>(out.re).map(|_| (out.re, out.eps))
                }

                pub fn record($($($ctx: $ctxty,)+)? $($arg: $q),*) -> Result<Derivation, FormulaError> {
                    let inputs = vec![$($arg.si()),*];
                    FORMULA.check(&inputs)?;
                    let lines = formula::session(&FORMULA, || of::<Rec>($($($ctx,)+)? $(formula::input($sym, $arg.si())),*));
                    let last = lines.last().map_or(f64::NAN, |line| line.value);
                    FORMULA.result::<$out>(last)?;
                    Ok(Derivation { formula: &FORMULA, inputs, lines })
                }
            }
        )+
    };
    (@version) => { 1 };
    (@version $version:literal) => { $version };
}
