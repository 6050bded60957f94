//! Every formula of the registry, read every way: number, derivative, record, refusal.

#[path = "support/reference.rs"]
mod reference;

use reference::{Worst, close, exhaust};
use shaftwork::formula::{Derivation, Expr, Formula, FormulaError};
use shaftwork::gas::Gas;
use shaftwork::quantity::Quantity;
use shaftwork::registry::formulas;
use std::collections::BTreeSet;

type Reading<T> = fn(&[f64]) -> Result<T, FormulaError>;

/// One formula with a point in the middle of its ranges and its readings on SI values.
struct Case {
    formula: &'static Formula,
    point: Vec<f64>,
    plain: Reading<f64>,
    gradient: Reading<(f64, Vec<f64>)>,
    record: Reading<Derivation>,
}

fn air() -> Gas {
    Gas::dry_air()
}

/// Lists formulas with their points in SI units; a gas stands in brackets where one is needed.
macro_rules! cases {
    (@call $v:ident, $($function:ident)::+, [$($gas:ident)?], $($x:literal)*) => {{
        #[allow(unused_mut, unused_variables)]
        let mut values = $v.iter().copied();
        $($function)::+($(&$gas(),)? $({
            let _: f64 = $x;
            Quantity::from_si_unchecked(values.next().unwrap())
        }),*)
    }};
    ($($room:ident :: $name:ident $([$gas:ident])? ($($x:literal),*);)+) => {
        vec![$(Case {
            formula: &shaftwork::$room::$name::FORMULA,
            point: vec![$($x),*],
            plain: |v| cases!(@call v, shaftwork::$room::$name, [$($gas)?], $($x)*).map(Quantity::si),
            gradient: |v| cases!(@call v, shaftwork::$room::$name::gradient, [$($gas)?], $($x)*)
                .map(|(value, slopes)| (value, slopes.to_vec())),
            record: |v| cases!(@call v, shaftwork::$room::$name::record, [$($gas)?], $($x)*),
        }),+]
    };
}

