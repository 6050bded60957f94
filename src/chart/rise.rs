//! How boost comes: the operating line over engine speed, and the sweep in time.

use super::curves::curves_beside;
use super::{Curve, Figure, FigureError, Gallery};
use crate::quantity::{Pressure, significant};
use crate::shaft::{Arrival, BalancedPoint, OperatingLine};
use crate::study::{Entry, Sizing};

/// An operating line with its name, and on both sides of a band.
struct Named<'a> {
    name: &'a str,
    line: &'a OperatingLine,
    sides: Option<[&'a OperatingLine; 2]>,
}

/// The figures of one quantity over engine speed for several named operating lines.
fn over_speed(
    title: &str,
    up: &str,
    lines: &[Named<'_>],
    value: fn(&BalancedPoint) -> f64,
) -> Result<Figure, FigureError> {
    let drawn: Vec<Curve> =
        lines.iter().map(|named| named.curve(value)).filter(|curve| !curve.points.is_empty()).collect();
    curves_beside(title, "engine speed, rpm", up, &drawn)
}

impl Named<'_> {
    fn curve(&self, value: fn(&BalancedPoint) -> f64) -> Curve {
        let curve = Curve::new(self.name, points(self.line, value));
        let Some(sides) = self.sides else { return curve };
        let at = |index: usize| {
            let found =
                |line: &OperatingLine| line.points.get(index).and_then(|(_, at)| at.as_ref().ok()).map(value);
            let middle = found(self.line)?;
            // Where a side has no state its value is not known; the band is then one-sided.
            let [a, b] = sides.map(|side| found(side).unwrap_or(middle));
            Some([middle.min(a).min(b), middle.max(a).max(b)])
        };
        curve.with_band((0..self.line.points.len()).filter_map(at).collect())
    }
}

/// A value of each state that was found, over engine speed.
fn points(line: &OperatingLine, value: fn(&BalancedPoint) -> f64) -> Vec<(f64, f64)> {
    let found = line.points.iter().filter_map(|(speed, found)| Some((speed, found.as_ref().ok()?)));
    found.map(|(speed, at)| (speed.rpm(), value(at))).collect()
}

/// The pressure of the intake manifold, power, torque and the exhaust manifold's pressure against the intake manifold's, over engine speed, of
/// several named operating lines: four figures in two columns.
///
/// ```
/// use shaftwork::chart::line_figures;
/// use shaftwork::prelude::*;
/// let study = Study::demo()?;
/// let b = &study.candidates[2];
/// let line = operating_line(&study.installation, b, &b.housings()[0].turbine, &study.fuels[0],
///     Control::manifold(kpa(190.0))?, &[rpm(3000.0), rpm(4000.0), rpm(5000.0)])?;
/// let figure = line_figures("B", &[("95 RON E10".into(), &line)])?.joined()?;
/// assert!(figure.svg().contains("torque, N m"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
///
/// [`FigureError`] where no line has a state, or drawing fails.
pub fn line_figures(title: &str, lines: &[(String, &OperatingLine)]) -> Result<Gallery, FigureError> {
    let plain = lines.iter().map(|(name, line)| Named { name, line, sides: None });
    figures_of(title, &plain.collect::<Vec<_>>())
}

