//! Quantities as people write and read them, and what they are told when it cannot be read.

#[path = "support/reference.rs"]
mod reference;

use proptest::prelude::*;
use reference::{close, seeded};
use shaftwork::prelude::*;

/// Calls a macro with every quantity.
macro_rules! every_quantity {
    ($check:ident $($with:expr),*) => { $check! { ($($with),*)
        Pressure GaugePressure PressureDifference Temperature TemperatureDifference MassFlow CorrectedMassFlow
        VolumeFlow Power Torque ShaftSpeed CorrectedSpeed Velocity Length Area Volume Mass Time Density
        SpecificEnergy SpecificHeat SpecificFuelConsumption MolarMass Fraction PressureRatio ExpansionRatio
        DensityRatio Efficiency Effectiveness HeatCapacityRatio AirFuelRatio Lambda CompressionRatio AtomRatio
    } };
}

macro_rules! returns_from_text {
    (($value:expr, $share:expr) $($name:ident)+) => { $({
        let (low, high) = <$name as Quantity>::BOUNDS;
        let si = if high.is_finite() { low + (high - low) * $share } else { $value };
        let written = $name::from_si(si).unwrap();
        for unit in $name::UNITS {
            // Four roundings at most, on the scale with the larger number.
            let tolerance = 4e-16 * (si.abs() + unit.offset.abs());
            let text = written.show(unit.label, 17).unwrap();
            close(text.parse::<$name>().unwrap().si(), si, 2.0 * tolerance);
            let number = written.get(unit.label).unwrap();
            for spelling in unit.aliases.iter().chain([&unit.label]) {
                close(format!("{number} {spelling}").parse::<$name>().unwrap().si(), si, 2.0 * tolerance);
                // "1/min" cannot stand against its number.
                let space = if spelling.starts_with('1') { " " } else { "" };
                let glued = format!("{number:e}{space}{spelling}");
                close(glued.parse::<$name>().unwrap().si(), si, 2.0 * tolerance);
            }
        }
        // What is shown by itself carries four figures, and six for the debugger; a temperature those of
        // kelvin.
        let size = if $name::SHOWN == "degC" { si.abs().max(1.0) } else { si.abs() };
        close(written.to_string().parse::<$name>().unwrap().si(), si, 5.001e-4 * size);
        close(format!("{written:?}").parse::<$name>().unwrap().si(), si, 5.001e-6 * size);
    })+ };
}

proptest! {
    #![proptest_config(seeded(64))]

    #[test]
    fn every_unit_of_every_quantity_returns(
        exponent in -6.0..9.0_f64, digits in 1.0..10.0_f64, share in 0.01..0.99_f64,
    ) {
        every_quantity! { returns_from_text digits * 10_f64.powi(exponent as i32), share }
    }

    #[test]
    fn no_text_is_too_strange(
        text in "\\PC{0,12}", number in "[-+0-9.,eE_ ]{0,8}", unit in "[a-zA-Z/%°·²\u{2212} ]{0,6}",
    ) {
        for text in [&text, &format!("{number}{unit}"), &format!("{number}\u{2009}{unit}")] {
            if let Ok(read) = text.parse::<Pressure>() {
                prop_assert!(read.si().is_finite());
            }
            if let Ok(read) = text.parse::<Efficiency>() {
                prop_assert!(read.si() >= 0.01 && read.si() <= 1.0);
            }
        }
    }
}

