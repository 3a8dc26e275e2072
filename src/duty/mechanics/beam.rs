//! Beams held at one end: straight arms, hooks and open rings; how they bend and where they break.
//!
//! Forces in N, lengths in mm, moduli and stresses in MPa, angles in degrees; strains are pure numbers.

use crate::duty::Trace;
use crate::duty::mechanics::fatigue::notch_factor;

/// Length over thickness below which the wall behind an arm bends too, so that the formulas
/// misjudge strain and force (N1; the effect verified in source, its factors not seen).
pub(in crate::duty) const SLENDER_FROM: f64 = 5.0;
/// Deflection over length up to which straight-beam formulas are linear (B3; about 0.1).
pub(in crate::duty) const LINEAR_TO: f64 = 0.1;
/// Deflection over length beyond which they are refused: the root strain is then told some 3 % too
/// low (the elastica; derived).
pub(in crate::duty) const BENT_TO: f64 = 0.2;
/// Share of a section's area that carries shear: 5/6 of a rectangle (B3, standard; derived).
const SHEAR_AREA: f64 = 5.0 / 6.0;
/// Factor on the stress in a sharp inner corner, the high end of 2 to 3 (from memory, not verified).
const SHARP_CORNER: f64 = 3.0;
/// Least factor on the stress at a rounded root: 1.2 to 1.5 at half the thickness (from memory, not verified).
const ROUNDED_CORNER: f64 = 1.2;
/// Push along a ramp over the sideways force beyond which it counts as locked (ours).
const LOCKED: f64 = 100.0;

/// How an arm of a snap hook gets slimmer from root to tip.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    serde::Serialize,
    serde::Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub(in crate::duty) enum Taper {
    /// The same from root to tip.
    #[default]
    None,
    /// The thickness falls evenly to half at the tip.
    ThicknessToHalf,
    /// The width falls evenly to a quarter at the tip.
    WidthToQuarter,
}

impl Taper {
    /// N1, N3: deflection over strain L^2/t of the root: 2/3 for an even arm; 1.090 and 0.855 for the
    /// tapers, by integrating the curvature from tip to root (derived).
    pub(in crate::duty) fn coefficient(self) -> f64 {
        match self {
            Taper::None => 2.0 / 3.0,
            Taper::ThicknessToHalf => {
                let r: f64 = 0.5;
                2.0 / (1.0 - r).powi(3) * (-r.ln() + 2.0 * r - 0.5 * r * r - 1.5)
            }
            Taper::WidthToQuarter => {
                let q: f64 = 0.25;
                2.0 / (1.0 - q).powi(3) * (0.5 - 2.0 * q + 1.5 * q * q - q * q * q.ln())
            }
        }
    }

    /// Volume over that of an even arm.
    pub(in crate::duty) fn fullness(self) -> f64 {
        match self {
            Taper::None => 1.0,
            Taper::ThicknessToHalf => 0.75,
            Taper::WidthToQuarter => 0.625,
        }
    }
}

/// An arm of rectangular section, held at its root and loaded at its tip, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::duty) struct Arm {
    pub(in crate::duty) length_mm: f64,
    /// Across the bending, at the root.
    pub(in crate::duty) width_mm: f64,
    /// In the plane of bending, at the root.
    pub(in crate::duty) thickness_mm: f64,
}

impl Arm {
    /// Moment of resistance of the root, mm3: b t^2/6.
    pub(in crate::duty) fn resistance_mm3(self) -> f64 {
        self.width_mm * self.thickness_mm.powi(2) / 6.0
    }

    /// B2: deflection by bending, mm: F S/(E I), S the sum of the squares of [`Way`], which is L^3/3 of
    /// a straight arm (derived).
    pub(in crate::duty) fn bent_mm(self, force_n: f64, squares_mm3: f64, modulus_mpa: f64) -> f64 {
        12.0 * force_n * squares_mm3 / (modulus_mpa * self.width_mm * self.thickness_mm.powi(3))
    }

    /// B3: deflection by shear over a length, mm: F L/(5/6 G A), G = E/(2 (1 + nu)) (derived).
    pub(in crate::duty) fn sheared_mm(
        self,
        force_n: f64,
        length_mm: f64,
        (modulus_mpa, poisson): (f64, f64),
    ) -> f64 {
        let shear_mpa = modulus_mpa / (2.0 * (1.0 + poisson));
        force_n * length_mm / (SHEAR_AREA * shear_mpa * self.width_mm * self.thickness_mm)
    }

    /// N1, N3: strain at the root when the tip is bent by `y` mm: y t/(C L^2) (derived; any elastic
    /// law alike on both sides of the section).
    pub(in crate::duty) fn strain(self, taper: Taper, y_mm: f64) -> f64 {
        y_mm * self.thickness_mm / (taper.coefficient() * self.length_mm.powi(2))
    }

    /// N2: force at the tip, N, for a stress at the root: b t^2 sigma/(6 L) (derived).
    pub(in crate::duty) fn tip_force_n(self, stress_mpa: f64) -> f64 {
        stress_mpa * self.resistance_mm3() / self.length_mm
    }
}

/// The way from the load to the root of an arm, by how far each piece of it lies out, mm to a power:
/// the sums of x^2 and x^3 over its length, and its length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::duty) struct Way {
    pub(in crate::duty) squares_mm3: f64,
    pub(in crate::duty) cubes_mm4: f64,
    pub(in crate::duty) length_mm: f64,
}