fn cases() -> Vec<Case> {
    cases! {
        gas::heat_capacity[air](640.0);
        gas::heat_capacity_ratio[exhaust](1150.0);
        gas::gas_constant[air]();
        gas::density[air](150e3, 320.0);
        gas::speed_of_sound[air](300.0);
        gas::isentropic_temperature[air](310.0, 2.3);
        gas::rich_carbon_dioxide(1.0022, 1.85, 2.49, 3.5);
        gas::water_gas_constant(1500.0);
        gas::polytropic_temperature[air](310.0, 2.3, 0.8);
        gas::polytropic_efficiency[air](310.0, 415.0, 2.3);
        gas::static_temperature[air](310.0, 120.0);
        gas::total_temperature[air](310.0, 120.0);
        gas::static_temperature_at_mach[exhaust](1150.0, 0.6);
        gas::static_pressure[air](2e5, 310.0, 290.0);
        gas::total_pressure[air](1.6e5, 290.0, 310.0);
        gas::saturation_pressure(303.0);
        gas::vapour_fraction(0.6, 303.0, 95e3);
        gas::humidity_ratio(0.02);
        gas::vapour_fraction_from_ratio(0.0125);
        gas::oxygen_lost(0.02);
        gas::viscosity(420.0);
        gas::ideal_density_error(3e5, 320.0);
        gas::ideal_heat_capacity_error(3e5, 320.0);
        fuel::stoichiometric_air_fuel_ratio(0.7, 0.13, 0.17);
        fuel::blend_density(0.71, 793.0, 745.0);
        fuel::blend_mass_fraction(0.71, 793.0, 745.0);
        fuel::blend_air_fuel_ratio(0.71, 793.0, 745.0, 9.0, 14.57);
        fuel::blend_heating_value(0.71, 793.0, 745.0, 26.8e6, 43e6);
        fuel::blend_volume_fraction(0.72, 793.0, 745.0);
        fuel::density_at_temperature(745.0, 1.05e-3, 303.0);
        fuel::blend_mole_fraction(0.72, 0.046, 0.1);
        fuel::blend_molar_mass(0.72, 0.046, 0.1);
        fuel::blend_octane(0.85, 108.0, 95.0);
        fuel::charge_cooling(7.5e5, 0.4, 0.85, 10.5, 1006.0, 2300.0);
        fuel::volume_for_energy(31e6, 780.0, 43e6, 745.0);
        site::geopotential_altitude(1150.0);
        site::standard_temperature(1150.0);
        site::standard_pressure(1150.0);
        site::station_pressure(101_900.0, 1150.0);
        site::density_altitude(1.05);
        site::correction_j1349(97e3, 303.0);
        site::correction_iso1585(97e3, 303.0);
        engine::swept_volume(0.084, 0.086);
        engine::mean_piston_speed(0.084, 700.0);
        engine::air_flow[air](2e5, 318.15, 0.95, 1.86e-3, 700.0);
        engine::manifold_pressure[air](0.25, 318.15, 0.95, 1.86e-3, 700.0);
        engine::indicated_efficiency(9.2, 0.68, 0.85);
        engine::mean_effective_pressure(245e3, 1.86e-3, 700.0);
        engine::friction_pressure(18.7, 23e5, 0.084);
        engine::crank_power(208e3, 0.85);
        engine::air_for_power(280e3, 0.3, 43e6, 0.85, 14.57);
        engine::fuel_for_air(0.25, 0.85, 14.57);
        engine::moist_air_flow(0.25, 0.012);
        charge::required_pressure_ratio(2.2e5, 8e3, 88.2e3, 4e3);
        charge::loss_at_flow(8e3, 0.2, 0.25);
        charge::cooled_temperature(390.0, 298.0, 0.7);
        charge::cooler_density_ratio(2e5, 8e3, 390.0, 325.0);
        compressor::corrected_mass_flow(0.2, 297.0, 85e3, 288.15, 101_325.0);
        compressor::mass_flow_from_corrected(0.24, 297.0, 85e3, 298.15, 1e5);
        compressor::corrected_speed(12e3, 297.0, 288.15);
        compressor::shaft_speed_from_corrected(12e3, 297.0, 288.15);
        compressor::outlet_temperature[air](300.0, 2.6, 0.74);
        compressor::outlet_temperature_constant_gamma(300.0, 2.6, 0.74, 1.4);
        compressor::isentropic_efficiency[air](300.0, 430.0, 2.6);
        compressor::density_ratio(2.6, 300.0, 430.0);
        compressor::power[air](0.25, 300.0, 430.0);
        compressor::trim(0.0464, 0.061);
        compressor::inducer_area(0.0464, 0.014);
        compressor::tip_speed(0.061, 14e3);
        compressor::tip_speed_for_ratio[air](300.0, 2.6, 0.74, 0.7);
        compressor::inducer_choke_flow(9e-4, 300.0, 88e3, 240.0, 1.4, 287.05);
        compressor::mean_inducer_angle(1.0, 0.0464, 0.014);
        compressor::throat_area(1.5e-3, 0.9);
        compressor::slip_factor(0.65, 6.0, 6.0, 0.6);
        compressor::blade_work(430.0, 0.82, 110.0, 0.65);
        compressor::tip_mach[air](430.0, 300.0);
        compressor::disc_friction(430.0, 0.0305, 1.5, 1.9, 2.2e-5, 0.2);
        compressor::blade_pressure(0.2, 0.0305, 290.0, 10.2, 0.024, 0.01, 0.035);
        compressor::leakage(430.0, 2e4, 0.035, 2.5e-4, 10.2, 1.9, 0.2);
        compressor::incidence_loss(250.0, 140.0, 0.9);
        compressor::diffusion_factor(330.0, 180.0, 0.65, 10.2, 0.76, 0.6);
        compressor::loading_loss(0.6, 430.0);
        compressor::friction_loss(190.0, 0.045, 0.006, 1.5, 2e-5);
        compressor::clearance_loss(2.5e-4, 0.004, 0.067, 10.2, 1.6, 290.0, 140.0);
        compressor::mixing_loss(110.0, 0.9);
        compressor::choking_loss(0.97, 280.0);
        compressor::volute_loss(70.0, 180.0);
        compressor::diffuser_friction(1.6, 310.0, 0.004, 2.2e-5);
        compressor::reverse_flow_angle(0.13, 0.9);
        turbine::expansion_ratio[exhaust](1173.0, 1.8e5, 0.66);
        turbine::expansion_ratio_constant_gamma(1173.0, 1.8e5, 0.66, 1250.0, 1.31);
        turbine::expansion_work[exhaust](1173.0, 2.4, 0.66);
        turbine::outlet_temperature_constant_gamma(1173.0, 2.4, 0.66, 1.31);
        turbine::effective_area(0.0178, 0.03, 0.01, 8.5e-4, 0.78);
        turbine::nozzle_flow(5e-4, 2e5, 1173.0, 1.7, 1.31, 292.0);
        supply::injector_flow(1.1e-5, 688.0, 3e5, 3.5e5, 780.0);
        supply::injector_duty(0.028, 0.034);
        compressor::surge_margin(0.2, 2.2, 0.25, 2.0);
        compressor::choke_margin(0.3, 0.25);
        compressor::hub_diameter(0.046, 0.3);
        compressor::throat_from_share(1.5e-3, 0.57);
        compressor::inducer_blade_speed(0.046, 0.014, 12_500.0);
        compressor::shaft_speed_for_tip_speed(400.0, 0.061);
        engine::displacement(4.0, 4.65e-4);
        engine::torque(245e3, 650.0);
        engine::pumping_pressure(3.2e5, 2.5e5);
        engine::indicated_power(245e3, 2.4e6, 1.5e5, 6e4);
        engine::specific_consumption(0.02, 245e3);
        engine::exhaust_flow(0.25, 0.028);
        charge::inlet_pressure(88e3, 3e3);
        charge::inlet_temperature(297.0, 4.0);
        charge::compression_asked(2.6);
        charge::boost(2.3e5, 88e3);
        turbine::outlet_pressure(88e3, 9e3);
        turbine::inlet_pressure(97e3, 2.5);
        turbine::power(0.2, 1.5e5);
        turbine::work_asked(3e4, 0.25);
        turbine::wastegate_share(0.2, 0.25);
        turbine::wheel_radius(0.06);
        turbine::wheel_width(0.06, 0.15);
        turbine::wheel_exit(0.03, 0.3);
        supply::all_injectors(4.0, 8e-3);
        fuel::carbon_fraction(2.0, 6.0, 1.0);
        fuel::hydrogen_fraction(2.0, 6.0, 1.0);
        fuel::oxygen_fraction(2.0, 6.0, 1.0);
        fuel::blend_element(0.6, 0.52, 0.86);
        shaft::torque_margin(390.0, 300.0);
        shaft::boost_margin(1.15e5, 88e3, 1.6e5);
        shaft::speed_margin(14_000.0, 12_500.0);
        shaft::duty_margin(0.85, 0.7);
        shaft::expansion_margin(3.0, 2.5);
        shaft::inducer_choke_margin(0.3, 0.25);
        shaft::middle_speed(650.0, 750.0);
    }
}

