//! The solver of the balance and the integrator fed with a published mean-value model of another engine.

#[path = "support/reference.rs"]
mod reference;

use reference::{close_relative, table};
use shaftwork::formula::Scalar;
use shaftwork::shaft::{Moment, Motion, System, follow, newton};

// Eriksson and Nielsen 2014, companion parameter files; SI units.
const CP: f64 = 1005.2;
const CP_E: f64 = 1256.67;
const R: f64 = 287.2;
const R_E: f64 = 290.0;
const HEAD: f64 = 0.4 / 1.4;
const HEAD_E: f64 = 0.3 / 1.3;
const AMBIENT: [f64; 2] = [101.3e3, 293.0];
const DISPLACEMENT: f64 = 1.953e-3;
const COMPRESSION: f64 = 10.8;
const RESISTANCE: [f64; 3] = [1.59598e8, 3.4678e8, 2.1027e8];
const FRICTION: f64 = 9.7187e-7;
const INERTIA: f64 = 2.55e-5;
const VOLUMES: [f64; 2] = [7e-3, 2e-3];

/// The model at one engine speed.
struct Model {
    rpm: f64,
    inertia: f64,
}

/// What it comes to at some unknowns.
struct State<S> {
    air: S,
    omega: S,
    exhaust: S,
    outlet: S,
    manifold: S,
    cooled: S,
    compressor_flow: S,
    engine_flow: S,
    exhaust_temperature: S,
    turbine_flow: S,
    efficiency: S,
    turbine_efficiency: S,
    speed_ratio: S,
    powers: [S; 2],
    /// What is left of the pressure after the turbine.
    behind: S,
}

impl Model {
    /// Air flow, shaft speed over 1e4 rad/s, pressure ratio, pressures before and behind the turbine over 1 bar.
    fn state<S: Scalar>(&self, [air, omega, ratio, exhaust, behind]: [S; 5]) -> State<S> {
        let [p0, t0] = AMBIENT;
        let (omega, exhaust, p4) = (omega * 1e4, exhaust * 1e5, behind * 1e5);
        let p1 = -(air * air * (RESISTANCE[0] * t0 / p0)) + p0;
        let x1 = air * (S::lit(p0) / p1) - 0.134_73;
        let x2 = (ratio - 1.0).sqrt() + 1.0 - 2.099_97;
        let efficiency = -(x1 * x1 * 35.0283 - x1 * x2 * (2.0 * 3.310_11) + x2 * x2 * 0.730_446) + 0.736_335;
        let head = ratio.powf(S::lit(HEAD)) - 1.0;
        let outlet = (head / efficiency + 1.0) * t0;
        let tip = omega * (0.0394 / 2.0);
        let psi = head * (2.0 * CP * t0) / (tip * tip);
        let phi = ((-(psi * psi * 0.319_72) + 1.0) / 18.1518).sqrt();
        let passed = p1 * tip * phi * (core::f64::consts::PI * 0.0394 * 0.0394 / 2.0 / (R * t0));
        let p2 = p1 * ratio;
        let manifold = p2 - air * air * outlet * RESISTANCE[1] / p2;
        let effectiveness = (outlet + t0) * (0.004_650_03 / 2.0) - air * 2.999_72 - 0.564_164;
        let cooled = outlet - effectiveness * (outlet - t0);
        let kpa = manifold / 1e3;
        let breathes = (((kpa * 1.7338e-9 - 8.3904e-7) * kpa + 1.3625e-4) * kpa - 7.4009e-3) * kpa + 0.935_81;
        let against = (-(exhaust / manifold).powf(S::lit(1.0 / 1.3)) + COMPRESSION) / (COMPRESSION - 1.0);
        let engine_flow = breathes * against * manifold / (cooled * R) * (DISPLACEMENT * self.rpm / 120.0);
        let burned = engine_flow * (1.0 + 1.0 / 14.0);
        let exhaust_temperature = burned * 843.36 + 1146.83;
        let pi = p4 / exhaust;
        let fall = -pi.powf(S::lit(HEAD_E)) + 1.0;
        let spouting = (exhaust_temperature * fall * (2.0 * CP_E)).sqrt();
        let speed_ratio = omega * (0.0383 / 2.0) / spouting;
        let off = speed_ratio / 0.412_74 - 1.0;
        let turbine_efficiency = (-(off * off) + 1.0) * 0.637_445;
        let drop = turbine_efficiency * exhaust_temperature * fall;
        let turbine_flow =
            exhaust / 1e3 / exhaust_temperature.sqrt() * (-pi.powf(S::lit(1.931_71)) + 1.0).sqrt() * 0.0292;
        let t4 = exhaust_temperature - drop;
        let left = p4 - turbine_flow * turbine_flow * t4 * RESISTANCE[2] / p4 - p0;
        State {
            air,
            omega,
            exhaust,
            outlet,
            manifold,
            cooled,
            compressor_flow: passed,
            engine_flow,
            exhaust_temperature,
            turbine_flow,
            efficiency,
            turbine_efficiency,
            speed_ratio,
            powers: [air * (outlet - t0) * CP, turbine_flow * drop * CP_E],
            behind: left / 1e5,
        }
    }
}

const BOUNDS: [[f64; 2]; 5] = [[1e-3, 0.2], [0.1, 2.5], [1.0001, 3.0], [1.0131, 4.0], [1.013, 2.0]];

