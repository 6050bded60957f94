//! The keys of vehicle, gear change, control and other places, and what they come to.

#[path = "support/reference.rs"]
mod reference;

use reference::{between, close};
use shaftwork::prelude::*;
use shaftwork::study::{Away, Holds, Rise, SourceFile};

const VEHICLE: &str = "[vehicle]\nmass = \"650 kg\"\nwheel_radius = \"280 mm\"\nfinal_drive = 4.0\ngears = [2.9, 2.0, 1.5, 1.2]\n";
const TOP: &str = "[[elsewhere]]\nname = \"top\"\naltitude = \"2200 m\"\nair_temperature = \"12 degC\"\n";

/// The demonstration with lines added at its end and inside `[exhaust]`, cut down to B's first housing on one fuel.
fn read(exhaust: &str, end: &str) -> Result<Study, String> {
    let text = std::fs::read_to_string("data/demo/hill-climb.toml").unwrap();
    let text = text.replacen("[exhaust]\n", &format!("[exhaust]\n{exhaust}\n"), 1) + "\n" + end;
    let text = text.lines().filter(|line| !line.starts_with("rate =")).collect::<Vec<_>>().join("\n");
    let mut files = vec![SourceFile { name: "hill-climb.toml".into(), text }];
    for name in ["map-b.csv", "map-c.csv"] {
        let text = std::fs::read_to_string(format!("data/demo/{name}")).unwrap();
        files.push(SourceFile { name: name.into(), text });
    }
    let mut study = Study::from_texts(&files).map_err(|problems| problems.to_string())?;
    let b = &study.candidates[2];
    let housing = &b.housings()[0];
    let alone = Candidate::with_map("B", b.map().clone()).housing("as bought", housing.turbine.clone());
    study.candidates = vec![alone];
    study.fuels.truncate(1);
    Ok(study)
}

fn rise(exhaust: &str, end: &str) -> Rise {
    let sizing = read(exhaust, end).unwrap().size().unwrap();
    sizing.entries[0].rise.clone().unwrap()
}

fn told(exhaust: &str, end: &str) -> String {
    read(exhaust, end).map(|_| ()).unwrap_err()
}

// By hand: 1.5 x 4.0 = 6; 7200 rpm x 1.2/1.5 = 5760 rpm.
#[test]
fn a_vehicle_gives_the_gear_and_the_change() {
    let study = read("", &format!("{VEHICLE}gear = 3\nshift_at = \"7200 rpm\"\n")).unwrap();
    let vehicle = study.driving.vehicle.unwrap();
    assert_eq!(vehicle.number, 3);
    close(vehicle.gear.gearing.si(), 6.0, 1e-12);
    // The demonstration's target stands at the crank: the driveline's loss is a default, listed with the others.
    close(vehicle.gear.driveline.si(), 0.88, 1e-12);
    let listed = |key: &str| study.assumptions.iter().any(|assumed| assumed.key == key);
    assert!(listed("vehicle.driveline_efficiency") && listed("vehicle.turning") && !listed("sweep.rate"));
    let change = vehicle.change.unwrap();
    close(change.lands.rpm(), 5760.0, 1e-9);
    close(change.next.gearing.si(), 4.8, 1e-12);
    assert!(!change.automatic && change.shift.throttle.si() < 1.0);
    assert_eq!(study.driving.sweep(), Sweep::InGear(study.driving.from, vehicle.gear));
    let automatic = read("", &format!("{VEHICLE}gearbox = \"automatic\"\n")).unwrap();
    let change = automatic.driving.vehicle.unwrap().change.unwrap();
    assert!(change.automatic && change.shift.throttle.si() == 1.0);
    // In the last gear there is none to change to.
    assert_eq!(read("", &format!("{VEHICLE}gear = 4\n")).unwrap().driving.vehicle.unwrap().change, None);
    assert_eq!(read("", "").unwrap().driving.vehicle, None);
}

