//! Maps that the tests share.

#![allow(dead_code)] // each test file uses its own part

use shaftwork::prelude::*;
use std::path::{Path, PathBuf};

/// A file of `data/`.
pub fn file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data").join(name)
}
/// A map of the demonstration.
pub fn demo(name: &str) -> CompressorMap {
    CompressorMap::from_csv(file("demo").join(name)).unwrap()
}
pub const MAPS: [&str; 2] = ["map-b.csv", "map-c.csv"];
pub fn demos() -> [CompressorMap; 2] {
    MAPS.map(demo)
}

/// Three lines with a flat top and a vertical choke end, drawn by hand.
pub fn sharp() -> CompressorMap {
    CompressorMap::from_csv_text("sharp", SHARP).unwrap()
}
const SHARP: &str = "# title: sharp corners (invented)
# reference temperature: 298.15 K
# reference pressure: 100 kPa
corrected speed [krpm],corrected flow [kg/s],pressure ratio [-],efficiency [%]
80,0.05,1.4,60
80,0.08,1.4,66
80,0.11,1.3,68
80,0.12,1.2,60
80,0.12,1.1,50
100,0.08,1.8,62
100,0.11,1.8,68
100,0.15,1.6,70
100,0.16,1.4,60
100,0.16,1.2,50
120,0.12,2.4,64
120,0.15,2.4,70
120,0.19,2.1,72
120,0.20,1.7,62
120,0.20,1.3,52
";
