//! Dry air as an ideal gas against a real-gas reference equation: what the assumption costs, and where.

#[path = "support/reference.rs"]
mod reference;

use reference::{Row, Worst, between, close_relative, plain, table};
use shaftwork::formula::Property;
use shaftwork::gas::{self, ideal_density_error, ideal_heat_capacity_error, isentropic_temperature};
use shaftwork::prelude::*;

/// Pressure and temperature of a row.
fn state(row: &Row) -> (Pressure, Temperature) {
    (pa(row.number("pressure_Pa")), kelvin(row.number("temperature_K")))
}

fn at(row: &Row) -> String {
    let (p, t) = state(row);
    format!("{} bar, {} K", p.bar(), t.kelvin())
}

fn heat_capacity(t: Temperature) -> f64 {
    gas::heat_capacity(&Gas::dry_air(), t).unwrap().si()
}

// computed with CoolProp 8.0.0 by data/reference/air-coolprop.py: Lemmon et al. (2000), 250 to 1500 K and
// 0.5 to 5 bar. 0.3 % is asked for. With the stated error of the ideal gas taken off, the largest
// deviation over all rows is 0.26 %, at 1200 K, where both differ by as much at any pressure: above 873 K
// that equation takes its heat capacity from nitrogen.
#[test]
fn heat_capacity_with_its_stated_error_is_that_of_the_real_gas() {
    let mut worst = Worst::new();
    for row in table("air-coolprop.csv") {
        let (p, t) = state(&row);
        let error = ideal_heat_capacity_error(p, t).unwrap().si();
        worst.see(heat_capacity(t) * (1.0 + error) / row.number("cp_J_kgK") - 1.0, at(&row));
    }
    worst.holds("heat capacity with the stated error", 3e-3);
}

// The same table, ideal gas alone: within 0.3 % wherever the stated error is below 0.05 %, and far outside
// where it is not: 1.2 % short at 250 K and 5 bar. The stated error says so before any table does.
#[test]
fn heat_capacity_alone_is_good_where_its_stated_error_is_small() {
    let [mut good, mut all] = [(); 2].map(|()| Worst::new());
    let mut count = 0;
    for row in table("air-coolprop.csv") {
        let (p, t) = state(&row);
        let off = heat_capacity(t) / row.number("cp_J_kgK") - 1.0;
        all.see(off, at(&row));
        let stated = ideal_heat_capacity_error(p, t).unwrap().si();
        assert!(stated > 0.0, "the real gas stores more, always: {stated}");
        if stated < 5e-4 {
            count += 1;
            good.see(off, at(&row));
        }
    }
    assert!(count >= 20, "only {count} rows are left");
    good.holds("heat capacity, stated error below 0.05 %", 3e-3);
    all.holds("heat capacity, all rows", 1.3e-2);
    let (p, t) = (bar(5.0), kelvin(250.0));
    between(ideal_heat_capacity_error(p, t).unwrap().percent(), 1.0, 1.4);
}

// The same table. 0.1 % is asked for; the largest deviation is 0.036 % (600 K, 5 bar) with the stated
// error and 0.47 % without it (250 K, 5 bar).
#[test]
fn density_with_its_stated_error_is_that_of_the_real_gas() {
    let [mut corrected, mut ideal] = [(); 2].map(|()| Worst::new());
    for row in table("air-coolprop.csv") {
        let (p, t) = state(&row);
        let found = gas::density(&Gas::dry_air(), p, t).unwrap().si() / row.number("density_kg_m3");
        let error = ideal_density_error(p, t).unwrap().si();
        corrected.see(found / (1.0 + error) - 1.0, at(&row));
        ideal.see(found - 1.0, at(&row));
        // The error is Z - 1, and the table lists Z.
        let z = row.number("compressibility");
        assert!((error - (z - 1.0)).abs() <= 6e-4, "{}: {error} for {}", at(&row), z - 1.0);
    }
    corrected.holds("density with the stated error", 1e-3);
    ideal.holds("density of the ideal gas", 5e-3);
}

// The same table. 0.3 % is asked for; the largest deviation of the ideal gas alone is 0.27 % (400 K, 5
// bar).
#[test]
fn speed_of_sound_is_that_of_the_real_gas() {
    let mut worst = Worst::new();
    for row in table("air-coolprop.csv") {
        let a = gas::speed_of_sound(&Gas::dry_air(), state(&row).1).unwrap().si();
        worst.see(a / row.number("speed_of_sound_m_s") - 1.0, at(&row));
    }
    worst.holds("speed of sound", 3e-3);
}

