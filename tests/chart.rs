//! Figures: contours on their level, words off each other, axes with their units, bands, names, refusals.

#[path = "support/demo.rs"]
mod demo;
#[path = "support/picture.rs"]
mod picture;
#[path = "support/reference.rs"]
mod reference;

use demo::demo;
use picture::{Element, elements, texts};
use reference::{Worst, between, close, plain};
use shaftwork::chart::{Figure, FigureError, bare_map_figure};
use shaftwork::compressor::LinePoint;
use shaftwork::prelude::*;
use shaftwork::study::Entry;
use std::path::Path;
use std::sync::OnceLock;

/// The figures are drawn eight times as large as they are shown.
const PIXEL: f64 = 8.0;

fn demo_maps() -> [CompressorMap; 2] {
    ["map-b.csv", "map-c.csv"].map(|name| {
        CompressorMap::from_csv(Path::new(env!("CARGO_MANIFEST_DIR")).join("data/demo").join(name)).unwrap()
    })
}

/// An invented map: at each share `n` of 100 000 rpm, nine points from surge (s = 0) to choke (s = 1).
fn invented(speeds: impl IntoIterator<Item = f64>, efficiency: impl Fn(f64, f64) -> f64) -> CompressorMap {
    let mut text = "# shaftwork-map: 1\n# title: invented <for> this & that\n# reference temperature: 298.15 K\n\
         # reference pressure: 100 kPa\n# pressure ratio: total to total\n# efficiency: isentropic, total to total\n\
         # provenance: invented\ncorrected speed [rpm],corrected flow [kg/s],pressure ratio [-],efficiency [-]\n"
        .to_string();
    for n in speeds {
        for s in (0..9).map(|k| f64::from(k) / 8.0) {
            let (flow, ratio) = (n * (0.3 + 0.5 * s), 1.0 + 2.5 * n * n * (1.0 - 0.5 * s * s * s));
            text += &format!("{},{flow},{ratio},{}\n", n * 1e5, efficiency(n, s));
        }
    }
    CompressorMap::from_csv_text("invented.csv", &text).unwrap_or_else(|problems| panic!("{problems}"))
}
fn hill(n: f64, s: f64) -> f64 {
    0.78 - 0.5 * (s - 0.5).powi(2) - 0.3 * (n - 0.7).powi(2)
}
fn forty() -> CompressorMap {
    invented((0..40).map(|k| 0.4 + 0.02 * f64::from(k)), hill)
}

fn middle(a: &LinePoint, b: &LinePoint, share: f64) -> LinePoint {
    let mix = |a: f64, b: f64| a + share * (b - a);
    LinePoint {
        flow: plain(mix(a.flow.si(), b.flow.si())),
        ratio: plain(mix(a.ratio.si(), b.ratio.si())),
        efficiency: a.efficiency,
    }
}
fn levels(from: u32, to: u32) -> impl Iterator<Item = Efficiency> {
    (from..to).map(|k| plain(f64::from(k) / 100.0))
}

// The map is asked back, at each point and half way to the next. 0.002 is what an eye can read off; the
// points themselves come out to 1e-6, which the ends moved inward by a millionth allow.
#[test]
fn contours_lie_inside_the_map_and_on_their_level() {
    let (mut given, mut half_way, mut seen) = (Worst::new(), Worst::new(), 0);
    for map in demo_maps().into_iter().chain([invented([0.5, 0.7, 0.9, 1.0], hill)]) {
        for level in levels(52, 80) {
            for line in map.contours(level) {
                for pair in line.windows(2).filter(|pair| pair[0] != pair[1]) {
                    for share in [1e-6, 0.5, 1.0 - 1e-6] {
                        let at = middle(&pair[0], &pair[1], share);
                        let found = map.at_point(at.flow, at.ratio);
                        let off = found.map_or(f64::NAN, |found| found.efficiency.si() - level.si());
                        let worst = if share == 0.5 { &mut half_way } else { &mut given };
                        worst.see(off, format!("{} at {level}, flow {}", map.title(), at.flow));
                        seen += 1;
                    }
                }
            }
        }
    }
    assert!(seen > 5_000, "{seen}");
    given.holds("points", 1e-5);
    half_way.holds("half way", 0.002);
}

