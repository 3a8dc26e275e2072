//! A pad of polymer between two plates: how far it sinks, faces bonded or loose.
//!
//! Moduli and stresses in MPa; shape factors and strains are pure numbers.

use crate::duty::mechanics::block::Solid;
use crate::duty::mechanics::surroundings::ask;
use crate::duty::{Duty, Inputs, Setting, Trace};
use crate::num::shape::{bonded_face_factor, neo_hookean_squeeze};
use crate::problem::Fault;

/// Share of a short-time yield strength that is trusted under lasting pressure where no better
/// figure exists: a third for years at room temperature (common practice, no source).
const YIELD_SHARE: f64 = 1.0 / 3.0;

/// Lasting pressure that a yield strength stands for, MPa: a third of it.
pub(in crate::duty) fn trusted_of_yield(label: &str, yield_mpa: f64, t: &mut Trace) -> f64 {
    t.step(label, "yield strength", yield_mpa, "MPa");
    t.step(
        label,
        "a third of the yield strength",
        YIELD_SHARE * yield_mpa,
        "MPa",
    )
}

/// Pressure that a material takes, MPa: of a bolted run, else the stress carried for
/// the life, else a third of the yield strength. Needs of [`carried_needs`].
pub(in crate::duty) fn carried(i: Inputs<'_>, t: &mut Trace) -> f64 {
    let ([figure], [from]) = (i.x, i.which) else {
        return f64::NAN;
    };
    match from {
        0 => t.step("F11", "bearing pressure carried", *figure, "MPa"),
        1 => t.step("F11", "stress carried for the life", *figure, "MPa"),
        _ => trusted_of_yield("F11", *figure, t),
    }
}

/// Alternatives of [`carried`] at a temperature.
pub(in crate::duty) fn carried_needs(setting: &Setting, at_c: f64, duty: &mut Duty) -> Vec<usize> {
    [
        ask(setting, "bearing-strength", at_c),
        ask(setting, "sustained-strength", at_c).after(setting.life_h),
        ask(setting, "yield-strength", at_c),
    ]
    .map(|a| duty.ask(a))
    .to_vec()
}

/// Alternatives of a pressure that is borne for a moment: the whole yield strength, else the pressure
/// of a bolted run (the order ours: what creeps under years of pressure does not under a short one).
pub(in crate::duty) fn pressed_needs(setting: &Setting, at_c: f64, duty: &mut Duty) -> Vec<usize> {
    duty.need_or(
        ask(setting, "yield-strength", at_c),
        ask(setting, "bearing-strength", at_c),
    )
}

/// Pressure that a material bears for a moment, MPa. Need of [`pressed_needs`].
pub(in crate::duty) fn pressed(i: Inputs<'_>, t: &mut Trace) -> f64 {
    let [figure] = *i.x else { return f64::NAN };
    t.step("", PRESSED, figure, "MPa")
}

/// What [`pressed`] is called.
pub(in crate::duty) const PRESSED: &str = "pressure that it bears for a moment";

/// Squeeze up to which stress over modulus is the strain (linear to about 10 to 15 %, common practice, no source).
pub(in crate::duty) const LINEAR_TO: f64 = 0.10;
/// Squeeze over which the linear answer gives way to the neo-Hookean one.
const GIVES_WAY_OVER: f64 = 0.05;
/// Squeeze beyond which nothing is said but that the pad is squeezed flat (our limit).
pub(in crate::duty) const FLAT_FROM: f64 = 0.5;

/// Shape factor of a rectangular block: loaded area over free surface, ab/(2h(a + b)) (F5; derived).
pub(in crate::duty) fn block_shape_factor(a_mm: f64, b_mm: f64, height_mm: f64) -> f64 {
    a_mm * b_mm / (2.0 * height_mm * (a_mm + b_mm))
}

/// Apparent modulus with the bulk limit: 1/E_a = 1/E_c + 1/B (F7; formula verified in source).
pub(in crate::duty) fn with_bulk(apparent_mpa: f64, bulk_mpa: f64) -> f64 {
    1.0 / (1.0 / apparent_mpa + 1.0 / bulk_mpa)
}

/// Modulus left at the life, MPa: a creep modulus, else the modulus when new times the share of
/// force kept at fixed squeeze (F10; quasi-elastic, derived). The two needs are `[creep, new]` and
/// `[creep, share kept]`, so that no share falls on a figure that has crept already.
pub(in crate::duty) fn left_at_life(x: [f64; 2], which: [u8; 2], t: &mut Trace) -> f64 {
    let ([modulus, kept], [from, with]) = (x, which);
    match (from, with) {
        (0, _) => t.step("F10", "creep modulus at the life", modulus, "MPa"),
        // No share kept of its own: the creep modulus stands in its place.
        (_, 0) => t.step("F10", "creep modulus at the life", kept, "MPa"),
        _ => {
            t.step("F10", "compression modulus when new", modulus, "MPa");
            t.step("F10", "share of the force kept at the life", kept, "1");
            t.step("F10", "modulus left at the life", modulus * kept, "MPa")
        }
    }
}

/// Shape factor above which a loose block's two ends, sliding and held, lie more than threefold
/// apart: 1 + 2 S^2 = 3 at 1 (derived; where to stop is ours).
const LOOSE_SHAPE: f64 = 1.0;