#[test]
fn the_table_covers_the_registry_once() {
    let listed: BTreeSet<&str> = cases().iter().map(|case| case.formula.name).collect();
    let known: BTreeSet<&str> = formulas().map(|formula| formula.name).collect();
    assert_eq!(listed, known);
    assert_eq!(formulas().count(), known.len(), "a name stands twice");
    assert_eq!(cases().len(), listed.len());
}

#[test]
fn every_formula_is_described() {
    for formula in formulas() {
        let name = formula.name;
        assert!(!formula.summary.is_empty() && !formula.summary.ends_with('.'), "{name}");
        assert!(!formula.source.is_empty() && !formula.symbol.is_empty(), "{name}");
        assert!(!formula.quantity.is_empty(), "{name}");
        // A gas alone decides its gas constant.
        assert!(!formula.arguments.is_empty() || name == "gas::gas_constant", "{name}");
        let symbols: BTreeSet<&str> = formula.arguments.iter().map(|argument| argument.symbol).collect();
        assert_eq!(symbols.len(), formula.arguments.len(), "{name}: two arguments share a symbol");
        for argument in formula.arguments {
            assert!(!argument.words.is_empty() && argument.low < argument.high, "{name}: {}", argument.name);
        }
    }
}

#[test]
fn record_and_gradient_carry_the_plain_number() {
    for Case { formula, point, plain, gradient, record } in cases() {
        let number = plain(&point).unwrap();
        let derivation = record(&point).unwrap();
        let last = derivation.lines.last().unwrap();
        assert_eq!(last.value.to_bits(), number.to_bits(), "{}", formula.name);
        assert_eq!(gradient(&point).unwrap().0.to_bits(), number.to_bits(), "{}", formula.name);
        assert_eq!(last.symbol, formula.symbol);
        assert_eq!(derivation.inputs, point);
        assert!(std::ptr::eq(derivation.formula, formula));
    }
}

