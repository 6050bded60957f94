//! The bibliography: what the keys in brackets stand for.
//!
//! A formula names its sources by key and place, as in `[gupta-ice], Ex. 15.6`. [`keys_in`] finds the keys of
//! such a text. What they stand for lies in `data/sources.toml`; `sources` and `source` give it with the
//! feature `study`, which brings the reader of TOML.

#[cfg(feature = "study")]
use std::sync::OnceLock;

/// The keys in brackets of a text, in order.
///
/// A key is made of lower-case words or numbers joined by hyphens, at least one hyphen: a single word in
/// brackets would be taken for a link in the documentation. All other brackets are passed over.
///
/// ```
/// use shaftwork::sources::keys_in;
/// let keys: Vec<&str> = keys_in("[by-definition], flow in [kg/s]; checked on [nasa-hecc], [p. 3").collect();
/// assert_eq!(keys, ["by-definition", "nasa-hecc"]);
/// ```
pub fn keys_in(text: &str) -> impl Iterator<Item = &str> {
    let inside = text.split('[').skip(1).filter_map(|rest| rest.split_once(']'));
    inside.map(|(key, _)| key).filter(|key| is_key(key))
}

fn is_key(text: &str) -> bool {
    let word = |word: &str| {
        !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit())
    };
    text.contains('-') && text.split('-').all(word)
}

/// What a source is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SourceKind {
    /// A standard or regulation.
    Standard,
    /// A report of a public body.
    Report,
    /// A book.
    Book,
    /// A paper of a journal or conference.
    Paper,
    /// Published data.
    Dataset,
    /// A program or library.
    Software,
    /// The meaning of a quantity, geometry, a law that defines a model. Not a publication.
    Definition,
    /// Derived or calculated here. Not a publication.
    Derived,
    /// What the trade does, without a source. Not a publication.
    CommonPractice,
    /// A judgement of our own. Not a publication.
    Judgement,
}

impl SourceKind {
    /// All kinds.
    pub const ALL: [Self; 10] = [
        Self::Standard,
        Self::Report,
        Self::Book,
        Self::Paper,
        Self::Dataset,
        Self::Software,
        Self::Definition,
        Self::Derived,
        Self::CommonPractice,
        Self::Judgement,
    ];
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Standard => "standard",
            Self::Report => "report",
            Self::Book => "book",
            Self::Paper => "paper",
            Self::Dataset => "dataset",
            Self::Software => "software",
            Self::Definition => "definition",
            Self::Derived => "derived",
            Self::CommonPractice => "common practice",
            Self::Judgement => "judgement",
        }
    }
    /// The kind behind the words.
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.words() == words)
    }
    /// Whether it is something that others published.
    pub fn is_publication(self) -> bool {
        !matches!(self, Self::Definition | Self::Derived | Self::CommonPractice | Self::Judgement)
    }
}

/// How a publication was seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Seen {
    /// The source itself was read; software was run.
    Opened,
    /// A copy, an abstract, a companion or an open implementation was.
    SecondHand,
    /// Neither.
    FromMemory,
}

impl Seen {
    /// All ways, best first.
    pub const ALL: [Self; 3] = [Self::Opened, Self::SecondHand, Self::FromMemory];
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Opened => "opened",
            Self::SecondHand => "second-hand",
            Self::FromMemory => "from memory",
        }
    }
    /// The way behind the words.
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|seen| seen.words() == words)
    }
}

/// One entry of the bibliography. It displays as a line of a list of references.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Key, without brackets.
    pub key: String,
    /// Authors or issuing body.
    pub authors: Option<String>,
    /// Year.
    pub year: Option<u16>,
    /// Title.
    pub title: String,
    /// Publisher, series or journal.
    pub publisher: Option<String>,
    /// What it is.
    pub kind: SourceKind,
    /// How it was seen, if it is a publication.
    pub seen: Option<Seen>,
    /// What else to know of it.
    pub note: Option<String>,
}

impl core::fmt::Display for Source {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "[{}] ", self.key)?;
        match (&self.authors, self.year) {
            (Some(authors), Some(year)) => write!(f, "{authors} ({year}): ")?,
            (Some(authors), None) => write!(f, "{authors}: ")?,
            (None, Some(year)) => write!(f, "({year}): ")?,
            (None, None) => {}
        }
        f.write_str(&self.title)?;
        if let Some(publisher) = &self.publisher {
            write!(f, ", {publisher}")?;
        }
        write!(f, "; {}", self.kind.words())?;
        if let Some(seen) = self.seen {
            write!(f, ", {}", seen.words())?;
        }
        match &self.note {
            Some(note) => write!(f, " ({note})"),
            None => Ok(()),
        }
    }
}

/// The whole bibliography, in the order of the keys.
#[cfg(feature = "study")]
pub fn sources() -> &'static [Source] {
    static SOURCES: OnceLock<Vec<Source>> = OnceLock::new();
    SOURCES.get_or_init(|| {
        // It ships with the library, and a test finds an entry that is lost here.
        let list: toml::Table = include_str!("../data/sources.toml").parse().unwrap_or_default();
        list.iter().filter_map(|(key, entry)| Source::read(key, entry.as_table()?)).collect()
    })
}

/// The source behind a key.
///
/// ```
/// let source = shaftwork::sources::source("gupta-ice").unwrap();
/// assert_eq!(source.title, "Fundamentals of Internal Combustion Engines");
/// ```
#[cfg(feature = "study")]
pub fn source(key: &str) -> Option<&'static Source> {
    sources().iter().find(|source| source.key == key)
}

#[cfg(feature = "study")]
impl Source {
    fn read(key: &str, entry: &toml::Table) -> Option<Self> {
        let text = |name: &str| entry.get(name).and_then(toml::Value::as_str);
        Some(Self {
            key: key.into(),
            authors: text("authors").map(Into::into),
            year: entry.get("year").and_then(toml::Value::as_integer).and_then(|year| year.try_into().ok()),
            title: text("title")?.into(),
            publisher: text("publisher").map(Into::into),
            kind: SourceKind::from_words(text("kind")?)?,
            seen: text("seen").and_then(Seen::from_words),
            note: text("note").map(Into::into),
        })
    }
}
