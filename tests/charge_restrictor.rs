//! An air restrictor before the compressor, and the power it leaves.

#[path = "support/reference.rs"]
mod reference;

use reference::{between, close, close_relative, plain};
use shaftwork::charge as ch;
use shaftwork::prelude::*;

// Tables of compressible flow (gamma 1.4, from memory): A/A* is 1 at Mach 1, W sqrt(T_0)/(A p_0) 0.040418 with R 287;
// critical pressure 0.5283.
#[test]
fn choked_throat() {
    let (throat, p, t): (f64, f64, f64) = (0.032, 100e3, 300.0);
    let w = ch::choked_throat_flow(fraction(1.0), m(throat), pa(p), kelvin(t), plain(1.4), j_per_kg_k(287.0))
        .unwrap();
    let by_table = 0.040_418 * std::f64::consts::FRAC_PI_4 * throat * throat * p / t.sqrt();
    close_relative(w.si(), by_table, 1e-4);
    // The nozzle of the turbine's room is the same gas through the same hole.
    let area = m2(std::f64::consts::FRAC_PI_4 * throat * throat);
    let nozzle =
        shaftwork::turbine::nozzle_flow(area, pa(p), kelvin(t), plain(3.0), plain(1.4), j_per_kg_k(287.0));
    close_relative(w.si(), nozzle.unwrap().si(), 1e-12);
}

#[test]
fn the_site_sets_the_flow() {
    let restrictor = Restrictor::new(mm(34.0)).unwrap().discharge(fraction(1.0)).unwrap();
    let air = Gas::dry_air();
    let at = |p: f64, t: f64| restrictor.most_flow(&air, kpa(p), kelvin(t)).unwrap().si();
    // By hand with gamma 1.4 and R 287.05; gamma of the air here is 1.4003.
    close_relative(at(101.325, 288.15), 0.219_03, 2e-4);
    // Flow goes with pressure and with the root of temperature, the tables' law.
    close_relative(at(88.25, 288.15) / at(101.325, 288.15), 88.25 / 101.325, 1e-12);
    close_relative(at(101.325, 308.15) / at(101.325, 288.15), (288.15_f64 / 308.15).sqrt(), 2e-4);
    assert!(Restrictor::new(mm(1.0)).is_err() && Restrictor::new(mm(f64::NAN)).is_err());
    assert!(restrictor.discharge(fraction(1.1)).is_err());
}

// The formula the power comes from, turned round: the air that this power asks for is the air that there is.
#[test]
fn the_power_that_no_boost_adds_to() {
    let engine = Engine::four_stroke(4, mm(84.0), mm(84.0), plain(9.2)).unwrap();
    let (fuel, air) = (Fuel::gasoline().unwrap(), Gas::humid_air(plain(0.01)).unwrap());
    let restrictor = Restrictor::new(mm(34.0)).unwrap();
    let (lambda, pumping, speed) = (plain(0.85), kpa_diff(40.0), rpm(6500.0));
    let place = (&air, kpa(88.25), deg_c(24.0));
    let ceiling = restrictor.power_ceiling(&engine, &fuel, place, (lambda, pumping, speed)).unwrap();
    let humidity = shaftwork::gas::humidity_ratio(air.vapour()).unwrap();
    let running = Running::new(lambda, pumping).humidity(humidity);
    let asked = air_demand(&engine, &fuel, running, Target::crank(ceiling.crank, speed)).unwrap();
    close_relative(asked.air.si(), ceiling.air.si(), 1e-10);
    close_relative(asked.friction.si(), ceiling.friction.si(), 1e-10);
    // Common practice, no source: a pound of air a minute carries 9.5 to 10.5 crank horsepower.
    between(ceiling.crank.hp() / ceiling.air.lb_per_min(), 9.0, 10.6);
    // An engine turning itself to death on a pinhole has nothing left.
    let pinhole = Restrictor::new(mm(6.0)).unwrap();
    let error = pinhole.power_ceiling(&engine, &fuel, place, (lambda, pumping, rpm(9000.0))).unwrap_err();
    assert!(error.to_string().contains("leave nothing"), "{error}");
    close(restrictor.throat().mm(), 34.0, 1e-12);
}
