//! The command line.

use clap::{Arg, ArgAction, ArgMatches, Command, value_parser};
use shaftwork::report;
use shaftwork::study::Study;
use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

fn main() -> ExitCode {
    let matches = command().get_matches();
    let outcome = match matches.subcommand() {
        Some(("size", matches)) => size(matches),
        Some(("recheck", matches)) => recheck(matches),
        Some(("diff", matches)) => diff(matches),
        _ => size(&ArgMatches::default()),
    };
    match outcome {
        Ok(code) => code,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}

fn command() -> Command {
    let study = Arg::new("study")
        .value_name("STUDY")
        .help("Study file (TOML); without it, the built-in demonstration")
        .value_parser(value_parser!(PathBuf));
    let out = Arg::new("out")
        .long("out")
        .value_name("DIR")
        .help("Folder for report.html, sizing.txt, results.json and a figure for each map")
        .value_parser(value_parser!(PathBuf));
    let complete = Arg::new("complete")
        .long("complete")
        .help("Refuse a study with an input that says neither source nor grade")
        .action(ArgAction::SetTrue);
    let worksheets = Arg::new("worksheets")
        .long("worksheets")
        .help("Write the steps behind each result into DIR/worksheets, as Python scripts and OpenFormula CSV")
        .requires("out")
        .action(ArgAction::SetTrue);
    let remedies = Arg::new("remedies")
        .long("remedies")
        .help("Say every limit that each candidate meets, in order, and what would help, in the files too: seconds more")
        .action(ArgAction::SetTrue);
    let results = |name: &'static str, help: &'static str| {
        Arg::new(name).value_name("RESULTS").help(help).required(true).value_parser(value_parser!(PathBuf))
    };
    Command::new("shaftwork")
        .version(env!("CARGO_PKG_VERSION"))
        .about("Sizes a turbocharger to an engine, every number open to review")
        .subcommand(
            Command::new("size")
                .about("Says for each candidate whether it reaches the target, the most it gives and what stops it; exit code 1 where one of them could not be sized")
                .args([study, out, complete, worksheets, remedies]),
        )
        .subcommand(
            Command::new("recheck")
                .about("Computes a saved result again from its own recorded inputs; exit code 1 where it differs")
                .arg(results("results", "The results.json of a sizing")),
        )
        .subcommand(
            Command::new("diff")
                .about("Says how two saved results differ, and which result moved because of which input")
                .args([results("first", "The results.json of one sizing"), results("second", "That of another")]),
        )
}

/// Prints, and does not mind a reader that closes the pipe early, such as a pager.
fn print(text: &str) {
    let _ = std::io::stdout().lock().write_all(text.as_bytes());
}

type Outcome = Result<ExitCode, Box<dyn std::error::Error>>;

fn recheck(matches: &ArgMatches) -> Outcome {
    let found = report::recheck(file(matches, "results")?)?;
    print(&found.to_string());
    Ok(if found.differ.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn diff(matches: &ArgMatches) -> Outcome {
    print(&report::diff(file(matches, "first")?, file(matches, "second")?)?.to_string());
    Ok(ExitCode::SUCCESS)
}

fn file<'m>(matches: &'m ArgMatches, name: &str) -> Result<&'m PathBuf, String> {
    matches.get_one(name).ok_or_else(|| format!("{name} is missing"))
}

fn size(matches: &ArgMatches) -> Outcome {
    let flag = |name| matches.try_get_one::<bool>(name).ok().flatten().is_some_and(|set| *set);
    let study = match matches.try_get_one::<PathBuf>("study").ok().flatten() {
        Some(path) => Study::from_file(path)?,
        None => Study::demo()?,
    };
    let bare = study.bare_inputs();
    if flag("complete") && bare.iter().next().is_some() {
        return Err(bare.into());
    }
    let sizing = match study.size()? {
        sizing if flag("remedies") => sizing.with_cures()?,
        sizing => sizing,
    };
    let mut files = Vec::new();
    if let Some(folder) = matches.try_get_one::<PathBuf>("out").ok().flatten() {
        files = report::write(&sizing, folder)?.0;
        if flag("worksheets") {
            files.extend(report::write_worksheets(&sizing, &folder.join("worksheets"))?.0);
        }
    }
    print(&report::text(&sizing));
    for path in files {
        print(&format!("written: {}\n", path.display()));
    }
    if sizing.is_whole() {
        return Ok(ExitCode::SUCCESS);
    }
    for one in &sizing.not_sized {
        eprintln!("{one}");
    }
    Ok(ExitCode::FAILURE)
}
