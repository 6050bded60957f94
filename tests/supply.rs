//! Injectors against worked cases and against their own orifice law.

#[path = "support/reference.rs"]
mod reference;

use proptest::prelude::*;
use reference::{Example, between, close, close_relative, seeded};
use shaftwork::prelude::*;
use shaftwork::supply::{DEFAULT_DUTY_LIMIT, injector_duty, injector_flow};

// computed with Python 3 (standard library) by data/reference/textbook-examples.py from chosen inputs
#[test]
fn more_pressure_passes_more_by_its_root() {
    let example = Example::named("injector-pressure");
    let fluid = Component::n_heptane().density();
    let [rated, new] = ["pressure_difference", "new_pressure_difference"].map(|q| bar_diff(example.given(q)));
    let flow = injector_flow(cc_per_min(example.given("static_flow")), fluid, rated, new, fluid).unwrap();
    example.answers("new_static_flow", "cm3/min", (flow / fluid).cc_per_min());
}

// computed with Python 3 (standard library) by data/reference/textbook-examples.py from chosen inputs
#[test]
fn a_denser_fuel_passes_more_mass_and_less_volume() {
    let example = Example::named("injector-fuel");
    let rated = cc_per_min(example.given("static_flow"));
    let [gasoline, ethanol] = ["density_gasoline", "density_ethanol"].map(|q| kg_per_m3(example.given(q)));
    let at = |fuel| injector_flow(rated, gasoline, bar_diff(3.0), bar_diff(3.0), fuel).unwrap();
    example.answers("mass_flow_gasoline", "kg/s", at(gasoline).si());
    example.answers("mass_flow_ethanol", "kg/s", at(ethanol).si());
    example.answers("mass_flow_change", "%", 100.0 * (at(ethanol) / at(gasoline) - 1.0));
    let volumes = (at(ethanol) / ethanol).si() / (at(gasoline) / gasoline).si();
    example.answers("volume_flow_change", "%", 100.0 * (volumes - 1.0));
}

// computed with Python 3 (standard library) by data/reference/textbook-examples.py from chosen inputs
#[test]
fn sizing_for_a_power_on_gasoline_and_on_a_blend() {
    let example = Example::named("injector-sizing");
    let power = kw(example.given("power"));
    let [gasoline, ethanol] = ["density_gasoline", "density_ethanol"].map(|q| kg_per_m3(example.given(q)));
    let [lhv_gasoline, lhv_ethanol] =
        ["heating_value_gasoline", "heating_value_ethanol"].map(|q| mj_per_kg(example.given(q)));
    let share = fraction(example.given("ethanol_volume_fraction"));
    let (count, duty) = (example.given("injector_count"), example.given("duty_cycle"));

    let consumption = g_per_kwh(example.given("specific_fuel_consumption"));
    let fuel = kg_per_s(consumption.si() * power.si());
    example.answers("fuel_mass_flow", "kg/s", fuel.si());
    example.answers("fuel_volume_flow", "L/h", (fuel / gasoline).l_per_h());
    let each = fuel / (count * duty);
    example.answers("injector_mass_flow", "g/s", each.g_per_s());
    example.answers("injector_volume_flow", "cm3/min", (each / gasoline).cc_per_min());

    // The blend needs the same energy.
    let density = shaftwork::fuel::blend_density(share, ethanol, gasoline).unwrap();
    let lhv = shaftwork::fuel::blend_heating_value(share, ethanol, gasoline, lhv_ethanol, lhv_gasoline);
    let blend = fuel * (lhv_gasoline / lhv.unwrap());
    example.answers("blend_mass_flow", "kg/s", blend.si());
    example.answers("blend_mass_ratio", "1", blend / fuel);
    example.answers("blend_volume_ratio", "1", (blend / density).si() / (fuel / gasoline).si());
    let each = blend / (count * duty);
    example.answers("blend_injector_volume_flow", "cm3/min", (each / density).cc_per_min());

    // Rated on gasoline with what the example asks for, the set runs at the planned duty on the blend.
    let rating = cc_per_min(710.47);
    let one = injector_flow(rating, gasoline, bar_diff(3.0), bar_diff(3.0), density).unwrap();
    example.answers("blend_gasoline_rating", "cm3/min", rating.cc_per_min() * (each / one));
    // The rating is given to five digits: 1e-5 of the duty.
    close(injector_duty(blend, one * count).unwrap().si(), duty, 1e-5);
}

