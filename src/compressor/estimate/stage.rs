//! One point of the mean line: a flow at a tip speed.

use super::diffuser::{Entry, Exit, Inlet, Local, SHORT_STEPS, STEPS};
use super::shape::Shape;
use super::vane_flow::VaneEntry;
use super::vanes::Vanes;
use super::*;
use crate::compressor::inducer_choke_flow;
use crate::formula::Property;
use crate::gas::{Gas, viscosity};
use crate::solve::root;

/// The annulus before the blades passes no more than this share of its own choke flow.
const ANNULUS: f64 = 0.98;

/// The least share of the inducer's choke flow at which the vanes' choke is looked for, and how closely it is found.
const LEAST_LIMIT: f64 = 0.05;
const LIMIT_WIDTH: f64 = 2e-6;

/// Where the diffuser stalls.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stall {
    /// Angle past the chart's reverse-flow angle, radians.
    pub past_reversal: f64,
    /// Velocity at the wheel's exit over that in the vanes' throat.
    pub diffusion: f64,
}

/// A wheel turning at one speed in air of one total state.
pub(super) struct Turning<'a> {
    pub shape: &'a Shape,
    pub air: &'a Gas,
    pub t01: f64,
    pub p01: f64,
    pub u2: f64,
    /// Flow at which the inducer chokes: its throat in the turning frame, or the annulus before it.
    pub choke: f64,
    h01: f64,
    s01: f64,
    rho01: f64,
    mach: f64,
    inlet: Local,
}

/// Internal losses, then disc friction and leakage.
const COUNT: usize = 9;
const INTERNAL: usize = 7;

/// What the mean line gives at one flow.
#[derive(Clone, Copy, Debug)]
pub(super) struct Flow {
    /// Rise of total enthalpy, J/kg.
    pub work: f64,
    pub efficiency: f64,
    /// Internal losses in the order of the formulas, disc friction, leakage; J/kg.
    pub losses: [f64; COUNT],
}

impl<'a> Turning<'a> {
    pub fn new(shape: &'a Shape, air: &'a Gas, t01: f64, p01: f64, u2: f64) -> Self {
        let inlet = Local { cp: air.cp().value(t01), r: air.r() };
        let (h01, s01) = (air.h().value(t01), air.s().value(t01));
        let gamma = inlet.cp / (inlet.cp - inlet.r);
        let at = |area: f64, u: f64| inducer_choke_flow::of(area, t01, p01, u, gamma, inlet.r);
        let choke = at(shape.d.throat, u2 * shape.r1[1] / shape.r2).min(ANNULUS * at(shape.annulus, 0.0));
        Self {
            shape,
            air,
            t01,
            p01,
            u2,
            choke,
            h01,
            s01,
            rho01: p01 / (air.r() * t01),
            mach: tip_mach::of(air, u2, t01),
            inlet,
        }
    }

    fn blade_speed(&self, radius: f64) -> f64 {
        self.u2 * radius / self.shape.r2
    }

    /// Axial velocity at the inducer; `None` where the annulus chokes.
    fn axial(&self, flow: f64) -> Option<f64> {
        let wanted = flow / (self.rho01 * self.shape.annulus);
        let mut c = wanted;
        for _ in 0..40 {
            let (t, rho) = self.inlet.still(self.t01, c * c);
            let stiff = 1.0 - c * c / self.inlet.sound_squared(t * self.t01);
            if !(t > 0.0 && stiff > 1e-3) {
                return None;
            }
            let step = (wanted / (rho * c) - 1.0) / stiff;
            c *= 1.0 + step.clamp(-0.3, 0.3);
            if step.abs() < 1e-6 {
                return Some(c);
            }
        }
        None
    }

