//! The compressor map: its own points, its edges, its interpolation, its reference conditions.

#[path = "support/maps.rs"]
mod maps;
#[path = "support/reference.rs"]
mod reference;

use maps::{demo, demos, sharp};
use proptest::prelude::*;
use reference::{between, close, close_relative, plain, seeded};
use shaftwork::compressor::{LinePoint, MapEdge, Reading};
use shaftwork::formula::Surface;
use shaftwork::prelude::*;

fn lines(map: &CompressorMap) -> Vec<(CorrectedSpeed, Vec<LinePoint>)> {
    map.points().collect()
}
fn scaled(ratio: PressureRatio, by: f64) -> PressureRatio {
    plain(ratio.si() * by)
}

/// Looks up every given point, the ends of the lines moved inward by 1e-9: they stand on the corner of two
/// edges.
fn every_point_comes_back(map: &CompressorMap) {
    let lines = lines(map);
    let top = lines.len() - 1;
    for (i, (speed, points)) in lines.iter().enumerate() {
        let last = points.len() - 1;
        for (k, point) in points.iter().enumerate() {
            let (across, along) = match k {
                0 if i == top => (1.0, 1.0 - 1e-9),
                0 => (1.0 + 1e-9, 1.0),
                k if k == last && i == 0 => (1.0, 1.0 + 1e-9),
                k if k == last => (1.0 - 1e-9, 1.0),
                _ => (1.0, 1.0),
            };
            let found = map.at_point(point.flow * across, scaled(point.ratio, along));
            let found = found.unwrap_or_else(|outside| panic!("{speed}, point {k}: {outside}"));
            close_relative(found.speed.si(), speed.si(), 1e-6);
            close_relative(found.efficiency.si(), point.efficiency.si(), 1e-6);
        }
    }
}

// The definition of an interpolation: it passes through what it was given. 1e-6 leaves room for the nudge.
#[test]
fn maps_give_back_their_own_points() {
    demos().iter().for_each(every_point_comes_back);
}

#[test]
fn each_edge_is_named_just_outside() {
    for map in demos() {
        let lines = lines(&map);
        let edge = |flow, ratio| map.at_point(flow, ratio).unwrap_err().edge;
        for (speed, points) in &lines {
            let (first, last) = (points[0], points[points.len() - 1]);
            assert_eq!(edge(first.flow * (1.0 - 1e-6), first.ratio), MapEdge::Surge, "{speed}");
            assert_eq!(edge(last.flow * (1.0 + 1e-6), last.ratio), MapEdge::Choke, "{speed}");
        }
        let inner = |line: usize| lines[line].1[1..lines[line].1.len() - 1].iter();
        for point in inner(lines.len() - 1) {
            assert_eq!(edge(point.flow, scaled(point.ratio, 1.0 + 1e-6)), MapEdge::HighestSpeed);
        }
        for point in inner(0) {
            assert_eq!(edge(point.flow, scaled(point.ratio, 1.0 - 1e-6)), MapEdge::LowestSpeed);
        }
        // Far outside the same words hold, and nothing is extrapolated.
        let middle = lines[3].1[4];
        assert_eq!(edge(middle.flow * 0.1, middle.ratio), MapEdge::Surge);
        assert_eq!(edge(middle.flow * 10.0, middle.ratio), MapEdge::Choke);
        assert_eq!(edge(middle.flow, scaled(middle.ratio, 5.0)), MapEdge::HighestSpeed);
        assert_eq!(edge(middle.flow, plain(1.0)), MapEdge::LowestSpeed);
        let outside = map.at_point(middle.flow * 10.0, middle.ratio).unwrap_err();
        assert!(outside.to_string().ends_with("the map is not extrapolated"), "{outside}");
    }
}

#[test]
fn what_is_not_a_number_is_refused() {
    let map = demo("map-b.csv");
    for never in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(map.at_point(corrected_kg_per_s(never), plain(2.0)).is_err());
        assert!(map.on_line(corrected_rpm(never), percent(50.0)).is_none());
        assert!(map.on_line(map.highest_speed(), fraction(never)).is_none());
        assert!(
            map.surface(Reading::Efficiency).at(never, 2.0).0.is_nan()
                && map.surface(Reading::Efficiency).at(0.2, never).0.is_nan()
        );
    }
    assert!(
        map.surface(Reading::Efficiency).at(0.9, 2.0).0.is_nan(),
        "outside the map there is no efficiency"
    );
}

#[test]
fn margins_are_what_their_names_say() {
    for map in demos() {
        // The lowest and highest line are edges themselves.
        let lines = lines(&map);
        for (speed, points) in &lines[1..lines.len() - 1] {
            let (surge, choke) = (points[0], points[points.len() - 1]);
            let position = percent(40.0);
            let point = map.on_line(*speed, position).unwrap();
            let found = map.at_point(point.flow, point.ratio).unwrap();
            let along = surge.ratio.si() / point.ratio.si() * (point.flow / surge.flow) - 1.0;
            close(found.surge.0.si(), along, 1e-6);
            close(found.choke.0.si(), choke.flow / point.flow - 1.0, 1e-6);
            close(found.position.si(), position.si(), 1e-6);
        }
        let greatest = lines.iter().map(|(_, points)| points[8].flow.si()).fold(0.0, f64::max);
        close(map.greatest_flow().si(), greatest, 0.0);
    }
}

