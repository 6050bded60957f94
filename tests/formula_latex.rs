//! Equations in LaTeX: symbols, brackets, branches, and that no number of a run gets into them.

#[path = "support/formulas.rs"]
mod formulas;
#[path = "support/reference.rs"]
mod reference;

use formulas::{Case, cases};
use shaftwork::formula::{Expr, LookUp, Piece, SolvedRoot, Table};

fn named(name: &str) -> Case {
    cases().into_iter().find(|case| case.formula.name == name).unwrap()
}

/// The lines of a formula at its point.
fn lines(case: &Case, point: &[f64]) -> Vec<String> {
    case.record(point).unwrap().lines.iter().map(|line| line.latex()).collect()
}

fn result(name: &str) -> String {
    let case = named(name);
    lines(&case, &case.point).pop().unwrap()
}

#[test]
fn symbols_are_set_as_the_trade_writes_them() {
    for (symbol, expected) in [
        ("T_01", r"T_{01}"),
        ("T_2c", r"T_{2c}"),
        ("eta_v", r"\eta_{v}"),
        ("Pi", r"\Pi"),
        ("eps", r"\varepsilon"),
        ("A/R", r"A/R"),
        ("rho_02/rho_01", r"\rho_{02}/\rho_{01}"),
        ("rho_2c/rho_2", r"\rho_{2c}/\rho_{2}"),
        ("cp", r"c_{p}"),
        ("cp_air", r"c_{p, \mathrm{air}}"),
        ("dp_c", r"\Delta p_{c}"),
        ("dp_c,ref", r"\Delta p_{c, \mathrm{ref}}"),
        ("dcp/cp", r"\Delta c_{p}/c_{p}"),
        ("dT", r"\Delta T"),
        ("d_2", r"d_{2}"),
        ("AFR_st", r"\mathrm{AFR}_{\mathrm{st}}"),
        ("bmep", r"\mathrm{bmep}"),
        ("n W_inj", r"n\,W_{\mathrm{inj}}"),
        ("R ln Pi", r"R\,\ln \Pi"),
        ("L H/T_0", r"L\,H/T_{0}"),
        ("tan alpha", r"\tan \alpha"),
        ("V/V_base", r"V/V_{\mathrm{base}}"),
        ("Z - 1", r"Z - 1"),
        ("B''", r"B''"),
    ] {
        assert_eq!(Expr::Symbol(symbol).latex(), expected);
    }
}

#[test]
fn equations_read_as_on_paper() {
    for (name, expected) in [
        ("compressor::density_ratio", r"\rho_{02}/\rho_{01} = \frac{\Pi\,T_{01}}{T_{02}}"),
        ("gas::density", r"\rho = \frac{p}{T\,R}"),
        ("gas::gas_constant", r"R = \frac{8.314462618}{M}"),
        ("engine::torque", r"M = \frac{P}{\omega}"),
        ("engine::swept_volume", r"V_{1} = \frac{\pi}{4}\,B^{2}\,S"),
        ("engine::mean_effective_pressure", r"\mathrm{mep} = \frac{P}{\frac{V_{d}\,\omega}{4 \pi}}"),
        ("compressor::trim", r"\mathrm{trim} = 100\,\left(\frac{d_{1t}}{d_{2}}\right)^{2}"),
        (
            "compressor::outlet_temperature_constant_gamma",
            r"T_{02} = T_{01}\,\left(\frac{\Pi^{n} - 1}{\eta} + 1\right)",
        ),
        (
            "turbine::outlet_temperature_constant_gamma",
            r"T_{04} = T_{03}\,\left(1 - \eta\,\left(1 - \mathrm{PR}_{t}^{-n}\right)\right)",
        ),
        ("gas::viscosity", r"\mu = \frac{1.458 \times 10^{-6}\,T^{1.5}}{T + 110.4}"),
        ("compressor::inducer_blade_speed", r"U_{1} = \omega\,\sqrt{\frac{d_{1t}^{2} + d_{1h}^{2}}{8}}"),
        (
            "gas::isentropic_temperature",
            r"T_{2s} = \text{find } x \text{ such that } s\left(x\right) = s\left(T_{1}\right) + \ln\left(\Pi\right)\,R",
        ),
        ("gas::water_gas_constant", r"K = \exp\left(\ln K\left(T\right)\right)"),
        (
            "charge::compression_asked",
            r"\Pi = \begin{cases} 1 & \text{if } \Pi_{0} < 1\text{ (no boost needed)} \\ \Pi_{0} & \text{if } \Pi_{0} \ge 1\text{ (boost)} \end{cases}",
        ),
        ("supply::injector_duty", r"\mathrm{DC} = \frac{W_{f}}{n\,W_{\mathrm{inj}}}"),
    ] {
        assert_eq!(result(name), expected, "{name}");
    }
    let mach = result("gas::static_temperature_at_mach");
    assert!(mach.starts_with(r"T = \text{find } x \text{ such that } 0 = h\left(x\right) + "), "{mach}");
    assert!(mach.ends_with(r"\quad \text{(energy balance)}"), "{mach}");
}

