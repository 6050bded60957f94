//! What of a judgement is shown first: the hardest point, the least margin to each limit.

use crate::compressor::SizeCheck;
use crate::shaft::{AreaBand, Limit, Margin, NotFound, OperatingPoint};
use crate::study::{Entry, Missing, NotSized, Sizing};

/// Candidate with housing, and fuel.
pub(super) fn label(sizing: &Sizing, entry: &Entry) -> [String; 2] {
    label_of(sizing, [entry.candidate, entry.housing, entry.fuel])
}

/// The same of the places in the study.
pub(super) fn label_of(sizing: &Sizing, [candidate, housing, fuel]: [usize; 3]) -> [String; 2] {
    let candidate = &sizing.study.candidates[candidate];
    let housing = &candidate.housings()[housing].name;
    [format!("{}, {housing}", candidate.label()), sizing.study.fuels[fuel].fuel.name().to_string()]
}

/// The combinations that could not be judged: candidate with housing, fuel, and why.
pub(super) fn not_judged(sizing: &Sizing) -> impl Iterator<Item = ([String; 2], &NotSized)> {
    let missing = sizing.not_sized.iter().filter(|one| one.missing == Missing::Judgement);
    missing.map(|one| (label_of(sizing, [one.candidate, one.housing, one.fuel]), one))
}

/// The points at the target that were found, with their indices.
pub(super) fn found(entry: &Entry) -> impl Iterator<Item = (usize, &OperatingPoint)> {
    let points = entry.judgement.points.iter().enumerate();
    points.filter_map(|(index, (_, found))| Some((index, found.as_ref().ok()?)))
}

/// The distance to a limit at a point.
pub(super) struct Distance {
    /// The limit.
    pub words: String,
    /// The key of the same number on record.
    pub key: String,
    pub margin: Margin,
}

/// All distances at a point, in the order of the limits.
pub(super) fn distances(point: &OperatingPoint) -> Vec<Distance> {
    let of = |margin: &Margin| {
        let words = margin.limit.words();
        Distance { words: words.into(), key: format!("margin to {words}"), margin: *margin }
    };
    let mut all: Vec<Distance> = point.margins.iter().map(of).collect();
    all.sort_by_key(|distance| distance.margin.limit);
    all
}

/// The least of all distances at a point.
#[cfg(feature = "cli")]
pub(super) fn least_of(point: &OperatingPoint) -> Option<Distance> {
    distances(point).into_iter().min_by(|a, b| a.margin.margin.si().total_cmp(&b.margin.margin.si()))
}

/// The point where the margins are least.
pub(super) fn hardest(entry: &Entry) -> Option<(usize, &OperatingPoint)> {
    let index = entry.judgement.hardest()?;
    entry.judgement.points[index].1.as_ref().ok().map(|point| (index, point))
}

/// The least of a limit over the engine speeds, as it is shown.
pub(super) struct Least {
    /// The limit.
    pub words: String,
    /// The key of the number on record.
    #[cfg_attr(not(feature = "cli"), expect(dead_code, reason = "the page links to it"))]
    pub key: String,
    /// "+3.4 %", or that it is exceeded without a number.
    pub shown: String,
    /// The engine speed, or several.
    pub at: String,
    /// The band, or nothing.
    pub band: String,
}

/// What the column of the least margins is called: engine speeds without a point have no margins.
pub(super) fn least_head(entry: &Entry) -> &'static str {
    let whole = entry.judgement.points.iter().all(|(_, found)| found.is_ok());
    if whole { "least" } else { "least where there is a point" }
}

/// The least of each limit over the engine speeds. A limit that leaves no point at some speed is exceeded there.
pub(super) fn least(entry: &Entry) -> Vec<Least> {
    let beyond = |limit: Limit| {
        let points = entry.judgement.points.iter();
        let of = |found: &Result<OperatingPoint, NotFound>| match found.as_ref().err()?.limit()? {
            Limit::TurbineTooSmall => Some(Limit::ExpansionRatio),
            limit => Some(limit),
        };
        points.filter(|(_, found)| of(found) == Some(limit)).map(|(speed, _)| *speed).collect::<Vec<_>>()
    };
    let rows = least_margins(entry).into_iter().map(|(point, Distance { words, key, margin })| {
        let speeds = beyond(margin.limit);
        if speeds.is_empty() {
            let at = format!("{:.0} rpm", point.demand.speed.rpm());
            return Least { words, key, shown: percent(margin.margin.si()), at, band: band(&margin) };
        }
        let at: Vec<String> = speeds.iter().map(|speed| format!("{:.0}", speed.rpm())).collect();
        let at = format!("{} rpm", at.join(", "));
        Least { words, key, shown: "beyond".into(), at, band: String::new() }
    });
    rows.collect()
}

/// The least distance to each limit over the engine speeds, and the point it belongs to.
fn least_margins(entry: &Entry) -> Vec<(&OperatingPoint, Distance)> {
    let mut all: Vec<(&OperatingPoint, Distance)> = Vec::new();
    for (_, point) in found(entry) {
        for distance in distances(point) {
            match all.iter_mut().find(|(_, known)| known.key == distance.key) {
                Some((_, known)) if known.margin.margin <= distance.margin.margin => {}
                Some(known) => *known = (point, distance),
                None => all.push((point, distance)),
            }
        }
    }
    all.sort_by_key(|(_, distance)| distance.margin.limit);
    all
}

/// The candidates on an estimated map of a size that no published machine was compared at, and what that means.
pub(super) fn not_validated(sizing: &Sizing) -> Option<String> {
    let small = |check: &SizeCheck| *check == SizeCheck::NotAtThisSize;
    let mut names: Vec<String> = Vec::new();
    let mut words = None;
    for candidate in &sizing.study.candidates {
        let Some(estimated) = candidate.estimated() else { continue };
        if let Some(check) = Some(estimated.estimate().size_check()).filter(small) {
            let lines = estimated.printed_lines().map_or("", |_| " (its efficiency)");
            names.push(format!("{}{lines}", candidate.name()));
            words = Some(check.words());
        }
    }
    names.dedup();
    words.map(|words| format!("The estimated map of {}: {words}.", names.join(", ")))
}

/// "+3.4 %".
pub(super) fn percent(value: f64) -> String {
    format!("{:+.1} %", 100.0 * value)
}

/// "-20.2 % to +7.0 %", or nothing where there is no band. "beyond" where the worse side has no state.
pub(super) fn band(margin: &Margin) -> String {
    let [worse, better] = [AreaBand::Worse, AreaBand::Better].map(|side| margin.on(side));
    match worse {
        _ if worse == better => String::new(),
        // No state was found on that side.
        -1.0 => format!("beyond to {}", percent(better)),
        _ => format!("{} to {}", percent(worse), percent(better)),
    }
}