// The same table, differences from 298.15 K and 1 bar, up to 1 bar: 0.3 % is asked for, of cp T and of
// cp. The largest deviations are 0.08 % and 0.11 %, at 1500 K.
#[test]
fn enthalpy_and_entropy_up_to_one_bar_are_those_of_the_real_gas() {
    let [mut enthalpies, mut entropies] = [(); 2].map(|()| Worst::new());
    let air = Gas::dry_air();
    for row in table("air-coolprop.csv").iter().filter(|row| row.number("pressure_Pa") <= 1e5) {
        let (p, t) = state(row);
        let cp = heat_capacity(t);
        let h = air.h().value(t.kelvin()) - air.h().value(298.15);
        enthalpies.see((h - row.number("enthalpy_change_J_kg")) / (cp * t.kelvin()), at(row));
        let s = air.s().value(t.kelvin()) - air.s().value(298.15) - air.gas_constant().si() * p.bar().ln();
        entropies.see((s - row.number("entropy_change_J_kgK")) / cp, at(row));
    }
    enthalpies.holds("enthalpy over cp T", 3e-3);
    entropies.holds("entropy over cp", 3e-3);
}

// computed with CoolProp 8.0.0 by data/reference/isentropic-air-coolprop.py, from 298.15 K and 1 bar. 0.3
// K is asked for; the largest deviations are 0.26 K and 0.053 % of the work, at a ratio of 4.
#[test]
fn isentropic_end_states_are_those_of_the_real_gas() {
    let [mut temperatures, mut works] = [(); 2].map(|()| Worst::new());
    for row in table("isentropic-air-coolprop.csv") {
        let (air, t1) = (Gas::dry_air(), kelvin(row.number("inlet_temperature_K")));
        let t2 = isentropic_temperature(&air, t1, plain(row.number("pressure_ratio"))).unwrap();
        let at = format!("ratio {}", row.text("pressure_ratio"));
        temperatures.see(t2.kelvin() - row.number("isentropic_temperature_K"), &at);
        let work = air.h().value(t2.si()) - air.h().value(t1.si());
        works.see(work / row.number("isentropic_enthalpy_change_J_kg") - 1.0, &at);
    }
    temperatures.holds("isentropic temperature, K", 0.3);
    works.holds("isentropic work", 1e-3);
}

// The same table of air: Lemmon and Jacobsen (2004), viscosity within 5 % there (abstract). Sutherland's
// formula falls behind with temperature: 1.6 % at 500 K, 3.1 % at 800 K, 5.2 % at 1200 K, 6.6 % at 1500
// K.
#[test]
fn viscosity_of_air_falls_behind_the_reference_equation_with_temperature() {
    let [mut cool, mut warm, mut all] = [(); 3].map(|()| Worst::new());
    for row in table("air-coolprop.csv") {
        let (_, t) = state(&row);
        let off = gas::viscosity(t).unwrap().si() / row.number("viscosity_Pa_s") - 1.0;
        all.see(off, at(&row));
        if t <= kelvin(1000.0) {
            warm.see(off, at(&row));
        }
        if t <= kelvin(500.0) {
            cool.see(off, at(&row));
        }
    }
    cool.holds("viscosity of air to 500 K", 0.017);
    warm.holds("viscosity of air to 1000 K", 0.045);
    all.holds("viscosity of air to 1500 K", 0.07);
}

// computed with Cantera 3.2.0 by data/reference/viscosity-exhaust.py: kinetic theory, 5 % by judgement. 5
// % is asked for: products from 800 K on, as an exhaust is, lie within 3.4 %. At 500 K it is 6.9 %, at
// 300 K 10.7 %, where no exhaust turbine works.
#[test]
fn viscosity_of_exhaust_is_nearly_that_of_air() {
    let [mut hot, mut cold] = [(); 2].map(|()| Worst::new());
    for row in table("viscosity-exhaust.csv").iter().filter(|row| row.text("mixture") != "dry_air") {
        let t = row.number("temperature_K");
        let off = gas::viscosity(kelvin(t)).unwrap().si() / row.number("viscosity_Pa_s") - 1.0;
        let worst = if t >= 800.0 { &mut hot } else { &mut cold };
        worst.see(off, format!("{}, {t} K", row.text("mixture")));
    }
    hot.holds("viscosity of products from 800 K", 0.05);
    cold.holds("viscosity of products as if none condensed, from 300 K", 0.11);
}

// Limits: no pressure, no error; and hot air is ideal to 0.1 %.
#[test]
fn the_stated_errors_vanish_with_pressure_and_heat() {
    for t in [250.0, 300.0, 900.0] {
        for error in [ideal_density_error, ideal_heat_capacity_error] {
            let at = |p| error(bar(p), kelvin(t)).unwrap().si();
            // Both are proportional to the pressure: the second virial coefficient and nothing beyond.
            close_relative(at(5.0), 50.0 * at(0.1), 1e-12);
        }
    }
    between(ideal_heat_capacity_error(bar(5.0), kelvin(1200.0)).unwrap().percent(), 0.0, 0.1);
    let refused = ideal_density_error(bar(11.0), kelvin(300.0)).unwrap_err().to_string();
    assert!(
        refused.starts_with("gas::ideal_density_error: absolute pressure (pressure) 1100000 Pa"),
        "{refused}"
    );
}
