//! Readings of a dimension that is in doubt: one of them is right, and they are never averaged.

use crate::formula::FormulaError;
use crate::quantity::*;

/// The most wheels that the readings of all doubtful dimensions together may make.
pub const MOST_READINGS: usize = 12;

/// Readings of one dimension, of which one is right. They are never averaged.
///
/// Each has a weight before any evidence; where none are given all count alike.
///
/// ```
/// use shaftwork::prelude::*;
/// let backsweep = one_of([deg(30.0), deg(40.0)]).weighted([fraction(3.0), fraction(1.0)])?;
/// let shares: Vec<f64> = backsweep.iter().map(|(_, weight)| weight.percent()).collect();
/// assert_eq!(shares, [75.0, 25.0]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Readings<Q = Length>(Vec<(Q, Fraction)>);

/// One dimension read in several ways, for instance at the blade tip and at the contour.
pub fn one_of<Q, const N: usize>(readings: [Q; N]) -> Readings<Q> {
    Readings::from(Vec::from(readings))
}

impl<Q> From<Q> for Readings<Q> {
    fn from(reading: Q) -> Self {
        Self(vec![(reading, Fraction::from_si_unchecked(1.0))])
    }
}
impl<Q> From<Vec<Q>> for Readings<Q> {
    fn from(readings: Vec<Q>) -> Self {
        let alike = Fraction::from_si_unchecked(1.0 / readings.len().max(1) as f64);
        Self(readings.into_iter().map(|reading| (reading, alike)).collect())
    }
}

impl<Q> Readings<Q> {
    /// Says how much each reading counts before any evidence: one weight for each, of any sum.
    ///
    /// p_i = w_i/sum(w)
    ///
    /// # Errors
    ///
    /// [`ReadingsError`] for another number of weights, one that is negative or not finite, or none above zero.
    pub fn weighted(self, weights: impl IntoIterator<Item = Fraction>) -> Result<Self, ReadingsError> {
        let weights: Vec<f64> = weights.into_iter().map(Quantity::si).collect();
        if weights.len() != self.0.len() {
            return Err(ReadingsError::Count { readings: self.0.len(), weights: weights.len() });
        }
        if let Some(weight) = weights.iter().find(|weight| !weight.is_finite() || **weight < 0.0) {
            return Err(ReadingsError::Weight { weight: *weight });
        }
        let most = weights.iter().copied().fold(0.0, f64::max);
        if most <= 0.0 {
            return Err(ReadingsError::NoWeight);
        }
        // Taken by the largest first, so that the sum stays finite.
        let sum: f64 = weights.iter().map(|weight| weight / most).sum();
        let shares = weights.iter().map(|weight| Fraction::from_si_unchecked(weight / most / sum));
        Ok(Self(self.0.into_iter().zip(shares).map(|((reading, _), share)| (reading, share)).collect()))
    }
    /// Each reading with its weight; the weights sum to one.
    pub fn iter(&self) -> impl Iterator<Item = &(Q, Fraction)> {
        self.0.iter()
    }
    /// How many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }
    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
    /// The same readings told in another way.
    pub(crate) fn map<P>(self, of: impl Fn(Q) -> P) -> Readings<P> {
        Readings(self.0.into_iter().map(|(reading, weight)| (of(reading), weight)).collect())
    }
}

#[cfg(feature = "study")]
impl<Q: Copy> Readings<Q> {
    /// Each reading with that of another in its place; one alone goes with all, and the longer list has the weights.
    pub(crate) fn paired<P: Copy>(self, with: Readings<P>) -> Readings<(Q, P)> {
        if self.0.len() == 1 {
            let (own, _) = self.0[0];
            return with.map(|other| (own, other));
        }
        let others = with.0.iter().cycle().map(|(other, _)| *other);
        Readings(
            self.0.into_iter().zip(others).map(|((own, weight), other)| ((own, other), weight)).collect(),
        )
    }
}

/// Readings that cannot be used.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum ReadingsError {
    /// A dimension without a reading.
    Empty {
        /// The dimension.
        of: &'static str,
    },
    /// One reading given twice.
    Twice {
        /// The reading.
        reading: String,
    },
    /// Another number of weights than of readings.
    Count {
        /// How many readings.
        readings: usize,
        /// How many weights.
        weights: usize,
    },
    /// A weight that is negative or not finite.
    Weight {
        /// The weight.
        weight: f64,
    },
    /// Weights that are all zero.
    NoWeight,
    /// More wheels than are judged.
    TooMany {
        /// How many readings of which dimension, in words.
        readings: String,
        /// How many wheels they make together.
        wheels: usize,
    },
    /// Diameters that belong to no wheel.
    Formula(FormulaError),
}

impl core::fmt::Display for ReadingsError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::Empty { of } => write!(f, "no reading of the {of} is given"),
            Self::Twice { reading } => {
                write!(f, "{reading} stands twice; give it once, and say by weights how much it counts")
            }
            Self::Count { readings, weights } => {
                let plural = |n: usize| if n == 1 { "" } else { "s" };
                write!(
                    f,
                    "{weights} weight{} for {readings} reading{}; give one weight for each",
                    plural(*weights),
                    plural(*readings)
                )
            }
            Self::Weight { weight } => {
                write!(f, "the weight {} is none: a weight is zero or more", significant(*weight, 4))
            }
            Self::NoWeight => f.write_str("all weights are zero; give the likely reading one above zero"),
            Self::TooMany { readings, wheels } => write!(
                f,
                "the readings make {wheels} wheels ({readings}), each judged on a map of its own; at most {MOST_READINGS} \
                 are: measure one dimension again, or give it one value with its band"
            ),
            Self::Formula(error) => error.fmt(f),
        }
    }
}
impl core::error::Error for ReadingsError {}

impl From<FormulaError> for ReadingsError {
    fn from(error: FormulaError) -> Self {
        Self::Formula(error)
    }
}
