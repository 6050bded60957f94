//! What an answer becomes with the usual mistakes, worked out again by the formula that gives it.

use crate::formula::{Argument, Derivation, Expr};
use crate::quantity::*;

/// A wrong answer, and the mistake that leads to it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Mistake {
    /// SI value.
    pub value: f64,
    pub words: String,
}

/// An input of a formula as somebody mistakes it.
struct Mistaken {
    value: f64,
    how: String,
    /// The unit whose number went in, where it has a zero of its own.
    scale: Option<Unit>,
}

/// Whether the steps can be worked again far from where they were: a root or a table is known only where it was
/// read.
pub(super) fn is_closed(steps: &Derivation) -> bool {
    let mut closed = true;
    for line in &steps.lines {
        line.expression.visit(&mut |part| {
            let read = matches!(
                part,
                Expr::Property(..) | Expr::Inverse(..) | Expr::LookUp(..) | Expr::Root(..) | Expr::Unknown
            );
            closed &= !read;
        });
    }
    closed
}

/// Whether gauge can be taken for absolute in one of the inputs.
pub(super) fn takes_absolute_pressure(steps: &Derivation) -> bool {
    steps.formula.arguments.iter().any(|argument| argument.quantity == Pressure::NAME)
}

/// The answers that the formula gives with each of its inputs mistaken, and with all of one quantity mistaken alike.
pub(super) fn usual(steps: &Derivation, barometer: Option<Pressure>, answer: &[Unit]) -> Vec<Mistake> {
    let arguments = steps.formula.arguments;
    let mut found = Vec::new();
    for (index, argument) in arguments.iter().enumerate() {
        let alone = format!("{} ({})", argument.words, argument.symbol);
        found.extend(with_mistaken(steps, &[index], &alone, barometer, answer));
        let alike: Vec<usize> =
            (0..arguments.len()).filter(|&other| arguments[other].quantity == argument.quantity).collect();
        if alike.len() > 1 && alike[0] == index {
            let each = format!("each {}", bare(argument.quantity));
            found.extend(with_mistaken(steps, &alike, &each, barometer, answer));
        }
    }
    found
}

/// The answers with the inputs at these places mistaken in the same way.
fn with_mistaken(
    steps: &Derivation,
    places: &[usize],
    what: &str,
    barometer: Option<Pressure>,
    answer: &[Unit],
) -> Vec<Mistake> {
    let argument = &steps.formula.arguments[places[0]];
    let ways = mistaken(argument, 0.0, barometer).len();
    let mut found = Vec::new();
    for way in 0..ways {
        let mut inputs = steps.inputs.clone();
        let (mut how, mut scale) = (String::new(), None);
        for &place in places {
            let one = mistaken(argument, inputs[place], barometer).swap_remove(way);
            (inputs[place], how, scale) = (one.value, one.how, one.scale);
        }
        let value = again(steps, &inputs);
        let words = format!("{what} {how}");
        // A temperature worked out on another scale is written down on that scale too.
        if let Some(scale) = scale.filter(|_| answer.iter().any(|unit| unit.offset != 0.0)) {
            found.push(Mistake { value: value * scale.factor + scale.offset, words: words.clone() });
        }
        found.push(Mistake { value, words });
    }
    found
}

/// The ways in which an input is mistaken, the same ones in the same order for every value.
fn mistaken(argument: &Argument, value: f64, barometer: Option<Pressure>) -> Vec<Mistaken> {
    let plain = |value: f64, how: &str| Mistaken { value, how: how.into(), scale: None };
    let mut ways = Vec::new();
    if argument.quantity == Pressure::NAME
        && let Some(barometer) = barometer
    {
        ways.push(plain(value - barometer.si(), "entered as gauge; the formula takes it absolute"));
    }
    if argument.quantity == PressureDifference::NAME {
        ways.push(plain(0.0, "left out"));
    }
    if [Efficiency::NAME, Effectiveness::NAME].contains(&argument.quantity) {
        ways.push(plain(1.0, "left out"));
    }
    let takes = if argument.unit.is_empty() { "a plain number" } else { argument.unit };
    let units = units_by_name(argument.quantity).unwrap_or_default();
    ways.extend(units.iter().filter(|unit| unit.factor != 1.0 || unit.offset != 0.0).map(|unit| Mistaken {
        value: (value - unit.offset) / unit.factor,
        how: format!("entered in {}; the formula takes {takes}", unit.label),
        scale: (unit.offset != 0.0).then_some(*unit),
    }));
    ways
}

/// The result with other inputs, in SI numbers, whose ranges are not judged: mistaken inputs lie outside them.
fn again(steps: &Derivation, inputs: &[f64]) -> f64 {
    let mut known: Vec<(&str, f64)> =
        steps.formula.arguments.iter().map(|argument| argument.symbol).zip(inputs.iter().copied()).collect();
    let mut last = f64::NAN;
    for line in &steps.lines {
        let value = |symbol: &str| known.iter().find(|one| one.0 == symbol).map(|one| one.1);
        last = line.expression.evaluate(&value);
        known.push((line.symbol, last));
    }
    last
}

