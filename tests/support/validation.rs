//! The published machines of `data/validation` and how far the estimate lies from what was measured on them.

#![allow(dead_code)] // each test file uses its own part

use shaftwork::compressor::{EstimateError, WheelBuilder, outlet_temperature};
use shaftwork::formula::Property;
use shaftwork::prelude::*;
use std::fs;
use std::path::{Path, PathBuf};

/// A measured point at the machine's reference conditions.
#[derive(Clone, Copy, Debug)]
pub struct Point {
    pub speed: CorrectedSpeed,
    pub flow: CorrectedMassFlow,
    pub ratio: PressureRatio,
    pub efficiency: Efficiency,
}

/// What of the geometry the estimate is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Known {
    /// Both diameters and the number of blades.
    Diameters,
    /// All dimensions.
    Geometry,
}

pub struct Machine {
    pub id: String,
    pub title: String,
    said: toml::Table,
    /// By speed, then flow.
    pub points: Vec<Point>,
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data")
}

/// All machines, by name.
pub fn machines() -> Vec<Machine> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder().join("validation"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    files.sort();
    assert_eq!(files.len(), 4);
    files.iter().map(|path| Machine::read(path)).collect()
}

pub fn reference() -> Reference {
    Reference::new(kelvin(288.15), kpa(101.325)).unwrap()
}

fn number(record: &csv::StringRecord, headers: &csv::StringRecord, column: &str) -> f64 {
    let place =
        headers.iter().position(|name| name == column).unwrap_or_else(|| panic!("no column {column}"));
    record[place].parse().unwrap()
}

impl Machine {
    fn read(path: &Path) -> Self {
        let said: toml::Table = fs::read_to_string(path).unwrap().parse().unwrap();
        let text = |key: &str| said[key].as_str().unwrap().to_string();
        let own = path.with_extension("csv");
        let mut points =
            if own.exists() { own_points(&own) } else { hecc_points(&folder().join(text("points"))) };
        points.sort_by(|a, b| (a.speed.si(), a.flow.si()).partial_cmp(&(b.speed.si(), b.flow.si())).unwrap());
        Self { id: text("id"), title: text("title"), points, said }
    }

    fn given(&self, key: &str) -> Option<&toml::Value> {
        Some(&self.said["geometry"].as_table().unwrap().get(key)?["value"])
    }
    fn quantity<Q: core::str::FromStr<Err = QuantityError>>(&self, key: &str) -> Option<Q> {
        self.given(key).map(|value| value.as_str().unwrap().parse().unwrap())
    }

    /// The wheel with as much of its geometry as is to be known.
    pub fn wheel(&self, known: Known) -> WheelGeometry {
        let mut builder: WheelBuilder =
            WheelGeometry::builder(self.quantity("inducer").unwrap(), self.quantity("outer").unwrap())
                .without_volute();
        let blades = self.given("blades").unwrap().as_array().unwrap();
        let count = |i: usize| u8::try_from(blades[i].as_integer().unwrap()).unwrap();
        builder = builder.blades(count(0), count(1));
        if known == Known::Diameters {
            return builder.build().unwrap();
        }
        builder = builder
            .hub(self.quantity("hub").unwrap())
            .exit_width(self.quantity("exit_width").unwrap())
            .backsweep(self.quantity("backsweep").unwrap())
            .exit_clearance(self.quantity("clearance").unwrap())
            .diffuser_ratio(fraction(self.given("diffuser_ratio").unwrap().as_float().unwrap()));
        if let Some(angle) = self.quantity("inducer_tip_angle") {
            builder = builder.inducer_tip_angle(angle);
        }
        if let Some(angle) = self.quantity("inducer_mean_angle") {
            builder = builder.inducer_mean_angle(angle);
        }
        if let Some(area) = self.quantity("throat") {
            builder = builder.throat(area);
        }
        let widths = self.given("diffuser_widths").unwrap().as_array().unwrap();
        let width = |i: usize| widths[i].as_str().unwrap().parse().unwrap();
        builder.diffuser_widths(width(0), width(1)).build().unwrap()
    }

    /// The speeds that were measured, each once; readings within 1 % of a speed belong to it.
    pub fn lines(&self) -> Vec<Vec<Point>> {
        let mut lines: Vec<Vec<Point>> = Vec::new();
        for point in &self.points {
            match lines.last_mut() {
                Some(line) if point.speed.si() < 1.02 * line[0].speed.si() => line.push(*point),
                _ => lines.push(vec![*point]),
            }
        }
        for line in &mut lines {
            line.sort_by(|a, b| a.flow.si().total_cmp(&b.flow.si()));
        }
        lines
    }
}

fn own_points(path: &Path) -> Vec<Point> {
    let mut reader = csv::Reader::from_path(path).unwrap();
    let headers = reader.headers().unwrap().clone();
    let rows = reader.records().map(|record| record.unwrap());
    rows.map(|row| Point {
        speed: corrected_rpm(number(&row, &headers, "speed")),
        flow: corrected_kg_per_s(number(&row, &headers, "flow")),
        ratio: PressureRatio::new(number(&row, &headers, "ratio")).unwrap(),
        efficiency: Efficiency::new(number(&row, &headers, "efficiency")).unwrap(),
    })
    .collect()
}

fn hecc_points(path: &Path) -> Vec<Point> {
    let mut reader = csv::Reader::from_path(path).unwrap();
    let headers = reader.headers().unwrap().clone();
    let rows = reader.records().map(|record| record.unwrap()).filter(|row| row[0].starts_with("VL"));
    rows.map(|row| Point {
        speed: corrected_rpm(number(&row, &headers, "NC") / 100.0 * 21_789.0),
        flow: corrected_lb_per_s(number(&row, &headers, "MDOTC")),
        ratio: PressureRatio::new(number(&row, &headers, "TPR70")).unwrap(),
        efficiency: Efficiency::new(number(&row, &headers, "ETA70")).unwrap(),
    })
    .collect()
}

