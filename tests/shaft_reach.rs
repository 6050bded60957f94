//! The limits in the order they are met, and the cures: what common practice says of them.

#[path = "support/reference.rs"]
mod reference;

use reference::{close, plain};
use shaftwork::prelude::*;
use shaftwork::shaft::{Control, Met, Onset, Remedy, UserLimits, limits_in_order, operating_line, remedies};

struct Car {
    study: Study,
}

impl Car {
    fn demo() -> Self {
        Self { study: Study::demo().unwrap() }
    }
    fn candidate(&self, name: &str) -> &Candidate {
        self.study.candidates.iter().find(|candidate| candidate.name() == name).unwrap()
    }
    fn met(&self, name: &str, housing: usize, fuel: usize, limits: UserLimits) -> Vec<Met> {
        let candidate = self.candidate(name);
        let turbine = &candidate.housings()[housing].turbine;
        let Study { installation, fuels, target, .. } = &self.study;
        let installation = Installation { limits, ..installation.clone() };
        limits_in_order(&installation, candidate, turbine, &fuels[fuel], target).unwrap()
    }
    fn cures(&self, name: &str, fuel: usize) -> Vec<Remedy> {
        let candidate = self.candidate(name);
        let turbine = &candidate.housings()[0].turbine;
        let Study { installation, fuels, target, .. } = &self.study;
        let control = Some(Control::manifold(kpa(190.0)).unwrap());
        let plans = (&fuels[fuel], fuels.as_slice());
        remedies(installation, candidate, turbine, plans, target, control).unwrap()
    }
}

fn power_of(met: &[Met], limit: Limit) -> Power {
    met.iter().find(|met| met.limit == limit).unwrap_or_else(|| panic!("{limit:?} is not met: {met:?}")).power
}

// By hand: 390 N m at 6200 rev/min is 253.21 kW, whatever the turbocharger.
#[test]
fn the_torque_limit_is_met_where_torque_times_speed_says() {
    let car = Car::demo();
    for (name, housing) in [("B", 0), ("C", 0), ("C", 1)] {
        let met = car.met(name, housing, 1, UserLimits::default());
        close(power_of(&met, Limit::Torque).kw(), 390.0 * 6200.0 * core::f64::consts::PI / 30e3, 1e-3);
    }
}

// The first limit is the one that the search of the judgement ends at, found by another way.
#[test]
fn the_first_limit_is_what_stops_the_judgement() {
    let car = Car::demo();
    for (name, housing, fuel) in [("B", 0, 0), ("B", 0, 1), ("C", 0, 0), ("C", 1, 1)] {
        let candidate = car.candidate(name);
        let turbine = &candidate.housings()[housing].turbine;
        let Study { installation, fuels, target, .. } = &car.study;
        let most = judge(installation, candidate, turbine, &fuels[fuel], target).unwrap().most;
        let first = car.met(name, housing, fuel, UserLimits::default())[0];
        assert_eq!(Some(first.limit), most.stop.map(|stop| stop.limit), "{name}");
        close(first.power / most.power.unwrap(), 1.0, 2e-4);
    }
}

#[test]
fn limits_come_in_order_and_a_users_own_limit_takes_its_place() {
    let car = Car::demo();
    let met = car.met("C", 0, 1, UserLimits::default());
    assert!(met.len() >= 4, "{met:?}");
    assert!(met.windows(2).all(|pair| pair[0].power <= pair[1].power));
    // By hand: 25 bar in 1.862 L at 7200 rev/min is 279.3 kW, at 6200 240.5 kW.
    let user = UserLimits::default().mean_pressure(bar_diff(25.0)).unwrap();
    let own = car.met("C", 0, 1, user);
    close(power_of(&own, Limit::MeanPressure).kw(), 25e5 * 1.862_02e-3 * 6200.0 / 120.0 / 1e3, 0.02);
    assert_eq!(own[0].limit, Limit::MeanPressure);
    assert!(UserLimits::default().mean_pressure(bar_diff(f64::NAN)).is_err());
    assert!(UserLimits::default().exhaust_over_manifold(plain(0.1)).is_err());
}