impl Way {
    /// Of an arm that reaches `reach_mm` out and leaves its wall in a quarter bend of this middle
    /// radius, which starts along the wall; no radius is a straight arm. A bend wider than the reach
    /// ends where the load is. (Castigliano's theorem, bending alone; standard, derived.)
    pub(in crate::duty) fn of(reach_mm: f64, radius_mm: f64) -> Way {
        let r = radius_mm;
        let turned = if reach_mm >= r {
            std::f64::consts::FRAC_PI_2
        } else {
            (1.0 - reach_mm / r).acos()
        };
        let (s, twice) = (turned.sin(), (2.0 * turned).sin());
        // Along the bend a piece lies out by past + r cos(angle); past is what the straight part adds.
        let past = reach_mm - r;
        let straight = past.max(0.0);
        let square = 0.5 * turned + 0.25 * twice;
        Way {
            squares_mm3: straight.powi(3) / 3.0
                + r * (past.powi(2) * turned + 2.0 * past * r * s + r.powi(2) * square),
            cubes_mm4: straight.powi(4) / 4.0
                + r * (past.powi(3) * turned
                    + 3.0 * past.powi(2) * r * s
                    + 3.0 * past * r.powi(2) * square
                    + r.powi(3) * (s - s.powi(3) / 3.0)),
            length_mm: straight + r * turned,
        }
    }
}

/// Factor on the stress at a root with a fillet of this radius, for an arm out of a much thicker wall.
///
/// 0.907 (r/t)^(-1/3), the fit of a shoulder fillet in bending (from memory, not verified), kept
/// between 1.2 and 3: the range of the same figures for a fillet of half the thickness and for a sharp
/// corner (from memory, not verified). No radius is a sharp corner.
pub(in crate::duty) fn fillet_factor(radius_mm: f64, thickness_mm: f64) -> f64 {
    (0.907 * (radius_mm / thickness_mm).powf(-1.0 / 3.0)).clamp(ROUNDED_CORNER, SHARP_CORNER)
}

/// The notch at a root: its elastic factor, and the share of it that the material feels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::duty) struct Notch {
    pub(in crate::duty) concentration: f64,
    pub(in crate::duty) sensitivity: f64,
}

impl Notch {
    /// D9: factor on stress or strain, and how it comes about.
    pub(in crate::duty) fn factor(self, t: &mut Trace) -> f64 {
        t.step(
            "D9",
            "stress concentration at the root",
            self.concentration,
            "1",
        );
        t.step(
            "D9",
            "share of the notch that counts",
            self.sensitivity,
            "1",
        );
        t.step("D9", "notch factor", self.bare(), "1")
    }

    /// The same without a word.
    pub(in crate::duty) fn bare(self) -> f64 {
        notch_factor(self.concentration, self.sensitivity)
    }
}

/// Stress at the inner face of a bend of rectangular section over that of a straight beam
/// (Winkler and Bach, curved beams; standard, derived): 1.15 where the middle radius is 2.5
/// thicknesses. `inner_mm` is the inner radius, above 0.
pub(in crate::duty) fn inner_face_factor(thickness_mm: f64, inner_mm: f64) -> f64 {
    let neutral = thickness_mm / (1.0 + thickness_mm / inner_mm).ln();
    let middle = inner_mm + 0.5 * thickness_mm;
    thickness_mm * (neutral - inner_mm) / (6.0 * (middle - neutral) * inner_mm)
}

/// N4: push along the motion over the force that bends the arm aside, on a ramp: (mu + tan a)/(1 -
/// mu tan a) (verified in source). Locks where mu tan a reaches 1, where the formula turns negative:
/// 100 then and beyond, never a negative force.
pub(in crate::duty) fn ramp(friction: f64, angle_deg: f64, t: &mut Trace) -> f64 {
    t.step("N4", "friction on the ramp", friction, "1");
    t.step("N4", "angle of the ramp", angle_deg, "deg");
    let slope = angle_deg.to_radians().tan();
    let left = 1.0 - friction * slope;
    let ratio = (friction + slope) / left;
    if left <= 0.0 || ratio > LOCKED {
        return t.step(
            "N4",
            "the ramp locks: push over sideways force, capped",
            LOCKED,
            "1",
        );
    }
    t.step("N4", "push over sideways force", ratio, "1")
}

/// Whether a ramp locks for good at this friction (N4).
pub(in crate::duty) fn locks(friction: f64, angle_deg: f64) -> bool {
    friction * angle_deg.to_radians().tan() >= 1.0
}

/// N6: strain at the surface of a web bent to an arc: angle times thickness over twice the land
/// (derived; the equal form t/(2R + t) verified in source).
pub(in crate::duty) fn fold_strain(web_mm: f64, land_mm: f64, angle_deg: f64) -> f64 {
    angle_deg.to_radians() * web_mm / (2.0 * land_mm)
}

/// N6 turned round: land, mm, on which a web takes no more than this strain.
pub(in crate::duty) fn least_land_mm(web_mm: f64, angle_deg: f64, strain: f64) -> f64 {
    angle_deg.to_radians() * web_mm / (2.0 * strain)
}
