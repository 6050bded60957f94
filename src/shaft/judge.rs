//! Both questions: does it reach the target, and what is the most it gives.

use super::candidate::Candidate;
use super::installation::{FuelPlan, Installation, PowerBand};
use super::limits::{AreaBand, Limit, Margin};
use super::operating::{NotFound, OperatingPoint, operating_point};
use crate::engine::Target;
use crate::quantity::*;
use crate::turbine::Turbine;

/// Whether a candidate reaches the target.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// Every judged limit is kept, also with turbine area and estimated map one standard deviation on their worse
    /// sides. Other values (engine, turbine efficiency, temperatures) stand as given or assumed.
    Reaches,
    /// It depends on where turbine area or estimated map lie in their bands.
    Open(Vec<Doubt>),
    /// A limit is exceeded, also with turbine area and estimated map on their better sides.
    FallsShort(Stop),
}

/// A value that leaves the verdict open.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// The limit in doubt.
    pub limit: Limit,
    /// Engine speed at which the doubt is greatest.
    pub speed: ShaftSpeed,
    /// Distance to the limit at the estimate: positive keeps it. Nothing where the point lies outside the map as
    /// estimated, and inside it on the better side of its band.
    pub margin: Option<Fraction>,
}

/// What stops a candidate, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// The limit.
    pub limit: Limit,
    /// Engine speed at which it is met first.
    pub speed: ShaftSpeed,
}

/// The most power held over the band of engine speed, and what stops it.
#[derive(Clone, Debug, PartialEq)]
pub struct MostPower {
    /// The power at the estimates, if any power is within all limits.
    pub power: Option<Power>,
    /// The least power looked at that exceeds a limit.
    pub beyond: Option<Power>,
    /// What stops it first. `None` where no limit was met up to 2.3 times the target.
    pub stop: Option<Stop>,
    /// The power with turbine area and estimated map one standard deviation on their worse sides.
    pub low: Option<Power>,
    /// The same on their better sides.
    pub high: Option<Power>,
}

/// A candidate with one housing and one fuel, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Judgement {
    /// Operating points at the target over the band of engine speed, or why there is none.
    pub points: Vec<(ShaftSpeed, Result<OperatingPoint, NotFound>)>,
    /// Whether the target is reached.
    pub verdict: Verdict,
    /// The operating line at the target, for drawing on a map.
    pub line: Vec<LinePoint>,
    /// The operating line at the most power.
    pub most_line: Vec<LinePoint>,
    /// The most it gives.
    pub most: MostPower,
}

impl Judgement {
    /// The place of the point at the target where the least margin is least, of those that were found.
    pub fn hardest(&self) -> Option<usize> {
        let least = |point: &OperatingPoint| {
            point.margins.iter().map(|margin| margin.margin.si()).fold(f64::INFINITY, f64::min)
        };
        let found = self
            .points
            .iter()
            .enumerate()
            .filter_map(|(i, (_, point))| Some((i, least(point.as_ref().ok()?))));
        found.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(index, _)| index)
    }
}

/// A point of an operating line on the compressor's map, inside it or not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinePoint {
    /// Engine speed.
    pub speed: ShaftSpeed,
    /// Corrected flow.
    pub flow: CorrectedMassFlow,
    /// Pressure ratio.
    pub ratio: PressureRatio,
    /// True inside the map.
    pub inside: bool,
}

/// Judges a candidate with one turbine on one fuel. An estimated map is judged three times, as estimated and on both
/// sides of its band; of each limit the worst and the best of the three count as its band.
///
/// # Errors
///
/// [`NotFound`] only for inputs that a formula refuses or a state that does not settle; a limit of the
/// machine is an answer, not an error.
pub fn judge(
    installation: &Installation,
    candidate: &Candidate,
    turbine: &Turbine,
    plan: &FuelPlan,
    band: &PowerBand,
) -> Result<Judgement, NotFound> {
    let sides = [AreaBand::Worse, AreaBand::Better].map(|side| candidate.on(side));
    let case = Case { installation, candidate, sides, turbine, plan, band };
    let points = case.points(band.power())?;
    let verdict = verdict(&points);
    let most = case.most(&case.scan()?)?;
    let line = case.line(band.power());
    let most_line = most.power.map(|power| case.line(power)).unwrap_or_default();
    let points = points.into_iter().map(|seen| (seen.speed, seen.found)).collect();
    Ok(Judgement { points, verdict, line, most_line, most })
}

