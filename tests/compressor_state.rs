//! The state of a map at speed and position: its derivatives, its edges, and what follows from it by flow and
//! pressure ratio.

#[path = "support/maps.rs"]
mod maps;
#[path = "support/reference.rs"]
mod reference;

use maps::{MAPS, demo, demos, sharp};
use proptest::prelude::*;
use reference::{close, close_relative, seeded, table};
use shaftwork::compressor::Reading;
use shaftwork::formula::{Dual, Scalar, Surface};
use shaftwork::prelude::*;

fn speed_at(map: &CompressorMap, share: f64) -> f64 {
    let slowest = map.speeds().next().unwrap().si();
    slowest + (map.highest_speed().si() - slowest) * share
}

// data/reference/map-pchip.csv, computed with SciPy 1.16.2 by map-pchip.py: 12 digits are printed.
#[test]
fn values_and_slopes_over_speed_agree_with_scipy() {
    let maps = demos();
    for row in table("map-pchip.csv") {
        let map = &maps[MAPS.iter().position(|name| *name == row.text("map")).unwrap()];
        let speed = corrected_rpm(row.number("speed_rpm")).si();
        let krpm = corrected_rpm(1000.0).si();
        let state = map.state(Dual::<1>::input(speed, 0), Dual::lit(row.number("position")));
        for (k, name) in ["flow_kg_per_s", "ratio", "efficiency"].into_iter().enumerate() {
            close_relative(state[k].re, row.number(name), 1e-10);
        }
        for (k, name) in ["flow_by_krpm", "ratio_by_krpm", "efficiency_by_krpm"].into_iter().enumerate() {
            close(state[k].eps[0] * krpm, row.number(name), 1e-10);
        }
    }
}

#[test]
fn the_state_ends_with_the_map() {
    for map in demos() {
        let (slowest, fastest) = (speed_at(&map, 0.0), speed_at(&map, 1.0));
        let beyond = [
            (slowest * (1.0 - 1e-12), 0.5),
            (fastest * (1.0 + 1e-12), 0.5),
            (fastest, -1e-12),
            (fastest, 1.0 + 1e-12),
            (f64::NAN, 0.5),
            (fastest, f64::NAN),
        ];
        for (n, s) in beyond {
            assert!(map.state(n, s).iter().all(|value| value.is_nan()), "{n} {s}");
            let dual = map.state(Dual::<2>::input(n, 0), Dual::input(s, 1));
            assert!(dual.iter().all(|value| value.re.is_nan()), "{n} {s}");
        }
        assert!(map.surge_end(slowest * 0.99)[0].is_nan() && map.choke_end(fastest * 1.01)[0].is_nan());
        for share in [0.0, 0.3, 0.77, 1.0] {
            let n = speed_at(&map, share);
            for (end, s) in [(map.surge_end(n), 0.0), (map.choke_end(n), 1.0)] {
                for (value, expected) in end.into_iter().zip(map.state(n, s)) {
                    close_relative(value, expected, 1e-14);
                }
            }
        }
    }
}

// A flow of a flat top or of a vertical choke end: the slopes by flow and ratio of the speed lines themselves.
#[test]
fn slopes_on_a_flat_top_and_on_a_vertical_end() {
    let map = sharp();
    let speed = map.surface(Reading::Speed);
    let (_, [by_flow, by_ratio]) = speed.at(0.095, 1.8);
    close(by_flow, 0.0, 1e-6);
    assert!(by_ratio > 0.0, "{by_ratio}");
    let (_, [by_flow, by_ratio]) = speed.at(0.16, 1.3);
    close(by_ratio, 0.0, 1e-6);
    assert!(by_flow > 0.0, "{by_flow}");
}

proptest! {
    #![proptest_config(seeded(128))]

    // Exact derivatives against central differences of the plain numbers, with a chain in front.
    #[test]
    fn derivatives_are_those_of_the_plain_state(
        which in 0_usize..2, share in 0.002..0.998_f64, position in 0.002..0.998_f64,
    ) {
        let map = demo(MAPS[which]);
        let n = speed_at(&map, share);
        let h = [1e-6 * n, 1e-6];
        let exact = map.state(Dual::<2>::input(n, 0), Dual::input(position, 1));
        // Four inputs: speed and position each depend on two of them.
        let chained = map.state(
            Dual::<4>::input(n, 0) + Dual::input(0.0, 2) * 3.0,
            Dual::input(position, 1) + Dual::input(0.0, 2) * 0.2,
        );
        for k in 0..3 {
            let at = |dn: f64, ds: f64| map.state(n + dn, position + ds)[k];
            let by_speed = (at(h[0], 0.0) - at(-h[0], 0.0)) / (2.0 * h[0]);
            let by_position = (at(0.0, h[1]) - at(0.0, -h[1])) / (2.0 * h[1]);
            close_relative(exact[k].re, at(0.0, 0.0), 1e-14);
            // The differences carry the rounding of the values and, across a point of a line, its kink.
            close(exact[k].eps[0] * n, by_speed * n, 1e-5);
            close(exact[k].eps[1], by_position, 1e-5);
            close(chained[k].eps[2], 3.0 * exact[k].eps[0] + 0.2 * exact[k].eps[1], 1e-12);
            prop_assert_eq!(chained[k].eps[3], 0.0);
        }
    }

    // Slopes by flow and pressure ratio against central differences of look-ups, for every reading.
    #[test]
    fn slopes_by_flow_and_ratio_are_those_of_the_look_ups(
        which in 0_usize..2, share in 0.01..0.99_f64, position in 0.02..0.95_f64,
    ) {
        let map = demo(MAPS[which]);
        let [w, pi, _] = map.state(speed_at(&map, share), position);
        for reading in [
            Reading::Efficiency, Reading::Speed, Reading::SurgeFlow, Reading::SurgeRatio, Reading::ChokeFlow,
        ] {
            let surface = map.surface(reading);
            let (value, [by_flow, by_ratio]) = surface.at(w, pi);
            let h = 1e-6;
            let difference = |high: (f64, f64), low: (f64, f64)| {
                (surface.at(high.0, high.1).0 - surface.at(low.0, low.1).0) / (2.0 * h * value)
            };
            close(by_flow * w / value, difference((w * (1.0 + h), pi), (w * (1.0 - h), pi)), 1e-4);
            close(by_ratio * pi / value, difference((w, pi * (1.0 + h)), (w, pi * (1.0 - h))), 1e-4);
        }
    }

    // A place is found again from its flow and ratio, on the rim of the map as well as inside.
    #[test]
    fn places_come_back(which in 0_usize..2, share in 0.0..1.0_f64, position in 0.0..1.0_f64) {
        let map = demo(MAPS[which]);
        let n = speed_at(&map, share);
        let [w, pi, efficiency] = map.state(n, position);
        let found = map.at_point(corrected_kg_per_s(w), PressureRatio::new(pi).unwrap()).unwrap();
        close_relative(found.speed.si(), n, 1e-9);
        close(found.position.si(), position, 1e-9);
        close_relative(found.efficiency.si(), efficiency, 1e-9);
    }
}
