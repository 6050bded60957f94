//! Integrators, a root and a maximum, none of them from the library.

/// Marches y' = slope(x, y) from the first end to the second in equal steps: the classical Runge-Kutta method.
pub fn march<const N: usize>(
    slope: impl Fn(f64, [f64; N]) -> [f64; N],
    [from, to]: [f64; 2],
    start: [f64; N],
    steps: usize,
) -> [f64; N] {
    let h = (to - from) / steps as f64;
    let moved = |y: [f64; N], k: [f64; N], by: f64| core::array::from_fn(|i| y[i] + by * k[i]);
    (0..steps).fold(start, |y, step| {
        let x = from + h * step as f64;
        let a = slope(x, y);
        let b = slope(x + 0.5 * h, moved(y, a, 0.5 * h));
        let c = slope(x + 0.5 * h, moved(y, b, 0.5 * h));
        let d = slope(x + h, moved(y, c, h));
        core::array::from_fn(|i| y[i] + h / 6.0 * (a[i] + 2.0 * (b[i] + c[i]) + d[i]))
    })
}

/// The integral between two ends by Simpson's rule over so many pairs of panels.
pub fn simpson(f: impl Fn(f64) -> f64, [from, to]: [f64; 2], pairs: usize) -> f64 {
    let h = (to - from) / (2 * pairs) as f64;
    let weighted = |i: usize| {
        let weight = if i == 0 || i == 2 * pairs { 1.0 } else { [2.0, 4.0][i % 2] };
        weight * f(from + h * i as f64)
    };
    (0..=2 * pairs).map(weighted).sum::<f64>() * h / 3.0
}

/// The root between two ends of different sign, by halving.
pub fn bisect(f: impl Fn(f64) -> f64, [mut low, mut high]: [f64; 2]) -> f64 {
    let [first, last] = [f(low), f(high)];
    let rising = last > 0.0;
    // Said so that NaN at an end fails.
    let bracketed = if rising { first <= 0.0 } else { first >= 0.0 && last <= 0.0 };
    assert!(bracketed, "no root between {low} and {high}: {first}, {last}");
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if (f(middle) > 0.0) == rising { high = middle } else { low = middle }
    }
    0.5 * (low + high)
}

/// The greatest value of a function with one maximum between two ends, or at one of them.
pub fn greatest(f: impl Fn(f64) -> f64, [mut low, mut high]: [f64; 2]) -> f64 {
    let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
    for _ in 0..60 {
        let (left, right) = (high - golden * (high - low), low + golden * (high - low));
        if f(left) < f(right) { low = left } else { high = right }
    }
    f(0.5 * (low + high))
}

/// The cubic through the four nodes around a place.
pub fn cubic(nodes: &[[f64; 2]], at: f64) -> f64 {
    let above = nodes.partition_point(|node| node[0] < at);
    let first = above.saturating_sub(2).min(nodes.len() - 4);
    let four = &nodes[first..first + 4];
    let term = |i: usize| {
        let others = (0..4).filter(|&j| j != i);
        others.fold(four[i][1], |y, j| y * (at - four[j][0]) / (four[i][0] - four[j][0]))
    };
    (0..4).map(term).sum()
}

// On functions whose integral, root and maximum are known.
#[test]
fn they_do_what_they_say() {
    use super::reference::close;
    close(march(|_, [y]| [y], [0.0, 1.0], [1.0], 100)[0], 1f64.exp(), 1e-9);
    close(simpson(f64::sin, [0.0, std::f64::consts::PI], 100), 2.0, 1e-8);
    close(bisect(|x| x * x - 2.0, [0.0, 2.0]), 2f64.sqrt(), 1e-15);
    close(bisect(|x| 2.0 - x * x, [0.0, 2.0]), 2f64.sqrt(), 1e-15);
    close(greatest(|x| x * (1.0 - x), [0.0, 1.0]), 0.25, 1e-15);
    close(greatest(|x| x * (1.0 - x), [0.0, 0.3]), 0.21, 1e-12);
    let nodes: Vec<[f64; 2]> = [0.0, 1.0, 2.5, 4.0, 7.0, 8.0].map(|x: f64| [x, x.powi(3) - x]).into();
    for x in [0.3, 2.5, 3.9, 7.5] {
        close(cubic(&nodes, x), x.powi(3) - x, 1e-12);
    }
}
