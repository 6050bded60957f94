//! A turbine's figures in one kind of number.

use super::capacity::{Capacity, CapacityParts, HeadParts, TestParts};
use super::efficiency::CurveParts;
use super::map::MapFigure;
use super::*;
use crate::formula::{FormulaError, Giver, Scalar};
use crate::gas::Gas;
use crate::quantity::*;

/// What the turbine sees.
#[derive(Clone, Copy)]
pub(crate) struct TurbineState<S> {
    pub inlet_pressure: S,
    pub inlet_temperature: S,
    pub ratio: S,
    pub shaft_speed: Option<S>,
    pub gamma: S,
    pub gas_constant: S,
}

/// A turbine's figures in one kind of number, handed over by a Giver.
#[derive(Clone, Copy)]
pub(crate) struct TurbineParts<S> {
    area: S,
    peak: S,
    capacity: CapacityParts<S>,
    turning: Option<TurningParts<S>>,
    bearings: Option<S>,
    divided: Option<DividedParts<S>>,
}

/// What a divided housing takes and gives.
#[derive(Clone, Copy)]
struct DividedParts<S> {
    friction: S,
    /// Swing of the inlet pressure, and the share of the pulse's gain that is left, where the manifold keeps them apart.
    pulses: Option<[S; 2]>,
}

/// What makes flow and efficiency follow the shaft speed.
#[derive(Clone, Copy)]
struct TurningParts<S> {
    radius: S,
    /// Not for the square-root form, which knows no speed.
    head: Option<HeadParts<S>>,
    curve: CurveParts<S>,
}

impl Turbine {
    /// The figures, with the efficiency at its best or as stated.
    pub(crate) fn parts<S: Scalar>(
        &self,
        peak_efficiency: S,
        g: &impl Giver<S>,
    ) -> Result<TurbineParts<S>, FormulaError> {
        let (area, radius) = self.record(g)?;
        let (capacity, head) = match self.capacity {
            Capacity::Effective => (CapacityParts::Area(area), Some(true)),
            Capacity::Choked(area) => {
                (CapacityParts::Area(g.give("turbine.choked_area", "", area)), Some(false))
            }
            Capacity::SquareRoot(area, exponent) => {
                let area = g.give("turbine.root_area", "", area);
                (CapacityParts::SquareRoot(area, g.give("turbine.root_exponent", "", exponent)), None)
            }
            Capacity::Map(map) => {
                g.gas(&map, &[]);
                (CapacityParts::Map(map, TestParts::of(&map, g)), None)
            }
        };
        // A map says by itself how flow and efficiency follow the speed.
        let turning = match radius {
            Some(radius) if self.map().is_none() => Some(TurningParts {
                radius,
                head: head.map(|effective| self.head.parts(effective, g)),
                curve: self.curve.parts(g),
            }),
            _ => None,
        };
        let bearings = self.bearings().map(|b| g.give("turbine.bearing_friction", "", b.friction()));
        let divided = self.divided_entry().map(|entry| DividedParts {
            friction: g.give("turbine.division_friction", "", entry.friction()),
            pulses: match entry.manifold() {
                ManifoldKind::CommonLog => None,
                ManifoldKind::KeptApart { swing } => Some([
                    g.give("turbine.pulse_swing", "", swing),
                    g.give("turbine.pulses_kept", "", entry.kept()),
                ]),
            },
        });
        Ok(TurbineParts { area, peak: peak_efficiency, capacity, turning, bearings, divided })
    }
}

impl<S: Scalar> TurbineParts<S> {
    /// A figure of the map at a state and speed.
    fn read(
        (map, test): (&TurbineMap, &TestParts<S>),
        figure: MapFigure,
        at: &TurbineState<S>,
        speed: S,
    ) -> Result<S, FormulaError> {
        let [speed, ratio] = test.place(at, speed)?;
        if S::JUDGED {
            let corrected = CorrectedSpeed::from_si(speed.value())?;
            map.read(corrected, ExpansionRatio::from_si(ratio.value())?)?;
        }
        Ok(S::read(&map.surface(figure), speed, ratio))
    }

