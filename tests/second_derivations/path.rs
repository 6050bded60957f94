//! The way from a demand of air to the boost it needs, solved anew as a whole.

use super::engine::{disc, piston};
use super::matter::{AIR, Fluid, MOLAR};
use super::numeric::bisect;
use super::reference::{Worst, plain};
use shaftwork::charge::Loss;
use shaftwork::prelude::*;
use shaftwork::supply::Injectors;
use std::f64::consts::PI;

fn installation(height: f64, effectiveness: f64) -> Installation {
    let none = |loss, at| Loss::new(kpa_diff(loss), kg_per_s(at)).unwrap();
    Installation {
        engine: Engine::four_stroke(4, mm(84.0), mm(84.0), plain(9.2)).unwrap(),
        site: Site::at_altitude(m(height)).unwrap().air_temperature(deg_c(24.0)).unwrap(),
        intake: Intake { loss: none(3.0, 0.25), heating: kelvin_diff(5.0) },
        cooler: ChargeCooler::new(plain(effectiveness), none(8.0, 0.25)),
        exhaust: Exhaust {
            temperature: deg_c(900.0),
            seen_at: None,
            pipe: None,
            back_pressure: none(10.0, 0.25),
            efficiency: TurbineEfficiency::with_bearings(plain(0.66)),
            most_expansion: plain(3.0),
        },
        injectors: Injectors::new(4, cc_per_min(650.0), bar_diff(3.0), kg_per_m3(688.0), bar_diff(3.5))
            .unwrap(),
        limits: UserLimits::default(),
    }
}

// The chain as one equation in the manifold temperature, solved by halving: moles that the fillings need, pressure
// they need, losses by the square of the flow, work of the flow marched, charge cooled by its effectiveness. The
// library iterates the temperature by its own formulas until it stands. Tolerance 0.1 % of the boost and of the
// rise, for the heat capacities of air.
#[test]
fn boost_demand_by_halving_in_the_manifold_temperature() {
    let air = Fluid::air();
    let [mut pressures, mut rises] = [(); 2].map(|()| Worst::new());
    for (height, effectiveness, kilowatts, turns, efficiency) in [
        (1150.0, 0.70, 245.0, 6700.0, 0.72),
        (0.0, 0.75, 160.0, 5000.0, 0.76),
        (2500.0, 0.60, 200.0, 6200.0, 0.68),
        (0.0, 0.0, 180.0, 6500.0, 0.70),
    ] {
        let installation = installation(height, effectiveness);
        let running = Running::new(plain(0.85), kpa_diff(20.0));
        let target = Target::crank(kw(kilowatts), rpm(turns));
        let demand = air_demand(&installation.engine, &Fuel::gasoline().unwrap(), running, target).unwrap();
        let found = boost_demand(&installation, &demand, plain(efficiency)).unwrap();

        let (flow, ambient) = (demand.air.si(), installation.site.pressure().si());
        let (day, inlet) = (297.15, 302.15);
        let square = (flow / 0.25) * (flow / 0.25);
        let (filter, cooler) = (3e3 * square, 8e3 * square);
        let volume = disc(0.084) * (piston(0.084, PI) - piston(0.084, 0.0)) * 0.95;
        let moles = flow / AIR / (4.0 * turns / 120.0);
        let manifold = |t: f64| moles * MOLAR * t / volume;
        let outlet = |t: f64| {
            let pi = (manifold(t) + cooler) / (ambient - filter);
            air.heated(inlet, air.lossless(inlet, pi)[1] / efficiency)
        };
        let cooled = |t: f64| {
            let hot = outlet(t);
            hot - effectiveness * (hot - day)
        };
        let t = bisect(|t| t - cooled(t), [250.0, 600.0]);
        let at = format!("{height} m, {kilowatts} kW");
        rises.see((found.outlet_temperature.si() - outlet(t)) / (outlet(t) - inlet), &at);
        rises.see((found.manifold_temperature.si() - t) / (outlet(t) - inlet), &at);
        let boost = manifold(t) - ambient;
        pressures.see((found.boost.si() - boost) / boost, &at);
        pressures.see((found.manifold_pressure.si() / manifold(t)) - 1.0, &at);
        let density = flow / (4.0 * turns / 120.0) / volume;
        pressures.see(found.manifold_density.si() / density - 1.0, &at);
        let pi = (manifold(t) + cooler) / (ambient - filter);
        pressures.see((found.ratio.si() - pi) / (pi - 1.0), &at);
    }
    pressures.holds("shaft::boost_demand, pressures", 1e-3);
    rises.holds("shaft::boost_demand, share of the rise", 1e-3);
}
