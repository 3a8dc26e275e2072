//! Spur gears of 20 degree full depth teeth: form factor, dynamic factor, sliding, deflection.
//!
//! The form factor is that of sigma = W/(b m Y). Some books print y = Y/pi with the circular pitch,
//! a factor of 3.14.

use std::f64::consts::PI;

/// Fewest teeth that the table of form factors knows.
pub(in crate::duty) const FEWEST_TEETH: u32 = 12;
/// Most teeth that it knows.
pub(in crate::duty) const MOST_TEETH: u32 = 300;

/// Table K-1: Lewis form factor Y by number of teeth, 20 degree full depth, load at the tip, one
/// pair in contact (a public lecture's table, verified in source).
const FORM_FACTORS: &[(u32, f64)] = &[
    (12, 0.245),
    (13, 0.261),
    (14, 0.277),
    (15, 0.290),
    (16, 0.296),
    (17, 0.303),
    (18, 0.309),
    (19, 0.314),
    (20, 0.322),
    (21, 0.328),
    (22, 0.331),
    (24, 0.337),
    (26, 0.346),
    (28, 0.353),
    (30, 0.359),
    (34, 0.371),
    (38, 0.384),
    (43, 0.397),
    (50, 0.409),
    (60, 0.422),
    (75, 0.435),
    (100, 0.447),
    (150, 0.460),
    (300, 0.472),
];

/// K1: Lewis form factor of a gear with so many teeth: table K-1, straight lines between its rows
/// (ours), its last figure beyond 300 teeth; `None` below 12, where the table ends.
pub(in crate::duty) fn form_factor(teeth: u32) -> Option<f64> {
    if teeth < FEWEST_TEETH {
        return None;
    }
    let last = FORM_FACTORS.last()?;
    let pair = FORM_FACTORS
        .iter()
        .zip(FORM_FACTORS.iter().skip(1))
        .find(|(_, next)| teeth <= next.0);
    Some(pair.map_or(last.1, |(low, high)| {
        let way = f64::from(teeth - low.0) / f64::from(high.0 - low.0);
        low.1 + way * (high.1 - low.1)
    }))
}

/// K1: the same by a short formula, pi (0.154 - 0.912/z) (verified in source); 6 % above the table
/// at 20 teeth, so it stands in the working for comparison only.
pub(in crate::duty) fn short_form_factor(teeth: f64) -> f64 {
    PI * (0.154 - 0.912 / teeth)
}

/// K1: stress at the root of a tooth, MPa: W/(b m Y) (verified with a published example).
pub(in crate::duty) fn root_stress_mpa(
    tooth_n: f64,
    face_mm: f64,
    module_mm: f64,
    form: f64,
) -> f64 {
    tooth_n / (face_mm * module_mm * form)
}

/// K2: Barth's factor for teeth that meet at speed: (c + v)/c, v in m/s at the pitch circle, c
/// 6.1 m/s for cut and 3.05 m/s for rough teeth (from memory, not verified).
pub(in crate::duty) fn barth(speed_m_s: f64, scale_m_s: f64) -> f64 {
    (scale_m_s + speed_m_s) / scale_m_s
}

/// Pairs in contact of an involute pair, a usual figure (1.4 to 1.8; from memory, not verified).
const PAIRS: f64 = 1.6;
/// Cosine of the pressure angle of 20 degrees.
const COS_20: f64 = 0.939_692_620_785_908_4;

/// K10: mean speed of sliding on the flanks over the speed at the pitch circle:
/// pi e cos(a)/2 (1/z1 + 1/z2), e pairs in contact. Derived: the flanks slide by the distance from
/// the pitch point times both angular speeds, and the contact runs over e base pitches.
pub(in crate::duty) fn sliding_share(teeth: f64, mate_teeth: f64) -> f64 {
    0.5 * PI * PAIRS * COS_20 * (1.0 / teeth + 1.0 / mate_teeth)
}

/// K11: deepest wear of the flanks, mm: the work passed on, N.m, times the sliding share and the
/// specific wear rate, over all flanks of working depth 2 m, and twice the mean, because sliding
/// grows from nothing at the pitch point (derived from A1).
pub(in crate::duty) fn flank_wear_mm(
    work_nm: f64,
    sliding: f64,
    wear_rate: f64,
    (teeth, face_mm, module_mm): (f64, f64, f64),
) -> f64 {
    2.0 * wear_rate * work_nm * sliding / (teeth * face_mm * 2.0 * module_mm)
}

/// K12: how far a tooth bends at its tip, mm: 7.5 W/b (1/E1 + 1/E2) (a guideline for plastic gears,
/// from memory, not verified); a metal mate does not give.
pub(in crate::duty) fn tip_deflection_mm(
    tooth_n: f64,
    face_mm: f64,
    modulus_mpa: f64,
    mate_gives: bool,
) -> f64 {
    let both = if mate_gives { 2.0 } else { 1.0 };
    7.5 * tooth_n / face_mm * both / modulus_mpa
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_read_at_its_rows_and_between_them_and_not_below() {
        assert_eq!(form_factor(11), None);
        for (teeth, wanted) in [(12, 0.245), (20, 0.322), (300, 0.472), (900, 0.472)] {
            assert!(
                (form_factor(teeth).unwrap() - wanted).abs() < 1e-12,
                "{teeth}"
            );
        }
        assert!((form_factor(40).unwrap() - (0.384 + 0.4 * 0.013)).abs() < 1e-12);
    }
}