    /// What the bearings take, where they count apart.
    pub fn bearing_power(&self, speed: S) -> Result<Option<S>, FormulaError> {
        self.bearings.map(|friction| bearing_power::step(friction, speed)).transpose()
    }

    /// Flow through the wheel.
    pub fn flow(&self, _gas: &Gas, at: &TurbineState<S>) -> Result<S, FormulaError> {
        let TurbineState { inlet_pressure: p, inlet_temperature: t, ratio, gamma, gas_constant: r, .. } = *at;
        match (&self.capacity, &self.turning, at.shaft_speed) {
            (CapacityParts::SquareRoot(area, exponent), ..) => {
                square_root_flow::step(*area, *exponent, p, t, ratio, r)
            }
            (CapacityParts::Map(map, test), _, Some(speed)) => {
                test.flow(Self::read((map, test), MapFigure::Flow, at, speed)?, at)
            }
            (CapacityParts::Area(area), Some(TurningParts { radius, head: Some(head), .. }), Some(speed)) => {
                let area = head.choked_area(*area, gamma)?;
                let mach = blade_mach::step(blade_speed::step(speed, *radius)?, t, gamma, r)?;
                let zero = zero_flow_ratio::step(head.coefficient, mach, gamma)?;
                swallowing_flow::step(choked_flow::step(area, p, t, gamma, r)?, head.exponent, ratio, zero)
            }
            _ => nozzle_flow::step(self.area, p, t, ratio, gamma, r),
        }
    }

    /// What gives the efficiency where the shaft speed is known.
    pub fn efficiency_by(&self) -> &'static str {
        match (&self.capacity, &self.turning) {
            (CapacityParts::Map(..), _) => "turbine::TurbineMap::read",
            (_, Some(turning)) => turning.curve.by(),
            _ => "asked for",
        }
    }

    /// What pulses make of the power at the mean state.
    pub fn pulsed(&self, power: S, at: &TurbineState<S>) -> Result<S, FormulaError> {
        let Some([swing, kept]) = self.divided.and_then(|divided| divided.pulses) else { return Ok(power) };
        let factor = pulse_factor::step(at.ratio, swing, at.gamma)?;
        pulsed_power::step(power, factor, kept)
    }
    /// The power that the mean state must give for one that pulses help with.
    pub fn unpulsed(&self, power: S, ratio: S, gamma: S) -> Result<S, FormulaError> {
        let Some([swing, kept]) = self.divided.and_then(|divided| divided.pulses) else { return Ok(power) };
        let factor = pulse_factor::step(ratio, swing, gamma)?;
        still_power::step(power, factor, kept)
    }

    /// Efficiency, total to static, with what the stated one includes, and with what a division of the housing takes.
    pub fn efficiency(&self, gas: &Gas, at: &TurbineState<S>) -> Result<S, FormulaError> {
        let whole = self.undivided(gas, at)?;
        match self.divided {
            Some(divided) => divided_efficiency::step(whole, divided.friction),
            None => Ok(whole),
        }
    }

    fn undivided(&self, gas: &Gas, at: &TurbineState<S>) -> Result<S, FormulaError> {
        if let (CapacityParts::Map(map, test), Some(speed)) = (&self.capacity, at.shaft_speed) {
            return Self::read((map, test), MapFigure::Efficiency, at, speed);
        }
        let (Some(turning), Some(speed)) = (&self.turning, at.shaft_speed) else {
            return Ok(self.peak);
        };
        let blade = blade_speed::step(speed, turning.radius)?;
        let ideal = ideal_velocity::step(gas, at.inlet_temperature, at.ratio)?;
        turning.curve.at(self.peak, blade_speed_ratio::step(blade, ideal)?)
    }
}

