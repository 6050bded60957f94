//! Blends of any number of components: every route to one blend ends at the same fuel.

#[path = "support/reference.rs"]
mod reference;

use proptest::prelude::*;
use reference::{between, close, close_relative, plain, seeded};
use shaftwork::prelude::*;

fn all() -> [Component; 6] {
    let gasoline = Gasoline::typical().component().clone();
    let (iso, heptane) = (Component::iso_octane(), Component::n_heptane());
    [gasoline, iso, heptane, Component::toluene(), Component::ethanol(), Component::methanol()]
}

/// Everything that a blend carries, as numbers.
fn numbers(fuel: &Fuel) -> Vec<f64> {
    let mut all: Vec<f64> = fuel.elements().iter().map(|element| element.si()).collect();
    all.extend([fuel.density().si(), fuel.heating_value().si(), fuel.vaporisation().si()]);
    all.extend([fuel.research_octane().si(), fuel.motor_octane().si(), fuel.molar_mass().si()]);
    all.extend([fuel.hydrogen_to_carbon().si(), fuel.oxygen_to_carbon().si()]);
    all.push(fuel.stoichiometric_ratio().unwrap().si());
    all.push(fuel.density_at(deg_c(40.0)).unwrap().si());
    all
}

/// Fails unless two fuels are the same to rounding.
#[track_caller]
fn same(a: &Fuel, b: &Fuel) {
    for (a, b) in numbers(a).into_iter().zip(numbers(b)) {
        close(a, b, 1e-12 * (1.0 + b.abs()));
    }
}

/// Three shares that add up to one.
fn shares(a: f64, b: f64) -> [Fraction; 3] {
    let total = a + b + 1.0;
    [fraction(a / total), fraction(b / total), fraction(1.0 - (a + b) / total)]
}

fn by_volume(shares: [Fraction; 3], parts: [&Component; 3], at: Temperature) -> Fuel {
    Fuel::by_volume(&[0, 1, 2].map(|i| (shares[i], parts[i])), at).unwrap()
}

// Independent arithmetic, thermo 0.6.1 and chemicals 1.5.2 (a separate script): iso-octane, toluene and
// n-heptane, 65/25/10 % by volume at 15 degC. Each value to the digits printed.
#[test]
fn three_components_agree_with_a_separate_calculation() {
    let parts = [&Component::iso_octane(), &Component::toluene(), &Component::n_heptane()];
    let fuel = by_volume([0.65, 0.25, 0.10].map(fraction), parts, deg_c(15.0));
    close(fuel.density().si(), 739.25, 0.005);
    close(fuel.hydrogen_to_carbon().si(), 1.9078, 5e-5);
    close(fuel.oxygen_to_carbon().si(), 0.0, 0.0);
    // That script counts hydrogen as 1.00794: 3e-5 in the molar mass.
    close(fuel.molar_mass().g_per_mol(), 105.407, 4e-3);
    close(fuel.stoichiometric_ratio().unwrap().si(), 14.6560, 5e-5);
    close(fuel.heating_value().mj_per_kg(), 43.2418, 5e-5);
    close(fuel.vaporisation().si() / 1e3, 343.96, 0.005);
    let expected = [(0.6122, 0.5649), (0.2947, 0.3372), (0.0931, 0.0979)];
    for ((component, w), (mass, mole)) in fuel.parts().zip(expected) {
        close(w.si(), mass, 5e-5);
        let x = w.si() * fuel.molar_mass().si() / Fuel::of(component).molar_mass().si();
        close(x, mole, 5e-5);
    }
    // By hand, linear by mole with 100, 118 and 0, and with 100, 106 and 0.
    close(fuel.research_octane().si(), 0.5649 * 100.0 + 0.3372 * 118.0, 0.02);
    close(fuel.motor_octane().si(), 0.5649 * 100.0 + 0.3372 * 106.0, 0.02);
}

// Independent arithmetic (a separate script): gasoline of 92 research octane with ethanol of 108, by
// mole. Its ethanol has 789.4 kg/m3, here it has 793.69: worth 0.01 of an octane number.
#[test]
fn octane_of_ethanol_blends_is_linear_by_mole() {
    let gasoline = Gasoline::typical().octane(92.0, 83.0).unwrap();
    let table = [(0.0, 92.0), (0.10, 95.26), (0.20, 97.84), (0.30, 99.94), (0.50, 103.15), (0.85, 106.86)];
    for (share, research) in table.into_iter().chain([(1.0, 108.0)]) {
        let blend = Fuel::ethanol_blend(fraction(share), &gasoline).unwrap();
        close(blend.research_octane().si(), research, 0.05);
        between(blend.motor_octane().si(), 83.0, 90.0);
    }
    // Guard: by volume it would read three numbers less at 30 %.
    let by_mole = Fuel::ethanol_blend(percent(30.0), &gasoline).unwrap().research_octane().si();
    between(by_mole - (92.0 + 0.3 * 16.0), 3.0, 3.3);
}

// thermo 0.6.1: ethanol 789.42 kg/m3 at 20 degC. Density falls with temperature in every fuel and blend.
#[test]
fn density_falls_with_temperature() {
    close(Component::ethanol().density_at(deg_c(20.0)).unwrap().si(), 789.42, 0.02);
    let mut fuels: Vec<Fuel> = all().iter().map(Fuel::of).collect();
    fuels.push(Fuel::ethanol_blend(percent(71.0), &Gasoline::typical()).unwrap());
    for fuel in fuels {
        let at = |t: f64| fuel.density_at(deg_c(t)).unwrap();
        close_relative(at(15.0).si(), fuel.density().si(), 1e-14);
        let falling = [-19.9, -5.0, 15.0, 30.0, 50.0].map(at);
        assert!(falling.is_sorted_by(|a, b| a > b), "{}: {falling:?}", fuel.name());
        // 5 to 9 % over 70 K, as liquid fuels do.
        between(falling[0] / falling[4], 1.05, 1.10);
        for t in [-20.1, 50.1, f64::NAN] {
            assert!(fuel.density_at(deg_c(t)).is_err());
        }
    }
}