struct Case<'a> {
    installation: &'a Installation,
    candidate: &'a Candidate,
    /// The candidate on the worse and the better side of an estimated map.
    sides: [Option<Candidate>; 2],
    turbine: &'a Turbine,
    plan: &'a FuelPlan,
    band: &'a PowerBand,
}

type Found = Result<OperatingPoint, NotFound>;

/// A power at one engine speed.
struct Seen {
    speed: ShaftSpeed,
    /// The point at the estimates, its margins with their bands.
    found: Found,
    /// Where there is none: the point on the better side of an estimated map.
    better: Option<OperatingPoint>,
}
type Points = Vec<Seen>;

/// The powers that are searched, as multiples of the target.
const SEARCHED: (f64, f64) = (0.3, 2.3);
const STEPS: usize = 40;
/// How often the interval between the last power within all limits and the next is halved.
pub(crate) const HALVINGS: usize = 16;

/// A power closed in on, the least power beyond it that was looked at, and what stands there.
struct Closed {
    power: Option<Power>,
    beyond: Option<Power>,
    stop: Option<Stop>,
}

impl Case<'_> {
    fn points(&self, power: Power) -> Result<Points, NotFound> {
        self.band.speeds().into_iter().map(|speed| self.seen(Target::crank(power, speed))).collect()
    }

    fn seen(&self, target: Target) -> Result<Seen, NotFound> {
        let found = self.at(self.candidate, target)?;
        let mut seen = Seen { speed: target.speed(), found, better: None };
        for side in self.sides.iter().flatten() {
            match (&mut seen.found, self.at(side, target)?) {
                (Ok(point), Ok(side)) => {
                    point.margins.iter_mut().for_each(|margin| widen(margin, &side.margins));
                }
                (Ok(point), Err(missed)) => {
                    let limit = missed.limit().map(|limit| match limit {
                        Limit::TurbineTooSmall => Limit::ExpansionRatio,
                        limit => limit,
                    });
                    let missed = point.margins.iter_mut().filter(|margin| Some(margin.limit) == limit);
                    missed.for_each(|margin| margin.worse = Fraction::from_si_unchecked(-1.0));
                }
                (Err(_), Ok(side)) => seen.better = Some(side),
                (Err(_), Err(_)) => {}
            }
        }
        Ok(seen)
    }

    /// The point of a candidate, or the limit that it is beyond.
    fn at(&self, candidate: &Candidate, target: Target) -> Result<Found, NotFound> {
        match operating_point(self.installation, candidate, self.turbine, self.plan, target) {
            Err(fault) if fault.limit().is_none() => Err(fault),
            found => Ok(found),
        }
    }

    /// The operating line at a power; a point that is neither on the map nor beyond an edge is left out.
    fn line(&self, power: Power) -> Vec<LinePoint> {
        const STEPS: u32 = 12;
        let [from, to] = self.band.ends();
        let at = |k: u32| {
            let speed = from + (to - from) * f64::from(k) / f64::from(STEPS);
            let target = Target::crank(power, speed);
            match operating_point(self.installation, self.candidate, self.turbine, self.plan, target) {
                Ok(point) => {
                    Some(LinePoint { speed, flow: point.corrected_flow, ratio: point.ratio, inside: true })
                }
                Err(NotFound::Outside(out)) => {
                    Some(LinePoint { speed, flow: out.flow, ratio: out.ratio, inside: false })
                }
                Err(_) => None,
            }
        };
        (0..=STEPS).filter_map(at).collect()
    }

    /// Points at the searched powers. One at which a formula's range ends is left empty: it is outside
    /// everything, not a fault of the inputs.
    fn scan(&self) -> Result<Vec<(f64, Option<Points>)>, NotFound> {
        let share = |k: usize| SEARCHED.0 + (SEARCHED.1 - SEARCHED.0) * k as f64 / STEPS as f64;
        (0..=STEPS).map(|k| Ok((share(k), self.points_or_none(share(k))?))).collect()
    }

    fn points_or_none(&self, share: f64) -> Result<Option<Points>, NotFound> {
        match self.points(self.band.power() * share) {
            Ok(points) => Ok(Some(points)),
            Err(NotFound::Formula(_) | NotFound::NotConverged { .. } | NotFound::NoBalance { .. }) => {
                Ok(None)
            }
            Err(fault) => Err(fault),
        }
    }

    fn most(&self, scan: &[(f64, Option<Points>)]) -> Result<MostPower, NotFound> {
        let Closed { power, beyond, stop } = self.close_in(scan, AreaBand::Estimate)?;
        let [low, high] = [AreaBand::Worse, AreaBand::Better].map(|side| self.close_in(scan, side));
        Ok(MostPower { power, beyond, stop, low: low?.power, high: high?.power })
    }

    /// The last searched power that is within every limit, closed in on to the limit that follows.
    fn close_in(&self, scan: &[(f64, Option<Points>)], side: AreaBand) -> Result<Closed, NotFound> {
        let beyond = Stop { limit: Limit::FormulaRange, speed: self.band.ends()[0] };
        let stop = |points: &Option<Points>| match points {
            Some(points) => first_stop(points, side),
            None => Some(beyond.clone()),
        };
        let stops: Vec<_> = scan.iter().map(|(_, points)| stop(points)).collect();
        let Some(last) = stops.iter().rposition(Option::is_none) else {
            // Nothing is within all limits: say what stands in the way at the target itself.
            let at_target = stop(&self.points_or_none(1.0)?);
            let stop = at_target.or_else(|| stops.into_iter().flatten().next());
            return Ok(Closed { power: None, beyond: None, stop });
        };
        let Some((mut outside, mut found)) =
            scan.get(last + 1).map(|(share, _)| *share).zip(stops[last + 1..].first().cloned())
        else {
            let power = Some(self.band.power() * scan[last].0);
            return Ok(Closed { power, beyond: None, stop: None });
        };
        let mut inside = scan[last].0;
        for _ in 0..HALVINGS {
            let middle = 0.5 * (inside + outside);
            match stop(&self.points_or_none(middle)?) {
                None => inside = middle,
                stop => (outside, found) = (middle, stop),
            }
        }
        let [power, beyond] = [inside, outside].map(|share| Some(self.band.power() * share));
        Ok(Closed { power, beyond, stop: found })
    }
}