impl TurbineParts<f64> {
    /// The same figures as constants of another kind of number.
    pub fn lift<S: Scalar>(&self) -> TurbineParts<S> {
        let lit = S::lit;
        TurbineParts {
            area: lit(self.area),
            peak: lit(self.peak),
            capacity: match self.capacity {
                CapacityParts::Area(a) => CapacityParts::Area(lit(a)),
                CapacityParts::SquareRoot(a, k) => CapacityParts::SquareRoot(lit(a), lit(k)),
                CapacityParts::Map(map, test) => CapacityParts::Map(map, test.lift()),
            },
            turning: self.turning.map(|turning| TurningParts {
                radius: lit(turning.radius),
                head: turning.head.map(|head| head.lift()),
                curve: turning.curve.lift(),
            }),
            bearings: self.bearings.map(lit),
            divided: self.divided.map(|divided| DividedParts {
                friction: lit(divided.friction),
                pulses: divided.pulses.map(|pulses| pulses.map(lit)),
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::formula::{Context, Entry, Plain, Rec, Surface, What, context, given, read, trail};
    use crate::fuel::Fuel;

    /// Hands recording numbers.
    struct Recording;

    impl Giver<Rec> for Recording {
        fn give<Q: Quantity>(&self, _key: &'static str, _of: &str, value: Q) -> Rec {
            given(0, value.si())
        }
        fn gas(&self, gas: &impl Context, from: &[Rec]) {
            context(gas.label(), from);
        }
        fn read(&self, surface: &impl Surface, x: Rec, y: Rec) -> Rec {
            read(surface, x, y)
        }
    }

    fn state<S: Scalar>(number: impl Fn(f64) -> S) -> TurbineState<S> {
        TurbineState {
            inlet_pressure: number(210e3),
            inlet_temperature: number(1150.0),
            ratio: number(2.05),
            shaft_speed: Some(number(13_000.0)),
            gamma: number(1.31),
            gas_constant: number(292.0),
        }
    }

    /// Flow and efficiency in plain numbers and on record, with what the record went through.
    fn both(turbine: &Turbine) -> (Vec<String>, Vec<Entry>) {
        let gas = Gas::products(&Fuel::gasoline().unwrap(), Lambda::new(0.85).unwrap()).unwrap();
        let parts = turbine.parts(0.7, &Plain).unwrap();
        let at = state(|value| value);
        let plain = [parts.flow(&gas, &at).unwrap(), parts.efficiency(&gas, &at).unwrap()];
        let (recorded, entries) = trail(|| {
            let parts = turbine.parts(given(0, 0.7), &Recording).unwrap();
            let at = state(|value| given(0, value));
            [parts.flow(&gas, &at).unwrap().value(), parts.efficiency(&gas, &at).unwrap().value()]
        });
        assert_eq!(recorded.map(f64::to_bits), plain.map(f64::to_bits));
        let name = |entry: &Entry| match &entry.what {
            What::Step(formula, _) => Some(formula.name.replace("turbine::", "")),
            What::Read(look_up) => Some(look_up.what.to_string()),
            _ => None,
        };
        (entries.iter().filter_map(name).collect(), entries)
    }

    // Every relation on the way is a step, and nothing that a step takes comes from nowhere.
    #[test]
    fn what_is_computed_is_on_record() {
        let housing = Turbine::from_area_over_radius(
            Length::from_si_unchecked(0.0178),
            Length::from_si_unchecked(0.060),
        )
        .unwrap();
        let text = include_str!("../../data/turbine/demo-map.csv");
        let map = TurbineMap::from_csv_text("demo-map.csv", text).unwrap();
        let mapped = Turbine::from_map(map, Fraction::from_si_unchecked(0.03)).unwrap();
        let head = "wheel_radius, wheel_width, wheel_exit, effective_area, choked_area, choked_flow, blade_speed, blade_mach, \
                    zero_flow_ratio, swallowing_flow, blade_speed, ideal_velocity, blade_speed_ratio, efficiency_power";
        let read = "wheel_radius, equivalent_speed, equivalent_expansion, corrected flow, test_gas_factor, flow_from_equivalent, \
                    equivalent_speed, equivalent_expansion, efficiency";
        for (turbine, expected) in [(&housing, head), (&mapped, read)] {
            let (mut steps, entries) = both(turbine);
            steps.sort();
            let mut expected: Vec<&str> = expected.split(", ").collect();
            expected.sort_unstable();
            assert_eq!(steps, expected);
            for entry in entries.iter().filter(|entry| matches!(entry.what, What::Step(..) | What::Read(_))) {
                assert!(entry.from.iter().all(Option::is_some), "{:?}", entry.what);
            }
        }
    }
}
