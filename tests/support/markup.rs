//! A strict reader of XML as far as pages and figures need it; whatever is not well-formed fails the test.

#![allow(dead_code)] // each test file uses its own part

/// An element with its attributes and content.
#[derive(Debug, Default)]
pub struct Element {
    pub name: String,
    pub attributes: Vec<(String, String)>,
    pub content: Vec<Content>,
}

#[derive(Debug)]
pub enum Content {
    Text(String),
    Element(Element),
}

impl Element {
    pub fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str())
    }
    pub fn children(&self) -> impl Iterator<Item = &Element> {
        self.content.iter().filter_map(|part| match part {
            Content::Element(element) => Some(element),
            Content::Text(_) => None,
        })
    }
    /// The element and all below it, in the order of the text.
    pub fn all(&self) -> Vec<&Element> {
        let mut found = vec![self];
        for child in self.children() {
            found.extend(child.all());
        }
        found
    }
    pub fn named(&self, name: &str) -> Vec<&Element> {
        self.all().into_iter().filter(|element| element.name == name).collect()
    }
    pub fn with_class(&self, class: &str) -> Vec<&Element> {
        let has = |element: &Element| {
            element.attribute("class").is_some_and(|all| all.split(' ').any(|one| one == class))
        };
        self.all().into_iter().filter(|element| has(element)).collect()
    }
    /// All text inside.
    pub fn text(&self) -> String {
        let part = |part: &Content| match part {
            Content::Text(text) => text.clone(),
            Content::Element(element) => element.text(),
        };
        self.content.iter().map(part).collect()
    }
}

/// Reads a document and returns its root. Comments and a document type are passed over.
#[track_caller]
pub fn parse(text: &str) -> Element {
    let control = |c: char| c.is_control() && !matches!(c, '\n' | '\t');
    assert!(!text.contains(control), "a control character");
    let mut open = vec![Element::default()];
    let mut rest = text;
    while let Some(start) = rest.find('<') {
        words(&mut open, &rest[..start]);
        rest = &rest[start..];
        let mark = |end: &str| {
            rest.find(end).unwrap_or_else(|| panic!("no {end} behind {:?}", shortened(rest))) + end.len()
        };
        if rest.starts_with("<!--") {
            let length = mark("-->");
            assert!(!rest[4..length - 3].contains("--"), "{:?}", shortened(rest));
            rest = &rest[length..];
            continue;
        }
        let length = mark(">");
        let tag = &rest[1..length - 1];
        rest = &rest[length..];
        if tag.starts_with('!') {
            let first = open.len() == 1 && open[0].content.is_empty();
            assert!(first && tag == "!DOCTYPE html", "{tag:?}");
        } else if let Some(name) = tag.strip_prefix('/') {
            let closed = open.pop().unwrap();
            assert_eq!(closed.name, name, "the wrong element is closed before {:?}", shortened(rest));
            inner(&mut open).content.push(Content::Element(closed));
        } else {
            let (tag, closed) = tag.strip_suffix('/').map_or((tag, false), |tag| (tag, true));
            let element = begin(tag);
            if closed {
                inner(&mut open).content.push(Content::Element(element));
            } else {
                open.push(element);
            }
        }
    }
    words(&mut open, rest);
    assert_eq!(open.len(), 1, "{} is not closed", open[open.len() - 1].name);
    let mut roots = open.remove(0).content.into_iter().filter_map(|part| match part {
        Content::Element(element) => Some(element),
        Content::Text(text) => {
            assert!(text.trim().is_empty(), "text outside: {text:?}");
            None
        }
    });
    let root = roots.next().expect("no element");
    assert!(roots.next().is_none(), "two roots");
    root
}

fn inner(open: &mut [Element]) -> &mut Element {
    open.last_mut().expect("more is closed than was opened")
}

fn shortened(text: &str) -> String {
    text.chars().take(80).collect()
}

fn words(open: &mut [Element], text: &str) {
    let parent = inner(open);
    let raw = ["style", "script"].contains(&parent.name.as_str());
    assert!(raw || !text.contains('>'), "a bracket in {text:?}");
    if !text.is_empty() {
        parent.content.push(Content::Text(unescaped(text)));
    }
}

fn unescaped(text: &str) -> String {
    let mut parts = text.split('&');
    let mut out = parts.next().unwrap_or_default().to_string();
    for part in parts {
        let (name, after) = part.split_once(';').unwrap_or_else(|| panic!("a bare & in {text:?}"));
        out.push(match name {
            "amp" => '&',
            "lt" => '<',
            "gt" => '>',
            "quot" => '"',
            "#39" | "apos" => '\'',
            _ => panic!("unknown &{name};"),
        });
        out += after;
    }
    out
}

fn begin(tag: &str) -> Element {
    let name_ends = tag.find(char::is_whitespace).unwrap_or(tag.len());
    let (name, mut rest) = tag.split_at(name_ends);
    let good = |name: &str| {
        !name.is_empty() && name.bytes().all(|byte| byte.is_ascii_alphanumeric() || b"-_:".contains(&byte))
    };
    assert!(good(name), "{tag:?}");
    let mut attributes: Vec<(String, String)> = Vec::new();
    while !rest.trim().is_empty() {
        assert!(rest.starts_with(char::is_whitespace), "{tag:?}");
        let (key, value) = rest.trim_start().split_once("=\"").unwrap_or_else(|| panic!("{tag:?}"));
        let (value, after) = value.split_once('"').unwrap_or_else(|| panic!("{tag:?}"));
        assert!(good(key) && attributes.iter().all(|(known, _)| known != key), "{tag:?}");
        attributes.push((key.into(), unescaped(value)));
        rest = after;
    }
    Element { name: name.into(), attributes, content: Vec::new() }
}