fn bare(quantity: &str) -> &str {
    quantity.strip_prefix("a ").or(quantity.strip_prefix("an ")).unwrap_or(quantity)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::gas::Gas;
    use crate::quantity::units::*;
    use crate::{charge, compressor, engine};

    /// What the formula gives with the mistake of these words.
    fn value(mistakes: &[Mistake], words: &str) -> Vec<f64> {
        mistakes.iter().filter(|mistake| mistake.words == words).map(|mistake| mistake.value).collect()
    }

    fn near(found: &[f64], by_hand: &[f64]) {
        assert_eq!(found.len(), by_hand.len(), "{found:?}");
        for (found, by_hand) in found.iter().zip(by_hand) {
            assert!((found / by_hand - 1.0).abs() < 1e-4, "{found} {by_hand}");
        }
    }

    #[test]
    fn celsius_and_other_units_go_into_the_formula() {
        let steps = engine::manifold_pressure::record(
            &Gas::dry_air(),
            kg_per_s(0.2),
            deg_c(45.0),
            percent(95.0),
            litre(1.8),
            rpm(6000.0),
        );
        let mistakes = usual(&steps.unwrap(), None, Pressure::UNITS);
        // By hand: 0.2 x 287.05 x T/(0.95 x 1.8e-3 x 50) Pa, T 318.15 K or 45; 45 degC is 113 degF.
        let at = |t: f64| 0.2 * 287.05 * t / (0.95 * 1.8e-3 * 50.0);
        let t = "manifold temperature (T_m) entered in";
        near(&value(&mistakes, &format!("{t} degC; the formula takes K")), &[at(45.0)]);
        near(&value(&mistakes, &format!("{t} degF; the formula takes K")), &[at(113.0)]);
        // 1 lb/min = 0.45359237/60 kg/s.
        near(
            &value(&mistakes, "air flow (W) entered in lb/min; the formula takes kg/s"),
            &[at(318.15) * 60.0 / 0.453_592_37],
        );
        near(
            &value(
                &mistakes,
                "volumetric efficiency, manifold conditions (eta_v) entered in %; the formula takes a plain number",
            ),
            &[at(318.15) / 100.0],
        );
    }

    #[test]
    fn two_temperatures_are_mistaken_alone_and_together() {
        let steps = compressor::corrected_mass_flow::record(
            kg_per_s(0.2),
            deg_c(25.0),
            kpa(98.0),
            kelvin(288.15),
            kpa(101.325),
        );
        let mistakes = usual(&steps.unwrap(), None, CorrectedMassFlow::UNITS);
        let with = |t: f64, reference: f64| 0.2 * (t / reference).sqrt() / (98.0 / 101.325);
        near(&value(&mistakes, "each temperature entered in degC; the formula takes K"), &[with(25.0, 15.0)]);
        near(
            &value(
                &mistakes,
                "compressor inlet total temperature (T_01) entered in degC; the formula takes K",
            ),
            &[with(25.0, 288.15)],
        );
        near(
            &value(
                &mistakes,
                "reference temperature of the map (T_ref) entered in degC; the formula takes K",
            ),
            &[with(298.15, 15.0)],
        );
    }

    #[test]
    fn gauge_pressures_and_losses_left_out() {
        let steps =
            charge::required_pressure_ratio::record(kpa(180.0), kpa_diff(6.0), kpa(100.0), kpa_diff(4.0));
        let steps = steps.unwrap();
        assert!(takes_absolute_pressure(&steps) && is_closed(&steps));
        let mistakes = usual(&steps, Some(kpa(100.0)), PressureRatio::UNITS);
        let gauge = "manifold pressure (p_m) entered as gauge; the formula takes it absolute";
        near(&value(&mistakes, gauge), &[86.0 / 96.0]);
        near(&value(&mistakes, "loss between compressor and manifold (dp_c) left out"), &[180.0 / 96.0]);
        near(&value(&mistakes, "each pressure difference left out"), &[1.8]);
        let without = usual(&steps, None, PressureRatio::UNITS);
        assert!(value(&without, gauge).is_empty());
    }

    /// Worked in Celsius, a temperature may be written down as it came out or as degrees Celsius.
    #[test]
    fn a_temperature_in_celsius_is_written_in_celsius() {
        let ratio = PressureRatio::new(2.0).unwrap();
        let gamma = HeatCapacityRatio::new(1.4).unwrap();
        let efficiency = Efficiency::new(0.7).unwrap();
        let steps =
            compressor::outlet_temperature_constant_gamma::record(deg_c(25.0), ratio, efficiency, gamma);
        let mistakes = usual(&steps.unwrap(), None, Temperature::UNITS);
        let rise = |efficiency: f64| 1.0 + (2.0_f64.powf(0.4 / 1.4) - 1.0) / efficiency;
        let number = 25.0 * rise(0.7);
        near(
            &value(&mistakes, "inlet total temperature (T_01) entered in degC; the formula takes K"),
            &[number + 273.15, number],
        );
        near(
            &value(&mistakes, "isentropic efficiency, total to total (eta) left out"),
            &[298.15 * rise(1.0)],
        );
    }

    #[test]
    fn roots_and_tables_are_not_worked_again() {
        let ratio = PressureRatio::new(2.0).unwrap();
        let efficiency = Efficiency::new(0.7).unwrap();
        let steps =
            compressor::outlet_temperature::record(&Gas::dry_air(), deg_c(25.0), ratio, efficiency).unwrap();
        assert!(!is_closed(&steps) && !takes_absolute_pressure(&steps));
    }
}
