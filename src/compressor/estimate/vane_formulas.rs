//! The vanes of a diffuser: their throat and angle, and what they lose.

use super::coefficients as k;
use crate::quantity::*;

formulas! { room "compressor" group VANES;
    /// Throat area of a diffuser's vanes by their inlet angle
    ///
    /// A_d = 1.1 x 2 pi r_3 b_3 cos alpha_3
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA CC3: leading edges at 232.3 mm, 16.7 mm high, 77.77 degrees: 5679 mm2; its throats have 5944
    /// let area = shaftwork::compressor::vane_throat_area(mm(232.275), mm(16.7), deg(77.77))?;
    /// assert!((area.mm2() - 5679.3).abs() < 0.5);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn vane_throat_area(
        radius: Length = "r_3" in [0.01, 0.8], "radius of the vanes' leading edges";
        width: Length = "b_3" in [5e-4, 0.1], "height of the vanes";
        angle: Angle = "alpha_3" in [0.5, 1.55], "vane angle there, from radial";
    ) -> Area = "A_d"
    source "[common-practice], 1.0 to 1.3 from memory; 1.15 from the transcribed geometry of [nasa-tm-107541]"
    { radius * width * angle.cos() * (2.0 * core::f64::consts::PI * k::VANE_THROAT) }

    /// Vane angle of a diffuser by its throat area
    ///
    /// alpha_3 = atan(1/x^2 - 1)^0.5 with x = cos alpha_3 = A_d/(1.1 x 2 pi r_3 b_3)
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // NASA CC3 from its throats of 5944 mm2: 77.2 degrees, where 77.77 are stated
    /// let angle = shaftwork::compressor::vane_inlet_angle(mm(232.275), mm(16.7), mm2(5944.0))?;
    /// assert!((angle.deg() - 77.19).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn vane_inlet_angle(
        radius: Length = "r_3" in [0.01, 0.8], "radius of the vanes' leading edges";
        width: Length = "b_3" in [5e-4, 0.1], "height of the vanes";
        throat: Area = "A_d" in [1e-6, 0.3], "throat area of all vanes";
    ) -> Angle = "alpha_3"
    source "[common-practice], the inverse of the throat area by the angle"
    {
        let x = (throat / (radius * width * (2.0 * core::f64::consts::PI * k::VANE_THROAT))).called("x");
        (c(1.0) / (x * x) - 1.0).sqrt().atan()
    }

    /// Throat area of a diffuser that chokes together with its wheel
    ///
    /// A_d = A_th [1 + 0.2 (r_1/r_2)^2 M_U2^2]^3 x^0.5/[1 + 0.88 (x - 1)]^3.5 with x = 1 + 0.3 M_U2^2, the rise of
    /// the total temperature: both
    /// throats pass the same flow at one tip-speed Mach number
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand, Mach 1.2: 500 x 1.28479 x 1.19666/3.08854 = 248.9 mm2
    /// let area = shaftwork::compressor::matched_vane_throat(mm2(500.0), fraction(0.55), Mach::new(1.2)?)?;
    /// assert!((area.mm2() - 248.90).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn matched_vane_throat(
        throat: Area = "A_th" in [1e-6, 0.3], "throat area of the inducer";
        radius_ratio: Fraction = "r_1/r_2" in [0.1, 0.95], "inducer's root-mean-square radius over outer radius";
        mach: Mach = "M_U2" in [0.2, 2.2], "tip-speed Mach number at which both choke";
    ) -> Area = "A_d"
    source "[derived-here] from the choke flows of both throats, work coefficient 0.75, wheel 0.88; the idea is that of [casey-rusch-2014]"
    {
        let [work, efficiency] = k::MATCHED;
        let square = mach * mach;
        let turning = (radius_ratio * radius_ratio * square * 0.2 + 1.0).powi(3);
        let x = (square * (0.4 * work) + 1.0).called("x");
        throat * turning * x.sqrt() / ((x - 1.0) * efficiency + 1.0).powf(S::lit(3.5))
    }

    /// Incidence loss at a diffuser's vanes
    ///
    /// dh = [(c_u3 - c_m3 tan alpha_3) cos alpha_3]^2/2: the part of the velocity that stands across the vane is lost
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: 320 m/s at 75 degrees on vanes at 72: (320 sin 3 deg)^2/2 = 140.2 J/kg
    /// let [radial, swirl] = [320.0 * 75_f64.to_radians().cos(), 320.0 * 75_f64.to_radians().sin()];
    /// let dh = shaftwork::compressor::vane_incidence_loss(m_per_s(radial), m_per_s(swirl), deg(72.0))?;
    /// assert!((dh.si() - 140.24).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn vane_incidence_loss(
        radial: Velocity = "c_m3" in [0.0, 500.0], "radial velocity before the vanes";
        swirl: Velocity = "c_u3" in [0.0, 800.0], "tangential velocity there";
        angle: Angle = "alpha_3" in [0.5, 1.55], "vane angle there, from radial";
    ) -> SpecificEnergy = "dh_i3"
    source "[galvas-tn-d-7487] for blades (second-hand), here for vanes"
    { ((swirl - radial * angle.tan()) * angle.cos()).powi(2) / 2.0 }

    /// Loss of the channel between a diffuser's vanes
    ///
    /// dh = (1 - eps)(1 - 1/AR^2) c_d^2/2: what the pressure recovery lacks of the ideal one
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: 0.2 x 0.84 x 280^2/2 = 6585.6 J/kg
    /// let dh = shaftwork::compressor::vane_channel_loss(m_per_s(280.0), fraction(0.8), fraction(2.5))?;
    /// assert!((dh.si() - 6585.6).abs() < 1e-6);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn vane_channel_loss(
        velocity: Velocity = "c_d" in [1.0, 600.0], "velocity in the throat";
        recovery: Fraction = "eps" in [0.0, 1.0], "part of the ideal recovery that is reached";
        area_ratio: Fraction = "AR" in [1.05, 6.0], "end area over throat area of the channel";
    ) -> SpecificEnergy = "dh_ch3"
    source "[by-definition] of the recovery; its part of the ideal is from memory"
    { (c(1.0) - recovery) * (c(1.0) - c(1.0) / (area_ratio * area_ratio)) * velocity * velocity / 2.0 }
}
