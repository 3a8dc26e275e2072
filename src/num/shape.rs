//! Areas and volumes of the shapes that benches and parts share, mm throughout.

use std::f64::consts::{FRAC_PI_4, PI};

/// Area of a ring, mm2, from its two diameters (inner 0 for a disc): (pi/4)(Do^2 - Di^2).
pub fn ring_area_mm2(outer_mm: f64, inner_mm: f64) -> f64 {
    FRAC_PI_4 * (outer_mm * outer_mm - inner_mm * inner_mm)
}

/// Shape factor of a ring or disc under a plate: one loaded face over the surface that is free
/// to bulge, bore and rim alike, (Do - Di)/(4 h) (definition of Gent and Lindley as cited in
/// doi 10.5545/sv-jme.2013.1510, verified in source; the ratio derived).
pub fn ring_shape_factor(outer_mm: f64, inner_mm: f64, height_mm: f64) -> f64 {
    (outer_mm - inner_mm) / (4.0 * height_mm)
}

/// Factor between the apparent and the true modulus of a block of rubber whose faces cannot
/// slide: 1 + 2 S^2 (Gent and Lindley as cited in doi 10.5545/sv-jme.2013.1510, verified in
/// source; less with carbon black).
pub fn bonded_face_factor(shape_factor: f64) -> f64 {
    1.0 + 2.0 * shape_factor * shape_factor
}

/// Neo-Hookean compression: the factor by which the apparent modulus is multiplied to give the
/// nominal stress at a squeeze `strain` (0 to below 1), (l^-2 - l)/3 with l = 1 - strain
/// (derived; tends to the strain itself for small ones).
pub fn neo_hookean_squeeze(strain: f64) -> f64 {
    let l = 1.0 - strain;
    ((l * l).recip() - l) / 3.0
}

/// Area of a circular segment, mm2, of a circle's radius and the chord's length:
/// (R^2/2)(th - sin th), th = 2 asin(chord/(2R)) (derived; ASTM G77 gives the same form, from
/// memory, not verified). NaN where the chord is longer than the diameter.
pub fn segment_area_of_chord_mm2(radius_mm: f64, chord_mm: f64) -> f64 {
    segment(radius_mm, 2.0 * (chord_mm / (2.0 * radius_mm)).asin())
}

/// Area of a circular segment, mm2, of a circle's radius and the segment's depth (0 to R):
/// as [`segment_area_of_chord_mm2`] with th = 2 acos(1 - depth/R) (derived).
pub fn segment_area_of_depth_mm2(radius_mm: f64, depth_mm: f64) -> f64 {
    // acos near 1 loses digits; the half-angle form keeps them.
    segment(
        radius_mm,
        4.0 * (depth_mm / (2.0 * radius_mm)).sqrt().asin(),
    )
}

fn segment(radius_mm: f64, angle: f64) -> f64 {
    // Below a hundredth of a radian th - sin th cancels: its series stands in.
    let lens = if angle < 1e-2 {
        angle.powi(3) / 6.0 * (1.0 - angle * angle / 20.0)
    } else {
        angle - angle.sin()
    };
    0.5 * radius_mm * radius_mm * lens
}

/// Chord of a circular segment, mm, of a circle's radius and the segment's depth:
/// 2 sqrt(2 R h - h^2) (derived).
pub fn segment_chord_mm(radius_mm: f64, depth_mm: f64) -> f64 {
    2.0 * (depth_mm * (2.0 * radius_mm - depth_mm)).sqrt()
}

/// Depth of the circular segment, mm, that has this area: the exact inverse of
/// [`segment_area_of_depth_mm2`] by bisection, from 0 to R; R where the area is half the circle
/// or more.
pub fn segment_depth_of_area_mm(radius_mm: f64, area_mm2: f64) -> f64 {
    if area_mm2 >= 0.5 * PI * radius_mm * radius_mm {
        return radius_mm;
    }
    let (mut low, mut high) = (0.0, radius_mm);
    for _ in 0..64 {
        let mid = 0.5 * (low + high);
        if segment_area_of_depth_mm2(radius_mm, mid) < area_mm2 {
            low = mid;
        } else {
            high = mid;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn half_a_circle_is_the_segment_at_its_diameter() {
        let half = 0.5 * PI * 25.0;
        assert!((segment_area_of_chord_mm2(5.0, 10.0) - half).abs() < 1e-9);
        assert!((segment_area_of_depth_mm2(5.0, 5.0) - half).abs() < 1e-9);
        assert!(segment_area_of_chord_mm2(5.0, 10.1).is_nan());
        assert!((segment_depth_of_area_mm(5.0, 50.0) - 5.0).abs() < 1e-12);
    }

    // A wear depth of 2e-5 x 50 N x 1 km over 8 mm under a 10 mm radius (derived, worked apart).
    #[test]
    fn the_depth_of_a_groove_comes_back_from_its_area() {
        let h = segment_depth_of_area_mm(10.0, 1.0 / 8.0);
        assert!((h - 0.076_085_5).abs() < 1e-6, "{h}");
    }

    proptest! {
        #[test]
        fn depth_chord_and_area_agree(r in 1.0..50.0_f64, share in 1e-6..1.0_f64) {
            let depth = r * share;
            let by_depth = segment_area_of_depth_mm2(r, depth);
            let by_chord = segment_area_of_chord_mm2(r, segment_chord_mm(r, depth));
            prop_assert!((by_depth - by_chord).abs() <= 1e-6 * by_depth);
            let back = segment_depth_of_area_mm(r, by_depth);
            prop_assert!((back - depth).abs() <= 1e-6 * depth);
        }

        #[test]
        fn a_small_squeeze_is_linear(strain in 1e-6..1e-3_f64) {
            prop_assert!((neo_hookean_squeeze(strain) / strain - 1.0).abs() < 2e-3);
        }
    }
}
