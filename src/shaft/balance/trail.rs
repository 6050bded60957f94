//! States found at rising engine speeds, run on to the next.

use super::plant::Closing;

/// How many states back a trail looks: its curve through them is a parabola.
const BACK: usize = 3;

/// The unknowns of the last states in which the same was held.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Trail {
    closing: Option<Closing>,
    /// Engine speed and unknowns, the last first.
    known: [(f64, [f64; 4]); BACK],
    count: usize,
}

impl Trail {
    /// Takes in the state at an engine speed. Where something else was held before, the trail begins anew.
    pub fn add(&mut self, speed: f64, closing: Closing, unknowns: [f64; 4]) {
        let runs_on = self.closing == Some(closing) && self.known[0].0 != speed;
        self.known.rotate_right(1);
        self.known[0] = (speed, unknowns);
        self.count = if runs_on { (self.count + 1).min(BACK) } else { 1 };
        self.closing = Some(closing);
    }

    /// Where the state at an engine speed may be, if the trail leads there: on the curve through as many of the last states as reach
    /// over at least half the way.
    pub fn on(&self, speed: f64, closing: Closing) -> Option<[f64; 4]> {
        if self.closing != Some(closing) {
            return None;
        }
        let (newest, _) = self.known[0];
        let reaches =
            |count: &usize| (speed - newest).abs() <= 2.0 * (newest - self.known[count - 1].0).abs();
        let count = (2..=self.count).rev().find(reaches).unwrap_or(1);
        let known = &self.known[..count];
        let mut unknowns = [0.0; 4];
        for (i, (own, at)) in known.iter().enumerate() {
            let others = known.iter().enumerate().filter(|(j, _)| *j != i);
            let weight: f64 = others.map(|(_, (other, _))| (speed - other) / (own - other)).product();
            for (unknown, at) in unknowns.iter_mut().zip(at) {
                *unknown += weight * at;
            }
        }
        Some(unknowns)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const HELD: Closing = Closing::Manifold(2e5);

    fn parabola(x: f64) -> [f64; 4] {
        [1.0, x, x * x, 2.0 - x + 3.0 * x * x]
    }

    #[test]
    fn three_states_run_on_along_a_parabola() {
        let mut trail = Trail::default();
        assert_eq!(trail.on(1.0, HELD), None);
        for x in [0.0, 1.0, 2.5, 3.0] {
            trail.add(x, HELD, parabola(x));
        }
        let found = trail.on(4.0, HELD).unwrap();
        for (found, expected) in found.iter().zip(parabola(4.0)) {
            assert!((found - expected).abs() < 1e-12, "{found} {expected}");
        }
    }

    #[test]
    fn a_far_speed_and_another_closing_start_from_what_is_near() {
        let mut trail = Trail::default();
        for x in [0.0, 1.0] {
            trail.add(x, HELD, parabola(x));
        }
        assert_eq!(trail.on(50.0, HELD), Some(parabola(1.0)));
        assert_eq!(trail.on(1.5, Closing::Gate(0.0)), None);
        // At one speed again only the newest counts.
        trail.add(1.0, HELD, parabola(2.0));
        assert_eq!(trail.on(1.1, HELD), Some(parabola(2.0)));
    }
}
