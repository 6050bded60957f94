//! The independent causes of a map's uncertainty, each a standard normal variable.

/// One cause of uncertainty. A map is a function of all of them, so that its points are uncertain together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Factor {
    /// Work of the mean line.
    Work,
    /// Losses of the mean line; positive loses more.
    Loss,
    /// Effective areas of throats and exit for known dimensions: boundary layers and blades.
    Choke,
    /// Flow angle at which the flow turns back; with vanes in the diffuser, how far they slow the flow before they stall.
    Surge,
    /// Hub diameter of the inducer.
    Hub,
    /// Inducer blade angle.
    InducerAngle,
    /// Exit width.
    ExitWidth,
    /// Backsweep.
    Backsweep,
    /// Clearance.
    Clearance,
    /// Outer radius of the diffuser.
    DiffuserRatio,
    /// Width of the diffuser.
    DiffuserWidth,
    /// Throat area of the diffuser's vanes.
    VaneThroat,
    /// Radius of their leading edges.
    VaneRadius,
    /// Their angle there.
    VaneAngle,
    /// Pressure recovery behind their throat.
    VaneRecovery,
    /// Number of the wheel's blades and splitters.
    Blades,
}

impl Factor {
    /// All of them.
    pub const ALL: [Self; 16] = [
        Self::Work,
        Self::Loss,
        Self::Choke,
        Self::Surge,
        Self::Hub,
        Self::InducerAngle,
        Self::ExitWidth,
        Self::Backsweep,
        Self::Clearance,
        Self::DiffuserRatio,
        Self::DiffuserWidth,
        Self::VaneThroat,
        Self::VaneRadius,
        Self::VaneAngle,
        Self::VaneRecovery,
        Self::Blades,
    ];
    /// The default whose spread it stands for, where it is a dimension.
    pub fn dimension(self) -> Option<&'static super::DimensionDefault> {
        super::defaults::of(self)
    }
    /// The factor in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Work => "work of the mean line",
            Self::Loss => "losses of the mean line",
            Self::Choke => "effective areas of throat and exit",
            Self::Surge => "angle at which the flow turns back",
            Self::VaneRecovery => "pressure recovery behind the throat of the vanes",
            other => super::defaults::of(other).map_or("", |default| default.what),
        }
    }
}

/// A value for each factor, in standard deviations; zero is the central estimate.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Factors([f64; Factor::ALL.len()]);

impl Factors {
    /// All at zero: the central estimate.
    pub fn central() -> Self {
        Self::default()
    }
    /// The same with one factor moved. What is not finite or beyond five standard deviations is brought to the
    /// nearest of those (NaN to zero).
    #[must_use]
    pub fn with(mut self, factor: Factor, deviations: f64) -> Self {
        self.0[factor as usize] = if deviations.is_nan() { 0.0 } else { deviations.clamp(-5.0, 5.0) };
        self
    }
    /// The value of one factor.
    pub fn get(&self, factor: Factor) -> f64 {
        self.0[factor as usize]
    }
}
