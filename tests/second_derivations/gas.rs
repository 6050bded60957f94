//! Water in the air, its pressure from its heat and its share by counting moles; atoms in the exhaust.

use super::matter::{AIR, Fluid, MOLAR, molar_mass, real_air, water};
use super::reference::{Row, Worst, plain, table};
use shaftwork::gas as g;
use shaftwork::prelude::*;

// Clapeyron's equation, dp/dT = L/(T (v'' - v')), integrated from the triple point of water (611.657 Pa at 273.16 K:
// Guildner et al. 1976, from memory) with latent heats and volumes of IAPWS-95 (`water-saturation.csv`): no
// saturation pressure is read. Simpson's rule over rows 5 K apart is within 5e-5. Tolerance 0.05 %: Hyland and
// Wexler differ from IAPWS-95 by up to 0.023 %.
#[test]
fn saturation_pressure_by_clapeyron() {
    let rows = table("water-saturation.csv");
    let slope = |row: &Row| {
        let of = |column| row.number(column);
        of("latent_heat_J_kg")
            / (of("temperature_K") * (of("vapour_volume_m3_kg") - of("liquid_volume_m3_kg")))
    };
    let mut worst = Worst::new();
    let mut pressure = 611.657 - 0.01 * slope(&rows[0]);
    for three in rows.windows(3).step_by(2) {
        let [low, middle, high] = [0, 1, 2].map(|i| slope(&three[i]));
        let [from, to] = [0, 2].map(|i| three[i].number("temperature_K"));
        pressure += (to - from) / 6.0 * (low + 4.0 * middle + high);
        let found = g::saturation_pressure(kelvin(to)).unwrap();
        worst.see(found.si() / pressure - 1.0, format!("{to} K"));
    }
    worst.holds("gas::saturation_pressure", 5e-4);
}

// A cubic metre of air counted in moles: vapour at its own pressure, the humidity times the saturation pressure of
// IAPWS-95; dry air at the rest (Dalton); masses with molar masses from the isotopes and by CIPM-2007. Tolerance
// 0.03 %: the two saturation pressures.
#[test]
fn humid_air_by_counting_moles() {
    let [mut shares, mut ratios, mut densities, mut lost] = [(); 4].map(|()| Worst::new());
    for row in table("water-saturation.csv") {
        let t = row.number("temperature_K");
        for (humidity, pressure) in [(0.0, 101.325e3), (0.01, 88e3), (0.6, 101.325e3), (1.0, 70e3)] {
            let vapour = humidity * row.number("iapws95_Pa");
            let [wet, dry] = [vapour, pressure - vapour].map(|p| p / (MOLAR * t));
            let (wet_mass, dry_mass) = (wet * water(), dry * AIR);

            let x = g::vapour_fraction(plain(humidity), kelvin(t), pa(pressure)).unwrap();
            let w = g::humidity_ratio(x).unwrap();
            let at = format!("{t} K, {humidity}");
            // Dry air has no share to be off by: a millionth stands for it.
            shares.see((x.si() - wet / (wet + dry)) / (wet / (wet + dry)).max(1e-6), &at);
            ratios.see((w.si() - wet_mass / dry_mass) / (wet_mass / dry_mass).max(1e-6), &at);
            let found = g::density(&Gas::humid_air(x).unwrap(), pa(pressure), kelvin(t)).unwrap();
            densities.see(found.si() / (wet_mass + dry_mass) - 1.0, &at);
            let back = g::vapour_fraction_from_ratio(plain(wet_mass / dry_mass)).unwrap();
            lost.see(back.si() - wet / (wet + dry), &at);
            // Oxygen: what the same volume of dry air would hold, less what this one holds.
            let full = pressure / (MOLAR * t);
            lost.see(g::oxygen_lost(x).unwrap().si() - (full - dry) / full, &at);
        }
    }
    shares.holds("gas::vapour_fraction", 3e-4);
    ratios.holds("gas::humidity_ratio", 3.5e-4);
    densities.holds("gas::density of humid air", 1e-4);
    lost.holds("gas::oxygen_lost, vapour_fraction_from_ratio, of the whole", 1e-4);
}

// Heat capacity and speed of sound of real air by its reference equation (Lemmon et al. 2000), the first carried to
// zero pressure, the second at 50 kPa as the table has it. Tolerance 0.3 %: TM-4513's seven terms run up to 0.28 %
// below for nitrogen around 1300 K.
#[test]
fn heat_capacity_and_speed_of_sound_of_real_air() {
    let (air, library, sound) = (Fluid::air(), Gas::dry_air(), real_air("speed_of_sound_m_s"));
    let [mut heats, mut gammas, mut sounds] = [(); 3].map(|()| Worst::new());
    for t in [250.0, 300.0, 400.0, 500.0, 600.0, 800.0, 1000.0, 1200.0, 1500.0] {
        let at = kelvin(t);
        heats.see(g::heat_capacity(&library, at).unwrap().si() / air.cp(t) - 1.0, at);
        gammas.see(g::heat_capacity_ratio(&library, at).unwrap().si() / air.gamma(t) - 1.0, at);
        sounds.see(g::speed_of_sound(&library, at).unwrap().si() / sound(t, 50e3) - 1.0, at);
    }
    heats.holds("gas::heat_capacity", 3e-3);
    gammas.holds("gas::heat_capacity_ratio", 1e-3);
    sounds.holds("gas::speed_of_sound", 1e-3);
}

