//! Swallowing capacity: the flow that an effective area passes.

use crate::quantity::*;

formulas! { room "turbine" group SWALLOWING;
    /// Flow through an effective area
    ///
    /// W = A p_03/sqrt(R T_03) psi, psi = sqrt(2 gamma/(gamma-1) [x^(2/gamma) - x^((gamma+1)/gamma)]), x = 1/PR_t,
    /// held at its greatest value once choked. A radial turbine is not a fixed nozzle: at a fixed ratio its
    /// flow falls by up to 17 % from low to full speed ([nasa-tn-d-5090]).
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // 100 mm2, air of 288.15 K choked from 101.325 kPa: 0.024124 kg/s
    /// let w = shaftwork::turbine::nozzle_flow(mm2(100.0), kpa(101.325), kelvin(288.15), ExpansionRatio::new(3.0)?, HeatCapacityRatio::new(1.4)?, j_per_kg_k(287.05))?;
    /// assert!((w.si() - 0.024124).abs() < 1e-6);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn nozzle_flow(
        area: Area = "A" in [1e-7, 0.1], "effective area";
        pressure: Pressure = "p_03" in [2e4, 2e6], "inlet total pressure";
        temperature: Temperature = "T_03" in [200.0, 1500.0], "inlet total temperature";
        ratio: ExpansionRatio = "PR_t" in [1.0, 20.0], "expansion ratio";
        gamma: HeatCapacityRatio = "gamma" in [1.1, 1.6667], "ratio of specific heats";
        gas_constant: SpecificHeat = "R" in [150.0, 600.0], "specific gas constant";
    ) -> MassFlow = "W"
    source "[derived-here] for isentropic flow of an [ideal-gas]; critical ratio ((gamma+1)/2)^(gamma/(gamma-1))"
    {
        let critical = ((gamma + 1.0) / 2.0).powf(gamma / (gamma - 1.0)).called("PR_crit");
        let used = S::cases(ratio, critical, case("not choked", || ratio), case("choked", || critical)).called("PR");
        let x = (c(1.0) / used).called("x");
        let first = x.powf(c(2.0) / gamma);
        let second = x.powf((gamma + 1.0) / gamma);
        let psi = (gamma * 2.0 / (gamma - 1.0) * (first - second)).sqrt().called("psi");
        area * pressure * psi / (gas_constant * temperature).sqrt()
    }

    /// Flow by the square-root form
    ///
    /// W = A_k p_03/sqrt(R T_03) sqrt(1 - PR_t^-k_2): two figures fitted to a turbine's measured flow. Published with
    /// k_1 = A_k/sqrt(R) in place of the area. It knows no shaft speed.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // companion file: k_1 0.0292 kg/s sqrt(K)/kPa, k_2 1.93171, R 290; 151.19 over 106.92 kPa, 1215.0 K by hand: 0.088468 kg/s
    /// let area = m2(0.0292e-3 * 290.0_f64.sqrt());
    /// let w = shaftwork::turbine::square_root_flow(area, fraction(1.93171), kpa(151.19), kelvin(1215.0), ExpansionRatio::new(151.19 / 106.92)?, j_per_kg_k(290.0))?;
    /// assert!((w.si() - 0.088468).abs() < 1e-6);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn square_root_flow(
        area: Area = "A_k" in [1e-6, 0.1], "area of the square-root form, k_1 sqrt(R)";
        exponent: Fraction = "k_2" in [0.5, 6.0], "exponent of the square-root form";
        pressure: Pressure = "p_03" in [2e4, 2e6], "inlet total pressure";
        temperature: Temperature = "T_03" in [200.0, 1500.0], "inlet total temperature";
        ratio: ExpansionRatio = "PR_t" in [1.0, 20.0], "expansion ratio, total to static";
        gas_constant: SpecificHeat = "R" in [150.0, 600.0], "specific gas constant";
    ) -> MassFlow = "W"
    source "[eriksson-nielsen], companion parameter files"
    {
        let y = c(1.0) - ratio.powf(-exponent);
        // Straight from the origin below y = 0.0025, where the root's slope has no end.
        let share = S::cases(
            y,
            S::lit(NEAR_ZERO),
            case("near zero flow", || y / NEAR_ZERO.sqrt() * (c(1.5) - y / (2.0 * NEAR_ZERO))),
            case("root", || y.sqrt()),
        );
        area * pressure * share.called("f") / (gas_constant * temperature).sqrt()
    }

    /// Blade speed
    ///
    /// U = omega r
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA TN D-5090: 126.2 mm and 29 687 rev/min give 196.166 m/s
    /// let u = shaftwork::turbine::blade_speed(rpm(29_687.0), mm(63.1))?;
    /// assert!((u.si() - 196.166).abs() < 0.002);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn blade_speed(
        speed: ShaftSpeed = "omega" in [0.0, 4e4], "shaft speed";
        radius: Length = "r" in [0.01, 0.1], "radius of the wheel at its inlet";
    ) -> Velocity = "U"
    source "[elementary-geometry]"
    { speed * radius }

    /// Mach number of the blade speed
    ///
    /// M_u = U/sqrt(gamma R T_03)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA TN D-5090 in equivalent air, 288.15 K: 196.166 m/s is 0.57646
    /// let m = shaftwork::turbine::blade_mach(m_per_s(196.166), kelvin(288.15), HeatCapacityRatio::new(1.4)?, j_per_kg_k(287.05))?;
    /// assert!((m.ratio() - 0.57646).abs() < 2e-5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn blade_mach(
        blade: Velocity = "U" in [0.0, 1200.0], "blade speed at the wheel's inlet";
        temperature: Temperature = "T_03" in [200.0, 1500.0], "inlet total temperature";
        gamma: HeatCapacityRatio = "gamma" in [1.1, 1.6667], "ratio of specific heats";
        gas_constant: SpecificHeat = "R" in [150.0, 600.0], "specific gas constant";
    ) -> Mach = "M_u"
    source "[by-definition], with the speed of sound at the inlet's total temperature"
    { blade / (gamma * gas_constant * temperature).sqrt() }

    /// Expansion ratio at which a turning wheel passes nothing
    ///
    /// PR_0 = [1 + k (gamma-1)/2 M_u^2]^(gamma/(gamma-1)): the centrifugal head of the gas that turns with the wheel. k
    /// is 1 for solid-body rotation referred to the rim; the exit's own radius lowers it.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA TN D-5090 at design speed, k 0.8751 by fit: 1.21879 by hand
    /// let z = shaftwork::turbine::zero_flow_ratio(fraction(0.8751), Mach::new(0.57646)?, HeatCapacityRatio::new(1.4)?)?;
    /// assert!((z.ratio() - 1.21879).abs() < 1e-5);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn zero_flow_ratio(
        head: Fraction = "k" in [0.0, 1.2], "share of the solid-body head at the rim";
        mach: Mach = "M_u" in [0.0, 2.0], "Mach number of the blade speed";
        gamma: HeatCapacityRatio = "gamma" in [1.1, 1.6667], "ratio of specific heats";
    ) -> ExpansionRatio = "PR_0"
    source "[derived-here] from the energy of a gas at rest in the turning wheel; k fitted to [nasa-tn-d-5090]"
    { (head * (gamma - 1.0) / 2.0 * mach * mach + 1.0).powf(gamma / (gamma - 1.0)) }

    /// Area that a turbine chokes at, from its effective area
    ///
    /// A_ch = A_e psi(PR_d)/psi_c/sqrt(1 - (PR_d/PR_0d)^-n), PR_0d = [1 + k nu_d^2 (1 - PR_d^-m)]^(1/m),
    /// m = (gamma-1)/gamma: the effective area is by definition that of the nozzle which passes the turbine's flow at the
    /// expansion ratio PR_d and the blade speed ratio nu_d; there both forms of flow agree. PR_0d follows from
    /// M_u^2 (gamma-1)/2 = nu^2 (1 - PR_d^-m), since C_0^2 = 2 cp T_03 (1 - PR_d^-m).
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // gamma 1.4, PR_d 2, nu_d 0.7: PR_0d 1.29662, so 1.16381 times the effective area by hand
    /// let a = shaftwork::turbine::choked_area(mm2(500.0), fraction(0.8751), fraction(3.09328), ExpansionRatio::new(2.0)?, fraction(0.7), HeatCapacityRatio::new(1.4)?)?;
    /// assert!((a.mm2() - 581.903).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn choked_area(
        area: Area = "A_e" in [1e-6, 0.1], "effective area at the design ratios";
        head: Fraction = "k" in [0.0, 1.2], "share of the solid-body head at the rim";
        exponent: Fraction = "n" in [1.5, 6.0], "exponent of the flow's rise";
        design_ratio: ExpansionRatio = "PR_d" in [1.4, 4.0], "expansion ratio at which the effective area is meant";
        design_speed_ratio: Fraction = "nu_d" in [0.3, 0.9], "blade speed ratio at which it is meant";
        gamma: HeatCapacityRatio = "gamma" in [1.1, 1.6667], "ratio of specific heats";
    ) -> Area = "A_ch"
    source "[derived-here] by writing one flow in two forms"
    {
        let m = ((gamma - 1.0) / gamma).called("m");
        let drop = (c(1.0) - design_ratio.powf(-m)).called("q_d");
        let zero = (head * design_speed_ratio * design_speed_ratio * drop + 1.0).powf(c(1.0) / m).called("PR_0d");
        let open = (c(1.0) - (design_ratio / zero).powf(-exponent)).sqrt().called("f_d");
        let critical = ((gamma + 1.0) / 2.0).powf(c(1.0) / m).called("PR_crit");
        // psi^2 = PR^(-2/gamma) (1 - PR^-m), whose last factor is (gamma-1)/(gamma+1) at the critical ratio.
        let share = S::cases(
            design_ratio,
            critical,
            case("not choked", || {
                (design_ratio / critical).powf(c(-2.0) / gamma) * drop * ((gamma + 1.0) / (gamma - 1.0))
            }),
            case("choked", || S::lit(1.0)),
        );
        area * share.called("f_c").sqrt() / open
    }

    /// Flow that a turbine chokes at
    ///
    /// W_ch = A_ch p_03/sqrt(R T_03) psi_c, psi_c = sqrt(gamma) [2/(gamma+1)]^((gamma+1)/(2 (gamma-1)))
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA TN D-5090 in equivalent air: 1146.573 mm2 by hand from the 0.276599 kg/s that its flow tends to
    /// let w = shaftwork::turbine::choked_flow(mm2(1146.573), kpa(101.325), kelvin(288.15), HeatCapacityRatio::new(1.4)?, j_per_kg_k(287.05))?;
    /// assert!((w.si() - 0.276599).abs() < 1e-6);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn choked_flow(
        area: Area = "A_ch" in [1e-6, 0.1], "area that the turbine chokes at";
        pressure: Pressure = "p_03" in [2e4, 2e6], "inlet total pressure";
        temperature: Temperature = "T_03" in [200.0, 1500.0], "inlet total temperature";
        gamma: HeatCapacityRatio = "gamma" in [1.1, 1.6667], "ratio of specific heats";
        gas_constant: SpecificHeat = "R" in [150.0, 600.0], "specific gas constant";
    ) -> MassFlow = "W_ch"
    source "[derived-here] for isentropic flow of an [ideal-gas]"
    {
        let most = (c(2.0) / (gamma + 1.0)).powf((gamma + 1.0) / ((gamma - 1.0) * 2.0));
        let psi = (gamma.sqrt() * most).called("psi_c");
        area * pressure * psi / (gas_constant * temperature).sqrt()
    }

    /// Flow over the whole range, with the wheel's centrifugal head
    ///
    /// W = W_ch sqrt(1 - (PR_t/PR_0)^-n): nothing below the ratio that balances the wheel's head, never more than W_ch. At a
    /// fixed ratio the flow falls as the wheel turns faster. Fitted on 30 to 110 % speed and ratios of 1.44 to 2.01 of one
    /// turbine, with 0.64 % rms; outside it is that form's own continuation. The root's slope has no end at PR_0: below 5 %
    /// of W_ch a cubic with the same value and slope at the joint takes its place, which ends level at zero.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA TN D-5090 at its design point, 1.695 and 100 % speed: 0.2204 kg/s of equivalent air is reported
    /// let w = shaftwork::turbine::swallowing_flow(kg_per_s(0.276599), fraction(3.09328), ExpansionRatio::new(1.695)?, ExpansionRatio::new(1.21879)?)?;
    /// assert!((w.si() / 0.2204 - 1.0).abs() < 0.005);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn swallowing_flow(
        choked: MassFlow = "W_ch" in [0.0, 20.0], "flow that the turbine chokes at";
        exponent: Fraction = "n" in [1.5, 6.0], "exponent of the flow's rise";
        ratio: ExpansionRatio = "PR_t" in [1.0, 20.0], "expansion ratio, total to static";
        zero_flow: ExpansionRatio = "PR_0" in [1.0, 20.0], "expansion ratio of no flow";
    ) -> MassFlow = "W"
    source "[derived-here]; exponent fitted to [nasa-tn-d-5090]"
    {
        let y = (c(1.0) - (ratio / zero_flow).powf(-exponent)).called("y");
        let near = || {
            let t = y / NEAR_ZERO;
            t * t * (c(2.5) - t * 1.5) * NEAR_ZERO.sqrt()
        };
        let root =
            S::cases(y, S::lit(NEAR_ZERO), case("near zero flow", near), case("root", || y.sqrt())).called("g");
        let share =
            S::cases(y, S::lit(0.0), case("below the wheel's head", || S::lit(0.0)), case("above", || root)).called("f");
        choked * share
    }
}

/// Below this share (a flow of 5 % of the choked one) the root is continued by a polynomial.
const NEAR_ZERO: f64 = 0.0025;
