//! The readings of a measured compressor, published with a real humid gas, against the ideal humid air here.

#[path = "support/reference.rs"]
mod reference;

use reference::{Row, Worst, between, close_relative, plain, table};
use shaftwork::compressor::{self as c, isentropic_efficiency};
use shaftwork::gas::{self, polytropic_efficiency, vapour_fraction};
use shaftwork::prelude::*;

/// One of the 206 readings of the archive.
struct Reading {
    row: Row,
    air: Gas,
    inlet: InletState,
    outlet: Temperature,
    ratio: PressureRatio,
}

impl Reading {
    fn new(row: Row) -> Self {
        let inlet = InletState { temperature: deg_r(row.number("T00")), pressure: psia(row.number("P00")) };
        Self {
            air: Gas::humid_air(plain(row.number("AMFH2O"))).unwrap(),
            outlet: kelvin(inlet.temperature.kelvin() * (1.0 + row.number("TTR70"))),
            ratio: plain(row.number("TPR70")),
            inlet,
            row,
        }
    }
    fn efficiency(&self, air: &Gas) -> f64 {
        isentropic_efficiency(air, self.inlet.temperature, self.outlet, self.ratio).unwrap().si()
    }
    fn number(&self, column: &str) -> f64 {
        self.row.number(column)
    }
    fn at(&self) -> String {
        format!("reading {}", self.row.text("RDG"))
    }
}

/// All of them: a reading lost from the table would not be missed otherwise.
fn readings() -> Vec<Reading> {
    let all: Vec<Reading> = table("nasa-hecc-points.csv").into_iter().map(Reading::new).collect();
    assert_eq!(all.len(), 206);
    all
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    sum / count
}

/// The dry air that flow and speed are brought to.
///
/// The experimenters' dry air has 0.000071 more CO2 and less oxygen than that of the library: 2.6e-5 in R.
/// That is a fortieth of what is asked for in flow.
fn reference_air() -> (Gas, Reference) {
    (Gas::dry_air(), Reference::new(deg_r(518.67), psia(14.696)).unwrap())
}

/// gamma R of a gas.
fn stiffness(gas: &Gas, at: Temperature) -> f64 {
    gas::heat_capacity_ratio(gas, at).unwrap().si() * gas.gas_constant().si()
}

// NASA High Efficiency Centrifugal Compressor Data Archive, 2023: 206 readings of pressure, temperature
// and humidity with the efficiency that the experimenters found with a real-gas mixture. An ideal gas
// lies 0.0007 below on average, and that is the real gas: 0.0012 is asked for on each reading; the
// largest deviations are 0.00091 (isentropic) and 0.00084 (polytropic).
#[test]
fn every_efficiency_of_the_archive_is_met_with_its_humid_air() {
    let [mut isentropic, mut polytropic] = [(); 2].map(|()| Worst::new());
    for reading in readings() {
        let Reading { air, inlet, outlet, ratio, .. } = &reading;
        isentropic.see(reading.efficiency(air) - reading.number("ETA70"), reading.at());
        let found = polytropic_efficiency(air, inlet.temperature, *outlet, *ratio).unwrap().si();
        polytropic.see(found - reading.number("ETAPOLY70"), reading.at());
    }
    isentropic.holds("isentropic efficiency", 0.0012);
    polytropic.holds("polytropic efficiency", 0.0012);
}

// The same archive. What is left has one sign on every reading, as a real gas would leave it and an error of
// humidity, which varies sixteenfold over the readings, would not: 0.0007 low on average, 0.0009 at most.
#[test]
fn what_is_left_of_the_efficiency_is_one_small_bias() {
    let off = |reading: &Reading| reading.efficiency(&reading.air) - reading.number("ETA70");
    between(mean(readings().iter().map(off)), -0.0009, -0.0005);
    for reading in readings() {
        between(off(&reading), -0.0012, 0.0);
    }
}

// Guards: with the humidity left out the largest deviation is 0.0031, beyond 0.0012. With gamma 1.4 the
// average over all readings is 0.0057, and over the 47 vaneless ones above a ratio of 4 it is 0.0095,
// beyond 0.009; no reading comes closer than 0.0014. If any comes out smaller, the checks above say
// nothing.
#[test]
fn dry_air_and_constant_gamma_miss_the_archive() {
    let readings = readings();
    let dry = readings.iter().map(|reading| reading.efficiency(&Gas::dry_air()) - reading.number("ETA70"));
    between(dry.fold(0.0, |worst: f64, off| worst.max(off.abs())), 0.0025, 0.0045);
    let constant = |reading: &Reading| {
        let ideal = reading.ratio.si().powf(0.4 / 1.4) - 1.0;
        ideal / reading.number("TTR70") - reading.number("ETA70")
    };
    for reading in &readings {
        between(constant(reading), 0.0012, 0.0125);
    }
    between(mean(readings.iter().map(constant)), 0.005, 0.0065);
    let high = |reading: &&Reading| reading.row.text("cfg") != "V" && reading.ratio.si() > 4.0;
    between(mean(readings.iter().filter(high).map(constant)), 0.009, 0.011);
}

// The same archive: flow and speed are published as corrected to dry air at 518.67 R and 14.696 psia.
// With R and gamma of the humid gas they follow from the measured ones: 0.1 % of flow and 0.05 % of speed
// are asked for; the largest deviations are 0.050 % and 0.016 %.
#[test]
fn corrected_flow_and_speed_follow_with_the_humid_gas() {
    let (dry, reference) = reference_air();
    let [mut flows, mut speeds] = [(); 2].map(|()| Worst::new());
    for reading in readings() {
        let Reading { air, inlet, .. } = &reading;
        let (r, r_ref) = (air.gas_constant().si(), dry.gas_constant().si());
        let sound = stiffness(&dry, reference.temperature()) / stiffness(air, inlet.temperature);
        let flow = inlet.correct(lb_per_s(reading.number("MDOT")), &reference).unwrap();
        // sqrt(R gamma_ref/(R_ref gamma)): sound holds R_ref gamma_ref/(R gamma).
        let flow = flow.corrected_lb_per_s() * sound.sqrt() * r / r_ref;
        flows.see(flow / reading.number("MDOTC") - 1.0, reading.at());
        let speed = rpm(reading.number("NMECH"));
        let speed = c::corrected_speed(speed, inlet.temperature, reference.temperature()).unwrap();
        let published = reading.number("NC") / 100.0 * 21_789.0;
        speeds.see(speed.corrected_rpm() * sound.sqrt() / published - 1.0, reading.at());
    }
    flows.holds("corrected flow", 1e-3);
    speeds.holds("corrected speed", 5e-4);
}

// The same archive gives both relative humidity and the mole fraction of water that the experimenters
// used. The last printed digit of the humidity is worth 0.03 % where it is lowest, and the saturation
// pressure here is within 0.03 % of the reference equation. The largest deviation is 0.049 %.
#[test]
fn mole_fraction_of_water_follows_from_the_relative_humidity() {
    let mut worst = Worst::new();
    for reading in readings() {
        let InletState { temperature, pressure } = reading.inlet;
        let humidity = plain(reading.number("RH0") / 100.0);
        let x = vapour_fraction(humidity, temperature, pressure).unwrap();
        worst.see(x.si() / reading.number("AMFH2O") - 1.0, reading.at());
        close_relative(reading.air.vapour().si(), reading.number("AMFH2O"), 1e-12);
    }
    worst.holds("mole fraction of water", 6e-4);
}
