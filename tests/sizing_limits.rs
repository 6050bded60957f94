//! The most power lies at the limit that is named, and the verdict agrees with it.
#![cfg(feature = "study")]

#[path = "support/demo.rs"]
mod demo;
#[path = "support/reference.rs"]
mod reference;

use demo::{candidate, demo, installation, plan, turbine};
use reference::{between, close, close_relative};
use shaftwork::prelude::*;
use shaftwork::study::Entry;

/// Limits exceeded at a power, with the engine speed, on one side of the turbine's area.
fn exceeded(entry: &Entry, power: Power, side: AreaBand) -> Vec<(Limit, ShaftSpeed)> {
    let mut all = Vec::new();
    for speed in demo().study.target.speeds() {
        let target = Target::crank(power, speed);
        match operating_point(installation(), candidate(entry), turbine(entry), plan(entry), target) {
            Err(error) => all.push((error.limit().unwrap(), speed)),
            Ok(p) => {
                let over = p.margins.iter().filter(|m| !matches!(m.on(side), margin if margin >= 0.0));
                all.extend(over.map(|m| (m.limit, speed)));
            }
        }
    }
    all
}

// Property: at the most power every limit is kept, 0.5 % above it the one named is not; the same for both band ends.
#[test]
fn the_most_power_lies_at_its_limit() {
    let mut named = Vec::new();
    for entry in &demo().entries {
        let most = &entry.judgement.most;
        let stop = most.stop.as_ref().unwrap();
        let ends =
            [(AreaBand::Worse, most.low), (AreaBand::Estimate, most.power), (AreaBand::Better, most.high)];
        // The sides of an estimated map are looked at by its own test.
        let published = candidate(entry).estimated().is_none();
        for (side, power) in ends.into_iter().filter(|(side, _)| published || *side == AreaBand::Estimate) {
            let power = power.unwrap();
            let within = exceeded(entry, power, side);
            assert!(within.is_empty(), "{within:?}");
            let above = exceeded(entry, power * 1.005, side);
            assert!(!above.is_empty());
            assert!(
                side != AreaBand::Estimate || above.contains(&(stop.limit, stop.speed)),
                "{stop:?}: {above:?}"
            );
        }
        assert!(most.low <= most.power && most.power <= most.high);
        named.push(stop.limit);
    }
    for limit in [Limit::Boost, Limit::Torque, Limit::TopSpeedLine] {
        assert!(named.contains(&limit), "{limit:?} stops no candidate");
    }
}

/// The limit exceeded by the most at the target, each on its better side; `None` with a point off the map.
fn hardest(entry: &Entry) -> Option<Stop> {
    let points = entry.judgement.points.iter().map(|(speed, found)| Some((*speed, found.as_ref().ok()?)));
    let points = points.collect::<Option<Vec<_>>>()?;
    let margins =
        points.iter().flat_map(|(speed, p)| p.margins.iter().map(move |m| (m.better, m.limit, *speed)));
    let (_, limit, speed) = margins.min_by(|a, b| a.0.si().total_cmp(&b.0.si()))?;
    Some(Stop { limit, speed })
}

// Property: "yes" needs the low end of the most power at the target, "no" the high end below it.
#[test]
fn the_verdict_agrees_with_the_most_power() {
    let target = Some(demo().study.target.power());
    let mut seen = [0; 3];
    for entry in &demo().entries {
        let most = &entry.judgement.most;
        let (least, greatest) = (most.low >= target, most.high >= target);
        let (index, agrees) = match &entry.judgement.verdict {
            Verdict::Reaches => (0, least),
            Verdict::Open(doubts) => (1, !least && greatest && !doubts.is_empty()),
            Verdict::FallsShort(stop) => (2, !greatest && hardest(entry).is_none_or(|worst| worst == *stop)),
        };
        assert!(agrees, "{:?} with {most:?}", entry.judgement.verdict);
        seen[index] += 1;
    }
    assert!(seen.iter().all(|count| *count > 0), "the demonstration shows all three answers: {seen:?}");
}

/// One case to judge: candidate C of the demonstration with its larger housing on the ethanol blend, then edited.
#[derive(Clone)]
struct Case {
    installation: Installation,
    candidate: Candidate,
    turbine: Turbine,
    plan: FuelPlan,
    band: PowerBand,
}

impl Case {
    fn new() -> Self {
        let study = Study::demo().unwrap();
        let candidate = study.candidates.last().unwrap().clone();
        let turbine = candidate.housings()[1].turbine.clone();
        let plan = study.fuels[1].clone();
        Self { installation: study.installation, candidate, turbine, plan, band: study.target }
    }
    fn with(edit: impl FnOnce(&mut Self)) -> Self {
        let mut case = Self::new();
        edit(&mut case);
        case
    }
    fn judge(&self) -> Judgement {
        judge(&self.installation, &self.candidate, &self.turbine, &self.plan, &self.band).unwrap()
    }
    /// The most power of the edited case: less than before, stopped by this limit; and the point there.
    #[track_caller]
    fn stops_at(&self, limit: Limit) -> (Power, OperatingPoint) {
        let most = self.judge().most;
        let stop = most.stop.unwrap();
        assert_eq!(stop.limit, limit);
        let power = most.power.unwrap();
        between(power.kw(), 75.0, 250.0);
        let target = Target::crank(power, stop.speed);
        let point = operating_point(&self.installation, &self.candidate, &self.turbine, &self.plan, target);
        (power, point.unwrap())
    }
}