impl System<5> for Model {
    fn gaps<S: Scalar>(&self, unknowns: [S; 5]) -> [S; 5] {
        let s = self.state(unknowns);
        let [compressor, turbine] = s.powers;
        [
            s.compressor_flow / s.air - 1.0,
            s.engine_flow / s.air - 1.0,
            s.turbine_flow / (s.engine_flow * (1.0 + 1.0 / 14.0)) - 1.0,
            (turbine - compressor - s.omega * s.omega * FRICTION) / 1e3,
            s.behind,
        ]
    }
    fn bounds(&self) -> [[f64; 2]; 5] {
        BOUNDS
    }
}

impl Motion<5> for Model {
    fn read<S: Scalar>(&self, _time: f64, unknowns: [S; 5]) -> ([S; 5], [S; 5]) {
        let s = self.state(unknowns);
        let [compressor, turbine] = s.powers;
        let torque = (turbine - compressor) / s.omega - s.omega * FRICTION;
        let filling = s.cooled * (R / VOLUMES[0]) * (s.air - s.engine_flow);
        let exhaust = s.engine_flow * (1.0 + 1.0 / 14.0) - s.turbine_flow;
        let nothing = S::lit(0.0);
        let emptying = s.exhaust_temperature * (R_E / VOLUMES[1]) * exhaust;
        (
            [nothing, unknowns[1], s.manifold / 1e5, unknowns[3], nothing],
            [
                s.compressor_flow / s.air - 1.0,
                torque / (self.inertia * 1e4),
                filling / 1e5,
                emptying / 1e5,
                s.behind,
            ],
        )
    }
    fn stores(&self) -> [bool; 5] {
        [false, true, true, true, false]
    }
    fn bounds(&self) -> [[f64; 2]; 5] {
        BOUNDS
    }
}

// mean-value-steady.csv: the same relations solved by SciPy 1.17.1.
#[test]
fn the_solved_line_of_a_published_model() {
    let mut start = [0.0274, 0.404, 1.0587, 1.0911, 1.015];
    let rows = table("mean-value-steady.csv");
    assert_eq!(rows.len(), 4);
    for row in rows {
        let model = Model { rpm: row.number("rpm"), inertia: INERTIA };
        let found = newton(&model, start).unwrap();
        start = found.unknowns;
        let s = model.state(start);
        for (ours, name) in [
            (s.omega * 30.0 / core::f64::consts::PI, "shaft_rpm"),
            (s.air, "air"),
            (start[2], "ratio"),
            (s.outlet, "outlet"),
            (s.manifold, "manifold"),
            (s.cooled, "cooled"),
            (s.exhaust, "exhaust"),
            (s.exhaust_temperature, "exhaust_temperature"),
            (s.speed_ratio, "blade_speed_ratio"),
            (s.efficiency, "efficiency"),
            (s.turbine_efficiency, "turbine_efficiency"),
            (s.powers[0], "compressor_power"),
            (s.powers[1], "turbine_power"),
        ] {
            close_relative(ours, row.number(name), 1e-6);
        }
    }
}

// mean-value-step.csv: solve_ivp of SciPy 1.17.1, Radau, relative tolerance 1e-9.
#[test]
fn the_step_of_a_published_model_against_another_integrator() {
    let rows = table("mean-value-step.csv");
    let mut worst: f64 = 0.0;
    for factor in [1.0, 2.0] {
        let inertia = factor * INERTIA;
        let model = Model { rpm: 2500.0, inertia };
        // Unknowns that hold 40 000 rev/min, 104 kPa and 106 kPa: a guess, brought to them by a short solve.
        let start = held(&model, [40e3 * core::f64::consts::PI / 3e5, 1.04, 1.06]);
        let mut last = Moment { time: 0.0, unknowns: start };
        for row in rows.iter().filter(|row| (row.number("inertia") / inertia - 1.0).abs() < 1e-9) {
            let moments = follow(&model, last, row.number("time"), 1e-7, |_| -1.0).unwrap();
            last = *moments.last().unwrap();
            let s = model.state(last.unknowns);
            for (ours, name) in [(s.omega, "omega"), (s.manifold, "manifold"), (s.exhaust, "exhaust")] {
                worst = worst.max((ours / row.number(name) - 1.0).abs());
                close_relative(ours, row.number(name), 1e-3);
            }
        }
    }
    println!("largest difference from SciPy {worst:.1e}");
}

/// The relations that hold at once, with the stored amounts given.
struct Held<'a>(&'a Model, [f64; 3]);

impl System<5> for Held<'_> {
    fn gaps<S: Scalar>(&self, unknowns: [S; 5]) -> [S; 5] {
        let (stored, rates) = self.0.read(0.0, unknowns);
        let [omega, manifold, exhaust] = self.1;
        [rates[0], stored[1] - omega, stored[2] - manifold, stored[3] - exhaust, rates[4]]
    }
    fn bounds(&self) -> [[f64; 2]; 5] {
        BOUNDS
    }
}

fn held(model: &Model, stored: [f64; 3]) -> [f64; 5] {
    newton(&Held(model, stored), [0.04, stored[0], 1.06, stored[2], 1.015]).unwrap().unknowns
}
