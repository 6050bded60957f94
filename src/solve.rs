//! One bracketed root finder for every inner solve.

/// A root that was not found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum NoRoot {
    /// The function has the same sign at both ends.
    NotBracketed,
    /// It changes sign by a jump, or is not a number somewhere.
    Jump {
        /// The end that is finite.
        at: f64,
        /// The value there.
        value: f64,
    },
}

/// The root of a function between two ends of different sign, by Chandrupatla's method (1997):
/// inverse quadratic steps where they are safe, else bisection. It ends when the bracket is `width`
/// wide; an end that is infinite only steers the bisection.
pub(crate) fn root(mut f: impl FnMut(f64) -> f64, ends: [f64; 2], width: f64) -> Result<f64, NoRoot> {
    let [mut a, mut b] = ends;
    let (mut fa, mut fb) = (f(a), f(b));
    if fa == 0.0 {
        return Ok(a);
    }
    if fb == 0.0 {
        return Ok(b);
    }
    if fa.is_nan() || fb.is_nan() || (fa > 0.0) == (fb > 0.0) {
        return Err(NoRoot::NotBracketed);
    }
    let (mut c, mut fc);
    let mut t = 0.5;
    for _ in 0..200 {
        let x = a + t * (b - a);
        let fx = f(x);
        if fx.is_nan() {
            return Err(NoRoot::Jump { at: x, value: fx });
        }
        (c, fc, a, fa) = if (fx > 0.0) == (fa > 0.0) {
            (a, fa, x, fx)
        } else {
            let old = (b, fb);
            (b, fb) = (a, fa);
            (old.0, old.1, x, fx)
        };
        let (best, least) = if fa.abs() < fb.abs() { (a, fa) } else { (b, fb) };
        if least == 0.0 || (b - a).abs() <= width.max(2.0 * f64::EPSILON * best.abs()) {
            // At a jump one end stays infinite however narrow the bracket.
            let both = fa.is_finite() && fb.is_finite();
            return if both { Ok(best) } else { Err(NoRoot::Jump { at: best, value: least }) };
        }
        let (xi, phi) = ((a - b) / (c - b), (fa - fb) / (fc - fb));
        let safe = phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi;
        let step = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb);
        t = if safe && step.is_finite() { step } else { 0.5 };
        let edge = 0.5 * width / (b - a).abs();
        t = t.clamp(edge.min(0.5), 1.0 - edge.min(0.5));
    }
    Err(NoRoot::Jump { at: f64::NAN, value: f64::NAN })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_roots_and_refuses_jumps() {
        let mut calls = 0;
        let cube = root(
            |x| {
                calls += 1;
                x * x * x - 2.0
            },
            [0.0, 5.0],
            1e-14,
        );
        assert!((cube.unwrap() - 2f64.cbrt()).abs() < 1e-13);
        assert!(calls < 25, "{calls}");
        assert_eq!(root(|x| x * x + 1.0, [-1.0, 1.0], 1e-12), Err(NoRoot::NotBracketed));
        assert_eq!(root(|_| f64::NAN, [-1.0, 1.0], 1e-12), Err(NoRoot::NotBracketed));
        let jump = |x: f64| if x < 0.3 { -1.0 } else { f64::INFINITY };
        assert!(matches!(root(jump, [0.0, 1.0], 1e-12), Err(NoRoot::Jump { .. })));
        let half = |x: f64| if x > 0.6 { f64::INFINITY } else { x - 0.25 };
        assert!((root(half, [0.0, 1.0], 1e-14).unwrap() - 0.25).abs() < 1e-12);
    }
}
