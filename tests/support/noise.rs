//! Noise that is the same on every run.

/// Normal deviates from the sum of twelve even ones; a linear congruential generator.
pub struct Noise(pub u32);

impl Noise {
    fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(self.0) / f64::from(u32::MAX)
    }
    pub fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.even()).sum::<f64>() - 6.0
    }
}
