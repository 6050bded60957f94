//! Atoms, air and exhaust from figures that the library does not use.

use super::numeric::{cubic, greatest, march};
use super::reference::{Row, table};
use shaftwork::gas::{Gas, Species};

/// Boltzmann's constant times Avogadro's, both exact by the definition of the SI (2019), in J/(mol K).
pub const MOLAR: f64 = 1.380_649e-23 * 6.022_140_76e23;

/// Molar mass of dry air in kg/mol and its mole fraction of oxygen: CIPM-2007, Picard et al., Metrologia 45
/// (2008) 149 (molar mass second-hand, oxygen from memory). The library takes ISO 2533:1975.
pub const AIR: f64 = 28.965_46e-3;
pub const OXYGEN: f64 = 0.209_39;

/// Steps of a march along a gas path: constant heat capacities come out within 1e-9 of the closed forms.
const STEPS: usize = 60;

/// Atomic weight in kg/mol, from the isotopes: masses and representative abundances by Rosman and Taylor,
/// Isotopic compositions of the elements 1997 (IUPAC), second-hand; argon's abundances from memory.
fn weight(element: char) -> f64 {
    let isotopes: &[[f64; 2]] = match element {
        'C' => &[[12.0, 0.9893], [13.003_354_835, 0.0107]],
        'H' => &[[1.007_825_032_2, 0.999_885], [2.014_101_777_8, 0.000_115]],
        'O' => &[[15.994_914_62, 0.997_57], [16.999_131_757, 0.000_38], [17.999_159_613, 0.002_05]],
        'N' => &[[14.003_074_004, 0.996_36], [15.000_108_899, 0.003_64]],
        'a' => &[[35.967_545, 0.003_365], [37.962_732, 0.000_632], [39.962_383_1, 0.996_003]],
        other => panic!("no element {other}"),
    };
    isotopes.iter().map(|[mass, share]| mass * share).sum::<f64>() * 1e-3
}

/// Molar mass in kg/mol of a molecule, by its atoms.
pub fn molar_mass(atoms: &[(char, f64)]) -> f64 {
    atoms.iter().map(|&(element, count)| count * weight(element)).sum()
}

/// Molar mass of water.
pub fn water() -> f64 {
    molar_mass(&[('H', 2.0), ('O', 1.0)])
}

/// A column of the table of real air (reference equation of Lemmon et al. 2000) by temperature and pressure.
pub fn real_air(column: &'static str) -> impl Fn(f64, f64) -> f64 {
    let rows = table("air-coolprop.csv");
    move |t, p| {
        let here = |row: &&Row| row.number("temperature_K") == t && row.number("pressure_Pa") == p;
        rows.iter().find(here).unwrap_or_else(|| panic!("no row at {t} K, {p} Pa")).number(column)
    }
}

/// An ideal gas by its gas constant and its heat capacity over temperature.
pub struct Fluid {
    pub r: f64,
    heat: Box<dyn Fn(f64) -> f64>,
}

impl Fluid {
    /// A gas of constant heat capacities.
    pub fn perfect(gamma: f64, r: f64) -> Self {
        Self { r, heat: Box::new(move |_| r * gamma / (gamma - 1.0)) }
    }

    /// Dry air from a reference equation of real air (Lemmon et al. 2000, `air-coolprop.csv`): heat capacity
    /// carried to zero pressure along the line through 50 and 100 kPa, the gas constant from p = Z rho R T.
    pub fn air() -> Self {
        let cp = real_air("cp_J_kgK");
        let nodes = [250.0, 300.0, 350.0, 400.0, 500.0, 600.0, 800.0, 1000.0, 1200.0, 1500.0];
        let nodes = nodes.map(|t| [t, 2.0 * cp(t, 50e3) - cp(t, 100e3)]);
        let [density, z] = ["density_kg_m3", "compressibility"].map(|column| real_air(column)(300.0, 50e3));
        let r = 50e3 / (z * density * 300.0);
        Self { r, heat: Box::new(move |t| cubic(&nodes, t)) }
    }

