//! Points that their neighbours along the line contradict: a digit misread, which a smoothed line would follow.
//!
//! About the corner of no flow and no rise, a speed line is a curve of slowly changing distance over the angle. Each
//! point is left out once and told by its neighbours; what lies far off the told value and whose absence makes the
//! rest smooth is named.

use super::outline::Given;
use super::work::spread;

/// What flow and pressure ratio of a figure can be read to, relative, by judgement.
pub(super) const READ_TO: f64 = 0.003;
/// Standard deviations beyond which a point is named, by judgement: of sound maps none is.
const FAR: f64 = 4.0;
/// A point and its nearest, of which the others tell it; of an end three.
const NEAR: usize = 5;
const NEAR_END: usize = 4;
/// The fewest points of a line that can tell one of them.
const FEWEST: usize = NEAR;
/// The share of a line's points that is left out at most.
const MOST: usize = 4;

/// A value over a place, with its standard deviation.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub along: f64,
    pub value: f64,
    pub sigma: f64,
}

/// How far each value is from what its neighbours say, in standard deviations; the places rise.
pub(super) fn left_out(places: &[Place]) -> Vec<f64> {
    let told = |k: usize| {
        let wide = if k == 0 || k == places.len() - 1 { NEAR_END } else { NEAR };
        let first = k.saturating_sub(wide / 2).min(places.len() - wide);
        let near: Vec<&Place> = (first..first + wide).filter(|&m| m != k).map(|m| &places[m]).collect();
        let (mut value, mut variance) = (0.0, places[k].sigma.powi(2));
        for (i, at) in near.iter().enumerate() {
            let share: f64 =
                near.iter().enumerate().filter(|(j, _)| *j != i).fold(1.0, |share, (_, other)| {
                    share * (places[k].along - other.along) / (at.along - other.along)
                });
            value += share * at.value;
            variance += (share * at.sigma).powi(2);
        }
        let off = (places[k].value - value) / variance.sqrt();
        // Two points of one place tell nothing.
        if off.is_finite() { off } else { 0.0 }
    };
    if places.len() < FEWEST { vec![0.0; places.len()] } else { (0..places.len()).map(told).collect() }
}

/// The one of several values whose absence leaves the least, where any lies beyond a limit; `off` are the deviations of
/// the values that are left, each with its index.
fn culprit(off: &[(usize, f64)], limit: f64, without: impl Fn(usize) -> Vec<(usize, f64)>) -> Option<usize> {
    let most = |off: &[(usize, f64)]| off.iter().fold(0.0_f64, |most, (_, off)| most.max(off.abs()));
    let suspects = off.iter().filter(|(_, off)| off.abs() > limit).map(|(index, _)| *index);
    suspects.min_by(|&a, &b| most(&without(a)).total_cmp(&most(&without(b))))
}

/// The culprit beyond what the file's own scatter says: of few values one that is wrong moves what is said of most, so that
/// they are judged by what the others leave without it.
pub(super) fn apart(off: &[(usize, f64)], without: impl Fn(usize) -> Vec<(usize, f64)>) -> Option<usize> {
    let index = culprit(off, FAR, &without)?;
    let own = off.iter().find(|(at, _)| *at == index).map_or(0.0, |(_, off)| off.abs());
    let rest: Vec<f64> = without(index).iter().map(|(_, off)| *off).collect();
    (own > FAR * spread(&rest, 1.0)).then_some(index)
}

/// Which points of each line are misread, with those that are known to be from elsewhere.
pub(super) fn misread(lines: &[Given], mut out: Vec<Vec<bool>>) -> Vec<Vec<bool>> {
    loop {
        let all: Vec<Vec<(usize, f64)>> =
            lines.iter().zip(&out).map(|(line, out)| deviations(line, out)).collect();
        let sizes: Vec<f64> = all.iter().flatten().map(|(_, off)| *off).collect();
        let limit = FAR * spread(&sizes, 1.0);
        let found = lines.iter().enumerate().find_map(|(i, line)| {
            if MOST * (out[i].iter().filter(|&&out| out).count() + 1) > line.len() {
                return None;
            }
            let without = |index: usize| {
                let mut out = out[i].clone();
                out[index] = true;
                deviations(line, &out)
            };
            culprit(&all[i], limit, without).map(|index| (i, index))
        });
        let Some((line, index)) = found else { return out };
        out[line][index] = true;
    }
}

/// The deviations of the points of a line that are not out.
fn deviations(line: &Given, out: &[bool]) -> Vec<(usize, f64)> {
    let own = || line.iter().enumerate().zip(out).filter(|(_, out)| !**out).map(|(point, _)| point);
    let [flow, rise] =
        own().fold([0.0_f64; 2], |most, (_, point)| [most[0].max(point[0]), most[1].max(point[1] - 1.0)]);
    // A pressure ratio is read to a share of itself, which is more of a small rise.
    let sigma = READ_TO * (0.5 * (1.0 + ((1.0 + rise) / rise).powi(2))).sqrt();
    let mut places: Vec<(usize, Place)> = own()
        .map(|(index, point)| {
            let (x, y) = (point[0] / flow, (point[1] - 1.0) / rise);
            (index, Place { along: x.atan2(y), value: x.hypot(y), sigma })
        })
        .collect();
    places.sort_by(|a, b| a.1.along.total_cmp(&b.1.along));
    let plain: Vec<Place> = places.iter().map(|(_, place)| *place).collect();
    places.iter().map(|(index, _)| *index).zip(left_out(&plain)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    // By hand: a parabola comes back, and a value 0.1 off lies that far off; its
    // four neighbours at -2, -1, 1, 2 have the shares -1/6, 4/6, 4/6, -1/6: a variance of 1 + 34/36.
    #[test]
    fn a_value_beside_its_neighbours() {
        let places = |off: f64| -> Vec<Place> {
            (0..7)
                .map(|k| f64::from(k) - 3.0)
                .map(|x| Place { along: x, value: x * x + if x == 0.0 { off } else { 0.0 }, sigma: 0.01 })
                .collect()
        };
        assert!(left_out(&places(0.0)).iter().all(|off| off.abs() < 1e-9));
        let found = left_out(&places(0.1))[3];
        assert!((found - 10.0 / (1.0 + 34.0 / 36.0_f64).sqrt()).abs() < 1e-9, "{found}");
    }

    #[test]
    fn a_misread_point_of_a_line_is_found_and_a_sound_line_has_none() {
        let line = |scale: f64| -> Given {
            (0..9)
                .map(|k| f64::from(k) * core::f64::consts::FRAC_PI_2 / 8.0)
                .map(|t| [scale * (0.3 + 0.7 * t.sin()), 1.0 + scale * (0.7 + 0.3 * t.cos())])
                .collect()
        };
        let mut lines: Vec<Given> = [0.6, 0.8, 1.0].map(line).into();
        let read = |lines: &[Given]| misread(lines, vec![vec![false; 9]; 3]);
        assert!(read(&lines).iter().flatten().all(|out| !out));
        for (index, by) in [(3, 0.1), (1, -0.08), (5, 0.15)] {
            let sound = lines[1].clone();
            lines[1][index][1] += by;
            let found = read(&lines);
            let named: Vec<usize> = (0..9).filter(|&k| found[1][k]).collect();
            assert_eq!(named, [index]);
            assert!(found[0].iter().chain(&found[2]).all(|out| !out));
            lines[1] = sound;
        }
    }
}
