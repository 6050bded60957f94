//! The sizing as plain text, the verdict first.

use super::cures;
use super::evidence::{HEAD, MEANING, readings, rows, told};
use super::pick::{Least, hardest, label, least, least_head, not_judged, not_validated};
use super::{alive, away, change, estimated};
use crate::quantity::{Quantity, significant};
use crate::shaft::{NOT_JUDGED, Verdict, answer, doubt_words, most_words, stop_words};
use crate::study::{Entry, Missing, Sizing};
use core::fmt::Write;

/// Writes a sizing as text.
pub fn text(sizing: &Sizing) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = head(&mut out, sizing)
        .and_then(|()| verdicts(&mut out, sizing))
        .and_then(|()| not_sized(&mut out, sizing))
        .and_then(|()| doubts(&mut out, sizing))
        .and_then(|()| evidence(&mut out, sizing))
        .and_then(|()| estimated_maps(&mut out, sizing))
        .and_then(|()| rises(&mut out, sizing))
        .and_then(|()| cures::text(&mut out, sizing))
        .and_then(|()| sizing.entries.iter().try_for_each(|entry| details(&mut out, sizing, entry)))
        .and_then(|()| assumptions(&mut out, sizing));
    out
}

/// What the bands of a verdict hold.
pub(super) const BANDS: [&str; 2] = [
    "In brackets, and behind yes, open and no: turbine area and estimated maps one standard deviation down and up;",
    "all else stands as given or assumed.",
];
/// What a candidate without a published map stands on.
pub(super) const NO_MAP: &str = "A candidate without a published map is judged on one estimated from its wheel, each reading as a map of its own; the edges of such a map have a band.";

fn head(out: &mut String, sizing: &Sizing) -> core::fmt::Result {
    let study = &sizing.study;
    let invented = if study.invented { " (invented demonstration)" } else { "" };
    writeln!(out, "shaftwork {}   {}{invented}", env!("CARGO_PKG_VERSION"), study.title)?;
    let [from, to] = study.target.ends().map(|speed| significant(speed.rpm(), 4));
    writeln!(out, "target  {} at the crank, held from {from} to {to} rpm", study.target.power().both())?;
    let site = &study.installation.site;
    let vapour = significant(site.vapour().percent(), 2);
    writeln!(
        out,
        "site    {:.0} m, {}, {}, {vapour} % water vapour by volume",
        site.altitude().m(),
        site.pressure().both(),
        site.temperature()
    )
}

fn verdicts(out: &mut String, sizing: &Sizing) -> core::fmt::Result {
    writeln!(out, "\nVERDICT")?;
    let target = format!("{} kW?", significant(sizing.study.target.power().kw(), 3));
    let mut lines = vec![[
        "candidate".to_string(),
        "fuel".into(),
        target,
        "most power".into(),
        "stopped first by".into(),
    ]];
    for entry in &sizing.entries {
        let [candidate, fuel] = label(sizing, entry);
        let most = &entry.judgement.most;
        let said = answer(&entry.judgement.verdict).to_string();
        lines.push([candidate, fuel, said, most_words(most), stop_words(&most.stop)]);
    }
    for ([candidate, fuel], _) in not_judged(sizing) {
        lines.push([candidate, fuel, Missing::Judgement.words().into(), String::new(), String::new()]);
    }
    columns(out, &lines)?;
    writeln!(out, "  {}", BANDS.join("\n  "))?;
    writeln!(out, "  Not judged yet: {}.", NOT_JUDGED.join("; "))?;
    for words in [NO_MAP.to_string()].into_iter().chain(not_validated(sizing)) {
        writeln!(out, "  {}", wrapped(&words, WIDE).join("\n  "))?;
    }
    Ok(())
}

pub(super) fn columns<const N: usize>(out: &mut String, lines: &[[String; N]]) -> core::fmt::Result {
    let width: [usize; N] =
        core::array::from_fn(|i| lines.iter().map(|line| line[i].chars().count()).max().unwrap_or(0));
    for line in lines {
        let row: Vec<String> =
            line.iter().zip(width).map(|(cell, width)| format!("{cell:<width$}")).collect();
        writeln!(out, "  {}", row.join("  ").trim_end())?;
    }
    Ok(())
}

