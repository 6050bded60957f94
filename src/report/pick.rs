//! What of a judgement is shown first: the hardest point, the least margin to each limit.

use crate::shaft::{AreaBand, Margin, OperatingPoint};
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
pub(super) fn least(point: &OperatingPoint) -> Option<Distance> {
    distances(point).into_iter().min_by(|a, b| a.margin.margin.si().total_cmp(&b.margin.margin.si()))
}

/// The point where the margins are least.
pub(super) fn hardest(entry: &Entry) -> Option<(usize, &OperatingPoint)> {
    let index = entry.judgement.hardest()?;
    entry.judgement.points[index].1.as_ref().ok().map(|point| (index, point))
}

/// The least distance to each limit over the engine speeds, and the point it belongs to.
pub(super) fn least_margins(entry: &Entry) -> Vec<(&OperatingPoint, Distance)> {
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
