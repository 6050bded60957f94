//! The way of the air: the pressure chain and the charge cooler, with their limits.

#[path = "support/reference.rs"]
mod reference;

use proptest::prelude::*;
use reference::{close, close_relative, plain, seeded};
use shaftwork::charge::{cooled_temperature, cooler_density_ratio, loss_at_flow, required_pressure_ratio};
use shaftwork::compressor::{density_ratio, outlet_temperature_constant_gamma};
use shaftwork::prelude::*;

// By hand: (200 + 8)/(101.325 - 4) = 2.137 with every loss, 200/101.325 = 1.974 without.
#[test]
fn every_loss_counts_in_the_chain() {
    let needed = |cooler, filter| {
        required_pressure_ratio(kpa(200.0), kpa_diff(cooler), kpa(101.325), kpa_diff(filter)).unwrap().si()
    };
    close(needed(8.0, 4.0), 2.137, 5e-4);
    close(needed(0.0, 0.0), 1.974, 5e-4);
    close_relative(needed(0.0, 0.0), 200.0 / 101.325, 1e-15);
    assert!(needed(8.0, 0.0) < needed(8.0, 4.0) && needed(0.0, 4.0) < needed(8.0, 4.0));
    // Gauge boost at height: 20 psi gauge at 1150 m is 2.56 before any loss.
    let site = Site::at_altitude(m(1150.0)).unwrap();
    let manifold = psig(20.0).absolute(site.pressure());
    let plain = required_pressure_ratio(manifold, kpa_diff(0.0), site.pressure(), kpa_diff(0.0)).unwrap();
    close(plain.si(), 2.56, 0.005);
}

// Four cases by hand with constant gamma 1.4, cooling air 298.15 K, 100 kPa at the compressor: a good
// cooler helps, a lossy one at little boost does harm. Six digits, half of the last one.
#[test]
fn coolers_that_help_and_coolers_that_harm() {
    for (pi, eta, eps, loss, expected) in [
        (2.0, 0.72, 0.70, 8.0, 1.147_32),
        (2.0, 0.72, 0.80, 12.0, 1.155_63),
        (1.3, 0.70, 0.60, 8.0, 0.998_41),
        (1.15, 0.68, 0.50, 6.0, 0.975_39),
    ] {
        let (cold, gamma) = (kelvin(298.15), plain(1.4));
        let eta = plain(eta);
        let hot = outlet_temperature_constant_gamma(cold, plain(pi), eta, gamma).unwrap();
        let cooled = cooled_temperature(hot, cold, plain(eps)).unwrap();
        let before = kpa(100.0 * pi);
        let gain = cooler_density_ratio(before, kpa_diff(loss), hot, cooled).unwrap();
        close(gain.si(), expected, 5e-6);
        // The same by the gas law on both sides of the cooler.
        let density = |p, t| shaftwork::gas::density(&Gas::dry_air(), p, t).unwrap();
        let after = density(before - kpa_diff(loss), cooled);
        close_relative(gain.si(), after / density(before, hot), 1e-13);
        // Break-even: a loss of 1 - T_2c/T_2 of the pressure takes back what cooling gives.
        let even = kpa_diff(before.kpa() * (1.0 - cooled / hot));
        close(cooler_density_ratio(before, even, hot, cooled).unwrap().si(), 1.0, 1e-14);
    }
}

// Limits: no cooler, a perfect one, no loss, no flow.
#[test]
fn limits_of_cooler_and_loss() {
    let (hot, cold) = (kelvin(390.0), kelvin(300.0));
    let after = |eps| cooled_temperature(hot, cold, plain(eps)).unwrap().kelvin();
    close(after(0.0), 390.0, 0.0);
    close(after(1.0), 300.0, 1e-12);
    close(cooler_density_ratio(kpa(200.0), kpa_diff(0.0), hot, hot).unwrap().si(), 1.0, 1e-15);
    let perfect = cooler_density_ratio(kpa(200.0), kpa_diff(0.0), hot, cold).unwrap();
    close_relative(perfect.si(), 1.3, 1e-15);
    // A cooler in hotter air heats the charge: the definition holds the other way too.
    close(cooled_temperature(cold, hot, plain(0.5)).unwrap().kelvin(), 345.0, 1e-12);
    close(loss_at_flow(kpa_diff(0.0), kg_per_s(0.2), kg_per_s(0.25)).unwrap().si(), 0.0, 0.0);
    close(loss_at_flow(kpa_diff(8.0), kg_per_s(0.25), kg_per_s(0.25)).unwrap().kpa_diff(), 8.0, 1e-14);
    close(loss_at_flow(kpa_diff(8.0), kg_per_s(0.125), kg_per_s(0.25)).unwrap().kpa_diff(), 2.0, 1e-14);
}

#[test]
fn a_cooler_carries_its_loss_to_another_flow() {
    let loss = Loss::new(kpa_diff(8.0), kg_per_s(0.25)).unwrap();
    let cooler = ChargeCooler::new(plain(0.72), loss);
    close(cooler.loss().at(kg_per_s(0.30)).unwrap().kpa_diff(), 8.0 * 1.44, 1e-12);
    close(cooler.effectiveness().si(), 0.72, 0.0);
    let out = cooler.outlet(kelvin(400.0), kelvin(300.0)).unwrap();
    close(out.kelvin(), 328.0, 1e-12);
    for refused in [
        Loss::new(kpa_diff(-0.1), kg_per_s(0.25)),
        Loss::new(kpa_diff(101.0), kg_per_s(0.25)),
        Loss::new(kpa_diff(8.0), kg_per_s(0.0)),
    ] {
        assert!(matches!(refused, Err(FormulaError::OutOfRange { formula: "charge::Loss::new", .. })));
    }
    assert_eq!(
        Loss::new(kpa_diff(f64::NAN), kg_per_s(0.25)).unwrap_err().to_string(),
        "charge::Loss::new: loss is not a finite number"
    );
    assert!(cooler.loss().at(kg_per_s(f64::INFINITY)).is_err());
    assert!(Effectiveness::new(1.01).is_err() && Effectiveness::new(f64::NAN).is_err());
}

proptest! {
    #![proptest_config(seeded(128))]

    // Manifold density follows the whole chain: what the compressor and the cooler each do multiplies.
    #[test]
    fn density_gains_multiply(
        manifold in 110.0..300.0_f64, loss in 0.0..15.0_f64, filter in 0.0..5.0_f64, eps in 0.0..1.0_f64,
        rise in 1.1..1.6_f64,
    ) {
        let (ambient, cold) = (kpa(101.325), kelvin(298.15));
        let (cooler, filter) = (kpa_diff(loss), kpa_diff(filter));
        let pi = required_pressure_ratio(kpa(manifold), cooler, ambient, filter).unwrap();
        let hot = kelvin(298.15 * rise);
        let cooled = cooled_temperature(hot, cold, plain(eps)).unwrap();
        prop_assert!(cooled <= hot && cooled.kelvin() >= cold.kelvin() - 1e-9);
        let compressor = density_ratio(pi, cold, hot).unwrap().si();
        let before = kpa(manifold + loss);
        let whole = compressor * cooler_density_ratio(before, cooler, hot, cooled).unwrap().si();
        let density = |p, t| shaftwork::gas::density(&Gas::dry_air(), p, t).unwrap();
        close_relative(whole, density(kpa(manifold), cooled) / density(ambient - filter, cold), 1e-12);
    }
}
