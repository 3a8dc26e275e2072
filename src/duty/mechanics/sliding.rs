//! Sliding contacts: how load spreads, how wear deepens, how friction heats.

use crate::duty::{Duty, Setting, Trace};
use crate::num::shape::{segment_chord_mm, segment_depth_of_area_mm};
use std::f64::consts::{FRAC_PI_4, PI};

/// Depth of a groove over the shaft's radius up to which the small-groove form holds within 1 % (A8).
pub(in crate::duty) const SHALLOW: f64 = 0.05;

/// How the two bodies touch, mm throughout.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::duty) enum Contact {
    /// A flat face of this area, mm2, on a flat.
    Flat { area_mm2: f64 },
    /// A bush round a shaft, the load standing still on the bush.
    BushLoadFixed { bore_mm: f64, length_mm: f64 },
    /// A bush round a shaft, the load going round the bush.
    BushLoadTurning { bore_mm: f64, length_mm: f64 },
    /// A round shaft across a flat, worn to `groove_mm` at most.
    ShaftOnFlat {
        radius_mm: f64,
        length_mm: f64,
        groove_mm: f64,
    },
}

impl Contact {
    /// Area that the nominal pressure is taken over, mm2: the face; for a bush D L (A5, verified
    /// in source); for a shaft on a flat the groove at the depth allowed, since the pressure of a
    /// line contact falls as it wears in (derived).
    pub(in crate::duty) fn nominal_mm2(self) -> f64 {
        match self {
            Contact::Flat { area_mm2 } => area_mm2,
            Contact::BushLoadFixed { bore_mm, length_mm }
            | Contact::BushLoadTurning { bore_mm, length_mm } => bore_mm * length_mm,
            Contact::ShaftOnFlat {
                radius_mm,
                length_mm,
                groove_mm,
            } => segment_chord_mm(radius_mm, groove_mm) * length_mm,
        }
    }

    /// Nominal pressure of a load, MPa.
    pub(in crate::duty) fn pressure_mpa(self, load_n: f64) -> f64 {
        load_n / self.nominal_mm2()
    }

    /// Highest pressure of a load, MPa: in a bush (4/pi) F/(D L), cosine over half the bore
    /// (A6, derived from the load balance); elsewhere the nominal one.
    pub(in crate::duty) fn peak_mpa(self, load_n: f64) -> f64 {
        match self {
            Contact::BushLoadFixed { .. } | Contact::BushLoadTurning { .. } => {
                self.pressure_mpa(load_n) / FRAC_PI_4
            }
            _ => self.pressure_mpa(load_n),
        }
    }

    /// Depth worn, mm, by a specific wear rate in mm3/(N.m), a load in N and a distance in m.
    ///
    /// A1 V = k F s (Archard; a published pair of unit systems, verified in source); flat V/A;
    /// A6 a bush under a standing load k p_max s at the load line; A7 a bush that the load goes
    /// round V/(pi D L); A8 a shaft on a flat the segment of area V/L, exactly, beside its
    /// small-groove form [3 V/(4 L sqrt(2R))]^(2/3).
    pub(in crate::duty) fn worn_mm(
        self,
        k: f64,
        load_n: f64,
        distance_m: f64,
        t: &mut Trace,
    ) -> f64 {
        t.step("A1", "specific wear rate", k, "mm3/(N.m)");
        t.step("A1", "load on the contact", load_n, "N");
        t.step("A1", "distance slid", distance_m, "m");
        let volume = t.step("A1", "volume worn", k * load_n * distance_m, "mm3");
        match self {
            Contact::Flat { area_mm2 } => {
                t.step("A5", "area of the face", area_mm2, "mm2");
                t.step("A1", "depth worn", volume / area_mm2, "mm")
            }
            Contact::BushLoadFixed { bore_mm, length_mm } => {
                t.step("A5", "bore of the bush", bore_mm, "mm");
                t.step("A5", "length of the bush", length_mm, "mm");
                let peak = t.step(
                    "A6",
                    "pressure at the load line",
                    self.peak_mpa(load_n),
                    "MPa",
                );
                t.step(
                    "A6",
                    "depth worn at the load line",
                    k * peak * distance_m,
                    "mm",
                )
            }
            Contact::BushLoadTurning { bore_mm, length_mm } => {
                t.step("A5", "bore of the bush", bore_mm, "mm");
                t.step("A5", "length of the bush", length_mm, "mm");
                t.step(
                    "A7",
                    "depth worn all round",
                    volume / (PI * bore_mm * length_mm),
                    "mm",
                )
            }
            Contact::ShaftOnFlat {
                radius_mm,
                length_mm,
                ..
            } => {
                t.step("A8", "radius of the shaft", radius_mm, "mm");
                t.step("A8", "length of the line", length_mm, "mm");
                let area = volume / length_mm;
                let small = (0.75 * area / (2.0 * radius_mm).sqrt()).powf(2.0 / 3.0);
                t.step("A8", "depth of a small groove", small, "mm");
                let exact = if area.is_nan() {
                    f64::NAN
                } else {
                    segment_depth_of_area_mm(radius_mm, area)
                };
                t.step("A8", "depth of the groove", exact, "mm")
            }
        }
    }

