//! The species and their polynomials, read from `data/gas/species.csv`.

use std::sync::OnceLock;

/// Molar gas constant in J/(mol K), exact since the 2019 definition of the SI.
pub const UNIVERSAL_GAS_CONSTANT: f64 = 8.314_462_618_153_24;

/// A species of the working fluids.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Species {
    /// Nitrogen.
    N2,
    /// Oxygen.
    O2,
    /// Argon.
    Ar,
    /// Carbon dioxide.
    CO2,
    /// Water vapour.
    H2O,
    /// Carbon monoxide.
    CO,
    /// Hydrogen.
    H2,
}

impl Species {
    /// All of them, in the order of the mixtures' mole fractions.
    pub const ALL: [Self; 7] = [Self::N2, Self::O2, Self::Ar, Self::CO2, Self::H2O, Self::CO, Self::H2];

    /// Molar mass in kg/mol.
    pub(super) fn molar_mass(self) -> f64 {
        table()[self as usize].molar_mass
    }
    /// Enthalpy over the molar gas constant, in K, formation included.
    pub(super) fn enthalpy(self, t: f64) -> f64 {
        let a = self.range(t);
        t * (a[0] + t * (a[1] / 2.0 + t * (a[2] / 3.0 + t * (a[3] / 4.0 + t * a[4] / 5.0)))) + a[5]
    }
    fn range(self, t: f64) -> &'static [f64; 7] {
        &self.coefficients()[usize::from(t >= super::mixture::JOINT)]
    }
    /// Coefficients a1 to a7 below and above 1000 K.
    pub(super) fn coefficients(self) -> &'static [[f64; 7]; 2] {
        &table()[self as usize].coefficients
    }
}

struct Row {
    molar_mass: f64,
    coefficients: [[f64; 7]; 2],
}

fn table() -> &'static [Row; 7] {
    static TABLE: OnceLock<[Row; 7]> = OnceLock::new();
    TABLE.get_or_init(|| {
        let text = include_str!("../../data/gas/species.csv");
        Species::ALL.map(|species| {
            let name = format!("{species:?},");
            let line = text.lines().find(|line| line.starts_with(&name)).unwrap_or_default();
            let number: Vec<f64> = line.split(',').skip(1).filter_map(|field| field.parse().ok()).collect();
            // The table ships with the library, and a test reads every row: a hole shows as NaN.
            let at = |i: usize| number.get(i).copied().unwrap_or(f64::NAN);
            Row {
                molar_mass: at(0) * 1e-3,
                coefficients: [4, 11].map(|start| core::array::from_fn(|i| at(start + i))),
            }
        })
    })
}
