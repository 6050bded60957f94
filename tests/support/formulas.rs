//! Every formula of the registry, called by name on SI values.

#![allow(dead_code)] // each test file uses its own part

use super::reference::exhaust;
use shaftwork::formula::{Derivation, Formula, FormulaError};
use shaftwork::gas::Gas;
use shaftwork::quantity::Quantity;

type Reading<T> = fn(&Gas, &[f64]) -> Result<T, FormulaError>;

/// One formula with a point in the middle of its ranges, and its readings.
pub struct Case {
    pub formula: &'static Formula,
    pub point: Vec<f64>,
    /// The gas it is worked out with at that point, where it needs one.
    pub gas: Option<Gas>,
    plain: Reading<f64>,
    gradient: Reading<(f64, Vec<f64>)>,
    record: Reading<Derivation>,
}

impl Case {
    /// The number it gives for SI values.
    pub fn plain(&self, values: &[f64]) -> Result<f64, FormulaError> {
        self.plain_with(&self.own_gas(), values)
    }
    /// The same with another gas; a formula that needs none passes over it.
    pub fn plain_with(&self, gas: &Gas, values: &[f64]) -> Result<f64, FormulaError> {
        (self.plain)(gas, values)
    }
    pub fn gradient(&self, values: &[f64]) -> Result<(f64, Vec<f64>), FormulaError> {
        (self.gradient)(&self.own_gas(), values)
    }
    pub fn record(&self, values: &[f64]) -> Result<Derivation, FormulaError> {
        self.record_with(&self.own_gas(), values)
    }
    pub fn record_with(&self, gas: &Gas, values: &[f64]) -> Result<Derivation, FormulaError> {
        (self.record)(gas, values)
    }
    fn own_gas(&self) -> Gas {
        self.gas.clone().unwrap_or_else(air)
    }
}

fn air() -> Gas {
    Gas::dry_air()
}

/// Lists formulas with their points in SI units; a gas stands in brackets where one is needed.
macro_rules! cases {
    (@given $given:ident $own:ident) => { $given };
    (@call $given:ident, $v:ident, $($function:ident)::+, [$($gas:ident)?], $($x:literal)*) => {{
        #[allow(unused_mut, unused_variables)]
        let mut values = $v.iter().copied();
        $($function)::+($(cases!(@given $given $gas),)? $({
            let _: f64 = $x;
            Quantity::from_si_unchecked(values.next().unwrap())
        }),*)
    }};
    ($($room:ident :: $name:ident $([$gas:ident])? ($($x:literal),*);)+) => {
        vec![$(Case {
            formula: &shaftwork::$room::$name::FORMULA,
            point: vec![$($x),*],
            gas: None$(.or(Some($gas())))?,
            plain: |_gas, v| cases!(@call _gas, v, shaftwork::$room::$name, [$($gas)?], $($x)*).map(Quantity::si),
            gradient: |_gas, v| cases!(@call _gas, v, shaftwork::$room::$name::gradient, [$($gas)?], $($x)*)
                .map(|(value, slopes)| (value, slopes.to_vec())),
            record: |_gas, v| cases!(@call _gas, v, shaftwork::$room::$name::record, [$($gas)?], $($x)*),
        }),+]
    };
}

