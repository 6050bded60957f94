//! A balanced state worked out again from its own figures by the plain public formulas, one after the other.

#![allow(dead_code)] // each test file uses its own part

use shaftwork::charge::{cooled_temperature, delivered_pressure, inlet_pressure};
use shaftwork::compressor::{
    self, corrected_mass_flow, heated_outlet, housing_heat, outlet_temperature, shaft_speed_from_corrected,
};
use shaftwork::engine::*;
use shaftwork::gas::{
    WaterGas, burn, gas_constant, heat_capacity, heat_capacity_ratio, humidity_ratio, viscosity,
};
use shaftwork::prelude::*;
use shaftwork::turbine::{self, *};
use std::sync::OnceLock;

/// The demonstration as it is read, not sized.
pub fn study() -> &'static Study {
    static STUDY: OnceLock<Study> = OnceLock::new();
    STUDY.get_or_init(|| Study::demo().unwrap())
}

/// What a balanced state belongs to.
#[derive(Clone, Copy)]
pub struct Case<'a> {
    pub installation: &'a Installation,
    pub candidate: &'a Candidate,
    pub turbine: &'a Turbine,
    pub plan: &'a FuelPlan,
}

impl Case<'_> {
    pub fn line(&self, control: Control, speeds: &[ShaftSpeed]) -> OperatingLine {
        operating_line(self.installation, self.candidate, self.turbine, self.plan, control, speeds).unwrap()
    }
    pub fn one(&self, control: Control, speed: f64) -> Result<BalancedPoint, NotFound> {
        self.line(control, &[rpm(speed)]).points.remove(0).1
    }
    /// Holds the most boost that the plan allows.
    pub fn most_boost(&self) -> Control {
        let barometer = self.installation.site.pressure();
        Control::manifold(pa(barometer.si() + self.plan.most_boost.unwrap().si())).unwrap()
    }
}

/// Every candidate, housing and fuel of the demonstration.
pub fn cases() -> Vec<Case<'static>> {
    let study = study();
    let mut cases = Vec::new();
    for candidate in &study.candidates {
        for housing in candidate.housings() {
            for plan in &study.fuels {
                let (installation, turbine) = (&study.installation, &housing.turbine);
                cases.push(Case { installation, candidate, turbine, plan });
            }
        }
    }
    cases
}