#[test]
fn gradients_are_the_slopes_of_the_plain_function() {
    // Independent method: central differences, two widths combined (Richardson). They leave about 1e-10
    // of the value by truncation and rounding, hence 1e-6 of the slope and 1e-8 of value over input.
    let mut worst = Worst::new();
    for Case { formula, point, plain, gradient, .. } in cases() {
        let (value, slopes) = gradient(&point).unwrap();
        for (i, slope) in slopes.iter().enumerate() {
            let central = |h: f64| {
                let [up, down] = [h, -h].map(|step| {
                    let mut moved = point.clone();
                    moved[i] += step;
                    plain(&moved).unwrap()
                });
                (up - down) / (2.0 * h)
            };
            let step = 1e-4 * point[i];
            let difference = (4.0 * central(step / 2.0) - central(step)) / 3.0;
            let size = difference.abs() + 1e-2 * (value / point[i]).abs();
            worst
                .see((slope - difference) / size, format!("{}, {}", formula.name, formula.arguments[i].name));
        }
    }
    worst.holds("slopes", 1e-6);
}

#[test]
fn every_argument_is_held_to_its_range() {
    for Case { formula, point, plain, gradient, record } in cases() {
        for (i, argument) in formula.arguments.iter().enumerate() {
            let with = |value: f64| {
                let mut moved = point.clone();
                moved[i] = value;
                let plain = plain(&moved);
                // The three doors refuse alike; a record or gradient is not asked for its numbers here.
                assert_eq!(gradient(&moved).err(), plain.as_ref().err().cloned(), "{}", formula.name);
                assert_eq!(record(&moved).err(), plain.as_ref().err().cloned(), "{}", formula.name);
                plain
            };
            for edge in [argument.low, argument.high] {
                let refused = matches!(with(edge), Err(FormulaError::OutOfRange { .. }));
                assert!(!refused, "{}: {} refuses its own edge {edge}", formula.name, argument.name);
            }
            let width = argument.high - argument.low;
            for beyond in [argument.low - 1e-9 * width, argument.high + 1e-9 * width] {
                match with(beyond) {
                    Err(FormulaError::OutOfRange {
                        formula: name,
                        argument: found,
                        value,
                        low,
                        high,
                        ..
                    }) => {
                        assert_eq!((name, found), (formula.name, argument.name));
                        assert_eq!((value, low, high), (beyond, argument.low, argument.high));
                    }
                    other => panic!("{}: {} at {beyond} gives {other:?}", formula.name, argument.name),
                }
            }
            for never in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
                let refusal = FormulaError::NotFinite { formula: formula.name, argument: argument.name };
                assert_eq!(with(never), Err(refusal));
            }
        }
    }
}