// By hand: 4 bar gauge on the rail against 1.2 bar of boost leaves sqrt(2.8/4) of the flow, 16.3 % less.
#[test]
fn a_regulator_without_boost_reference_loses_flow() {
    let fluid = Component::n_heptane().density();
    let at = |head| injector_flow(cc_per_min(650.0), fluid, bar_diff(3.0), bar_diff(head), fluid).unwrap();
    // 16.3 % to three digits: half of the last one.
    close(100.0 * (1.0 - at(4.0 - 1.2) / at(4.0)), 16.3, 0.05);
}

fn four() -> Injectors {
    let fluid = Component::n_heptane().density();
    Injectors::new(4, cc_per_min(650.0), bar_diff(3.0), fluid, bar_diff(3.5)).unwrap()
}

#[test]
fn a_set_multiplies_one_injector() {
    // Arithmetic identity: the set of four passes four times one, to the last bits.
    let fuel = Fuel::gasoline().unwrap();
    let fluid = Component::n_heptane().density();
    let one = injector_flow(cc_per_min(650.0), fluid, bar_diff(3.0), bar_diff(3.5), fuel.density()).unwrap();
    close_relative(four().all_open(&fuel).unwrap().si(), 4.0 * one.si(), 1e-15);
    close(four().duty(one * 2.0, &fuel).unwrap().si(), 0.5, 1e-15);
    close(four().longest_duty().si(), DEFAULT_DUTY_LIMIT, 0.0);
    // From memory: planned opening of port injection 80 to 85 %.
    between(DEFAULT_DUTY_LIMIT, 0.80, 0.85);
    close(four().duty_limit(percent(70.0)).unwrap().longest_duty().si(), 0.70, 1e-15);
}

#[test]
fn wrong_ratings_are_found_where_they_are_given() {
    let fluid = Component::n_heptane().density();
    let made = |rated, head, density| Injectors::new(4, rated, bar_diff(3.0), density, bar_diff(head));
    for (set, argument) in [
        (made(cc_per_min(-1.0), 3.0, fluid), "rated"),
        (made(cc_per_min(650.0), 0.3, fluid), "pressure"),
        (made(cc_per_min(650.0), 3.0, kg_per_m3(0.7)), "test_density"),
    ] {
        match set.unwrap_err() {
            FormulaError::OutOfRange { argument: found, .. } => assert_eq!(found, argument),
            other => panic!("{other}"),
        }
    }
    let set = made(cc_per_min(f64::NAN), 3.0, fluid).unwrap_err();
    assert_eq!(set, FormulaError::NotFinite { formula: "supply::injector_flow", argument: "rated" });
    let message = four().duty_limit(percent(120.0)).unwrap_err().to_string();
    assert!(message.starts_with("supply::Injectors::duty_limit: duty limit (limit) 1.2"), "{message}");
}

proptest! {
    #![proptest_config(seeded(64))]

    // The orifice law itself: mass flow goes with the root of density times pressure.
    #[test]
    fn flow_goes_with_the_root_of_density_times_head(
        rated in 100.0..2000.0, head in 1.0..8.0, times in 0.5..4.0f64, density in 650.0..850.0f64
    ) {
        let at = |bar: f64, density: f64| {
            let test = kg_per_m3(700.0);
            injector_flow(cc_per_min(rated), test, bar_diff(3.0), bar_diff(bar), kg_per_m3(density))
                .unwrap()
                .si()
        };
        close_relative(at(times * head, density), times.sqrt() * at(head, density), 1e-14);
        close_relative(at(head, density), (density / 700.0).sqrt() * at(head, 700.0), 1e-14);
        close_relative(at(3.0, 700.0), cc_per_min(rated).si() * 700.0, 1e-14);
    }
}
