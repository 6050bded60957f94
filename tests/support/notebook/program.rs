//! Turns the cells into the text of one program that knows which cell each of its lines is from.

use super::failure::{Failure, Kind, Place};
use super::ipynb::Cell;
use proc_macro2::{LexError, Span, TokenStream};
use syn::parse::Parser;
use syn::spanned::Spanned;
use syn::{Block, Stmt};

const HEAD: &str = "#![allow(warnings)]
mod runtime;
fn main() { runtime::main(file!(), run) }
fn run() -> ::std::result::Result<(), runtime::Fault> { use runtime::Show as _;";
const END: &str = "::std::result::Result::Ok(()) }";

pub struct Program {
    lines: Vec<(String, Option<Place>)>,
}

impl Program {
    /// Each cell opens a block inside the block of the cell before it. So a later cell sees all
    /// earlier names, may define any of them anew, and an earlier cell sees none of the later ones.
    pub fn new(cells: &[Cell]) -> Result<Self, Failure> {
        let mut lines: Vec<_> = HEAD.lines().map(|line| (line.to_owned(), None)).collect();
        for cell in cells {
            let number = cell.number;
            let body = instrumented(cell)?;
            lines.push((format!("{{ {}", mark(number, 1)), None));
            lines.extend(body.lines().zip(1..).map(|(text, line)| {
                let place = Place { cell: number, line };
                (text.to_owned(), Some(place))
            }));
        }
        lines.push(("}".repeat(cells.len()), None));
        lines.push((END.to_owned(), None));
        Ok(Self { lines })
    }

    pub fn text(&self) -> String {
        self.lines.iter().flat_map(|(text, _)| [text, "\n"]).collect()
    }

    /// The cell and line that a line of the program, counted from 1, is from.
    pub fn place(&self, line: usize) -> Option<Place> {
        self.lines.get(line.checked_sub(1)?)?.1
    }

    /// Whether an assertion macro is called at this line and column, both counted from 1.
    pub fn asserts_at(&self, line: usize, column: usize) -> bool {
        let text = line.checked_sub(1).and_then(|line| self.lines.get(line));
        let rest: Option<String> = text.map(|(text, _)| text.chars().skip(column - 1).collect());
        rest.is_some_and(|rest| rest.starts_with("assert") || rest.starts_with("debug_assert"))
    }
}

/// The cell's own lines, kept one to one, with a mark before each statement and its last expression
/// shown by reference, so that showing a variable does not consume it.
fn instrumented(cell: &Cell) -> Result<String, Failure> {
    let statements = parse(cell)?;
    let mut inserts = Vec::new();
    for (index, statement) in statements.iter().enumerate() {
        let span = statement.span();
        let shown = index + 1 == statements.len()
            && match statement {
                Stmt::Local(_) | Stmt::Item(_) => false,
                Stmt::Expr(_, semicolon) => semicolon.is_none(),
                Stmt::Macro(statement) => statement.semi_token.is_none(),
            };
        let mark = mark(cell.number, span.start().line);
        if shown {
            inserts.push((span.byte_range().start, format!("{mark}(&(")));
            inserts.push((span.byte_range().end, ")).evcxr_display();".to_owned()));
        } else {
            inserts.push((span.byte_range().start, mark));
        }
    }
    let mut text = cell.source.clone();
    for (offset, insert) in inserts.iter().rev() {
        text.insert_str(*offset, insert);
    }
    Ok(text)
}

fn mark(cell: usize, line: usize) -> String {
    format!("crate::runtime::at({cell}, {line}); ")
}

fn parse(cell: &Cell) -> Result<Vec<Stmt>, Failure> {
    let refused = |message: String, span: Span| {
        // A cell that ends too early is faulted by an empty span.
        let line = if span.byte_range().is_empty() { cell.source.lines().count() } else { span.start().line };
        let cell = cell.number;
        Failure::new(Kind::CompileError, message).at(Some(Place { cell, line }))
    };
    let unclosed = |error: LexError| {
        let message = format!("{error} (unclosed bracket, text or comment?)");
        refused(message, error.span())
    };
    let tokens: TokenStream = cell.source.parse().map_err(unclosed)?;
    Block::parse_within.parse2(tokens).map_err(|error| refused(error.to_string(), error.span()))
}
