//! The records: one row a number, with its relation, its inputs, its result and where it comes from.

use super::book::{Book, Filed, row_id};
use super::numbers::{code, friendly, pretty, si};
use super::origin::origin;
use crate::formula::{Formula, Line, LookUp, symbol_mathml};
use crate::markup::escape;
use crate::record::{Gap, Kind, Node};

/// All records, each folded.
pub(super) fn records(book: &Book<'_>) -> String {
    let mut out = String::from(
        "<h2 id=\"records\">Records</h2>\n\
         <p>For each candidate, housing and fuel: the point at the target where the margins are least, and the most \
         power. Each row is one number: the relation, the numbers put in (each leads down to its own row), the \
         result, the source, and the rows that use it. Values are in SI units, below them in units of the \
         trade. On paper stand the records that were open on the screen.</p>\n",
    );
    for (index, filed) in book.records.iter().enumerate() {
        out += &record(book, index, filed);
    }
    out
}

fn record(book: &Book<'_>, at: usize, filed: &Filed) -> String {
    let record = &filed.record;
    let outputs = record.outputs().iter().map(|output| {
        let node = &record.nodes()[output.node];
        let value =
            friendly(node.quantity, node.value, node.unit).unwrap_or_else(|| si(node.value, node.unit));
        let name = book.link(at, output.node, &escape(&output.key.replace('_', " ")));
        format!("<li>{name} {value}</li>")
    });
    let outputs: String = outputs.collect();
    let nodes = record.nodes().iter().enumerate();
    let steps = nodes.filter(|(_, node)| !matches!(node.kind, Kind::Given(_)));
    let steps: String = steps.map(|(index, node)| step(book, at, filed, index, node)).collect();
    format!(
        "<details class=\"record\" id=\"r{number}\"><summary class=\"of\">R{number}: {title}</summary>\n\
         <ul class=\"results\">{outputs}</ul>\n\
         <div class=\"wide\"><table class=\"steps\"><thead><tr><th>row</th><th>what</th><th>relation</th>\
         <th>put in</th><th>result</th><th>source</th></tr></thead>\n<tbody>\n{steps}</tbody></table></div>\n\
         </details>\n",
        number = at + 1,
        title = escape(&filed.record.title)
    )
}

/// The one table of all numbers that the records start from.
pub(super) fn handed(book: &Book<'_>) -> String {
    let mut rows = String::new();
    for (index, handed) in book.handed.iter().enumerate() {
        let node = &handed.node;
        let uses = handed.uses.iter().map(|&(record, above)| book.link_by_name(record, above));
        let uses: Vec<String> = uses.collect();
        let uses = match uses.len() {
            0..=3 => uses.join(" "),
            many => {
                format!("<details class=\"many\"><summary>{many} rows</summary>{}</details>", uses.join(" "))
            }
        };
        rows += &format!(
            "<tr id=\"h{0}\"><th>H{0}</th><td>{1} {2}</td><td>{3}</td><td>{4}</td><td>{uses}</td></tr>\n",
            index + 1,
            escape(&node.words),
            symbol_mathml(&node.symbol),
            value(node),
            origin(book, &handed.given),
        );
    }
    format!(
        "<h2 id=\"handed\">Handed in</h2>\n<p>Every number that the records start from.</p>\n\
         <div class=\"wide\"><table class=\"handed\"><thead><tr><th>row</th><th>what</th><th>value</th>\
         <th>where it comes from</th><th>used in</th></tr></thead>\n<tbody>\n{rows}</tbody></table></div>\n"
    )
}

/// SI value, and below it the units of the trade.
fn value(node: &Node) -> String {
    let also = friendly(node.quantity, node.value, node.unit);
    let also = also.map_or(String::new(), |also| format!("<br/><small>{also}</small>"));
    si(node.value, node.unit) + &also
}

fn used_in(book: &Book<'_>, filed: &Filed, at: usize, node: usize) -> String {
    let links = filed.uses[node].iter().map(|&above| book.link(at, above, &(above + 1).to_string()));
    links.collect::<Vec<_>>().join(" ")
}

fn step(book: &Book<'_>, at: usize, filed: &Filed, index: usize, node: &Node) -> String {
    let put_in = |inside: &str| format!("<ul>{inside}</ul>");
    let [what, relation, inputs, result, source] = match &node.kind {
        Kind::Step { formula, inputs, lines } => [
            format!("{}<br/>{}", escape(formula.summary), code(formula.name)),
            relation(lines),
            put_in(&(arguments(book, at, filed, formula, inputs) + &gases(book, at, filed, node))),
            value(node),
            book.cite(formula.source),
        ],
        Kind::Solved(gap) => [
            format!("{} {}", escape(&node.words), symbol_mathml(&node.symbol)),
            format!(
                "solved together with the rest, so that {}<br/><small>{}</small>",
                escape(&gap.words),
                escape(&gap.search())
            ),
            put_in(&sides(book, at, filed, gap)),
            value(node),
            "<span class=\"soft\">a condition, not a publication</span>".into(),
        ],
        Kind::LookUp(look_up) => [
            table(look_up),
            nodes(look_up),
            put_in(&node.from.iter().map(|&below| plain(book, at, filed, below)).collect::<String>()),
            value(node),
            map(book, filed),
        ],
        Kind::Gas(composition) => [
            format!("{}<br/><code>a gas</code>", escape(&node.words)),
            format!("by mole: {}", escape(composition)),
            put_in(&node.from.iter().map(|&below| plain(book, at, filed, below)).collect::<String>()),
            String::new(),
            "<span class=\"soft\">from what it was made of</span>".into(),
        ],
        Kind::Map(origin) => [
            format!("{}<br/><code>a map</code>", escape(&node.words)),
            String::new(),
            String::new(),
            String::new(),
            escape(&origin.says()),
        ],
        Kind::Given(_) => Default::default(),
    };
    let used = used_in(book, filed, at, index);
    let used = if used.is_empty() { used } else { format!("<br/><small>used in {used}</small>") };
    format!(
        "<tr id=\"{}\"><th>{}</th><td>{what}</td><td>{relation}</td><td>{inputs}</td>\
         <td>{result}</td><td>{source}{used}</td></tr>\n",
        row_id(at, index),
        index + 1
    )
}

