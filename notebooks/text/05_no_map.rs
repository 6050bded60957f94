// ---
// jupyter:
//   jupytext:
//     text_representation:
//       extension: .rs
//       format_name: percent
//   kernelspec:
//     display_name: Rust (shaftwork)
//     language: rust
//     name: shaftwork
// ---

// %% [markdown]
// # No map
//
// A second-hand unit, no published map, a wheel on the bench and a pair of calipers: the common case, and candidate A of the invented demonstration. This notebook goes from the calipers to a map with its band, says what is not known, and what one more measurement would be worth.
//
// | symbol | meaning | symbol | meaning |
// |---|---|---|---|
// | d_1t, d_2 | inducer tip and outer diameter of the wheel | W_c | corrected flow |
// | b_2 | exit width | Pi | pressure ratio, total to total |
// | U_2 | tip speed | eta | isentropic efficiency |
// | sigma | one standard deviation | N_c | corrected speed |

// %%
// :dep shaftwork = { path = "..", default-features = false, features = ["notebook"] }
use shaftwork::prelude::*;
use shaftwork::compressor::{Combined, EstimatedPoint, Factor, PointBand, ReadingWeights, ScaledMap};

// %% [markdown]
// ## What the calipers say
//
// Two diameters. Everything else is a default with a spread, listed.

// %%
let wheel: WheelGeometry = WheelGeometry::builder(mm(46.4), mm(61.0)).build()?;
assert_eq!(wheel.assumed().count(), 7);
wheel

// %% [markdown]
// A mean line works out the rest: the work by slip and blade speed, the losses inside the wheel, the diffuser, the volute, choke from the throat, surge from where the flow turns back. Its coefficients are published ones and were not tuned to any machine; `data/validation` shows how far it errs on four published machines, the misses among them. All of those are seven times this size, and the estimate says so.

// %%
let reference = Reference::new(kelvin(298.15), kpa(100.0))?;
let estimate = wheel.estimate(reference)?;
assert!(estimate.provenance().contains("not validated at this size"));
estimate

// %%
estimate.map()?

// %% [markdown]
// ## One dimension read two ways
//
// The inducer reads 46.4 mm at the blade tips and 48.2 mm at the contour. The two are never averaged: each reading is a wheel of its own. What differs is the flow, by about as much as the annulus.

// %%
fn choke(inducer: f64) -> Result<f64, Box<dyn std::error::Error>> {
    let reference = Reference::new(kelvin(298.15), kpa(100.0))?;
    let wheel = WheelGeometry::builder(mm(inducer), mm(61.0)).build()?.estimate(reference)?;
    Ok(wheel.line(corrected_rpm(120_000.0))?.choke.si())
}
let [tips, contour] = [choke(46.4)?, choke(48.2)?];
let annulus = (48.2_f64 / 46.4).powi(2) - 1.0;
assert!((0.02..annulus + 0.02).contains(&(contour / tips - 1.0)), "{tips} {contour}");
format!("choke flow at 120 000 rpm: {tips:.3} kg/s or {contour:.3} kg/s, {:+.1} % (annulus {:+.1} %)",
    100.0 * (contour / tips - 1.0), 100.0 * annulus)

// %% [markdown]
// ## How sure, and why not surer
//
// At a point in the middle of the map: what makes its pressure ratio uncertain, the largest cause first.

// %%
let (speed, flow) = (corrected_rpm(110_000.0), corrected_kg_per_s(0.17));
let before: PointBand = estimate.band_at(speed, flow)?;
assert!((0.04..0.12).contains(&before.ratio.si()), "{}", before.ratio.si());
before

// %% [markdown]
// ## What one more measurement is worth
//
// Exit width, backsweep and blade count take ten minutes with the wheel in hand; the throat takes a feeler gauge; one logged point takes a drive with a boost gauge, a thermometer behind the compressor and a speed sensor. Here is what each leaves of the band at that point.

// %%
fn left(known: &str) -> Result<[f64; 2], Box<dyn std::error::Error>> {
    let reference = Reference::new(kelvin(298.15), kpa(100.0))?;
    let (speed, flow) = (corrected_rpm(110_000.0), corrected_kg_per_s(0.17));
    let wheel = WheelGeometry::builder(mm(46.4), mm(61.0));
    let wheel = match known {
        "exit width" => wheel.exit_width(mm(4.4)),
        "backsweep" => wheel.backsweep(deg(38.0)),
        "inducer blade angle" => wheel.inducer_tip_angle(deg(59.0)),
        "all of them and the clearance" => wheel.hub(mm(14.0)).exit_width(mm(4.4)).backsweep(deg(38.0))
            .inducer_tip_angle(deg(59.0)).exit_clearance(mm(0.25)),
        _ => wheel,
    };
    let estimate = wheel.build()?.estimate(reference)?;
    let line = estimate.band()?.into_iter().nth(5).ok_or("no sixth line")?;
    Ok([estimate.band_at(speed, flow)?.ratio.percent(), line.choke.percent()])
}
let mut table = String::from("known besides the diameters        pressure ratio   choke flow   (one sigma, %)");
for known in ["nothing", "backsweep", "exit width", "inducer blade angle", "all of them and the clearance"] {
    let [ratio, choke] = left(known)?;
    table += &format!("\n{known:<34} {ratio:>8.1} {choke:>14.1}");
}
assert!(left("all of them and the clearance")?[0] < left("nothing")?[0]);
println!("{table}");

