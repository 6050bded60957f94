//! Density with temperature, octane of blends, charge cooling, fuel against fuel.

use crate::quantity::*;

formulas! { room "fuel" group PROPERTIES;
    /// Density at a temperature
    ///
    /// rho = rho_15 [1 - beta (T - 288.15 K)]
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Ethanol at 20 degC: 789.4 kg/m3 (thermo 0.6.1)
    /// let rho = Component::ethanol().density_at(deg_c(20.0))?;
    /// assert!((rho.si() - 789.4).abs() < 0.1);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn density_at_temperature(
        density: Density = "rho_15" in [500.0, 1000.0], "density at 15 degC";
        expansion: Fraction = "beta" in [5e-4, 2e-3], "volume expansion per kelvin";
        temperature: Temperature = "T" in [253.149, 323.151], "temperature of the fuel";
    ) -> Density = "rho"
    source "[by-definition] of linear expansion; slopes from densities at 5 and 25 degC by [thermo-library]"
    { density * (c(1.0) - expansion * (temperature - 288.15)) }

    /// Mole fraction of the first component from its mass fraction
    ///
    /// x = (w/M_a)/(w/M_a + (1 - w)/M_b)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 85 % ethanol by volume is 85.72 % by mass and 92.87 % by mole (gasoline 100 g/mol)
    /// let x = shaftwork::fuel::blend_mole_fraction(percent(85.72), g_per_mol(46.068), g_per_mol(100.0))?;
    /// assert!((x.percent() - 92.87).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn blend_mole_fraction(
        mass: Fraction = "w" in [0.0, 1.0], "mass fraction of the first component";
        first: MolarMass = "M_a" in [0.01, 0.3], "molar mass of the first component";
        second: MolarMass = "M_b" in [0.01, 0.3], "molar mass of the second component";
    ) -> Fraction = "x"
    source "[by-definition] of mole fraction"
    {
        let moles = (mass / first).called_in("n_a", "mol/kg");
        moles / (moles + (c(1.0) - mass) / second)
    }

    /// Molar mass of a blend
    ///
    /// 1/M = w/M_a + (1 - w)/M_b
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let m = shaftwork::fuel::blend_molar_mass(percent(85.72), g_per_mol(46.068), g_per_mol(100.0))?;
    /// assert!((m.g_per_mol() - 49.91).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn blend_molar_mass(
        mass: Fraction = "w" in [0.0, 1.0], "mass fraction of the first component";
        first: MolarMass = "M_a" in [0.01, 0.3], "molar mass of the first component";
        second: MolarMass = "M_b" in [0.01, 0.3], "molar mass of the second component";
    ) -> MolarMass = "M"
    source "[by-definition] of molar mass"
    { c(1.0) / (mass / first + (c(1.0) - mass) / second) }

    /// Octane number of a blend
    ///
    /// ON = x ON_a + (1 - x) ON_b with the mole fraction x: research or motor. The interaction that depends on
    /// the base gasoline is left out; it may be positive or negative, +-1.5 numbers (2 sigma).
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 10 % ethanol by volume (x 0.2035) in 92 RON: 95.3
    /// let ron = shaftwork::fuel::blend_octane(percent(20.35), OctaneNumber::new(108.0)?, OctaneNumber::new(92.0)?)?;
    /// assert!((ron.si() - 95.26).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn blend_octane(
        moles: Fraction = "x" in [0.0, 1.0], "mole fraction of the first component";
        first: OctaneNumber = "ON_a" in [0.0, 130.0], "octane number of the first component";
        second: OctaneNumber = "ON_b" in [0.0, 130.0], "octane number of the second component";
    ) -> OctaneNumber = "ON"
    source "[anderson-2010], linear by mole; interaction term [anderson-wallington-2020], abstract"
    { moles * first + (c(1.0) - moles) * second }

    /// Charge cooling by the fuel that evaporates in the air
    ///
    /// dT = s h_fg/(lambda AFR_st cp_air + cp_fuel), s the share of the heat taken from the air and not from
    /// walls
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // gasoline, lambda 1, all of the heat from the air, 1005 and 2200 J/(kg K): 20.8 K
    /// let dt = shaftwork::fuel::charge_cooling(kj_per_kg(350.0), percent(100.0), Lambda::new(1.0)?, AirFuelRatio::new(14.5736)?, j_per_kg_k(1005.0), j_per_kg_k(2200.0))?;
    /// assert!((dt.si() - 20.8).abs() < 0.05);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn charge_cooling(
        vaporisation: SpecificEnergy = "h_fg" in [1e5, 2e6], "heat of vaporisation";
        share: Fraction = "s" in [0.0, 1.0], "share of that heat taken from the air";
        lambda: Lambda = "lambda" in [0.6, 3.0], "relative air-fuel ratio";
        ratio: AirFuelRatio = "AFR_st" in [1.0, 40.0], "stoichiometric air-fuel ratio";
        air: SpecificHeat = "cp_air" in [900.0, 1200.0], "heat capacity of the air";
        liquid: SpecificHeat = "cp_fuel" in [1000.0, 3000.0], "heat capacity of the fuel, liquid and vapour in the mean";
    ) -> TemperatureDifference = "dT"
    source "[energy-balance] at constant pressure, all fuel evaporated"
    { share * vaporisation / (lambda * ratio * air + liquid) }

    /// Fuel volume against another fuel for the same energy
    ///
    /// V/V_base = (LHV_base rho_base)/(LHV rho)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 85 % ethanol against gasoline: 1.4046
    /// let k = shaftwork::fuel::volume_for_energy(mj_per_kg(29.1386), kg_per_m3(782.74), mj_per_kg(43.0), kg_per_m3(745.0))?;
    /// assert!((k.si() - 1.4046).abs() < 1e-4);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn volume_for_energy(
        value: SpecificEnergy = "LHV" in [1e6, 1.3e8], "heating value";
        density: Density = "rho" in [500.0, 1000.0], "density";
        base_value: SpecificEnergy = "LHV_base" in [1e6, 1.3e8], "heating value of the base fuel";
        base_density: Density = "rho_base" in [500.0, 1000.0], "density of the base fuel";
    ) -> Fraction = "V/V_base"
    source "[by-definition], equal energy"
    { base_value * base_density / (value * density) }
}

/// Share of the heat of vaporisation that cools the air with injection into the port: from memory.
pub const PORT_COOLING: [f64; 2] = [0.20, 0.50];
/// The same with injection into the cylinder: from memory.
pub const DIRECT_COOLING: [f64; 2] = [0.60, 0.90];
/// Two standard deviations of a blend's octane number from the mole rule.
pub const OCTANE_BAND: f64 = 1.5;
