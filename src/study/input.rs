//! Inputs as the user typed them, and how well each is known.

/// How well a value is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// Measured by the user.
    Measured,
    /// Stated by a seller or maker.
    StatedBySeller,
    /// Laid down in a standard.
    Standard,
    /// Published with its source.
    Published,
    /// What the trade does, without a source.
    CommonPractice,
    /// From memory, not looked up.
    FromMemory,
    /// Assumed for want of anything better.
    Assumed,
}

impl Grade {
    /// All grades, best first.
    pub const ALL: [Self; 7] = [
        Self::Measured,
        Self::StatedBySeller,
        Self::Standard,
        Self::Published,
        Self::CommonPractice,
        Self::FromMemory,
        Self::Assumed,
    ];
    /// The words a study file uses.
    pub fn words(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::StatedBySeller => "stated by seller",
            Self::Standard => "standard",
            Self::Published => "published",
            Self::CommonPractice => "common practice",
            Self::FromMemory => "from memory",
            Self::Assumed => "assumed",
        }
    }
    /// The grade behind the words.
    pub fn from_words(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|grade| grade.words() == words.trim().to_lowercase())
    }
}

impl InputRecord {
    /// True where neither source nor grade is given, and it is a figure that is known, not asked for.
    pub fn is_bare(&self) -> bool {
        self.source.is_none()
            && self.grade.is_none()
            && !self.key.starts_with("target.")
            && self.key != "schema"
    }
}

/// One input: where it stands and what the user wrote.
#[derive(Clone, Debug, PartialEq)]
pub struct InputRecord {
    /// Key, for instance `engine.bore`.
    pub key: String,
    /// The value as typed.
    pub typed: String,
    /// Source, if given.
    pub source: Option<String>,
    /// Evidence grade, if given.
    pub grade: Option<Grade>,
    /// Band as typed, if given. Carried along; bands enter the calculation with uncertainty.
    pub band: Option<String>,
    /// Line of the study file.
    pub line: usize,
}