#[test]
fn vertical_choke_and_flat_top_have_one_answer() {
    let map = sharp();
    every_point_comes_back(&map);
    let at = |w, pi| map.at_point(corrected_kg_per_s(w), plain(pi));
    // Along the vertical end of the middle line flow and speed stay while the ratio falls.
    for pi in [1.39, 1.35, 1.3, 1.25, 1.21] {
        let point = at(0.16 * (1.0 - 1e-12), pi).unwrap();
        close_relative(point.speed.corrected_krpm(), 100.0, 1e-4);
        between(point.efficiency.si(), 0.50, 0.60);
    }
    // Along the flat top of the middle line the ratio stays while the flow rises.
    for w in [0.082, 0.09, 0.1, 0.109] {
        let point = at(w, 1.8).unwrap();
        close_relative(point.speed.corrected_krpm(), 100.0, 1e-9);
        between(point.efficiency.si(), 0.62, 0.68);
    }
    assert_eq!(at(0.21, 1.25).unwrap_err().edge, MapEdge::Choke);
    assert_eq!(at(0.13, 2.41).unwrap_err().edge, MapEdge::HighestSpeed);
}

/// The map written for another reference and in other units.
fn rewritten(map: &CompressorMap, t: f64, p: f64) -> CompressorMap {
    let [t0, p0] = [map.reference().temperature().kelvin(), map.reference().pressure().kpa()];
    let mut text = format!("# reference temperature: {t} K\n# reference pressure: {p} kPa\n");
    text += "efficiency [%],pressure ratio [-],corrected flow [lb/min],corrected speed [krpm]\n";
    for (speed, points) in map.points() {
        for point in points.iter().rev() {
            let flow = point.flow.corrected_lb_per_min() * (p / p0) / (t / t0).sqrt();
            let speed = speed.corrected_krpm() * (t / t0).sqrt();
            text += &format!("{},{},{flow},{speed}\n", point.efficiency.percent(), point.ratio.si());
        }
    }
    CompressorMap::from_csv_text("rewritten", &text).unwrap()
}

// Similarity: the reference only names the numbers; the machine behind them is the same.
#[test]
fn another_reference_gives_the_same_machine() {
    let inlet = InletState { temperature: deg_c(31.0), pressure: kpa(84.2) };
    for map in demos() {
        let other = rewritten(&map, 302.6, 96.2);
        let (n, steps) = (map.speeds().count(), 7);
        for k in 1..n * steps {
            let speed = map.speeds().next().unwrap()
                + (map.highest_speed() - map.speeds().next().unwrap()) * (k as f64 / (n * steps) as f64);
            let point = map.on_line(speed, percent(5.0 + 90.0 * (k % 13) as f64 / 12.0)).unwrap();
            let flow = inlet.uncorrect(point.flow, map.reference()).unwrap();
            let look = |map: &CompressorMap| {
                let point = map.at_point(inlet.correct(flow, map.reference()).unwrap(), point.ratio).unwrap();
                (map.shaft_speed(&point, &inlet).unwrap().rpm(), point)
            };
            let ((here, a), (there, b)) = (look(&map), look(&other));
            close_relative(there, here, 1e-9);
            close_relative(b.efficiency.si(), a.efficiency.si(), 1e-9);
            close(b.surge.0.si(), a.surge.0.si(), 1e-8);
        }
    }
}

proptest! {
    #![proptest_config(seeded(96))]

    // Between two lines the cubic keeps to what the lines say at the same position, and a point of the map
    // is found again from its flow and ratio.
    #[test]
    fn nothing_overshoots_and_lookups_return(
        which in 0_usize..2, line in 0_usize..6, between_lines in 0.001..0.999_f64, position in 0.01..0.99_f64,
    ) {
        let map = &demos()[which];
        let speeds: Vec<CorrectedSpeed> = map.speeds().collect();
        let speed = speeds[line] + (speeds[line + 1] - speeds[line]) * between_lines;
        let at = |speed| map.on_line(speed, fraction(position)).unwrap();
        let (low, here, high) = (at(speeds[line]), at(speed), at(speeds[line + 1]));
        let room = 1e-12;
        between(here.flow.si(), low.flow.si() - room, high.flow.si() + room);
        between(here.ratio.si(), low.ratio.si() - room, high.ratio.si() + room);
        let [worse, better] =
            [f64::min, f64::max].map(|pick| pick(low.efficiency.si(), high.efficiency.si()));
        between(here.efficiency.si(), worse - room, better + room);
        let found = map.at_point(here.flow, here.ratio).unwrap();
        close_relative(found.speed.si(), speed.si(), 1e-8);
        close(found.position.si(), position, 1e-8);
        close_relative(found.efficiency.si(), here.efficiency.si(), 1e-8);
    }

    // Along a contour of constant ratio, found here by bisection over the speed, the flow rises with
    // position.
    #[test]
    fn flow_rises_along_a_contour(which in 0_usize..2, ratio in 1.15..3.2_f64) {
        let map = &demos()[which];
        let mut before = 0.0;
        for k in 0..=60 {
            let at = |n: f64| map.on_line(CorrectedSpeed::from_si(n).unwrap(), fraction(f64::from(k) / 60.0));
            let (mut low, mut high) = (map.speeds().next().unwrap().si(), map.highest_speed().si());
            let inside = at(low).unwrap().ratio.si() <= ratio && ratio <= at(high).unwrap().ratio.si();
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                if at(middle).unwrap().ratio.si() < ratio { low = middle } else { high = middle }
            }
            if inside {
                let flow = at(high).unwrap().flow.si();
                prop_assert!(flow > before, "{flow} after {before} at {ratio}");
                before = flow;
            }
        }
    }
}