// Up to its edge the map is a map: only what is met at a higher power of the same engine speed lies beyond it.
#[test]
fn what_is_met_before_an_edge_of_the_map_is_not_beyond_it() {
    let car = Car::demo();
    let mut beyond = 0;
    for (name, housing) in [("B", 0), ("C", 0), ("C", 1)] {
        for fuel in [0, 1] {
            let met = car.met(name, housing, fuel, UserLimits::default());
            let is_edge = |limit| [Limit::Surge, Limit::Choke, Limit::TopSpeedLine].contains(&limit);
            let edge = met.iter().find(|met| is_edge(met.limit)).unwrap();
            for met in &met {
                if met.power <= edge.power {
                    assert!(!met.beyond_map, "{name}: {met:?}");
                } else if met.speed == edge.speed {
                    assert!(met.beyond_map, "{name}: {met:?}");
                    beyond += 1;
                }
            }
        }
    }
    assert!(beyond > 6, "{beyond}");
}

// By hand, choked flow of an ideal gas: 0.96 x pi/4 (34 mm)^2 x 88.25 kPa x 0.6847/sqrt(287.05 x 297.15) is
// 0.1804 kg/s; at 10 hp for a pound of air a minute (common practice, no source) that is some 175 kW.
#[test]
fn a_restrictor_caps_the_power_whatever_the_turbocharger() {
    let car = Car::demo();
    let user = UserLimits::default().restrictor(shaftwork::charge::Restrictor::new(mm(34.0)).unwrap());
    for (name, housing) in [("B", 0), ("C", 1)] {
        let met = car.met(name, housing, 1, user);
        assert_eq!(met[0].limit, Limit::Restrictor, "{met:?}");
        let power = met[0].power.kw();
        assert!((165.0..190.0).contains(&power), "{power}");
    }
}

// Common practice, no source: two units of half the size come alive about where one of the whole size does; two of the same
// unit come alive later and give more.
#[test]
fn two_in_parallel_are_a_larger_one() {
    let car = Car::demo();
    let Study { installation, fuels, target, .. } = &car.study;
    let one = car.candidate("B").clone();
    let two = one.clone().in_parallel().unwrap();
    let speeds: Vec<ShaftSpeed> = (5..=15).map(|k| rpm(500.0 * f64::from(k))).collect();
    let from = |candidate: &Candidate| {
        let turbine = &candidate.housings()[0].turbine;
        let control = Control::manifold(kpa(190.0)).unwrap();
        let line = operating_line(installation, candidate, turbine, &fuels[1], control, &speeds).unwrap();
        match line.threshold.held() {
            Onset::At(speed) => speed.rpm(),
            Onset::Above(speed) => speed.rpm(),
            other => panic!("{other:?}"),
        }
    };
    assert!(from(&two) > 1.3 * from(&one));
    let top = |candidate: &Candidate| {
        let turbine = &candidate.housings()[0].turbine;
        let met = limits_in_order(installation, candidate, turbine, &fuels[1], target);
        power_of(&met.unwrap(), Limit::TopSpeedLine)
    };
    assert!(top(&two).kw() > top(&one).kw());
}

// Common practice, no source: alcohol cures a boost limit set by knock; a larger compressor comes alive later, a
// smaller one earlier; a better cooler gives the same boost limit more air.
#[test]
fn cures_do_what_practice_says() {
    let car = Car::demo();
    let cures = car.cures("B", 0);
    assert_eq!(cures[0].what, "as it is");
    assert_eq!(cures[0].stop, Some(Limit::Boost));
    close(cures[0].gain.si(), 0.0, 0.0);
    assert!(cures[1..].windows(2).all(|pair| pair[0].gain >= pair[1].gain));
    let named = |words: &str| cures.iter().find(|cure| cure.what.contains(words)).unwrap();
    assert!(named("ethanol").gain.kw() > 30.0);
    assert_eq!(cures[1].what, named("ethanol").what, "on pump fuel the fuel is the first cure");
    assert!(named("cooler").gain.kw() > 1.0 && named("cooler").gain.kw() < 20.0);
    assert!(named("back pressure").gain.kw() > 0.0);
    let speed = |cure: &Remedy| match cure.held_from.unwrap() {
        Onset::At(speed) => speed.rpm(),
        other => panic!("{}: {other:?}", cure.what),
    };
    assert!(speed(named("smaller in flow")) < speed(&cures[0]));
    assert!(speed(named("larger in flow")) > speed(&cures[0]));
}