/// Refuses a loose block so flat that its stiffness is not known; `height` names its height.
pub(in crate::duty) fn loose_shape(
    what: &str,
    height: &str,
    shape_factor: f64,
    faults: &mut Vec<Fault>,
) {
    if shape_factor > LOOSE_SHAPE {
        faults.push(Fault::new(
            "duty::loose-shape-factor",
            format!(
                "a loose {what} with a shape factor of {shape_factor:.2} is anything between one and {:.1} times as stiff as its material: its `{height}` is small against its face",
                bonded_face_factor(shape_factor)
            ),
            "make it higher or smaller, or write `\"faces\": \"bonded\"` where it is glued to plates",
        ));
    }
}

impl Solid {
    /// Apparent compression modulus, MPa: with a bulk modulus the faces are bonded (F6, F7); without
    /// one they slide, and Young's modulus stands.
    pub(in crate::duty) fn apparent(
        &self,
        modulus_mpa: f64,
        bulk_mpa: Option<f64>,
        t: &mut Trace,
    ) -> f64 {
        t.step("F5", "shape factor", self.shape_factor, "1");
        let held = modulus_mpa * bonded_face_factor(self.shape_factor);
        t.step(
            "F6",
            "apparent modulus if the faces cannot slide",
            held,
            "MPa",
        );
        match bulk_mpa {
            Some(bulk) => {
                t.step("F7", "bulk modulus", bulk, "MPa");
                t.step(
                    "F7",
                    "apparent modulus with the bulk limit",
                    with_bulk(held, bulk),
                    "MPa",
                )
            }
            None => t.step(
                "F6",
                "apparent modulus if the faces slide",
                modulus_mpa,
                "MPa",
            ),
        }
    }
}

/// Squeeze of a pad, 0 to 1, under a stress at an apparent modulus.
///
/// Linear (F8) up to 10 % of linear squeeze, neo-Hookean with the apparent modulus in place of
/// Young's (F9; derived, common use) from 15 %, mixed between; 1, squeezed flat, beyond a half.
pub(in crate::duty) fn squeeze(stress_mpa: f64, apparent_mpa: f64) -> f64 {
    let linear = stress_mpa / apparent_mpa;
    if linear <= LINEAR_TO {
        return linear;
    }
    let bent = neo_hookean_strain(linear);
    let share = ((linear - LINEAR_TO) / GIVES_WAY_OVER).min(1.0);
    let strain = (1.0 - share) * linear + share * bent;
    if strain > FLAT_FROM { 1.0 } else { strain }
}

/// Share of the neo-Hookean answer at a squeeze: none up to 10 %, all from 15 %.
fn bent_share(squeeze: f64) -> f64 {
    ((squeeze - LINEAR_TO) / GIVES_WAY_OVER).clamp(0.0, 1.0)
}

/// Nominal stress over the apparent modulus at a squeeze of 0 to below 1: the squeeze itself to
/// 10 % (F8), neo-Hookean from 15 % (F9; derived, common use), mixed between.
pub(in crate::duty) fn squeeze_stress(squeeze: f64) -> f64 {
    let share = bent_share(squeeze);
    if share <= 0.0 {
        return squeeze;
    }
    (1.0 - share) * squeeze + share * neo_hookean_squeeze(squeeze)
}

/// Stiffness for small movements about a squeeze of 0 to below 1, over the stiffness of the free
/// pad: 1 to 10 %, from 15 % the slope of the neo-Hookean stress, (2/l^3 + 1)/3 with l = 1 - e
/// (derived), mixed between.
pub(in crate::duty) fn squeeze_slope(squeeze: f64) -> f64 {
    let share = bent_share(squeeze);
    if share <= 0.0 {
        return 1.0;
    }
    let l = 1.0 - squeeze;
    (1.0 - share) + share * (2.0 / l.powi(3) + 1.0) / 3.0
}

/// Energy taken per volume over the apparent modulus at a squeeze of 0 to below 1: e^2/2 to 10 %
/// (I5), from 15 % the integral of the neo-Hookean stress, (1/l + l^2/2 - 3/2)/3 with l = 1 - e
/// (derived), mixed between.
pub(in crate::duty) fn squeeze_energy(squeeze: f64) -> f64 {
    let linear = 0.5 * squeeze * squeeze;
    let share = bent_share(squeeze);
    if share <= 0.0 {
        return linear;
    }
    let l = 1.0 - squeeze;
    (1.0 - share) * linear + share * (l.recip() + 0.5 * l * l - 1.5) / 3.0
}

/// Stretch of the free rim of a squeezed solid that keeps its volume, as a share: 1/sqrt(1 - e) - 1
/// where it swells in both directions across the squeeze (derived); a rim between held faces bulges
/// as a parabola, half as much again at mid-height (derived).
pub(in crate::duty) fn bulge_strain(squeeze: f64, faces_held: bool) -> f64 {
    let mean = (1.0 - squeeze).sqrt().recip() - 1.0;
    if faces_held { 1.5 * mean } else { mean }
}

/// The strain at which the neo-Hookean relation reaches a stress, by halving; `stress` over modulus.
fn neo_hookean_strain(stress: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    // 50 halvings leave less than 1e-15 of the height.
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if neo_hookean_squeeze(middle) < stress {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
