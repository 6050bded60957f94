//! Slopes corrected by what each step shows, where reading them anew would cost more.

/// The inverse of the slopes of `N` relations to their unknowns, near a state.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Inverse<const N: usize>([[f64; N]; N]);

impl<const N: usize> Inverse<N> {
    /// From its entry at each row and column.
    pub fn from_fn(entry: impl Fn(usize, usize) -> f64) -> Self {
        Self(core::array::from_fn(|row| core::array::from_fn(|column| entry(row, column))))
    }

    /// The step that takes these gaps away where the slopes hold.
    pub fn step(&self, gaps: &[f64; N]) -> [f64; N] {
        self.0.map(|row| -dot(&row, gaps))
    }

    /// Takes in how the gaps changed over a step, by the least change of the slopes that explains it (Broyden 1965).
    pub fn learn(&mut self, step: &[f64; N], change: &[f64; N]) {
        let explained = self.0.map(|row| dot(&row, change));
        let along: [f64; N] =
            core::array::from_fn(|column| (0..N).map(|row| step[row] * self.0[row][column]).sum());
        let size = dot(step, &explained);
        if size == 0.0 {
            return;
        }
        for (row, entries) in self.0.iter_mut().enumerate() {
            let missing = (step[row] - explained[row]) / size;
            for (entry, along) in entries.iter_mut().zip(along) {
                *entry += missing * along;
            }
        }
    }
}

fn dot<const N: usize>(a: &[f64; N], b: &[f64; N]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gaps([x, y]: [f64; 2]) -> [f64; 2] {
        [x * x + y - 3.0, x + y * y * y - 9.0]
    }

    // The root is (1, 2); the slopes there are [[2, 1], [1, 12]], so their inverse is [[12, -1], [-1, 2]]/23.
    #[test]
    fn corrected_slopes_close_relations_faster_than_kept_ones() {
        let steps = |learns: bool| {
            let mut inverse = Inverse::from_fn(|i, j| [[12.0, -1.0], [-1.0, 2.0]][i][j] / 20.0);
            let mut x = [1.1, 1.9];
            let mut here = gaps(x);
            for steps in 1..100 {
                let step = inverse.step(&here);
                x = [x[0] + step[0], x[1] + step[1]];
                let next = gaps(x);
                if learns {
                    inverse.learn(&step, &[next[0] - here[0], next[1] - here[1]]);
                }
                here = next;
                if here.iter().all(|gap| gap.abs() < 1e-12) {
                    assert!((x[0] - 1.0).abs() < 1e-12 && (x[1] - 2.0).abs() < 1e-12, "{x:?}");
                    return steps;
                }
            }
            panic!("not closed: {here:?}");
        };
        let (learning, keeping) = (steps(true), steps(false));
        assert!(learning < keeping, "{learning} {keeping}");
    }

    // What a step showed is then explained exactly.
    #[test]
    fn a_step_that_was_learned_is_explained() {
        let mut inverse = Inverse::from_fn(|i, j| if i == j { 1.0 } else { 0.2 });
        let (step, change) = ([0.3, -0.1, 0.2], [0.5, 0.4, -0.2]);
        inverse.learn(&step, &change);
        let explained = inverse.step(&change);
        for k in 0..3 {
            assert!((explained[k] + step[k]).abs() < 1e-14, "{explained:?}");
        }
    }
}
