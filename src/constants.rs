//! Figures that more than one room needs, stated once.

/// Standard atomic weights of carbon, hydrogen and oxygen, rounded, in g/mol: [iupac-weights].
pub(crate) const ATOMIC_WEIGHTS: [f64; 3] = [12.011, 1.008, 15.999];
/// Molar mass of dry air in g/mol: the four species of [iso-2533].
pub(crate) const AIR_MOLAR_MASS: f64 = 28.965_08;
/// Mole fraction of oxygen in dry air: [iso-2533], four species, normalised.
pub(crate) const OXYGEN_IN_AIR: f64 = 0.209_476 / 0.999_97;
/// Molar mass of water over that of dry air.
pub(crate) const WATER_OVER_AIR: f64 = 18.015 / AIR_MOLAR_MASS;

/// Standard acceleration of gravity, m/s2, exact.
pub(crate) const GRAVITY: f64 = 9.806_65;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::gas::{Gas, Species};

    #[test]
    fn they_are_those_of_the_working_fluid() {
        let air = Gas::dry_air();
        assert!((air.molar_mass().g_per_mol() - AIR_MOLAR_MASS).abs() < 1e-5);
        assert!((air.mole_fraction(Species::O2) - OXYGEN_IN_AIR).abs() < 1e-12);
        let water = 2.0 * ATOMIC_WEIGHTS[1] + ATOMIC_WEIGHTS[2];
        assert!((water / AIR_MOLAR_MASS - WATER_OVER_AIR).abs() < 1e-12);
    }
}
