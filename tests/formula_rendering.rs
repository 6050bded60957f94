//! Formulas as MathML: well-formed, within the Core, and saying what was computed.

#[path = "support/formulas.rs"]
mod formulas;
#[path = "support/markup.rs"]
mod markup;
#[path = "support/reference.rs"]
mod reference;

use formulas::cases;
use markup::{Content, Element, parse};
use reference::Worst;
use shaftwork::formula::{Derivation, Expr, Line, LookUp, SolvedRoot, Table, symbol_mathml};

/// Token elements hold text, all others hold elements only.
const TOKENS: [&str; 5] = ["mi", "mn", "mo", "mtext", "mspace"];

/// Elements and their number of children by the W3C's MathML Core (section 3): mfrac, msub and msup take two.
fn within_the_core(element: &Element) {
    let children = element.children().count();
    let token = TOKENS.contains(&element.name.as_str());
    for part in &element.content {
        match part {
            Content::Text(text) => assert!(token, "{text:?} in {}", element.name),
            Content::Element(_) => assert!(!token, "an element in {}", element.name),
        }
    }
    match element.name.as_str() {
        "mfrac" | "msub" | "msup" => assert_eq!(children, 2, "{}", element.name),
        "mtable" => assert!(element.children().all(|row| row.name == "mtr")),
        "mtr" => assert!(element.children().all(|cell| cell.name == "mtd")),
        name => assert!(token || ["math", "mrow", "mtd", "msqrt"].contains(&name), "{name}"),
    }
    element.children().for_each(within_the_core);
}

#[test]
fn every_formula_is_well_formed_and_within_the_core() {
    for case in cases() {
        let derivation = case.record(&case.point).unwrap();
        let lines = derivation.lines.iter().map(Line::mathml);
        let symbols = case.formula.arguments.iter().map(|argument| symbol_mathml(argument.symbol));
        for shown in lines.chain(symbols).chain([derivation.mathml()]) {
            let math = parse(&shown);
            assert!(math.name == "math" && !math.text().is_empty(), "{shown}");
            within_the_core(&math);
        }
        let whole = parse(&derivation.mathml());
        let rows = whole.children().next().unwrap().children().count();
        assert_eq!(rows, derivation.lines.len(), "{}", case.formula.name);
    }
}

/// What stands inside the outermost elements.
fn inner(math: &str) -> &str {
    let inside = |text: &'static str, end: &'static str| math.strip_prefix(text)?.strip_suffix(end);
    inside("<math displaystyle=\"true\">", "</math>").or(inside("<math>", "</math>")).unwrap()
}

#[test]
fn symbols_as_they_are_printed() {
    for (text, expected) in [
        ("T_01", "<msub><mi>T</mi><mn>01</mn></msub>"),
        ("eta_v", "<msub><mi>η</mi><mi>v</mi></msub>"),
        ("omega", "<mi>ω</mi>"),
        ("Pi", "<mi>Π</mi>"),
        ("AFR_st", "<msub><mi>AFR</mi><mtext>st</mtext></msub>"),
        ("dp_f", "<msub><mrow><mi mathvariant=\"normal\">Δ</mi><mi>p</mi></mrow><mi>f</mi></msub>"),
        ("rho_02/rho_01", "<msub><mi>ρ</mi><mn>02</mn></msub><mo>/</mo><msub><mi>ρ</mi><mn>01</mn></msub>"),
        ("Z - 1", "<mi>Z</mi><mo>\u{2212}</mo><mn>1</mn>"),
        ("tan alpha", "<mi>tan</mi><mspace width=\"0.17em\"/><mi>α</mi>"),
    ] {
        assert_eq!(inner(&symbol_mathml(text)), expected, "{text}");
    }
}

fn derivation(name: &str) -> Derivation {
    let case = cases().into_iter().find(|case| case.formula.name == name).unwrap();
    case.record(&case.point).unwrap()
}

