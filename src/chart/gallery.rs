//! Several figures in one.

use super::{Figure, FigureError};

/// The gap between figures, in pixels.
const GAP: u32 = 12;

/// Several figures shown as one, row by row: a notebook's cell shows one picture only.
///
/// ```
/// use shaftwork::chart::{Gallery, bars};
///
/// let figure = |title: &str| bars(title, "mass, kg", &[("cooler", 4.2), ("pipes", 1.9)]);
/// let both = Gallery::new([figure("Before")?, figure("After")?]).columns(2).joined()?;
/// assert_eq!(both.title(), "Before; After");
/// # Ok::<(), shaftwork::chart::FigureError>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Gallery {
    figures: Vec<Figure>,
    columns: usize,
}

impl Gallery {
    /// Figures one below the other.
    pub fn new(figures: impl IntoIterator<Item = Figure>) -> Self {
        Self { figures: figures.into_iter().collect(), columns: 1 }
    }
    /// The same figures, so many side by side; none counts as one.
    pub fn columns(mut self, columns: usize) -> Self {
        self.columns = columns.max(1);
        self
    }
    /// The figures.
    pub fn figures(&self) -> &[Figure] {
        &self.figures
    }

    /// All of them in one document, each at its own size.
    ///
    /// # Errors
    ///
    /// [`FigureError`] for an empty gallery.
    pub fn joined(&self) -> Result<Figure, FigureError> {
        if self.figures.is_empty() {
            return Err(FigureError("the gallery is empty".into()));
        }
        let (mut body, mut titles) = (String::new(), Vec::new());
        let (mut wide, mut top) = (0, 0);
        for row in self.figures.chunks(self.columns) {
            let mut left = 0;
            for figure in row {
                // One document within another, moved to its place.
                let placed = format!("<svg x=\"{left}\" y=\"{top}\" ");
                body.push_str(&figure.element().replacen("<svg ", &placed, 1));
                titles.push(figure.title());
                left += figure.size().0 + GAP;
            }
            wide = wide.max(left - GAP);
            top += row.iter().map(|figure| figure.size().1).max().unwrap_or(0) + GAP;
        }
        let size = (wide, top - GAP);
        let paper = format!("<rect width=\"{}\" height=\"{}\" fill=\"#FFFFFF\"/>\n", size.0, size.1);
        Ok(Figure::document(&(paper + &body), size, [size.0, size.1], &titles.join("; ")))
    }
}