/// Rise of enthalpy at the reference temperature behind a measured point.
pub fn work(point: &Point) -> f64 {
    let air = Gas::dry_air();
    let t01 = reference().temperature();
    let t02 = outlet_temperature(&air, t01, point.ratio, point.efficiency).unwrap();
    air.h().value(t02.si()) - air.h().value(t01.si())
}

/// The point as a logger would see it at the reference conditions.
pub fn as_measured(point: &Point) -> MeasuredPoint {
    let reference = reference();
    let inlet = InletState { temperature: reference.temperature(), pressure: reference.pressure() };
    let outlet =
        outlet_temperature(&Gas::dry_air(), inlet.temperature, point.ratio, point.efficiency).unwrap();
    MeasuredPoint {
        inlet,
        speed: rad_per_s(point.speed.si()),
        flow: kg_per_s(point.flow.si()),
        ratio: point.ratio,
        outlet,
    }
}

/// Mean, standard deviation and root mean square of errors.
#[derive(Clone, Copy, Debug, Default)]
pub struct Errors {
    pub count: usize,
    pub mean: f64,
    pub sd: f64,
    pub rms: f64,
}

impl Errors {
    pub fn of(errors: &[f64]) -> Self {
        let n = errors.len() as f64;
        let mean = errors.iter().sum::<f64>() / n;
        let square = errors.iter().map(|e| e * e).sum::<f64>() / n;
        Self { count: errors.len(), mean, sd: (square - mean * mean).max(0.0).sqrt(), rms: square.sqrt() }
    }
}

/// How an estimate compares with the points it reaches, below 0.97 of its choke flow.
pub struct Comparison {
    pub ratio: Errors,
    pub work: Errors,
    pub efficiency: Errors,
    /// Points beyond 0.97 of the predicted choke flow, left out.
    pub beyond: usize,
    /// Share of points inside the 90 % band, and one mean standard deviation of pressure ratio.
    pub inside: f64,
    pub sigma: f64,
}

/// The share of choke flow up to which pressure ratios are compared: beyond it the line is steep and the error
/// of the choke flow counts.
pub const SHARE: f64 = 0.97;

pub fn compare<'a>(
    estimate: &MapEstimate,
    points: impl Iterator<Item = &'a Point>,
    bands: bool,
) -> Comparison {
    let (mut ratio, mut works, mut efficiency) = (Vec::new(), Vec::new(), Vec::new());
    let (mut beyond, mut inside, mut sigmas) = (0, 0, 0.0);
    for point in points {
        let found = match estimate.at(point.speed, point.flow) {
            Ok(found) if found.choke_share.si() < SHARE => found,
            Ok(_) | Err(EstimateError::Flow { .. }) => {
                beyond += 1;
                continue;
            }
            Err(error) => panic!("{point:?}: {error}"),
        };
        let off = found.ratio.si() / point.ratio.si() - 1.0;
        ratio.push(off);
        works.push(found.work.si() / work(point) - 1.0);
        efficiency.push(found.efficiency.si() - point.efficiency.si());
        if bands {
            let sigma = estimate.band_at(point.speed, point.flow).unwrap().ratio.si();
            inside += usize::from((1.0 + off).ln().abs() <= 1.645 * sigma);
            sigmas += sigma;
        }
    }
    let n = ratio.len() as f64;
    Comparison {
        ratio: Errors::of(&ratio),
        work: Errors::of(&works),
        efficiency: Errors::of(&efficiency),
        beyond,
        inside: inside as f64 / n,
        sigma: sigmas / n,
    }
}

/// Which points are taken in turn as the one that was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taken {
    /// The reading of best efficiency on each speed line.
    Best,
    /// Readings spread over the whole map, its edges included.
    Any,
}

/// Each taken point in turn as the one that was measured, all others predicted.
pub fn one_measured(machine: &Machine, known: Known, taken: Taken) -> (Errors, f64, f64) {
    let estimate = machine.wheel(known).estimate(reference()).unwrap();
    let best = |line: &Vec<Point>| {
        *line.iter().max_by(|a, b| a.efficiency.si().total_cmp(&b.efficiency.si())).unwrap()
    };
    let chosen: Vec<Point> = match taken {
        Taken::Best => machine.lines().iter().map(best).collect(),
        Taken::Any => machine.points.iter().step_by(machine.points.len().div_ceil(20)).copied().collect(),
    };
    let (mut errors, mut inside, mut sigmas, mut seen) = (Vec::new(), 0, 0.0, 0);
    for measured in &chosen {
        let scaled = estimate.clone().with_measured_point(as_measured(measured)).unwrap();
        for point in &machine.points {
            let itself = (point.speed, point.flow) == (measured.speed, measured.flow);
            let Ok(found) = scaled.at(point.speed, point.flow) else { continue };
            if itself || found.choke_share.si() >= SHARE {
                continue;
            }
            let off = found.ratio.si() / point.ratio.si() - 1.0;
            errors.push(off);
            // The band costs most: a third of the points is enough for its share.
            if errors.len().is_multiple_of(3) {
                let sigma = scaled.band_at(point.speed, point.flow).unwrap().ratio.si();
                seen += 1;
                inside += usize::from((1.0 + off).ln().abs() <= 1.645 * sigma);
                sigmas += sigma;
            }
        }
    }
    let seen = f64::from(seen);
    (Errors::of(&errors), inside as f64 / seen, sigmas / seen)
}
