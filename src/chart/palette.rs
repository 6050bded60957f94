//! Colours: told apart in grey and by colour-blind readers, since lightness carries the order.

use plotters::style::RGBColor;

/// Axes and words.
pub(super) const INK: RGBColor = RGBColor(38, 42, 51);
/// Rulings.
pub(super) const RULE: RGBColor = RGBColor(228, 228, 222);
/// The map's area.
pub(super) const PAPER: RGBColor = RGBColor(250, 249, 245);
/// The speed lines.
pub(super) const SPEED: RGBColor = RGBColor(92, 104, 120);
/// The map's left end.
pub(super) const SURGE: RGBColor = RGBColor(122, 30, 62);
/// The map's right end.
pub(super) const CHOKE: RGBColor = RGBColor(96, 96, 96);
/// Bars to the right of zero, and to its left.
pub(super) const MORE: RGBColor = RGBColor(36, 84, 110);
pub(super) const LESS: RGBColor = RGBColor(206, 128, 60);

/// Efficiency, low to high: pale to dark.
pub(super) fn efficiency(share: f64) -> RGBColor {
    between([RGBColor(150, 186, 188), RGBColor(84, 146, 152), RGBColor(16, 96, 110)], share)
}

/// Engine speed over its band, low to high: dark to light.
pub(super) fn engine_speed(share: f64) -> RGBColor {
    between([RGBColor(60, 14, 24), RGBColor(164, 60, 20), RGBColor(232, 150, 40)], share)
}

/// One of so many curves: dark to light through different hues.
pub(super) fn curve(index: usize, count: usize) -> RGBColor {
    let share = index as f64 / count.saturating_sub(1).max(1) as f64;
    between([RGBColor(24, 48, 74), RGBColor(150, 60, 70), RGBColor(214, 148, 34)], share)
}

fn between(stops: [RGBColor; 3], share: f64) -> RGBColor {
    let share = share.clamp(0.0, 1.0) * 2.0;
    let (a, b, t) = if share < 1.0 { (stops[0], stops[1], share) } else { (stops[1], stops[2], share - 1.0) };
    let mix = |a: u8, b: u8| (f64::from(a) + (f64::from(b) - f64::from(a)) * t).round() as u8;
    RGBColor(mix(a.0, b.0), mix(a.1, b.1), mix(a.2, b.2))
}