// Where efficiency is linear in speed alone, a monotone cubic through three equal steps is that line, and
// the contour is the line of one speed, from surge to choke.
#[test]
fn a_contour_of_a_known_map_is_where_it_must_be() {
    let map = invented([0.6, 0.8, 1.0], |n, _| 0.3 + 0.5 * n);
    let lines = map.contours(plain(0.65));
    assert_eq!(lines.len(), 1);
    let line = &lines[0];
    for end in [&line[0], &line[line.len() - 1]] {
        let ends = [0.0, 1.0].map(|s| map.on_line(rpm_corrected(70_000.0), plain(s)).unwrap().flow.si());
        assert!(ends.iter().any(|flow| (end.flow.si() - flow).abs() < 1e-9), "{}", end.flow);
    }
    for point in &line[1..line.len() - 1] {
        let found = map.at_point(point.flow, point.ratio).unwrap();
        close(found.speed.si() / rpm_corrected(70_000.0).si(), 1.0, 1e-6);
    }
}
fn rpm_corrected(rpm: f64) -> CorrectedSpeed {
    shaftwork::quantity::units::corrected_rpm(rpm)
}

// One hill in the middle: a closed line near its top, two open ones lower down, none above it.
#[test]
fn contours_close_around_a_hill_and_end_at_the_edge() {
    let map =
        invented([0.5, 0.6, 0.7, 0.8, 0.9], |n, s| 0.78 - 0.5 * (s - 0.5).powi(2) - 2.0 * (n - 0.7).powi(2));
    let top = map.contours(plain(0.76));
    assert_eq!(top.len(), 1);
    assert_eq!(top[0].first(), top[0].last());
    // 0.78 - 0.5 (s - 0.5)^2 is 0.70 at s = 0.1 and 0.9 where n = 0.7, and at no s where n is 0.5 or 0.9.
    let low = map.contours(plain(0.70));
    assert_eq!(low.len(), 1);
    assert_eq!(low[0].first(), low[0].last());
    let lower = map.contours(plain(0.68));
    assert!(!lower.is_empty() && lower.iter().all(|line| line.first() != line.last()));
    assert!(map.contours(plain(0.79)).is_empty() && map.contours(plain(0.3)).is_empty());
    assert!(invented([0.5, 0.7], |_, _| 0.7).contours(plain(0.7)).is_empty());
}

fn curve(name: &str) -> Curve {
    Curve::sampled_with_band(name, [0.0, 10.0], |x| -> Result<[f64; 3], FormulaError> {
        let y = 2.0 + (x / 3.0).sin();
        Ok([y - 0.1 - 0.1 * x, y, y + 0.05 + 0.2 * x])
    })
}
fn some_curves(count: usize) -> Figure {
    let all: Vec<Curve> = (0..count).map(|k| curve(&format!("curve number {k}"))).collect();
    curves("Curves", "engine speed, 1000 rpm", "flow, kg/s", &all).unwrap()
}
const BUDGET: [(&str, f64); 5] = [
    ("turbine inlet temperature", 14.2),
    ("work factor", -12.7),
    ("effective area of the turbine, from area over radius alone", 9.31),
    ("friction", -0.52),
    ("nothing", 0.0),
];
fn budget() -> Figure {
    bars("What moves the most power", "change of the most power, kW", &BUDGET).unwrap()
}

fn every_figure() -> &'static [Figure] {
    static ALL: OnceLock<Vec<Figure>> = OnceLock::new();
    ALL.get_or_init(draw_every_figure)
}
fn draw_every_figure() -> Vec<Figure> {
    let mut figures: Vec<Figure> = demo_maps().iter().map(|map| bare_map_figure(map).unwrap()).collect();
    figures.extend([1, 2, 3].map(|candidate| map_figure(demo(), candidate).unwrap()));
    let odd = [
        forty(),
        invented([0.6, 1.0], hill),
        invented([0.5, 0.7], |_, _| 0.7),
        invented([0.5, 0.6, 0.7, 0.8, 0.9, 1.0], |n, s| 0.65 + 0.8 * (s - 0.5) * (n - 0.75)),
        invented([0.5, 0.7, 0.9], |_, s| 0.8 - 0.7 * s.powi(6)),
    ];
    figures.extend(odd.iter().map(|map| bare_map_figure(map).unwrap()));
    let flat = |y: f64| move |k: i32| Curve::new(format!("curve {k}"), vec![(0.0, 0.0), (1.0, y)]);
    let crowd = |y: f64| (0..20).map(flat(y)).collect::<Vec<_>>();
    let crowded = [1.0, -1.0].map(|y| curves("Crowd", "time, s", "flow, kg/s", &crowd(y)).unwrap());
    figures.extend(crowded);
    figures.extend([some_curves(1), some_curves(9), budget()]);
    figures
}

