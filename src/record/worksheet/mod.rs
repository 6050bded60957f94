//! A record as plain arithmetic that runs without this library: a Python script and a spreadsheet.
//!
//! Both are written from one list of cells. A property of a gas becomes its polynomial, a root of it a few
//! steps of Newton's method from a start of three digits, a look-up the sum of its nodes times their weights.
//! What was solved for together (manifold temperature, pumping pressure, expansion ratio, the most power) stands
//! as the number found, and a row at the end shows that its condition closes.

mod python;
mod spreadsheet;

use super::node::{Kind, Node, Record};
use crate::formula::{Expr, NEWTON_STEPS, Piece, Table, start_of};

impl Record {
    /// The record as a Python script with nothing but the standard library. Run, it prints each row with its
    /// value, the recorded value and their difference, and fails where a row differs by more than 1e-9.
    pub fn python(&self) -> String {
        python::script(&self.title, &cells(self))
    }
    /// The record as a CSV worksheet with formulas in OpenFormula (ISO/IEC 26300-2), one row a step.
    pub fn worksheet(&self) -> String {
        spreadsheet::csv(&self.title, &cells(self))
    }
}

/// One row of plain arithmetic.
struct Cell {
    /// What it is.
    words: String,
    symbol: String,
    unit: &'static str,
    term: Term,
    /// The value on record; nothing for a row in between.
    recorded: Option<f64>,
    /// What its difference from the record is measured by.
    size: f64,
    /// Formula, table or origin.
    by: String,
    source: String,
}

impl Cell {
    fn blank(words: String, symbol: &str, term: Term) -> Self {
        let (by, source) = (String::new(), String::new());
        Self { words, symbol: symbol.into(), unit: "", term, recorded: None, size: 1.0, by, source }
    }
}

/// A term of plain arithmetic.
enum Term {
    Number(f64),
    Cell(usize),
    Binary(char, Box<Term>, Box<Term>),
    Negative(Box<Term>),
    Call(&'static str, Box<Term>),
    Power(Box<Term>, Box<Term>),
    /// `yes` where the left of two terms is below the right, else `no`.
    If {
        compared: Box<[Term; 2]>,
        yes: Box<Term>,
        no: Box<Term>,
    },
}

fn binary(sign: char, left: Term, right: Term) -> Term {
    Term::Binary(sign, Box::new(left), Box::new(right))
}

/// The cells that are written so far, and the cell of each node.
struct Sheet {
    cells: Vec<Cell>,
    of_node: Vec<Option<usize>>,
}

fn cells(record: &Record) -> Vec<Cell> {
    let mut sheet = Sheet { cells: Vec::new(), of_node: vec![None; record.nodes.len()] };
    for (index, node) in record.nodes.iter().enumerate() {
        sheet.node(index, node);
    }
    for node in &record.nodes {
        sheet.check(record, node);
    }
    sheet.cells
}

impl Sheet {
    fn push(&mut self, cell: Cell) -> usize {
        self.cells.push(cell);
        self.cells.len() - 1
    }

    /// A row in between.
    fn helper(&mut self, words: String, symbol: &str, term: Term) -> usize {
        self.push(Cell::blank(words, symbol, term))
    }

    fn node(&mut self, index: usize, node: &Node) {
        let (term, by, source) = match &node.kind {
            Kind::Gas(_) | Kind::Map(_) => return,
            Kind::Given(given) => (Term::Number(node.value), given.key.clone(), given.origin.says()),
            Kind::Solved(gap) => (Term::Number(node.value), "solved for".into(), gap.words.clone()),
            Kind::LookUp(look_up) => {
                let term = look_up.nodes.iter().fold(None, |sum: Option<Term>, (_, value, weight)| {
                    let product = binary('*', Term::Number(*value), Term::Number(*weight));
                    Some(match sum {
                        Some(sum) => binary('+', sum, product),
                        None => product,
                    })
                });
                let term = term.unwrap_or(Term::Number(f64::NAN));
                (term, "look-up: values times weights".into(), look_up.name())
            }
            Kind::Step { formula, inputs, lines } => {
                let inputs = inputs.iter().map(|input| input.and_then(|node| self.of_node[node]));
                let mut known: Vec<(&str, Option<usize>)> =
                    formula.arguments.iter().map(|argument| argument.symbol).zip(inputs).collect();
                let Some((result, named)) = lines.split_last() else { return };
                for line in named {
                    let term = self.term(&line.expression, &known);
                    let cell = Cell {
                        recorded: Some(line.value),
                        size: line.value.abs(),
                        unit: line.unit,
                        by: formula.name.into(),
                        ..Cell::blank(format!("{}: {}", formula.summary, line.symbol), line.symbol, term)
                    };
                    known.push((line.symbol, Some(self.push(cell))));
                }
                (self.term(&result.expression, &known), formula.name.into(), formula.source.into())
            }
        };
        let cell = Cell {
            words: node.words.clone(),
            symbol: node.symbol.clone(),
            unit: node.unit,
            term,
            recorded: Some(node.value),
            // A margin or a difference near zero is measured by one, not by itself.
            size: if node.unit.is_empty() { node.value.abs().max(1.0) } else { node.value.abs() },
            by,
            source,
        };
        self.of_node[index] = Some(self.push(cell));
    }

