//! Figures as PNG, for viewers that do not show SVG.

use super::{Figure, FigureError};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::fontdb::{Database, Family, Query};
use resvg::usvg::{Options, Tree};
use std::sync::{Arc, OnceLock};

/// The widest picture, in pixels; more is taken for a slip.
const WIDEST: u32 = 8192;

/// Families looked for where the system names no sans-serif font that it has.
const USUAL: [&str; 8] =
    ["DejaVu Sans", "Liberation Sans", "Noto Sans", "Arial", "Helvetica", "Segoe UI", "Roboto", "FreeSans"];

/// A figure as PNG. In a notebook it shows itself where a viewer drops SVG.
#[derive(Clone, Debug, PartialEq)]
pub struct Png {
    bytes: Vec<u8>,
    title: String,
}

impl Png {
    /// The content of the file.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }
    /// What it shows.
    pub fn title(&self) -> &str {
        &self.title
    }
}

impl Figure {
    /// The figure as a PNG of so many pixels across, its letters in a font of this system.
    ///
    /// ```no_run
    /// # let figure = shaftwork::chart::bars("Masses", "mass, kg", &[("cooler", 4.2)])?;
    /// std::fs::write("masses.png", figure.png(1200)?.bytes())?;
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`FigureError`] for a width of none or more than 8192 pixels, or on a system without fonts.
    pub fn png(&self, width: u32) -> Result<Png, FigureError> {
        if !(1..=WIDEST).contains(&width) {
            return Err(FigureError(format!("a PNG is 1 to {WIDEST} pixels wide, not {width}")));
        }
        static FONTS: OnceLock<Result<Arc<Database>, FigureError>> = OnceLock::new();
        let fonts = FONTS.get_or_init(|| {
            let mut fonts = Database::new();
            fonts.load_system_fonts();
            settled(fonts)
        });
        Ok(Png { bytes: render(self, width, fonts.clone()?)?, title: self.title().into() })
    }
}

/// Settles what a sans-serif font is: the one that the system names, if it has it, else a usual one, else any.
fn settled(mut fonts: Database) -> Result<Arc<Database>, FigureError> {
    let has =
        |name: &str| fonts.query(&Query { families: &[Family::Name(name)], ..Query::default() }).is_some();
    let named = fonts.family_name(&Family::SansSerif);
    let usual = [named].into_iter().chain(USUAL).find(|name| has(name)).map(String::from);
    let any = || fonts.faces().find_map(|face| Some(face.families.first()?.0.clone()));
    let family = usual.or_else(any).ok_or_else(|| {
        FigureError(
            "a PNG needs a font and this system has none; install one, for instance DejaVu Sans".into(),
        )
    })?;
    fonts.set_sans_serif_family(family);
    Ok(Arc::new(fonts))
}

fn render(figure: &Figure, width: u32, fontdb: Arc<Database>) -> Result<Vec<u8>, FigureError> {
    let failed = |error: &dyn core::fmt::Display| FigureError(error.to_string());
    let options = Options { fontdb, ..Options::default() };
    let tree = Tree::from_str(figure.svg(), &options).map_err(|error| failed(&error))?;
    let scale = width as f32 / tree.size().width();
    let height = (tree.size().height() * scale).round().max(1.0) as u32;
    let mut picture =
        Pixmap::new(width, height).ok_or_else(|| FigureError(format!("{width} x {height} pixels")))?;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut picture.as_mut());
    picture.encode_png().map_err(|error| failed(&error))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_system_without_fonts_is_told_so() {
        let error = settled(Database::new()).unwrap_err();
        assert!(error.to_string().contains("install one"), "{error}");
    }
}
