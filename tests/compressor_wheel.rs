//! The compressor wheel: trim, tip speed, and the flow its inducer can pass.

#[path = "support/reference.rs"]
mod reference;

use proptest::prelude::*;
use reference::{Example, between, close, close_relative, plain, seeded};
use shaftwork::compressor::{
    CHOKE_SIGMA, WORK_COEFFICIENT, inducer_area, inducer_choke_flow, tip_speed, tip_speed_for_ratio, trim,
};
use shaftwork::prelude::*;

fn at_24() -> InletState {
    InletState { temperature: deg_c(24.0), pressure: kpa(85.0) }
}

// By hand: 100 (50/70)^2; SAE J922 defines trim so.
#[test]
fn trim_of_50_in_70() {
    close(trim(mm(50.0), mm(70.0)).unwrap().si(), 51.02, 0.005);
    close(trim(mm(70.0), mm(70.0)).unwrap().si(), 100.0, 1e-12);
}

// Published dimensions of the rigs: Eckardt (1979), annulus 0.05027 m2 of 280 and 120 mm; NASA CC3
// (TM-107541), 431 mm at 21 789 rpm, 492 m/s. Tolerance: half of the last digit printed.
#[test]
fn annulus_and_tip_speed_of_published_rigs() {
    close(inducer_area(mm(280.0), mm(120.0)).unwrap().si(), 0.050_27, 0.000_005);
    close(tip_speed(mm(431.0), rpm(21_789.0)).unwrap().si(), 492.0, 0.5);
}

// computed with Python 3 (standard library) by data/reference/textbook-examples.py: choked flow in the
// relative frame, by total state and choking constant instead of the closed form.
#[test]
fn choke_flow_of_a_turning_inducer() {
    for name in ["rotor-choke-0", "rotor-choke-0.5", "rotor-choke-1.0"] {
        let example = Example::named(name);
        let (t, gamma, r) = (
            example.given("inlet_total_temperature"),
            example.given("gamma"),
            j_per_kg_k(example.given("gas_constant")),
        );
        let sound = (gamma * r.si() * t).sqrt();
        let flow = inducer_choke_flow(
            m2(example.given("throat_area")),
            kelvin(t),
            pa(example.given("inlet_total_pressure")),
            m_per_s(example.given("blade_speed_over_sound_speed") * sound),
            plain(gamma),
            r,
        );
        example.answers("choke_flow", "kg/s", flow.unwrap().si());
    }
    let example = Example::named("choke-constant");
    let gamma = plain(example.given("gamma"));
    let r = j_per_kg_k(example.given("gas_constant"));
    let flow = inducer_choke_flow(m2(0.01), kelvin(300.0), kpa(100.0), m_per_s(0.0), gamma, r).unwrap();
    let parameter = flow.si() * 300.0_f64.sqrt() / (0.01 * 100e3);
    example.answers("choke_flow_parameter", "sqrt(kg K/J)", parameter);
}

// Eckardt (1979), rotor A at 14 000 rpm (second-hand, digitised): measured choke 6.75 kg/s; blade angle 63
// degrees at the shroud, so 56.5 at the root-mean-square radius. Published rigs pass 0.89 to 0.905 of
// annulus times cosine.
#[test]
fn measured_choke_of_rotor_a_leaves_the_usual_blockage() {
    let rms = ((0.14_f64.powi(2) + 0.06_f64.powi(2)) / 2.0).sqrt();
    let angle = (63.0_f64.to_radians().tan() * rms / 0.14).atan();
    let throat = inducer_area(mm(280.0), mm(120.0)).unwrap() * angle.cos();
    close(throat.si(), 0.027_75, 0.000_02);
    let blade = tip_speed(m(2.0 * rms), rpm(14_000.0)).unwrap();
    let gamma = plain(1.4);
    let flow =
        inducer_choke_flow(throat, kelvin(288.15), kpa(101.325), blade, gamma, j_per_kg_k(287.05)).unwrap();
    // A digitised flow is good to 1 %.
    between(6.75 / flow.si(), 0.88, 0.90);
}