// Common practice, no source: a heavier vehicle has its boost at a lower engine speed, though it takes longer to it; a change
// under load keeps the boost, one by hand loses it for a part of a second.
#[test]
fn mass_and_gearbox_act_as_practice_says() {
    let light = rise("", &format!("{VEHICLE}gear = 2\ngearbox = \"automatic\"\n"));
    let by_hand = "gear = 2\nrecirculation_valve = \"30 mm\"\n";
    let heavy = rise("", &format!("{}{by_hand}", VEHICLE.replace("650 kg", "1900 kg")));
    let there = |rise: &Rise| rise.arrival.as_ref().unwrap().ninety.unwrap();
    assert!(there(&heavy).1 < there(&light).1, "{:?} {:?}", there(&heavy), there(&light));
    let back = |rise: &Rise| {
        let recovery = rise.recovery.as_ref().unwrap().as_ref().unwrap();
        (recovery.after.ninety.unwrap().0.si(), recovery.valve_passes.g_per_s())
    };
    let ((automatic, none), (manual, passes)) = (back(&light), back(&heavy));
    assert!(automatic < manual, "{automatic} {manual}");
    between(manual, 0.05, 1.0);
    // What the valve must pass is known whether the throttle shuts or not; it is some part of the engine's own air.
    between(passes, 20.0, 200.0);
    between(none, 0.0, 200.0);
    assert!(rise("", "").recovery.is_none());
    // Without a valve a throttle that shuts at full boost drives the compressor so deep into surge that its flow turns.
    let without = rise("", &format!("{VEHICLE}gear = 2\n"));
    assert!(
        matches!(without.recovery, Some(Err(SweepError::TurnsBack { .. }))),
        "{:?}",
        without.recovery.map(|r| r.is_ok())
    );
}

// By hand, with the barometer of ISO 2533 at 2200 m, 77.55 kPa, and the study's own: gauge keeps the difference, absolute the
// pressure. Common practice, no source: held absolute the turbocharger turns faster and the power stays.
#[test]
fn gauge_and_absolute_part_at_another_place() {
    let rise = rise("", TOP);
    let home = read("", "").unwrap().installation.site.pressure();
    let [gauge, absolute]: [&Away; 2] = [0, 1].map(|k| rise.away[k].as_ref().unwrap());
    assert_eq!([gauge.holds, absolute.holds], [Holds::Gauge, Holds::Absolute]);
    let asked = rise.pressure();
    close(gauge.line.control.target().kpa(), asked.kpa() - home.kpa() + 77.55, 0.01);
    assert_eq!(absolute.line.control.target(), asked);
    let at = |away: &Away| {
        let (_, point) = away.line.points.iter().rfind(|(speed, _)| speed.rpm() < 6600.0).unwrap();
        let point = point.as_ref().unwrap();
        (point.power.kw(), point.shaft_speed.rpm(), point.manifold_pressure.kpa())
    };
    let (low, high) = (at(gauge), at(absolute));
    assert!(high.1 > 1.01 * low.1 && high.0 > 1.02 * low.0, "{low:?} {high:?}");
    // Only what is fitted is looked at where the study says it.
    let one = self::rise("control = \"absolute\"", TOP);
    assert_eq!(
        one.away.iter().map(|away| away.as_ref().unwrap().holds).collect::<Vec<_>>(),
        [Holds::Absolute]
    );
    assert!(self::rise("control = \"gauge\"", "").away.is_empty());
}

#[test]
fn what_does_not_fit_is_told() {
    let vehicle = |change: [&str; 2]| told("", &VEHICLE.replace(change[0], change[1]));
    let missing = vehicle(["mass = \"650 kg\"\n", ""]);
    assert!(missing.contains("vehicle.mass") && missing.contains("is missing"), "{missing}");
    assert!(vehicle(["[2.9, 2.0, 1.5, 1.2]", "[1.2, 1.5]"]).contains("must fall from gear to gear"));
    assert!(vehicle(["650 kg", "2 kg"]).contains("between 50 and 20 000 kg"));
    assert!(told("", &format!("{VEHICLE}gear = 5\n")).contains("from 1 to 4"));
    assert!(told("", &format!("{VEHICLE}gear = 1.5\n")).contains("whole number"));
    assert!(told("", &format!("{VEHICLE}gearbox = \"belt\"\n")).contains("\"manual\""));
    assert!(told("", &format!("{VEHICLE}colour = \"red\"\n")).contains("vehicle.colour"));
    assert!(told("control = \"vacuum\"", "").contains("\"gauge\""));
    assert!(told("", &format!("{TOP}{TOP}")).contains("name it apart"));
    assert!(
        told("", "[[elsewhere]]\naltitude = \"100 m\"\nair_temperature = \"20 degC\"\n").contains("name")
    );
    let text = std::fs::read_to_string("data/demo/hill-climb.toml").unwrap();
    assert!(text.contains("\nrate = "));
    let both = text + "\n" + VEHICLE;
    let files = [SourceFile { name: "hill-climb.toml".into(), text: both }];
    let told = Study::from_texts(&files).map(|_| ()).unwrap_err().to_string();
    assert!(told.contains("follows from the vehicle"), "{told}");
}
