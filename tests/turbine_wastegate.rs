//! The wastegate, what the boost is held at, and the valve that lets air back.

#[path = "support/reference.rs"]
mod reference;

use proptest::prelude::*;
use reference::{close, close_relative, plain, seeded};
use shaftwork::prelude::*;
use shaftwork::turbine as t;

const HOT: (f64, f64) = (1.3, 290.0);

fn flap(p: f64, back: f64, discharge: f64, bore: f64) -> f64 {
    let (g, r) = (plain(HOT.0), j_per_kg_k(HOT.1));
    t::orifice_flow(fraction(discharge), mm(bore), kpa(p), kelvin(1150.0), plain(p / back), g, r)
        .unwrap()
        .si()
}

// By hand (one-dimensional theory of nozzles): C_d 0.8, 20 mm, 1150 K, gamma 1.3, R 290, 110 kPa behind: 0.0580765 kg/s
// from 200 kPa, 0.0397877 from 150 kPa.
#[test]
fn flap_of_a_wastegate() {
    close(flap(200.0, 110.0, 0.8, 20.0), 0.058_076_5, 5e-8);
    close(flap(150.0, 110.0, 0.8, 20.0), 0.039_787_7, 5e-8);
    // Choked: the pressure behind no longer matters.
    close_relative(flap(200.0, 100.0, 0.8, 20.0), flap(200.0, 40.0, 0.8, 20.0), 1e-15);
    // Common practice, no source: a flap passes 0.6 to 0.8 of its bore; the default lies between.
    assert!((0.6..=0.8).contains(&t::DISCHARGE));
}

#[test]
fn a_bore_is_found_again() {
    for (p, back, discharge, bore) in
        [(200.0, 110.0, 0.8, 20.0), (150.0, 110.0, 0.7, 31.0), (280.0, 100.0, 0.6, 12.0)]
    {
        let (g, r) = (plain(HOT.0), j_per_kg_k(HOT.1));
        let w = kg_per_s(flap(p, back, discharge, bore));
        let d =
            t::orifice_bore(w, fraction(discharge), kpa(p), kelvin(1150.0), plain(p / back), g, r).unwrap();
        close_relative(d.mm(), bore, 1e-12);
    }
    let (g, r) = (plain(HOT.0), j_per_kg_k(HOT.1));
    let none = t::orifice_bore(kg_per_s(0.0), fraction(0.7), kpa(200.0), kelvin(1150.0), plain(2.0), g, r);
    close(none.unwrap().si(), 0.0, 0.0);
}

// 1150 m of the standard atmosphere: 88.25 kPa.
#[test]
fn gauge_and_absolute_targets_differ_by_the_barometer() {
    let (sea, hill) = (kpa(101.325), kpa(88.25));
    let gauge = BoostControl::Gauge(kpa_gauge(110.0));
    close(gauge.target(sea).unwrap().kpa(), 211.325, 1e-9);
    close(gauge.target(hill).unwrap().kpa(), 198.25, 1e-9);
    let absolute = BoostControl::Absolute(kpa(211.325));
    close(absolute.target(hill).unwrap().kpa(), 211.325, 1e-9);
    // Below the barometer nothing is boosted; far above it something is wrong.
    assert!(BoostControl::Absolute(kpa(80.0)).target(hill).is_err());
    assert!(BoostControl::Gauge(kpa_gauge(-5.0)).target(hill).is_err());
    assert!(BoostControl::Gauge(kpa_gauge(f64::NAN)).target(hill).is_err());
    assert!(gauge.target(kpa(f64::NAN)).is_err());
}

#[test]
fn the_spring_is_the_least_boost() {
    let gate = Wastegate::new(mm(28.0), kpa_gauge(60.0)).unwrap();
    let hill = kpa(88.25);
    close(gate.least(hill).unwrap().kpa(), 148.25, 1e-9);
    let held = |control| gate.held(control, hill);
    close(held(BoostControl::Gauge(kpa_gauge(60.0))).unwrap().kpa(), 148.25, 1e-9);
    close(held(BoostControl::Absolute(kpa(148.25))).unwrap().kpa(), 148.25, 1e-9);
    let error = held(BoostControl::Absolute(kpa(140.0))).unwrap_err();
    assert_eq!(
        error.to_string(),
        "turbine::Wastegate::held: a target of 140.0 kPa is below 148.2 kPa, which the spring alone holds; fit a softer \
         spring"
    );
    assert!(Wastegate::new(mm(1.0), kpa_gauge(60.0)).is_err());
    assert!(Wastegate::new(mm(28.0), kpa_gauge(f64::NAN)).is_err());
    assert!(gate.discharge(fraction(1.2)).is_err());
    let wide = gate.discharge(fraction(0.8)).unwrap();
    let most = |gate: Wastegate| {
        gate.most_flow(kpa(220.0), kelvin(1150.0), plain(2.2), plain(1.3), j_per_kg_k(290.0)).unwrap().si()
    };
    close_relative(most(wide) / most(gate), 0.8 / 0.7, 1e-12);
    close_relative(most(wide), flap(220.0, 100.0, 0.8, 28.0), 1e-12);
}

// When the throttle shuts, the compressor still wants its flow. By hand: 0.16 - 0.02 kg/s; through 25 mm with 0.7 from
// 200 kPa and 320 K to 98 kPa, choked air: 0.7 pi/4 0.025^2 x 200e3 x 0.684731/sqrt(287.05 x 320).
#[test]
fn air_goes_back_when_the_throttle_shuts() {
    let back = t::recirculated_flow(kg_per_s(0.16), kg_per_s(0.02)).unwrap();
    close(back.si(), 0.14, 1e-15);
    let (g, r) = (plain(1.4), j_per_kg_k(287.05));
    let passes =
        t::orifice_flow(fraction(0.7), mm(25.0), kpa(200.0), kelvin(320.0), plain(200.0 / 98.0), g, r)
            .unwrap();
    let by_hand = 0.7 * std::f64::consts::FRAC_PI_4 * 0.025_f64.powi(2) * 200e3 * 0.684_731
        / (287.05_f64 * 320.0).sqrt();
    close_relative(passes.si(), by_hand, 1e-5);
    // The valve of that bore is enough; the bore that just is follows.
    assert!(passes > back);
    let bore =
        t::orifice_bore(back, fraction(0.7), kpa(200.0), kelvin(320.0), plain(200.0 / 98.0), g, r).unwrap();
    close_relative(bore.mm(), 25.0 * (0.14_f64 / passes.si()).sqrt(), 1e-12);
}

proptest! {
    #![proptest_config(seeded(256))]

    // Flow rises with the bore, the ratio and the coefficient, and stays finite.
    #[test]
    fn orifices_are_orderly(bore in 1.0..60.0_f64, p in 110.0..400.0_f64, cd in 0.3..0.9_f64, k in 1.0..1.1_f64) {
        let w = flap(p, 100.0, cd, bore);
        prop_assert!(w.is_finite() && w > 0.0);
        prop_assert!(flap(p * k, 100.0, cd, bore) >= w && flap(p, 100.0, cd * k, bore) >= w && flap(p, 100.0, cd, bore * k) >= w);
    }
}
