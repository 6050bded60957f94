//! A turbine map from a file: its points, between them, beyond them, the test gas, and what is wrong with a file.

#[path = "support/reference.rs"]
mod reference;

use proptest::prelude::*;
use reference::{Worst, between, close, close_relative, exhaust, plain, seeded, table};
use shaftwork::gas::heat_capacity_ratio;
use shaftwork::prelude::*;
use shaftwork::turbine as t;
use std::path::Path;

fn demo() -> TurbineMap {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/turbine/demo-map.csv");
    TurbineMap::from_csv(path).unwrap()
}

const FRONT: &str = "# shaftwork-turbine-map: 1\n# title: test\n# reference temperature: 288.15 K\n# reference pressure: \
                     101.325 kPa\n# gamma: 1.4\n# gas constant: 287.05 J/(kg K)\n# efficiency: total to static, of the wheel\n";
const HEAD: &str = "corrected speed [rpm],expansion ratio [-],corrected flow [kg/s],efficiency [-]\n";

/// NASA TN D-5090 as a map: the flows as read from the figure, efficiency by the curve through the report's figure.
fn measured(without: f64) -> TurbineMap {
    let mut text = format!("{FRONT}# wheel: 126.2 mm\n{HEAD}");
    for row in table("turbine-tn-d-5090.csv").iter().filter(|row| row.text("figure") == "flow") {
        let (share, ratio) = (row.number("speed") / 100.0, row.number("x"));
        if row.number("speed") == without {
            continue;
        }
        let ideal = (2.0 * 1004.7 * 288.15 * (1.0 - ratio.powf(-1.0 / 3.5))).sqrt();
        let eta = EfficiencyCurve::default().at(plain(0.8791), plain(share * 196.166 / ideal)).unwrap();
        let flow = lb_per_s(row.number("y")).si();
        text += &format!("{},{ratio},{flow:.6},{:.5}\n", share * 29_687.0, eta.si());
    }
    TurbineMap::from_csv_text("measured", &text).unwrap()
}

#[test]
fn a_map_goes_through_its_points() {
    let map = measured(0.0);
    assert_eq!(map.speeds().count(), 6);
    assert_eq!(map.bearings(), t::BearingLoss::Apart);
    for row in table("turbine-tn-d-5090.csv").iter().filter(|row| row.text("figure") == "flow") {
        let speed = corrected_rpm(row.number("speed") / 100.0 * 29_687.0);
        let reading = map.beyond(t::Beyond::HoldEdge).read(speed, plain(row.number("x"))).unwrap();
        close_relative(reading.flow.si(), lb_per_s(row.number("y")).si(), 1e-5);
    }
}

// NASA TN D-5090 again: one speed line left out, its points found between its neighbours. Straight lines over speed miss the
// bend of the wheel's head: by up to 1 %.
#[test]
fn a_line_left_out_is_found_again() {
    let mut worst = Worst::new();
    let mut count = 0;
    for line in [50.0, 70.0, 90.0, 100.0] {
        let map = measured(line);
        for row in table("turbine-tn-d-5090.csv").iter().filter(|row| row.text("figure") == "flow") {
            if row.number("speed") != line {
                continue;
            }
            let speed = corrected_rpm(line / 100.0 * 29_687.0);
            let Ok(reading) = map.read(speed, plain(row.number("x"))) else { continue };
            count += 1;
            worst.see(
                reading.flow.si() / lb_per_s(row.number("y")).si() - 1.0,
                format!("{line} %, {}", row.number("x")),
            );
        }
    }
    assert!(count >= 16, "{count}");
    worst.holds("a line left out", 0.02);
}

#[test]
fn beyond_the_lines_it_is_refused_or_flagged() {
    let map = demo();
    let says = |speed: f64, ratio: f64| map.read(corrected_rpm(speed), plain(ratio)).unwrap_err().to_string();
    assert_eq!(
        says(80e3, 2.0),
        "turbine::TurbineMap::read: Housing of 17.8 mm (invented for the demonstration) has lines from 30000 to 72000 rpm; \
         80000 rpm is not read"
    );
    assert_eq!(
        says(54e3, 1.3),
        "turbine::TurbineMap::read: Housing of 17.8 mm (invented for the demonstration) at 54000 rpm has expansion ratios \
         from 1.420 to 2.160; 1.300 is not read"
    );
    let held = map.beyond(t::Beyond::HoldEdge);
    let at = |speed: f64, ratio: f64| held.read(corrected_rpm(speed), plain(ratio)).unwrap();
    assert!(!at(54e3, 1.6).extrapolated && at(54e3, 1.3).extrapolated && at(80e3, 2.4).extrapolated);
    assert_eq!(at(54e3, 1.3).flow, at(54e3, 1.42).flow);
    assert_eq!(at(80e3, 2.4).flow, at(72e3, 2.4).flow);
    assert!(map.read(corrected_rpm(f64::NAN), plain(2.0)).is_err());
    // The turbine refuses alike, and reads alike where it was asked to.
    let gas = exhaust();
    let inlet = TurbineInlet {
        pressure: kpa(300.0),
        temperature: kelvin(1173.15),
        ratio: plain(2.0),
        shaft_speed: Some(rpm(170e3)),
    };
    let peak = TurbineEfficiency::with_bearings(plain(0.7));
    let of = |map: TurbineMap| Turbine::from_map(map, percent(3.0)).unwrap().at(&gas, peak, &inlet);
    assert!(of(map).unwrap_err().to_string().contains("has lines from 30000 to 72000 rpm"));
    assert!(of(held).is_ok());
}

