//! What the evidence of a candidate without a map was worth, in rows and words.

use crate::compressor::{Combined, MiddleBand, ReadingWeights};
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

/// Which reading the evidence favours, for each candidate read in several ways.
pub(super) fn readings(study: &Study) -> Vec<String> {
    let mut names: Vec<&str> = study.candidates.iter().map(Candidate::name).collect();
    names.dedup();
    let words = |name: &str| study.reading_weights(name).map(|weights| favoured(name, &weights));
    names.into_iter().filter_map(words).collect()
}

fn favoured(name: &str, weights: &ReadingWeights) -> String {
    let each = weights.iter().map(|one| {
        let [before, after] = [one.before, one.after].map(|share| significant(share.percent(), 2));
        format!("{:.1} mm {after} % ({before} % before)", one.reading.mm())
    });
    let each = each.collect::<Vec<_>>().join(", ");
    let said = weights.favoured().map_or("it favours none".into(), |(reading, odds)| {
        let advice = if odds < 3.0 { ", hardly worth a mention: measure again" } else { "" };
        format!("it favours {:.1} mm by {} to 1{advice}", reading.mm(), significant(odds, 2))
    });
    format!("Readings of the inducer of {name} by the evidence: {each}; {said}. Nothing is averaged.")
}