// %% [markdown]
// And one logged point. It is invented here: the wheel is supposed to be 3 % stronger in work and a little less efficient than the estimate. The estimate is scaled to run through it, and its band shrinks everywhere, not only there.

// %%
let there: EstimatedPoint = estimate.at(speed, flow)?;
let inlet = InletState { temperature: kelvin(298.15), pressure: kpa(100.0) };
let measured = MeasuredPoint { inlet, speed: rpm(110_000.0), flow: kg_per_s(0.17),
    ratio: PressureRatio::new(there.ratio.si() * 1.02)?,
    outlet: kelvin(298.15 + 1.03 * there.work.si() / 1011.0) };
let scaled = estimate.clone().with_measured_point(measured)?;
let after = scaled.band_at(speed, flow)?;
assert!((scaled.at(speed, flow)?.ratio.si() / measured.ratio.si() - 1.0).abs() < 1e-6);
assert!(after.ratio.si() < 0.6 * before.ratio.si());
format!("one sigma of the pressure ratio: {:.1} % before, {:.1} % after", before.ratio.percent(), after.ratio.percent())

// %% [markdown]
// A point elsewhere on the map gains too, because the causes are shared: what is wrong with the work at one speed is mostly wrong at all of them.

// %%
let elsewhere = (corrected_rpm(90_000.0), corrected_kg_per_s(0.13));
let [first, second] = [&estimate, &scaled].map(|of| of.band_at(elsewhere.0, elsewhere.1).map(|band| band.ratio.percent()));
let (first, second) = (first?, second?);
assert!(second < first);
format!("at 90 000 rpm: {first:.1} % before, {second:.1} % after")

// %% [markdown]
// ## All the evidence together
//
// A run is one statement among others. Each has an uncertainty of its own, and they are weighed by it: the estimate with the spread of its named factors, a run with the errors of its readings, a printed point, the scaled map of a machine taken as similar, and the figure that a seller names. A seller's "so many pounds a minute" is the weakest: nobody says to which reference, at which speed, or whether it means choke.

// %%
let run = Evidence::run("a run (invented)", &estimate, RunPoint { inlet: measured.inlet, speed: measured.speed,
    flow: measured.flow, flow_sigma: percent(5.0), ratio: measured.ratio, ratio_sigma: percent(1.0),
    outlet: Some((measured.outlet, kelvin_diff(3.0))) })?;
let seller = Evidence::seller_figure("the seller's 40 lb/min (invented)", &estimate, lb_per_min(40.0))?;
seller

// %%
let combined: Combined = estimate.combined(&[run.clone(), seller.clone()])?;
assert_eq!(combined.outliers().count(), 0);
combined

// %% [markdown]
// The shares say how much of what is known now came from where; they sum to one. A piece that lies more than three standard deviations off what all the rest says is named, and counts the less the further off it lies: a misread speed, another unit, a thermometer that the turbine heats.
//
// The result is an estimate like the first one, with less left open: `combined.estimate()` has a map, a band, and can be sized as a candidate.
//
// ## What each measurement is worth
//
// At the point of above and for the choke flow of the highest speed line, one standard deviation. Throat and exit width are taken as measured without error.