    /// The state at the wheel's exit for a meridional velocity there.
    fn exit(&self, flow: f64, axial: f64, meridional: f64) -> Rotor {
        let (s, u2) = (self.shape, self.u2);
        let d = &s.d;
        let work = blade_work::of(u2, s.slip, meridional, d.backsweep);
        let swirl = work / u2;
        let [u1t, u1, u1h] = s.r1.map(|r| self.blade_speed(r));
        let (t1, rho1) = self.inlet.still(self.t01, axial * axial);
        let (t1, rho1) = (t1 * self.t01, rho1 * self.rho01);
        let [w1t, w1, w1h] = [u1t, u1, u1h].map(|u| (axial * axial + u * u).sqrt());
        let [w2, c2] = [u2 - swirl, swirl].map(|u| (meridional * meridional + u * u).sqrt());

        // Losses that need the exit's density get that of a compression with a polytropic efficiency of 0.8.
        let ideal = self.air.h().invert(self.h01 + work);
        let local = Local { cp: self.air.cp().value(ideal), r: self.inlet.r };
        let (t2, _) = local.still(ideal, c2 * c2);
        let t2 = t2 * ideal;
        let rho2 = rho1 * (t2 / t1).powf(0.8 * local.cp / local.r - 1.0);

        let df = diffusion_factor::of(w1t, w2, work / (u2 * u2), s.z, d.inducer / d.outer, s.loading);
        let wm = (axial + c2 + w1t + 2.0 * w1h + 3.0 * w2) / 8.0;
        let mu = viscosity::of(t2.max(200.0));
        let pressure = blade_pressure::of(flow, s.r2, swirl.max(0.0), s.z, s.mean[0], s.mean[1], s.length);
        let losses = [
            incidence_loss::of(u1, axial, d.angle),
            loading_loss::of(df, u2),
            friction_loss::of(
                wm,
                s.length,
                s.hydraulic,
                0.5 * (rho1 + rho2),
                viscosity::of(0.5 * (t1 + t2.max(200.0))),
            ),
            clearance_loss::of(d.clearance, d.width, s.tip_shape, s.z, rho2 / rho1, swirl.max(0.0), axial),
            mixing_loss::of(meridional, d.diffuser_widths[0] / d.width),
            choking_loss::of(flow / self.choke, w1),
            mach_loss::of(flow / (self.rho01 * u2 * d.outer * d.outer), self.mach, work),
            disc_friction::of(u2, s.r2, 0.5 * (rho1 + rho2), rho2, mu, flow),
            leakage::of(u2, pressure, s.length, d.clearance, s.z, rho2, flow),
        ];
        let internal: f64 = losses[..INTERNAL].iter().sum();
        let parasitic = (losses[INTERNAL] + losses[INTERNAL + 1]).min(k::MOST_PARASITIC * work);
        let t02i = self.air.h().invert(self.h01 + work - internal);
        let p02 = self.p01 * ((self.air.s().value(t02i) - self.s01) / local.r).exp();
        let t02 = ideal + parasitic / local.cp;
        let (_, rho) = local.still(t02, c2 * c2);
        Rotor {
            work: work + parasitic,
            swirl,
            t02,
            p02,
            mu,
            local,
            density: rho * p02 / (local.r * t02),
            losses,
        }
    }

    /// The meridional velocity at the exit that carries the flow; `None` where the exit chokes.
    fn rotor(&self, flow: f64) -> Option<Rotor> {
        let axial = self.axial(flow)?;
        let area = self.shape.exit_area;
        let mut c = flow / (area * self.rho01 * (1.0 + 0.25 * (self.u2 / 340.0).powi(2)));
        let mut before: Option<(f64, f64)> = None;
        for _ in 0..40 {
            let rotor = self.exit(flow, axial, c);
            let gap = (flow / (rotor.density * c * area)).ln();
            if !gap.is_finite() {
                return None;
            }
            // Slope of ln(rho c) over ln c, one at rest and zero at choke.
            let slope = match before {
                Some((x, y)) if (c.ln() - x).abs() > 1e-12 => (y - gap) / (c.ln() - x),
                _ => 0.8,
            };
            if slope < 0.03 {
                return None;
            }
            if gap.abs() < 1e-8 {
                return Some(rotor);
            }
            before = Some((c.ln(), gap));
            c *= (gap / slope.min(1.5)).clamp(-0.35, 0.35).exp();
        }
        None
    }

