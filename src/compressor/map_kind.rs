//! The kinds of file that hold a compressor map, told apart by the first key of their front matter.

use super::{CompressorMap, FittedMap, MeasuredMap, PrintedMap};
use crate::problem::{Problem, Problems};
use crate::quantity::shorten;
use crate::table::{from_file, numbered};
use std::path::Path;

/// What a file of a compressor map holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MapKind {
    /// Speed lines, each point on its line: read as they stand.
    Lines,
    /// Speed lines without efficiency and contours without speed, as printed: merged.
    Printed,
    /// Readings that scatter about their speed lines: fitted.
    Measured,
}

impl MapKind {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Lines, Self::Printed, Self::Measured];

    /// The key of the front matter that names it, followed by its version.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Lines => "shaftwork-map",
            Self::Printed => "shaftwork-printed-map",
            Self::Measured => "shaftwork-measured-map",
        }
    }
    /// What was made of such a file, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Lines => "compressor map",
            Self::Printed => "printed map, merged",
            Self::Measured => "measured readings, fitted",
        }
    }

    /// The kind of a text, by the key of its front matter that begins with `shaftwork-`. A text without such a key is
    /// a printed map if it has a column `kind`, otherwise speed lines.
    ///
    /// ```
    /// use shaftwork::compressor::MapKind;
    /// assert_eq!(MapKind::of("m.csv", "# shaftwork-measured-map: 1")?, MapKind::Measured);
    /// assert_eq!(MapKind::of("m.csv", "corrected speed [rpm],corrected flow [kg/s]")?, MapKind::Lines);
    /// # Ok::<(), shaftwork::problem::Problems>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`Problems`] with the line of a key of that kind that names no map of a compressor; `file` names the text in it.
    pub fn of(file: &str, text: &str) -> Result<Self, Problems> {
        let mut front = numbered(text).filter_map(|(line, text)| {
            let (key, _) = text.strip_prefix('#')?.trim_start_matches('#').split_once(':')?;
            let key = key.trim().to_lowercase();
            key.starts_with("shaftwork-").then_some((line, key))
        });
        if let Some((line, key)) = front.next() {
            return Self::ALL.into_iter().find(|kind| kind.key() == key).ok_or_else(|| {
                let kinds = Self::ALL.map(|kind| format!("{} ({})", kind.key(), kind.words())).join(", ");
                let key = shorten(&key);
                let message = format!("\"{key}\" is no kind of compressor map; the kinds are {kinds}");
                Problems(vec![Problem { file: file.into(), line: Some(line), at: None, message }])
            });
        }
        let mut lines = numbered(text).map(|(_, line)| line);
        let header = lines.find(|line| !line.starts_with('#') && !line.trim().is_empty());
        let columns = |line: &str| line.split(',').any(|field| field.trim().eq_ignore_ascii_case("kind"));
        Ok(if header.is_some_and(columns) { Self::Printed } else { Self::Lines })
    }
}

/// A compressor map of any kind, as read from a file.
#[derive(Clone, Debug, PartialEq)]
#[allow(clippy::large_enum_variant)] // read once, then taken apart
pub enum MapFile {
    /// Read as it stands.
    Lines(CompressorMap),
    /// Merged from a printed map.
    Printed(FittedMap),
    /// Fitted to measured readings.
    Measured(MeasuredMap),
}

impl MapFile {
    /// Reads a compressor map of any kind from a CSV file; [`MapKind::of`] tells which.
    ///
    /// ```
    /// use shaftwork::compressor::{MapFile, MapKind};
    /// # let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/data/demo");
    /// for name in ["map-b.csv", "printed-map.csv", "measured-lines.csv"] {
    ///     let read = MapFile::from_csv(format!("{folder}/{name}")).map_err(|problems| problems.to_string())?;
    ///     println!("{name}: {}", read.kind().words());
    ///     assert_eq!(read.map().kind(), Some(read.kind()));
    /// }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`Problems`] with every problem found, each with its line and column.
    pub fn from_csv(path: impl AsRef<Path>) -> Result<Self, Problems> {
        from_file(path.as_ref(), Self::from_csv_text)
    }

    /// Reads a compressor map of any kind from the text of a CSV file; `file` names it in messages.
    ///
    /// # Errors
    ///
    /// [`Problems`] with every problem found, each with its line and column; where a printed map's parts make no map,
    /// the reason, with the row or the speed line that does it.
    pub fn from_csv_text(file: &str, text: &str) -> Result<Self, Problems> {
        Ok(match MapKind::of(file, text)? {
            MapKind::Lines => Self::Lines(CompressorMap::from_csv_text(file, text)?),
            MapKind::Measured => Self::Measured(CompressorMap::from_measured_csv_text(file, text)?),
            MapKind::Printed => {
                let printed = PrintedMap::from_csv_text(file, text)?;
                let merged = CompressorMap::from_printed(&printed);
                let merged = merged.map_err(|error| printed.told(file, &error))?;
                Self::Printed(merged.read_from(file, MapKind::Printed))
            }
        })
    }

    /// Its kind.
    pub fn kind(&self) -> MapKind {
        match self {
            Self::Lines(_) => MapKind::Lines,
            Self::Printed(_) => MapKind::Printed,
            Self::Measured(_) => MapKind::Measured,
        }
    }
    /// The map.
    pub fn map(&self) -> &CompressorMap {
        match self {
            Self::Lines(map) => map,
            Self::Printed(fitted) => fitted.map(),
            Self::Measured(measured) => measured.map(),
        }
    }
    /// The map alone.
    pub fn into_map(self) -> CompressorMap {
        match self {
            Self::Lines(map) => map,
            Self::Printed(fitted) => fitted.into_map(),
            Self::Measured(measured) => measured.into_map(),
        }
    }
}