// Choked flow on exhaust (gamma 1.3, R 290) over that on air: 0.9695 by the choking constants of compressible-flow tables.
//
#[test]
fn from_cold_air_to_exhaust() {
    let (air, hot) = ((plain(1.4), j_per_kg_k(287.05)), (plain(1.3), j_per_kg_k(290.0)));
    let k = t::test_gas_factor(hot.0, hot.1, air.0, air.1).unwrap();
    close(k.si(), 0.9695, 5e-5);
    let nozzle = |ratio: f64, (g, r): (HeatCapacityRatio, SpecificHeat)| {
        t::nozzle_flow(mm2(500.0), kpa(150.0), kelvin(500.0), plain(ratio), g, r).unwrap().si()
    };
    close_relative(nozzle(3.0, hot), k.si() * nozzle(3.0, air), 1e-12);
    // Below choking the two gases are alike to 0.8 % at the equivalent ratio, and up to 2.6 % apart at the same ratio.
    for ratio in [1.1, 1.3, 1.5, 1.7] {
        let equivalent = t::equivalent_expansion(plain(ratio), hot.0, air.0).unwrap().ratio();
        assert!(equivalent > ratio);
        close_relative(nozzle(ratio, hot), k.si() * nozzle(equivalent, air), 8e-3);
        let same = nozzle(ratio, hot) / (k.si() * nozzle(ratio, air)) - 1.0;
        assert!(same > 0.0 && same < 0.026);
    }
    // The same gas is left alone.
    close(t::test_gas_factor(air.0, air.1, air.0, air.1).unwrap().si(), 1.0, 1e-15);
    close(t::equivalent_expansion(plain(1.7), air.0, air.0).unwrap().ratio(), 1.7, 1e-14);
}

// The map at work on exhaust, step by step with the formulas.
#[test]
fn a_mapped_turbine_at_work() {
    let (gas, map) = (exhaust(), demo());
    let turbine = Turbine::from_map(map, percent(3.0)).unwrap();
    assert_eq!((turbine.map(), turbine.wheel()), (Some(map), Some(mm(60.0))));
    let inlet = TurbineInlet {
        pressure: kpa(210.0),
        temperature: kelvin(1150.0),
        ratio: plain(2.05),
        shaft_speed: Some(rpm(125e3)),
    };
    let peak = TurbineEfficiency::with_bearings(plain(0.5));
    let point = turbine.at(&gas, peak, &inlet).unwrap();
    let (g, r) = (heat_capacity_ratio(&gas, inlet.temperature).unwrap(), gas.gas_constant());
    let (test_g, test_r) = (plain(1.4), j_per_kg_k(287.05));
    let speed =
        t::equivalent_speed(rpm(125e3), inlet.temperature, g, r, kelvin(288.15), test_g, test_r).unwrap();
    let reading = map.read(speed, t::equivalent_expansion(inlet.ratio, g, test_g).unwrap()).unwrap();
    let factor = t::test_gas_factor(g, r, test_g, test_r).unwrap();
    close_relative(
        point.flow.si(),
        reading.flow.si() * factor.si() * (210.0 / 101.325) * (288.15_f64 / 1150.0).sqrt(),
        1e-12,
    );
    // The stated efficiency gives way to the map's.
    close(point.efficiency.si(), reading.efficiency.si(), 0.0);
    // Without a speed: the nozzle that the map's largest flow chokes, and the stated efficiency.
    let bare = turbine.at(&gas, peak, &TurbineInlet { shaft_speed: None, ..inlet }).unwrap();
    assert_eq!(bare.efficiency, plain(0.5));
    between(bare.flow / point.flow, 1.0, 1.3);
    // Its efficiency includes the bearings: given besides, they would count twice.
    let bearings = Bearings::stated(BearingKind::Plain, nms(1e-6), percent(30.0)).unwrap();
    assert!(
        turbine
            .with_bearings(bearings)
            .at(&gas, peak, &inlet)
            .unwrap_err()
            .to_string()
            .contains("count twice")
    );
}