    /// A gas of the library's composition, with heat capacities by Shomate's equation (`shomate-gases.csv`) and
    /// molar masses from the isotopes. Water has them from 500 K.
    pub fn exhaust(gas: &Gas) -> Self {
        let rows = table("shomate-gases.csv");
        let pieces = |species: Species| -> Vec<[f64; 7]> {
            let own = rows.iter().filter(|row| row.text("species") == format!("{species:?}"));
            own.map(|row| ["low_K", "high_K", "a", "b", "c", "d", "e"].map(|key| row.number(key))).collect()
        };
        let parts: Vec<(f64, Vec<[f64; 7]>)> =
            Species::ALL.iter().map(|&species| (gas.mole_fraction(species), pieces(species))).collect();
        let mass: f64 = Species::ALL.iter().map(|&s| gas.mole_fraction(s) * molar_mass(atoms(s))).sum();
        let molar = |pieces: &[[f64; 7]], kelvin: f64| {
            let fits = |piece: &&[f64; 7]| (piece[0]..=piece[1]).contains(&kelvin);
            let [_, _, a, b, c, d, e] =
                *pieces.iter().find(fits).unwrap_or_else(|| panic!("no heat capacity at {kelvin} K"));
            let t = kelvin / 1000.0;
            a + t * (b + t * (c + t * d)) + e / (t * t)
        };
        let heat = move |t: f64| {
            let present = parts.iter().filter(|(share, _)| *share > 0.0);
            present.map(|(share, pieces)| share * molar(pieces, t)).sum::<f64>() / mass
        };
        Self { r: MOLAR / mass, heat: Box::new(heat) }
    }

    /// Heat capacity at constant pressure.
    pub fn cp(&self, t: f64) -> f64 {
        (self.heat)(t)
    }
    /// Ratio of heat capacities.
    pub fn gamma(&self, t: f64) -> f64 {
        self.cp(t) / (self.cp(t) - self.r)
    }

    /// Temperature and work after a lossless change of pressure: no heat, so cp dT = v dp, and the work of the
    /// flow is the integral of v dp, with v = R T/p. Below zero it is given off.
    pub fn lossless(&self, t: f64, ratio: f64) -> [f64; 2] {
        let slope = |_, [t, _]: [f64; 2]| [self.r * t / self.cp(t), self.r * t];
        march(slope, [0.0, ratio.ln()], [t, 0.0], STEPS)
    }
    /// Temperature after so much heat, or work lost to heat, per mass: cp dT = dq.
    pub fn heated(&self, t: f64, heat: f64) -> f64 {
        march(|_, [t]| [1.0 / self.cp(t)], [0.0, heat], [t], STEPS)[0]
    }
    /// Mach number and mass flow per area where a flow from rest has fallen to a share exp(-fall) of its
    /// pressure: V^2/2 is the work of the expansion (Bernoulli), the flow rho V.
    pub fn stream(&self, t: f64, p: f64, fall: f64) -> [f64; 2] {
        let [cold, work] = self.lossless(t, (-fall).exp());
        let speed = (-2.0 * work).max(0.0).sqrt();
        [speed / (self.gamma(cold) * self.r * cold).sqrt(), p * (-fall).exp() / (self.r * cold) * speed]
    }
    /// The greatest mass flow per area at any pressure between the rest and a back pressure, their ratio given:
    /// a throat passes no more, and chokes where that lies inside.
    pub fn most_flow(&self, t: f64, p: f64, ratio: f64) -> f64 {
        greatest(|fall| self.stream(t, p, fall)[1], [0.0, ratio.ln()])
    }
}

fn atoms(species: Species) -> &'static [(char, f64)] {
    match species {
        Species::N2 => &[('N', 2.0)],
        Species::O2 => &[('O', 2.0)],
        Species::Ar => &[('a', 1.0)],
        Species::CO2 => &[('C', 1.0), ('O', 2.0)],
        Species::H2O => &[('H', 2.0), ('O', 1.0)],
        Species::CO => &[('C', 1.0), ('O', 1.0)],
        Species::H2 => &[('H', 2.0)],
    }
}