fn page(svg: &str) -> [f64; 2] {
    let root = elements(svg).into_iter().next().unwrap();
    let view: Vec<f64> = root.get("viewBox").split(' ').map(|n| n.parse().unwrap()).collect();
    [view[2], view[3]]
}

#[test]
fn words_stand_on_the_page_and_off_each_other() {
    for figure in every_figure() {
        let [wide, high] = page(figure.svg());
        let words: Vec<Element> =
            texts(figure.svg()).into_iter().filter(|element| !element.text.is_empty()).collect();
        assert!(words.len() > 8, "{}", figure.title());
        for (index, word) in words.iter().enumerate() {
            let [left, top, right, bottom] = word.area();
            let inside = left >= 0.0 && top >= 0.0 && right <= wide && bottom <= high;
            assert!(inside, "{}: \"{}\" leaves the page", figure.title(), word.text);
            for other in &words[index + 1..] {
                let [l, t, r, b] = other.area();
                let apart = right <= l || r <= left || bottom <= t || b <= top;
                assert!(apart, "{}: \"{}\" and \"{}\"", figure.title(), word.text, other.text);
            }
        }
    }
}

#[test]
fn words_on_a_map_stand_off_its_thick_lines() {
    for figure in every_figure() {
        let lines: Vec<Vec<(f64, f64)>> = elements(figure.svg())
            .iter()
            .filter(|e| e.name == "polyline" && e.number("stroke-width") >= 2.0 * PIXEL)
            .map(Element::points)
            .collect();
        let on_map = |word: &&Element| word.text.ends_with('%') || word.text.ends_with(" line");
        for word in texts(figure.svg()).iter().filter(on_map) {
            let [left, top, right, bottom] = word.area();
            let inside = |(x, y): (f64, f64)| left < x && x < right && top < y && y < bottom;
            for pair in lines.iter().flat_map(|line| line.windows(2)) {
                let at = |k: i32| {
                    let share = f64::from(k) / 20.0;
                    (pair[0].0 + share * (pair[1].0 - pair[0].0), pair[0].1 + share * (pair[1].1 - pair[0].1))
                };
                assert!(!(0..=20).map(at).any(inside), "{}: {}", figure.title(), word.text);
            }
        }
    }
}

#[test]
fn a_map_names_its_levels_lines_and_speeds() {
    for (map, (best, from)) in demo_maps().iter().zip([("best 77.2 %", 73), ("best 78.2 %", 74)]) {
        let figure = bare_map_figure(map).unwrap();
        let words: Vec<String> = texts(figure.svg()).into_iter().map(|word| word.text).collect();
        let has = |text: &str| assert!(words.iter().any(|word| word == text), "{text} in {words:?}");
        ["surge line", "choke line", best, "65 %", "70 %", "76 %"].iter().for_each(|text| has(text));
        let lines = "thick lines: corrected speed; thin lines: isentropic efficiency, total to total";
        has(&format!("{lines}, 5 % apart, 1 % from {from} % on"));
        let speeds: Vec<f64> = map.speeds().map(|speed| speed.corrected_rpm().round()).collect();
        let shown = words.iter().filter_map(|w| w.trim_end_matches(" rpm").replace(' ', "").parse().ok());
        let shown: Vec<f64> = shown.filter(|number: &f64| *number > 1e4).collect();
        assert_eq!(shown.len(), speeds.len());
        assert!(speeds.iter().all(|speed| shown.contains(speed)), "{shown:?}");
    }
}

