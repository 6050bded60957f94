//! Which quantities multiply to which.
//!
//! Each line gives the operators, and where the units library is compiled in, the library is asked
//! the same question at compile time: a line with a wrong dimension does not compile.

use super::*;

/// The units library's type for one of our quantities.
#[cfg(feature = "uom")]
pub(super) trait Judged {
    type Uom;
}

macro_rules! relations {
    ($( $a:ident * $b:ident = $c:ident; )+) => { $(
        relations!(@one $a $b $c);
        impl Mul<$a> for $b { type Output = $c; fn mul(self, other: $a) -> $c { $c(self.0 * other.0) } }
        impl Div<$b> for $c { type Output = $a; fn div(self, other: $b) -> $a { $a(self.0 / other.0) } }
    )+ };
    (squares $( $a:ident = $c:ident; )+) => { $( relations!(@one $a $a $c); )+ };
    (@one $a:ident $b:ident $c:ident) => {
        impl Mul<$b> for $a { type Output = $c; fn mul(self, other: $b) -> $c { $c(self.0 * other.0) } }
        impl Div<$a> for $c { type Output = $b; fn div(self, other: $a) -> $b { $b(self.0 / other.0) } }
        #[cfg(feature = "uom")]
        const _: () = {
            #[allow(dead_code)]
            fn judge(a: <$a as Judged>::Uom, b: <$b as Judged>::Uom) -> <$c as Judged>::Uom { a * b }
        };
    };
}

relations! {
    MassFlow * SpecificEnergy = Power;
    ShaftSpeed * Torque = Power;
    ShaftSpeed * Length = Velocity;
    Density * VolumeFlow = MassFlow;
    Density * Volume = Mass;
    MassFlow * Time = Mass;
    VolumeFlow * PressureDifference = Power;
    Area * Length = Volume;
    Area * Velocity = VolumeFlow;
    SpecificHeat * TemperatureDifference = SpecificEnergy;
    Velocity * Time = Length;
}
relations! { squares Length = Area; Velocity = SpecificEnergy; }

/// Quantities that add among themselves and scale by a number.
macro_rules! linear {
    ($($name:ident)+) => { $(
        impl Add for $name { type Output = Self; fn add(self, other: Self) -> Self { Self(self.0 + other.0) } }
        impl Sub for $name { type Output = Self; fn sub(self, other: Self) -> Self { Self(self.0 - other.0) } }
        impl Neg for $name { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
        linear!(@scale $name);
    )+ };
    (points $($name:ident by $step:ident;)+) => { $(
        impl Sub for $name { type Output = $step; fn sub(self, other: Self) -> $step { $step(self.0 - other.0) } }
        impl Add<$step> for $name { type Output = Self; fn add(self, step: $step) -> Self { Self(self.0 + step.0) } }
        impl Sub<$step> for $name { type Output = Self; fn sub(self, step: $step) -> Self { Self(self.0 - step.0) } }
    )+ };
    (@scale $name:ident) => {
        impl Mul<f64> for $name { type Output = Self; fn mul(self, k: f64) -> Self { Self(self.0 * k) } }
        impl Mul<$name> for f64 { type Output = $name; fn mul(self, q: $name) -> $name { $name(self * q.0) } }
        impl Div<f64> for $name { type Output = Self; fn div(self, k: f64) -> Self { Self(self.0 / k) } }
        impl Div for $name { type Output = f64; fn div(self, other: Self) -> f64 { self.0 / other.0 } }
    };
}

linear! {
    PressureDifference TemperatureDifference Length Area Volume Mass Time MassFlow CorrectedMassFlow
    VolumeFlow Power Torque ShaftSpeed CorrectedSpeed Velocity Density SpecificEnergy SpecificHeat
    SpecificFuelConsumption MolarMass Fraction Angle Inertia RotationalFriction ThermalConductance
    HeatTransferCoefficient
}
// An absolute pressure or temperature is a point on a scale: two of them differ by a step.
linear! { points
    Pressure by PressureDifference;
    GaugePressure by PressureDifference;
    Temperature by TemperatureDifference;
}

impl Div for Pressure {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}
impl Mul<f64> for Pressure {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self(self.0 * k)
    }
}
impl Div for Temperature {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

impl GaugePressure {
    /// The absolute pressure, which needs the barometer of the place.
    pub fn absolute(self, barometer: Pressure) -> Pressure {
        Pressure(self.0 + barometer.0)
    }
}
impl Pressure {
    /// The pressure above the barometer of the place.
    pub fn above(self, barometer: Pressure) -> GaugePressure {
        GaugePressure(self.0 - barometer.0)
    }
}