/// All of them.
pub fn cases() -> Vec<Case> {
    cases! {
        gas::heat_capacity[air](640.0);
        gas::heat_capacity_ratio[exhaust](1150.0);
        gas::gas_constant[air]();
        gas::density[air](150e3, 320.0);
        gas::speed_of_sound[air](300.0);
        gas::isentropic_temperature[air](310.0, 2.3);
        gas::rich_carbon_dioxide(1.0022, 1.85, 2.49, 3.5);
        gas::water_gas_constant(1500.0);
        gas::polytropic_temperature[air](310.0, 2.3, 0.8);
        gas::polytropic_efficiency[air](310.0, 415.0, 2.3);
        gas::static_temperature[air](310.0, 120.0);
        gas::total_temperature[air](310.0, 120.0);
        gas::static_temperature_at_mach[exhaust](1150.0, 0.6);
        gas::static_pressure[air](2e5, 310.0, 290.0);
        gas::total_pressure[air](1.6e5, 290.0, 310.0);
        gas::saturation_pressure(303.0);
        gas::vapour_fraction(0.6, 303.0, 95e3);
        gas::humidity_ratio(0.02);
        gas::vapour_fraction_from_ratio(0.0125);
        gas::oxygen_lost(0.02);
        gas::viscosity(420.0);
        gas::ideal_density_error(3e5, 320.0);
        gas::ideal_heat_capacity_error(3e5, 320.0);
        fuel::stoichiometric_air_fuel_ratio(0.7, 0.13, 0.17);
        fuel::blend_density(0.71, 793.0, 745.0);
        fuel::blend_mass_fraction(0.71, 793.0, 745.0);
        fuel::blend_air_fuel_ratio(0.71, 793.0, 745.0, 9.0, 14.57);
        fuel::blend_heating_value(0.71, 793.0, 745.0, 26.8e6, 43e6);
        fuel::blend_volume_fraction(0.72, 793.0, 745.0);
        fuel::density_at_temperature(745.0, 1.05e-3, 303.0);
        fuel::blend_mole_fraction(0.72, 0.046, 0.1);
        fuel::blend_molar_mass(0.72, 0.046, 0.1);
        fuel::blend_octane(0.85, 108.0, 95.0);
        fuel::charge_cooling(7.5e5, 0.4, 0.85, 10.5, 1006.0, 2300.0);
        fuel::volume_for_energy(31e6, 780.0, 43e6, 745.0);
        site::geopotential_altitude(1150.0);
        site::standard_temperature(1150.0);
        site::standard_pressure(1150.0);
        site::station_pressure(101_900.0, 1150.0);
        site::density_altitude(1.05);
        site::correction_j1349(97e3, 303.0);
        site::correction_iso1585(97e3, 303.0);
        engine::swept_volume(0.084, 0.086);
        engine::mean_piston_speed(0.084, 700.0);
        engine::air_flow[air](2e5, 318.15, 0.95, 1.86e-3, 700.0);
        engine::manifold_pressure[air](0.25, 318.15, 0.95, 1.86e-3, 700.0);
        engine::indicated_efficiency(9.2, 0.68, 0.85);
        engine::mean_effective_pressure(245e3, 1.86e-3, 700.0);
        engine::friction_pressure(18.7, 23e5, 0.084);
        engine::crank_power(208e3, 0.85);
        engine::air_for_power(280e3, 0.3, 43e6, 0.85, 14.57);
        engine::fuel_for_air(0.25, 0.85, 14.57);
        engine::moist_air_flow(0.25, 0.012);
        charge::required_pressure_ratio(2.2e5, 8e3, 88.2e3, 4e3);
        charge::loss_at_flow(8e3, 0.2, 0.25);
        charge::cooled_temperature(390.0, 298.0, 0.7);
        charge::cooler_density_ratio(2e5, 8e3, 390.0, 325.0);
        compressor::corrected_mass_flow(0.2, 297.0, 85e3, 288.15, 101_325.0);
        compressor::mass_flow_from_corrected(0.24, 297.0, 85e3, 298.15, 1e5);
        compressor::corrected_speed(12e3, 297.0, 288.15);
        compressor::shaft_speed_from_corrected(12e3, 297.0, 288.15);
        compressor::outlet_temperature[air](300.0, 2.6, 0.74);
        compressor::outlet_temperature_constant_gamma(300.0, 2.6, 0.74, 1.4);
        compressor::isentropic_efficiency[air](300.0, 430.0, 2.6);
        compressor::density_ratio(2.6, 300.0, 430.0);
        compressor::power[air](0.25, 300.0, 430.0);
        compressor::heated_outlet(340.0, 1000.0, 0.3, 0.03, 1008.0);
        compressor::unheated_outlet(347.0, 873.0, 0.3, 0.03, 1008.0);
        compressor::housing_heat[air](0.03, 340.0, 350.0);
        compressor::trim(0.0464, 0.061);
        compressor::corrected_speed_at_tip_speed(420.0, 0.061);
        compressor::similar_flow(0.25, 0.061, 0.055);
        compressor::similar_speed(12_000.0, 0.061, 0.055);
        compressor::trimmed_flow(0.25, 0.76, 0.79, 0.9);
        compressor::efficiency_at_reynolds(0.78, 0.5, 0.084);
        compressor::efficiency_at_clearance(0.78, 0.05, 0.08, 0.34);
        compressor::inducer_area(0.0464, 0.014);
        compressor::tip_speed(0.061, 14e3);
        compressor::tip_speed_for_ratio[air](300.0, 2.6, 0.74, 0.7);
        compressor::inducer_choke_flow(9e-4, 300.0, 88e3, 240.0, 1.4, 287.05);
        turbine::expansion_ratio[exhaust](1173.0, 1.8e5, 0.66);
        turbine::expansion_ratio_constant_gamma(1173.0, 1.8e5, 0.66, 1250.0, 1.31);
        turbine::expansion_work[exhaust](1173.0, 2.4, 0.66);
        turbine::outlet_temperature_constant_gamma(1173.0, 2.4, 0.66, 1.31);
        turbine::effective_area(0.0178, 0.03, 0.01, 8.5e-4, 0.78);
        turbine::nozzle_flow(5e-4, 2e5, 1173.0, 1.7, 1.31, 292.0);
        supply::injector_flow(1.1e-5, 688.0, 3e5, 3.5e5, 780.0);
        supply::injector_duty(0.028, 0.034);
        compressor::surge_margin(0.2, 2.2, 0.25, 2.0);
        compressor::choke_margin(0.3, 0.25);
        compressor::hub_diameter(0.046, 0.3);
        compressor::throat_from_share(1.5e-3, 0.57);
        compressor::mean_inducer_angle(1.0, 0.0464, 0.014);
        compressor::throat_area(1.5e-3, 0.9);
        compressor::slip_factor(0.65, 6.0, 6.0, 0.6);
        compressor::blade_work(430.0, 0.82, 110.0, 0.65);
        compressor::tip_mach[air](430.0, 300.0);
        compressor::disc_friction(430.0, 0.0305, 1.5, 1.9, 2.2e-5, 0.2);
        compressor::blade_pressure(0.2, 0.0305, 290.0, 10.2, 0.024, 0.01, 0.035);
        compressor::leakage(430.0, 2e4, 0.035, 2.5e-4, 10.2, 1.9, 0.2);
        compressor::incidence_loss(250.0, 140.0, 0.9);
        compressor::diffusion_factor(330.0, 180.0, 0.65, 10.2, 0.76, 0.6);
        compressor::loading_loss(0.6, 430.0);
        compressor::friction_loss(190.0, 0.045, 0.006, 1.5, 2e-5);
        compressor::clearance_loss(2.5e-4, 0.004, 0.067, 10.2, 1.6, 290.0, 140.0);
        compressor::mixing_loss(110.0, 0.9);
        compressor::choking_loss(0.97, 280.0);
        compressor::mach_loss(0.11, 1.35, 1.3e5);
        compressor::volute_loss(70.0, 180.0);
        compressor::diffuser_friction(1.6, 310.0, 0.004, 2.2e-5);
        compressor::reverse_flow_angle(0.13, 0.9);
        compressor::vane_throat_area(0.033, 0.0045, 1.3);
        compressor::vane_inlet_angle(0.033, 0.0045, 3e-4);
        compressor::matched_vane_throat(7.2e-4, 0.58, 1.25);
        compressor::vane_incidence_loss(85.0, 290.0, 1.25);
        compressor::vane_channel_loss(250.0, 0.8, 2.5);
        compressor::inducer_blade_speed(0.046, 0.014, 12_500.0);
        compressor::shaft_speed_for_tip_speed(400.0, 0.061);
        engine::displacement(4.0, 4.65e-4);
        engine::torque(245e3, 650.0);
        engine::pumping_pressure(3.2e5, 2.5e5);
        engine::indicated_power(245e3, 2.4e6, 1.5e5, 6e4);
        engine::breathing_against(0.97, 9.2, 2.2e5, 1.9e5);
        engine::brake_pressure(2.6e6, 6e4, 18.0, 0.084);
        engine::power_of_pressure(2.4e6, 1.86e-3, 700.0);
        engine::power_of_fuel(0.02, 38e6, 0.31);
        engine::dry_air_flow(0.25, 0.01);
        engine::specific_consumption(0.02, 245e3);
        engine::exhaust_flow(0.25, 0.028);
        charge::inlet_pressure(88e3, 3e3);
        charge::delivered_pressure(85e3, 2.4, 6e3, 0.9);
        charge::inlet_temperature(297.0, 4.0);
        charge::compression_asked(2.6);
        charge::boost(2.3e5, 88e3);
        turbine::outlet_pressure(88e3, 9e3);
        turbine::inlet_pressure(97e3, 2.5);
        turbine::power(0.2, 1.5e5);
        turbine::work_asked(3e4, 0.25);
        turbine::exhaust_at_wheel[exhaust](1120.0, 300.0, 0.032);
        turbine::wastegate_share(0.2, 0.25);
        turbine::wheel_radius(0.06);
        turbine::wheel_width(0.06, 0.15);
        turbine::wheel_exit(0.03, 0.3);
        turbine::square_root_flow(6e-4, 2.0, 2e5, 1173.0, 1.7, 292.0);
        turbine::blade_speed(12_000.0, 0.03);
        turbine::blade_mach(360.0, 1173.0, 1.31, 292.0);
        turbine::zero_flow_ratio(0.8751, 0.55, 1.31);
        turbine::choked_area(5e-4, 0.8751, 3.09328, 2.0, 0.7, 1.31);
        turbine::choked_flow(5.8e-4, 2e5, 1173.0, 1.31, 292.0);
        turbine::swallowing_flow(0.13, 3.09328, 1.8, 1.2);
        turbine::ideal_velocity[exhaust](1173.0, 2.4);
        turbine::blade_speed_ratio(360.0, 640.0);
        turbine::efficiency_parabola(0.7, 2.75, 0.7, 0.6);
        turbine::efficiency_power(0.7, 1.689, 0.6968, 0.6);
        turbine::wheel_reynolds(0.12, 4.5e-5, 0.03);
        turbine::reynolds_efficiency(0.85, 76_200.0, 60_000.0);
        turbine::clearance_efficiency(0.87, 0.27, 0.01, 0.06);
        turbine::heat_share(900.0, 300.0);
        turbine::journal_friction(0.008, 0.008, 0.006, 1.5e-5, 2.0);
        turbine::rolling_friction(2e-6, 0.35);
        turbine::bearing_power(1e-6, 12_000.0);
        turbine::scaled_inertia(2e-5, 0.05, 0.055);
        turbine::admission_asymmetry(0.06, 0.02, 2.5e-4, 3e-4);
        turbine::partial_admission(0.7, 0.1, 0.5);
        turbine::divided_efficiency(0.7, 0.02);
        turbine::pulsed_power(20e3, 1.1, 0.75);
        turbine::still_power(21e3, 1.12, 0.6);
        turbine::pulse_factor(1.9, 0.35, 1.31);
        turbine::orifice_flow(0.7, 0.025, 2e5, 1173.0, 1.7, 1.31, 292.0);
        turbine::orifice_bore(0.03, 0.7, 2.2e5, 1173.0, 2.2, 1.31, 292.0);
        turbine::recirculated_flow(0.16, 0.02);
        turbine::boosted_pressure(88e3, 1.2e5);
        charge::choked_throat_flow(0.96, 0.034, 88e3, 297.0, 1.4, 287.0);
        engine::air_heat[air](330.0, 14.0);
        engine::exhaust_heat(43e6, 0.26, 0.22, 0.2, 2e5, 12.5);
        engine::exhaust_temperature[exhaust](1.05e6);
        engine::air_per_fuel(0.85, 14.6, 0.01);
        engine::piston_share(0.3, 5e4, 2e-3, 620.0, 0.016, 43e6);
        engine::unburned_share[exhaust](12.4, 43e6);
        engine::heat_at_temperature[exhaust](1150.0);
        engine::wall_share(43e6, 0.3, 0.2, 2e5, 12.5, 1.05e6);
        engine::wall_share_at_flow(0.15, 0.02, 0.004);
        engine::pipe_outlet_temperature(1180.0, 850.0, 8.0, 0.12, 1290.0);
        engine::pipe_inlet_temperature(1150.0, 300.0, 8.0, 0.12, 1290.0);
        engine::exhaust_of_fuel(0.016, 12.5);
        engine::pipe_conductance(0.1, 0.05, 1.0, 4e-5, 1250.0, 70.0);
        engine::ignition_efficiency(0.2);
        engine::retard_share(0.2, 0.05);
        engine::retarded_brake_share(0.26, 0.31, 0.96);
        turbine::test_gas_factor(1.31, 292.0, 1.4, 287.0);
        turbine::equivalent_expansion(2.0, 1.31, 1.4);
        turbine::equivalent_speed(12_000.0, 1173.0, 1.31, 292.0, 288.15, 1.4, 287.0);
        turbine::flow_from_equivalent(0.14, 0.97, 2e5, 1173.0, 101_325.0, 288.15);
        supply::all_injectors(4.0, 8e-3);
        fuel::carbon_fraction(2.0, 6.0, 1.0);
        fuel::hydrogen_fraction(2.0, 6.0, 1.0);
        fuel::oxygen_fraction(2.0, 6.0, 1.0);
        fuel::blend_element(0.6, 0.52, 0.86);
        shaft::torque_margin(390.0, 300.0);
        shaft::mean_pressure_margin(25e5, 20e5);
        shaft::restrictor_margin(0.18, 0.15);
        shaft::temperature_margin(1230.0, 1200.0);
        shaft::exhaust_pressure_margin(1.5, 2.4e5, 2e5);
        shaft::boost_margin(1.15e5, 88e3, 1.6e5);
        shaft::speed_margin(14_000.0, 12_500.0);
        shaft::duty_margin(0.85, 0.7);
        shaft::expansion_margin(3.0, 2.5);
        shaft::inducer_choke_margin(0.3, 0.25);
        shaft::middle_speed(650.0, 750.0);
        shaft::power_to_drive(30e3, 250.0);
        shaft::engine_acceleration(250.0, 0.9, 6.0, 0.3, 650.0, 1.15, 0.03);
    }
}