#[test]
fn a_record_reads_as_an_equation_with_its_numbers_and_source() {
    for Case { formula, point, record, .. } in cases() {
        let derivation = record(&point).unwrap();
        let text = derivation.to_string();
        let relations: Vec<String> = derivation.lines.iter().map(|line| line.relation()).collect();
        let mut parts = vec![formula.name, formula.summary, formula.source];
        parts.extend(relations.iter().map(String::as_str));
        parts.extend(formula.arguments.iter().flat_map(|argument| [argument.symbol, argument.words]));
        for part in parts {
            assert!(text.contains(part), "{part} is missing in\n{text}");
        }
        assert!(!text.contains("not a number"), "{text}");
    }
}

/// Evaluates the lines of a record from its inputs, each from the symbols above it.
fn evaluated_again(derivation: &Derivation) -> Vec<f64> {
    let arguments = derivation.formula.arguments.iter().map(|argument| argument.symbol);
    let mut known: Vec<(&str, f64)> = arguments.zip(derivation.inputs.iter().copied()).collect();
    for line in &derivation.lines {
        let value = |symbol: &str| known.iter().rfind(|(name, _)| *name == symbol).map(|(_, value)| *value);
        let found = line.expression.evaluate(&value);
        known.push((line.symbol, found));
    }
    known.split_off(derivation.inputs.len()).into_iter().map(|(_, value)| value).collect()
}

/// The recorded expression is the formula: evaluated again, without the formula's code, it gives the same number.
/// Where it holds no root, to 1e-15; a root is found again from a start of three digits.
#[test]
fn a_recorded_expression_evaluates_to_its_own_number() {
    let mut worst = Worst::new();
    let mut roots = Worst::new();
    for Case { formula, point, record, .. } in cases() {
        let derivation = record(&point).unwrap();
        let mut holds_root = false;
        for line in &derivation.lines {
            line.expression
                .visit(&mut |part| holds_root |= matches!(part, Expr::Inverse(..) | Expr::Root(..)));
        }
        for (line, again) in derivation.lines.iter().zip(evaluated_again(&derivation)) {
            let gap = if again == line.value { 0.0 } else { again / line.value - 1.0 };
            let place = format!("{}, {}", formula.name, line.symbol);
            if holds_root { roots.see(gap, place) } else { worst.see(gap, place) }
        }
    }
    worst.holds("expressions", 1e-15);
    roots.holds("expressions with a root", 1e-13);
}

#[test]
fn the_branch_that_applied_is_marked() {
    let flow = cases().into_iter().find(|case| case.formula.name == "turbine::nozzle_flow").unwrap();
    let text_at = |ratio: f64| {
        let mut point = flow.point.clone();
        point[3] = ratio;
        (flow.record)(&point).unwrap().to_string()
    };
    assert!(text_at(1.7).contains("PR_t [not choked, applied]; PR_crit [choked]"), "{}", text_at(1.7));
    assert!(text_at(3.0).contains("PR_t [not choked]; PR_crit [choked, applied]"), "{}", text_at(3.0));
}

#[test]
fn refusals_say_what_to_mend() {
    let work = |work: f64| {
        let case = cases().into_iter().find(|case| case.formula.name == "turbine::expansion_ratio").unwrap();
        (case.plain)(&[1173.15, work, 0.66])
    };
    close(work(0.0).unwrap(), 1.0, 1e-12); // identity: no work, no expansion
    let says = |asked: f64| work(asked).unwrap_err().to_string().replace("turbine::expansion_ratio: ", "");
    assert_eq!(says(9e5), "work per mass through the turbine (work) 900000 J/kg is outside 0 to 800000 J/kg");
    assert_eq!(says(f64::NAN), "work is not a finite number");
    assert_eq!(says(8e5), "no PR_t satisfies these inputs");
}