macro_rules! refuses_what_is_not_finite {
    (() $($name:ident)+) => { $({
        let label = $name::UNITS[0].label;
        for text in [format!("nan {label}"), format!("inf {label}"), format!("-infinity {label}")] {
            let refused = text.parse::<$name>().unwrap_err();
            assert!(matches!(refused, QuantityError::NoNumber { .. }), "{refused}");
        }
        let refused = format!("1e999 {label}").parse::<$name>();
        assert_eq!(refused, Err(QuantityError::NotFinite { quantity: $name::NAME }));
        for never in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!($name::from_si(never), Err(QuantityError::NotFinite { quantity: $name::NAME }));
        }
        let (low, high) = $name::BOUNDS;
        if high.is_finite() {
            assert!($name::from_si(low).is_ok() && $name::from_si(high).is_ok());
            for beyond in [low.next_down(), high.next_up()] {
                assert!(matches!($name::from_si(beyond), Err(QuantityError::OutOfBounds { .. })));
            }
        }
        assert!($name::NAME.starts_with("a ") || $name::NAME.starts_with("an "));
        assert!($name::UNITS[0].factor == 1.0 && $name::UNITS[0].offset == 0.0, "the first unit is SI");
        assert!($name::UNITS.iter().any(|unit| unit.label == $name::SHOWN));
        assert!($name::ALSO.is_none_or(|also| $name::UNITS.iter().any(|unit| unit.label == also)));
    })+ };
}

#[test]
fn no_quantity_takes_what_is_not_finite() {
    every_quantity! { refuses_what_is_not_finite }
}

#[test]
fn tolerant_spellings() {
    for text in ["1.5lb/min", "1.5 lb/min", " 1.5  LB/MIN ", "1.5e0 lb/min", "15e-1lb/min", "+1.5 lb / min"] {
        assert_eq!(text.parse(), Ok(lb_per_min(1.5)), "{text}");
    }
    for text in ["25 degC", "25 °C", "25°C", "25C", "25 deg C", "25.0 degc"] {
        assert_eq!(text.parse(), Ok(deg_c(25.0)), "{text}");
    }
    for text in ["390 Nm", "390 N·m", "390 N m", "390 N*m", "390 N.m"] {
        assert_eq!(text.parse(), Ok(nm(390.0)), "{text}");
    }
    for text in ["288 lb ft", "288 lb-ft", "288 ft-lb", "288 lbf·ft", "288 ft lbf"] {
        assert_eq!(text.parse(), Ok(lbf_ft(288.0)), "{text}");
    }
    for text in ["7600 rpm", "7_600 rpm", "7\u{202f}600 rpm", "7\u{2009}600 1/min", "7.6 krpm", "7600rev/min"]
    {
        close(text.parse::<ShaftSpeed>().unwrap().rpm(), 7600.0, 1e-9);
    }
    assert_eq!("\u{2212}5 °C".parse(), Ok(deg_c(-5.0)));
    assert_eq!("20 psig".parse(), Ok(psig(20.0)));
    assert_eq!("20 psi gauge".parse(), Ok(psig(20.0)));
    assert_eq!("650 cc/min".parse(), Ok(cc_per_min(650.0)));
    assert_eq!("480 mm²".parse(), Ok(mm2(480.0)));
    assert_eq!("1.86 l".parse(), Ok(litre(1.86)));
    assert_eq!("12\"".parse(), Ok(inch(12.0)));
    assert_eq!("1005 J/(kg·K)".parse(), Ok(j_per_kg_k(1005.0)));
    assert_eq!("300 g/(kW h)".parse(), Ok(g_per_kwh(300.0)));
    assert_eq!(".75".parse(), Efficiency::new(0.75));
    assert_eq!("75%".parse(), Efficiency::new(0.75));
}

/// The error of a text read as a quantity, in words.
fn message<Q: core::str::FromStr<Err = QuantityError> + core::fmt::Debug>(text: &str) -> String {
    text.parse::<Q>().unwrap_err().to_string()
}