// The pound is 0.45359237 kg by definition: a mark of the upper axis stands at that many kg/s on the lower.
#[test]
fn both_axes_of_a_map_agree_and_name_their_units() {
    for map in demo_maps() {
        let figure = bare_map_figure(&map).unwrap();
        let words = texts(figure.svg());
        let starts = |text: &str| assert!(words.iter().any(|word| word.text.starts_with(text)), "{text}");
        starts("corrected flow, kg/s (to 2");
        starts("corrected flow, lb/min");
        starts("pressure ratio, total to total (dimensionless)");
        let marks = |below: bool| -> Vec<(f64, f64)> {
            let half = 0.5 * page(figure.svg())[1];
            let numbers =
                words.iter().filter(|w| w.get("text-anchor") == "middle" && (w.number("y") > half) == below);
            numbers.filter_map(|w| Some((w.text.parse().ok()?, w.number("x")))).collect()
        };
        let (kilograms, pounds) = (marks(true), marks(false));
        assert!(kilograms.len() >= 4 && pounds.len() >= 4, "{kilograms:?} {pounds:?}");
        let (first, last) = (kilograms[0], kilograms[kilograms.len() - 1]);
        let here = |x: f64| first.0 + (x - first.1) / (last.1 - first.1) * (last.0 - first.0);
        let pixel = here(first.1 + PIXEL) - first.0;
        for (value, x) in pounds {
            close(here(x), value * 0.453_592_37 / 60.0, 0.5 * pixel);
        }
    }
}

#[test]
fn every_line_of_a_candidate_is_named() {
    for (candidate, numbers) in [(2, 2), (3, 3)] {
        let figure = map_figure(demo(), candidate).unwrap();
        let words: Vec<String> = texts(figure.svg()).into_iter().map(|word| word.text).collect();
        for fuel in &demo().study.fuels {
            let name = fuel.fuel.name();
            let row = |power: &str| words.iter().any(|word| word.contains(name) && word.contains(power));
            assert!(row(": most, ") && row(": target, 245 kW"), "{name} in {words:?}");
        }
        for number in 1..=numbers {
            // Once in the list, once at the line.
            let count = words.iter().filter(|word| **word == number.to_string()).count();
            assert!(count >= 2, "{number} stands {count} times");
        }
        assert!(words.iter().any(|word| word.contains("6200 rpm (dark) to 7200 rpm (light)")));
    }
    let estimated = texts(map_figure(demo(), 0).unwrap().svg()).into_iter().map(|word| word.text);
    assert!(estimated.into_iter().any(|word| word.contains("A, inducer 46.4 mm, estimated map")));
    assert!(map_figure(demo(), 99).unwrap_err().to_string().contains("no such candidate"));
}

// Shade alone says engine speed: in grey, the strokes tell the lines apart.
#[test]
fn each_operating_line_has_its_own_strokes() {
    let figure = map_figure(&with_more_lines(0), 3).unwrap();
    let drawn = elements(figure.svg());
    let mut numbers: Vec<_> = texts(figure.svg())
        .into_iter()
        .filter(|w| w.get("text-anchor") == "start" && w.text.len() == 1)
        .collect();
    // Lines drawn as one have a row each, with one number, and their strokes in the first.
    numbers.dedup_by_key(|word| word.text.clone());
    let strokes = |y: f64| -> Vec<i64> {
        let lines = drawn.iter().filter(|e| e.name == "polyline").map(Element::points);
        let row = lines.filter(|line| line.iter().all(|(x, at)| *at == y && *x < 80.0 * PIXEL));
        row.flatten().map(|(x, _)| x as i64).collect()
    };
    let all: Vec<Vec<i64>> = numbers.iter().map(|number| strokes(number.number("y"))).collect();
    assert!((4..=6).contains(&all.len()), "{}", all.len());
    for (index, line) in all.iter().enumerate() {
        assert!(!line.is_empty() && !all[index + 1..].contains(line), "line {}", index + 1);
    }
}

/// The demonstration with more lines on candidate C, so far apart that each must be told from the others.
fn with_more_lines(count: u32) -> shaftwork::study::Sizing {
    let mut sizing = demo().clone();
    let entries: Vec<Entry> = sizing.entries.iter().filter(|entry| entry.candidate == 3).cloned().collect();
    for step in 1..=count {
        for mut entry in entries.clone() {
            for point in &mut entry.judgement.most_line {
                point.flow = point.flow * (1.0 - 0.05 * f64::from(step));
            }
            sizing.entries.push(entry);
        }
    }
    sizing
}

