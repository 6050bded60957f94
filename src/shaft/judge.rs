//! Both questions: does it reach the target, and what is the most it gives.

use super::candidate::{Candidate, Compressor};
use super::installation::{FuelPlan, Installation, PowerBand};
use super::limits::{AreaBand, Limit};
use super::operating::{NotFound, OperatingPoint, operating_point};
use crate::engine::Target;
use crate::quantity::*;
use crate::turbine::Turbine;

/// Whether a candidate reaches the target.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// Every judged limit is kept, also with turbine area and choke flow one standard deviation on their worse
    /// sides. Other values (engine, turbine efficiency, temperatures) stand as given or assumed.
    Reaches,
    /// It depends on where turbine area or choke flow lie in their bands.
    Open(Vec<Doubt>),
    /// A limit is exceeded, also with turbine area and choke flow on their better sides.
    FallsShort(Stop),
}

/// A value that leaves the verdict open.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt {
    /// The limit in doubt.
    pub limit: Limit,
    /// Engine speed at which the doubt is greatest.
    pub speed: ShaftSpeed,
    /// The reading of the inducer, for a measured wheel.
    pub reading: Option<Length>,
    /// Distance to the limit at the estimate: positive keeps it.
    pub margin: Fraction,
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
    /// The reading of the inducer, for a measured wheel.
    pub reading: Option<Length>,
    /// The power at the estimates, if any power is within all limits.
    pub power: Option<Power>,
    /// The least power looked at that exceeds a limit.
    pub beyond: Option<Power>,
    /// What stops it first. `None` where no limit was met up to 2.3 times the target.
    pub stop: Option<Stop>,
    /// The power with turbine area and choke flow one standard deviation on their worse sides.
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
    /// The most it gives, one answer for each reading of a measured wheel.
    pub most: Vec<MostPower>,
}

impl Judgement {
    /// The place of the point at the target where the least margin is least, of those that were found.
    pub fn hardest(&self) -> Option<usize> {
        let least = |point: &OperatingPoint| {
            let inducers = point.inducer_margins();
            let all = point.margins.iter().copied().chain(inducers);
            all.map(|margin| margin.margin.si()).fold(f64::INFINITY, f64::min)
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

/// Judges a candidate with one turbine on one fuel.
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
    let case = Case { installation, candidate, turbine, plan, band };
    let readings: Vec<Option<(usize, Length)>> = match candidate.compressor() {
        Compressor::Map(_) => vec![None],
        Compressor::Wheel(wheel, _) => wheel.readings().iter().copied().enumerate().map(Some).collect(),
    };
    let points = case.points(band.power())?;
    let verdict = verdict(&points, &readings);
    let scan = case.scan()?;
    let most = readings.iter().map(|&reading| case.most(&scan, reading)).collect::<Result<Vec<_>, _>>()?;
    let line = case.line(band.power());
    let most_line = most.first().and_then(|most: &MostPower| most.power).map(|power| case.line(power));
    Ok(Judgement { points, verdict, line, most_line: most_line.unwrap_or_default(), most })
}

struct Case<'a> {
    installation: &'a Installation,
    candidate: &'a Candidate,
    turbine: &'a Turbine,
    plan: &'a FuelPlan,
    band: &'a PowerBand,
}

type Found = Result<OperatingPoint, NotFound>;
type Points = Vec<(ShaftSpeed, Found)>;

/// A way of looking at points: which reading of the inducer, which side of the bands.
#[derive(Clone, Copy)]
struct View {
    reading: Option<(usize, Length)>,
    side: AreaBand,
}

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
        let mut points = Vec::new();
        for speed in self.band.speeds() {
            let target = Target::crank(power, speed);
            let found = operating_point(self.installation, self.candidate, self.turbine, self.plan, target);
            match found {
                Err(fault) if fault.limit().is_none() => return Err(fault),
                found => points.push((speed, found)),
            }
        }
        Ok(points)
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
            Err(NotFound::Formula(_) | NotFound::NotConverged { .. }) => Ok(None),
            Err(fault) => Err(fault),
        }
    }

    fn most(
        &self,
        scan: &[(f64, Option<Points>)],
        reading: Option<(usize, Length)>,
    ) -> Result<MostPower, NotFound> {
        let at = |side| self.close_in(scan, View { reading, side });
        let Closed { power, beyond, stop } = at(AreaBand::Estimate)?;
        Ok(MostPower {
            reading: reading.map(|(_, length)| length),
            power,
            beyond,
            stop,
            low: at(AreaBand::Worse)?.power,
            high: at(AreaBand::Better)?.power,
        })
    }

    /// The last searched power that is within every limit, closed in on to the limit that follows.
    fn close_in(&self, scan: &[(f64, Option<Points>)], view: View) -> Result<Closed, NotFound> {
        let beyond = Stop { limit: Limit::FormulaRange, speed: self.band.ends()[0] };
        let stop = |points: &Option<Points>| match points {
            Some(points) => first_stop(points, view),
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

/// Distances of a point to its limits in one view.
fn distances(point: &OperatingPoint, view: View) -> impl Iterator<Item = (f64, Limit)> + '_ {
    let choke = view.reading.and_then(|(index, _)| point.inducer_margins().nth(index));
    point.margins.iter().copied().chain(choke).map(move |margin| (margin.on(view.side), margin.limit))
}

/// The limit exceeded by the most, over the engine speeds looked at. A distance that is not a number
/// counts as exceeded.
fn first_stop(points: &Points, view: View) -> Option<Stop> {
    let exceeded = points.iter().filter_map(|(speed, found)| match found {
        Err(error) => error.limit().map(|limit| (f64::NEG_INFINITY, Stop { limit, speed: *speed })),
        Ok(point) => distances(point, view)
            .filter(|(distance, _)| distance.is_nan() || *distance < 0.0)
            .map(|(distance, limit)| (distance, Stop { limit, speed: *speed }))
            .min_by(|a, b| a.0.total_cmp(&b.0)),
    });
    exceeded.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, stop)| stop)
}

