//! The demonstration with another map for candidate B.

use shaftwork::prelude::*;
use shaftwork::problem::Problems;
use shaftwork::study::SourceFile;
use std::path::Path;

pub fn data(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("data/demo").join(name)).unwrap()
}

pub fn study(map: &str) -> Result<Study, Problems> {
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    Study::from_texts(&[
        file("study.toml", data("hill-climb.toml")),
        file("map-b.csv", map.into()),
        file("map-c.csv", data("map-c.csv")),
    ])
}