// NASA HECC vaneless at 100 % speed: work coefficient 0.777 at its peak with true enthalpy; tip speed 492
// m/s.
#[test]
fn tip_speed_of_the_nasa_rig_comes_back() {
    let reading_1979 = (kelvin(533.808 / 1.8), plain(4.544_458), plain(0.838_080));
    let (t, pi, efficiency) = reading_1979;
    let u = tip_speed_for_ratio(&Gas::dry_air(), t, pi, efficiency, percent(77.7)).unwrap();
    let turned = tip_speed(mm(431.62), rpm(22_092.3)).unwrap();
    // Half a per cent of humidity in the work, half of that in the speed, and the rounded coefficient.
    close_relative(u.si(), turned.si(), 0.005);
}

#[test]
fn readings_are_kept_apart() {
    let readings = [mm(46.4), mm(48.2)];
    let wheel = CompressorWheel::new(one_of(readings), mm(61.0)).unwrap();
    let bands = wheel.choke(plain(2.9), plain(0.70), &at_24()).unwrap();
    let all = wheel.as_read();
    assert_eq!(all.iter().map(|one| one.reading.inducer()).collect::<Vec<_>>(), readings.map(Some));
    assert_eq!(bands.iter().map(|band| band.inducer).collect::<Vec<_>>(), readings);
    for (band, inducer) in bands.iter().zip(readings) {
        close(band.trim.si(), trim(inducer, mm(61.0)).unwrap().si(), 0.0);
        let [low, high] = band.band();
        close_relative(low.si(), (1.0 - CHOKE_SIGMA) * band.flow.si(), 1e-15);
        close_relative(high.si(), (1.0 + CHOKE_SIGMA) * band.flow.si(), 1e-15);
        close(band.distance(band.flow), 0.0, 0.0);
        close(band.distance(band.flow / (1.0 + CHOKE_SIGMA)), 1.0, 1e-12);
        // Speed belongs to tip speed, and tip speed to the ratio asked for.
        close_relative(tip_speed(mm(61.0), band.speed).unwrap().si(), band.tip_speed.si(), 1e-15);
        let (inlet, work) = (at_24().temperature, fraction(WORK_COEFFICIENT));
        let tip = tip_speed_for_ratio(&Gas::dry_air(), inlet, plain(2.9), plain(0.70), work).unwrap();
        close(band.tip_speed.si(), tip.si(), 0.0);
    }
    // By hand: trims 57.9 and 62.4; 7.9 % of inlet area between the two readings, and blades 3.9 % faster
    // at the larger one, worth up to another 3 % at these blade Mach numbers.
    close(bands[0].trim.si(), 57.9, 0.05);
    close(bands[1].trim.si(), 62.4, 0.05);
    between(bands[1].flow / bands[0].flow, 1.079, 1.110);
    // One reading alone is the same as its band among two.
    let alone = CompressorWheel::new(readings[0], mm(61.0)).unwrap();
    assert_eq!(alone.choke(plain(2.9), plain(0.70), &at_24()).unwrap()[..], bands[..1]);
}

#[test]
fn wheels_that_cannot_be_are_refused() {
    let refused =
        |inducer: f64, exducer: f64| CompressorWheel::new(mm(inducer), mm(exducer)).unwrap_err().to_string();
    assert!(refused(60.0, 61.0).contains("inducer tip diameter (inducer) 0.06"), "{}", refused(60.0, 61.0));
    assert!(refused(20.0, 61.0).contains("inducer tip diameter"));
    assert!(refused(10.0, 15.0).contains("outer diameter of the wheel"));
    assert!(refused(f64::NAN, 61.0).ends_with("inducer is not a finite number"));
    let wheel = CompressorWheel::new(mm(46.4), mm(61.0)).unwrap();
    assert!(wheel.clone().hub(mm(45.0)).unwrap_err().to_string().contains("inducer hub diameter"));
    // A larger hub leaves less area, but turns faster at its root-mean-square radius: the flow falls.
    let flow = |wheel: &CompressorWheel| wheel.choke(plain(2.5), plain(0.7), &at_24()).unwrap()[0].flow;
    assert!(flow(&wheel.clone().hub(mm(18.0)).unwrap()) < flow(&wheel.hub(mm(12.0)).unwrap()));
}

