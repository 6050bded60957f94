//! Water in the air against a reference equation of water and against a real mixture of air and water.

#[path = "support/reference.rs"]
mod reference;

use proptest::prelude::*;
use reference::{Row, Worst, close, close_relative, plain, seeded, table};
use shaftwork::gas::{self, Species, humidity_ratio, saturation_pressure, vapour_fraction};
use shaftwork::gas::{oxygen_lost, vapour_fraction_from_ratio};
use shaftwork::prelude::*;

/// The mole fraction of vapour that an ideal mixture holds in the state of a row.
fn ideal_fraction(row: &Row) -> VapourFraction {
    let (t, p) = (kelvin(row.number("temperature_K")), pa(row.number("pressure_Pa")));
    vapour_fraction(plain(row.number("relative_humidity")), t, p).unwrap()
}

fn at(row: &Row) -> String {
    let [t, p, phi] = ["temperature_K", "pressure_Pa", "relative_humidity"].map(|column| row.text(column));
    format!("{t} K, {p} Pa, {phi}")
}

// computed with CoolProp 8.0.0 by data/reference/water-saturation.py: IAPWS-95, and the same formula as
// here. 0.03 % is asked for; the largest deviations are 0.0225 % (25 degC) and the eight digits printed,
// 3.8e-8.
#[test]
fn saturation_pressure_agrees_with_the_reference_equation() {
    let [mut reference, mut formula] = [(); 2].map(|()| Worst::new());
    for row in table("water-saturation.csv") {
        let t = kelvin(row.number("temperature_K"));
        let p = saturation_pressure(t).unwrap().si();
        reference.see(p / row.number("iapws95_Pa") - 1.0, t);
        formula.see(p / row.number("hyland_wexler_Pa") - 1.0, t);
    }
    reference.holds("saturation pressure against IAPWS-95", 3e-4);
    formula.holds("saturation pressure against the formula evaluated elsewhere", 5e-8);
}

// computed with CoolProp 8.0.0 by data/reference/humid-air-coolprop.py: its real mixture holds 0.3 to 0.5
// % more water at saturation than an ideal one, the enhancement factor f of the table. Left out, it is
// the whole difference, 0.54 % at most; multiplied in, 2.2e-4 is left, the saturation formula's own.
#[test]
fn vapour_differs_from_the_real_mixture_by_the_enhancement_factor() {
    let [mut without, mut with, mut ratios] = [(); 3].map(|()| Worst::new());
    for row in table("humid-air-coolprop.csv") {
        let (x, f) = (ideal_fraction(&row), row.number("enhancement_factor"));
        let published = row.number("vapour_mole_fraction");
        without.see(x.si() / published - 1.0, at(&row));
        with.see(x.si() * f / published - 1.0, at(&row));
        // The conversion alone, fed with the table's own mole fraction: 1e-5 lies between the molar masses.
        let ratio = humidity_ratio(plain(published)).unwrap().si();
        ratios.see(ratio / row.number("humidity_ratio") - 1.0, at(&row));
    }
    without.holds("vapour of an ideal mixture", 5.6e-3);
    with.holds("vapour with the enhancement factor", 3e-4);
    ratios.holds("humidity ratio from the table's mole fraction", 5e-5);
}

// The same table. 0.1 % is asked for in density: with the table's own vapour 0.082 % is left, the
// compressibility of cool and of wet air; from the relative humidity 0.064 %. Heat capacity per mass of
// humid air is 0.60 % low in the wettest row, as the real gas stores more; 0.8 % is allowed.
#[test]
fn density_and_heat_capacity_of_humid_air_are_nearly_those_of_the_real_mixture() {
    let [mut own, mut density, mut capacity] = [(); 3].map(|()| Worst::new());
    for row in table("humid-air-coolprop.csv") {
        let (t, p) = (kelvin(row.number("temperature_K")), pa(row.number("pressure_Pa")));
        let humid = Gas::humid_air(plain(row.number("vapour_mole_fraction"))).unwrap();
        let found = gas::density(&humid, p, t).unwrap().si();
        density.see(found / row.number("density_kg_m3") - 1.0, at(&row));
        let cp = gas::heat_capacity(&humid, t).unwrap().si();
        capacity.see(cp / row.number("cp_J_kgK") - 1.0, at(&row));
        // From the relative humidity, so with the enhancement factor left out as well.
        let humid = Gas::humid_air(ideal_fraction(&row)).unwrap();
        let found = gas::density(&humid, p, t).unwrap().si();
        own.see(found / row.number("density_kg_m3") - 1.0, at(&row));
    }
    density.holds("density with the table's vapour", 1e-3);
    own.holds("density from the relative humidity", 1e-3);
    capacity.holds("heat capacity with the table's vapour", 8e-3);
}

