//! Quantities: exact factors, scales with an offset, arithmetic, the units library, files.

#[path = "support/reference.rs"]
mod reference;

use reference::{close, close_relative};
use shaftwork::prelude::*;

// Definitions: 1 in = 25.4 mm and 1 lb = 0.45359237 kg (yard and pound agreement, 1959), standard gravity
// 9.80665 m/s2, so 1 lbf = 4.4482216152605 N exactly; mercury 13 595.1 kg/m3; 1 Btu/lb = 2326 J/kg. The
// second column is worked out from them by hand to the last decimal, so only the rounding of doubles is
// left.
#[test]
fn trade_factors_follow_from_their_definitions() {
    const POUND_FORCE: f64 = 4.448_221_615_260_5;
    for (found, exact) in [
        (psia(1.0).si(), POUND_FORCE / 0.000_645_16),
        (psig(1.0).si(), psia(1.0).si()),
        (psi_diff(1.0).si(), psia(1.0).si()),
        (in_hg(1.0).si(), 3_386.388_640_341),
        (in_h2o_diff(1.0).si(), 249.088_91),
        (atm(1.0).si(), 101_325.0),
        (hp(1.0).si(), 745.699_871_582_270_2),
        (metric_hp(1.0).si(), 735.498_75),
        (lbf_ft(1.0).si(), 1.355_817_948_331_400_4),
        (lb_per_min(1.0).si(), 0.453_592_37 / 60.0),
        (lb_per_s(1.0).si(), 0.453_592_37),
        (lb_per_h(3600.0).si(), 0.453_592_37),
        (corrected_lb_per_min(60.0).si(), 0.453_592_37),
        (inch(1.0).si(), 0.0254),
        (thou(1.0).si(), 25.4e-6),
        (ft(1.0).si(), 0.3048),
        (ft_per_s(1.0).si(), 0.3048),
        (square_inch(1.0).si(), 0.000_645_16),
        (cubic_inch(1.0).si(), 1.638_706_4e-5),
        (cfm(60.0).si(), 0.028_316_846_592),
        (cc_per_min(60e6).si(), 1.0),
        (l_per_h(3.6e6).si(), 1.0),
        (btu_per_lb(1.0).si(), 2326.0),
        (g_per_kwh(3.6e9).si(), 1.0),
        (lb_per_hp_h(1.0).si(), 0.453_592_37 / (745.699_871_582_270_2 * 3600.0)),
        (rpm(30.0).si(), std::f64::consts::PI),
        (krpm(1.0).si(), rpm(1000.0).si()),
        (corrected_krpm(1.0).si(), corrected_rpm(1000.0).si()),
    ] {
        close_relative(found, exact, 4e-16);
    }
}

// NIST Special Publication 811, appendix B (from memory): seven printed digits.
#[test]
fn trade_factors_agree_with_the_printed_table() {
    for (found, printed) in [
        (psia(1.0).si(), 6.894_757e3),
        (in_hg(1.0).si(), 3.386_389e3),
        (in_h2o_diff(1.0).si(), 2.490_889e2),
        (hp(1.0).si(), 7.456_999e2),
        (lb_per_min(1.0).si(), 7.559_873e-3),
        (cfm(1.0).si(), 4.719_474e-4),
        (lbf_ft(1.0).si(), 1.355_818),
    ] {
        close_relative(found, printed, 1.5e-7);
    }
}

// Definitions: 0 degC = 273.15 K, 32 degF = 0 degC, 1 degR = 5/9 K.
#[test]
fn scales_with_an_offset_and_steps_without() {
    close(deg_c(0.0).kelvin(), 273.15, 0.0);
    close(deg_f(32.0).deg_c(), 0.0, 1e-13);
    close(deg_f(-40.0).deg_c(), -40.0, 1e-13);
    close(deg_r(491.67).deg_c(), 0.0, 1e-12);
    close(deg_f(212.0).deg_c(), 100.0, 1e-12);
    close((deg_c(122.0) - deg_c(24.0)).si(), 98.0, 1e-12);
    close((deg_f(50.0) - deg_f(32.0)).si(), 10.0, 1e-12);
    close((deg_c(20.0) + kelvin_diff(5.0)).deg_c(), 25.0, 1e-12);
    close(deg_f_diff(9.0).si(), 5.0, 1e-15);
    let [a, b]: [TemperatureDifference; 2] = ["9 degF", "5 degC"].map(|text| text.parse().unwrap());
    close(a.si(), b.si(), 1e-15);
}

