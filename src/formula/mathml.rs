//! Expressions as MathML, for pages that show an equation without any script.
//!
//! Only elements of MathML Core are written (W3C, fractions, roots, scripts, tables). The elements carry no
//! namespace: a page of HTML knows them without one.

use super::expr::{Cases, Expr, Table, binding, of_pi, trimmed_constant};
use super::numbers::Put;
use super::symbol::{Base, Name, Part, parts, strength};
use super::{Derivation, Line};
use crate::markup::escape;
use crate::quantity::{significant, six_figures};

const APPLY: &str = "<mo>\u{2061}</mo>";
const NARROW: &str = "<mspace width=\"0.17em\"/>";

impl Expr {
    /// The expression as an element `math`. Factors that are constants come first; all else stands as evaluated.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// use shaftwork::compressor::density_ratio;
    /// let record = density_ratio::record(PressureRatio::new(2.0)?, deg_c(24.0), deg_c(122.0))?;
    /// let shown = record.lines[0].expression.mathml();
    /// assert!(shown.contains("<mfrac><mrow><mi>Π</mi><mo>·</mo><msub><mi>T</mi><mn>01</mn></msub></mrow>"));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn mathml(&self) -> String {
        math(&write(self, 0))
    }
}

impl Line {
    /// Symbol and expression as an element `math`.
    pub fn mathml(&self) -> String {
        math(&format!("{}<mo>=</mo>{}", symbol(self.symbol, 0), write(&self.expression, 0)))
    }
    /// The same with the numbers in it and what comes out, as [`Line::with_numbers`] gives them.
    pub fn mathml_with_numbers(&self, value: &dyn Fn(&str) -> Option<f64>) -> String {
        let Put { expression, result } = self.put(value);
        let result = plain_number(&result, self.value) + &unit(self.unit);
        let equals = |right: &str| format!("{}<mo>=</mo>{right}", symbol(self.symbol, 0));
        math(&match expression {
            None => equals(&result),
            Some(condition) if condition.is_condition() => {
                lines(&[equals(&write(&condition, 0)), equals(&result)])
            }
            Some(numbers) => format!("{}<mo>=</mo>{result}", equals(&write(&numbers, 0))),
        })
    }
}

impl Derivation {
    /// All lines as one element `math`, the result first, each intermediate below it with its SI value.
    pub fn mathml(&self) -> String {
        let Some((result, named)) = self.lines.split_last() else { return math("") };
        let row = |line: &Line, value: String| {
            let (left, right) = (symbol(line.symbol, 0), write(&line.expression, 0));
            format!("<mtr>{}{}{}</mtr>", cell(&left), cell("<mo>=</mo>"), cell(&(right + &value)))
        };
        let mut rows = row(result, String::new());
        for line in named {
            let value = plain_number(&significant(line.value, 6), line.value) + &unit(line.unit);
            rows += &row(line, format!("<mo>=</mo>{value}"));
        }
        math(&format!("<mtable displaystyle=\"true\">{rows}</mtable>"))
    }
}

/// A symbol as an element `math`: `eta_v` with a Greek letter and a subscript, `A/R` as it stands.
///
/// ```
/// use shaftwork::formula::symbol_mathml;
/// assert!(symbol_mathml("eta_v").contains("<msub><mi>η</mi><mi>v</mi></msub>"));
/// ```
pub fn symbol_mathml(text: &str) -> String {
    format!("<math>{}</math>", symbol(text, 0))
}

fn math(inside: &str) -> String {
    format!("<math displaystyle=\"true\">{inside}</math>")
}

fn words(text: &str) -> String {
    // Plain blanks at the ends of a text are dropped by the reader of the markup.
    format!("<mtext>{}</mtext>", escape(text).replace(' ', "\u{a0}"))
}

fn cell(inside: &str) -> String {
    format!("<mtd style=\"text-align:left\">{inside}</mtd>")
}

fn bracketed(inside: &str) -> String {
    format!("<mrow><mo>(</mo>{inside}<mo>)</mo></mrow>")
}

fn of(name: &str, arguments: &str) -> String {
    format!("<mrow>{name}{APPLY}{}</mrow>", bracketed(arguments))
}