#[test]
fn more_lines_than_can_be_told_apart_become_a_map_for_each_housing() {
    let titles = |svg: &str| -> Vec<String> {
        elements(svg).into_iter().filter(|e| e.name == "title").map(|e| e.text).collect()
    };
    assert_eq!(titles(map_figure(&with_more_lines(0), 3).unwrap().svg()).len(), 1);
    let figure = map_figure(&with_more_lines(4), 3).unwrap();
    let titles = titles(figure.svg());
    assert_eq!(titles.len(), 3, "{titles:?}");
    assert!(titles[1].contains("A/R 20.8 mm") && titles[2].contains("A/R 26.9 mm"), "{titles:?}");
}

#[test]
fn an_operating_line_outside_the_map_is_thin_and_one_without_numbers_is_refused() {
    let mut sizing = demo().clone();
    let entry = sizing.entries.iter_mut().find(|entry| entry.candidate == 2).unwrap();
    for point in &mut entry.judgement.most_line {
        (point.inside, point.flow) = (false, point.flow * 2.0);
    }
    let figure = map_figure(&sizing, 2).unwrap();
    assert!(texts(figure.svg()).iter().any(|word| word.text.contains("thin where outside the map")));
    let entry = sizing.entries.iter_mut().find(|entry| entry.candidate == 2).unwrap();
    entry.judgement.most_line[3].flow = CorrectedMassFlow::from_si_unchecked(f64::NAN);
    let error = map_figure(&sizing, 2).unwrap_err();
    assert!(error.to_string().contains("not a finite number"), "{error}");
    // A line of one point and a line of none are no fault.
    let entry = sizing.entries.iter_mut().find(|entry| entry.candidate == 2).unwrap();
    entry.judgement.most_line.truncate(1);
    entry.judgement.line.clear();
    assert!(map_figure(&sizing, 2).is_ok());
}

fn inside(polygon: &[(f64, f64)], (x, y): (f64, f64)) -> bool {
    let sides = (0..polygon.len()).map(|i| (polygon[i], polygon[(i + 1) % polygon.len()]));
    let crossed =
        sides.filter(|(a, b)| (a.1 > y) != (b.1 > y) && x < a.0 + (y - a.1) / (b.1 - a.1) * (b.0 - a.0));
    crossed.count() % 2 == 1
}

#[test]
fn a_band_encloses_its_curve_and_stays_in_the_panel() {
    let figure = some_curves(1);
    let all = elements(figure.svg());
    let bands: Vec<_> = all.iter().filter(|e| e.name == "polygon").map(Element::points).collect();
    let drawn =
        all.iter().filter(|e| e.name == "polyline").map(Element::points).max_by_key(Vec::len).unwrap();
    assert_eq!((bands.len(), drawn.len()), (1, 61));
    // The first and last point stand on the band's own ends.
    for point in &drawn[1..60] {
        assert!(inside(&bands[0], *point), "{point:?}");
    }
    let [wide, high] = page(figure.svg());
    assert!(bands[0].iter().all(|(x, y)| (0.0..wide).contains(x) && (36.0 * PIXEL..high).contains(y)));
}

