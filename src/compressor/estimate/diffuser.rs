//! The vaneless diffuser, or the vaneless space before vanes: friction along the spiral path, and where the flow turns back.

use super::coefficients as k;
use crate::quantity::*;

formulas! { room "compressor" group DIFFUSER;
    /// Friction coefficient of a vaneless diffuser
    ///
    /// C_f = 0.010 (1.8e5/Re)^0.2 with Re = rho c 2b/mu at its inlet; wall shear is C_f rho c^2/2
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // By hand: Re 4.5e5: 0.00833
    /// let cf = shaftwork::compressor::diffuser_friction(kg_per_m3(1.5), m_per_s(300.0), mm(10.0), upa_s(20.0))?;
    /// assert!((cf.si() - 0.008326).abs() < 5e-7);
    /// # Ok::<(), FormulaError>(())
    /// ```
    fn diffuser_friction(
        density: Density = "rho_3" in [0.05, 20.0], "density at the diffuser's inlet";
        velocity: Velocity = "c_3" in [1.0, 800.0], "velocity there";
        width: Length = "b_3" in [5e-4, 0.1], "width there";
        viscosity: Viscosity = "mu" in [1e-5, 5e-5], "viscosity";
    ) -> Fraction = "C_f"
    source "[japikse-design], from memory"
    {
        let [factor, at, power] = k::DIFFUSER_FRICTION;
        let re = (density * velocity * width * 2.0 / viscosity).called("Re");
        (c(at) / re).powf(S::lit(power)) * factor
    }

    /// Flow angle at which a vaneless diffuser turns back
    ///
    /// alpha_r from radial: parabolas in M_3 through the chart at 0, 0.8 and 1.6 for b_3/r_2 0.05 (80.8, 78.6, 73.9
    /// degrees), 0.1 (76.7, 73.3, 67.2) and 0.2 (73.9, 70.6, 60), between them a parabola in ln(b_3/r_2). Conservative:
    /// published rigs hold their flow up to 9 degrees past it, most with narrow diffusers.
    ///
    /// ```
    /// # use shaftwork::prelude::*;
    /// // The chart at b/r 0.1 and Mach 0.8: 73.3 degrees
    /// let alpha = shaftwork::compressor::reverse_flow_angle(fraction(0.1), Mach::new(0.8)?)?;
    /// assert!((alpha.deg() - 73.3).abs() < 1e-9);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    fn reverse_flow_angle(
        width_ratio: Fraction = "b_3/r_2" in [0.005, 0.5], "width over radius at the diffuser's inlet";
        mach: Mach = "M_3" in [0.0, 2.0], "Mach number there";
    ) -> Angle = "alpha_r"
    source "[senoo-kinoshita], J. Fluids Eng. 99, transcribed from their chart for r_5/r_2 1.2"
    {
        let m = mach / 0.8;
        let at = |a: [f64; 3]| {
            let (bend, rise) = (0.5 * (a[2] - 2.0 * a[1] + a[0]), a[1] - a[0]);
            m * rise + m * (m - 1.0) * bend + a[0]
        };
        let [narrow, middle, wide] = [at([80.8, 78.6, 73.9]), at([76.7, 73.3, 67.2]), at([73.9, 70.6, 60.0])];
        let x = (width_ratio / 0.05).ln() / core::f64::consts::LN_2;
        let bend = (wide - middle * 2.0 + narrow) * 0.5;
        (x * (middle - narrow) + x * (x - 1.0) * bend + narrow) * (core::f64::consts::PI / 180.0)
    }
}

/// A gas of constant heat capacity around the state at the wheel's exit, for velocities and densities. Total
/// states keep the polynomials.
#[derive(Clone, Copy)]
pub(super) struct Local {
    pub cp: f64,
    pub r: f64,
}

impl Local {
    /// Static over total temperature and density at a velocity; NaN beyond the greatest velocity.
    pub fn still(&self, total: f64, velocity_squared: f64) -> (f64, f64) {
        let t = 1.0 - velocity_squared / (2.0 * self.cp * total);
        (t, t.powf(self.cp / self.r - 1.0))
    }
    pub fn gamma(&self) -> f64 {
        self.cp / (self.cp - self.r)
    }
    pub fn sound_squared(&self, temperature: f64) -> f64 {
        self.gamma() * self.r * temperature
    }
}

/// What enters and what bounds a vaneless diffuser, in SI units.
pub(super) struct Entry {
    pub gas: Local,
    pub flow: f64,
    pub total_temperature: f64,
    pub total_pressure: f64,
    pub viscosity: f64,
    /// Tangential velocity at the inlet radius.
    pub swirl: f64,
    pub radii: [f64; 2],
    pub widths: [f64; 2],
}