/// Relative gaps of a state, each with its name.
pub fn gaps(case: &Case<'_>, control: &Control, at: &BalancedPoint) -> Vec<(&'static str, f64)> {
    let Installation { engine, site, intake, cooler, exhaust, .. } = case.installation;
    let map = case.candidate.map();
    let (t_ref, p_ref) = (map.reference().temperature(), map.reference().pressure());
    let gas = site.air().unwrap();
    let mut gaps = Vec::new();
    let mut gap = |name, ours: f64, again: f64| gaps.push((name, ours / again - 1.0));

    // Filter, compressor, cooler.
    let inlet = case.installation.inlet_temperature();
    let p1 = inlet_pressure(site.pressure(), intake.loss.at(at.air).unwrap()).unwrap();
    gap("inlet pressure", at.inlet_pressure.si(), p1.si());
    let corrected = corrected_mass_flow(at.air, inlet, p1, t_ref, p_ref).unwrap();
    gap("corrected flow", at.corrected_flow.si(), corrected.si());
    if let Some([flow, ratio, efficiency]) = read(map, at.corrected_speed.si(), at.position.si()) {
        gap("map: flow", corrected.si(), flow);
        gap("map: ratio", at.ratio.si(), ratio);
        gap("map: efficiency", at.efficiency.si(), efficiency);
    }
    let turning = shaft_speed_from_corrected(at.corrected_speed, inlet, t_ref).unwrap();
    gap("shaft speed", at.shaft_speed.si(), turning.si());
    let cold = outlet_temperature(&gas, inlet, at.ratio, at.efficiency).unwrap();
    let warm = |through| {
        let cp = heat_capacity(&gas, cold).unwrap();
        heated_outlet(cold, at.exhaust_temperature, through, at.air, cp).unwrap()
    };
    let outlet = case.candidate.heat_conductance().map_or(cold, warm);
    gap("outlet temperature", at.outlet_temperature.si(), outlet.si());
    let cooled = cooled_temperature(outlet, site.temperature(), cooler.effectiveness()).unwrap();
    gap("manifold temperature", at.manifold_temperature.si(), cooled.si());
    let lost = cooler.loss().at(at.air).unwrap();
    let manifold = delivered_pressure(p1, at.ratio, lost, control.opening()).unwrap();
    gap("manifold pressure", at.manifold_pressure.si(), manifold.si());

    // Engine: the air that it breathes is the air that the compressor delivers.
    let breathing =
        breathing_against(engine.breathing(), engine.compression_ratio(), at.exhaust_pressure, manifold);
    let displacement = engine.displacement().unwrap();
    let breathed = air_flow(&gas, manifold, cooled, breathing.unwrap(), displacement, at.speed).unwrap();
    gap("engine air", at.air.si(), breathed.si());
    let dry = dry_air_flow(at.air, humidity_ratio(site.vapour()).unwrap()).unwrap();
    let burned = fuel_for_air(dry, case.plan.lambda, case.plan.fuel.stoichiometric_ratio().unwrap()).unwrap();
    gap("fuel", at.fuel.si(), burned.si());
    let share = indicated_efficiency(engine.compression_ratio(), engine.work(), case.plan.lambda).unwrap();
    let indicated = power_of_fuel(burned, case.plan.fuel.heating_value(), share).unwrap();
    let imep = mean_effective_pressure(indicated, displacement, at.speed).unwrap();
    let pmep = pumping_pressure(at.exhaust_pressure, manifold).unwrap();
    let piston = mean_piston_speed(engine.stroke(), at.speed).unwrap();
    let bmep = brake_pressure(imep, pmep, piston, engine.bore()).unwrap();
    gap("power", at.power.si(), power_of_pressure(bmep, displacement, at.speed).unwrap().si());

    // Turbine: what flows through it and through the wastegate is the exhaust.
    let products = burn(&case.plan.fuel, case.plan.lambda, &gas, WaterGas::default()).unwrap().gas;
    let all = exhaust_flow(at.air, burned).unwrap();
    let p4 = outlet_pressure(site.pressure(), exhaust.back_pressure.at(all).unwrap()).unwrap();
    gap("pressure after the turbine", at.turbine_outlet.si(), p4.si());
    let p3 = turbine::inlet_pressure(p4, at.expansion).unwrap();
    gap("exhaust pressure", at.exhaust_pressure.si(), p3.si());
    // What the compressed air received, the exhaust has lost before the wheel.
    let received = housing_heat(&gas, at.air, cold, outlet).unwrap();
    gap("heat of the housings", 1e3 + at.housing_heat.map_or(0.0, Power::si), 1e3 + received.si());
    let wheel = exhaust_at_wheel(&products, at.exhaust_temperature, received, all).unwrap();
    let before = (p3, wheel, at.exhaust_temperature);
    let (passed, efficiency) = through(case, &products, before, (at.expansion, at.shaft_speed));
    gap("turbine efficiency", at.turbine_efficiency.si(), efficiency.si());
    gap("exhaust", passed.si() / (1.0 - at.wastegate.si()), all.si());
    gap("heat of the exhaust", at.exhaust_temperature.si(), hot(case, &gas, at).si());
    let work = expansion_work(&products, wheel, at.expansion, efficiency).unwrap();
    let taken = compressor::power(&gas, at.air, inlet, cold).unwrap();
    gap("power of turbine and compressor", turbine::power(passed, work).unwrap().si(), taken.si());
    gap("shaft power", at.shaft_power.si(), taken.si());
    match at.gate {
        Gate::Regulating => gap("target", manifold.si(), control.target().si()),
        Gate::Shut => gap("wastegate shut", 1.0 + at.wastegate.si(), 1.0),
        _ => {}
    }
    gaps
}

/// What the map says, below its lowest line by the fan laws; `None` where a position lies off the lines.
pub fn read(map: &CompressorMap, n: f64, position: f64) -> Option<[f64; 3]> {
    let lowest = map.speeds().next().unwrap().si();
    let s = position.clamp(0.0, 1.0);
    if (s - position).abs() > 1e-9 {
        return None;
    }
    let line = n.clamp(lowest, map.highest_speed().si());
    let [flow, ratio, efficiency] = map.state(line, s);
    let (scale, head) = (n / line, ratio.powf(1.0 / 3.5) - 1.0);
    Some([flow * scale, (1.0 + head * scale * scale).powf(3.5), efficiency])
}

