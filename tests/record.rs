//! The record of a result: the same numbers, joined by what they are, down to where they come from.

#[path = "support/reference.rs"]
mod reference;

use reference::Worst;
use shaftwork::record::{Kind, Origin, Record};
use shaftwork::study::{Sizing, Study};
use std::collections::BTreeSet;
use std::sync::OnceLock;

fn sized() -> &'static Sizing {
    static SIZED: OnceLock<Sizing> = OnceLock::new();
    SIZED.get_or_init(|| Study::demo().unwrap().size().unwrap())
}

/// Every record of the demonstration at its target, with its entry and point.
fn records(sizing: &Sizing) -> Vec<(usize, usize, Record)> {
    let mut all = Vec::new();
    for (entry, of) in sizing.entries.iter().enumerate() {
        for (point, (_, found)) in of.judgement.points.iter().enumerate() {
            if found.is_ok() {
                all.push((entry, point, sizing.record_at(entry, point).unwrap()));
            }
        }
    }
    assert!(all.len() > 10, "{}", all.len());
    all
}

#[test]
fn the_record_carries_the_result_to_the_last_bit() {
    let sizing = sized();
    for (entry, point, record) in records(sizing) {
        let found = sizing.entries[entry].judgement.points[point].1.as_ref().unwrap();
        for row in found.rows() {
            let key = row.key;
            let node = record.output(key).unwrap_or_else(|| panic!("{key} has no node in {}", record.title));
            assert_eq!(record.nodes()[node].value.to_bits(), row.value.to_bits(), "{key}, {}", record.title);
            if let Kind::Step { formula, .. } = &record.nodes()[node].kind {
                let wrapped = ["charge::compression_asked"].contains(&formula.name);
                assert!(wrapped || formula.name == row.by, "{key}: {} or {}", formula.name, row.by);
            }
        }
        for margin in &found.margins {
            let key = format!("margin to {}", margin.limit.words());
            let node = record.output(&key).unwrap_or_else(|| panic!("{key} in {}", record.title));
            assert_eq!(record.nodes()[node].value.to_bits(), margin.margin.si().to_bits(), "{key}");
        }
    }
}

/// A wrong wire would join two quantities that are not of a kind.
#[test]
fn every_link_joins_a_quantity_to_an_argument_of_its_kind() {
    let same = |given: &str, asked: &str| {
        given == asked
            // An isentropic change takes the expansion as its pressure ratio.
            || (given, asked) == ("an expansion ratio", "a pressure ratio")
            || (given, asked) == ("a corrected speed of rotation", "a speed of rotation")
    };
    let sizing = sized();
    let mut links = 0;
    for (_, _, record) in records(sizing) {
        for node in record.nodes() {
            let Kind::Step { formula, inputs, .. } = &node.kind else { continue };
            assert_eq!(inputs.len(), formula.arguments.len(), "{}", formula.name);
            for (argument, input) in formula.arguments.iter().zip(inputs) {
                let input =
                    input.unwrap_or_else(|| panic!("{}: {} is a bare constant", formula.name, argument.name));
                let given = &record.nodes()[input];
                assert!(
                    same(given.quantity, argument.quantity),
                    "{} takes {} as {}, which is {}",
                    formula.name,
                    given.words,
                    argument.words,
                    given.quantity
                );
                links += 1;
            }
        }
    }
    assert!(links > 1000, "{links}");
}

#[test]
fn what_was_solved_closes() {
    let sizing = sized();
    let mut worst = Worst::new();
    let mut solved = 0;
    for (_, _, record) in records(sizing) {
        for node in record.nodes() {
            if let Kind::Solved(gap) = &node.kind {
                worst.see(gap.residual, format!("{}, {}", node.words, record.title));
                assert!((1..200).contains(&gap.steps), "{}: {}", node.words, gap.search());
                if let Some([low, high]) = gap.bracket {
                    assert!(low <= node.value && node.value <= high, "{}: {}", node.words, gap.search());
                }
                solved += 1;
            }
        }
    }
    assert!(solved > 30, "{solved}");
    worst.holds("gaps", 1e-9);
}

#[test]
fn every_input_says_where_it_comes_from() {
    let sizing = sized();
    for (_, _, record) in records(sizing) {
        for node in record.nodes() {
            let Kind::Given(given) = &node.kind else { continue };
            assert!(given.origin != Origin::Code, "{} ({})", given.key, record.title);
        }
    }
}