#[test]
fn gauge_becomes_absolute_only_with_a_barometer() {
    let barometer = kpa(88.2);
    let boost = psig(20.0);
    close(boost.absolute(barometer).kpa(), 88.2 + 137.895_145_863, 1e-8);
    close(boost.absolute(barometer).above(barometer).psig(), 20.0, 1e-12);
    close(boost.absolute(kpa(101.325)).kpa() - boost.absolute(barometer).kpa(), 13.125, 1e-12);
    for text in ["20 psig", "1.2 barg", "1.2 bar gauge", "120 kPag"] {
        assert!(text.parse::<GaugePressure>().is_ok(), "{text}");
        let message = text.parse::<Pressure>().unwrap_err().to_string();
        assert!(message.contains("is a unit of a gauge pressure, but an absolute pressure is asked for"));
    }
    for text in ["200 kPa", "2 bar", "29 psia", "2 bara"] {
        assert!(text.parse::<Pressure>().is_ok(), "{text}");
        let message = text.parse::<GaugePressure>().unwrap_err().to_string();
        assert!(message.contains("is a unit of an absolute pressure, but a gauge pressure is asked for"));
    }
    // A bare psi is neither: it may only be a difference.
    assert!("20 psi".parse::<Pressure>().is_err() && "20 psi".parse::<GaugePressure>().is_err());
    close("20 psi".parse::<PressureDifference>().unwrap().psi_diff(), 20.0, 1e-13);
}

// Products and quotients by hand; that their dimensions fit is judged where they are defined.
#[test]
fn products_and_quotients() {
    close((kg_per_s(2.0) * kj_per_kg(3.0)).kw(), 6.0, 1e-12);
    close((kw(6.0) / kg_per_s(2.0)).kj_per_kg(), 3.0, 1e-12);
    close((rad_per_s(100.0) * nm(390.0)).kw(), 39.0, 1e-12);
    close((kw(39.0) / rad_per_s(100.0)).nm(), 390.0, 1e-12);
    close((rad_per_s(100.0) * mm(30.0)).si(), 3.0, 1e-12);
    close((kg_per_m3(745.0) * litre(2.0)).si(), 1.49, 1e-12);
    close((kg_per_m3(800.0) * l_per_min(60.0)).si(), 0.8, 1e-12);
    close((kg_per_s(2.0) * minute(1.0)).si(), 120.0, 1e-12);
    close((l_per_min(60.0) * bar_diff(4.0)).si(), 400.0, 1e-9);
    close((mm2(10.0) * m_per_s(5.0)).si(), 5e-5, 1e-18);
    close((mm(20.0) * mm(30.0)).mm2(), 600.0, 1e-10);
    close((m_per_s(300.0) * m_per_s(300.0)).kj_per_kg(), 90.0, 1e-12);
    close((j_per_kg_k(1005.0) * kelvin_diff(100.0)).kj_per_kg(), 100.5, 1e-12);
    close(kpa(200.0) / kpa(100.0), 2.0, 0.0);
    close((kpa(200.0) - kpa(88.0)).kpa_diff(), 112.0, 1e-9);
    close((kpa(88.0) - kpa_diff(4.0)).kpa(), 84.0, 1e-9);
    close((3.0 * mm(2.0) - mm(1.0) / 2.0 + -mm(0.5)).mm(), 5.0, 1e-12);
    assert!(mm(2.0) < mm(3.0) && kpa(f64::NAN).partial_cmp(&kpa(1.0)).is_none());
}

