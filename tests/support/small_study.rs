//! A small engine in a study file, to be given candidates.
#![allow(dead_code)]

use shaftwork::prelude::*;
use shaftwork::problem::Problems;
use shaftwork::study::SourceFile;

/// A small engine, to be given candidates.
pub const ENGINE: &str = r#"schema = 1
title = "small"
invented = true
[target]
power = "150 kW"
at = "crank"
from = "5500 rpm"
to = "6500 rpm"
[site]
altitude = "200 m"
air_temperature = "20 degC"
[engine]
cylinders = 4
bore = "81 mm"
stroke = "77 mm"
compression_ratio = 9.5
speed_limit = "7000 rpm"
[intake]
loss = "3 kPa"
at_flow = "0.15 kg/s"
[cooler]
effectiveness = 0.7
loss = "8 kPa"
at_flow = "0.15 kg/s"
[exhaust]
back_pressure = "10 kPa"
at_flow = "0.15 kg/s"
[injectors]
count = 4
rated_flow = "550 cm3/min"
test_pressure = "3 bar"
pressure_over_manifold = "3 bar"
[[fuel]]
name = "95"
ethanol = "10 %"
lambda = 0.85
"#;

/// A candidate by its name and the lines of its compressor.
pub fn candidate(name: &str, lines: &str) -> String {
    let turbine = "[[candidate.turbine]]\narea_over_radius = \"10 mm\"\nwheel = \"45 mm\"\n";
    format!("[[candidate]]\nname = \"{name}\"\n{lines}\n{turbine}")
}

/// The lines of the two diameters, mm.
pub fn diameters(inducer: &str, exducer: &str) -> String {
    format!("inducer = \"{inducer} mm\"\nexducer = \"{exducer} mm\"\n")
}

/// The study of these candidates.
pub fn read(candidates: &[String]) -> Result<Study, Problems> {
    let text = ENGINE.to_string() + &candidates.concat();
    Study::from_texts(&[SourceFile { name: "small.toml".into(), text }])
}
