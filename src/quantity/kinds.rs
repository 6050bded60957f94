//! The list of quantities with their units.
//!
//! Factors follow from the units' definitions: 1 in = 25.4 mm and 1 lb = 0.45359237 kg
//! (international yard and pound agreement, 1959), standard gravity 9.80665 m/s2, so
//! 1 psi = 0.45359237 kg x 9.80665 m/s2 / (25.4 mm)2; 1 in Hg is a column of mercury at 0 degC,
//! 13 595.1 kg/m3, in standard gravity.

use super::*;

const INCH: f64 = 0.0254;
const FOOT: f64 = 12.0 * INCH;
const POUND: f64 = 0.453_592_37;
const POUND_FORCE: f64 = POUND * 9.806_65;
const PSI: f64 = POUND_FORCE / (INCH * INCH);
const IN_HG: f64 = 13_595.1 * 9.806_65 * INCH;
const IN_H2O: f64 = 1_000.0 * 9.806_65 * INCH;
const HP: f64 = 550.0 * FOOT * POUND_FORCE;
const METRIC_HP: f64 = 75.0 * 9.806_65;
const RPM: f64 = core::f64::consts::PI / 30.0;
const LB_FT: f64 = POUND_FORCE * FOOT;

quantities! {
    /// Absolute pressure.
    Pressure, "an absolute pressure", shown "kPa" also ["psia"], uom pressure::pascal: Pressure, least 0.0 {
        pa = "Pa", 1.0;
        kpa = "kPa", 1e3, aka ["kPa abs", "kPaa"];
        hpa = "hPa", 1e2, aka ["mbar", "hPa abs"];
        bar = "bar", 1e5, aka ["bar abs", "bara"];
        mpa = "MPa", 1e6;
        atm = "atm", 101_325.0;
        psia = "psia", PSI, aka ["psi abs"];
        in_hg = "inHg", IN_HG, aka ["in Hg"];
    }
    /// Pressure above the barometer of the place. It becomes absolute only with one.
    GaugePressure, "a gauge pressure", shown "kPa gauge" also ["psig"], uom pressure::pascal: Pressure {
        pa_gauge = "Pa gauge", 1.0, aka ["Pag"];
        kpa_gauge = "kPa gauge", 1e3, aka ["kPag"];
        bar_gauge = "bar gauge", 1e5, aka ["barg"];
        psig = "psig", PSI, aka ["psi gauge"];
    }
    /// Barometer reading reduced to sea level, as weather services give it. It is not the pressure of the place.
    SeaLevelPressure, "a pressure reduced to sea level", shown "hPa sea level" also ["inHg sea level"], uom pressure::pascal: Pressure, least 0.0 {
        pa_sea_level = "Pa sea level", 1.0;
        hpa_sea_level = "hPa sea level", 1e2, aka ["mbar sea level", "hPa QNH"];
        kpa_sea_level = "kPa sea level", 1e3;
        in_hg_sea_level = "inHg sea level", IN_HG, aka ["in Hg sea level"];
    }
    /// Difference of two pressures: a loss, or the head over an injector.
    PressureDifference, "a pressure difference", shown "kPa" also ["psi"], uom pressure::pascal: Pressure {
        pa_diff = "Pa", 1.0;
        kpa_diff = "kPa", 1e3;
        bar_diff = "bar", 1e5;
        mbar_diff = "mbar", 1e2, aka ["hPa"];
        psi_diff = "psi", PSI;
        in_h2o_diff = "inH2O", IN_H2O, aka ["in H2O"];
    }
    /// Temperature.
    Temperature, "a temperature", shown "degC" also [], uom thermodynamic_temperature::kelvin: ThermodynamicTemperature, least 0.0 {
        kelvin = "K", 1.0;
        deg_c = "degC", 1.0, offset 273.15, aka ["C"];
        deg_f = "degF", 5.0 / 9.0, offset 459.67 * 5.0 / 9.0, aka ["F"];
        deg_r = "degR", 5.0 / 9.0;
    }
    /// Difference of two temperatures.
    TemperatureDifference, "a temperature difference", shown "K" also [], uom temperature_interval::kelvin: TemperatureInterval {
        kelvin_diff = "K", 1.0, aka ["degC", "C"];
        deg_f_diff = "degF", 5.0 / 9.0;
    }
    /// Mass per time.
    MassFlow, "a mass flow", shown "kg/s" also ["lb/min"], uom mass_rate::kilogram_per_second: MassRate {
        kg_per_s = "kg/s", 1.0;
        g_per_s = "g/s", 1e-3;
        kg_per_h = "kg/h", 1.0 / 3600.0;
        lb_per_s = "lb/s", POUND;
        lb_per_min = "lb/min", POUND / 60.0;
        lb_per_h = "lb/h", POUND / 3600.0, aka ["lb/hr", "pph"];
    }
    /// Mass flow brought to a map's reference temperature and pressure.
    CorrectedMassFlow, "a corrected mass flow", shown "kg/s" also ["lb/min"], uom mass_rate::kilogram_per_second: MassRate {
        corrected_kg_per_s = "kg/s", 1.0;
        corrected_g_per_s = "g/s", 1e-3;
        corrected_kg_per_h = "kg/h", 1.0 / 3600.0;
        corrected_lb_per_s = "lb/s", POUND;
        corrected_lb_per_min = "lb/min", POUND / 60.0;
        corrected_lb_per_h = "lb/h", POUND / 3600.0, aka ["lb/hr", "pph"];
    }
    /// Volume per time.
    VolumeFlow, "a volume flow", shown "cm3/min" also [], uom volume_rate::cubic_meter_per_second: VolumeRate {
        m3_per_s = "m3/s", 1.0;
        cc_per_min = "cm3/min", 1e-6 / 60.0, aka ["cc/min", "ml/min"];
        l_per_min = "L/min", 1e-3 / 60.0;
        l_per_h = "L/h", 1e-3 / 3600.0, aka ["l/hr"];
        m3_per_h = "m3/h", 1.0 / 3600.0, aka ["m3/hr"];
        cfm = "ft3/min", FOOT * FOOT * FOOT / 60.0, aka ["cfm"];
    }
    /// Power.
    Power, "a power", shown "kW" also ["hp"], uom power::watt: Power {
        watt = "W", 1.0;
        kw = "kW", 1e3;
        hp = "hp", HP, aka ["bhp", "whp"];
        metric_hp = "PS", METRIC_HP, aka ["cv"];
    }
    /// Torque.
    Torque, "a torque", shown "N m" also ["lbf ft"], uom torque::newton_meter: Torque {
        nm = "N m", 1.0;
        lbf_ft = "lbf ft", LB_FT, aka ["lb ft", "ft lb", "ft lbf", "lb-ft", "ft-lb"];
    }
    /// Speed of rotation.
    ShaftSpeed, "a speed of rotation", shown "rpm" also [], uom angular_velocity::radian_per_second: AngularVelocity {
        rad_per_s = "rad/s", 1.0;
        rpm = "rpm", RPM, aka ["rev/min", "1/min", "r/min"];
        krpm = "krpm", 1e3 * RPM;
    }
    /// Change of a speed of rotation per time.
    AngularAcceleration, "an angular acceleration", shown "rpm/s" also ["rad/s2"], uom angular_acceleration::radian_per_second_squared: AngularAcceleration {
        rad_per_s2 = "rad/s2", 1.0;
        rpm_per_s = "rpm/s", core::f64::consts::PI / 30.0;
    }
    /// Speed of rotation brought to a map's reference temperature.
    CorrectedSpeed, "a corrected speed of rotation", shown "rpm" also [], uom angular_velocity::radian_per_second: AngularVelocity {
        corrected_rad_per_s = "rad/s", 1.0;
        corrected_rpm = "rpm", RPM, aka ["rev/min", "1/min", "r/min"];
        corrected_krpm = "krpm", 1e3 * RPM;
    }
    /// Velocity.
    Velocity, "a velocity", shown "m/s" also [], uom velocity::meter_per_second: Velocity {
        m_per_s = "m/s", 1.0;
        ft_per_s = "ft/s", FOOT;
    }
    /// Length.
    Length, "a length", shown "mm" also ["in"], uom length::meter: Length {
        m = "m", 1.0;
        mm = "mm", 1e-3;
        inch = "in", INCH, aka ["inch", "\""];
        thou = "thou", INCH / 1e3, aka ["mil"];
        ft = "ft", FOOT;
    }
    /// Plane angle.
    Angle, "an angle", shown "deg" also [], uom angle::radian: Angle {
        rad = "rad", 1.0;
        deg = "deg", core::f64::consts::PI / 180.0, aka ["degree", "degrees"];
    }
    /// Area.
    Area, "an area", shown "mm2" also [], uom area::square_meter: Area {
        m2 = "m2", 1.0;
        cm2 = "cm2", 1e-4;
        mm2 = "mm2", 1e-6;
        square_inch = "in2", INCH * INCH, aka ["sq in"];
    }
    /// Volume.
    Volume, "a volume", shown "L" also [], uom volume::cubic_meter: Volume {
        m3 = "m3", 1.0;
        litre = "L", 1e-3, aka ["litre", "liter", "dm3"];
        cc = "cm3", 1e-6, aka ["cc", "ml"];
        cubic_inch = "in3", INCH * INCH * INCH, aka ["cu in", "cid"];
    }
    /// Mass.
    Mass, "a mass", shown "kg" also ["lb"], uom mass::kilogram: Mass {
        kg = "kg", 1.0;
        gram = "g", 1e-3;
        lb = "lb", POUND;
    }
    /// Time.
    Time, "a time", shown "s" also [], uom time::second: Time {
        second = "s", 1.0;
        millisecond = "ms", 1e-3;
        minute = "min", 60.0;
        hour = "h", 3600.0;
    }
    /// Density.
    Density, "a density", shown "kg/m3" also [], uom mass_density::kilogram_per_cubic_meter: MassDensity {
        kg_per_m3 = "kg/m3", 1.0;
        kg_per_l = "kg/L", 1e3, aka ["g/cm3", "g/cc"];
    }
    /// Energy per mass: heating value, work, heat of vaporisation.
    SpecificEnergy, "an energy per mass", shown "kJ/kg" also [], uom available_energy::joule_per_kilogram: AvailableEnergy {
        j_per_kg = "J/kg", 1.0;
        kj_per_kg = "kJ/kg", 1e3;
        mj_per_kg = "MJ/kg", 1e6;
        btu_per_lb = "Btu/lb", 2326.0;
    }
    /// Heat capacity per mass, and gas constants.
    SpecificHeat, "a heat capacity per mass", shown "J/(kg K)" also [], uom specific_heat_capacity::joule_per_kilogram_kelvin: SpecificHeatCapacity {
        j_per_kg_k = "J/(kg K)", 1.0, aka ["J/kg/K"];
        kj_per_kg_k = "kJ/(kg K)", 1e3, aka ["kJ/kg/K"];
    }
    /// Fuel mass per work at the crankshaft.
    SpecificFuelConsumption, "a specific fuel consumption", shown "g/kWh" also ["lb/(hp h)"] {
        kg_per_j = "kg/J", 1.0;
        g_per_kwh = "g/kWh", 1e-3 / 3.6e6, aka ["g/(kW h)"];
        lb_per_hp_h = "lb/(hp h)", POUND / (HP * 3600.0), aka ["lb/hp/h", "lb/hph"];
    }
    /// Dynamic viscosity.
    Viscosity, "a dynamic viscosity", shown "uPa s" also [], uom dynamic_viscosity::pascal_second: DynamicViscosity {
        pa_s = "Pa s", 1.0;
        mpa_s = "mPa s", 1e-3, aka ["cP"];
        upa_s = "uPa s", 1e-6;
    }
    /// Moment of inertia about the axis of rotation.
    Inertia, "a moment of inertia", shown "kg m2" also [], uom moment_of_inertia::kilogram_square_meter: MomentOfInertia {
        kg_m2 = "kg m2", 1.0;
        g_cm2 = "g cm2", 1e-7;
    }
    /// Friction torque over speed of rotation.
    RotationalFriction, "a friction torque over speed", shown "N m s" also [] {
        nms = "N m s", 1.0;
    }
    /// Heat flow per temperature difference: heat transfer coefficient times area.
    ThermalConductance, "a thermal conductance", shown "W/K" also [], uom thermal_conductance::watt_per_kelvin: ThermalConductance {
        watt_per_k = "W/K", 1.0;
    }
    /// Heat flow per area and temperature difference.
    HeatTransferCoefficient, "a heat transfer coefficient", shown "W/(m2 K)" also [], uom heat_transfer::watt_per_square_meter_kelvin: HeatTransfer {
        w_per_m2_k = "W/(m2 K)", 1.0;
    }
    /// Molar mass.
    MolarMass, "a molar mass", shown "g/mol" also [], uom molar_mass::kilogram_per_mole: MolarMass {
        kg_per_mol = "kg/mol", 1.0;
        g_per_mol = "g/mol", 1e-3;
    }
    /// A plain fraction: by volume, by mass, of a rating. It may exceed one where that has a meaning.
    Fraction, "a fraction", shown "" also [], uom ratio::ratio: Ratio {
        fraction = "", 1.0;
        percent = "%", 1e-2;
    }
    /// Ratio of two total pressures over a compressor.
    PressureRatio, "a pressure ratio", shown "" also [], uom ratio::ratio: Ratio, bounds 1e-3 to 100.0 {
        ratio = "", 1.0;
    }
    /// Turbine inlet total pressure over turbine outlet static pressure.
    ExpansionRatio, "an expansion ratio", shown "" also [], uom ratio::ratio: Ratio, bounds 1.0 to 100.0 {
        ratio = "", 1.0;
    }
    /// Ratio of two densities.
    DensityRatio, "a density ratio", shown "" also [], uom ratio::ratio: Ratio, bounds 1e-3 to 100.0 {
        ratio = "", 1.0;
    }
    /// Efficiency of a machine.
    Efficiency, "an efficiency", shown "" also [], uom ratio::ratio: Ratio, bounds 0.01 to 1.0 {
        ratio = "", 1.0;
        percent = "%", 1e-2;
    }
    /// Effectiveness of a heat exchanger.
    Effectiveness, "an effectiveness", shown "" also [], uom ratio::ratio: Ratio, bounds 0.0 to 1.0 {
        ratio = "", 1.0;
        percent = "%", 1e-2;
    }
    /// Ratio of specific heats.
    HeatCapacityRatio, "a ratio of specific heats", shown "" also [], uom ratio::ratio: Ratio, bounds 1.01 to 1.6667 {
        ratio = "", 1.0;
    }
    /// Mass of air per mass of fuel.
    AirFuelRatio, "an air-fuel ratio", shown "" also [], uom ratio::ratio: Ratio, bounds 0.1 to 1000.0 {
        ratio = "", 1.0;
    }
    /// Air supplied over air needed for complete combustion.
    Lambda, "a relative air-fuel ratio (lambda)", shown "" also [], uom ratio::ratio: Ratio, bounds 0.4 to 10.0 {
        ratio = "", 1.0;
    }
    /// Cylinder volume at bottom dead centre over that at top dead centre.
    CompressionRatio, "a compression ratio", shown "" also [], uom ratio::ratio: Ratio, bounds 4.0 to 25.0 {
        ratio = "", 1.0;
    }
    /// Vapour pressure of water over its saturation pressure at the air's own temperature.
    RelativeHumidity, "a relative humidity", shown "%" also [], uom ratio::ratio: Ratio, bounds 0.0 to 1.0 {
        ratio = "", 1.0;
        percent = "%", 1e-2;
    }
    /// Mass of water vapour per mass of dry air.
    HumidityRatio, "a humidity ratio (kg water per kg dry air)", shown "g/kg" also [], uom ratio::ratio: Ratio, bounds 0.0 to 0.3 {
        ratio = "kg/kg", 1.0;
        g_per_kg = "g/kg", 1e-3;
    }
    /// Moles of water vapour per mole of moist air.
    VapourFraction, "a mole fraction of water vapour", shown "%" also [], uom ratio::ratio: Ratio, bounds 0.0 to 0.35 {
        ratio = "", 1.0;
        percent = "%", 1e-2;
    }
    /// Octane number, research or motor as the name says.
    OctaneNumber, "an octane number", shown "" also [], uom ratio::ratio: Ratio, bounds 0.0 to 140.0 {
        ratio = "", 1.0;
    }
    /// Water-gas constant K = (x_CO x_H2O)/(x_CO2 x_H2).
    WaterGasConstant, "a water-gas constant", shown "" also [], uom ratio::ratio: Ratio, bounds 0.05 to 20.0 {
        ratio = "", 1.0;
    }
    /// Mach number.
    Mach, "a Mach number", shown "" also [], uom ratio::ratio: Ratio, bounds 0.0 to 5.0 {
        ratio = "", 1.0;
    }
    /// Atoms of an element in a molecule, or in the mean molecule of a mixture.
    AtomCount, "a number of atoms", shown "" also [], uom ratio::ratio: Ratio, bounds 0.0 to 100.0 {
        atoms = "", 1.0;
    }
    /// A number of like pieces.
    Count, "a number of pieces", shown "" also [], uom ratio::ratio: Ratio, bounds 1.0 to 64.0 {
        pieces = "", 1.0;
    }
    /// Atoms of one element per atom of carbon.
    AtomRatio, "an atom ratio", shown "" also [], uom ratio::ratio: Ratio, bounds 0.0 to 20.0 {
        ratio = "", 1.0;
    }
}
