//! A divided housing at work: each entry with its own pressure.

use super::{
    Turbine, TurbineEfficiency, TurbineInlet, admission_asymmetry, expansion_work, partial_admission, power,
};
use crate::formula::FormulaError;
use crate::gas::Gas;
use crate::quantity::*;

/// A turbine with a divided housing at one state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DividedPoint {
    /// Flow through each entry.
    pub flows: [MassFlow; 2],
    /// How unevenly the entries are fed: 0 equal, 1 where one takes nothing.
    pub asymmetry: Fraction,
    /// Efficiency over both, total to static.
    pub efficiency: Efficiency,
    /// Power of both, before bearings that count apart.
    pub power: Power,
}

impl Turbine {
    /// A divided housing with a state before each entry: full admission where both are equal, partial where one has no
    /// drop, unequal between. Each entry passes its share of what the whole turbine would pass at its state; the efficiency
    /// at that state falls with the asymmetry.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let exhaust = Gas::products(&Fuel::gasoline()?, Lambda::new(0.9)?)?;
    /// let housing = Turbine::from_area_over_radius(mm(17.8), mm(60.0))?;
    /// let turbine = housing.with_divided_entry(DividedEntry::equal(ManifoldKind::CommonLog)?);
    /// let peak = TurbineEfficiency::with_bearings(Efficiency::new(0.68)?);
    /// let entry = |kilopascal: f64| TurbineInlet {
    ///     pressure: kpa(kilopascal),
    ///     temperature: kelvin(1150.0),
    ///     ratio: ExpansionRatio::new(kilopascal / 100.0).unwrap(),
    ///     shaft_speed: None,
    /// };
    /// let even = turbine.at_entries(&exhaust, peak, &[entry(180.0), entry(180.0)])?;
    /// let uneven = turbine.at_entries(&exhaust, peak, &[entry(220.0), entry(130.0)])?;
    /// assert!(uneven.efficiency < even.efficiency && even.asymmetry.si() == 0.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`FormulaError`] as [`at`](Self::at), and where the housing is not divided or neither entry passes anything.
    pub fn at_entries(
        &self,
        gas: &Gas,
        peak: TurbineEfficiency,
        entries: &[TurbineInlet; 2],
    ) -> Result<DividedPoint, FormulaError> {
        const NAME: &str = "turbine::Turbine::at_entries";
        let refuse = |why: &str| FormulaError::NoResult { formula: NAME, why: why.into() };
        let divided = self
            .divided_entry()
            .ok_or_else(|| refuse("the housing is not divided; give its entries by with_divided_entry"))?;
        let [first, second] = divided.shares();
        let points = [self.at(gas, peak, &entries[0])?, self.at(gas, peak, &entries[1])?];
        let flows = [points[0].flow * first.si(), points[1].flow * second.si()];
        if flows[0].si() + flows[1].si() <= 0.0 {
            return Err(refuse("neither entry has a pressure that drives gas through the wheel"));
        }
        let areas = [self.area() * first.si(), self.area() * second.si()];
        let asymmetry = admission_asymmetry(flows[0], flows[1], areas[0], areas[1])?;
        let (mut given, mut ideal) = (0.0, 0.0);
        for ((entry, point), flow) in entries.iter().zip(&points).zip(flows) {
            let efficiency = partial_admission(point.efficiency, divided.loss(), asymmetry)?;
            let work = expansion_work(gas, entry.temperature, entry.ratio, efficiency)?;
            given += power(flow, work)?.si();
            ideal += power(flow, work)?.si() / efficiency.si();
        }
        Ok(DividedPoint {
            flows,
            asymmetry,
            efficiency: Efficiency::from_si(given / ideal)?,
            power: Power::from_si(given)?,
        })
    }
}
