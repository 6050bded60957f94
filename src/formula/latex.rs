//! Equations in LaTeX: symbols and the constants of the formula, never the numbers of a run.

use super::Line;
use super::expr::{Cases, Expr, binding, of_pi, trimmed_constant};
use super::symbol::{Base, Name, Part, parts, strength};

impl Expr {
    /// The expression in LaTeX for a displayed equation; it needs the environment `cases` (amsmath).
    ///
    /// A property or table is written without the gas or map it belongs to, a root without its value and two
    /// branches without a mark on the one that applied: the equation is the same at every point.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// use shaftwork::compressor::density_ratio;
    /// let record = density_ratio::record(PressureRatio::new(2.0)?, deg_c(24.0), deg_c(122.0))?;
    /// assert_eq!(record.lines[0].expression.latex(), r"\frac{\Pi\,T_{01}}{T_{02}}");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn latex(&self) -> String {
        write(self, 0)
    }
}

impl Line {
    /// The line in LaTeX: `symbol = expression`.
    pub fn latex(&self) -> String {
        format!("{} = {}", symbol(self.symbol), self.expression.latex())
    }
}

/// `outer` is the binding strength around the expression. A fraction binds as a product but needs brackets
/// below a power.
fn write(expr: &Expr, outer: u8) -> String {
    let (strength, text) = match expr {
        Expr::Symbol(name) => (strength(name), symbol(name)),
        Expr::Number(value) | Expr::Value(value) => number(*value),
        Expr::Binary('/', left, right) => (4, format!(r"\frac{{{}}}{{{}}}", write(left, 0), write(right, 0))),
        Expr::Binary('*', ..) => product(expr),
        Expr::Binary(sign, left, right) => {
            let (strength, after) = binding(*sign);
            let (left, right) = (write(left, strength), write(right, after));
            // Two signs never meet.
            let sum = match (*sign, right.strip_prefix('-')) {
                ('+', Some(rest)) => format!("{left} - {rest}"),
                (_, Some(_)) => format!("{left} {sign} {}", bracketed(&right)),
                _ => format!("{left} {sign} {right}"),
            };
            (strength, sum)
        }
        Expr::Negative(inner) => (2, format!("-{}", write(inner, 3))),
        Expr::Function("sqrt", inner) => (9, format!(r"\sqrt{{{}}}", write(inner, 0))),
        Expr::Function(name, inner) => (5, call(function(name), &write(inner, 0))),
        Expr::Power(base, exponent) => (5, format!("{}^{{{}}}", write(base, 6), write(exponent, 0))),
        Expr::Property(table, inner) => (5, call(&named(&table.name), &write(inner, 0))),
        Expr::Inverse(table, inner, _) => {
            (0, such_that(&format!("{} = {}", call(&named(&table.name), "x"), write(inner, 0))))
        }
        Expr::LookUp(look_up, x, y) => {
            (5, call(&named(look_up.what), &format!("{}, {}", write(x, 0), write(y, 0))))
        }
        Expr::Unknown => (9, "x".into()),
        Expr::Root(words, gap, _) => {
            (0, such_that(&format!(r"0 = {} \quad {}", write(gap, 0), text(&format!("({words})")))))
        }
        Expr::Cases(cases) => (0, branches(cases)),
    };
    if strength < outer { bracketed(&text) } else { text }
}

fn bracketed(inner: &str) -> String {
    format!(r"\left({inner}\right)")
}

fn call(name: &str, inner: &str) -> String {
    format!("{name}{}", bracketed(inner))
}

fn such_that(condition: &str) -> String {
    format!(r"\text{{find }} x \text{{ such that }} {condition}")
}

/// Factors side by side, numbers first, a symbol that stands twice as its square.
fn product(expr: &Expr) -> (u8, String) {
    let mut numbers = Vec::new();
    let mut others: Vec<(&Expr, usize)> = Vec::new();
    let mut rest = vec![expr];
    while let Some(factor) = rest.pop() {
        match factor {
            Expr::Binary('*', left, right) => rest.extend([&**right, &**left]),
            Expr::Number(value) | Expr::Value(value) => numbers.push(number(*value)),
            _ => match others.iter_mut().find(|(known, _)| is_symbol(known) && *known == factor) {
                Some((_, times)) => *times += 1,
                None => others.push((factor, 1)),
            },
        }
    }
    let others = others.into_iter().map(|(factor, times)| match times {
        1 => write(factor, 3),
        _ => format!("{}^{{{times}}}", write(factor, 6)),
    });
    let numbers = numbers.into_iter().enumerate();
    let numbers =
        numbers.map(|(i, (strength, text))| if i > 0 && strength < 3 { bracketed(&text) } else { text });
    let mut written = String::new();
    for factor in numbers.chain(others) {
        if !written.is_empty() {
            let digit = factor.starts_with(|c: char| c.is_ascii_digit());
            written.push_str(if digit { r" \cdot " } else { r"\," });
        }
        written.push_str(&factor);
    }
    (if written.starts_with('-') { 2 } else { 3 }, written)
}

