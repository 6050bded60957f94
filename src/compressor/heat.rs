//! Heat that the turbine sends through the housings into the compressed air.

use super::{CompressorMap, LinePoint, isentropic_efficiency, outlet_temperature, power};
use crate::formula::FormulaError;
use crate::gas::{Gas, heat_capacity, towards};
use crate::quantity::*;
use core::cell::RefCell;

formulas! { room "compressor" group HEAT;
    /// Temperature of the compressed air with the heat of the turbine
    ///
    /// T_2 = T_03 - (T_03 - T_2a) exp(-K/(W cp)): all of it comes after the compression, through one conductance K from
    /// the exhaust before the turbine. What oil and water carry off on the way is not part of K. At low speed the flow
    /// is small and the heat is not.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 340 K, exhaust of 1000 K, 0.3 W/K, 30 g/s of 1008 J/(kg K), by hand: 1000 - 660 exp(-0.0099206) = 346.515 K
    /// let t = shaftwork::compressor::heated_outlet(kelvin(340.0), kelvin(1000.0), watt_per_k(0.3), g_per_s(30.0), j_per_kg_k(1008.0))?;
    /// assert!((t.kelvin() - 346.5152).abs() < 1e-3);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn heated_outlet(
        cold: Temperature = "T_2a" in [250.0, 700.0], "compressor outlet temperature without heat";
        exhaust: Temperature = "T_03" in [250.0, 1500.0], "exhaust temperature before the turbine";
        conductance: ThermalConductance = "K" in [0.0, 5.0], "conductance from the exhaust to the compressed air";
        flow: MassFlow = "W" in [1e-4, 5.0], "air flow";
        heat_capacity: SpecificHeat = "cp" in [900.0, 1700.0], "heat capacity of the air";
    ) -> Temperature = "T_2"
    source "[energy-balance]; that the heat joins after the compression is the simplification of [sirakov-casey-2011]"
    { towards(cold, exhaust, conductance, flow * heat_capacity) }

    /// Temperature of the compressed air without the heat of the turbine
    ///
    /// T_2a = T_03 - (T_03 - T_2) exp(K/(W cp)): [`heated_outlet`](crate::compressor::heated_outlet) turned round, for a map that
    /// was measured with hot gas before the turbine
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // The example of heated_outlet turned round
    /// let t = shaftwork::compressor::unheated_outlet(kelvin(346.515248), kelvin(1000.0), watt_per_k(0.3), g_per_s(30.0), j_per_kg_k(1008.0))?;
    /// assert!((t.kelvin() - 340.0).abs() < 1e-4);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn unheated_outlet(
        outlet: Temperature = "T_2" in [250.0, 700.0], "compressor outlet temperature as measured";
        exhaust: Temperature = "T_03" in [250.0, 1500.0], "temperature before the turbine in the test";
        conductance: ThermalConductance = "K" in [0.0, 5.0], "conductance from the exhaust to the compressed air";
        flow: MassFlow = "W" in [1e-4, 5.0], "air flow";
        heat_capacity: SpecificHeat = "cp" in [900.0, 1700.0], "heat capacity of the air";
    ) -> Temperature = "T_2a"
    source "[energy-balance]; that the heat joins after the compression is the simplification of [sirakov-casey-2011]"
    { towards(outlet, exhaust, -conductance, flow * heat_capacity) }

    /// Heat that the compressed air receives
    ///
    /// Q = W [h(T_2) - h(T_2a)]
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 30 g/s by 10 K at 1007 J/(kg K): 302 W
    /// let q = shaftwork::compressor::housing_heat(&Gas::dry_air(), g_per_s(30.0), kelvin(340.0), kelvin(350.0))?;
    /// assert!((q.watt() - 302.5).abs() < 0.5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn housing_heat [air: &Gas] (
        flow: MassFlow = "W" in [0.0, 20.0], "air flow";
        cold: Temperature = "T_2a" in [200.0, 1000.0], "compressor outlet temperature without heat";
        outlet: Temperature = "T_2" in [200.0, 1000.0], "compressor outlet temperature";
    ) -> Power = "Q"
    source "[energy-balance], with the polynomials of [nasa-tm-4513]"
    { power::of(air, flow, cold, outlet) }
}

/// The efficiency that no compressor exceeds.
const BEST: f64 = 0.9;

impl CompressorMap {
    /// The map without the heat that flowed from the turbine into its air while it was measured with hot gas.
    ///
    /// The outlet temperature behind each point's efficiency, in dry air at the reference, is taken back by
    /// [`unheated_outlet`]; what is left is compression. At low speed a hot test shows the compressor worse than it is.
    ///
    /// ```
    /// use shaftwork::prelude::*;
    /// let map = Study::demo()?.candidates[2].map().clone();
    /// let cold = map.without_heat(watt_per_k(0.1), deg_c(600.0))?;
    /// let first = |map: &CompressorMap| map.points().next().map(|(_, line)| line[0].efficiency.si());
    /// assert!(first(&cold) > first(&map));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// [`FormulaError`]: the conductance (0 to 5 W/K) or the temperature is out of range, or a point is left with an
    /// efficiency above 0.9, which no compressor has: the conductance is too high, or the map was not measured hot.
    pub fn without_heat(
        &self,
        conductance: ThermalConductance,
        tested_at: Temperature,
    ) -> Result<Self, FormulaError> {
        const NAME: &str = "compressor::CompressorMap::without_heat";
        let refused = |why: String| FormulaError::NoResult { formula: NAME, why };
        let air = Gas::dry_air();
        let inlet = self.reference().temperature();
        let first = RefCell::new(None);
        let map = self.altered(
            self.title(),
            format!("{}; heat of a test at {tested_at} taken out by {conductance}", self.provenance()),
            1.0,
            |point| {
                let cold = || {
                    let outlet = outlet_temperature(&air, inlet, point.ratio, point.efficiency)?;
                    let flow = MassFlow::from_si_unchecked(point.flow.si());
                    let heat_capacity = heat_capacity(&air, outlet)?;
                    let cold = unheated_outlet(outlet, tested_at, conductance, flow, heat_capacity)?;
                    let efficiency = isentropic_efficiency(&air, inlet, cold, point.ratio);
                    efficiency.ok().filter(|found| found.si() <= BEST).ok_or_else(|| {
                        let at = format!("{flow} and a pressure ratio of {:.3}", point.ratio.si());
                        refused(format!(
                            "at {at} it leaves an efficiency above {BEST}; the conductance is too high, or the map was \
                             not measured with hot gas"
                        ))
                    })
                };
                match cold() {
                    Ok(efficiency) => LinePoint { efficiency, ..point },
                    Err(error) => {
                        first.borrow_mut().get_or_insert(error);
                        point
                    }
                }
            },
        );
        match first.into_inner() {
            Some(error) => Err(error),
            None => map.map_err(|error| refused(error.to_string())),
        }
    }
}
