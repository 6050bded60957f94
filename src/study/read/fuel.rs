//! The fuels of a study file.

use super::Reader;
use crate::fuel::{Fuel, Gasoline};
use crate::quantity::*;
use crate::shaft::FuelPlan;
use crate::study::Grade;
use crate::study::document::Table;

impl<'d, 'a> Reader<'d, 'a> {
    pub(super) fn fuel(&self, table: Table<'d, 'a>) -> Option<FuelPlan> {
        let name = table.required_text("name", "95 RON E10");
        let ethanol = table.optional::<Fraction>("ethanol");
        let methanol = table.optional::<Fraction>("methanol");
        let density = table.optional::<Density>("gasoline_density");
        let value = table.optional::<SpecificEnergy>("gasoline_heating_value");
        let hydrogen = table.optional::<AtomRatio>("gasoline_hydrogen_to_carbon");
        let lambda = table.required::<Lambda>("lambda", "0.85");
        let boost = table.optional::<GaugePressure>("most_boost");
        let typical = Gasoline::typical();
        self.default(
            &density,
            "fuel.gasoline_density",
            "density of the gasoline at 15 degC",
            typical.component().density(),
            "720 to 780 kg/m3",
            Grade::Published,
        );
        self.default(
            &value,
            "fuel.gasoline_heating_value",
            "heating value of the gasoline",
            format!("{:.1} MJ/kg", typical.component().heating_value().mj_per_kg()),
            "42.0 to 44.0 MJ/kg",
            Grade::Published,
        );
        self.default(
            &hydrogen,
            "fuel.gasoline_hydrogen_to_carbon",
            "hydrogen to carbon ratio of the gasoline",
            significant(Fuel::of(typical.component()).hydrogen_to_carbon().si(), 3),
            "1.75 to 2.0",
            Grade::FromMemory,
        );
        if let (Some(_), Some(second)) = (&ethanol, &methanol) {
            table.problem(second.line, "methanol", "one alcohol at a time; leave out ethanol or methanol");
        }
        let mut plain = true;
        for (name, found) in [("ethanol", &ethanol), ("methanol", &methanol)] {
            if let Some(f) = found.as_ref().filter(|f| f.value.si() > 1.5) {
                let number = significant(f.value.si(), 3);
                let meant = format!(
                    "{number} means {} %; write \"{number} %\" for percent",
                    significant(f.value.percent(), 4)
                );
                table.problem(f.line, name, meant);
                plain = false;
            }
        }
        let mut gasoline = Some(typical).filter(|_| plain);
        let mut set =
            |name: &'static str, line: usize, apply: &dyn Fn(Gasoline) -> Result<Gasoline, QuantityError>| {
                gasoline = gasoline.take().and_then(|gasoline| self.fit(&table, name, line, apply(gasoline)));
            };
        if let Some(f) = &density {
            set("gasoline_density", f.line, &|g| g.density(f.value));
        }
        if let Some(f) = &value {
            set("gasoline_heating_value", f.line, &|g| g.heating_value(f.value));
        }
        if let Some(f) = &hydrogen {
            set("gasoline_hydrogen_to_carbon", f.line, &|g| g.hydrogen_to_carbon(f.value));
        }
        let fuel = gasoline.and_then(|gasoline| match (&ethanol, &methanol) {
            (Some(f), _) => self.fit(&table, "ethanol", f.line, Fuel::ethanol_blend(f.value, &gasoline)),
            (None, Some(f)) => self.fit(&table, "methanol", f.line, Fuel::methanol_blend(f.value, &gasoline)),
            (None, None) => Some(Fuel::of(gasoline.component())),
        });
        if let Some(found) = lambda.as_ref().filter(|f| !(0.7..=1.3).contains(&f.value.si())) {
            table.problem(found.line, "lambda", "is between 0.7 and 1.3 here");
        }
        if let Some(found) = boost.as_ref().filter(|f| !(0.0..=4e5).contains(&f.value.si())) {
            table.problem(found.line, "most_boost", "is between 0 and 400 kPa gauge");
        }
        table.close();
        let fuel = fuel?.named(name?.value);
        Some(FuelPlan { fuel, lambda: lambda?.value, most_boost: boost.map(|f| f.value) })
    }
}
