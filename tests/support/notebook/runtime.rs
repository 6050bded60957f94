//! The part of a notebook's program that is the same for each: it shows values and writes a report.
//!
//! Values are shown on stdout as the kernel expects them; there a control character and the number of
//! the cell stand where a cell begins.
//!
//! A line of the report is one of `at CELL LINE`, `panic LINE COLUMN MESSAGE`,
//! `error LINE COLUMN MESSAGE` and `end`, where LINE and COLUMN of the last two point into the
//! program, or are 0 for a panic elsewhere. More lines of a message start with a tab.

use std::fmt::Debug;
use std::io::Write as _;
use std::panic::{Location, PanicHookInfo};
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};

/// Shows a value that has no `evcxr_display` of its own, as the kernel does: a method of the value
/// itself is preferred to this one, and a value that has neither does not compile.
pub trait Show {
    fn evcxr_display(&self);
}

impl<T: Debug + ?Sized> Show for T {
    fn evcxr_display(&self) {
        println!("EVCXR_BEGIN_CONTENT text/plain\n{self:?}\nEVCXR_END_CONTENT");
    }
}

/// What `?` makes of an error. It is not `Debug` itself: that leaves room for this conversion.
pub struct Fault(String);

impl<E: Debug> From<E> for Fault {
    #[track_caller]
    fn from(error: E) -> Self {
        Fault(trouble("error", Location::caller(), &format!("{error:?}")))
    }
}

pub fn main(source: &'static str, run: fn() -> Result<(), Fault>) {
    std::panic::set_hook(Box::new(move |panic: &PanicHookInfo| {
        let message = panic.payload_as_str().unwrap_or("a panic without a text");
        let record = match panic.location() {
            Some(place) if place.file() == source => trouble("panic", place, message),
            place => {
                let place = place.map(ToString::to_string).unwrap_or_default();
                lines(&format!("panic 0 0 {message} (raised at {place})"))
            }
        };
        write(&record);
    }));
    match run() {
        Ok(()) => write("end"),
        Err(Fault(record)) => {
            write(&record);
            std::process::exit(1);
        }
    }
}

/// Says that a statement is about to run.
pub fn at(cell: usize, line: usize) {
    static LAST: AtomicUsize = AtomicUsize::new(0);
    if LAST.swap(cell, Relaxed) != cell {
        println!("\u{1}{cell}");
    }
    write(&format!("at {cell} {line}"));
}

fn trouble(word: &str, place: &Location, message: &str) -> String {
    lines(&format!(
        "{word} {} {} {message}",
        place.line(),
        place.column()
    ))
}

fn lines(record: &str) -> String {
    record.replace('\n', "\n\t")
}

/// Opened for each line, so that nothing is lost however the process ends.
fn write(record: &str) {
    let path = std::env::var_os("NOTEBOOK_REPORT").expect("the path of the report");
    let file = std::fs::OpenOptions::new().append(true).open(path);
    let line = format!("{record}\n");
    file.expect("the report")
        .write_all(line.as_bytes())
        .expect("room for the report");
}
