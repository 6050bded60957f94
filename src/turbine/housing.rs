//! What a housing's area over radius says about the flow a turbine passes: a little.

use crate::quantity::*;

formulas! { room "turbine" group HOUSING;
    /// Radius of a wheel
    ///
    /// r = d/2
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let r = shaftwork::turbine::wheel_radius(mm(60.0))?;
    /// assert!((r.mm() - 30.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn wheel_radius(
        diameter: Length = "d" in [0.02, 0.2], "diameter of the wheel at its inlet";
    ) -> Length = "r"
    source "[elementary-geometry]"
    { diameter / 2.0 }

    /// Inlet width of a wheel from its share
    ///
    /// b = k d
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let b = shaftwork::turbine::wheel_width(mm(60.0), percent(15.0))?;
    /// assert!((b.mm() - 9.0).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn wheel_width(
        diameter: Length = "d" in [0.02, 0.2], "diameter of the wheel at its inlet";
        share: Fraction = "k_b" in [0.02, 0.4], "width over diameter";
    ) -> Length = "b"
    source "[elementary-geometry]"
    { diameter * share }

    /// Effective area of a wheel's exit from its share of the disc
    ///
    /// A_R = k pi r^2
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// let a = shaftwork::turbine::wheel_exit(mm(30.0), percent(30.0))?;
    /// assert!((a.mm2() - 848.23).abs() < 0.01);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn wheel_exit(
        radius: Length = "r" in [0.01, 0.1], "radius of the wheel at its inlet";
        share: Fraction = "k_R" in [0.05, 0.8], "effective exit area over disc";
    ) -> Area = "A_R"
    source "[elementary-geometry]"
    { radius * radius * core::f64::consts::PI * share }

    /// Effective area from the housing's area over radius
    ///
    /// Free vortex and continuity: tan(alpha) = 2 pi b (rho_2/rho_0)/(A/R), A_N = 2 pi r b cos(alpha); in series
    /// with the wheel's exit, 1/A^2 = 1/A_N^2 + 1/A_R^2. Capacity rises far less than A/R: with a wheel
    /// exit of 600 mm2, doubling A/R from 20 to 40 mm adds 25 %.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // A/R 20 mm, r 30 mm, b 10 mm, equal densities, exit 600 mm2: 413.9 mm2 by hand
    /// let a = shaftwork::turbine::effective_area(mm(20.0), mm(30.0), mm(10.0), mm2(600.0), DensityRatio::new(1.0)?)?;
    /// assert!((a.mm2() - 413.9).abs() < 0.1);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn effective_area(
        area_over_radius: Length = "A/R" in [0.002, 0.1], "throat area over radius of the housing";
        radius: Length = "r" in [0.01, 0.1], "radius of the wheel at its inlet";
        width: Length = "b" in [0.002, 0.04], "width of the wheel at its inlet";
        exit: Area = "A_R" in [2e-5, 0.02], "effective area of the wheel's exit";
        density: DensityRatio = "rho_2/rho_0" in [0.5, 1.0], "static density at the wheel over that at the housing's inlet";
    ) -> Area = "A_e"
    source "[derived-here] from free vortex and continuity; series of areas incompressible and empirical"
    {
        let tangent = (width * density * (2.0 * core::f64::consts::PI) / area_over_radius).called("tan alpha");
        let nozzle = (radius * width * (2.0 * core::f64::consts::PI) * tangent.atan().cos()).called_in("A_N", "m2");
        let sum = c(1.0) / (nozzle * nozzle) + c(1.0) / (exit * exit);
        c(1.0) / sum.sqrt()
    }
}

/// One standard deviation of an effective area estimated from area over radius and wheel diameter:
/// [own-judgement], since wheel exit, blade angle and vortex loss are unknown.
pub const AREA_SIGMA: f64 = 0.25;

/// The same for an effective area that someone measured or stated, where no spread is given: [own-judgement].
pub const STATED_AREA_SIGMA: f64 = 0.10;
/// Inlet width of the wheel over its diameter: from memory 0.12 to 0.20.
pub const WIDTH_SHARE: f64 = 1.0 / 6.0;
/// Effective exit area of the wheel over its disc: from memory 0.2 to 0.4.
pub const EXIT_SHARE: f64 = 0.30;
/// Static density at the wheel over that at the housing's inlet: from memory 0.7 to 0.9.
pub const DENSITY_SHARE: f64 = 0.78;