#[test]
fn some_formulas_in_full() {
    let last = |name| derivation(name).lines.pop().unwrap().mathml();
    assert_eq!(
        inner(&last("compressor::density_ratio")),
        "<msub><mi>ρ</mi><mn>02</mn></msub><mo>/</mo><msub><mi>ρ</mi><mn>01</mn></msub><mo>=</mo>\
         <mfrac><mrow><mi>Π</mi><mo>·</mo><msub><mi>T</mi><mn>01</mn></msub></mrow>\
         <mrow><msub><mi>T</mi><mn>02</mn></msub></mrow></mfrac>"
    );
    // A constant that the code multiplies by from the right stands first.
    assert_eq!(
        inner(&last("engine::swept_volume")),
        "<msub><mi>V</mi><mn>1</mn></msub><mo>=</mo>\
         <mfrac><mi>π</mi><mn>4</mn></mfrac><mo>·</mo><mi>B</mi><mo>·</mo><mi>B</mi><mo>·</mo><mi>S</mi>"
    );
    let speed = &derivation("shaft::speed_margin").lines[0];
    assert_eq!(
        inner(&speed.mathml()),
        "<msub><mi>N</mi><mn>1</mn></msub><mo>=</mo><mrow><mo>{</mo><mtable displaystyle=\"true\">\
         <mtr><mtd style=\"text-align:left\"><mn>1</mn></mtd><mtd style=\"text-align:left\">\
         <mtext>if\u{a0}</mtext><mi>N</mi><mo>&lt;</mo><mn>1</mn><mtext>\u{a0}(standing)</mtext></mtd></mtr>\
         <mtr class=\"applied\"><mtd style=\"text-align:left\"><mi>N</mi></mtd><mtd style=\"text-align:left\">\
         <mtext>otherwise</mtext><mtext>\u{a0}(turning,\u{a0}applied)</mtext></mtd></mtr></mtable></mrow>"
    );
    let enthalpy = &derivation("turbine::expansion_ratio").lines[0];
    let gas = enthalpy.relation().split_once("h[").unwrap().1.split_once(']').unwrap().0.to_string();
    let plain = |text: &str| text.replace(['\u{a0}', '\u{2061}', ' '], "");
    let expected = format!("T4s=find x such that h{gas}(x)=h{gas}(T03)\u{2212}wη");
    assert_eq!(plain(&parse(&enthalpy.mathml()).text()), plain(&expected));
}

#[test]
fn names_stay_text() {
    let name = "h[<script>alert('1')</script> & \"co\"]";
    let table = Table { name: name.into(), pieces: Vec::new() };
    let x = || Box::new(Expr::Symbol("x"));
    let look_up = read_from(name);
    for expr in [
        Expr::Property(table.clone(), x()),
        Expr::Inverse(table, x(), solved(1.0)),
        Expr::LookUp(look_up, x(), x()),
        Expr::Root("<b>&</b>", x(), solved(1.0)),
    ] {
        let shown = expr.mathml();
        assert!(!shown.contains("<script") && !shown.contains("<b>"), "{shown}");
        let math = parse(&shown);
        within_the_core(&math);
        let text = math.text();
        assert!(text.contains("<script>alert('1')</script>") || text.contains("<b>&</b>"), "{text}");
    }
    assert_eq!(parse(&symbol_mathml("<i>_<b>")).text(), "<i><b>");
}

/// What is seen: an equation read back from its elements, without the brackets that only the tree knows.
struct Reader<'a> {
    derivation: &'a Derivation,
    known: Vec<(String, f64)>,
    tables: Vec<Table>,
}