#[test]
fn every_problem_of_a_file_is_named_with_its_place() {
    let says = |text: &str| TurbineMap::from_csv_text("m.csv", text).unwrap_err().to_string();
    let good = "40000,1.3,0.10,0.6\n40000,1.5,0.11,0.6\n40000,1.8,0.12,0.6\n60000,1.5,0.11,0.6\n60000,1.8,0.12,0.6\n\
                60000,2.2,0.13,0.6\n";
    assert!(TurbineMap::from_csv_text("m.csv", &format!("{FRONT}{HEAD}{good}")).is_ok());
    for (text, expected) in [
        (
            format!("{HEAD}{good}"),
            "m.csv: no reference temperature; write \"# reference temperature: 288.15 K\"",
        ),
        (format!("{HEAD}{good}"), "m.csv: no gas constant; write"),
        (format!("{HEAD}{good}"), "m.csv: nothing says whether the efficiency includes the bearings; write"),
        (format!("{FRONT}# flavour: sweet\n{HEAD}{good}"), "m.csv, line 8: unknown key \"flavour\""),
        (
            format!("{FRONT}# gamma: 1.39\n{HEAD}{good}"),
            "m.csv, line 8: \"gamma\" stands a second time (first in line 5)",
        ),
        (
            format!("{}{HEAD}{good}", FRONT.replace("of the wheel", "of the stars")),
            "m.csv, line 7: efficiency \"total to static, of the stars\" is not read",
        ),
        (
            format!("{FRONT}# expansion ratio: total to total\n{HEAD}{good}"),
            "m.csv, line 8: expansion ratio \"total to total\" is not read",
        ),
        (
            format!("{}{HEAD}{good}", FRONT.replace("map: 1", "map: 2")),
            "m.csv, line 1: shaftwork-turbine-map 2 is not read",
        ),
        (
            format!("{}{HEAD}{good}", FRONT.replace("101.325 kPa", "0 kPa")),
            "m.csv: reference pressure 0 kPa is outside 50 to 200 kPa",
        ),
        (format!("{}{HEAD}{good}", FRONT.replace("1.4", "high")), "m.csv, line 5: gamma: "),
        (FRONT.into(), "m.csv: no table; its header names the columns corrected speed, expansion ratio"),
        (
            format!("{FRONT}{}{good}", HEAD.replace("expansion", "pressure")),
            "m.csv, line 8: unknown column \"pressure ratio\"",
        ),
        (
            format!("{FRONT}{}{good}", HEAD.replace("corrected flow [kg/s]", "corrected flow")),
            "m.csv, line 8, column \"corrected flow\": has no unit; write \"corrected flow [kg/s]\"",
        ),
        (
            format!("{FRONT}{}{good}", HEAD.replace("kg/s", "furlong")),
            "m.csv, line 8, column \"corrected flow\": ",
        ),
        (
            format!("{FRONT}{}{good}", HEAD.replace(",efficiency [-]", "")),
            "m.csv, line 8, column \"efficiency\": is missing",
        ),
        (
            format!("{FRONT}{}{good}", HEAD.replace("efficiency [-]", "corrected flow [kg/s]")),
            "m.csv, line 8, column \"corrected flow\": stands twice; keep one",
        ),
        (
            format!("{FRONT}{HEAD}{good}60000,2.4,0.13\n"),
            "m.csv, line 15: has 3 fields where 4 belong; is the file cut off?",
        ),
        (
            format!("{FRONT}{HEAD}{good}60000,2,4,0.13,0.6\n"),
            "m.csv, line 15: has 5 fields where 4 belong; is it a decimal comma?",
        ),
        (
            format!("{FRONT}{HEAD}{good}60000,2.4,x,0.6\n"),
            "m.csv, line 15, column \"corrected flow\": \"x\" is not a number",
        ),
        (
            format!("{FRONT}{HEAD}{good}60000,2.4,NaN,0.6\n"),
            "m.csv, line 15, column \"corrected flow\": is not finite",
        ),
        (
            format!("{FRONT}{HEAD}{good}60000,2.4,0.13,63\n"),
            "m.csv, line 15, column \"efficiency\": is not between 0.01 and 0.95",
        ),
        (
            format!("{FRONT}{HEAD}{good}60000,0.8,0.13,0.6\n"),
            "m.csv, line 15, column \"expansion ratio\": is not between 1 and 12",
        ),
        (
            format!("{FRONT}{HEAD}{good}60000,2.0,0.13,0.6\n"),
            "m.csv, line 15, column \"expansion ratio\": does not rise",
        ),
        (
            format!("{FRONT}{HEAD}{good}60000,2.4,0.12,0.6\n"),
            "m.csv, line 15, column \"corrected flow\": falls by more than 2 %",
        ),
        (
            format!("{FRONT}{HEAD}{good}40000,2.4,0.12,0.6\n"),
            "m.csv, line 15: this speed line already stands from line 9",
        ),
        (
            format!("{FRONT}{HEAD}{good}80000,2.4,0.12,0.6\n"),
            "m.csv, line 15: this speed line has fewer than three points",
        ),
        (
            format!("{FRONT}{HEAD}40000,1.3,0.10,0.6\n40000,1.5,0.11,0.6\n40000,1.8,0.12,0.6\n"),
            "m.csv: has fewer than two speed lines",
        ),
    ] {
        let all = says(&text);
        assert!(all.contains(expected), "{expected}\nis not in\n{all}");
    }
    // All at once.
    let all = says(&format!("{FRONT}{HEAD}{good}60000,2.4,x,63\n60000,y,0.13,0.6\n# sweet: yes\n"));
    assert!(all.contains("line 15") && all.contains("line 16") && all.contains("line 17"), "{all}");
}