#[test]
fn curves_refuse_what_cannot_be_drawn() {
    let draw = |curve: Curve| curves("t", "time, s", "flow, kg/s", &[curve]).map(|_| ());
    let refused = |result: Result<(), FigureError>, words: &str| {
        let error = result.unwrap_err().to_string();
        assert!(error.contains(words), "{error}");
    };
    let points = vec![(0.0, 1.0), (1.0, 2.0)];
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        refused(draw(Curve::new("a", vec![(0.0, 1.0), (1.0, bad)])), "curve \"a\": a point is not a finite");
        refused(draw(Curve::new("a", vec![(bad, 1.0)])), "not a finite number");
        let band = vec![[0.0, 2.0], [bad, 3.0]];
        refused(draw(Curve::new("a", points.clone()).with_band(band)), "not a finite number");
    }
    refused(draw(Curve::new("a", points.clone()).with_band(vec![[0.0, 2.0]])), "as many values");
    refused(draw(Curve::new("a", points.clone()).with_band(vec![[0.0, 2.0], [2.1, 3.0]])), "leaves its band");
    refused(draw(Curve::new("a", points.clone()).with_band(vec![[2.0, 0.0], [1.0, 3.0]])), "leaves its band");
    refused(draw(Curve::new("a", vec![])), "no curve has a point");
    refused(curves("t", "time, s", "flow, kg/s", &[]).map(|_| ()), "no curve has a point");
    refused(curves("t", "time, s", "flow, kg/s", &vec![curve("a"); 21]).map(|_| ()), "21 curves");
    refused(curves("t", " ", "flow, kg/s", &[curve("a")]).map(|_| ()), "quantity and unit");
    refused(curves("t", "time, s", "", &[curve("a")]).map(|_| ()), "quantity and unit");
    refused(draw(Curve::new("a", vec![(0.0, -1e308), (1.0, 1e308)])), "cannot run");
    for fine in [
        vec![(3.0, 0.002)],
        vec![(0.0, 0.0), (0.0, 0.0)],
        vec![(0.0, 2e-9), (1e-12, 3e-9)],
        vec![(1e9, 5.0), (2e9, 5.0)],
    ] {
        draw(Curve::new("a", fine)).unwrap();
    }
}

#[test]
fn marks_of_an_axis_differ_from_each_other() {
    for span in [1e-5, 0.003, 0.07, 0.9, 1.0, 1.4, 3.0, 23.0, 410.0, 9_999.0, 3e6, 4e12] {
        let figure =
            curves("t", "time, s", "flow, kg/s", &[Curve::new("a", vec![(0.0, 0.0), (span, span)])]).unwrap();
        let marks = |anchor: &str| {
            let words = texts(figure.svg()).into_iter().filter(|w| w.get("text-anchor") == anchor);
            words.filter(|w| w.text.parse::<f64>().is_ok()).map(|w| w.text).collect::<Vec<_>>()
        };
        for marks in [marks("middle"), marks("end")] {
            let mut unlike = marks.clone();
            unlike.sort();
            unlike.dedup();
            assert!(marks.len() >= 3 && unlike.len() == marks.len(), "{span}: {marks:?}");
        }
    }
}

#[test]
fn bars_have_the_length_of_their_value_and_its_number() {
    let figure = budget();
    let all = elements(figure.svg());
    let shown: Vec<String> = texts(figure.svg()).into_iter().map(|word| word.text).collect();
    for value in ["+14.2", "-12.7", "+9.31", "-0.520", "0", "change of the most power, kW"] {
        assert!(shown.iter().any(|word| word == value), "{value} in {shown:?}");
    }
    let bar: Vec<(f64, f64)> = all
        .iter()
        .filter(|e| e.name == "rect" && e.number("height") < 20.0 * PIXEL)
        .map(|e| (e.number("x"), e.number("width")))
        .collect();
    assert_eq!(bar.len(), BUDGET.len());
    let scale = bar[0].1 / BUDGET[0].1;
    for ((_, value), (left, width)) in BUDGET.iter().zip(&bar) {
        close(*width, scale * value.abs(), 0.5 * PIXEL);
        // All meet at zero: those above begin there, those below end there.
        close(if *value < 0.0 { left + width } else { *left }, bar[0].0, 0.5 * PIXEL);
    }
}

#[test]
fn bars_refuse_what_cannot_be_drawn() {
    let none: [(&str, f64); 0] = [];
    assert!(bars("t", "mass, kg", &none).unwrap_err().to_string().contains("1 to 200"));
    assert!(bars("t", "mass, kg", &vec![("a", 1.0); 201]).is_err());
    for bad in [f64::NAN, f64::INFINITY] {
        let error = bars("t", "mass, kg", &[("a", 1.0), ("b", bad)]).unwrap_err();
        assert!(error.to_string().contains("\"b\" is not a finite number"), "{error}");
    }
    assert!(bars("t", "", &[("a", 1.0)]).unwrap_err().to_string().contains("quantity and unit"));
    assert!(bars("t", "mass, kg", &[("a", -1e308), ("b", 1e308)]).is_err());
    for fine in [0.0, -3.0, 1e-30, 1e300] {
        bars("t", "mass, kg", &[("a", fine)]).unwrap();
    }
}