/// The exhaust temperature of a state: as stated, or what work, walls and unburned gas leave of the fuel's heat, the
/// walls' share following from the temperature stated.
pub fn hot(case: &Case<'_>, air: &Gas, at: &BalancedPoint) -> Temperature {
    let Installation { engine, exhaust, .. } = case.installation;
    let Some(seen) = exhaust.seen_at else { return exhaust.temperature };
    let burned = burn(&case.plan.fuel, case.plan.lambda, air, WaterGas::default()).unwrap();
    let (a, q) = (burned.per_fuel.si() - 1.0, case.plan.fuel.heating_value().si());
    let humidity = case.installation.humidity().unwrap();
    let held = |t: Temperature| heat_at_temperature(&burned.gas, t).unwrap().si();
    let brings = |t: Temperature| air_heat(air, t, AirFuelRatio::new(a).unwrap()).unwrap().si();
    let share = indicated_efficiency(engine.compression_ratio(), engine.work(), case.plan.lambda).unwrap();
    let displacement = engine.displacement().unwrap();
    let work = |pumping: PressureDifference, speed: ShaftSpeed, fuel: MassFlow| {
        share.si()
            - pumping.si() * displacement.si() * speed.si() / (4.0 * core::f64::consts::PI * fuel.si() * q)
    };
    let running = Running::new(case.plan.lambda, seen.pumping()).humidity(humidity);
    let known =
        air_demand(engine, &case.plan.fuel, running, Target::crank(seen.power(), seen.speed())).unwrap();
    let left = |heat: f64, brought: f64, work: f64| {
        1.0 - work - burned.unburned_share.si() - (heat * (1.0 + a) - brought) / q
    };
    // The pipe, with the properties of the temperature as stated.
    let properties =
        (viscosity(exhaust.temperature).unwrap(), heat_capacity(&burned.gas, exhaust.temperature).unwrap());
    let pipe = |temperature: f64, fuel: MassFlow, direction: f64| {
        let Some(pipe) = exhaust.pipe else { return temperature };
        let (flow, (viscosity, cp)) = (fuel * (1.0 + a), properties);
        let through =
            pipe_conductance(flow, pipe.bore(), pipe.length(), viscosity, cp, pipe.loses()).unwrap();
        let around = case.installation.site.temperature().si();
        around + (temperature - around) * (-direction * through.si() / (flow.si() * cp.si())).exp()
    };
    let back = if seen.is_before_pipe() { 0.0 } else { -1.0 };
    let stated = held(kelvin(pipe(exhaust.temperature.si(), known.fuel, back)));
    let walls = left(stated, brings(seen.manifold()), work(seen.pumping(), seen.speed(), known.fuel));
    let walls = walls * (known.fuel / at.fuel).powf(0.2);
    let brought = brings(at.manifold_temperature);
    let gap = |t: f64| left(held(kelvin(t)), brought, work(at.pumping, at.speed, at.fuel)) - walls;
    let (mut low, mut high) = (400.0, 2000.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if gap(middle) > 0.0 { low = middle } else { high = middle }
    }
    kelvin(pipe(low, at.fuel, 1.0))
}

/// Flow and efficiency of a turbine known by its housing: inlet pressure, temperature at the wheel and before it.
pub fn through(
    case: &Case<'_>,
    gas: &Gas,
    (pressure, temperature, before): (Pressure, Temperature, Temperature),
    (expansion, shaft_speed): (ExpansionRatio, ShaftSpeed),
) -> (MassFlow, Efficiency) {
    let (turbine, exhaust) = (case.turbine, &case.installation.exhaust);
    let head = turbine.head();
    let (gamma, r) = (heat_capacity_ratio(gas, before).unwrap(), gas_constant(gas).unwrap());
    let blade = blade_speed(shaft_speed, wheel_radius(turbine.wheel().unwrap()).unwrap()).unwrap();
    let mach = blade_mach(blade, temperature, gamma, r).unwrap();
    let zero = zero_flow_ratio(head.coefficient(), mach, gamma).unwrap();
    let area = head.choked_area(turbine.area(), gamma).unwrap();
    let choked = choked_flow(area, pressure, temperature, gamma, r).unwrap();
    let flow = swallowing_flow(choked, head.exponent(), expansion, zero).unwrap();
    let ideal = ideal_velocity(gas, temperature, expansion).unwrap();
    let ratio = blade_speed_ratio(blade, ideal).unwrap();
    (flow, turbine.curve().at(exhaust.efficiency.overall(), ratio).unwrap())
}

/// The flow that a wastegate of an effective area passes at a state.
pub fn through_gate(case: &Case<'_>, area: Area, at: &BalancedPoint) -> MassFlow {
    let air = case.installation.air().unwrap();
    let gas = burn(&case.plan.fuel, case.plan.lambda, &air, WaterGas::default()).unwrap().gas;
    let temperature = at.exhaust_temperature;
    let (gamma, r) = (heat_capacity_ratio(&gas, temperature).unwrap(), gas_constant(&gas).unwrap());
    nozzle_flow(area, at.exhaust_pressure, temperature, at.expansion, gamma, r).unwrap()
}