#[test]
fn every_error_says_what_to_write() {
    assert_eq!(
        message::<ShaftSpeed>("fast"),
        "\"fast\" does not start with a number; a speed of rotation is written like \"1.5 rpm\""
    );
    assert_eq!(message::<Efficiency>("nan"), message::<Efficiency>(" nan "));
    assert_eq!(
        message::<Pressure>("nan kPa"),
        "\"nan kPa\" does not start with a number; an absolute pressure is written like \"1.5 kPa\""
    );
    assert_eq!(
        message::<Efficiency>("0,75"),
        "\"0,75\" has a comma in its number; write \"0.75\" with a decimal point"
    );
    assert_eq!(
        message::<Pressure>("2,1 bar"),
        "\"2,1 bar\" has a comma in its number; write \"2.1 bar\" with a decimal point"
    );
    assert_eq!(message::<Power>("1e400 kW"), "a power must be a finite number");
    assert_eq!(Efficiency::new(f64::NAN).unwrap_err().to_string(), "an efficiency must be a finite number");
    assert_eq!(message::<Power>("245"), "\"245\" has no unit; a power takes one of: W, kW, hp, PS");
    assert_eq!(
        message::<Length>("3 furlong"),
        "unknown unit \"furlong\" for a length; use one of: m, mm, in, thou, ft"
    );
    assert_eq!(
        message::<Power>("24 degC"),
        "\"degC\" is a unit of a temperature, but a power is asked for; use one of: W, kW, hp, PS"
    );
    assert_eq!(
        message::<Efficiency>("0.75 kg/s"),
        "\"kg/s\" is a unit of a mass flow, but an efficiency is asked for; use one of: a plain number, %"
    );
    // How many zeros the bounds carry is the printer's affair.
    let beyond = Efficiency::new(1.5).unwrap_err();
    let expected =
        QuantityError::OutOfBounds { quantity: Efficiency::NAME, value: 1.5, low: 0.01, high: 1.0, unit: "" };
    assert_eq!(beyond, expected);
    let beyond = beyond.to_string();
    assert!(beyond.starts_with("an efficiency 1.5") && beyond.contains(" is outside 0.01"), "{beyond}");
    // A long text is shortened in its message.
    let long = "x".repeat(500);
    assert!(message::<Power>(&long).len() < 150 && message::<Power>(&format!("1 {long}")).len() < 150);
}

#[test]
fn a_wrong_unit_is_told_from_an_unknown_one_when_printing_too() {
    assert_eq!(kw(245.0).show("hp", 4).unwrap(), "328.6 hp");
    close(kw(245.0).get("PS").unwrap(), 245e3 / 735.498_75, 1e-9);
    let refused = |unit| kw(245.0).show(unit, 4).unwrap_err();
    assert!(matches!(
        refused("kPa"),
        QuantityError::UnknownUnit { measures: Some("an absolute pressure"), .. }
    ));
    assert!(matches!(refused("horse"), QuantityError::UnknownUnit { measures: None, .. }));
    assert_eq!(kw(1.0).get("horse").unwrap_err(), refused("horse"));
}

// By hand: the figures that each number deserves.
#[test]
fn numbers_are_shown_with_the_figures_they_deserve() {
    for (shown, expected) in [
        (kw(245.0).to_string(), "245.0 kW"),
        (kw(245.0).both(), "245.0 kW (329 hp)"),
        (kg_per_s(0.2487).both(), "0.2487 kg/s (32.9 lb/min)"),
        (deg_c(24.0).to_string(), "24.0 degC"),
        (deg_c(900.0).to_string(), "900 degC"),
        (deg_c(-5.04).to_string(), "-5.0 degC"),
        (format!("{:.2}", mm(61.04)), "61 mm"),
        (format!("{:.3}", rpm(123_456.0)), "123000 rpm"),
        (format!("{:>12}", mm(61.0)), "    61.00 mm"),
        (format!("{:?}", mm(61.0)), "61.0000 mm"),
        (fraction(0.0).to_string(), "0"),
        (significant(141_523.0, 4), "141500"),
        (significant(-0.000_123_45, 3), "-0.000123"),
        (significant(f64::INFINITY, 3), "infinity"),
        (kpa(f64::NAN).to_string(), "not a number kPa"),
    ] {
        assert_eq!(shown, expected);
    }
}
