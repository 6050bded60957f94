//! The site of a study file.

use super::Reader;
use crate::formula::FormulaError;
use crate::quantity::*;
use crate::site::Site;
use crate::study::document::Table;
use crate::study::{Grade, Place};

impl<'d, 'a> Reader<'d, 'a> {
    /// Another place, with the keys of the site and a name.
    pub(super) fn place(&self, table: Table<'d, 'a>) -> Option<Place> {
        let name = table.required_text("name", "top of the climb");
        let site = self.site(table);
        Some(Place { name: name?.value, site: site? })
    }

    pub(super) fn site(&self, table: Table<'d, 'a>) -> Option<Site> {
        let altitude = table.required("altitude", "1150 m");
        let temperature = table.required("air_temperature", "24 degC");
        let barometer = table.optional::<Pressure>("barometer");
        let reduced = table.optional::<SeaLevelPressure>("barometer_at_sea_level");
        let humidity = table.optional::<RelativeHumidity>("relative_humidity");
        let lost = "35 degC and 60 % humidity cost 3.3 % of the oxygen";
        self.default(&humidity, "site.relative_humidity", "humidity", "dry air", lost, Grade::Assumed);
        if let (Some(a), Some(b)) = (&altitude, &barometer) {
            let standard = crate::site::standard_pressure(a.value).ok();
            if let Some(standard) = standard.filter(|standard| (b.value / *standard - 1.0).abs() > 0.06) {
                let message = format!(
                    "{} is far from the {standard} of the standard atmosphere at {:.0} m; a reading reduced to sea \
                     level belongs under barometer_at_sea_level",
                    b.value,
                    a.value.m()
                );
                table.problem(b.line, "barometer", message);
            }
        }
        if let (Some(_), Some(second)) = (&barometer, &reduced) {
            table.problem(
                second.line,
                "barometer_at_sea_level",
                "one barometer reading at a time; leave one out",
            );
        }
        let made =
            altitude.as_ref().and_then(|f| self.fit(&table, "altitude", f.line, Site::at_altitude(f.value)));
        // A stand-in lets the other keys be judged where the altitude is no good.
        let mut site = made.clone().or_else(|| Site::at_altitude(Length::from_si_unchecked(0.0)).ok());
        let mut good = made.is_some();
        let mut set =
            |name: &'static str, line: usize, apply: &dyn Fn(Site) -> Result<Site, FormulaError>| {
                if let Some(old) = site.take() {
                    let new = self.fit(&table, name, line, apply(old.clone()));
                    good &= new.is_some();
                    site = new.or(Some(old));
                }
            };
        if let Some(f) = &temperature {
            set("air_temperature", f.line, &|site| site.air_temperature(f.value));
        }
        if let Some(f) = &barometer {
            set("barometer", f.line, &|site| site.barometer(f.value));
        }
        if let Some(f) = &reduced {
            set("barometer_at_sea_level", f.line, &|site| site.sea_level_barometer(f.value));
        }
        if let Some(f) = &humidity {
            set("relative_humidity", f.line, &|site| site.humidity(f.value));
        }
        table.close();
        temperature.and(site).filter(|_| good)
    }
}
