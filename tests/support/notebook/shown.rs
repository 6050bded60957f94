//! What a cell shows: from the program's stdout, and from a committed notebook.

use super::ipynb::text_of;
use serde_json::Value;
use std::collections::BTreeMap;

/// The kernel gives at most one text and one result, the result under several MIME types.
#[derive(Debug, Default, PartialEq)]
pub struct Shown {
    pub text: String,
    pub result: BTreeMap<String, String>,
}

impl Shown {
    /// Of all cells that ran, from the program's stdout; the runtime marks where a cell begins.
    pub fn by_cell(stdout: &str) -> BTreeMap<usize, Self> {
        let cells = stdout.split('\u{1}').skip(1).filter_map(|part| part.split_once('\n'));
        cells.filter_map(|(number, rest)| Some((number.parse().ok()?, Self::from_stdout(rest)))).collect()
    }

    /// As the kernel reads it: of each MIME type the last block counts, what stands outside is text.
    fn from_stdout(stdout: &str) -> Self {
        let mut shown = Self::default();
        let mut block: Option<(String, Vec<&str>)> = None;
        for line in stdout.split_inclusive('\n') {
            let bare = line.trim_end_matches('\n');
            match (&mut block, bare.strip_prefix("EVCXR_BEGIN_CONTENT ")) {
                (None, Some(mime)) => block = Some((mime.to_owned(), Vec::new())),
                (None, None) => shown.text.push_str(line),
                (Some(_), _) if bare == "EVCXR_END_CONTENT" => {
                    let (mime, lines) = block.take().unwrap_or_default();
                    let text = lines.join("\n");
                    let content = if is_json(&mime) { serde_json::from_str(&text).ok() } else { None };
                    shown.result.insert(mime, content.map_or(text, in_order));
                }
                (Some((_, lines)), _) => lines.push(bare),
            }
        }
        shown
    }

    /// The outputs of a cell as a notebook stores them, where the kernel can have given them.
    pub fn from_outputs(outputs: &Value) -> Option<Self> {
        let mut shown = Self::default();
        for output in outputs.as_array().into_iter().flatten() {
            if output["name"] == "stdout" && shown.text.is_empty() {
                shown.text = text_of(&output["text"])?;
            } else if output["output_type"] == "execute_result" && shown.result.is_empty() {
                for (mime, content) in output["data"].as_object()? {
                    let text = if is_json(mime) { in_order(content.clone()) } else { text_of(content)? };
                    shown.result.insert(mime.clone(), text);
                }
            } else {
                return None;
            }
        }
        Some(shown)
    }

    /// A line with a number that is none: it would agree with itself for ever.
    pub fn not_a_number(&self) -> Option<&str> {
        let plain = self.result.get("text/plain");
        let mut lines = self.text.lines().chain(plain.into_iter().flat_map(|text| text.lines()));
        lines.find(|line| {
            line.split(|c: char| !c.is_alphanumeric()).any(|word| ["NaN", "inf"].contains(&word))
        })
    }

    fn mimes(&self) -> String {
        let mut names: Vec<&str> = self.result.keys().map(String::as_str).collect();
        if !self.text.is_empty() {
            names.push("text");
        }
        if names.is_empty() { "nothing".to_owned() } else { names.join(", ") }
    }

    /// How `fresh` differs, in words.
    pub fn difference(&self, fresh: &Self) -> Option<String> {
        let (before, now) = (self.mimes(), fresh.mimes());
        if before != now {
            return Some(format!("it shows {now}, committed is {before}"));
        }
        // Plain text, which sorts last, reads best.
        let results = fresh.result.iter().rev().map(|(mime, text)| (self.result.get(mime), text));
        let texts = results.chain([(Some(&self.text), &fresh.text)]);
        texts.filter_map(|(old, new)| changed_line(old?, new)).next()
    }
}

/// The kernel hands on content of these types as data instead of text.
fn is_json(mime: &str) -> bool {
    mime.contains("json")
}

/// Data as text, its fields sorted: a notebook file keeps no order.
fn in_order(mut content: Value) -> String {
    content.sort_all_objects();
    format!("{content:#}")
}

/// The first line that is not the same, numbers within a tolerance.
fn changed_line(old: &str, new: &str) -> Option<String> {
    let (old, new) = (old.trim_end_matches('\n'), new.trim_end_matches('\n'));
    let mut pairs = old.split('\n').zip(new.split('\n'));
    if let Some((old, new)) = pairs.find(|(old, new)| !same(old, new)) {
        return Some(format!("`{}` is now `{}`", excerpt(old, new), excerpt(new, old)));
    }
    let [before, now] = [old, new].map(|text| text.split('\n').count());
    (before != now).then(|| format!("{before} lines are now {now}"))
}

/// Relative. Another machine's mathematical functions may move the last of many printed digits; a
/// number printed with few digits has to be the same.
const TOLERANCE: f64 = 1e-6;

fn same(mut old: &str, mut new: &str) -> bool {
    loop {
        if old == new {
            return true;
        }
        // The common beginning, up to the number in which they part.
        let equal: usize =
            old.chars().zip(new.chars()).take_while(|(a, b)| a == b).map(|(a, _)| a.len_utf8()).sum();
        let digits = |c: char| c.is_ascii_digit() || c == '.';
        let begin = old[..equal].trim_end_matches(digits).len();
        let [a, b] = [&old[begin..], &new[begin..]].map(|rest| &rest[..number_length(rest)]);
        let (Ok(x), Ok(y)) = (a.parse::<f64>(), b.parse::<f64>()) else { return false };
        // NaN cannot be: only digits, a point and an exponent are taken.
        if (x - y).abs() > TOLERANCE * x.abs().max(y.abs()) {
            return false;
        }
        (old, new) = (&old[begin + a.len()..], &new[begin + b.len()..]);
    }
}

/// How many bytes of the text's beginning are a number without sign.
fn number_length(text: &str) -> usize {
    let digits = |from: usize| text[from..].bytes().take_while(u8::is_ascii_digit).count();
    let mut length = digits(0);
    if length > 0 && text[length..].starts_with('.') && digits(length + 1) > 0 {
        length += 1 + digits(length + 1);
    }
    if length > 0 && text[length..].starts_with(['e', 'E']) {
        let sign = usize::from(text[length + 1..].starts_with(['+', '-']));
        let exponent = digits(length + 1 + sign);
        length += if exponent > 0 { 1 + sign + exponent } else { 0 };
    }
    length
}

/// The text, or of a long one the part around the first letter that differs.
fn excerpt(text: &str, other: &str) -> String {
    if text.len() <= 120 {
        return text.trim().to_owned();
    }
    let equal = text.chars().zip(other.chars()).take_while(|(a, b)| a == b).count();
    let part: String = text.chars().skip(equal.saturating_sub(40)).take(80).collect();
    format!("...{part}...")
}
