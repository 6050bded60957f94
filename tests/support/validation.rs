//! The published machines of `data/validation` and how far the estimate lies from what was measured on them.

#![allow(dead_code)] // each test file uses its own part

use shaftwork::compressor::{EstimateError, WheelBuilder, outlet_temperature, tip_mach};
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
    assert_eq!(files.len(), 6);
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
            if own.exists() { own_points(&own) } else { hecc_points(&folder().join(text("points")), &said) };
        points.sort_by(|a, b| (a.speed.si(), a.flow.si()).partial_cmp(&(b.speed.si(), b.flow.si())).unwrap());
        Self { id: text("id"), title: text("title"), points, said }
    }

    fn given(&self, key: &str) -> Option<&toml::Value> {
        Some(&self.said["geometry"].as_table().unwrap().get(key)?["value"])
    }
    fn quantity<Q: core::str::FromStr<Err = QuantityError>>(&self, key: &str) -> Option<Q> {
        self.given(key).map(|value| value.as_str().unwrap().parse().unwrap())
    }

    /// Whether its diffuser has vanes.
    pub fn is_vaned(&self) -> bool {
        self.id.ends_with("-vaned")
    }

    fn vanes(&self, known: Known) -> VanedDiffuser {
        let mut vanes = VanedDiffuser::new();
        if known == Known::Diameters {
            return vanes;
        }
        if let Some(count) = self.given("vanes") {
            vanes = vanes.vanes(u8::try_from(count.as_integer().unwrap()).unwrap());
        }
        if let Some(ratio) = self.given("vane_ratio") {
            vanes = vanes.leading_edge(fraction(ratio.as_float().unwrap()));
        }
        if let Some(angle) = self.quantity("vane_angle") {
            vanes = vanes.inlet_angle(angle);
        }
        if let Some(width) = self.quantity("diffuser_throat_width") {
            vanes = vanes.throat_width(width);
        }
        if let Some(speed) = self.quantity("matched_tip_speed") {
            vanes = vanes.matched_at(speed);
        }
        vanes
    }

    /// The wheel with as much of its geometry as is to be known.
    pub fn wheel(&self, known: Known) -> WheelGeometry {
        let mut builder: WheelBuilder =
            WheelGeometry::builder(self.quantity("inducer").unwrap(), self.quantity("outer").unwrap())
                .without_volute();
        let blades = self.given("blades").unwrap().as_array().unwrap();
        let count = |i: usize| u8::try_from(blades[i].as_integer().unwrap()).unwrap();
        builder = builder.blades(count(0), count(1));
        if self.is_vaned() {
            builder = builder.vaned_diffuser(self.vanes(known));
        }
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

    /// The points that say more than a choke flow: with vanes, those below 0.97 of the greatest flow of their line.
    pub fn before_choke(&self) -> Vec<Point> {
        if !self.is_vaned() {
            return self.points.clone();
        }
        let below = |line: Vec<Point>| {
            let most = SHARE * line[line.len() - 1].flow.si();
            line.into_iter().filter(move |point| point.flow.si() < most)
        };
        self.lines().into_iter().flat_map(below).collect()
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

fn hecc_points(path: &Path, said: &toml::Table) -> Vec<Point> {
    let built: Vec<&str> =
        said["configurations"].as_array().unwrap().iter().map(|one| one.as_str().unwrap()).collect();
    let mut reader = csv::Reader::from_path(path).unwrap();
    let headers = reader.headers().unwrap().clone();
    let rows = reader.records().map(|record| record.unwrap()).filter(|row| built.contains(&&row[0]));
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

/// A line of a machine with vanes: its choke flow, and what lies before it at the same share of that.
pub struct VanedLine {
    pub speed: CorrectedSpeed,
    /// Choke flow, estimated and measured, and the standard deviation stated.
    pub choke: [CorrectedMassFlow; 2],
    pub choke_sigma: f64,
    /// Best efficiency, estimated less measured, and the standard deviation stated.
    pub peak: f64,
    pub peak_sigma: f64,
    /// Errors of pressure ratio and efficiency at equal shares of choke flow, below 0.97.
    pub ratio: Errors,
    pub efficiency: Errors,
}

/// The lines of a machine with vanes. The greatest flow measured on each is its choke: the pressure falls there at
/// constant flow.
pub fn vaned_lines(machine: &Machine, estimate: &MapEstimate) -> Vec<VanedLine> {
    let compare = |line: Vec<Point>| {
        let speed = line[0].speed;
        let found = estimate.line(speed).unwrap();
        let band = estimate.bands_at(&[speed]).unwrap().remove(0);
        let greatest = line[line.len() - 1].flow;
        let best = (0..found.points.len())
            .max_by(|&a, &b| found.points[a].efficiency.si().total_cmp(&found.points[b].efficiency.si()))
            .unwrap();
        let measured = line.iter().map(|point| point.efficiency.si()).fold(0.0, f64::max);
        let (mut ratio, mut efficiency) = (Vec::new(), Vec::new());
        for point in &line {
            let share = point.flow.si() / greatest.si();
            if share < SHARE {
                let at = estimate.at(speed, found.choke * share).unwrap();
                ratio.push(at.ratio.si() / point.ratio.si() - 1.0);
                efficiency.push(at.efficiency.si() - point.efficiency.si());
            }
        }
        VanedLine {
            speed,
            choke: [found.choke, greatest],
            choke_sigma: band.choke.si(),
            peak: found.points[best].efficiency.si() - measured,
            peak_sigma: band.points[best].efficiency.si(),
            ratio: Errors::of(&ratio),
            efficiency: Errors::of(&efficiency),
        }
    };
    machine.lines().into_iter().map(compare).collect()
}

/// The best efficiency of a speed line.
pub struct Best {
    /// Tip-speed Mach number.
    pub mach: f64,
    pub measured: f64,
    pub estimated: f64,
}

/// Best efficiencies from the lowest to the highest speed, told all dimensions.
pub fn best_efficiencies(machine: &Machine) -> Vec<Best> {
    let estimate = machine.wheel(Known::Geometry).estimate(reference()).unwrap();
    let best = |line: &Vec<Point>| {
        let found = estimate.line(line[0].speed).unwrap();
        Best {
            mach: tip_mach(&Gas::dry_air(), found.tip_speed, reference().temperature()).unwrap().si(),
            measured: line.iter().map(|point| point.efficiency.si()).fold(0.0, f64::max),
            estimated: found.points.iter().map(|point| point.efficiency.si()).fold(0.0, f64::max),
        }
    };
    machine.lines().iter().map(best).collect()
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
        Taken::Any => {
            let all = machine.before_choke();
            all.iter().step_by(all.len().div_ceil(20)).copied().collect()
        }
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