    fn entry(&self, flow: f64) -> Option<(Rotor, Entry)> {
        // A hair beyond choke is choke, computed another way.
        if flow > self.choke * (1.0 + 1e-12) {
            return None;
        }
        let rotor = self.rotor(flow)?;
        let (s, d) = (self.shape, &self.shape.d);
        let entry = Entry {
            gas: rotor.local,
            flow,
            total_temperature: rotor.t02,
            total_pressure: rotor.p02,
            viscosity: rotor.mu,
            swirl: rotor.swirl,
            radii: [s.r2, s.r2 * d.vanes.map_or(d.diffuser_ratio, |vanes| vanes.ratio)],
            widths: d.vanes.map_or(d.diffuser_widths, |_| [d.diffuser_widths[0]; 2]),
        };
        Some((rotor, entry))
    }

    /// How far a flow lies beyond stall, positive where the diffuser is stalled: of a vaneless one by the flow angle at its
    /// inlet, of vanes by how far they slow the flow.
    pub fn beyond_stall(&self, flow: f64, stall: &Stall) -> Option<f64> {
        let (rotor, entry) = self.entry(flow)?;
        let inlet = entry.inlet()?;
        match &self.shape.d.vanes {
            None => Some(entry.beyond_reversal(&inlet) - stall.past_reversal),
            Some(vanes) => {
                let throat = self.before_vanes(&rotor, &entry, &inlet)?.throat(vanes)?;
                Some(inlet.speed / throat - stall.diffusion)
            }
        }
    }

    /// The flow at the leading edges of the vanes.
    fn before_vanes(&self, rotor: &Rotor, entry: &Entry, inlet: &Inlet) -> Option<VaneEntry> {
        let before = entry.run(inlet, SHORT_STEPS)?;
        Some(VaneEntry { gas: rotor.local, flow: entry.flow, total_temperature: rotor.t02, before })
    }

    /// Flow over choke flow of the vanes' throat.
    fn vane_share(&self, flow: f64, vanes: &Vanes) -> Option<f64> {
        let (rotor, entry) = self.entry(flow)?;
        Some(self.before_vanes(&rotor, &entry, &entry.inlet()?)?.share(vanes))
    }

    /// Flow at which the first throat chokes: the inducer's, or that of the diffuser's vanes. `None` where the vanes choke
    /// at any flow.
    pub fn limit(&self) -> Option<f64> {
        let Some(vanes) = &self.shape.d.vanes else { return Some(self.choke) };
        // Where the wheel's exit chokes before, the vanes are taken as choked: the caller looks below.
        let over = |flow: f64| self.vane_share(flow, vanes).map_or(1.0, f64::ln);
        if over(self.choke) <= 0.0 {
            return Some(self.choke);
        }
        root(over, [LEAST_LIMIT * self.choke, self.choke], LIMIT_WIDTH * self.choke).ok()
    }

    /// The stage at one flow; `None` where something chokes.
    pub fn at(&self, flow: f64) -> Option<Flow> {
        let (rotor, entry) = self.entry(flow)?;
        let inlet = entry.inlet()?;
        let end = match &self.shape.d.vanes {
            None => entry.run(&inlet, STEPS)?,
            Some(vanes) => {
                let stretch = self.shape.d.diffuser_ratio / vanes.ratio;
                self.before_vanes(&rotor, &entry, &inlet)?.pass(vanes, stretch)?
            }
        };
        let Exit { mut total_pressure, radial, swirl } = end;
        if self.shape.d.volute {
            let (t, _) = rotor.local.still(rotor.t02, radial * radial + swirl * swirl);
            total_pressure *= (-volute_loss::of(radial, swirl) / (rotor.local.r * t * rotor.t02)).exp();
        }
        let ideal = self.air.s().invert(self.s01 + self.inlet.r * (total_pressure / self.p01).ln());
        let efficiency = (self.air.h().value(ideal) - self.h01) / rotor.work;
        efficiency.is_finite().then_some(Flow { work: rotor.work, efficiency, losses: rotor.losses })
    }
}

struct Rotor {
    work: f64,
    swirl: f64,
    t02: f64,
    p02: f64,
    mu: f64,
    local: Local,
    density: f64,
    losses: [f64; COUNT],
}
