//! Losses inside the wheel, after Oh, Yoon and Chung (1997) without their recirculation term, and in the volute.

use super::coefficients as k;
use crate::quantity::*;

formulas! { room "compressor" group LOSSES;
    /// Incidence loss
    ///
    /// dh = 0.6 W_ui^2/2 with W_ui = U_1 - c_m1 tan beta_1, the tangential velocity that the blade does not meet
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: 60 m/s of mismatch, 0.6 x 1800 = 1080 J/kg
    /// let dh = shaftwork::compressor::incidence_loss(m_per_s(260.0), m_per_s(200.0), deg(45.0))?;
    /// assert!((dh.si() - 1080.0).abs() < 1e-6);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn incidence_loss(
        blade_speed: Velocity = "U_1" in [0.0, 700.0], "blade speed at the inducer's root-mean-square radius";
        axial: Velocity = "c_m1" in [0.0, 400.0], "axial velocity at the inducer";
        angle: Angle = "beta_1" in [0.0, 1.45], "blade angle there, from axial";
    ) -> SpecificEnergy = "dh_inc"
    source "[oh-yoon-chung], Table 6, f 0.5 to 0.7"
    { (blade_speed - axial * angle.tan()).powi(2) * (k::INCIDENCE / 2.0) }

    /// Diffusion factor of the wheel
    ///
    /// D_f = 1 - W_2/W_1t + k (dh/U_2^2)/{(W_1t/W_2)[(Z/pi)(1 - d_1t/d_2) + 2 d_1t/d_2]}, k 0.75 with full blades, 0.6
    /// with splitters
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand, with splitters: 0.4545 + 0.0925 = 0.5471
    /// let df = shaftwork::compressor::diffusion_factor(m_per_s(330.0), m_per_s(180.0), fraction(0.65),
    ///     fraction(10.2), fraction(0.76), fraction(0.6))?;
    /// assert!((df.si() - 0.5471).abs() < 5e-5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn diffusion_factor(
        entry: Velocity = "W_1t" in [1.0, 900.0], "relative velocity at the inducer tip";
        exit: Velocity = "W_2" in [0.1, 800.0], "relative velocity at the exit";
        work: Fraction = "dh/U_2^2" in [0.0, 1.2], "work coefficient of the blades";
        blades: Fraction = "Z" in [4.0, 60.0], "blades, splitters as fractions";
        diameter_ratio: Fraction = "d_1t/d_2" in [0.1, 0.98], "inducer tip over outer diameter";
        loading: Fraction = "k" in [0.5, 0.8], "0.75 with full blades, 0.6 with splitters";
    ) -> Fraction = "D_f"
    source "[oh-yoon-chung], Table 6; k from [galvas-tn-d-7487], eq. B59 (second-hand)"
    {
        let span = blades / core::f64::consts::PI * (c(1.0) - diameter_ratio) + diameter_ratio * 2.0;
        c(1.0) - exit / entry + loading * work / (entry / exit * span)
    }

    /// Blade loading loss
    ///
    /// dh = 0.05 (D_f U_2)^2
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: 0.05 x (0.7 x 450)^2 = 4961 J/kg
    /// let dh = shaftwork::compressor::loading_loss(fraction(0.7), m_per_s(450.0))?;
    /// assert!((dh.si() - 4961.25).abs() < 1e-6);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn loading_loss(
        diffusion: Fraction = "D_f" in [-2.0, 2.0], "diffusion factor";
        tip_speed: Velocity = "U_2" in [1.0, 800.0], "tip speed";
    ) -> SpecificEnergy = "dh_bl"
    source "[coppage-1956] as in [oh-yoon-chung], Table 6"
    { (diffusion * tip_speed).powi(2) * k::LOADING }

    /// Friction in the wheel
    ///
    /// dh = 2 C_f (L/d_h) W_m^2 with C_f = 0.0412/Re^0.1925, Re = rho W_m d_h/mu
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: Re 1e5, C_f 0.004491: 2183 J/kg
    /// let dh = shaftwork::compressor::friction_loss(m_per_s(180.0), mm(45.0), mm(6.0), kg_per_m3(1.852), upa_s(20.0))?;
    /// assert!((dh.si() - 2183.0).abs() < 1.0);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn friction_loss(
        velocity: Velocity = "W_m" in [1.0, 800.0], "mean velocity in the passage";
        length: Length = "L" in [0.002, 0.5], "length of the blade";
        diameter: Length = "d_h" in [5e-4, 0.2], "mean hydraulic diameter of the passage";
        density: Density = "rho" in [0.05, 20.0], "mean density";
        viscosity: Viscosity = "mu" in [1e-5, 5e-5], "viscosity";
    ) -> SpecificEnergy = "dh_sf"
    source "[jansen-1967] as in [oh-yoon-chung], Table 6; C_f of a smooth pipe"
    {
        let [factor, power] = k::WHEEL_FRICTION;
        let re = (density * velocity * diameter / viscosity).called("Re");
        velocity * velocity * length / diameter * (2.0 * factor) / re.powf(S::lit(power))
    }

    /// Clearance loss
    ///
    /// dh = 0.6 (eps/b_2) c_u2 {4 pi/(b_2 Z) s/(1 + rho_2/rho_1) c_u2 c_m1}^0.5, s = (r_1t^2 - r_1h^2)/(r_2 - r_1t)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: 0.25 mm on 4 mm, radii 23.2, 7 and 30.5 mm (s 67.02 mm): 7023 J/kg
    /// let s = (23.2_f64.powi(2) - 7.0 * 7.0) / (30.5 - 23.2);
    /// let dh = shaftwork::compressor::clearance_loss(mm(0.25), mm(4.0), mm(s), fraction(10.2), fraction(1.7),
    ///     m_per_s(320.0), m_per_s(140.0))?;
    /// assert!((dh.si() - 7022.8).abs() < 0.1);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn clearance_loss(
        clearance: Length = "eps" in [0.0, 0.005], "clearance at the exit";
        width: Length = "b_2" in [5e-4, 0.1], "exit width";
        shape: Length = "s" in [0.001, 5.0], "inducer radii squared, tip less hub, over outer less tip radius";
        blades: Fraction = "Z" in [4.0, 60.0], "blades, splitters as fractions";
        density_ratio: Fraction = "rho_2/rho_1" in [0.5, 10.0], "exit over inlet density";
        swirl: Velocity = "c_u2" in [0.0, 800.0], "tangential velocity at the exit";
        axial: Velocity = "c_m1" in [0.0, 400.0], "axial velocity at the inducer";
    ) -> SpecificEnergy = "dh_cl"
    source "[jansen-1967] as in [oh-yoon-chung], Table 6"
    {
        let under = shape / (density_ratio + 1.0) * swirl * axial * (4.0 * core::f64::consts::PI) / (width * blades);
        clearance / width * swirl * under.sqrt() * k::CLEARANCE
    }

    /// Mixing loss behind the wheel
    ///
    /// dh = [(1 - eps_w - b*)/(1 - eps_w)]^2 c_m2^2/2 with a wake over eps_w = 0.366 of the exit, b* the width of the
    /// diffuser over that of the wheel
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: (0.366/0.634)^2 x 110^2/2 = 2016 J/kg
    /// let dh = shaftwork::compressor::mixing_loss(m_per_s(110.0), fraction(1.0))?;
    /// assert!((dh.si() - 2016.2).abs() < 0.1);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn mixing_loss(
        meridional: Velocity = "c_m2" in [0.0, 500.0], "meridional velocity at the exit";
        width_ratio: Fraction = "b*" in [0.4, 1.5], "diffuser inlet width over exit width of the wheel";
    ) -> SpecificEnergy = "dh_mix"
    source "[johnston-dean] as in [oh-yoon-chung], Table 6; eps_w from an open implementation"
    { (meridional * (c(1.0 - k::WAKE) - width_ratio) / (1.0 - k::WAKE)).powi(2) / 2.0 }

    /// Choking loss of the inducer
    ///
    /// dh = (0.05 X + X^7)/2 W_1^2/2 with X = 11 - 10 W_choke/W, nothing below X = 0
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand, at choke: X = 1: 0.525 x 300^2/2 = 23 625 J/kg; at 0.9 of it none
    /// let at = |share| shaftwork::compressor::choking_loss(fraction(share), m_per_s(300.0));
    /// assert!((at(1.0)?.si() - 23_625.0).abs() < 1e-6 && at(0.9)?.si() == 0.0);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn choking_loss(
        share: Fraction = "W/W_choke" in [0.02, 1.2], "flow over choke flow";
        relative: Velocity = "W_1" in [1.0, 900.0], "relative velocity at the inducer's root-mean-square radius";
    ) -> SpecificEnergy = "dh_ch"
    source "[aungier-1995], from memory"
    {
        let [top, slope, straight] = k::CHOKING;
        let zero = S::lit(0.0);
        let x = (c(top) - c(slope) / share).called("X");
        let coefficient = S::cases(
            x, zero,
            case("far from choke", || zero),
            case("near choke", || (x * straight + x.powi(7)) / 2.0),
        );
        coefficient * relative * relative / 2.0
    }

    /// Loss of high tip-speed Mach numbers
    ///
    /// dh = (0.05 P + 3 P^2) dh_b with P = phi (M_U2 - 0.8) and phi = W/(rho_01 U_2 d_2^2), nothing below M_U2 = 0.8
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: P = 0.1 x 0.6 = 0.06, 0.0138 of 150 kJ/kg: 2070 J/kg
    /// let at = |mach| shaftwork::compressor::mach_loss(fraction(0.1), Mach::new(mach)?, kj_per_kg(150.0));
    /// assert!((at(1.4)?.si() - 2070.0).abs() < 1e-6 && at(0.7)?.si() == 0.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn mach_loss(
        flow: Fraction = "phi" in [0.0, 0.5], "flow coefficient, by the inlet's total density";
        mach: Mach = "M_U2" in [0.0, 3.0], "tip-speed Mach number";
        work: SpecificEnergy = "dh_b" in [0.0, 600000.0], "work of the blades";
    ) -> SpecificEnergy = "dh_M"
    source "[rusch-casey-2013], as a loss of polytropic efficiency; second-hand by an open implementation"
    {
        let [straight, bend] = k::MACH;
        let zero = S::lit(0.0);
        S::cases(
            mach, S::lit(k::MACH_FROM),
            case("no loss", || zero),
            case("high tip speed", || {
                let p = flow * (mach - k::MACH_FROM);
                (p * straight + p * p * bend) * work
            }),
        )
    }

    /// Loss of the volute
    ///
    /// dh = (c_m5^2 + 0.2 c_u5^2)/2: the radial part is lost, of the swirl a share
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: (80^2 + 0.2 x 200^2)/2 = 7200 J/kg
    /// let dh = shaftwork::compressor::volute_loss(m_per_s(80.0), m_per_s(200.0))?;
    /// assert!((dh.si() - 7200.0).abs() < 1e-6);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn volute_loss(
        radial: Velocity = "c_m5" in [0.0, 500.0], "radial velocity at the diffuser's end";
        swirl: Velocity = "c_u5" in [0.0, 800.0], "tangential velocity there";
    ) -> SpecificEnergy = "dh_vol"
    source "[common-practice], from memory; not validated, no published rig here has a volute"
    { (radial * radial + swirl * swirl * k::VOLUTE_SWIRL) / 2.0 }
}