#[test]
fn readings_of_several_dimensions_make_every_wheel_once() {
    let thirds = [fraction(1.0), fraction(2.0)];
    let wheel =
        CompressorWheel::new(mm(46.4), one_of([mm(60.5), mm(61.0)]).weighted(thirds).unwrap()).unwrap();
    let wheel =
        wheel.inducer_tip_angle(one_of([deg(55.0), deg(58.0), deg(60.0)])).unwrap().hub(mm(14.0)).unwrap();
    let all = wheel.as_read();
    let words: Vec<String> = all.iter().map(|one| one.reading.to_string()).collect();
    assert_eq!(words.len(), 6);
    assert_eq!(words[0], "exducer 60.5 mm, inducer tip angle 55 deg");
    assert_eq!(words[5], "exducer 61.0 mm, inducer tip angle 60 deg");
    assert!((1..6).all(|i| !words[..i].contains(&words[i])), "{words:?}");
    // By hand: thirds of a third and of two thirds.
    for (one, expected) in all.iter().zip([1.0, 1.0, 1.0, 2.0, 2.0, 2.0]) {
        close(one.weight.si(), expected / 9.0, 1e-15);
        assert_eq!(one.reading.of(), "exducer and inducer tip angle");
        assert!(one.reading.inducer().is_none());
    }
    // Each is the wheel of its dimensions; the hub is none that is in doubt.
    let alone = WheelGeometry::builder(mm(46.4), mm(61.0)).inducer_tip_angle(deg(58.0)).hub(mm(14.0));
    assert_eq!(all[4].builder, alone);
    // Only diameters count for the choke: two bands, the larger wheel turns slower for the same tip speed.
    let bands = wheel.choke(plain(2.5), plain(0.7), &at_24()).unwrap();
    assert_eq!(bands.iter().map(|band| band.exducer).collect::<Vec<_>>(), [mm(60.5), mm(61.0)]);
    close_relative(bands[0].speed / bands[1].speed, 61.0 / 60.5, 1e-12);
    // The mean angle takes the place of the one at the tip; what is given again replaces what was.
    let mean = wheel.inducer_mean_angle(deg(50.0)).unwrap().exit_width(one_of([mm(4.0), mm(5.0)])).unwrap();
    let again = mean.exit_width(mm(4.5)).unwrap();
    assert_eq!(again.as_read().len(), 2);
    assert_eq!(again.doubtful().map(|(words, _)| words).collect::<Vec<_>>(), ["exducer"]);
    let built = WheelGeometry::builder(mm(46.4), mm(60.5)).inducer_mean_angle(deg(50.0)).hub(mm(14.0));
    assert_eq!(again.as_read()[0].builder, built.exit_width(mm(4.5)));
    // Without doubt there is one wheel, and its candidate has its name alone.
    let plain = CompressorWheel::new(mm(46.4), mm(61.0)).unwrap().blades((6, 6)).unwrap();
    let [one] = plain.as_read().try_into().unwrap();
    assert!(one.reading.dimensions().is_empty() && one.weight.si() == 1.0);
    assert_eq!(Candidate::from_wheel("A", &plain).unwrap()[0].label(), "A");
}

