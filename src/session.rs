//! What the user of a notebook has chosen for this session.
//!
//! A static would not last: the kernel links each cell with a copy of this library of its own, statics included.
//! What the cells of one session share and other sessions do not is their process. So a choice is an empty folder
//! among the temporary files whose name holds the number of the process and the time of its start. Each change
//! of a choice also removes what sessions that have ended left behind.

/// The units in which a notebook shows quantities: of the SI, of the trade, or both.
///
/// The SI's are those in use: kPa, kg/s, mm, kW, with degC and rpm. Where the trade has no unit of its own, the
/// SI's stays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(
    not(any(feature = "notebook", test)),
    expect(dead_code, reason = "only a notebook has a user who chooses")
)]
pub enum Units {
    /// "203.0 kPa".
    Si,
    /// "29.4 psia".
    Trade,
    /// "203.0 kPa (29.4 psia)".
    Both,
}

/// The units of this session: both until it chooses.
#[cfg(not(feature = "notebook"))]
pub(crate) fn units() -> Units {
    Units::Both
}

#[cfg(feature = "notebook")]
pub(crate) use chosen::{Choice, set_units, units};

#[cfg(feature = "notebook")]
mod chosen {
    use super::Units;
    use std::io::{Error, Result};
    use std::path::{Path, PathBuf};

    const PREFIX: &str = "shaftwork-session-";

    /// The units of this session: both until it chooses.
    pub(crate) fn units() -> Units {
        match [SI, TRADE].map(|choice| choice.is_made()) {
            [true, false] => Units::Si,
            [false, true] => Units::Trade,
            _ => Units::Both,
        }
    }
    pub(crate) fn set_units(units: Units) -> Result<()> {
        SI.make(units == Units::Si)?;
        TRADE.make(units == Units::Trade)
    }

    const SI: Choice = Choice("units-si");
    const TRADE: Choice = Choice("units-trade");

    /// Something that holds in this session or does not, by its name.
    pub(crate) struct Choice(pub &'static str);

    impl Choice {
        pub fn is_made(&self) -> bool {
            is_made(&self.path())
        }
        pub fn make(&self, made: bool) -> Result<()> {
            sweep(&std::env::temp_dir());
            make(&self.path(), made)
        }
        fn path(&self) -> PathBuf {
            let process = std::process::id();
            let name = format!("{PREFIX}{process}-{}-{}", start_of(process).unwrap_or(0), self.0);
            std::env::temp_dir().join(name)
        }
    }

    fn is_made(path: &Path) -> bool {
        path.is_dir()
    }
    fn make(path: &Path, made: bool) -> Result<()> {
        let done = if made { std::fs::create_dir(path) } else { std::fs::remove_dir(path) };
        match done {
            Err(error) if is_made(path) != made => {
                let place = path.parent().unwrap_or(path).display();
                let words = format!(
                    "what a session chooses is kept in {place}, where nothing can be changed ({error}); start with \
                     TMPDIR set to a folder that can be written"
                );
                Err(Error::new(error.kind(), words))
            }
            _ => Ok(()),
        }
    }

    /// When a process started, in the system's own count; nothing where there is no such process, or no Linux.
    fn start_of(process: u32) -> Option<u64> {
        let status = std::fs::read_to_string(format!("/proc/{process}/stat")).ok()?;
        // The name of the program stands in brackets and may hold anything; the start is the twentieth word behind.
        status.rsplit_once(')')?.1.split_whitespace().nth(19)?.parse().ok()
    }

    /// Removes the choices of sessions that have ended. Only Linux tells them apart; other systems clear their
    /// temporary files themselves.
    fn sweep(folder: &Path) {
        if start_of(std::process::id()).is_none() {
            return;
        }
        for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
            let name = entry.file_name();
            let process = name.to_str().and_then(|name| {
                let (process, rest) = name.strip_prefix(PREFIX)?.split_once('-')?;
                Some((process.parse().ok()?, rest.split_once('-')?.0.parse().ok()?))
            });
            if process.is_some_and(|(process, start)| start_of(process) != Some(start)) {
                // Whoever else sweeps may be first.
                let _ = std::fs::remove_dir(entry.path());
            }
        }
    }

