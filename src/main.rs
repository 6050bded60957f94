//! The command line.

use clap::{Arg, ArgMatches, Command, value_parser};
use shaftwork::report;
use shaftwork::study::Study;
use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

fn main() -> ExitCode {
    let matches = command().get_matches();
    let outcome = match matches.subcommand() {
        Some(("size", matches)) => size(matches),
        _ => size(&ArgMatches::default()),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
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
    Command::new("shaftwork")
        .version(env!("CARGO_PKG_VERSION"))
        .about("Sizes a turbocharger to an engine, every number open to review")
        .subcommand(
            Command::new("size")
                .about("Says for each candidate whether it reaches the target, the most it gives and what stops it")
                .arg(study)
                .arg(out),
        )
}

fn size(matches: &ArgMatches) -> Result<(), Box<dyn std::error::Error>> {
    let study = match matches.try_get_one::<PathBuf>("study").ok().flatten() {
        Some(path) => Study::from_file(path)?,
        None => Study::demo()?,
    };
    let sizing = study.size()?;
    let files = match matches.try_get_one::<PathBuf>("out").ok().flatten() {
        Some(folder) => report::write(&sizing, folder)?.0,
        None => Vec::new(),
    };
    let mut out = std::io::stdout().lock();
    // A reader that closes the pipe early, such as a pager, is no error.
    if out.write_all(report::text(&sizing).as_bytes()).is_err() {
        return Ok(());
    }
    for path in files {
        let _ = writeln!(out, "written: {}", path.display());
    }
    Ok(())
}