#[test]
fn weights_and_readings_that_cannot_be_are_refused() {
    let weighted = |weights: &[f64]| {
        one_of([deg(30.0), deg(40.0)]).weighted(weights.iter().map(|weight| fraction(*weight)))
    };
    // Of any sum, also one beyond what a number holds.
    for (weights, expected) in
        [([3.0, 1.0], 0.75), ([0.0, 2.0], 0.0), ([1.5e308, 0.5e308], 0.75), ([3e-310, 1e-310], 0.75)]
    {
        let shares: Vec<f64> = weighted(&weights).unwrap().iter().map(|(_, share)| share.si()).collect();
        close(shares[0], expected, 1e-9);
        close(shares.iter().sum::<f64>(), 1.0, 1e-12);
    }
    let why = |weights: &[f64]| weighted(weights).unwrap_err().to_string();
    assert_eq!(why(&[1.0]), "1 weight for 2 readings; give one weight for each");
    assert_eq!(why(&[]), "0 weights for 2 readings; give one weight for each");
    assert_eq!(why(&[1.0, -0.5]), "the weight -0.5000 is none: a weight is zero or more");
    assert_eq!(why(&[f64::NAN, 1.0]), "the weight not a number is none: a weight is zero or more");
    assert_eq!(why(&[1.0, f64::INFINITY]), "the weight infinity is none: a weight is zero or more");
    assert_eq!(why(&[0.0, 0.0]), "all weights are zero; give the likely reading one above zero");
    let wheel = || CompressorWheel::new(one_of([mm(46.4), mm(48.2)]), mm(61.0)).unwrap();
    let none = wheel().backsweep(Vec::new()).unwrap_err().to_string();
    assert_eq!(none, "no reading of the backsweep is given");
    let twice = wheel().throat(one_of([mm2(700.0), mm2(720.0), mm2(700.0)])).unwrap_err().to_string();
    assert!(twice.starts_with("throat 700 mm2 stands twice"), "{twice}");
    let many = wheel().backsweep((0..7).map(|i| deg(20.0 + f64::from(i))).collect::<Vec<_>>()).unwrap_err();
    assert!(many.to_string().starts_with("the readings make 14 wheels (inducer 2, backsweep 7)"), "{many}");
    assert!(wheel().backsweep((0..6).map(|i| deg(20.0 + f64::from(i))).collect::<Vec<_>>()).is_ok());
    let hub = wheel().hub(one_of([mm(14.0), mm(38.0)])).unwrap_err().to_string();
    assert!(hub.contains("inducer hub diameter (hub) 0.038 m is outside 0.003 to 0.03712"), "{hub}");
    // A reading that no wheel has is named.
    let steep = wheel().backsweep(one_of([deg(30.0), deg(80.0)])).unwrap();
    let why = Candidate::from_wheel("A", &steep).unwrap_err().to_string();
    assert!(why.starts_with("inducer 46.4 mm, backsweep 80 deg: backsweep 80.00 deg is outside"), "{why}");
}

proptest! {
    #![proptest_config(seeded(64))]

    // Similarity: flow goes with area and with p/sqrt(T) at equal blade Mach number.
    #[test]
    fn choke_flow_is_similar(
        t in 250.0..330.0_f64, p in 60e3..110e3_f64, mach in 0.0..1.2_f64, k in 0.5..2.0_f64,
    ) {
        let (gamma, r) = (1.4_f64, 287.05);
        let flow = |area: f64, t: f64, p: f64| {
            let u = m_per_s(mach * (gamma * r * t).sqrt());
            let gamma = plain(gamma);
            inducer_choke_flow(m2(area), kelvin(t), pa(p), u, gamma, j_per_kg_k(r)).unwrap().si()
        };
        close_relative(flow(1e-3 * k, t, p), k * flow(1e-3, t, p), 1e-13);
        let similar = p / 101_325.0 * (288.15 / t).sqrt();
        close_relative(flow(1e-3, t, p), similar * flow(1e-3, 288.15, 101_325.0), 1e-12);
    }
}