impl Reader<'_> {
    /// Symbols become `#k` and properties `@k`, so that a symbol that is itself an equation stays whole.
    fn marked(&mut self, line: &Line) -> Element {
        let mut marks: Vec<(String, String)> = Vec::new();
        line.expression.visit(&mut |part| {
            let (Expr::Property(table, _) | Expr::Inverse(table, ..)) = part else { return };
            let shown = Expr::Property(table.clone(), Box::new(Expr::Number(1.0))).mathml();
            let name = inner(&shown).strip_prefix("<mrow>").unwrap().split_once("<mo>\u{2061}").unwrap().0;
            marks.push((name.to_string(), format!("<mi>@{}</mi>", self.tables.len())));
            self.tables.push(table.clone());
        });
        for (index, (symbol, _)) in self.known.iter().enumerate().rev() {
            marks.push((inner(&symbol_mathml(symbol)).to_string(), format!("<mi>#{index}</mi>")));
        }
        // The latest of equal symbols is meant, and the longest of those that begin alike.
        marks.sort_by_key(|(shown, _)| core::cmp::Reverse(shown.len()));
        let shown = line.expression.mathml();
        parse(&marks.iter().fold(shown, |text, (shown, mark)| text.replace(shown, mark)))
    }
    fn of(&self, element: &Element) -> f64 {
        let mut parts = Vec::new();
        flat(element, &mut parts);
        let mut rest = &parts[..];
        let value = self.sum(&mut rest);
        assert!(rest.is_empty(), "{} left in {:?}", rest.len(), self.derivation.formula.name);
        value
    }
    fn sum(&self, rest: &mut &[&Element]) -> f64 {
        let mut value = self.product(rest);
        while let Some(sign) = sign(rest, &["+", "\u{2212}"]) {
            let next = self.product(rest);
            value = if sign == "+" { value + next } else { value - next };
        }
        value
    }
    fn product(&self, rest: &mut &[&Element]) -> f64 {
        if sign(rest, &["\u{2212}"]).is_some() {
            return -self.product(rest);
        }
        let mut value = self.factor(rest);
        while sign(rest, &["·"]).is_some() {
            value *= self.factor(rest);
        }
        value
    }
    fn factor(&self, rest: &mut &[&Element]) -> f64 {
        let (first, after) = rest.split_first().expect("an end where a value should be");
        *rest = after;
        let children: Vec<&Element> = first.children().collect();
        let text = first.text();
        match first.name.as_str() {
            "mn" => text.parse().unwrap(),
            "mfrac" => self.of(children[0]) / self.of(children[1]),
            "msup" => self.of(children[0]).powf(self.of(children[1])),
            "msqrt" => self.of(children[0]).sqrt(),
            "mtable" => self.table(&children),
            "mrow" => self.of(first),
            "mo" if text == "(" => {
                let value = self.sum(rest);
                assert!(sign(rest, &[")"]).is_some());
                value
            }
            "mo" if text == "{" => self.factor(rest),
            "mi" if sign(rest, &["\u{2061}"]).is_some() => {
                let x = self.factor(rest);
                match (text.as_str(), text.strip_prefix('@')) {
                    (_, Some(index)) => self.tables[index.parse::<usize>().unwrap()].at(x),
                    ("ln", _) => x.ln(),
                    ("exp", _) => x.exp(),
                    ("cos", _) => x.cos(),
                    ("tan", _) => x.tan(),
                    ("atan", _) => x.atan(),
                    _ => panic!("{text}"),
                }
            }
            "mi" if text == "π" => core::f64::consts::PI,
            "mi" => self.known[text.strip_prefix('#').unwrap().parse::<usize>().unwrap()].1,
            other => panic!("{other}"),
        }
    }
    /// Rows of two cells are branches of cases, those that begin with words a root with its equation, all others
    /// the lines of a long sum.
    fn table(&self, rows: &[&Element]) -> f64 {
        let cells = |row: usize| rows[row].children().collect::<Vec<_>>();
        if let [branch, condition] = cells(0)[..] {
            let said: Vec<&Element> = condition.children().filter(|part| part.name != "mtext").collect();
            let at = said.iter().position(|part| part.text() == "<").unwrap();
            let [left, right] = [&said[..at], &said[at + 1..]].map(|mut side| self.sum(&mut side));
            let row = if left < right { branch } else { cells(1)[0] };
            let applied = rows.iter().position(|row| row.attribute("class") == Some("applied")).unwrap();
            assert_eq!(applied, usize::from(left >= right));
            return self.of(row);
        }
        let mut parts = Vec::new();
        rows.iter().for_each(|row| row.children().for_each(|cell| flat(cell, &mut parts)));
        if !parts[0].text().starts_with("find") {
            let mut rest = &parts[..];
            let value = self.sum(&mut rest);
            assert!(rest.is_empty());
            return value;
        }
        let at = parts.iter().position(|part| part.text() == "=").unwrap();
        let index = parts[1].text().strip_prefix('@').map(|index| index.parse::<usize>().unwrap());
        let table = &self.tables[index.expect("a property")];
        // The root itself is taken from the record: what is read back is what it has to satisfy.
        let wanted = self.sum(&mut &parts[at + 1..]);
        let near = |x: &f64| (table.at(*x) / wanted - 1.0).abs() < 1e-8;
        let mut roots = self.derivation.lines.iter().map(|line| line.value);
        roots.find(near).unwrap_or_else(|| panic!("no root for {wanted} in {}", self.derivation.formula.name))
    }
}

fn flat<'a>(element: &'a Element, into: &mut Vec<&'a Element>) {
    match element.name.as_str() {
        "math" | "mrow" | "mtd" => element.children().for_each(|child| flat(child, into)),
        _ => into.push(element),
    }
}

fn sign(rest: &mut &[&Element], signs: &[&str]) -> Option<String> {
    let (first, after) = rest.split_first()?;
    let text = first.text();
    if first.name != "mo" || !signs.contains(&text.as_str()) {
        return None;
    }
    *rest = after;
    Some(text)
}

/// Brackets, fractions and powers stand where they must: read as a reader reads it, the equation gives its own
/// number, to the ten digits that its constants are printed with.
#[test]
fn what_is_shown_is_what_was_computed() {
    let (mut worst, mut read) = (Worst::new(), 0);
    for case in cases() {
        let derivation = case.record(&case.point).unwrap();
        let arguments = case.formula.arguments.iter().map(|argument| argument.symbol.to_string());
        let known = arguments.zip(derivation.inputs.iter().copied()).collect();
        let mut reader = Reader { derivation: &derivation, known, tables: Vec::new() };
        for line in &derivation.lines {
            let mut holds_root = false;
            line.expression.visit(&mut |part| holds_root |= matches!(part, Expr::Root(..)));
            let shown = reader.marked(line);
            if !holds_root {
                let again = reader.of(&shown);
                let gap = if again == line.value { 0.0 } else { again / line.value - 1.0 };
                worst.see(gap, format!("{}, {}", case.formula.name, line.symbol));
                read += 1;
            }
            reader.known.push((line.symbol.into(), line.value));
        }
    }
    assert!(read > 150, "{read}");
    worst.holds("equations read back", 1e-7);
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