fn symbol(name: &'static str) -> Box<Expr> {
    Box::new(Expr::Symbol(name))
}

#[test]
fn brackets_stand_where_they_are_needed() {
    let binary = |sign, left, right| Box::new(Expr::Binary(sign, left, right));
    let sum = || binary('+', symbol("a"), symbol("b"));
    let minus = || Box::new(Expr::Negative(symbol("b")));
    for (expression, expected) in [
        (binary('-', symbol("c"), sum()), r"c - \left(a + b\right)"),
        (binary('*', sum(), symbol("c")), r"\left(a + b\right)\,c"),
        (binary('*', symbol("c"), Box::new(Expr::Number(2.0))), r"2\,c"),
        (binary('*', sum(), symbol("A/R")), r"\left(a + b\right)\,A/R"),
        (binary('/', symbol("a"), symbol("A/R")), r"\frac{a}{A/R}"),
        (binary('*', binary('*', symbol("a"), symbol("b")), symbol("a")), r"a^{2}\,b"),
        (binary('*', binary('*', sum(), sum()), symbol("b")), r"\left(a + b\right)\,\left(a + b\right)\,b"),
        (binary('*', Box::new(Expr::Number(2.0)), Box::new(Expr::Number(3.0))), r"2 \cdot 3"),
        (binary('*', Box::new(Expr::Number(2.0)), Box::new(Expr::Number(-3.0))), r"2\,\left(-3\right)"),
        (binary('+', symbol("a"), minus()), "a - b"),
        (binary('+', symbol("a"), binary('-', minus(), symbol("c"))), "a - b - c"),
        (binary('*', symbol("a"), minus()), r"a\,\left(-b\right)"),
        (binary('/', minus(), sum()), r"\frac{-b}{a + b}"),
        (Box::new(Expr::Negative(sum())), r"-\left(a + b\right)"),
        (Box::new(Expr::Power(sum(), symbol("n"))), r"\left(a + b\right)^{n}"),
        (Box::new(Expr::Power(symbol("rho_2/rho_0"), symbol("n"))), r"\left(\rho_{2}/\rho_{0}\right)^{n}"),
        (binary('-', symbol("a"), symbol("Z - 1")), r"a - \left(Z - 1\right)"),
        (
            Box::new(Expr::Power(Box::new(Expr::Function("ln", symbol("a"))), Box::new(Expr::Number(2.0)))),
            r"\left(\ln\left(a\right)\right)^{2}",
        ),
        (binary('*', symbol("a"), Box::new(Expr::Number(-3.0))), r"-3\,a"),
        (binary('+', symbol("b"), binary('*', symbol("a"), Box::new(Expr::Number(-3.0)))), r"b - 3\,a"),
        (binary('-', symbol("b"), minus()), r"b - \left(-b\right)"),
    ] {
        assert_eq!(expression.latex(), expected);
    }
}

#[test]
fn numbers_are_those_of_the_formula() {
    use std::f64::consts::PI;
    for (value, expected) in [
        (0.0, "0"),
        (2.0, "2"),
        (-0.25, "-0.25"),
        (0.001, "0.001"),
        (6_356_766.0, "6356766"),
        (1.458e-6, r"1.458 \times 10^{-6}"),
        (-1.445_209_3e-8, r"-1.4452093 \times 10^{-8}"),
        (4.3e7, r"4.3 \times 10^{7}"),
        (PI, r"\pi"),
        (2.0 * PI, r"2 \pi"),
        (4.0 * PI, r"4 \pi"),
        (PI / 2.0, r"\frac{\pi}{2}"),
        (PI / 4.0, r"\frac{\pi}{4}"),
        (3.15, "3.15"),
    ] {
        assert_eq!(Expr::Number(value).latex(), expected);
    }
}

