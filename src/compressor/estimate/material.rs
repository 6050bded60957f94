//! What a wheel is made of.

use crate::quantity::*;

/// What a wheel is made of; it bounds the tip speed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// Cast aluminium.
    CastAluminium,
    /// Aluminium milled from a forging.
    MilledAluminium,
    /// Titanium alloy.
    Titanium,
}

impl Material {
    /// A cautious highest tip speed: the lower end of common practice, from memory (cast aluminium 420 to 480 m/s,
    /// milled 500 to 560, titanium 580 to 650). The maker's limit goes before it; life, temperature and flaws decide.
    pub fn cautious_tip_speed(self) -> Velocity {
        Velocity::from_si_unchecked(match self {
            Self::CastAluminium => 420.0,
            Self::MilledAluminium => 500.0,
            Self::Titanium => 580.0,
        })
    }
    /// What is in use, from the cautious end to the bold one, from memory.
    pub fn tip_speeds_in_use(self) -> [Velocity; 2] {
        let bold = match self {
            Self::CastAluminium => 480.0,
            Self::MilledAluminium => 560.0,
            Self::Titanium => 650.0,
        };
        [self.cautious_tip_speed(), Velocity::from_si_unchecked(bold)]
    }
    /// The material in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::CastAluminium => "cast aluminium",
            Self::MilledAluminium => "milled aluminium",
            Self::Titanium => "titanium",
        }
    }
}