fn is_symbol(expr: &Expr) -> bool {
    matches!(expr, Expr::Symbol(_))
}

fn branches(cases: &Cases) -> String {
    let [left, right] = cases.compared.each_ref().map(|side| write(side, 2));
    let row = |i: usize, sign: &str| {
        let words = text(&format!(" ({})", cases.words[i]));
        format!(r"{} & \text{{if }} {left} {sign} {right}{words}", write(&cases.branches[i], 0))
    };
    format!(r"\begin{{cases}} {} \\ {} \end{{cases}}", row(0, "<"), row(1, r"\ge"))
}

fn function(name: &str) -> &'static str {
    match name {
        "exp" => r"\exp",
        "ln" => r"\ln",
        "cos" => r"\cos",
        "tan" => r"\tan",
        "atan" => r"\arctan",
        _ => r"\operatorname{?}",
    }
}

/// The name of a property or table, without what stands in brackets behind it.
fn named(table: &str) -> String {
    symbol(table.split('[').next().unwrap_or(table))
}

/// A constant with ten significant digits at most, and how strongly it binds.
fn number(value: f64) -> (u8, String) {
    match of_pi(value) {
        Some((1, 1)) => return (9, r"\pi".into()),
        Some((1, over)) => return (4, format!(r"\frac{{\pi}}{{{over}}}")),
        Some((times, _)) => return (3, format!(r"{times} \pi")),
        None => {}
    }
    let sign = if value < 0.0 { 1 } else { 9 };
    if value == 0.0 || (1e-3..1e7).contains(&value.abs()) || !value.is_finite() {
        return (sign, trimmed_constant(value));
    }
    let digits = format!("{value:.9e}");
    let (mantissa, exponent) = digits.split_once('e').unwrap_or((&digits, "0"));
    let mantissa = mantissa.trim_end_matches('0').trim_end_matches('.');
    (sign.min(3), format!(r"{mantissa} \times 10^{{{exponent}}}"))
}

/// A symbol as it is set.
fn symbol(text: &str) -> String {
    let parts = parts(text);
    let mut written = String::new();
    let mut joined = true;
    for part in &parts {
        if !joined && !matches!(part, Part::Sign(_)) {
            written.push_str(r"\,");
        }
        match part {
            Part::Sign('/') => written.push('/'),
            Part::Sign(sign) => written.push_str(&format!(" {sign} ")),
            Part::Function(function) => written.push_str(&format!(r"\{function} ")),
            Part::Number(digits) => written.push_str(digits),
            Part::Name(part) => written.push_str(&name(part)),
        }
        joined = matches!(part, Part::Sign(_) | Part::Function(_));
    }
    written
}

fn name(name: &Name<'_>) -> String {
    let difference = if name.difference { r"\Delta " } else { "" };
    let base = match name.base {
        Base::Letter(letter) => letter.into(),
        Base::Greek("eps") => r"\varepsilon".into(),
        Base::Greek(letter) => format!(r"\{letter}"),
        Base::Word(word) => upright(word),
    };
    let below: Vec<String> = name.subscripts.iter().map(|below| subscript(below)).collect();
    let below = if below.is_empty() { String::new() } else { format!("_{{{}}}", below.join(", ")) };
    format!("{difference}{base}{below}")
}

/// Stations such as `01` and `2c` and single letters as they are, words upright.
fn subscript(below: &str) -> String {
    let word = below.len() > 1 && below.starts_with(|c: char| c.is_alphabetic());
    if word { upright(below) } else { escaped(below) }
}

fn upright(word: &str) -> String {
    format!(r"\mathrm{{{}}}", escaped(word))
}

fn text(words: &str) -> String {
    format!(r"\text{{{}}}", escaped(words))
}

/// What LaTeX would read as its own.
fn escaped(text: &str) -> String {
    let mut escaped = String::new();
    for c in text.chars() {
        match c {
            '#' | '$' | '%' | '&' | '_' | '{' | '}' => escaped.extend(['\\', c]),
            '\\' | '~' | '^' => escaped.push(' '),
            _ => escaped.push(c),
        }
    }
    escaped
}
