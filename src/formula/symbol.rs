//! Symbols taken apart for typesetting: `T_01`, `rho_02/rho_01`, `n W_inj`, `Z - 1`.

/// One part of a symbol, from the left.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Part<'s> {
    /// A name with its subscripts.
    Name(Name<'s>),
    /// A function: `ln`, `tan`.
    Function(&'s str),
    /// A number.
    Number(&'s str),
    /// A sign: `/` or `-`. Where there is none, parts are multiplied.
    Sign(char),
}

/// A letter or a word with its subscripts.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Name<'s> {
    /// Whether a difference is meant: the `d` of `dp_c`.
    pub difference: bool,
    /// The letter or word itself.
    pub base: Base<'s>,
    /// What stands below the line; two for `cp_air`.
    pub subscripts: Vec<&'s str>,
}

/// What a name is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Base<'s> {
    /// A Latin letter, primes with it.
    Letter(&'s str),
    /// A Greek letter by its name.
    Greek(&'s str),
    /// An abbreviation, such as `bmep`.
    Word(&'s str),
}

const GREEK: [&str; 16] = [
    "alpha", "beta", "gamma", "eps", "eta", "lambda", "mu", "nu", "rho", "sigma", "tau", "phi", "psi",
    "omega", "Pi", "Omega",
];

/// How strongly a symbol binds, as [`binding`](super::expr::binding) counts: `A/R` is a quotient.
pub(super) fn strength(symbol: &str) -> u8 {
    match symbol {
        _ if symbol.contains(" - ") => 1,
        _ if symbol.contains([' ', '/']) => 3,
        _ => 9,
    }
}

/// The parts of a symbol.
pub(super) fn parts(symbol: &str) -> Vec<Part<'_>> {
    let mut parts = Vec::new();
    for factors in symbol.split(' ') {
        for (i, factor) in factors.split('/').enumerate() {
            if i > 0 {
                parts.push(Part::Sign('/'));
            }
            parts.push(part(factor));
        }
    }
    parts
}

fn part(text: &str) -> Part<'_> {
    match text {
        "-" => Part::Sign('-'),
        "ln" | "tan" => Part::Function(text),
        _ if text.starts_with(|c: char| c.is_ascii_digit()) => Part::Number(text),
        _ => Part::Name(name(text)),
    }
}

fn name(text: &str) -> Name<'_> {
    let (stem, below) = text.split_once('_').unwrap_or((text, ""));
    // `d` before one letter, or before `cp`, is a difference; alone it is a diameter.
    let rest = stem.strip_prefix('d').filter(|rest| rest.len() == 1 || *rest == "cp");
    let (difference, stem) = rest.map_or((false, stem), |rest| (true, rest));
    let mut subscripts: Vec<&str> = below.split(',').filter(|below| !below.is_empty()).collect();
    let base = match stem {
        "cp" => {
            subscripts.insert(0, "p");
            Base::Letter("c")
        }
        _ if GREEK.contains(&stem) => Base::Greek(stem),
        _ if stem.trim_end_matches('\'').chars().count() == 1 => Base::Letter(stem),
        _ => Base::Word(stem),
    };
    Name { difference, base, subscripts }
}