// Total and static states as two ends of one march from rest, cp dT = v dp with V^2/2 the work of the flow
// (Bernoulli): temperature, pressure, velocity and Mach number of one place have to belong together. Tolerance 0.03 %
// of the temperature, at Mach numbers above one, and 0.05 % of the pressure: the heat capacities of both.
#[test]
fn total_and_static_states_by_a_march_from_rest() {
    let (air, library) = (Fluid::air(), Gas::dry_air());
    let [mut temperatures, mut pressures] = [(); 2].map(|()| Worst::new());
    for (t, p, fall) in [(310.0, 100e3, 0.0), (300.0, 95e3, 0.02), (320.0, 300e3, 0.3), (600.0, 200e3, 1.2)] {
        let [cold, work] = air.lossless(t, f64::exp(-fall));
        let speed = m_per_s((-2.0 * work).max(0.0).sqrt());
        let (total, still, low) = (kelvin(t), kelvin(cold), p * f64::exp(-fall));
        let mach = plain(air.stream(t, p, fall)[0]);
        temperatures.see(g::static_temperature(&library, total, speed).unwrap().si() / cold - 1.0, fall);
        temperatures.see(g::total_temperature(&library, still, speed).unwrap().si() / t - 1.0, fall);
        let at_mach = g::static_temperature_at_mach(&library, total, mach).unwrap();
        temperatures.see(at_mach.si() / cold - 1.0, fall);
        pressures.see(g::static_pressure(&library, pa(p), total, still).unwrap().si() / low - 1.0, fall);
        pressures.see(g::total_pressure(&library, pa(low), still, total).unwrap().si() / p - 1.0, fall);
    }
    temperatures.holds("gas: three temperatures of a moving gas", 3e-4);
    pressures.holds("gas: two pressures of a moving gas", 5e-4);
}

// The products of a rich flame keep every atom: carbon, hydrogen, oxygen and the inert gases of fuel and air, and
// the mass of both, with molar masses from the isotopes. The split between CO and CO2 is the water-gas constant's,
// asked back from the mole fractions. Tolerance 1e-5 for the atomic weights.
#[test]
fn rich_products_by_counting_atoms() {
    use shaftwork::gas::{Species, WaterGas, burn};
    let mut worst = Worst::new();
    for (lambda, vapour, constant) in
        [(0.6, 0.0, 3.5), (0.85, 0.02, 3.5), (0.999, 0.0, 3.8), (0.75, 0.04, 1.0)]
    {
        let (fuel, air) = (Fuel::of(&Component::ethanol()), Gas::humid_air(plain(vapour)).unwrap());
        let burned = burn(&fuel, plain(lambda), &air, WaterGas::Frozen(plain(constant))).unwrap().gas;
        let of = |species| burned.mole_fraction(species);
        let [co, co2, h2, h2o] = [Species::CO, Species::CO2, Species::H2, Species::H2O].map(of);
        worst.see(co * h2o / (co2 * h2) / constant - 1.0, format!("constant at lambda {lambda}"));

        // Per mole of C2H6O: three moles of oxygen burn it all.
        let moles = lambda * 3.0 / air.mole_fraction(Species::O2);
        let from_air = |species| moles * air.mole_fraction(species);
        let carbon = 2.0 + from_air(Species::CO2);
        let total = carbon / (co + co2);
        let balances = [
            (total * (2.0 * h2 + 2.0 * h2o), 6.0 + 2.0 * from_air(Species::H2O)),
            (
                total * (co + 2.0 * co2 + h2o),
                1.0 + 6.0 * lambda + 2.0 * from_air(Species::CO2) + from_air(Species::H2O),
            ),
            (total * of(Species::N2), from_air(Species::N2)),
            (total * of(Species::Ar), from_air(Species::Ar)),
            (
                total * burned.molar_mass().si(),
                molar_mass(&[('C', 2.0), ('H', 6.0), ('O', 1.0)]) + moles * air.molar_mass().si(),
            ),
        ];
        for (after, before) in balances {
            worst.see(after / before - 1.0, format!("lambda {lambda}"));
        }
    }
    worst.holds("gas::burn, atoms and mass", 1e-5);
}