    /// A2: how many times the distance wears an allowed depth, from the depth that one distance
    /// wears: allowed/depth; to the power 3/2 for a groove, whose pressure falls as it grows.
    pub(in crate::duty) fn times_distance(self, allowed_mm: f64, worn_mm: f64) -> f64 {
        let ratio = allowed_mm / worn_mm;
        match self {
            Contact::ShaftOnFlat { .. } => ratio.powf(1.5),
            _ => ratio,
        }
    }

    /// Volume of a pad or bush of this contact with a thickness or wall, mm3.
    pub(in crate::duty) fn volume_mm3(self, thickness_mm: f64) -> f64 {
        match self {
            Contact::Flat { area_mm2 } => area_mm2 * thickness_mm,
            Contact::BushLoadFixed { bore_mm, length_mm }
            | Contact::BushLoadTurning { bore_mm, length_mm } => {
                crate::num::shape::ring_area_mm2(bore_mm + 2.0 * thickness_mm, bore_mm) * length_mm
            }
            // A pad as wide as the shaft.
            Contact::ShaftOnFlat {
                radius_mm,
                length_mm,
                ..
            } => 2.0 * radius_mm * length_mm * thickness_mm,
        }
    }
}

/// A10: friction heat, W: mu F v.
pub(in crate::duty) fn heat_w(friction: f64, load_n: f64, speed_m_s: f64, t: &mut Trace) -> f64 {
    t.step("A10", "kinetic friction", friction, "1");
    t.step("A10", "load on the contact", load_n, "N");
    t.step("A10", "sliding speed", speed_m_s, "m/s");
    t.step("A10", "friction heat", friction * load_n * speed_m_s, "W")
}

/// A11: rise of a small round contact above both bodies, K: Q/(4 a (k1 + k2)), a the radius, slow
/// sliding, both bodies large (isothermal disc on half-spaces, standard heat conduction; derived).
pub(in crate::duty) fn spot_rise_k(
    heat_w: f64,
    radius_mm: f64,
    conductivity: f64,
    counter_conductivity: f64,
) -> f64 {
    heat_w / (4.0 * radius_mm * 1e-3 * (conductivity + counter_conductivity))
}

/// Conductivity of a surface that is rubbed against, W/(m.K); `None` for the polymer's own
/// (`self`, `same-polymer`) and for surfaces that are not listed. Round figures, from memory,
/// not verified.
pub(in crate::duty) fn surface_conductivity(surface: &str) -> Option<f64> {
    Some(match surface {
        "steel-smooth" | "steel-painted" => 50.0,
        "aluminium" => 200.0,
        "glass" | "tile" => 1.0,
        "concrete" => 1.4,
        "wood" | "painted-wood" => 0.15,
        "rubber" => 0.2,
        "skin" => 0.3,
        _ => return None,
    })
}

/// Says that a plastic rubs on the same plastic, where the surface says so (verified advice of a textbook).
pub(in crate::duty) fn same_plastic(setting: &Setting, duty: &mut Duty) {
    if matches!(
        setting.counterface.as_deref(),
        Some("self" | "same-polymer")
    ) {
        duty.notes.push(
            "a plastic on the same plastic runs hot and seizes: put another material against it"
                .to_owned(),
        );
    }
}