/// The result first, then the intermediates, each with its value.
fn relation(lines: &[Line]) -> String {
    let Some((result, named)) = lines.split_last() else { return String::new() };
    let mut out = format!("<div>{}</div>", result.mathml());
    for line in named {
        // A bare number would stand there twice.
        let left = if line.is_bare() { symbol_mathml(line.symbol) } else { line.mathml() };
        out += &format!("<div>{left} <span class=\"n\">= {}</span></div>", si(line.value, line.unit));
    }
    for root in lines.iter().flat_map(|line| line.expression.roots()) {
        out += &format!("<div><small>{}</small></div>", pretty(&root.to_string()));
    }
    out
}

fn arguments(
    book: &Book<'_>,
    at: usize,
    filed: &Filed,
    formula: &Formula,
    inputs: &[Option<usize>],
) -> String {
    let items = formula.arguments.iter().zip(inputs).map(|(argument, input)| {
        let symbol = symbol_mathml(argument.symbol);
        let (symbol, number) = match input {
            Some(below) => {
                let node = &filed.record.nodes()[*below];
                (book.link(at, *below, &symbol), si(node.value, node.unit))
            }
            None => (symbol, "a constant".into()),
        };
        format!("<li>{symbol} {number} <small>{}</small></li>", escape(argument.words))
    });
    items.collect()
}

fn gases(book: &Book<'_>, at: usize, filed: &Filed, node: &Node) -> String {
    let gases = node.from.iter().filter(|&&below| matches!(filed.record.nodes()[below].kind, Kind::Gas(_)));
    gases
        .map(|&below| {
            format!("<li>{}</li>", book.link(at, below, &escape(&filed.record.nodes()[below].words)))
        })
        .collect()
}

/// A number by its own symbol.
fn plain(book: &Book<'_>, at: usize, filed: &Filed, index: usize) -> String {
    let node = &filed.record.nodes()[index];
    // A gas or a map is no number.
    let number = if node.value.is_nan() { String::new() } else { si(node.value, node.unit) };
    format!(
        "<li>{} {number} <small>{}</small></li>",
        book.link(at, index, &symbol_mathml(&node.symbol)),
        escape(&node.words)
    )
}

/// Both sides of a condition and what is left of it.
fn sides(book: &Book<'_>, at: usize, filed: &Filed, gap: &Gap) -> String {
    let side = |side: Option<usize>| side.map(|index| plain(book, at, filed, index));
    match (side(gap.sides.0), side(gap.sides.1)) {
        (Some(left), right) => {
            let right = right.unwrap_or_else(|| "<li>zero</li>".into());
            let left_over = si(gap.residual, "");
            format!("{left}<li>against</li>{right}<li>left over {left_over} of their size</li>")
        }
        _ => "<li>an edge of the map or of a formula, which has no distance on record</li>".into(),
    }
}

/// What was read from which table.
fn table(look_up: &LookUp) -> String {
    format!("{}<br/><small>read from {}</small>", escape(look_up.what), escape(&look_up.table))
}

/// How a table was read, folded.
fn nodes(look_up: &LookUp) -> String {
    let mut rows = String::new();
    for (place, value, weight) in look_up.nodes.iter().filter(|(.., weight)| *weight != 0.0) {
        rows += &format!(
            "<tr><td>{}</td><td>{}</td><td>{}</td></tr>",
            escape(place),
            si(*value, ""),
            si(*weight, "")
        );
    }
    let roots = look_up
        .roots
        .iter()
        .map(|root| format!("<li>{}: {}</li>", pretty(&root.equation), pretty(&root.to_string())));
    let roots: String = roots.collect();
    format!(
        "<details><summary>nodes and weights</summary><table><thead><tr><th>node</th><th>value</th><th>weight</th></tr></thead>\
         <tbody>{rows}</tbody></table><ul>{roots}</ul><p class=\"soft\">Nodes of no weight are left out.</p></details>"
    )
}

/// Where the candidate's map comes from.
fn map(book: &Book<'_>, filed: &Filed) -> String {
    let entry = &book.sizing.entries[filed.entry];
    let map = book.sizing.study.candidates[entry.candidate].map();
    let kind = map.kind().map_or(String::new(), |kind| format!(", {}", kind.words()));
    format!("{}{kind}: {}", escape(map.file()), escape(map.provenance()))
}