    /// A row at the end that shows that a condition closes.
    fn check(&mut self, record: &Record, node: &Node) {
        let Kind::Solved(gap) = &node.kind else { return };
        let (Some(left), Some(right)) = gap.sides else { return };
        let (Some(left_cell), Some(right_cell)) = (self.of_node[left], self.of_node[right]) else { return };
        let term = binary('-', Term::Cell(left_cell), Term::Cell(right_cell));
        let [left, right] = [left, right].map(|side| record.nodes[side].value);
        let cell = Cell {
            recorded: Some(left - right),
            size: left.abs().max(right.abs()).max(1.0),
            by: "condition".into(),
            unit: node.unit,
            ..Cell::blank(format!("closes: {}", gap.words), "gap", term)
        };
        self.push(cell);
    }

    fn term(&mut self, expr: &Expr, known: &[(&str, Option<usize>)]) -> Term {
        match expr {
            Expr::Symbol(symbol) => {
                let cell = known.iter().rfind(|(name, _)| name == symbol).and_then(|(_, cell)| *cell);
                cell.map_or(Term::Number(f64::NAN), Term::Cell)
            }
            Expr::Number(value) | Expr::Value(value) => Term::Number(*value),
            Expr::Binary(sign, left, right) => binary(*sign, self.term(left, known), self.term(right, known)),
            Expr::Negative(inner) => Term::Negative(Box::new(self.term(inner, known))),
            Expr::Function(name, inner) => Term::Call(name, Box::new(self.term(inner, known))),
            Expr::Power(base, exponent) => {
                Term::Power(Box::new(self.term(base, known)), Box::new(self.term(exponent, known)))
            }
            Expr::Property(table, inner) => {
                let x = self.cell_of(inner, known, "argument of", table);
                property(table, x)
            }
            Expr::Inverse(table, inner, root) => self.inverse(table, inner, root.root, known),
            Expr::Cases(cases) => {
                let [left, right] = cases.compared.each_ref().map(|side| self.term(side, known));
                let [yes, no] = cases.branches.each_ref().map(|side| Box::new(self.term(side, known)));
                Term::If { compared: Box::new([left, right]), yes, no }
            }
            // A look-up or a root inside a formula stands as the number found.
            Expr::LookUp(look_up, ..) => Term::Number(look_up.value()),
            Expr::Root(_, _, root) => Term::Number(root.root),
            Expr::Unknown => Term::Number(f64::NAN),
        }
    }

    /// The cell that holds a term: the term's own where it is one.
    fn cell_of(&mut self, expr: &Expr, known: &[(&str, Option<usize>)], words: &str, table: &Table) -> usize {
        match self.term(expr, known) {
            Term::Cell(cell) => cell,
            term => self.helper(format!("{words} {}", table.name), "x", term),
        }
    }

    fn inverse(&mut self, table: &Table, inner: &Expr, root: f64, known: &[(&str, Option<usize>)]) -> Term {
        let y = self.cell_of(inner, known, "value wanted of", table);
        let name = &table.name;
        let mut x = self.helper(format!("start for {name}(x)"), "x", Term::Number(start_of(root)));
        for step in 1..=NEWTON_STEPS {
            let gap = binary('-', property(table, x), Term::Cell(y));
            let next = binary('-', Term::Cell(x), binary('/', gap, slope(table, x)));
            x = self.helper(format!("Newton step {step} for {name}(x)"), "x", next);
        }
        Term::Cell(x)
    }
}

/// A property at a cell: the polynomial of the piece that holds there.
fn property(table: &Table, x: usize) -> Term {
    by_piece(table, x, &|piece| polynomial(piece, x))
}

fn slope(table: &Table, x: usize) -> Term {
    by_piece(table, x, &|piece| {
        let mut slope = Piece { end: piece.end, inverse: piece.log, log: 0.0, powers: [0.0; 6] };
        for k in 1..6 {
            slope.powers[k - 1] = piece.powers[k] * k as f64;
        }
        let plain = polynomial(&slope, x);
        if piece.inverse == 0.0 {
            return plain;
        }
        let square = Term::Power(Box::new(Term::Cell(x)), Box::new(Term::Number(2.0)));
        binary('-', plain, binary('/', Term::Number(piece.inverse), square))
    })
}

fn by_piece(table: &Table, x: usize, write: &dyn Fn(&Piece) -> Term) -> Term {
    let mut pieces = table.pieces.iter().rev();
    let last = pieces.next().map_or(Term::Number(f64::NAN), write);
    pieces.fold(last, |above, piece| Term::If {
        compared: Box::new([Term::Cell(x), Term::Number(piece.end)]),
        yes: Box::new(write(piece)),
        no: Box::new(above),
    })
}

fn polynomial(piece: &Piece, x: usize) -> Term {
    let mut sum = Term::Number(piece.powers[0]);
    if piece.log != 0.0 {
        let log = Term::Call("ln", Box::new(Term::Cell(x)));
        sum = binary('+', sum, binary('*', Term::Number(piece.log), log));
    }
    if piece.inverse != 0.0 {
        sum = binary('+', sum, binary('/', Term::Number(piece.inverse), Term::Cell(x)));
    }
    for (k, &coefficient) in piece.powers.iter().enumerate().skip(1).filter(|(_, c)| **c != 0.0) {
        let power = match k {
            1 => Term::Cell(x),
            k => Term::Power(Box::new(Term::Cell(x)), Box::new(Term::Number(k as f64))),
        };
        sum = binary('+', sum, binary('*', Term::Number(coefficient), power));
    }
    sum
}

/// A number with all its digits, as every language reads it.
fn digits(value: f64) -> String {
    if value.is_finite() { format!("{value:e}") } else { "0/0".into() }
}