#[test]
fn shares_that_do_not_add_up_are_refused() {
    let (a, b) = (Component::ethanol(), Component::iso_octane());
    for (first, second, sum) in [
        (0.5, 0.4, "0.500000, 0.400000"),
        (0.7, 0.4, "0.700000, 0.400000"),
        (1.2, -0.2, "1.20000, -0.200000"),
        (f64::NAN, 0.5, "not a number, 0.500000"),
    ] {
        let parts = [(fraction(first), &a), (fraction(second), &b)];
        for (refused, route) in
            [(Fuel::by_mass(&parts), "mass"), (Fuel::by_volume(&parts, deg_c(15.0)), "volume")]
        {
            let words = format!("no share may be negative and all must add up to 1; they are {sum}");
            assert_eq!(refused.unwrap_err().to_string(), format!("fuel::Fuel::by_{route}: {words}"));
        }
    }
    assert!(Fuel::by_mass(&[]).is_err() && Fuel::by_volume(&[], deg_c(15.0)).is_err());
    let half = [(fraction(0.5), &a), (fraction(0.5), &b)];
    assert!(
        Fuel::by_volume(&half, deg_c(60.0)).is_err() && Fuel::by_volume(&half, kelvin(f64::NAN)).is_err()
    );
    // A share of nothing is no mistake, wherever it stands.
    same(&Fuel::by_mass(&[(fraction(0.0), &a), (fraction(1.0), &b)]).unwrap(), &Fuel::of(&b));
    same(&Fuel::by_mass(&[(fraction(1.0), &a), (fraction(0.0), &b)]).unwrap(), &Fuel::of(&a));
}

// Ranges of gasoline that the other tests do not reach.
#[test]
fn gasoline_refuses_what_no_gasoline_is() {
    let gasoline = Gasoline::typical;
    assert!(
        gasoline().vaporisation(kj_per_kg(299.0)).is_err()
            && gasoline().vaporisation(kj_per_kg(421.0)).is_err()
    );
    for octane in [69.9, 110.1, f64::NAN] {
        assert!(gasoline().octane(octane, 85.0).is_err() && gasoline().octane(95.0, octane).is_err());
    }
    let changed = gasoline().octane(98.0, 88.0).unwrap().vaporisation(kj_per_kg(360.0)).unwrap();
    let fuel = Fuel::of(changed.component());
    close(fuel.research_octane().si(), 98.0, 0.0);
    close(fuel.motor_octane().si(), 88.0, 0.0);
    close(fuel.vaporisation().si(), 360e3, 1e-9);
    // More hydrogen needs more air.
    let rich = gasoline().hydrogen_to_carbon(plain(2.0)).unwrap();
    let ratio = |gasoline: &Gasoline| Fuel::of(gasoline.component()).stoichiometric_ratio().unwrap();
    assert!(ratio(&rich) > ratio(&gasoline()));
}

proptest! {
    #![proptest_config(seeded(128))]

    // Two components: by volume at 15 degC, by mass and as a blend they are one fuel.
    #[test]
    fn routes_to_a_blend_of_two_meet(a in 0_usize..6, b in 0_usize..6, v in 0.0..1.0_f64) {
        let (first, second) = (&all()[a], &all()[b]);
        let blend = Fuel::blend(fraction(v), first, second).unwrap();
        let parts = [(fraction(v), first), (fraction(1.0 - v), second)];
        same(&Fuel::by_volume(&parts, deg_c(15.0)).unwrap(), &blend);
        // The mass fraction by the definition, not by the library.
        let masses = [v * first.density().si(), (1.0 - v) * second.density().si()];
        let w = masses[0] / (masses[0] + masses[1]);
        same(&Fuel::by_mass(&[(fraction(w), first), (fraction(1.0 - w), second)]).unwrap(), &blend);
    }

    // Three components in any order, and in two steps, are one fuel; its sums are those of its parts.
    #[test]
    fn the_order_of_components_does_not_matter(a in 0.0..5.0_f64, b in 0.0..5.0_f64, t in -15.0..45.0_f64) {
        let gasoline = Gasoline::typical();
        let parts = [&Component::ethanol(), &Component::toluene(), gasoline.component()];
        let v = shares(a, b);
        let straight = by_volume(v, parts, deg_c(t));
        for order in [[0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]] {
            same(&by_volume(order.map(|i| v[i]), order.map(|i| parts[i]), deg_c(t)), &straight);
        }
        let sum = |of: &dyn Fn(&Component) -> f64| -> f64 {
            straight.parts().map(|(part, w)| w.si() * of(part)).sum()
        };
        close(sum(&|_| 1.0), 1.0, 1e-14);
        close_relative(sum(&|part| part.heating_value().si()), straight.heating_value().si(), 1e-13);
        close_relative(1.0 / sum(&|part| 1.0 / part.density().si()), straight.density().si(), 1e-13);
        // As delivered at t, so many litres of each: their masses over the whole volume.
        let mass: f64 = (0..3).map(|i| v[i].si() * parts[i].density_at(deg_c(t)).unwrap().si()).sum();
        close_relative(straight.density_at(deg_c(t)).unwrap().si(), mass, 1e-13);
    }
}