/// What is said above the reasons.
pub(super) const NOT_SIZED: &str = "Of these the calculation was refused or did not settle; all else stands.";

fn not_sized(out: &mut String, sizing: &Sizing) -> core::fmt::Result {
    if sizing.is_whole() {
        return Ok(());
    }
    writeln!(out, "\nNOT SIZED\n  {NOT_SIZED}")?;
    for one in &sizing.not_sized {
        writeln!(out, "  {}", wrapped(&one.to_string(), WIDE).join("\n    "))?;
    }
    Ok(())
}

fn doubts(out: &mut String, sizing: &Sizing) -> core::fmt::Result {
    let open = sizing.entries.iter().filter_map(|entry| match &entry.judgement.verdict {
        Verdict::Open(doubts) => Some((entry, doubts)),
        _ => None,
    });
    for (i, (entry, doubts)) in open.enumerate() {
        if i == 0 {
            writeln!(out, "\nWHAT LEAVES A VERDICT OPEN")?;
        }
        writeln!(out, "  {}", label(sizing, entry).join(", on "))?;
        for doubt in doubts {
            writeln!(out, "    {}", doubt_words(doubt))?;
        }
    }
    Ok(())
}

fn evidence(out: &mut String, sizing: &Sizing) -> core::fmt::Result {
    for (i, (candidate, combined)) in told(&sizing.study).enumerate() {
        if i == 0 {
            writeln!(out, "\nEVIDENCE OF A MAP")?;
            for said in core::iter::once(MEANING.to_string()).chain(readings(&sizing.study)) {
                writeln!(out, "  {}", wrapped(&said, 108).join("\n  "))?;
            }
        }
        writeln!(out, "  {}", candidate.label())?;
        let head = HEAD.map(String::from);
        columns(out, &core::iter::once(head).chain(rows(combined)).collect::<Vec<_>>())?;
        writeln!(out, "  {}", wrapped(&combined.judgement(), 108).join("\n  "))?;
    }
    Ok(())
}

fn estimated_maps(out: &mut String, sizing: &Sizing) -> core::fmt::Result {
    for (i, (candidate, lines)) in estimated::told(&sizing.study).enumerate() {
        if i == 0 {
            writeln!(out, "\nESTIMATED MAPS\n  {}", wrapped(estimated::MEANING, WIDE).join("\n  "))?;
        }
        writeln!(out, "  {}", estimated::title(candidate))?;
        let head = core::iter::once(estimated::HEAD.map(String::from));
        columns(out, &head.chain(lines.iter().map(estimated::row)).collect::<Vec<_>>())?;
    }
    Ok(())
}

fn rises(out: &mut String, sizing: &Sizing) -> core::fmt::Result {
    writeln!(out, "\nWHEN IT COMES ALIVE")?;
    for line in wrapped(&alive::setting(sizing), WIDE) {
        writeln!(out, "  {line}")?;
    }
    let mut lines = vec![alive::heads(sizing)];
    lines.extend(sizing.entries.iter().map(|entry| alive::row(sizing, entry)));
    columns(out, &lines)?;
    for (remark, all) in alive::remarks(sizing) {
        let words = format!("{}: {remark}", all.join("; "));
        writeln!(out, "  {}", wrapped(&words, WIDE).join("\n    "))?;
    }
    if let Some(setting) = change::setting(sizing) {
        let rows = sizing.entries.iter().filter_map(|entry| change::row(sizing, entry));
        let lines = core::iter::once(change::HEADS.map(String::from)).chain(rows).collect::<Vec<_>>();
        part(out, "AFTER A GEAR CHANGE", &setting, &lines)?;
    }
    if let Some(setting) = away::setting(sizing) {
        let rows = sizing.entries.iter().flat_map(|entry| away::rows(sizing, entry));
        let lines = core::iter::once(away::heads(sizing)).chain(rows).collect::<Vec<_>>();
        part(out, "AT OTHER PLACES", &setting, &lines)?;
    }
    Ok(())
}

/// A part of the text: its title, how to read it, a table.
fn part<const N: usize>(
    out: &mut String,
    title: &str,
    setting: &str,
    lines: &[[String; N]],
) -> core::fmt::Result {
    writeln!(out, "\n{title}")?;
    for line in wrapped(setting, WIDE) {
        writeln!(out, "  {line}")?;
    }
    columns(out, lines)
}