/// The flow at the diffuser's inlet.
pub(super) struct Inlet {
    radial: f64,
    pub speed: f64,
    density: f64,
    mach: f64,
}

/// The flow at its end.
#[derive(Clone, Copy)]
pub(super) struct Exit {
    pub total_pressure: f64,
    pub radial: f64,
    pub swirl: f64,
}

/// Steps along the radius: through a whole vaneless diffuser, and through the short space before vanes.
pub(super) const STEPS: usize = 10;
pub(super) const SHORT_STEPS: usize = 3;

impl Entry {
    /// Radial velocity that carries the flow, from a first guess; `None` where the diffuser chokes.
    fn radial(&self, radius: f64, swirl: f64, pressure: f64, guess: f64) -> Option<f64> {
        let width = self.width(radius);
        let rho0 = pressure / (self.gas.r * self.total_temperature);
        let wanted = self.flow / (2.0 * core::f64::consts::PI * radius * width * rho0);
        let mut c = guess.max(wanted);
        for _ in 0..30 {
            let (t, rho) = self.gas.still(self.total_temperature, c * c + swirl * swirl);
            let stiff = 1.0 - c * c / self.gas.sound_squared(t * self.total_temperature);
            if !(t > 0.0 && stiff > 0.02) {
                return None;
            }
            // Newton's method; the error left is of the order of the last step's square.
            let step = (wanted / (rho * c) - 1.0) / stiff;
            c *= 1.0 + step.clamp(-0.3, 0.3);
            if step.abs() < 1e-6 {
                return Some(c);
            }
        }
        None
    }
    fn width(&self, radius: f64) -> f64 {
        let [r3, r5] = self.radii;
        self.widths[0] + (self.widths[1] - self.widths[0]) * (radius - r3) / (r5 - r3)
    }
    /// The flow at the inlet.
    pub fn inlet(&self) -> Option<Inlet> {
        let radial = self.radial(self.radii[0], self.swirl, self.total_pressure, 0.0)?;
        let speed = radial.hypot(self.swirl);
        let (t, rho) = self.gas.still(self.total_temperature, speed * speed);
        let density = rho * self.total_pressure / (self.gas.r * self.total_temperature);
        let mach = speed / self.gas.sound_squared(t * self.total_temperature).sqrt();
        Some(Inlet { radial, speed, density, mach })
    }

    /// Angle of the flow at the inlet less the angle at which it turns back.
    pub fn beyond_reversal(&self, inlet: &Inlet) -> f64 {
        let reversal = reverse_flow_angle::of(self.widths[0] / self.radii[0], inlet.mach);
        (self.swirl / inlet.radial).atan() - reversal
    }

    /// Integrates angular momentum and total pressure from inlet to end by the midpoint rule.
    pub fn run(&self, inlet: &Inlet, steps: usize) -> Option<Exit> {
        let [r3, r5] = self.radii;
        let (mut swirl, mut pressure, mut radial) = (self.swirl, self.total_pressure, inlet.radial);
        let friction = diffuser_friction::of(inlet.density, inlet.speed, self.widths[0], self.viscosity);
        // Slopes of ln(r c_u) and ln p_0 along the radius.
        let slopes = |radius: f64, swirl: f64, radial: f64| {
            let square = radial * radial + swirl * swirl;
            let path = friction * square.sqrt() / (self.width(radius) * radial);
            let t = self.total_temperature - square / (2.0 * self.gas.cp);
            (-path, -path * square / (self.gas.r * t))
        };
        let step = (r5 - r3) / steps as f64;
        let mut radius = r3;
        for _ in 0..steps {
            let (turn, loss) = slopes(radius, swirl, radial);
            let middle = radius + 0.5 * step;
            let half_swirl = swirl * radius / middle * (0.5 * step * turn).exp();
            let half_pressure = pressure * (0.5 * step * loss).exp();
            let thinned = radius * self.width(radius) / (middle * self.width(middle));
            let half_radial = self.radial(middle, half_swirl, half_pressure, radial * thinned)?;
            let (turn, loss) = slopes(middle, half_swirl, half_radial);
            swirl *= radius / (radius + step) * (step * turn).exp();
            pressure *= (step * loss).exp();
            radius += step;
            radial = self.radial(radius, swirl, pressure, half_radial * thinned)?;
        }
        Some(Exit { total_pressure: pressure, radial, swirl })
    }
}
