//! An estimated map in brief: its numbers, the tables of all outputs and the bars of its figure.
#![cfg(feature = "cli")]

#[path = "support/demo.rs"]
mod demo;
#[path = "support/noise.rs"]
mod noise;
#[path = "support/reference.rs"]
mod reference;

use demo::demo;
use noise::Noise;
use reference::{between, close_relative};
use serde_json::Value;
use shaftwork::chart::map_figure;
use shaftwork::compressor::LineInBrief;
use shaftwork::prelude::*;
use shaftwork::report;

fn estimate() -> MapEstimate {
    let reference = Reference::new(kelvin(298.15), kpa(100.0)).unwrap();
    WheelGeometry::builder(mm(46.4), mm(61.0)).blades(6, 6).build().unwrap().estimate(reference).unwrap()
}

#[test]
fn a_line_in_brief_is_the_line() {
    let estimate = estimate();
    let (lines, brief) = (estimate.lines().unwrap(), estimate.in_brief().unwrap());
    assert_eq!((lines.len(), brief.len()), (8, 8));
    for (line, brief) in lines.iter().zip(&brief) {
        assert_eq!((line.speed, line.surge), (brief.speed, brief.surge.flow));
        close_relative(brief.choke.flow.si(), line.choke.si(), 1e-4);
        assert!(line.points.iter().all(|point| point.efficiency <= brief.best.efficiency));
        assert!(brief.surge.ratio > brief.best.ratio && brief.best.ratio > brief.choke.ratio);
    }
}

// Independent method: the spread of 400 seeded draws of all factors against the linear bands of one line.
#[test]
fn its_deviations_are_those_of_draws() {
    let central = estimate();
    let line = central.in_brief().unwrap()[6];
    let mut noise = Noise(11);
    let (mut surge, mut choke, mut efficiency) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..400 {
        let factors =
            Factor::ALL.into_iter().fold(Factors::central(), |all, factor| all.with(factor, noise.normal()));
        let moved = central.clone().with_factors(factors);
        let Ok(found) = moved.line(line.speed) else { continue };
        surge.push(found.surge.si().ln());
        choke.push(found.choke.si().ln());
        efficiency.extend(moved.at(line.speed, line.best.flow).ok().map(|point| point.efficiency.si()));
    }
    assert!(surge.len() > 380 && efficiency.len() > 250, "{} {}", surge.len(), efficiency.len());
    let sigma = |all: &[f64]| {
        let mean = all.iter().sum::<f64>() / all.len() as f64;
        (all.iter().map(|one| (one - mean).powi(2)).sum::<f64>() / all.len() as f64).sqrt()
    };
    // Four standard errors of a deviation from 400 draws are 14 %; surge and choke bend over two and more deviations.
    between(sigma(&surge) / line.surge_sigma.si(), 0.8, 1.25);
    between(sigma(&choke) / line.choke_sigma.si(), 0.8, 1.25);
    // Draws that choke before this flow are missing.
    between(sigma(&efficiency) / line.band.efficiency.si(), 0.6, 1.4);
}

fn of_a() -> Vec<LineInBrief> {
    demo().study.candidates[0].estimated().unwrap().estimate().in_brief().unwrap()
}

#[test]
fn text_page_and_results_have_a_row_for_each_speed_line() {
    let lines = of_a();
    let text = report::text(demo());
    let table = text.split_once("\nESTIMATED MAPS\n").unwrap().1.split_once("\n\n").unwrap().0;
    // Two lines of words, then for each of the two readings a title, a head and the rows.
    assert_eq!(table.lines().count(), 2 + 2 * (2 + lines.len()));
    let page = report::html(demo());
    let part = page.split_once("<h2 id=\"estimated\">").unwrap().1.split_once("<h2 ").unwrap().0;
    assert_eq!(part.matches("<table>").count(), 2);
    assert_eq!(part.matches("<tr>").count(), 2 * (1 + lines.len()));
    let results: Value = serde_json::from_str(&report::json(demo())).unwrap();
    let maps = results["estimated_maps"].as_array().unwrap();
    assert_eq!(maps.len(), 2);
    assert_eq!(maps[0]["candidate"], "A");
    let rows = maps[0]["lines"].as_array().unwrap();
    assert_eq!(rows.len(), lines.len());
    let read = |value: &Value| value["value"].as_f64().unwrap();
    for (row, line) in rows.iter().zip(&lines) {
        let words = [line.speed.to_string(), line.tip_speed.to_string()];
        let shown = table.lines().find(|row| row.trim_start().starts_with(&words[0])).unwrap();
        assert!(shown.contains(&words[1]), "{shown}");
        close_relative(read(&row["best"]["efficiency"]), line.best.efficiency.si(), 1e-9);
        close_relative(read(&row["sigma"]["surge_flow"]), line.surge_sigma.si(), 1e-9);
    }
    // A published map has no such table.
    assert!(!table.contains("B, A/R") && !table.contains("C, A/R"));
}

#[test]
fn only_the_figure_of_an_estimated_map_has_bars() {
    let svg = |candidate: usize| map_figure(demo(), candidate).unwrap().svg().to_string();
    let words = "bars, on every other line: one standard deviation";
    assert!(svg(0).contains(words) && svg(1).contains(words));
    assert!(!svg(2).contains(words) && !svg(3).contains(words));
}