fn figures_of(title: &str, lines: &[Named<'_>]) -> Result<Gallery, FigureError> {
    let named = |what: &str| format!("{title}: {what}");
    let manifold = over_speed(&named("intake manifold"), "manifold pressure, absolute, kPa", lines, |at| {
        at.manifold_pressure.kpa()
    })?;
    let torque = over_speed(&named("torque"), "torque, N m", lines, |at| at.torque.si())?;
    let power = over_speed(&named("power"), "power, kW", lines, |at| at.power.kw())?;
    let exhaust = over_speed(
        &named("what the exhaust costs"),
        "exhaust manifold pressure over intake manifold pressure",
        lines,
        |at| at.exhaust_pressure / at.manifold_pressure,
    )?;
    Ok(Gallery::new([manifold, torque, power, exhaust]).columns(2))
}

/// The sweeps in time of several named arrivals: the pressure of the intake manifold, then the shaft speed, side by side.
///
/// # Errors
///
/// [`FigureError`] where there is none, or drawing fails.
pub fn sweep_figures(title: &str, arrivals: &[(String, &Arrival)]) -> Result<Gallery, FigureError> {
    let drawn = |value: fn(&crate::shaft::SweepMoment) -> f64| -> Vec<Curve> {
        let over_time = |(name, arrival): &(String, &Arrival)| {
            let moments = arrival.moments.iter().map(|moment| (moment.time.si(), value(moment)));
            Curve::new(name.as_str(), moments.collect())
        };
        arrivals.iter().map(over_time).collect()
    };
    let time = "time since the throttle opened, s";
    let manifold = curves_beside(
        &format!("{title}: intake manifold"),
        time,
        "manifold pressure, absolute, kPa",
        &drawn(|moment| moment.manifold_pressure.kpa()),
    )?;
    let shaft = curves_beside(
        &format!("{title}: shaft speed"),
        time,
        "shaft speed, 1000 rpm",
        &drawn(|moment| moment.shaft_speed.rpm() / 1e3),
    )?;
    Ok(Gallery::new([manifold, shaft]).columns(2))
}

/// How the boost of one candidate comes with each of its housings on each fuel: over engine speed, then in time. Up to two
/// lines stand in the band that the turbine's area gives them, one standard deviation either way.
///
/// # Errors
///
/// [`FigureError`] for a candidate that is not there or has no line, or where drawing fails.
pub fn rise_figure(sizing: &Sizing, candidate: usize) -> Result<Figure, FigureError> {
    let names = lines_of(sizing, candidate)?;
    // More bands than two hide each other.
    let banded = names.len() <= 2;
    let rises = entries_of(sizing, candidate).filter_map(|entry| entry.rise.as_ref().ok());
    let lines: Vec<Named<'_>> = names
        .iter()
        .zip(rises)
        .map(|((name, line), rise)| {
            let sides = match &rise.sides {
                [Some(small), Some(large)] if banded => Some([small, large]),
                _ => None,
            };
            Named { name, line, sides }
        })
        .collect();
    let title = format!("Candidate {}", sizing.study.candidates[candidate].label());
    let arrivals: Vec<_> = entries_of(sizing, candidate)
        .filter_map(|entry| entry.arrival().map(|arrival| (named(sizing, entry, arrival.target), arrival)))
        .collect();
    let mut figures = figures_of(&title, &lines)?.figures().to_vec();
    if !arrivals.is_empty() {
        figures.extend(sweep_figures(&format!("{title}, in gear"), &arrivals)?.figures().iter().cloned());
    }
    Gallery::new(figures).columns(2).joined()
}

/// The housings of one candidate side by side: the pressure of the intake manifold and of the exhaust manifold over
/// engine speed, one figure for each fuel. Where the exhaust lies above the intake, the engine pumps against it.
///
/// # Errors
///
/// [`FigureError`] for a candidate that is not there or has no line, or where drawing fails.
pub fn housings_figure(sizing: &Sizing, candidate: usize) -> Result<Figure, FigureError> {
    lines_of(sizing, candidate)?;
    let unit = &sizing.study.candidates[candidate];
    let mut figures = Vec::new();
    for (fuel, plan) in sizing.study.fuels.iter().enumerate() {
        let lines: Vec<_> = entries_of(sizing, candidate)
            .filter(|entry| entry.fuel == fuel)
            .filter_map(|entry| Some((unit.housings()[entry.housing].name.as_str(), entry.line()?)))
            .collect();
        let of = |what: &str, value: fn(&BalancedPoint) -> f64| -> Vec<Curve> {
            let curve = |(name, line): &(&str, &OperatingLine)| {
                Curve::new(format!("{what}, {name}"), points(line, value))
            };
            lines.iter().map(curve).filter(|curve| !curve.points.is_empty()).collect()
        };
        let mut drawn = of("intake", |at| at.manifold_pressure.kpa());
        drawn.extend(of("exhaust", |at| at.exhaust_pressure.kpa()));
        if drawn.is_empty() {
            continue;
        }
        let title = format!("Candidate {}, {}: its housings side by side", unit.label(), plan.fuel.name());
        figures.push(curves_beside(&title, "engine speed, rpm", "manifold pressure, absolute, kPa", &drawn)?);
    }
    Gallery::new(figures).columns(2).joined()
}

fn entries_of(sizing: &Sizing, candidate: usize) -> impl Iterator<Item = &Entry> {
    sizing.entries.iter().filter(move |entry| entry.candidate == candidate)
}

/// The housing if there are several, the fuel, and the boost asked for.
fn named(sizing: &Sizing, entry: &Entry, pressure: Pressure) -> String {
    let housing = match sizing.study.candidates[entry.candidate].housings() {
        [_] => String::new(),
        several => format!("{}, ", several[entry.housing].name),
    };
    let fuel = sizing.study.fuels[entry.fuel].fuel.name();
    format!("{housing}{fuel}, {} kPa", significant(pressure.kpa(), 3))
}

/// The operating lines of a candidate with their names.
pub(super) fn lines_of(
    sizing: &Sizing,
    candidate: usize,
) -> Result<Vec<(String, &OperatingLine)>, FigureError> {
    if candidate >= sizing.study.candidates.len() {
        return Err(FigureError("this sizing has no such candidate".into()));
    }
    let lines = entries_of(sizing, candidate).filter_map(|entry| {
        let line = entry.line()?;
        Some((named(sizing, entry, line.control.target()), line))
    });
    Ok(lines.collect())
}
