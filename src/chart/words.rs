//! Words on a page: how much room they take, and where there is room for them.

use super::axes::FINE;
use plotters::style::text_anchor::{HPos, Pos, VPos};

/// A place on a page.
pub(super) type Spot = (i32, i32);

/// The width of a text in pixels, by the letters of DejaVu Sans, which is wider than most.
pub(super) fn width(text: &str, size: i32) -> i32 {
    let share = |c: char| match c {
        'i' | 'j' | 'l' | '\'' => 0.28,
        ' ' | '.' | ',' | ':' | ';' | 'f' | 't' | 'r' | '(' | ')' | '/' | '-' => 0.42,
        'm' | 'w' | 'M' | 'W' | '%' | '@' | '#' | '+' | '<' | '=' | '>' | '^' | '~' | '&' => 1.0,
        'A'..='Z' => 0.79,
        ' '..='~' => 0.64,
        _ => 1.0,
    };
    (text.chars().map(share).sum::<f64>() * letter(size)).ceil() as i32
}

/// The size that the drawing library gives letters, in pixels.
fn letter(size: i32) -> f64 {
    f64::from(size) / 1.24
}

/// A text cut to a width in pixels.
pub(super) fn fitted(text: &str, size: i32, room: i32) -> String {
    let mut fits = text.to_string();
    while width(&fits, size) > room && !fits.is_empty() {
        let kept = fits.trim_end_matches("...").chars().count().saturating_sub(1);
        fits = text.chars().take(kept).collect::<String>() + if kept > 0 { "..." } else { "" };
    }
    fits
}

/// A rectangle of a page.
#[derive(Clone, Copy)]
pub(super) struct Area {
    left: i32,
    top: i32,
    right: i32,
    bottom: i32,
}

impl Area {
    pub fn new((left, top): Spot, (right, bottom): Spot) -> Self {
        Self { left, top, right, bottom }
    }
    /// What a text covers whose middle line is at a spot, with a little air around it.
    pub fn of(text: &str, size: i32, (x, y): Spot, side: HPos) -> Self {
        let (wide, air) = (width(text, size) * FINE, 2 * FINE);
        let left = match side {
            HPos::Left => x,
            HPos::Center => x - wide / 2,
            HPos::Right => x - wide,
        };
        let half = (0.5 * letter(size) * f64::from(FINE)) as i32;
        Self {
            left: left - air,
            top: y - half - air / 2,
            right: left + wide + air,
            bottom: y + half + air / 2,
        }
    }
    pub fn holds(&self, (x, y): Spot) -> bool {
        (self.left..=self.right).contains(&x) && (self.top..=self.bottom).contains(&y)
    }
    fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }
    fn within(&self, other: &Self) -> bool {
        self.left >= other.left
            && self.right <= other.right
            && self.top >= other.top
            && self.bottom <= other.bottom
    }
    /// The square of the distance to a spot.
    fn apart_from(&self, (x, y): Spot) -> i64 {
        let beyond = |at: i32, low: i32, high: i32| i64::from((low - at).max(at - high).max(0));
        let (across, down) = (beyond(x, self.left, self.right), beyond(y, self.top, self.bottom));
        across * across + down * down
    }
}

/// A text with its place.
pub(super) struct Label {
    pub text: String,
    pub size: i32,
    pub at: Spot,
    pub side: HPos,
}

impl Label {
    pub fn new(text: impl Into<String>, size: i32, at: Spot, side: HPos) -> Self {
        Self { text: text.into(), size, at, side }
    }
    pub fn area(&self) -> Area {
        Area::of(&self.text, self.size, self.at, self.side)
    }
    pub fn anchor(&self) -> Pos {
        Pos::new(self.side, VPos::Center)
    }
}

/// What is already on a page: words, and lines that words keep off.
pub(super) struct Taken {
    page: Area,
    words: Vec<Area>,
    lines: Vec<Spot>,
    quiet: Vec<Spot>,
}

impl Taken {
    pub fn new(page: Area) -> Self {
        Self { page, words: Vec::new(), lines: Vec::new(), quiet: Vec::new() }
    }
    /// Words keep off this line.
    pub fn line(&mut self, line: &[Spot]) {
        self.lines.extend(dense(line, 4));
    }
    /// Words keep off this line where they can.
    pub fn quiet_line(&mut self, line: &[Spot]) {
        self.quiet.extend(dense(line, 4));
    }
    /// No words may cover this.
    pub fn words(&mut self, area: Area) {
        self.words.push(area);
    }
    /// Whether a text lies on the page, off words and lines.
    pub fn free(&self, area: &Area) -> bool {
        self.apart(area) && !self.lines.iter().any(|spot| area.holds(*spot))
    }
    /// Whether a text lies on the page and off other words.
    pub fn apart(&self, area: &Area) -> bool {
        area.within(&self.page) && !self.words.iter().any(|other| area.meets(other))
    }
    /// How far a text lies from the nearest line, squared.
    pub fn room(&self, area: &Area) -> i64 {
        self.lines.iter().map(|spot| area.apart_from(*spot)).min().unwrap_or(i64::MAX)
    }
    /// Takes the place of the first label that finds room, off the quiet lines if any does.
    pub fn first(&mut self, labels: impl IntoIterator<Item = Label>) -> Option<Label> {
        let mut best: Option<(usize, Label)> = None;
        for label in labels {
            let area = label.area();
            if !self.free(&area) {
                continue;
            }
            let hidden = self.quiet.iter().filter(|spot| area.holds(**spot)).count();
            if best.as_ref().is_none_or(|(least, _)| hidden < *least) {
                best = Some((hidden, label));
            }
            if hidden == 0 {
                break;
            }
        }
        let (_, found) = best?;
        self.words(found.area());
        Some(found)
    }
}

/// A line with a spot at least every so many pixels.
pub(super) fn dense(line: &[Spot], pixels: i32) -> impl Iterator<Item = Spot> + '_ {
    line.windows(2).flat_map(move |pair| {
        let [(x0, y0), (x1, y1)] = [pair[0], pair[1]];
        let steps = (x1 - x0).abs().max((y1 - y0).abs()) / (pixels * FINE) + 1;
        (0..=steps).map(move |k| (x0 + (x1 - x0) * k / steps, y0 + (y1 - y0) * k / steps))
    })
}
