//! Runs a notebook's program and reads what it reports.

use super::failure::{Failure, Kind, Place};
use super::program::Program;
use super::shown::Shown;
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::path::Path;
use std::process::{Command, ExitStatus, Stdio, id};
use std::thread::sleep;
use std::time::{Duration, Instant};

/// Gives what each cell showed. The program runs in `home`; `scratch` takes its report and what it prints.
pub fn run(
    executable: &Path,
    [home, scratch]: [&Path; 2],
    program: &Program,
    limit: Duration,
) -> Result<BTreeMap<usize, Shown>, Failure> {
    // Two test runs may share the target folder.
    let report_path = scratch.join(format!("report-{}", id()));
    let stderr_path = scratch.join(format!("stderr-{}", id()));
    let stdout_path = scratch.join(format!("stdout-{}", id()));
    fs::write(&report_path, "")?;
    let mut child = Command::new(executable)
        .current_dir(home)
        .env("NOTEBOOK_REPORT", &report_path)
        .stdin(Stdio::null())
        .stdout(File::create(&stdout_path)?)
        .stderr(File::create(&stderr_path)?)
        .spawn()?;
    let deadline = Instant::now() + limit;
    let status = loop {
        if let Some(status) = child.try_wait()? {
            break Some(status);
        }
        if Instant::now() > deadline {
            child.kill()?;
            child.wait()?;
            break None;
        }
        sleep(Duration::from_millis(5));
    };
    let report = Report::parse(&fs::read_to_string(&report_path)?);
    let stderr = String::from_utf8_lossy(&fs::read(&stderr_path)?).into_owned();
    let stdout = String::from_utf8_lossy(&fs::read(&stdout_path)?).into_owned();
    for path in [report_path, stderr_path, stdout_path] {
        fs::remove_file(path)?;
    }
    match status {
        None => {
            let message = format!("still running after {limit:?}, so it was killed");
            Err(Failure::new(Kind::Stopped, message).at(report.at))
        }
        Some(status) => {
            report.judge(status, &stderr, program)?;
            Ok(Shown::by_cell(&stdout))
        }
    }
}

/// What the runtime wrote: see there for the words of a line.
#[derive(Default)]
struct Report {
    at: Option<Place>,
    trouble: Option<Trouble>,
    ended: bool,
}

struct Trouble {
    word: String,
    line: usize,
    column: usize,
    message: String,
}

impl Report {
    fn parse(text: &str) -> Self {
        let mut report = Self::default();
        for record in text.lines() {
            if let Some(more) = record.strip_prefix('\t') {
                if let Some(trouble) = &mut report.trouble {
                    trouble.message = format!("{}\n{more}", trouble.message);
                }
                continue;
            }
            let mut words = record.splitn(4, ' ');
            let word = words.next().unwrap_or_default().to_owned();
            let mut number = || words.next().and_then(|word| word.parse().ok());
            match word.as_str() {
                "end" => report.ended = true,
                "at" => {
                    report.at = number().zip(number()).map(|(cell, line)| Place { cell, line });
                    // Whatever panicked before was caught: the cells went on.
                    report.trouble = None;
                }
                _ => {
                    report.trouble = Some(Trouble {
                        word,
                        line: number().unwrap_or(0),
                        column: number().unwrap_or(0),
                        message: words.next().unwrap_or_default().to_owned(),
                    });
                }
            }
        }
        report
    }

    fn judge(self, status: ExitStatus, stderr: &str, program: &Program) -> Result<(), Failure> {
        if self.ended && status.success() {
            return Ok(());
        }
        let Some(trouble) = self.trouble else {
            let message = format!("the process ended early ({status})\n{}", stderr.trim());
            return Err(Failure::new(Kind::Stopped, message.trim_end()).at(self.at));
        };
        let asserts =
            program.asserts_at(trouble.line, trouble.column) || trouble.message.starts_with("assertion ");
        let kind = match trouble.word.as_str() {
            "error" => Kind::ReturnedError,
            _ if asserts => Kind::FailedAssertion,
            _ => Kind::Panic,
        };
        // A function may come from an earlier cell; the cell that fails is the one that calls it.
        let raised = program.place(trouble.line);
        let here = raised.filter(|raised| Some(raised.cell) == self.at.map(|at| at.cell));
        let message = match raised {
            Some(Place { cell, line }) if here.is_none() => {
                format!("{} (raised in cell {cell}, line {line})", trouble.message)
            }
            _ => trouble.message,
        };
        Err(Failure::new(kind, message).at(here.or(self.at)))
    }
}