/// `outer` is the binding strength around the expression, as where it is written as text.
fn write(expr: &Expr, outer: u8) -> String {
    let (strength, markup) = match expr {
        Expr::Symbol(name) => return symbol(name, outer),
        Expr::Number(value) => number(*value),
        Expr::Value(value) => digits(&six_figures(*value), *value),
        Expr::Binary('/', left, right) => (5, format!("<mfrac>{}{}</mfrac>", row(left, 0), row(right, 0))),
        Expr::Binary('*', left, right) => {
            let constant_last = matches!(**right, Expr::Number(_)) && !matches!(**left, Expr::Number(_));
            let (left, right) = if constant_last { (right, left) } else { (left, right) };
            (3, format!("{}<mo>·</mo>{}", write(left, 3), write(right, 3)))
        }
        Expr::Binary(sign, ..) => (binding(*sign).0, sum(expr)),
        Expr::Negative(inner) => (2, format!("<mo>\u{2212}</mo>{}", write(inner, 3))),
        Expr::Function("sqrt", inner) => (9, format!("<msqrt>{}</msqrt>", row(inner, 0))),
        Expr::Function(name, inner) => (9, of(&symbol(name, 0), &write(inner, 0))),
        Expr::Power(base, exponent) => (5, format!("<msup>{}{}</msup>", row(base, 6), row(exponent, 0))),
        Expr::Property(table, inner) => (9, of(&property(table), &write(inner, 0))),
        Expr::Inverse(table, inner, _) => {
            let equation = [of(&property(table), "<mi>x</mi>"), format!("<mo>=</mo>{}", write(inner, 0))];
            (0, found("find x such that", &equation))
        }
        Expr::LookUp(look_up, x, y) => {
            (9, of(&named(&look_up.name()), &format!("{}<mo>,</mo>{}", write(x, 0), write(y, 0))))
        }
        Expr::Unknown => (9, "<mi>x</mi>".into()),
        Expr::Root(says, gap, _) => {
            let equation = ["<mn>0</mn>".into(), format!("<mo>=</mo>{}", write(gap, 0))];
            (0, found(&format!("find x such that ({says})"), &equation))
        }
        Expr::Cases(both) => (0, cases(both)),
    };
    if strength < outer { bracketed(&markup) } else { markup }
}

/// A sum, on several lines where it is long: a page does not break it by itself.
fn sum(expr: &Expr) -> String {
    let mut terms = Vec::new();
    collect(expr, &mut terms);
    if terms.len() < 5 {
        return terms.concat();
    }
    lines(&terms.chunks(2).map(|pair| pair.concat()).collect::<Vec<_>>())
}

/// The terms of a sum from the left, each with its sign.
fn collect(expr: &Expr, terms: &mut Vec<String>) {
    let Expr::Binary(sign @ ('+' | '-'), left, right) = expr else {
        return terms.push(write(expr, 1));
    };
    collect(left, terms);
    let (_, after) = binding(*sign);
    // A sign behind a sign gets brackets.
    let after = if matches!(**right, Expr::Negative(_)) { 3 } else { after };
    let sign = if *sign == '-' { '\u{2212}' } else { *sign };
    terms.push(format!("<mo form=\"infix\">{sign}</mo>{}", write(right, after)));
}

/// An expression as one element, for places that count their children.
fn row(expr: &Expr, outer: u8) -> String {
    format!("<mrow>{}</mrow>", write(expr, outer))
}

/// An equation for x below its words, broken before the equals sign.
fn found(says: &str, [left, right]: &[String; 2]) -> String {
    lines(&[words(says), left.clone(), right.clone()])
}

fn lines(of: &[String]) -> String {
    let rows: String = of.iter().map(|line| format!("<mtr>{}</mtr>", cell(line))).collect();
    format!("<mtable displaystyle=\"true\">{rows}</mtable>")
}

/// Both branches with the condition of the first and the words of both; the one that applied says so.
fn cases(of: &Cases) -> String {
    let [left, right] = of.compared.each_ref().map(|side| write(side, 0));
    let conditions = [format!("{}{left}<mo>&lt;</mo>{right}", words("if ")), words("otherwise")];
    let mut rows = String::new();
    for (index, condition) in conditions.iter().enumerate() {
        let (class, mark) = if index == of.applied { (" class=\"applied\"", ", applied") } else { ("", "") };
        let says = words(&format!(" ({}{mark})", of.words[index]));
        let branch = cell(&write(&of.branches[index], 0));
        rows += &format!("<mtr{class}>{branch}{}</mtr>", cell(&format!("{condition}{says}")));
    }
    format!("<mrow><mo>{{</mo><mtable displaystyle=\"true\">{rows}</mtable></mrow>")
}

fn property(table: &Table) -> String {
    named(&table.name)
}

/// `h[dry air]`: the letter with the gas below it.
fn named(name: &str) -> String {
    match name.strip_suffix(']').and_then(|name| name.split_once('[')) {
        Some((letter, of)) => format!("<msub><mrow>{}</mrow>{}</msub>", symbol(letter, 0), below(of)),
        None => symbol(name, 0),
    }
}

/// The name of a gas below a letter, a long one on several short lines.
fn below(name: &str) -> String {
    const LONG: usize = 14;
    let mut broken: Vec<String> = Vec::new();
    for word in name.split(' ') {
        match broken.last_mut() {
            Some(line) if line.chars().count() + word.chars().count() < LONG => {
                line.push(' ');
                line.push_str(word);
            }
            _ => broken.push(word.into()),
        }
    }
    match &broken[..] {
        [one] => words(one),
        several => {
            let rows = several.iter().map(|line| format!("<mtr><mtd>{}</mtd></mtr>", words(line)));
            format!("<mtable>{}</mtable>", rows.collect::<String>())
        }
    }
}

