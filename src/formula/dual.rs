//! Exact derivatives: a value with its slopes to `N` inputs.

use super::scalar::{Property, Scalar, Surface};
use core::ops::{Add, Div, Mul, Neg, Sub};

/// A value and its derivatives to `N` inputs.
#[derive(Clone, Copy, Debug)]
pub struct Dual<const N: usize> {
    /// The value.
    pub re: f64,
    /// The derivatives.
    pub eps: [f64; N],
}

impl<const N: usize> Dual<N> {
    /// The input number `index`: its derivative to itself is one.
    pub fn input(value: f64, index: usize) -> Self {
        let mut eps = [0.0; N];
        eps[index] = 1.0;
        Self { re: value, eps }
    }
    /// A function of this value alone: its value and slope here.
    fn chain(self, value: f64, slope: f64) -> Self {
        Self { re: value, eps: self.eps.map(|e| if e == 0.0 { 0.0 } else { e * slope }) }
    }
    /// A function of two values.
    fn chain2(self, other: Self, value: f64, a: f64, b: f64) -> Self {
        let mut eps = [0.0; N];
        for (i, e) in eps.iter_mut().enumerate() {
            *e = self.eps[i] * a + other.eps[i] * b;
        }
        Self { re: value, eps }
    }
}

impl<const N: usize> Add for Dual<N> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        self.chain2(other, self.re + other.re, 1.0, 1.0)
    }
}
impl<const N: usize> Sub for Dual<N> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self.chain2(other, self.re - other.re, 1.0, -1.0)
    }
}
impl<const N: usize> Mul for Dual<N> {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        self.chain2(other, self.re * other.re, other.re, self.re)
    }
}
impl<const N: usize> Div for Dual<N> {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let (value, by_self) = (self.re / other.re, 1.0 / other.re);
        self.chain2(other, value, by_self, -value * by_self)
    }
}
impl<const N: usize> Neg for Dual<N> {
    type Output = Self;
    fn neg(self) -> Self {
        Self { re: -self.re, eps: self.eps.map(|e| -e) }
    }
}
impl<const N: usize> Add<f64> for Dual<N> {
    type Output = Self;
    fn add(self, k: f64) -> Self {
        Self { re: self.re + k, eps: self.eps }
    }
}
impl<const N: usize> Sub<f64> for Dual<N> {
    type Output = Self;
    fn sub(self, k: f64) -> Self {
        Self { re: self.re - k, eps: self.eps }
    }
}
impl<const N: usize> Mul<f64> for Dual<N> {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self { re: self.re * k, eps: self.eps.map(|e| e * k) }
    }
}
impl<const N: usize> Div<f64> for Dual<N> {
    type Output = Self;
    fn div(self, k: f64) -> Self {
        let by_self = 1.0 / k;
        Self { re: self.re / k, eps: self.eps.map(|e| e * by_self) }
    }
}

impl<const N: usize> Scalar for Dual<N> {
    const JUDGED: bool = false;

    fn lit(value: f64) -> Self {
        Self { re: value, eps: [0.0; N] }
    }
    fn value(self) -> f64 {
        self.re
    }
    fn powf(self, exponent: Self) -> Self {
        let value = self.re.powf(exponent.re);
        let power_below = if self.re == 0.0 { self.re.powf(exponent.re - 1.0) } else { value / self.re };
        let by_base = exponent.re * power_below;
        // Where the exponent is constant its logarithm must not be asked for: at base 0 it is infinite.
        let constant = exponent.eps.iter().all(|&e| e == 0.0);
        let by_exponent = if constant { 0.0 } else { value * self.re.ln() };
        self.chain2(exponent, value, by_base, by_exponent)
    }
    fn powi(self, exponent: i32) -> Self {
        self.chain(self.re.powi(exponent), f64::from(exponent) * self.re.powi(exponent - 1))
    }
    fn sqrt(self) -> Self {
        let root = self.re.sqrt();
        self.chain(root, 0.5 / root)
    }
    fn exp(self) -> Self {
        let value = self.re.exp();
        self.chain(value, value)
    }
    fn ln(self) -> Self {
        self.chain(self.re.ln(), 1.0 / self.re)
    }
    fn cos(self) -> Self {
        self.chain(self.re.cos(), -self.re.sin())
    }
    fn tan(self) -> Self {
        let value = self.re.tan();
        self.chain(value, 1.0 + value * value)
    }
    fn atan(self) -> Self {
        self.chain(self.re.atan(), 1.0 / (1.0 + self.re * self.re))
    }
    fn property<P: Property>(property: &P, x: Self) -> Self {
        x.chain(property.value(x.re), property.slope(x.re))
    }
    fn inverse<P: Property>(property: &P, y: Self) -> Self {
        let x = property.invert(y.re);
        y.chain(x, 1.0 / property.slope(x))
    }
    fn surface<T: Surface>(surface: &T, x: Self, y: Self) -> Self {
        let (value, [by_x, by_y]) = surface.at(x.re, y.re);
        x.chain2(y, value, by_x, by_y)
    }
}