fn verdict(points: &Points, readings: &[Option<(usize, Length)>]) -> Verdict {
    let view = |side, reading| View { side, reading };
    // Below its lowest speed line a map says nothing, neither yes nor no; the other speeds are judged.
    let below = |found: &Found| found.as_ref().err().and_then(NotFound::limit) == Some(Limit::BelowMap);
    let known: Points = points.iter().filter(|(_, found)| !below(found)).cloned().collect();
    let best = readings.iter().map(|&reading| first_stop(&known, view(AreaBand::Better, reading)));
    let best: Vec<_> = best.collect();
    if let Some(stop) = best.iter().flatten().next().filter(|_| best.iter().all(Option::is_some)) {
        return Verdict::FallsShort(stop.clone());
    }
    let mut doubts: Vec<Doubt> = Vec::new();
    if let Some((speed, _)) = points.iter().find(|(_, found)| below(found)) {
        let margin = Fraction::from_si_unchecked(0.0);
        doubts.push(Doubt { limit: Limit::BelowMap, speed: *speed, reading: None, margin });
    }
    for &reading in readings {
        for (speed, point) in points.iter().filter_map(|(speed, found)| Some((speed, found.as_ref().ok()?))) {
            let estimate = distances(point, view(AreaBand::Estimate, reading));
            let worse = distances(point, view(AreaBand::Worse, reading));
            for ((margin, limit), (worse, _)) in estimate.zip(worse) {
                if worse >= 0.0 {
                    continue;
                }
                let of_wheel =
                    (limit == Limit::InducerChoke).then(|| reading.map(|(_, length)| length)).flatten();
                let margin = Fraction::from_si_unchecked(margin);
                let doubt = Doubt { limit, speed: *speed, reading: of_wheel, margin };
                match doubts.iter_mut().find(|d| d.limit == limit && d.reading == of_wheel) {
                    Some(known) if known.margin > margin => *known = doubt,
                    Some(_) => {}
                    None => doubts.push(doubt),
                }
            }
        }
    }
    if doubts.is_empty() { Verdict::Reaches } else { Verdict::Open(doubts) }
}
