//! A wheel in plain SI numbers: what the mean line works with.

use super::coefficients as k;
use super::vanes::Vanes;
use super::{mean_inducer_angle, slip_factor, throat_area};
use crate::compressor::inducer_area;
use core::f64::consts::PI;

/// The dimensions that the mean line needs, all of them known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Dimensions {
    pub inducer: f64,
    pub hub: f64,
    pub outer: f64,
    /// Blade angle at the root-mean-square radius of the inducer.
    pub angle: f64,
    pub throat: f64,
    pub width: f64,
    pub backsweep: f64,
    pub blades: f64,
    pub splitters: f64,
    pub clearance: f64,
    pub diffuser_widths: [f64; 2],
    pub diffuser_ratio: f64,
    pub volute: bool,
    pub vanes: Option<Vanes>,
}

/// Dimensions with what follows from them, worked out once for all points of a map.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shape {
    pub d: Dimensions,
    /// Radii of the inducer: tip, root mean square, hub.
    pub r1: [f64; 3],
    pub r2: f64,
    pub annulus: f64,
    pub exit_area: f64,
    pub z: f64,
    pub slip: f64,
    pub loading: f64,
    pub length: f64,
    pub hydraulic: f64,
    /// The radii that the clearance loss takes, as one length.
    pub tip_shape: f64,
    /// Means over the blade of radius and passage height.
    pub mean: [f64; 2],
}

impl Shape {
    pub fn new(d: Dimensions) -> Self {
        let (tip, hub, r2) = (d.inducer / 2.0, d.hub / 2.0, d.outer / 2.0);
        let rms = ((tip * tip + hub * hub) / 2.0).sqrt();
        let z = d.blades + k::SPLITTER_SHARE * d.splitters;
        let (cos1, cos2) = (d.angle.cos(), d.backsweep.cos());
        // A quarter of an ellipse's mean between inlet and exit, stretched by the blade's mean angle.
        let axial = k::AXIAL_LENGTH * d.outer;
        let meridional = PI / 8.0 * (d.outer - (tip + hub) - d.width + 2.0 * axial);
        let length = meridional * 2.0 / (cos1 + cos2);
        let passage = |pitch: f64, height: f64| 2.0 * pitch * height / (pitch + height);
        let entry = passage(2.0 * PI * rms * cos1 / d.blades, tip - hub);
        let exit = passage(PI * d.outer * cos2 / (d.blades + d.splitters), d.width);
        Self {
            d,
            r1: [tip, rms, hub],
            r2,
            annulus: inducer_area::of(d.inducer, d.hub),
            exit_area: PI * d.outer * d.width * k::EXIT_BLOCKAGE,
            z,
            slip: slip_factor::of(d.backsweep, d.blades, d.splitters, rms / r2),
            loading: if d.splitters > 0.0 { k::DIFFUSION_SPLITTERS } else { k::DIFFUSION_FULL },
            length,
            hydraulic: 0.5 * (entry + exit),
            tip_shape: (tip * tip - hub * hub) / (r2 - tip),
            mean: [0.5 * (rms + r2), 0.5 * (tip - hub + d.width)],
        }
    }
}

/// Blade angle at the root-mean-square radius and throat area from an angle at the tip.
pub(super) fn throat_from_tip(inducer: f64, hub: f64, tip_angle: f64) -> (f64, f64) {
    let angle = mean_inducer_angle::of(tip_angle, inducer, hub);
    (angle, throat_area::of(inducer_area::of(inducer, hub), angle))
}
