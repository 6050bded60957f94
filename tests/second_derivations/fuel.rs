//! Fuels: atoms balanced, energy and heat counted.

use super::matter::{AIR, OXYGEN, molar_mass};
use super::reference::{Worst, plain};
use shaftwork::fuel as f;
use shaftwork::prelude::*;

/// A liquid molecule: its atoms, its enthalpy of formation as a liquid in kJ/mol by the CRC Handbook, and as
/// liquid and gas by the Active Thermochemical Tables. All as carried in chemicals 1.5.2, 298.15 K. The library's
/// heating values come from the second set, so the first stands against them.
struct Liquid {
    component: Component,
    atoms: [f64; 3],
    crc: f64,
    atct: [f64; 2],
}

impl Liquid {
    fn all() -> [Self; 5] {
        let of = |component, atoms, crc, atct| Self { component, atoms, crc, atct };
        [
            of(Component::methanol(), [1.0, 4.0, 1.0], -239.2, [-238.40, -200.70]),
            of(Component::ethanol(), [2.0, 6.0, 1.0], -277.6, [-277.03, -234.57]),
            of(Component::iso_octane(), [8.0, 18.0, 0.0], -259.2, [-258.80, -223.70]),
            of(Component::n_heptane(), [7.0, 16.0, 0.0], -224.2, [-223.91, -187.34]),
            of(Component::toluene(), [7.0, 8.0, 0.0], 12.4, [12.36, 50.41]),
        ]
    }
    /// Molar mass in kg/mol, from the isotopes.
    fn mass(&self) -> f64 {
        let [c, h, o] = self.atoms;
        molar_mass(&[('C', c), ('H', h), ('O', o)])
    }
    /// Moles of oxygen that leave nothing but CO2 and H2O: each C takes two atoms, each pair of H one, and the
    /// molecule brings its own.
    fn oxygen(&self) -> f64 {
        let [c, h, o] = self.atoms;
        let [carbon_dioxide, water] = [c, h / 2.0];
        (2.0 * carbon_dioxide + water - o) / 2.0
    }
    /// Heat of combustion in J/mol, water as vapour: CO2 -393.5, H2O -241.8 kJ/mol by the CRC Handbook.
    fn heat(&self) -> f64 {
        let [c, h, _] = self.atoms;
        (self.crc + c * 393.5 + h / 2.0 * 241.8) * 1e3
    }
    /// Moles in a litre at 15 degC.
    fn moles(&self, litres: f64) -> f64 {
        litres * 1e-3 * self.component.density().si() / self.mass()
    }
}

/// Litres of each liquid in a tank: each one alone, then mixed, then but a trace of one.
const TANKS: [[f64; 5]; 10] = [
    [1.0, 0.0, 0.0, 0.0, 0.0],
    [0.0, 1.0, 0.0, 0.0, 0.0],
    [0.0, 0.0, 1.0, 0.0, 0.0],
    [0.0, 0.0, 0.0, 1.0, 0.0],
    [0.0, 0.0, 0.0, 0.0, 1.0],
    [0.0, 85.0, 15.0, 0.0, 0.0],
    [0.0, 10.0, 60.0, 10.0, 20.0],
    [15.0, 0.0, 85.0, 0.0, 0.0],
    [33.0, 33.0, 0.0, 0.0, 34.0],
    [0.001, 0.0, 0.0, 99.999, 0.0],
];

fn tank(litres: &[f64; 5], liquids: &[Liquid; 5]) -> Fuel {
    let total: f64 = litres.iter().sum();
    let parts: Vec<(Fraction, &Component)> =
        litres.iter().zip(liquids).map(|(l, liquid)| (fraction(l / total), &liquid.component)).collect();
    Fuel::by_volume(&parts, deg_c(15.0)).unwrap()
}

fn sum(litres: &[f64; 5], liquids: &[Liquid; 5], of: impl Fn(&Liquid) -> f64) -> f64 {
    litres.iter().zip(liquids).map(|(l, liquid)| liquid.moles(*l) * of(liquid)).sum()
}

// A tank of real molecules burned atom by atom: moles from litres and density, oxygen by the balance of atoms, air
// by CIPM-2007, against Fuel::by_volume and the formulas behind it. Tolerance 6e-4: oxygen in air is 0.20939 there
// and 0.209482 in ISO 2533, 4.4e-4 apart.
#[test]
fn stoichiometric_ratio_by_balancing_atoms() {
    let liquids = Liquid::all();
    let mut worst = Worst::new();
    for litres in &TANKS {
        let oxygen = sum(litres, &liquids, Liquid::oxygen);
        let ratio = oxygen / OXYGEN * AIR / sum(litres, &liquids, Liquid::mass);
        let found = tank(litres, &liquids).stoichiometric_ratio().unwrap();
        worst.see(found.si() / ratio - 1.0, format!("{litres:?}"));
    }
    worst.holds("fuel::stoichiometric_air_fuel_ratio", 6e-4);
}

