//! What an SVG figure holds, read back from its text, and the room that its words take.

use std::collections::HashMap;

/// One element: its name, its attributes, the text it encloses.
pub struct Element {
    pub name: String,
    attributes: HashMap<String, String>,
    pub text: String,
}

impl Element {
    pub fn get(&self, key: &str) -> &str {
        self.attributes.get(key).unwrap_or_else(|| panic!("no {key} in <{}>", self.name))
    }
    pub fn number(&self, key: &str) -> f64 {
        self.get(key).parse().unwrap_or_else(|_| panic!("{key} = {}", self.get(key)))
    }
    /// The points of a polyline or polygon.
    pub fn points(&self) -> Vec<(f64, f64)> {
        let pair = |text: &str| {
            let (x, y) = text.split_once(',').unwrap();
            (x.parse().unwrap(), y.parse().unwrap())
        };
        self.get("points").split_whitespace().map(pair).collect()
    }
    /// Left, top, right and bottom of a text in the letters of DejaVu Sans; the height of a line from the
    /// foot of its capitals to their top.
    pub fn area(&self) -> [f64; 4] {
        let size = self.number("font-size");
        let units: f64 = self.text.chars().map(|c| DEJAVU[c as usize - 32]).map(f64::from).sum();
        let wide = units / 2048.0 * size;
        let down = match self.get("dy") {
            "0.76em" => 0.76 * size,
            "0.5ex" => 0.5 * EX * size,
            "-0.5ex" => -0.5 * EX * size,
            other => panic!("dy = {other}"),
        };
        let back = match self.get("text-anchor") {
            "start" => 0.0,
            "middle" => 0.5 * wide,
            "end" => wide,
            other => panic!("text-anchor = {other}"),
        };
        let (x, y) = (self.number("x"), self.number("y"));
        let along = [-back, wide - back];
        let across = [down - CAPITAL * size, down];
        match self.attributes.get("transform") {
            None => [x + along[0], y + across[0], x + along[1], y + across[1]],
            // Read from below upwards, as the words of an axis at the left.
            Some(turn) if turn.starts_with("rotate(270") => {
                [x + across[0], y - along[1], x + across[1], y - along[0]]
            }
            Some(turn) => panic!("transform = {turn}"),
        }
    }
}

/// The elements of a figure, in order.
pub fn elements(svg: &str) -> Vec<Element> {
    let mut found = Vec::new();
    for part in svg.split('<').skip(1).filter(|part| !part.starts_with(['/', '!'])) {
        let (tag, text) = part.split_once('>').unwrap();
        let (name, mut rest) = tag.split_once([' ', '\n']).unwrap_or((tag, ""));
        let mut attributes = HashMap::new();
        while let Some((key, more)) = rest.split_once("=\"") {
            let (value, more) = more.split_once('"').unwrap();
            attributes.insert(key.trim().to_string(), plain(value));
            rest = more;
        }
        found.push(Element { name: name.trim_end_matches('/').into(), attributes, text: plain(text.trim()) });
    }
    found
}

pub fn texts(svg: &str) -> Vec<Element> {
    elements(svg).into_iter().filter(|element| element.name == "text").collect()
}

fn plain(text: &str) -> String {
    [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&apos;", "'"), ("&#39;", "'"), ("&amp;", "&")]
        .iter()
        .fold(text.to_string(), |text, (mark, letter)| text.replace(mark, letter))
}

/// Height of a small x and of a capital, in the size of the letters (DejaVu Sans 2.37, outlines of x and H).
const EX: f64 = 1120.0 / 2048.0;
const CAPITAL: f64 = 1493.0 / 2048.0;
/// Advance widths of the characters from space to tilde, 2048 to the size of the letters (DejaVu Sans 2.37,
/// table hmtx).
#[rustfmt::skip]
const DEJAVU: [u16; 95] = [
    651, 821, 942, 1716, 1303, 1946, 1597, 563, 799, 799, 1024, 1716, 651, 739, 651, 690, 1303, 1303, 1303, 1303,
    1303, 1303, 1303, 1303, 1303, 1303, 690, 690, 1716, 1716, 1716, 1087, 2048, 1401, 1405, 1430, 1577, 1294, 1178,
    1587, 1540, 604, 604, 1343, 1141, 1767, 1532, 1612, 1235, 1612, 1423, 1300, 1251, 1499, 1401, 2025, 1403, 1251,
    1403, 799, 690, 799, 1716, 1024, 1024, 1255, 1300, 1126, 1300, 1260, 721, 1300, 1298, 569, 569, 1186, 569, 1995,
    1298, 1253, 1300, 1300, 842, 1067, 803, 1298, 1212, 1675, 1212, 1212, 1075, 1303, 690, 1303, 1716,
];
