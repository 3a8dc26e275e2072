//! A bar of rectangular section in three-point bending, at small deflections.

use crate::bench::Specimen;

/// Deflection over span up to which the small-deflection formulas are taken as valid (ASTM D790,
/// from memory, not verified); at 0.12 the stress is already 5 % low.
pub(super) const SMALL_DEFLECTION: f64 = 0.1;
/// Span over thickness below which shear and the supports spoil a modulus or a strength: at 8 an
/// isotropic bar owes 5 % of its deflection to shear (derived), 16 is the standards' figure (from memory).
pub(super) const LEAST_SLENDERNESS: f64 = 8.0;
/// The same where only a temperature is read off the growth of a deflection: at 5, shear adds 13 %
/// to it (derived), which a softening bar makes good within a few kelvin (ours).
pub(super) const LEAST_SLENDERNESS_HOT: f64 = 5.0;
/// Modulus over shear modulus of an isotropic polymer, 2 (1 + Poisson's ratio 0.35) (derived);
/// across printed layers or with fibres it is larger, about 12 at worst.
const ISOTROPIC_E_OVER_G: f64 = 2.7;

/// The bar and its supports, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bar {
    pub(super) span: f64,
    width: f64,
    thickness: f64,
}

impl Bar {
    /// The bar of a sheet's `span`, `width` and `thickness`; `None` where one is missing or not above zero.
    pub(super) fn of(s: &Specimen) -> Option<Bar> {
        let above = |c| s.once(c).filter(|x| *x > 0.0);
        Some(Bar {
            span: above("span")?,
            width: above("width")?,
            thickness: above("thickness")?,
        })
    }

    /// Section, mm2.
    pub(super) fn section(&self) -> f64 {
        self.width * self.thickness
    }

    /// Largest stress at mid-span, MPa: 3 F L / (2 b h^2), F in N (ISO 178, verified in source).
    pub(super) fn stress(&self, force: f64) -> f64 {
        3.0 * force * self.span / (2.0 * self.width * self.thickness * self.thickness)
    }

    /// Largest strain at mid-span, pure number: 6 s h / L^2, s in mm (ISO 178, verified in source).
    pub(super) fn strain(&self, deflection: f64) -> f64 {
        6.0 * deflection * self.thickness / (self.span * self.span)
    }

    /// Deflection at a strain, mm: e L^2 / (6 h) (ISO 178, verified in source).
    pub(super) fn deflection_at(&self, strain: f64) -> f64 {
        strain * self.span * self.span / (6.0 * self.thickness)
    }

    /// Stress with the correction for larger deflections, MPa: the small-deflection stress times
    /// 1 + 6 (s/L)^2 - 4 (h/L)(s/L) (ASTM D790, from memory, not verified).
    pub(super) fn stress_at_large_deflection(&self, force: f64, deflection: f64) -> f64 {
        let sag = deflection / self.span;
        let factor = 1.0 + 6.0 * sag * sag - 4.0 * sag * self.thickness / self.span;
        self.stress(force) * factor
    }

    /// Span over thickness.
    pub(super) fn slenderness(&self) -> f64 {
        self.span / self.thickness
    }

    /// Deflection from shear over deflection from bending, isotropic: 1.2 (E/G) (h/L)^2
    /// (Timoshenko, section factor 5/6; derived).
    pub(super) fn shear_share(&self) -> f64 {
        1.2 * ISOTROPIC_E_OVER_G / self.slenderness().powi(2)
    }

    /// Why the formulas do not hold for a bar of less span over thickness than `least`, if they do not.
    pub(super) fn too_stubby(&self, least: f64) -> Option<String> {
        let r = self.slenderness();
        (r < least).then(|| {
            format!(
                "the span is {r:.1} times the thickness, and {least} is the least: shear and the supports take part"
            )
        })
    }
}