// Two liquids poured together and counted: litres, kilograms, moles, oxygen and heat each add up over the
// components, and the blend's figures are the sums' quotients (definitions). The formulas are handed density, molar
// mass, ratio and heating value of each, as here. Nothing but rounding is different: 1e-12.
#[test]
fn blends_of_two_by_litres_kilograms_and_moles() {
    let liquids = Liquid::all();
    let mut worst = Worst::new();
    for (i, j) in [(0, 2), (1, 2), (1, 4), (0, 1)] {
        for share in [0.0, 0.1, 0.5, 0.85, 1.0] {
            let mut litres = [0.0; 5];
            (litres[i], litres[j]) = (share, 1.0 - share);
            let (a, b) = (&liquids[i], &liquids[j]);
            let [mass, oxygen, heat, moles] = [Liquid::mass, Liquid::oxygen, Liquid::heat, |_: &Liquid| 1.0]
                .map(|of| sum(&litres, &liquids, of));
            let w = a.moles(share) * a.mass() / mass;

            let [rho_a, rho_b] = [a, b].map(|liquid| liquid.component.density());
            let [afr_a, afr_b] = [a, b].map(|liquid| plain(liquid.oxygen() / OXYGEN * AIR / liquid.mass()));
            let [lhv_a, lhv_b] = [a, b].map(|liquid| j_per_kg(liquid.heat() / liquid.mass()));
            let [m_a, m_b] = [a, b].map(|liquid| kg_per_mol(liquid.mass()));
            let (v, w_given) = (fraction(share), fraction(w));
            let afr = f::blend_air_fuel_ratio(v, rho_a, rho_b, afr_a, afr_b).unwrap().si();
            let lhv = f::blend_heating_value(v, rho_a, rho_b, lhv_a, lhv_b).unwrap().si();
            // Litres of the second liquid that hold the heat of one litre of the blend.
            let litres_of_b =
                f::volume_for_energy(lhv_b, rho_b, j_per_kg(heat / mass), kg_per_m3(mass * 1e3));
            for (name, found, expected) in [
                ("ratio", afr, oxygen / OXYGEN * AIR / mass),
                ("heating value", lhv, heat / mass),
                ("density", f::blend_density(v, rho_a, rho_b).unwrap().si(), mass * 1e3),
                ("mass fraction", f::blend_mass_fraction(v, rho_a, rho_b).unwrap().si(), w),
                ("volume fraction", f::blend_volume_fraction(w_given, rho_a, rho_b).unwrap().si(), share),
                ("moles", f::blend_mole_fraction(w_given, m_a, m_b).unwrap().si(), a.moles(share) / moles),
                ("molar mass", f::blend_molar_mass(w_given, m_a, m_b).unwrap().si(), mass / moles),
                ("volume", litres_of_b.unwrap().si(), heat / (b.moles(1.0) * b.heat())),
            ] {
                // None of the first liquid has no share to be off by.
                let scale = if expected == 0.0 { 1.0 } else { expected };
                worst.see((found - expected) / scale, format!("{name}, {share} of {i} in {j}"));
            }
        }
    }
    worst.holds("fuel: eight formulas of blends", 1e-12);
}

// Hess's law: heat of combustion from the enthalpies of formation of the liquid, of CO2 and of H2O (CRC Handbook),
// counted by litres and moles. Tolerance 0.25 %: CRC and the Active Thermochemical Tables, which the library's
// figures follow, differ by up to 0.8 kJ/mol, 0.13 % of methanol's heat.
#[test]
fn heating_value_by_enthalpies_of_formation() {
    let liquids = Liquid::all();
    let mut worst = Worst::new();
    for litres in &TANKS {
        let value = sum(litres, &liquids, Liquid::heat) / sum(litres, &liquids, Liquid::mass);
        worst.see(tank(litres, &liquids).heating_value().si() / value - 1.0, format!("{litres:?}"));
    }
    worst.holds("heating value of Fuel::by_volume", 2.5e-3);
}

// Heat of vaporisation as the difference of two enthalpies of formation, gas less liquid (Active Thermochemical
// Tables), counted by litres and moles; the library's are calorimetric. Tolerance 0.8 %: methanol's vapour holds
// clusters, which the ideal gas of the tables does not; the others agree within 0.2 %.
#[test]
fn vaporisation_by_enthalpies_of_formation() {
    let liquids = Liquid::all();
    let mut worst = Worst::new();
    for litres in &TANKS {
        let heat = sum(litres, &liquids, |liquid| (liquid.atct[1] - liquid.atct[0]) * 1e3);
        let value = heat / sum(litres, &liquids, Liquid::mass);
        worst.see(tank(litres, &liquids).vaporisation().si() / value - 1.0, format!("{litres:?}"));
    }
    worst.holds("vaporisation of Fuel::by_volume", 8e-3);
}

// Droplet by droplet: each takes its heat of vaporisation, as far as it comes from the air, out of what the air and
// all the fuel hold, and the temperature falls by that much; heat lost is heat gained. Rounding only: 1e-10 of a
// kelvin after ten thousand droplets.
#[test]
fn charge_cooling_droplet_by_droplet() {
    let mut worst = Worst::new();
    for (latent, share, lambda, ratio, air, liquid) in [
        (350e3, 1.0, 1.0, 14.57, 1005.0, 2200.0),
        (920e3, 0.35, 0.8, 9.0, 1010.0, 2430.0),
        (1169e3, 0.9, 0.75, 6.5, 1005.0, 2530.0),
        (350e3, 0.0, 1.0, 14.57, 1005.0, 2200.0),
    ] {
        let (fuel, droplets) = (0.03, 10_000);
        let holds = fuel * lambda * ratio * air + fuel * liquid;
        let each = fuel / f64::from(droplets) * latent * share;
        let end = (0..droplets).fold(320.0, |t, _| t - each / holds);
        let found = f::charge_cooling(
            j_per_kg(latent),
            fraction(share),
            plain(lambda),
            plain(ratio),
            j_per_kg_k(air),
            j_per_kg_k(liquid),
        );
        worst.see(found.unwrap().si() - (320.0 - end), latent);
    }
    worst.holds("fuel::charge_cooling, kelvin", 1e-9);
}
