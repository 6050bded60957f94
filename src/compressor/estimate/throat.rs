//! The inducer's blade angle and throat.

use super::coefficients as k;
use crate::quantity::*;

formulas! { room "compressor" group THROAT;
    /// Inducer blade angle at the root-mean-square radius
    ///
    /// tan beta_1 = tan beta_1t sqrt[(d_1t^2 + d_1h^2)/2]/d_1t: the tangent grows with the radius, as on blades of
    /// radial elements
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Eckardt A: 63 degrees at the tip, 280 and 120 mm: 56.5
    /// let angle = shaftwork::compressor::mean_inducer_angle(deg(63.0), mm(280.0), mm(120.0))?;
    /// assert!((angle.deg() - 56.48).abs() < 0.01);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn mean_inducer_angle(
        tip_angle: Angle = "beta_1t" in [0.0, 1.45], "blade angle at the inducer tip, from axial";
        tip: Length = "d_1t" in [0.005, 0.5], "inducer tip diameter";
        hub: Length = "d_1h" in [0.0, 0.4], "inducer hub diameter";
    ) -> Angle = "beta_1"
    source "[elementary-geometry] of radial blade elements; [nasa-hecc] lies 2.6 degrees below it, [eckardt-1979] O within 2"
    { (tip_angle.tan() * ((tip * tip + hub * hub) / 2.0).sqrt() / tip).atan() }

    /// Throat area of the inducer
    ///
    /// A_th = 0.90 A_1 cos beta_1
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // Eckardt A: 0.90 x 0.05027 m2 x cos 56.5 deg = 24 970 mm2; its choke flow of 6.75 kg/s asks for 24 650
    /// let area = shaftwork::compressor::throat_area(mm2(50_265.0), deg(56.5))?;
    /// assert!((area.mm2() - 24_969.0).abs() < 1.0);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn throat_area(
        annulus: Area = "A_1" in [1e-6, 0.3], "annulus area of the inducer";
        angle: Angle = "beta_1" in [0.0, 1.45], "blade angle at the root-mean-square radius, from axial";
    ) -> Area = "A_th"
    source "[elementary-geometry]; 0.89 from the choke flow of [eckardt-1979] A, 0.905 from the coordinates of [nasa-hecc]"
    { annulus * angle.cos() * k::THROAT_FACTOR }
}
