//! An open ring that springs: a clip bent round, pulled apart at its tips.
//!
//! Forces in N, lengths in mm, moduli in MPa, angles in degrees; strains are pure numbers.

use crate::duty::mechanics::beam::inner_face_factor;
use std::f64::consts::PI;

/// An open ring of rectangular section, pulled apart or pressed together at its two tips, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::duty) struct OpenRing {
    /// Radius of the middle of the wall.
    pub(in crate::duty) radius_mm: f64,
    /// Thickness of the wall.
    pub(in crate::duty) thickness_mm: f64,
    /// Along the axis.
    pub(in crate::duty) width_mm: f64,
    /// Angle of the mouth seen from the centre, deg, 0 to 180.
    pub(in crate::duty) mouth_deg: f64,
}

impl OpenRing {
    /// From the back to a tip, rad.
    fn half(self) -> f64 {
        PI - 0.5 * self.mouth_deg.to_radians()
    }

    /// Integral of the moment squared over the half ring, for a force of 1 and a radius of 1:
    /// a/2 + a cos^2 a - 3/4 sin 2a; 3 pi/2 for a ring with a slit.
    fn bending_integral(self) -> f64 {
        let a = self.half();
        0.5 * a + a * a.cos().powi(2) - 0.75 * (2.0 * a).sin()
    }

    /// N7: force at the tips, N, that opens them by `opened` mm: opened E I/(2 R^3 I_a), from the
    /// strain energy of a thin ring (Castigliano; derived). 3 pi F R^3/(E I) opens a ring with a slit.
    pub(in crate::duty) fn force_n(self, opened_mm: f64, modulus_mpa: f64) -> f64 {
        let second_moment = self.width_mm * self.thickness_mm.powi(3) / 12.0;
        opened_mm * modulus_mpa * second_moment
            / (2.0 * self.radius_mm.powi(3) * self.bending_integral())
    }

    /// N8: strain at the inner face of the back when the tips are opened by `opened` mm, the
    /// curvature of the wall included.
    pub(in crate::duty) fn strain(self, opened_mm: f64) -> f64 {
        // The straight-beam stress of the moment F R (1 - cos a) at the back, for a modulus of 1.
        let lever = self.radius_mm * (1.0 - self.half().cos());
        let resistance = self.width_mm * self.thickness_mm.powi(2) / 6.0;
        let straight = self.force_n(opened_mm, 1.0) * lever / resistance;
        straight * inner_face_factor(self.thickness_mm, self.radius_mm - 0.5 * self.thickness_mm)
    }

    /// Volume of the ring, mm3.
    pub(in crate::duty) fn volume_mm3(self) -> f64 {
        2.0 * self.half() * self.radius_mm * self.thickness_mm * self.width_mm
    }
}