// A property or table goes without the gas or map it belongs to, and a root without its value.
#[test]
fn gases_maps_and_roots_are_left_out() {
    let piece = Piece { end: 1e3, inverse: 0.0, log: 0.0, powers: [0.0; 6] };
    let table = || Table { name: "h[products of 71 % ethanol]".into(), pieces: vec![piece] };
    assert_eq!(Expr::Property(table(), symbol("T")).latex(), r"h\left(T\right)");
    let inverse = Expr::Inverse(table(), symbol("h"), solved(412.5)).latex();
    assert_eq!(inverse, r"\text{find } x \text{ such that } h\left(x\right) = h");
    let look_up = read_from("map B");
    let read = Expr::LookUp(look_up, symbol("W_c"), symbol("Pi")).latex();
    assert_eq!(read, r"\mathrm{efficiency}\left(W_{c}, \Pi\right)");
    let root = Expr::Root("50 % & more", Box::new(Expr::Unknown), solved(0.7)).latex();
    assert_eq!(root, r"\text{find } x \text{ such that } 0 = x \quad \text{(50 \% \& more)}");
}

/// What is wrong with a piece of LaTeX: braces and pairs, and commands that no equation of ours needs.
fn fault(latex: &str) -> Option<String> {
    const KNOWN: [&str; 35] = [
        "frac",
        "sqrt",
        "left",
        "right",
        "cdot",
        "times",
        "text",
        "mathrm",
        "ge",
        "begin",
        "end",
        "quad",
        "exp",
        "ln",
        "cos",
        "tan",
        "arctan",
        "pi",
        "alpha",
        "beta",
        "gamma",
        "varepsilon",
        "eta",
        "lambda",
        "mu",
        "nu",
        "rho",
        "sigma",
        "phi",
        "psi",
        "omega",
        "Pi",
        "Omega",
        "Delta",
        "",
    ];
    let mut depth = 0_i32;
    for c in latex.chars() {
        depth += i32::from(c == '{') - i32::from(c == '}');
        if depth < 0 {
            return Some("a brace closes too early".into());
        }
    }
    let count = |what: &str| latex.matches(what).count();
    let pairs = [(r"\left(", r"\right)"), (r"\begin{cases}", r"\end{cases}")];
    if depth != 0 || pairs.iter().any(|(open, close)| count(open) != count(close)) {
        return Some("something stays open".into());
    }
    let commands = latex
        .split('\\')
        .skip(1)
        .map(|rest| rest.split(|c: char| !c.is_ascii_alphabetic()).next().unwrap_or_default());
    commands.into_iter().find(|command| !KNOWN.contains(command)).map(|command| format!("\\{command}"))
}

#[test]
fn every_equation_is_well_formed() {
    for case in cases() {
        for line in lines(&case, &case.point) {
            assert_eq!(fault(&line), None, "{}: {line}", case.formula.name);
            assert!(
                !line.contains("NaN") && !line.contains("not a number") && line.contains(" = "),
                "{line}"
            );
        }
    }
    for broken in [r"\frac{a}{b", r"\left(a", r"\frca{a}{b}", "a}", r"\begin{cases} a"] {
        assert!(fault(broken).is_some(), "{broken}");
    }
}

/// A line that is a number and nothing else belongs to the gas: its gas constant or molar mass.
fn is_of_the_gas(line: &str) -> bool {
    line.split_once(" = ").is_some_and(|(_, right)| right.parse::<f64>().is_ok())
}

#[test]
fn an_equation_is_the_same_at_every_point() {
    for case in cases() {
        let here = lines(&case, &case.point);
        assert!(!is_of_the_gas(here.last().unwrap()), "{}: {}", case.formula.name, here.last().unwrap());
        let numbers = here.iter().filter(|line| is_of_the_gas(line));
        assert!(case.gas.is_some() || numbers.count() == 0, "{}: {here:?}", case.formula.name);
        let moved: Vec<f64> = case.point.iter().map(|value| value * 1.001).collect();
        assert_eq!(lines(&case, &moved), here, "{}", case.formula.name);
        // Another gas changes nothing but its own constants.
        let Some(own) = &case.gas else { continue };
        let other = reference::mixture(if own.name() == "dry air" { "C2H6O_lambda_0.85" } else { "dry_air" });
        let there = case.record_with(&other.unwrap(), &case.point).unwrap();
        let there: Vec<String> = there.lines.iter().map(|line| line.latex()).collect();
        let equations = |lines: &[String]| -> Vec<String> {
            lines.iter().filter(|line| !is_of_the_gas(line)).cloned().collect()
        };
        assert_eq!(equations(&there), equations(&here), "{}", case.formula.name);
    }
}

/// A root as if it had been found.
fn solved(root: f64) -> SolvedRoot {
    SolvedRoot { equation: String::new(), bracket: [0.0, 1e3], steps: 3, root, residual: 0.0 }
}

/// An efficiency as if it had been read from a map.
fn read_from(map: &str) -> LookUp {
    let (table, nodes, roots) = (map.into(), Vec::new(), Vec::new());
    LookUp { what: "efficiency", symbol: "eta_c", quantity: "an efficiency", unit: "", table, nodes, roots }
}
