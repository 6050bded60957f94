//! The flow through a diffuser's vanes: how near its throat is to choking, how far it is slowed, what is lost.

use super::coefficients as k;
use super::diffuser::{Exit, Local};
use super::vanes::Vanes;
use super::{choking_loss, vane_channel_loss, vane_incidence_loss};
use crate::compressor::inducer_choke_flow;
use crate::solve::root;

/// A hair beyond choke is choke, found by a root of limited width.
const RESOLVED: f64 = 1e-5;

/// What enters the vanes, in SI units.
pub(super) struct VaneEntry {
    pub gas: Local,
    pub flow: f64,
    pub total_temperature: f64,
    /// At the leading edges.
    pub before: Exit,
}

impl VaneEntry {
    /// Flow over what the throat passes at its choke.
    pub fn share(&self, vanes: &Vanes) -> f64 {
        let area = k::VANE_BLOCKAGE * vanes.throat;
        let (t0, p0) = (self.total_temperature, self.before.total_pressure);
        self.flow / inducer_choke_flow::of(area, t0, p0, 0.0, self.gas.gamma(), self.gas.r)
    }

    /// Velocity in the throat; `None` where it chokes.
    pub fn throat(&self, vanes: &Vanes) -> Option<f64> {
        let gamma = self.gas.gamma();
        let mach = subsonic_mach(self.share(vanes), gamma)?;
        let t = self.total_temperature / (1.0 + 0.5 * (gamma - 1.0) * mach * mach);
        Some(mach * (gamma * self.gas.r * t).sqrt())
    }

    /// The flow behind vanes that end at this multiple of their leading edges' radius; `None` where they choke.
    pub fn pass(&self, vanes: &Vanes, stretch: f64) -> Option<Exit> {
        let Exit { total_pressure, radial, swirl } = self.before;
        let throat = self.throat(vanes)?;
        let speed = radial.hypot(swirl);
        let lost = vane_incidence_loss::of(radial, swirl, vanes.angle)
            + choking_loss::of(self.share(vanes), speed)
            + vane_channel_loss::of(throat, vanes.recovery, k::VANE_AREA_RATIO);
        let (t, _) = self.gas.still(self.total_temperature, speed * speed);
        let total_pressure = total_pressure * (-lost / (self.gas.r * t * self.total_temperature)).exp();
        let end = Self { before: Exit { total_pressure, radial, swirl }, ..*self };
        let area = Vanes { throat: k::VANE_AREA_RATIO * vanes.throat, ..*vanes };
        let speed = end.throat(&area)?;
        // Straight vanes: r sin(alpha) stays.
        let sine = vanes.angle.sin() / stretch;
        Some(Exit { total_pressure, radial: speed * (1.0 - sine * sine).sqrt(), swirl: speed * sine })
    }
}

/// The Mach number below one at which a duct passes this share of its choke flow.
fn subsonic_mach(share: f64, gamma: f64) -> Option<f64> {
    if share.is_nan() || share > 1.0 + RESOLVED {
        return None;
    }
    let left = (1.0 - share).max(0.0);
    let half = 0.5 * (gamma - 1.0);
    let power = -(gamma + 1.0) / (2.0 * (gamma - 1.0));
    let top = (1.0 + half).powf(-power);
    // Near choke the share falls with the square of the distance from one, so its root is sought in the root of what is
    // left: there it is nearly straight.
    let passed = |mach: f64| mach * top * (1.0 + half * mach * mach).powf(power);
    let mut mach = 1.0 - (left * 2.0 / (gamma + 1.0)).sqrt();
    mach = mach.max(0.5 * share);
    for _ in 0..20 {
        let passed = passed(mach);
        let gap = (1.0 - passed).max(0.0).sqrt();
        let slope = passed * (1.0 - mach * mach) / (mach * (1.0 + half * mach * mach));
        if gap < 1e-7 || slope <= 0.0 {
            return Some(mach.min(1.0));
        }
        let step = (gap - left.sqrt()) * 2.0 * gap / slope;
        mach = (mach + step.clamp(-0.3, 0.3)).clamp(1e-3, 1.0);
        if step.abs() < 1e-9 {
            return Some(mach);
        }
    }
    // Far from choke that root is bent, and its steps may miss each other.
    root(|mach| passed(mach) - share.min(1.0), [0.0, 1.0], 1e-12).ok()
}

#[cfg(test)]
mod tests {
    use super::subsonic_mach;

    // NACA Report 1135, gamma 1.4, from memory: A/A* 2.9635, 1.3398, 1.0382 and 1.0089 at Mach 0.2, 0.5, 0.8 and 0.9.
    #[test]
    fn mach_numbers_are_those_of_the_tables() {
        for (share, mach) in [(0.7464, 0.5), (0.9632, 0.8), (1.0, 1.0), (0.3374, 0.2), (0.9912, 0.9)] {
            let found = subsonic_mach(share, 1.4).unwrap();
            assert!((found - mach).abs() < 1e-3, "{share}: {found}");
        }
        assert!(subsonic_mach(1.001, 1.4).is_none() && subsonic_mach(f64::NAN, 1.4).is_none());
        for step in 1..1000 {
            let share = f64::from(step) / 1000.0;
            let m = subsonic_mach(share, 1.33).unwrap();
            let back = m * (1.165_f64 / (1.0 + 0.165 * m * m)).powf(2.33 / 0.66);
            assert!((back - share).abs() < 1e-6, "{share}: {m} {back}");
        }
    }
}