// Names come from files: they must neither open a tag nor break the document.
#[test]
fn names_are_escaped() {
    let name = "<script>alert('1')</script> & \"so\"\u{1b}[0m\u{0}";
    let curve = Curve { name: name.into(), ..curve("") };
    let figures = [
        curves(name, name, name, &[curve]).unwrap(),
        bars(name, name, &[(name, 1.0)]).unwrap(),
        bare_map_figure(&invented([0.6, 1.0], hill)).unwrap(),
    ];
    for figure in figures.iter().chain([&Gallery::new(figures.clone()).joined().unwrap()]) {
        let svg = figure.svg();
        assert!(!svg.contains("<script") && !svg.contains(['\u{0}', '\u{1b}']), "{svg}");
        assert!(!svg.contains("& ") && !svg.contains("<for>"));
        assert_eq!(svg.matches("<svg").count(), svg.matches("</svg>").count());
        assert!(svg.starts_with("<!-- shaftwork -->\n<svg "));
    }
    assert!(texts(figures[0].svg()).iter().any(|word| word.text.contains("<script>alert('1')</script> &")));
}

#[test]
fn a_gallery_holds_every_figure_at_its_size_and_none_over_another() {
    let figures = [some_curves(1), budget(), bare_map_figure(&demo_maps()[0]).unwrap()];
    for columns in [1, 2, 3, 7] {
        let joined = Gallery::new(figures.clone()).columns(columns).joined().unwrap();
        let inner: Vec<[f64; 4]> = elements(joined.svg())
            .iter()
            .filter(|e| e.name == "svg")
            .skip(1)
            .map(|e| ["x", "y", "width", "height"].map(|key| e.number(key)))
            .collect();
        assert_eq!(inner.len(), 3);
        for (index, [x, y, wide, high]) in inner.iter().enumerate() {
            let (width, height) = figures[index].size();
            assert_eq!((*wide, *high), (f64::from(width), f64::from(height)));
            between(x + wide, 0.0, f64::from(joined.size().0));
            between(y + high, 0.0, f64::from(joined.size().1));
            for [l, t, w, h] in &inner[index + 1..] {
                assert!(x + wide <= *l || l + w <= *x || y + high <= *t || t + h <= *y);
            }
        }
        let words: usize = figures.iter().map(|figure| texts(figure.svg()).len()).sum();
        assert_eq!(texts(joined.svg()).len(), words);
    }
    assert_eq!(Gallery::new(figures.clone()).columns(0), Gallery::new(figures));
    assert!(Gallery::new([]).joined().unwrap_err().to_string().contains("empty"));
}

#[cfg(feature = "png")]
#[test]
fn a_png_has_the_width_asked_for_and_shows_the_words() {
    let titled = |title: &str| bars(title, "mass, kg", &[("a", 1.0)]).unwrap();
    let figure = titled("one title");
    let picture = match figure.png(600) {
        Ok(picture) => picture.bytes().to_vec(),
        // A system without fonts cannot draw words; it must say so.
        Err(error) => return assert!(error.to_string().contains("install one"), "{error}"),
    };
    // Signature and header as in the PNG specification (W3C, third edition), sections 5.2 and 11.2.1.
    assert_eq!(picture[..8], [137, 80, 78, 71, 13, 10, 26, 10]);
    let number = |at: usize| u32::from_be_bytes(picture[at..at + 4].try_into().unwrap());
    let (wide, high) = figure.size();
    assert_eq!(number(16), 600);
    close(f64::from(number(20)), 600.0 * f64::from(high) / f64::from(wide), 1.0);
    assert_ne!(picture, titled("another one").png(600).unwrap().bytes());
    assert_eq!(figure.png(600).unwrap().title(), "one title");
    assert!(Gallery::new([figure.clone(), figure.clone()]).joined().unwrap().png(300).is_ok());
    for width in [0, 8193, u32::MAX] {
        assert!(figure.png(width).unwrap_err().to_string().contains("1 to 8192 pixels"));
    }
}
