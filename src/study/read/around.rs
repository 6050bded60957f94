//! What lies around the engine: intake, cooler, injectors, and the user's own limits.

use super::Reader;
use crate::charge::{ChargeCooler, Loss, RESTRICTOR_DISCHARGE, Restrictor};
use crate::formula::FormulaError;
use crate::fuel::Component;
use crate::quantity::*;
use crate::shaft::*;
use crate::study::Grade;
use crate::study::document::Table;
use crate::supply::{DEFAULT_DUTY_LIMIT, Injectors};

impl<'d, 'a> Reader<'d, 'a> {
    pub(super) fn loss(
        &self,
        table: &Table<'d, 'a>,
        loss: &'static str,
        flow: &'static str,
        example: &str,
    ) -> Option<Loss> {
        let found = table.required::<PressureDifference>(loss, example);
        let at = table.required::<MassFlow>(flow, "0.25 kg/s");
        let (found, at) = (found?, at?);
        self.fit(table, loss, found.line, Loss::new(found.value, at.value))
    }

    pub(super) fn intake(&self, table: Table<'d, 'a>) -> Option<Intake> {
        let loss = self.loss(&table, "loss", "at_flow", "3 kPa");
        let heating = table.optional::<TemperatureDifference>("heating");
        self.default(
            &heating,
            "intake.heating",
            "heating of the air before the compressor",
            DEFAULT_INTAKE_HEATING,
            "0 to 15 K",
            Grade::Assumed,
        );
        if let Some(found) = heating.as_ref().filter(|f| !(0.0..=60.0).contains(&f.value.si())) {
            table.problem(found.line, "heating", "is a rise of 0 to 60 K above the ambient air");
        }
        table.close();
        Some(Intake { loss: loss?, heating: heating.map_or(DEFAULT_INTAKE_HEATING, |f| f.value) })
    }

    pub(super) fn cooler(&self, table: Table<'d, 'a>) -> Option<ChargeCooler> {
        let effectiveness = table.required::<Effectiveness>("effectiveness", "0.75");
        let loss = self.loss(&table, "loss", "at_flow", "8 kPa");
        table.close();
        Some(ChargeCooler::new(effectiveness?.value, loss?))
    }

    /// Limits that the user sets.
    pub(super) fn limits(&self, table: Table<'d, 'a>) -> Option<UserLimits> {
        let mean = table.optional::<PressureDifference>("mean_pressure");
        let exhaust = table.optional::<Fraction>("exhaust_over_manifold");
        let inlet = table.optional::<Temperature>("turbine_inlet");
        let throat = table.optional::<Length>("restrictor");
        let discharge = table.optional::<Fraction>("restrictor_discharge");
        let mut limits = Some(UserLimits::default());
        let mut set = |key: &'static str, made: &dyn Fn(UserLimits) -> Result<UserLimits, FormulaError>| {
            let made = made(limits.unwrap_or_default());
            limits = self.fit(&table, key, table.line_of(key), made).filter(|_| limits.is_some());
        };
        if let Some(found) = mean {
            set("mean_pressure", &|limits| limits.mean_pressure(found.value));
        }
        if let Some(found) = exhaust {
            set("exhaust_over_manifold", &|limits| limits.exhaust_over_manifold(found.value));
        }
        if let Some(found) = inlet {
            set("turbine_inlet", &|limits| limits.turbine_inlet(found.value));
        }
        match (throat, &discharge) {
            (Some(found), _) => {
                self.default(
                    &discharge,
                    "limits.restrictor_discharge",
                    "discharge coefficient of the restrictor",
                    RESTRICTOR_DISCHARGE,
                    "0.85 to 0.99",
                    Grade::FromMemory,
                );
                set("restrictor", &|limits| Ok(limits.restrictor(Restrictor::new(found.value)?)));
                if let Some(factor) = discharge {
                    let made = || Restrictor::new(found.value)?.discharge(factor.value);
                    set("restrictor_discharge", &|limits| Ok(limits.restrictor(made()?)));
                }
            }
            (None, Some(found)) => {
                table.problem(found.line, "restrictor_discharge", "belongs to restrictor; leave it out");
            }
            (None, None) => {}
        }
        table.close();
        limits
    }

    pub(super) fn injectors(&self, table: Table<'d, 'a>) -> Option<Injectors> {
        let count = table.count("count", "4");
        let rated = table.required::<VolumeFlow>("rated_flow", "650 cm3/min");
        let test = table.required::<PressureDifference>("test_pressure", "3 bar");
        let density = table.optional::<Density>("test_fluid_density");
        let pressure = table.required::<PressureDifference>("pressure_over_manifold", "3.5 bar");
        let duty = table.optional::<Fraction>("duty_limit");
        let heptane = Component::n_heptane().density();
        self.default(
            &density,
            "injectors.test_fluid_density",
            "injector test fluid",
            format!("n-heptane, {heptane}"),
            "gasoline would be 8 % denser",
            Grade::CommonPractice,
        );
        self.default(
            &duty,
            "injectors.duty_limit",
            "longest opening of the injectors",
            DEFAULT_DUTY_LIMIT,
            "0.80 to 0.85",
            Grade::FromMemory,
        );
        let keys = [
            ("rated", "rated_flow"),
            ("count", "count"),
            ("test_density", "test_fluid_density"),
            ("test_pressure", "test_pressure"),
            ("pressure", "pressure_over_manifold"),
            ("density", "test_fluid_density"),
        ];
        let fluid = density.map_or(heptane, |f| f.value);
        let made = match (count, rated, test, pressure) {
            (Some(n), Some(q), Some(t), Some(p)) => {
                self.fit_keys(&table, &keys, Injectors::new(n.value, q.value, t.value, fluid, p.value))
            }
            _ => None,
        };
        let made = match (made, &duty) {
            (Some(set), Some(found)) => {
                self.fit(&table, "duty_limit", found.line, set.duty_limit(found.value))
            }
            (made, _) => made,
        };
        table.close();
        made
    }
}