/// The length of a line of running text.
const WIDE: usize = 108;
/// The widest columns of the assumptions.
const OF_ASSUMPTIONS: [usize; 4] = [38, 34, 44, 16];

/// Columns that are no wider than stated: what is longer goes on below.
fn columns_within<const N: usize>(
    out: &mut String,
    most: [usize; N],
    lines: &[[String; N]],
) -> core::fmt::Result {
    let mut all: Vec<[String; N]> = Vec::new();
    for line in lines {
        let cells: [Vec<String>; N] = core::array::from_fn(|i| wrapped(&line[i], most[i]));
        let rows = cells.iter().map(Vec::len).max().unwrap_or(0);
        all.extend(
            (0..rows).map(|row| core::array::from_fn(|i| cells[i].get(row).cloned().unwrap_or_default())),
        );
    }
    columns(out, &all)
}

/// Words in lines of at most so many letters.
fn wrapped(text: &str, most: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let last = lines.last_mut().filter(|line| line.is_empty() || line.len() + word.len() < most);
        match last {
            Some(line) if line.is_empty() => line.push_str(word),
            Some(line) => *line += &format!(" {word}"),
            None => lines.push(word.into()),
        }
    }
    lines
}

fn details(out: &mut String, sizing: &Sizing, entry: &Entry) -> core::fmt::Result {
    let title = label(sizing, entry).join(", on ");
    writeln!(out, "\n{title}\n{}", "-".repeat(title.chars().count()))?;
    for (speed, error) in
        entry.judgement.points.iter().filter_map(|(speed, found)| Some((speed, found.as_ref().err()?)))
    {
        let words = format!("at {:.0} rpm: {error}", speed.rpm());
        writeln!(out, "  {}", wrapped(&words, WIDE).join("\n    "))?;
    }
    let Some((_, hardest)) = hardest(entry) else {
        return Ok(());
    };
    let mut margins = vec![["margin to", least_head(entry), "at", "band"].map(String::from)];
    let shown = |Least { words, shown, at, band, .. }: Least| [words, shown, at, band];
    margins.extend(least(entry).into_iter().map(shown));
    columns(out, &margins)?;
    writeln!(
        out,
        "  the state at {:.0} rpm, where the margins are least, and the function behind each number",
        hardest.demand.speed.rpm()
    )?;
    let rows: Vec<[String; 3]> =
        hardest.rows().into_iter().map(|row| [row.words.into(), row.shown, row.by.into()]).collect();
    columns(out, &rows)
}

fn assumptions(out: &mut String, sizing: &Sizing) -> core::fmt::Result {
    writeln!(out, "\nASSUMPTIONS (every default and simplification in use)")?;
    let head = ["what", "value", "band", "grade"].map(String::from);
    let listed = sizing.study.assumptions.iter();
    let listed = listed.map(|a| [a.what.clone(), a.value.clone(), a.band.clone(), a.grade.words().into()]);
    let lines: Vec<[String; 4]> = core::iter::once(head).chain(listed).collect();
    columns_within(out, OF_ASSUMPTIONS, &lines)?;
    let bare: Vec<&str> =
        sizing.study.inputs.iter().filter(|input| input.is_bare()).map(|input| input.key.as_str()).collect();
    writeln!(
        out,
        "\n{} inputs, {} of them without a source or grade; the target, which is asked for, needs none.",
        sizing.study.inputs.len(),
        bare.len()
    )?;
    if !bare.is_empty() {
        writeln!(out, "  not vouched for: {}", bare.join(", "))?;
    }
    writeln!(out, "\nCAUTIONS\n  {}", CAUTIONS.join("\n  "))
}

/// What every output says, in lines.
pub(super) const CAUTIONS: [&str; 4] = [
    "These numbers help to choose and to plan; they do not release anything for use. A wheel that overspeeds can",
    "burst, a lean or knocking engine fails at once, and a leaking fuel or oil line near a turbine burns. Keep to",
    "the makers' limits, have pressure, fuel and brake work checked by qualified people, and follow local law:",
    "changes to engine and exhaust can end a vehicle's approval for the road.",
];