    #[cfg(test)]
    mod tests {
        use super::*;

        fn folder(name: &str) -> PathBuf {
            let folder = std::env::temp_dir().join(format!("shaftwork-test-{name}-{}", std::process::id()));
            let _ = std::fs::remove_dir_all(&folder);
            std::fs::create_dir(&folder).unwrap();
            folder
        }

        // The only test that moves a choice of this process: others must not see it move.
        #[test]
        fn a_choice_holds_until_it_is_changed() {
            let choice = Choice("for-a-test");
            for made in [true, true, false, false] {
                choice.make(made).unwrap();
                assert_eq!(choice.is_made(), made);
            }
        }

        #[test]
        fn a_choice_that_cannot_be_kept_says_what_to_do() {
            let place = folder("not-kept");
            let error = make(&place.join("missing").join("choice"), true).unwrap_err().to_string();
            assert!(error.contains("missing") && error.contains("TMPDIR"), "{error}");
            // What is not ours stays: a folder with content, a file.
            let in_use = place.join("in-use");
            std::fs::create_dir_all(in_use.join("content")).unwrap();
            assert!(make(&in_use, false).is_err() && is_made(&in_use));
            let file = place.join("file");
            std::fs::write(&file, "").unwrap();
            assert!(make(&file, true).is_err() && !is_made(&file) && file.exists());
            std::fs::remove_dir_all(place).unwrap();
        }

        #[test]
        #[cfg(target_os = "linux")]
        fn what_an_ended_session_left_is_removed_and_nothing_else() {
            let place = folder("swept");
            let own = std::process::id();
            let start = start_of(own).unwrap();
            let mut ended = std::process::Command::new("true").spawn().unwrap();
            let gone = ended.id();
            ended.wait().unwrap();
            // The number of a process comes again; its start does not.
            let left = [format!("{gone}-{start}-units-si"), format!("{own}-{}-hidden-steps", start - 1)];
            let kept = [format!("{own}-{start}-units-trade"), "notes".into(), "x-1-units-si".into()];
            for name in left.iter().chain(&kept) {
                std::fs::create_dir(place.join(format!("{PREFIX}{name}"))).unwrap();
            }
            sweep(&place);
            assert!(left.iter().all(|name| !place.join(format!("{PREFIX}{name}")).exists()));
            assert!(kept.iter().all(|name| place.join(format!("{PREFIX}{name}")).exists()));
            std::fs::remove_dir_all(place).unwrap();
        }

        #[test]
        fn a_value_printed_in_both_units_comes_apart() {
            for (both, si, trade) in [
                ("203.0 kPa (29.4 psia)", "203.0 kPa", "29.4 psia"),
                ("300.0 g/kWh (0.493 lb/(hp h))", "300.0 g/kWh", "0.493 lb/(hp h)"),
                ("1005 J/(kg K)", "1005 J/(kg K)", "1005 J/(kg K)"),
                ("24.0 degC", "24.0 degC", "24.0 degC"),
            ] {
                let found = [Units::Both, Units::Si, Units::Trade].map(|units| units.of(both));
                assert_eq!(found, [both, si, trade]);
            }
        }
    }
}

#[cfg(feature = "notebook")]
impl Units {
    /// A quantity that was printed in both units.
    pub(crate) fn of(self, both: &str) -> String {
        let apart = both.strip_suffix(')').and_then(|rest| rest.split_once(" ("));
        match (self, apart) {
            (Self::Si, Some((si, _))) => si.into(),
            (Self::Trade, Some((_, trade))) => trade.into(),
            _ => both.into(),
        }
    }
}