proptest! {
    #![proptest_config(seeded(128))]

    // Inside its lines a map stays between its neighbours' figures, rises with the ratio, and its slopes are those of its
    // values (central differences; a joint of two cubics or of two lines between the ends may differ).
    #[test]
    fn a_map_is_orderly(speed in 30.1e3..71.9e3_f64, along in 0.02..0.98_f64, temperature in 1000.0..1200.0_f64) {
        let map = demo();
        let held = map.beyond(t::Beyond::HoldEdge);
        let ends: Vec<f64> = [0, 1].iter().map(|top| {
            let (mut low, mut high) = (1.0, 4.0);
            // Where reading stops being refused, from below and from above.
            let inside = |ratio: f64| map.read(corrected_rpm(speed), plain(ratio)).is_ok();
            let middle = (1..3000).map(|k| 1.0 + f64::from(k) * 1e-3).find(|ratio| inside(*ratio)).unwrap();
            if *top == 0 { high = middle } else { low = middle }
            for _ in 0..60 {
                let half = 0.5 * (low + high);
                if inside(half) == (*top == 0) { high = half } else { low = half }
            }
            0.5 * (low + high)
        }).collect();
        let ratio = ends[0] + along * (ends[1] - ends[0]);
        let here = map.read(corrected_rpm(speed), plain(ratio)).unwrap();
        let next = held.read(corrected_rpm(speed), plain(ratio * 1.01)).unwrap();
        prop_assert!(next.flow >= here.flow);
        prop_assert!(here.flow.si() > 0.08 && here.flow.si() < 0.16);
        prop_assert!(here.efficiency.si() > 0.49 && here.efficiency.si() < 0.70);

        // At work, on exhaust: slopes to shaft speed and ratio.
        let gas = exhaust();
        let turbine = Turbine::from_map(map, percent(3.0)).unwrap();
        let peak = TurbineEfficiency::with_bearings(plain(0.7));
        let (gamma, r) = (heat_capacity_ratio(&gas, kelvin(temperature)).unwrap(), gas.gas_constant());
        let unit = t::equivalent_speed(rad_per_s(1.0), kelvin(temperature), gamma, r, kelvin(288.15), plain(1.4), j_per_kg_k(287.05));
        let shaft = corrected_rpm(speed).si() / unit.unwrap().si();
        let hot = t::equivalent_expansion(plain(ratio), plain(1.4), gamma).unwrap();
        let inlet = |speed: f64, ratio: f64| TurbineInlet {
            pressure: kpa(200.0), temperature: kelvin(temperature), ratio: plain(ratio), shaft_speed: Some(rad_per_s(speed)),
        };
        let slopes = turbine.slopes(&gas, peak, &inlet(shaft, hot.ratio())).unwrap();
        let flow = |speed: f64, ratio: f64| turbine.at(&gas, peak, &inlet(speed, ratio)).unwrap().flow.si();
        let h = 1e-6;
        let by_ratio = (flow(shaft, hot.ratio() * (1.0 + h)) - flow(shaft, hot.ratio() * (1.0 - h))) / (2.0 * h * hot.ratio());
        let by_speed = (flow(shaft * (1.0 + h), hot.ratio()) - flow(shaft * (1.0 - h), hot.ratio())) / (2.0 * h * shaft);
        prop_assert!((slopes.flow.1[2] - by_ratio).abs() < 1e-4 * slopes.flow.0, "{} {by_ratio}", slopes.flow.1[2]);
        prop_assert!((slopes.flow.1[3] - by_speed).abs() * shaft < 1e-4 * slopes.flow.0, "{} {by_speed}", slopes.flow.1[3]);
    }
}