fn area(area: f64) -> Turbine {
    Turbine::from_effective_area(mm2(area), percent(10.0)).unwrap()
}

/// The map of candidate C with its flows multiplied.
fn scaled_map(by: f64) -> Candidate {
    let text = include_str!("../data/demo/map-c.csv");
    let scaled = text.lines().map(|line| {
        let fields: Vec<&str> = line.split(',').collect();
        match fields.get(1).and_then(|flow| flow.parse::<f64>().ok()) {
            Some(flow) => format!("{},{},{},{}\n", fields[0], flow * by, fields[2], fields[3]),
            None => format!("{line}\n"),
        }
    });
    let map = CompressorMap::from_csv_text("scaled.csv", &scaled.collect::<String>()).unwrap();
    Candidate::with_map("C", map)
}

#[test]
fn a_tight_limit_is_the_one_named() {
    // 300 N m at 6200 rev/min, the lower end of the band, by hand: 194.779 kW.
    let tight = |case: &mut Case| {
        case.installation.engine = case.installation.engine.clone().torque_limit(nm(300.0)).unwrap()
    };
    close_relative(Case::with(tight).stops_at(Limit::Torque).0.kw(), 194.779, 1e-5);

    let (_, point) = Case::with(|case| case.plan.most_boost = Some(kpa_gauge(100.0))).stops_at(Limit::Boost);
    close(point.boost.kpa_gauge(), 100.0, 0.01);

    let density = Component::n_heptane().density();
    let small = Injectors::new(4, cc_per_min(450.0), bar_diff(3.0), density, bar_diff(3.5)).unwrap();
    let (_, point) = Case::with(|case| case.installation.injectors = small).stops_at(Limit::Injectors);
    close(point.duty.percent(), 85.0, 0.01);

    let (_, point) = Case::with(|case| case.turbine = area(350.0)).stops_at(Limit::ExpansionRatio);
    close(point.drive.ratio.si(), 3.0, 1e-3);

    let (_, point) = Case::with(|case| case.turbine = area(1420.0)).stops_at(Limit::TurbineTooLarge);
    close(point.drive.wastegate.si(), 0.0, 1e-3);
    close_relative(point.drive.least.si(), point.drive.ratio.si(), 1e-3);

    let slow = |case: &mut Case| case.candidate = case.candidate.clone().speed_limit(rpm(110e3));
    let (_, point) = Case::with(slow).stops_at(Limit::ShaftSpeed);
    close_relative(point.shaft_speed.rpm(), 110e3, 1e-4);

    // A small throat in a wheel that may turn fast: the estimated map's choke end.
    let wheel = WheelGeometry::builder(mm(40.0), mm(61.0)).material(Material::Titanium).build().unwrap();
    let narrow = |case: &mut Case| case.candidate = Candidate::with_geometry("A", wheel).unwrap();
    let (power, point) = Case::with(narrow).stops_at(Limit::Choke);
    close(point.on_map.choke.0.si(), 0.0, 1e-3);
    assert!(power.kw() < 200.0);
}

// A map too large for the engine is left through its surge line, one too small through its choke end.
#[test]
fn a_map_of_the_wrong_size() {
    let (_, point) = Case::with(|case| case.candidate = scaled_map(1.6)).stops_at(Limit::Surge);
    close(point.on_map.surge.0.si(), 0.0, 1e-3);
    let (_, point) = Case::with(|case| case.candidate = scaled_map(0.6)).stops_at(Limit::Choke);
    close(point.on_map.choke.0.si(), 0.0, 0.05);
    assert!(
        matches!(Case::with(|case| case.candidate = scaled_map(1.6)).judge().verdict, Verdict::FallsShort(stop) if stop.limit == Limit::Surge)
    );
}

// Property: 208.25 kW at the wheels of an 85 % driveline are 245 kW at the crank.
#[test]
fn a_target_at_the_wheels() {
    let case = Case::new();
    let [from, to] = case.band.ends();
    let wheels = PowerBand::wheels(kw(0.85 * 245.0), Efficiency::new(0.85).unwrap(), from, to).unwrap();
    close_relative(wheels.power().kw(), 245.0, 1e-12);
    let [crank, wheels] = [case.clone(), Case { band: wheels, ..case }].map(|case| case.judge());
    close_relative(wheels.most.power.unwrap().si(), crank.most.power.unwrap().si(), 1e-9);
    for ((_, a), (_, b)) in crank.points.iter().zip(&wheels.points) {
        close_relative(a.as_ref().unwrap().ratio.si(), b.as_ref().unwrap().ratio.si(), 1e-9);
    }
}

// A power below the lowest speed line is not out of reach; the map only says nothing there.
#[test]
fn a_target_below_the_map() {
    let low = |case: &mut Case| case.band = PowerBand::crank(kw(100.0), rpm(6200.0), rpm(7200.0)).unwrap();
    let judgement = Case::with(low).judge();
    assert!(judgement.most.power.unwrap().kw() > 200.0);
    assert!(!matches!(judgement.verdict, Verdict::FallsShort(_)), "{:?}", judgement.verdict);
}