/// A constant and how strongly it binds.
fn number(value: f64) -> (u8, String) {
    let pi = "<mi>π</mi>";
    match of_pi(value) {
        Some((1, 1)) => (9, pi.into()),
        Some((1, over)) => (5, format!("<mfrac>{pi}<mn>{over}</mn></mfrac>")),
        Some((times, _)) => (3, format!("<mn>{times}</mn><mo>·</mo>{pi}")),
        None => digits(&trimmed_constant(value), value),
    }
}

/// Digits and how strongly they bind: a power of ten is a product.
fn digits(printed: &str, value: f64) -> (u8, String) {
    let strength = match printed.contains('e') {
        _ if value < 0.0 => 1,
        true => 3,
        false => 9,
    };
    (strength, plain_number(printed, value))
}

/// A unit behind its number.
fn unit(label: &str) -> String {
    if label.is_empty() {
        return String::new();
    }
    let set = ["m2", "s2", "K2"]
        .iter()
        .fold(label.replace("m3", "m³"), |label, typed| label.replace(typed, &typed.replace('2', "²")));
    format!("<mspace width=\"0.25em\"/>{}", words(&set))
}

/// Digits that were printed, with sign and power of ten set as such.
fn plain_number(digits: &str, value: f64) -> String {
    if !value.is_finite() {
        return words(digits);
    }
    let sign = if digits.starts_with('-') { "<mo>\u{2212}</mo>" } else { "" };
    let digits = digits.trim_start_matches('-');
    match digits.split_once('e') {
        None => format!("{sign}<mn>{digits}</mn>"),
        Some((mantissa, exponent)) => {
            let power = plain_number(exponent, value);
            format!("{sign}<mn>{mantissa}</mn><mo>·</mo><msup><mn>10</mn><mrow>{power}</mrow></msup>")
        }
    }
}

/// A symbol may be a small expression itself, such as `rho_02/rho_01`: it stands as written.
fn symbol(text: &str, outer: u8) -> String {
    let mut out = String::new();
    let mut joined = true;
    for part in parts(text) {
        // Where there is no sign, parts are multiplied: a narrow space.
        if !joined && !matches!(part, Part::Sign(_)) {
            out += NARROW;
        }
        joined = matches!(part, Part::Sign(_));
        out += &match &part {
            Part::Name(name) => letters(name),
            Part::Function(name) => format!("<mi>{}</mi>", escape(name)),
            Part::Number(digits) => format!("<mn>{}</mn>", escape(digits)),
            Part::Sign('-') => "<mo>\u{2212}</mo>".into(),
            Part::Sign(sign) => format!("<mo>{sign}</mo>"),
        };
    }
    if strength(text) < outer { bracketed(&out) } else { out }
}

/// A letter or a word with its subscripts.
fn letters(name: &Name<'_>) -> String {
    let base = match name.base {
        Base::Letter(text) | Base::Greek(text) | Base::Word(text) => letter(text),
    };
    let base =
        if name.difference { format!("<mrow><mi mathvariant=\"normal\">Δ</mi>{base}</mrow>") } else { base };
    match name.subscripts.as_slice() {
        [] => base,
        [one] => format!("<msub>{base}{}</msub>", subscript(one)),
        many => {
            let many: Vec<String> = many.iter().map(|below| subscript(below)).collect();
            format!("<msub>{base}<mrow>{}</mrow></msub>", many.join("<mo>,</mo>"))
        }
    }
}

fn letter(text: &str) -> String {
    format!("<mi>{}</mi>", escape(greek(text).unwrap_or(text)))
}

fn subscript(text: &str) -> String {
    match text {
        _ if text.bytes().all(|byte| byte.is_ascii_digit()) => format!("<mn>{text}</mn>"),
        _ if text.chars().count() == 1 || greek(text).is_some() => letter(text),
        _ => words(text),
    }
}

fn greek(name: &str) -> Option<&'static str> {
    const LETTERS: [(&str, &str); 16] = [
        ("alpha", "α"),
        ("beta", "β"),
        ("gamma", "γ"),
        ("eps", "ε"),
        ("eta", "η"),
        ("lambda", "λ"),
        ("mu", "μ"),
        ("nu", "ν"),
        ("rho", "ρ"),
        ("sigma", "σ"),
        ("tau", "τ"),
        ("phi", "φ"),
        ("psi", "ψ"),
        ("omega", "ω"),
        ("Pi", "Π"),
        ("Omega", "Ω"),
    ];
    LETTERS.iter().find(|(word, _)| *word == name).map(|(_, letter)| *letter)
}
