//! What the evidence of a candidate without a map was worth, in rows and words.

use crate::compressor::{Combined, MiddleBand, ReadingWeights, WheelReading};
use crate::quantity::significant;
use crate::shaft::Candidate;
use crate::study::Study;

/// What each column of a piece says.
pub(super) const HEAD: [&str; 6] = [
    "evidence",
    "share of what is known",
    "off the rest (sigma)",
    "weight",
    "without it, pressure ratio and choke flow within (1 sigma)",
    "uncertainty from",
];

/// What the numbers mean.
pub(super) const MEANING: &str = "A piece more than 3 sigma off what all the rest says counts less, the less the \
                                  further off it lies, and soon nothing. What a piece is worth is how well a middle \
                                  point of the map would be known without it. Each reading of a wheel is judged on a \
                                  map of its own.";

/// The candidates with evidence.
pub(super) fn told(study: &Study) -> impl Iterator<Item = (&Candidate, &Combined)> {
    study.candidates.iter().filter_map(|candidate| Some((candidate, candidate.evidence()?)))
}

/// How well a middle point is known.
fn within(band: &MiddleBand) -> String {
    let [ratio, choke] = [band.ratio, band.choke].map(|share| significant(share.percent(), 2));
    format!("{ratio} %, {choke} %")
}

/// The estimate itself, each piece, all of them.
pub(super) fn rows(of: &Combined) -> Vec<[String; 6]> {
    let percent = |share: f64| match share {
        share if share < 1e-3 => "below 0.1 %".into(),
        share => format!("{} %", significant(100.0 * share, 2)),
    };
    let prior = percent(of.prior_share().si());
    let own = ["the estimate from geometry", &prior, "", "", "", "defaults and spreads of the mean line"];
    let mut rows = vec![own.map(String::from)];
    rows.extend(of.pieces().iter().map(|piece| {
        let outlier = if piece.is_outlier() { ", an outlier: check it" } else { "" };
        [
            piece.name.clone(),
            percent(piece.share.si()),
            format!("{}{outlier}", significant(piece.deviation, 2)),
            percent(piece.weight.si()),
            within(&piece.without),
            piece.basis.clone(),
        ]
    }));
    let with = format!("with all of it {}", within(&of.known()));
    rows.push(["all together", "100 %", "", "", &with, ""].map(String::from));
    rows
}

/// Which reading the evidence favours, for each candidate read in several ways that has some.
pub(super) fn readings(study: &Study) -> Vec<String> {
    let words = |name: &str| study.reading_weights(name).map(|weights| favoured(name, &weights));
    names(study).into_iter().filter_map(words).collect()
}

/// What the readings count where there is no evidence that could choose between them.
pub(super) fn unweighed(study: &Study) -> Vec<String> {
    let words = |name: &str| {
        let named = study.candidates.iter().filter(|one| one.name() == name && one.evidence().is_none());
        let read: Vec<_> = named.filter_map(|one| Some((one.reading()?, one.reading_weight()?))).collect();
        let (first, weight) = read.first()?;
        let each = read
            .iter()
            .map(|(reading, weight)| format!("{} {} %", reading.short(), significant(weight.percent(), 2)));
        let alike = read.iter().all(|(_, other)| (other.si() / weight.si() - 1.0).abs() < 1e-9);
        let said = if alike { "alike, as nothing else is said" } else { "as the study weighs them" };
        Some(format!(
            "Readings of the {} of {name}, {said}: {}. No evidence stands beside them that could favour one; each is sized, \
             and nothing is averaged.",
            first.of(),
            listed(first, each)
        ))
    };
    names(study).into_iter().filter_map(words).collect()
}

fn names(study: &Study) -> Vec<&str> {
    let mut names: Vec<&str> = study.candidates.iter().map(Candidate::name).collect();
    names.dedup();
    names
}

/// Set apart so that a reading of several dimensions stays one.
fn listed(of: &WheelReading, each: impl Iterator<Item = String>) -> String {
    let apart = if of.dimensions().len() > 1 { "; " } else { ", " };
    each.collect::<Vec<_>>().join(apart)
}

/// "46.4 mm 62 % (50 % before), 48.2 mm 38 % (50 % before)".
fn each(weights: &ReadingWeights) -> String {
    let each = weights.iter().map(|one| {
        let [before, after] = [one.before, one.after].map(|share| significant(share.percent(), 2));
        format!("{} {after} % ({before} % before)", one.reading.short())
    });
    weights.first().map_or(String::new(), |first| listed(&first.reading, each))
}

fn favoured(name: &str, weights: &ReadingWeights) -> String {
    let by = |(reading, odds): (&WheelReading, f64)| {
        format!("{} by {} to 1", reading.short(), significant(odds, 2))
    };
    let measure = |odds: f64| if odds < 3.0 { ", hardly worth a mention: measure again" } else { "" };
    let said = match (weights.favoured(), weights.favoured_by_evidence()) {
        (None, _) => "it favours none".into(),
        (Some(both), Some(alone)) if !weights.were_alike() => format!(
            "the evidence alone favours {}{}; with the weights before it {}{}",
            by(alone),
            measure(alone.1),
            by(both),
            measure(both.1)
        ),
        (Some(both), _) => format!("it favours {}{}", by(both), measure(both.1)),
    };
    let of = weights.first().map_or(String::new(), |one| one.reading.of());
    let by_dimension = weights.of_each_dimension();
    let dimensions = by_dimension
        .iter()
        .filter_map(|one| Some(format!(" Of the {} by itself: {}.", one.first()?.reading.of(), each(one))));
    format!(
        "Readings of the {of} of {name} by the evidence: {}; {said}.{} Nothing is averaged.",
        each(weights),
        dimensions.collect::<String>()
    )
}