/// Along the relations alone, each hop from a number to one it was made from.
#[test]
fn brake_power_leads_down_to_measured_inputs_in_few_hops() {
    let sizing = sized();
    let mut hops = Vec::new();
    for entry in 0..sizing.entries.len() {
        let Some(record) = sizing.record_of_most(entry).unwrap() else { continue };
        let power = record.output("power").unwrap();
        if record
            .input("engine.torque_limit")
            .is_some_and(|limit| record.indices_below(power).contains(&limit))
        {
            // Stopped by the torque limit, the power is that torque times a speed that was asked for.
            continue;
        }
        let mut nearest = usize::MAX;
        for index in record.indices_below(power) {
            let Kind::Given(given) = &record.nodes()[index].kind else { continue };
            if given.origin.grade() == "measured" {
                let way = record.shortest_way_down(power, index).unwrap();
                assert!(way.windows(2).all(|pair| record.nodes()[pair[0]].from.contains(&pair[1])));
                nearest = nearest.min(way.len() - 1);
                hops.push(way.len() - 1);
            }
        }
        assert!((1..6).contains(&nearest), "{nearest} hops in {}", record.title);
        assert!(record.grades(power).iter().any(|(grade, count)| grade == "measured" && *count > 5));
    }
    let near = hops.iter().filter(|hops| **hops < 10).count();
    let longest = hops.iter().max().unwrap();
    println!("{near} of {} ways down are shorter than ten hops, the longest has {longest}", hops.len());
    assert!(hops.len() > 50 && near * 10 >= hops.len() * 9, "{near} of {}", hops.len());
}

/// One input changed: the numbers that move are those that the record says depend on it, no more and no fewer.
#[test]
fn the_numbers_that_move_are_those_that_depend() {
    let before = sized();
    let text = &before.study.files[0].text;
    let cases = [
        (
            "engine.torque_limit",
            "torque_limit = { value = \"390 N m\"",
            "torque_limit = { value = \"391 N m\"",
        ),
        ("cooler.effectiveness", "effectiveness = { value = 0.75", "effectiveness = { value = 0.751"),
        (
            "exhaust.back_pressure",
            "back_pressure = { value = \"9 kPa\"",
            "back_pressure = { value = \"9.01 kPa\"",
        ),
    ];
    for (key, old, new) in cases {
        assert!(text.contains(old), "{old}");
        let mut files = before.study.files.clone();
        files[0].text = text.replace(old, new);
        let after = Study::from_texts(&files).unwrap().size().unwrap();
        let (mut compared, mut moved_at_all) = (0, 0);
        for (entry, point, record) in records(before) {
            let Ok(again) = after.record_at(entry, point) else { continue };
            let input = record.input(key).unwrap_or_else(|| panic!("{key} in {}", record.title));
            let depends: BTreeSet<&str> = record.dependents(input).into_iter().collect();
            for output in record.outputs() {
                let now = again.nodes()[again.output(&output.key).unwrap()].value;
                let then = record.nodes()[output.node].value;
                // What was solved is settled to about 1e-10; a margin may pass through zero.
                let size = if output.key.starts_with("margin") || output.key == "wastegate" {
                    1.0
                } else {
                    then.abs()
                };
                let moved = (now - then).abs() > 1e-9 * size;
                let says = depends.contains(output.key.as_str());
                assert_eq!(
                    moved, says,
                    "{key}: {} went from {then} to {now} in {}",
                    output.key, record.title
                );
                compared += 1;
                moved_at_all += usize::from(moved);
            }
        }
        assert!(compared > 300 && moved_at_all > 10, "{key}: {moved_at_all} of {compared}");
    }
}

#[test]
fn the_most_power_closes_on_the_limit_that_stops_it() {
    let mut files = sized().study.files.clone();
    let wide = files[0].text.replace("value = \"390 N m\"", "value = \"480 N m\"");
    let wide = wide.replace("[exhaust]\n", "[exhaust]\nmost_expansion = 4.5\n");
    assert_ne!(wide, files[0].text);
    files[0].text = wide;
    let sizing = Study::from_texts(&files).unwrap().size().unwrap();
    let mut seen = 0;
    for (entry, of) in sizing.entries.iter().enumerate() {
        let most = &of.judgement.most;
        let Some(record) = sizing.record_of_most(entry).unwrap() else { continue };
        let Some(stop) = &most.stop else { continue };
        let Kind::Solved(gap) = &record.nodes()[record.output("power").unwrap()].kind else {
            panic!("{}: the power is not solved for", record.title)
        };
        assert!(gap.words.contains(stop.limit.words()), "{}", gap.words);
        // The search ends within 1e-6 of the target's power; at an edge of a map the last point that is
        // found may lie a little further inside.
        if gap.sides.0.is_some() {
            assert!(gap.residual.abs() < 3e-3, "{}: {:e}", record.title, gap.residual);
            seen += 1;
        }
    }
    assert!(seen > 5, "{seen}");
}

#[test]
fn a_name_that_is_not_there_is_answered_with_those_that_are() {
    let says = sized().record_at_target("D", "95 RON E10").unwrap_err().to_string();
    assert!(says.contains("no \"D\" on \"95 RON E10\"; candidates are A, B, C; fuels are"), "{says}");
    let record = sized().record_at_target("B", "95 RON E10").unwrap();
    let says = record.down("horses", 1).unwrap_err().to_string();
    assert!(says.contains("no \"horses\"; it has corrected_speed, shaft_speed"), "{says}");
}