// ASHRAE Handbook, Fundamentals, through CoolProp (two states of one public page): 9.926 and 21.547 g/kg;
// the ideal mixture gives 9.881 and 21.441, and densities of 1.17691 and 1.13105 kg/m3 by hand.
#[test]
fn two_well_known_states() {
    for (t, phi, ratio, density) in [(25.0, 0.5, 9.881, 1.176_91), (35.0, 0.6, 21.441, 1.131_05)] {
        let x = vapour_fraction(plain(phi), deg_c(t), kpa(101.325)).unwrap();
        close(humidity_ratio(x).unwrap().g_per_kg(), ratio, 6e-4);
        let humid = Gas::humid_air(x).unwrap();
        // The dry air here has an R of 6e-6 less than the one in the hand calculation.
        close(gas::density(&humid, kpa(101.325), deg_c(t)).unwrap().si(), density, 2e-5);
    }
}

// By hand: at 35 degC and 60 % vapour has 0.6 x 5627.8 Pa of 101 325 Pa, 3.33 %, and displaces as much of
// the oxygen.
#[test]
fn a_muggy_day_costs_a_thirtieth_of_the_oxygen() {
    let x = vapour_fraction(plain(0.6), deg_c(35.0), kpa(101.325)).unwrap();
    close(oxygen_lost(x).unwrap().percent(), 3.333, 1e-3);
    let (dry, humid) = (Gas::dry_air(), Gas::humid_air(x).unwrap());
    let lost = 1.0 - humid.mole_fraction(Species::O2) / dry.mole_fraction(Species::O2);
    close(lost, x.si(), 1e-15);
    let site = Site::at_altitude(m(0.0)).unwrap().air_temperature(deg_c(35.0)).unwrap();
    close(site.humidity(plain(0.6)).unwrap().oxygen_lost().unwrap().percent(), 3.333, 1e-3);
}

// The formula is over liquid water: below 0 degC the pressure over ice is lower, and nothing is guessed.
#[test]
fn below_freezing_and_beyond_the_mixture_it_is_refused() {
    assert!(saturation_pressure(kelvin(273.15)).is_ok());
    for t in [273.15_f64.next_down(), 250.0, 373.15_f64.next_up(), f64::NAN] {
        assert!(saturation_pressure(kelvin(t)).is_err(), "{t}");
        assert!(vapour_fraction(plain(0.5), kelvin(t), kpa(100.0)).is_err(), "{t}");
    }
    let frozen = Site::at_altitude(m(0.0)).unwrap().air_temperature(deg_c(-5.0)).unwrap();
    let message = frozen.clone().humidity(plain(0.5)).unwrap_err().to_string();
    assert!(message.contains("air temperature (temperature) 268.15 K is outside 273.15 to "), "{message}");
    // Dry air may be as cold as it likes.
    assert!(frozen.humidity(plain(0.0)).is_ok());
    assert!(RelativeHumidity::new(1.0_f64.next_up()).is_err() && RelativeHumidity::new(f64::NAN).is_err());
    let wet = Gas::humid_air(plain(0.31)).unwrap_err().to_string();
    assert!(wet.starts_with("gas::Gas::humid_air: mole fraction of vapour (vapour) 0.31"), "{wet}");
}

// Limits: no vapour is dry air itself, name and all.
#[test]
fn air_without_vapour_is_dry_air() {
    assert_eq!(Gas::humid_air(plain(0.0)).unwrap(), Gas::dry_air());
    close(Gas::dry_air().vapour().si(), 0.0, 0.0);
    close(humidity_ratio(plain(0.0)).unwrap().si(), 0.0, 0.0);
}

proptest! {
    #![proptest_config(seeded(256))]

    // Inverse pairs; oxygen is that of dry air less what vapour displaces; R adds by mass.
    #[test]
    fn measures_of_humidity_undo_each_other(x in 0.0..0.25_f64) {
        let ratio = humidity_ratio(plain(x)).unwrap();
        close(vapour_fraction_from_ratio(ratio).unwrap().si(), x, 1e-15);
        let (dry, humid) = (Gas::dry_air(), Gas::humid_air(plain(x)).unwrap());
        close_relative(humid.mole_fraction(Species::O2), dry.mole_fraction(Species::O2) * (1.0 - x), 1e-14);
        close(humid.vapour().si(), x, 1e-15);
        // Mass of vapour over mass of dry air, by the molar masses of the gas itself; dry air is rounded
        // to seven digits in the ratio.
        let by_mass = x * 18.015 / (humid.molar_mass().g_per_mol() - x * 18.015);
        close(ratio.si(), by_mass, 3e-7 * (by_mass + 1e-9));
        let total = Species::ALL.map(|species| humid.mole_fraction(species)).iter().sum::<f64>();
        close(total, 1.0, 1e-15);
    }

    // More humidity, more vapour, lighter air, always.
    #[test]
    fn humid_air_is_lighter(t in 274.0..328.0_f64, p in 50.0..110.0_f64, phi in 0.0..0.9_f64) {
        let air = |phi: f64| Gas::humid_air(vapour_fraction(plain(phi), kelvin(t), kpa(p)).unwrap()).unwrap();
        let density = |gas: &Gas| gas::density(gas, kpa(p), kelvin(t)).unwrap();
        prop_assert!(density(&air(phi + 0.1)) < density(&air(phi)));
    }
}