// %%
fn worth(known: &[&str]) -> Result<[f64; 2], Box<dyn std::error::Error>> {
    let reference = Reference::new(kelvin(298.15), kpa(100.0))?;
    let (speed, flow) = (corrected_rpm(110_000.0), corrected_kg_per_s(0.17));
    let has = |what: &str| known.contains(&what);
    let mut wheel = WheelGeometry::builder(mm(46.4), mm(61.0));
    if has("throat") { wheel = wheel.throat(mm2(826.0)); }
    if has("exit width") { wheel = wheel.exit_width(mm(4.8)); }
    let estimate = wheel.build()?.estimate(reference)?;
    let there = estimate.at(speed, flow)?;
    let mut evidence = Vec::new();
    if has("run") {
        let inlet = InletState { temperature: kelvin(298.15), pressure: kpa(100.0) };
        evidence.push(Evidence::run("run", &estimate, RunPoint { inlet, speed: rpm(110_000.0), flow: kg_per_s(0.17),
            flow_sigma: percent(5.0), ratio: there.ratio, ratio_sigma: percent(1.0),
            outlet: Some((kelvin(298.15 + there.work.si() / 1011.0), kelvin_diff(3.0))) })?);
    }
    if has("seller") { evidence.push(Evidence::seller_figure("seller", &estimate, lb_per_min(40.0))?); }
    let found = estimate.combined(&evidence)?;
    let line = found.estimate().band()?.into_iter().last().ok_or("no line")?;
    Ok([found.estimate().band_at(speed, flow)?.ratio.percent(), line.choke.percent()])
}
let mut table = String::from("known besides the diameters        pressure ratio   choke flow   (one sigma, %)");
for known in [&["nothing"][..], &["seller"], &["exit width"], &["throat"], &["run"], &["throat", "exit width"], &["throat", "exit width", "run"]] {
    let [ratio, choke] = worth(known)?;
    table += &format!("\n{:<34} {ratio:>8.1} {choke:>14.1}", known.join(", "));
}
assert!(worth(&["run"])?[0] < worth(&["exit width"])?[0] && worth(&["throat"])?[1] < worth(&["seller"])?[1]);
println!("{table}");

// %% [markdown]
// A run settles the pressure ratio, the throat settles the flow: they do not replace each other. The seller's figure is worth a little, and only for the flow.
//
// ## Which reading is right?
//
// The same evidence is weighed into each reading of the doubtful dimension. What it says under either gives their odds. Nothing is averaged; below three to one, measure again.

// %%
let other = WheelGeometry::builder(mm(48.2), mm(61.0)).build()?.estimate(reference)?;
let second: Combined = other.combined(&[run.clone(), Evidence::seller_figure("the seller's 40 lb/min (invented)", &other, lb_per_min(40.0))?])?;
let weights: ReadingWeights = weigh_readings([(mm(46.4), percent(50.0), &combined), (mm(48.2), percent(50.0), &second)]);
assert!((weights.iter().map(|one| one.after.si()).sum::<f64>() - 1.0).abs() < 1e-9);
weights

// %% [markdown]
// ## A machine taken as similar
//
// The invented map of candidate B stands for a unit of the same family, 63 mm with an inducer of 48 mm. "Similar" is an assumption with a band of its own, and it is the largest. Of each speed line three points on its flat part and its greatest flow are weighed beside the run and the figure of the seller: its flows say what the run cannot.

// %%
let scaled_map: ScaledMap = {
    let map = CompressorMap::from_csv("../data/demo/map-b.csv")?;
    SimilarMachine { map: &map, outer: mm(63.0), inducer: Some(mm(48.0)), clearances: None }.scaled_to(mm(61.0), mm(46.4))?
};
assert!(scaled_map.spread().flow().si() > 0.05);
scaled_map

// %%
let together: Combined = estimate.combined(&[run.clone(), seller.clone(), scaled_map.evidence("candidate B, scaled", &estimate)?])?;
assert_eq!(together.outliers().count(), 0);
together

// %% [markdown]
// The same map, taken for that of a machine of 80 mm: a wrong assumption. It is named with its deviation, counts for little, and the rest still gives a map.

// %%
let wrong: Combined = {
    let map = CompressorMap::from_csv("../data/demo/map-b.csv")?;
    let machine = SimilarMachine { map: &map, outer: mm(80.0), inducer: Some(mm(60.0)), clearances: None };
    let claimed = machine.scaled_to(mm(61.0), mm(46.4))?.evidence("the same taken for 80 mm", &estimate)?;
    estimate.combined(&[run.clone(), seller.clone(), claimed])?
};
assert_eq!(wrong.outliers().map(|piece| piece.name.clone()).collect::<Vec<_>>(), ["the same taken for 80 mm"]);
assert!(wrong.pieces()[2].deviation.abs() > 6.0 && wrong.pieces()[2].weight.si() < 0.2);
wrong

// %% [markdown]
// ## What to take along
//
// - Diameters alone give choke flow within about 16 %, and pressure ratio within 4 % at low speed and 11 % at high speed (one sigma). That is enough to reject a unit, not to trust one.
// - Count blades, measure exit width and backsweep: it costs nothing and takes a third of the band away. Then log one point.
// - The estimate is not validated below 400 mm, nor with a volute; its band for small wheels is a judgement. Clearance costs a small wheel more in this model than in one published measurement.
// - A wheel that turns faster than its material stands bursts. The highest speed line is a cautious tip speed from memory, not a release for use.
