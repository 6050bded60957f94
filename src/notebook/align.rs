//! Numbers of a column under each other.

/// How a column of a table stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Alignment {
    /// Words: at the left.
    Words,
    /// Numbers in one unit, with so many places behind the point at most: at the right, point under point.
    Numbers { places: usize },
}

/// The most places that a number may lack: with more, its unit would stand far off.
const MOST_MISSING: usize = 2;

/// A column is one of numbers where all of its cells that say something start with a number and go on with the same
/// words: the same unit, and the same second unit.
pub(super) fn alignment<'a>(cells: impl Iterator<Item = &'a str>) -> Alignment {
    let mut form = None;
    let (mut count, mut places, mut fewest) = (0, 0, usize::MAX);
    for cell in cells.filter(|cell| !cell.is_empty()) {
        let Some(number) = first_number(cell) else { return Alignment::Words };
        let rest = without_numbers(&cell[number.len()..]);
        if *form.get_or_insert_with(|| rest.clone()) != rest {
            return Alignment::Words;
        }
        count += 1;
        places = places.max(places_of(number));
        fewest = fewest.min(places_of(number));
    }
    if count > 1 && places <= fewest + MOST_MISSING {
        Alignment::Numbers { places }
    } else {
        Alignment::Words
    }
}

impl Alignment {
    pub fn is_of_numbers(self) -> bool {
        self != Self::Words
    }
    /// The text with room behind its first number for the places that others have.
    pub fn padded(self, text: &str, space: &str) -> String {
        let Self::Numbers { places } = self else { return text.into() };
        let Some(number) = first_number(text) else { return text.into() };
        let own = places_of(number);
        // The point takes room too.
        let missing = places - own + usize::from(own == 0 && places > 0);
        format!("{number}{}{}", space.repeat(missing), &text[number.len()..])
    }
}

/// The number that a text starts with.
pub(super) fn first_number(text: &str) -> Option<&str> {
    let body = text.strip_prefix(['+', '-']).unwrap_or(text);
    let length = body.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(body.len());
    let number = &text[..text.len() - body.len() + length];
    (body.starts_with(|c: char| c.is_ascii_digit()) && !number.ends_with('.')).then_some(number)
}

fn places_of(number: &str) -> usize {
    number.split_once('.').map_or(0, |(_, places)| places.len())
}

fn without_numbers(text: &str) -> String {
    text.chars().filter(|c| !c.is_ascii_digit() && !matches!(c, '.' | '+' | '-')).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_one_unit_stand_point_under_point() {
        let of = |cells: &[&str]| alignment(cells.iter().copied());
        let column = of(&["9.87 kPa (1.43 psia)", "", "112 kPa (16.2 psia)"]);
        assert_eq!(column, Alignment::Numbers { places: 2 });
        assert_eq!(column.padded("9.87 kPa (1.43 psia)", " "), "9.87 kPa (1.43 psia)");
        assert_eq!(column.padded("112 kPa (16.2 psia)", " "), "112    kPa (16.2 psia)");
        assert_eq!(column.padded("", " "), "");
        assert_eq!(of(&["+1 %", "-12 %"]), Alignment::Numbers { places: 0 });
        assert_eq!(of(&["1000 rpm", "2 kPa"]), Alignment::Words);
        assert_eq!(of(&["1 to 2 kg/s"]), Alignment::Words, "one row has nothing to stand under");
        assert_eq!(of(&["1.", "2."]), Alignment::Words, "a sentence's end");
        assert_eq!(of(&["none", "2"]), Alignment::Words);
        assert_eq!(of(&["0 %", "0.019 %"]), Alignment::Words, "three places apart");
        assert_eq!(of(&[]), Alignment::Words);
    }
}