#[test]
fn files_carry_the_unit_out_and_take_both_forms_in() {
    let flow = kg_per_s(0.2487);
    let text = serde_json::to_string(&flow).unwrap();
    assert_eq!(text, r#"{"value":0.2487,"unit":"kg/s"}"#);
    assert_eq!(serde_json::from_str::<MassFlow>(&text).unwrap(), flow);
    let short: MassFlow = serde_json::from_str(r#""32.9 lb/min""#).unwrap();
    assert_eq!(short, lb_per_min(32.9));
    let other: MassFlow = serde_json::from_str(r#"{"unit":"lb/min","value":32.9}"#).unwrap();
    assert_eq!(other, lb_per_min(32.9));
    close(serde_json::from_str::<Temperature>(r#""24 degC""#).unwrap().kelvin(), 297.15, 0.0);
    for (text, says) in [
        ("0.2487", "a mass flow as text with a unit, or a value and a unit"),
        (r#"{"value":0.2}"#, "missing field `unit`"),
        (r#"{"unit":"kg/s"}"#, "missing field `value`"),
        (r#"{"value":0.2,"unit":"kW"}"#, "\"kW\" is a unit of a power, but a mass flow is asked for"),
        (r#"{"value":0.2,"unit":"kg/s","note":""}"#, "unknown field `note`"),
        (r#""0,2 kg/s""#, "write \"0.2 kg/s\" with a decimal point"),
    ] {
        let message = serde_json::from_str::<MassFlow>(text).unwrap_err().to_string();
        assert!(message.contains(says), "{message}");
    }
    let refused = serde_json::from_str::<Efficiency>(r#"{"value":75,"unit":""}"#).unwrap_err().to_string();
    assert!(refused.starts_with("an efficiency 75"), "{refused}");
    assert_eq!(serde_json::from_str::<Efficiency>(r#""75 %""#).unwrap(), Efficiency::new(0.75).unwrap());
}

#[cfg(feature = "uom")]
mod units_library {
    use super::*;
    use proptest::prelude::*;
    use reference::seeded;
    use uom::si::{f64 as u, mass_rate, power, pressure, thermodynamic_temperature, torque, volume_rate};

    /// There and back, bit by bit.
    macro_rules! returns {
        ($value:expr; $($ours:ident $theirs:ident),+) => { $(
            let (low, high) = <$ours as Quantity>::BOUNDS;
            let ours = $ours::from_si($value.clamp(low, high)).unwrap();
            let theirs: u::$theirs = ours.into();
            assert_eq!(<$ours>::from(theirs).si().to_bits(), ours.si().to_bits(), stringify!($ours));
        )+ };
    }

    proptest! {
        #![proptest_config(seeded(64))]

        #[test]
        fn gives_back_what_it_got(value in 1e-6..1e6_f64) {
            returns! { value; Pressure Pressure, GaugePressure Pressure, PressureDifference Pressure,
                Temperature ThermodynamicTemperature, TemperatureDifference TemperatureInterval,
                MassFlow MassRate, CorrectedMassFlow MassRate, VolumeFlow VolumeRate, Power Power,
                Torque Torque, ShaftSpeed AngularVelocity, CorrectedSpeed AngularVelocity, Velocity Velocity,
                Length Length, Area Area, Volume Volume, Mass Mass, Time Time, Density MassDensity,
                SpecificEnergy AvailableEnergy, SpecificHeat SpecificHeatCapacity, MolarMass MolarMass,
                Fraction Ratio, PressureRatio Ratio, ExpansionRatio Ratio, DensityRatio Ratio,
                Efficiency Ratio, Effectiveness Ratio, HeatCapacityRatio Ratio, AirFuelRatio Ratio,
                Lambda Ratio, CompressionRatio Ratio, AtomRatio Ratio }
        }
    }

    // The units library uom 0.37: its customary factors are rounded to seven digits (up to 1.1e-7 off).
    #[test]
    fn agrees_on_customary_units() {
        let p: u::Pressure = kpa(200.0).into();
        close_relative(p.get::<pressure::pound_force_per_square_inch>(), kpa(200.0).psia(), 2e-7);
        close_relative(p.get::<pressure::inch_of_mercury>(), kpa(200.0).in_hg(), 2e-7);
        let w: u::MassRate = kg_per_s(0.25).into();
        close_relative(w.get::<mass_rate::pound_per_minute>(), kg_per_s(0.25).lb_per_min(), 2e-7);
        let power: u::Power = kw(245.0).into();
        close_relative(power.get::<power::horsepower>(), kw(245.0).hp(), 2e-7);
        let v: u::VolumeRate = l_per_min(60.0).into();
        close_relative(v.get::<volume_rate::cubic_foot_per_minute>(), l_per_min(60.0).cfm(), 2e-7);
        let moment: u::Torque = nm(390.0).into();
        close_relative(moment.get::<torque::pound_force_foot>(), nm(390.0).lbf_ft(), 2e-7);
        let t: u::ThermodynamicTemperature = deg_c(24.0).into();
        close(t.get::<thermodynamic_temperature::degree_fahrenheit>(), deg_c(24.0).deg_f(), 1e-10);
    }
}