/// Takes into a margin's band what the same limit is on another side of the map.
fn widen(margin: &mut Margin, side: &[Margin]) {
    for other in side.iter().filter(|other| other.limit == margin.limit) {
        // What is not a number is worse than any.
        if other.worse < margin.worse || other.worse.si().is_nan() {
            margin.worse = other.worse;
        }
        if other.better > margin.better {
            margin.better = other.better;
        }
    }
}

/// Whether a distance to a limit says that it is exceeded. One that is not a number does.
fn exceeded(distance: f64) -> bool {
    distance.is_nan() || distance < 0.0
}

/// The limit exceeded by the most, over the engine speeds looked at. A distance that is not a number
/// counts as exceeded.
fn first_stop<'a>(points: impl IntoIterator<Item = &'a Seen>, side: AreaBand) -> Option<Stop> {
    let exceeded = points.into_iter().filter_map(|Seen { speed, found, better }| {
        let better = better.as_ref().filter(|_| side == AreaBand::Better);
        match found.as_ref().or_else(|error| better.ok_or(error)) {
            Err(error) => error.limit().map(|limit| (f64::NEG_INFINITY, Stop { limit, speed: *speed })),
            Ok(point) => {
                let distances = point.margins.iter().map(|margin| (margin.on(side), margin.limit));
                distances
                    .filter(|(distance, _)| exceeded(*distance))
                    .map(|(distance, limit)| (distance, Stop { limit, speed: *speed }))
                    .min_by(|a, b| a.0.total_cmp(&b.0))
            }
        }
    });
    exceeded.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, stop)| stop)
}

fn verdict(points: &Points) -> Verdict {
    // Below its lowest speed line a map says nothing, neither yes nor no; the other speeds are judged.
    let below = |seen: &&Seen| seen.found.as_ref().err().and_then(NotFound::limit) == Some(Limit::BelowMap);
    if let Some(stop) = first_stop(points.iter().filter(|seen| !below(seen)), AreaBand::Better) {
        return Verdict::FallsShort(stop);
    }
    let mut doubts: Vec<Doubt> = Vec::new();
    let mut doubt = |new: Doubt| match doubts.iter_mut().find(|known| known.limit == new.limit) {
        Some(known) if known.margin > new.margin => *known = new,
        Some(_) => {}
        None => doubts.push(new),
    };
    for Seen { speed, found, .. } in points {
        match found {
            Err(error) => error.limit().into_iter().for_each(|limit| {
                doubt(Doubt { limit, speed: *speed, margin: None });
            }),
            Ok(point) => {
                for margin in point.margins.iter().filter(|margin| exceeded(margin.on(AreaBand::Worse))) {
                    doubt(Doubt { limit: margin.limit, speed: *speed, margin: Some(margin.margin) });
                }
            }
        }
    }
    if doubts.is_empty() { Verdict::Reaches } else { Verdict::Open(doubts) }
}
