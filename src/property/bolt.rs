//! Metric bolts with coarse thread, M3 to M12: sizes, strengths, and how a torque scatters into a clamp load.
//!
//! Status of the figures: nominal diameter, pitch, stress area and 8.8 loads (ISO 898-1), clearance
//! holes (ISO 273) and plain washers (ISO 7089): verified in secondary tables of those standards.
//! Least bearing diameters of hexagon heads (ISO 4014, ISO 4017, grade A) and the elastic moduli:
//! from memory, not verified. Widths across flats carry their status row by row.

/// Status of a figure seen in a public table of the standard.
const SEEN: &str = "verified in source";
/// Status of a figure nobody has checked.
const MEMORY: &str = "from memory, not verified";

/// One size of bolt with its hole and plain washer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bolt {
    /// Size as written: `M6`.
    pub size: &'static str,
    /// Nominal thread diameter, mm (ISO 898-1, verified in source).
    pub d_mm: f64,
    /// Pitch of the coarse thread, mm (ISO 898-1, verified in source).
    pub pitch_mm: f64,
    /// Tensile stress area, mm2 (ISO 898-1, verified in source).
    pub stress_area_mm2: f64,
    /// Proof load of class 8.8, N, as tabled, not the rounded product (ISO 898-1, verified in source).
    pub proof_88_n: f64,
    /// Least breaking load of class 8.8, N (ISO 898-1, verified in source).
    pub ultimate_88_n: f64,
    /// Medium clearance hole, mm (ISO 273, verified in source).
    pub hole_mm: f64,
    /// Width across flats of the hexagon, mm (ISO 4014 and 4017; status in [`Bolt::flats_status`]).
    pub flats_mm: f64,
    /// Status of the width across flats.
    pub flats_status: &'static str,
    /// Least diameter of the ring on which a hexagon head presses, mm (ISO 4014 and 4017,
    /// grade A; from memory, not verified).
    pub head_bearing_mm: f64,
    /// Diameter of a socket head, mm (verified in source).
    pub socket_head_mm: f64,
    /// Bore of the plain washer, mm (ISO 7089, verified in source).
    pub washer_inner_mm: f64,
    /// Outer diameter of the plain washer, mm (ISO 7089, verified in source).
    pub washer_outer_mm: f64,
    /// Thickness of the plain washer, mm (ISO 7089, verified in source).
    pub washer_thickness_mm: f64,
}

macro_rules! bolts {
    ($($size:literal $d:literal $p:literal $a:literal $proof:literal $ult:literal $hole:literal $flats:literal $fs:ident $head:literal $socket:literal $wi:literal $wo:literal $wt:literal;)*) => {
        &[$(Bolt {
            size: $size, d_mm: $d, pitch_mm: $p, stress_area_mm2: $a, proof_88_n: $proof, ultimate_88_n: $ult,
            hole_mm: $hole, flats_mm: $flats, flats_status: $fs, head_bearing_mm: $head, socket_head_mm: $socket,
            washer_inner_mm: $wi, washer_outer_mm: $wo, washer_thickness_mm: $wt,
        }),*]
    };
}

/// size, d, pitch, stress area, 8.8 proof and breaking load, hole, across flats and status,
/// head bearing ring, socket head, washer bore, outer, thickness.
const BOLTS: &[Bolt] = bolts! {
    "M3" 3.0 0.5 5.03 2920.0 4020.0 3.4 5.5 SEEN 4.57 5.5 3.2 7.0 0.5;
    "M4" 4.0 0.7 8.78 5100.0 7020.0 4.5 7.0 SEEN 5.88 7.0 4.3 9.0 0.8;
    "M5" 5.0 0.8 14.2 8230.0 11350.0 5.5 8.0 SEEN 6.88 8.5 5.3 10.0 1.0;
    "M6" 6.0 1.0 20.1 11600.0 16100.0 6.6 10.0 SEEN 8.88 10.0 6.4 12.0 1.6;
    "M8" 8.0 1.25 36.6 21200.0 29200.0 9.0 13.0 SEEN 11.63 13.0 8.4 16.0 1.6;
    "M10" 10.0 1.5 58.0 33700.0 46400.0 11.0 16.0 MEMORY 14.63 16.0 10.5 20.0 2.0;
    "M12" 12.0 1.75 84.3 48900.0 67400.0 13.5 18.0 MEMORY 16.63 18.0 13.0 24.0 2.5;
};

/// The sizes as words, for closed lists of inputs.
pub const BOLT_SIZES: &[&str] = &["M3", "M4", "M5", "M6", "M8", "M10", "M12"];

/// All sizes, smallest first.
pub fn bolts() -> &'static [Bolt] {
    BOLTS
}

/// The bolt of a size (`M6`); `None` for a size outside [`BOLT_SIZES`].
pub fn bolt(size: &str) -> Option<&'static Bolt> {
    BOLTS.iter().find(|b| b.size == size)
}

impl Bolt {
    /// Pitch diameter of the 60 degree thread, mm: d - 0.649519 P (thread geometry, derived).
    pub fn pitch_diameter_mm(&self) -> f64 {
        self.d_mm - 0.649_519 * self.pitch_mm
    }

    /// Root diameter of the 60 degree thread, mm: d - 1.226869 P (thread geometry, derived).
    pub fn root_diameter_mm(&self) -> f64 {
        self.d_mm - 1.226_869 * self.pitch_mm
    }

    /// How far the nut travels, mm, in so many turns: turns x pitch (derived).
    pub fn closure_mm(&self, turns: f64) -> f64 {
        turns * self.pitch_mm
    }

    /// Clamp load, N, of a torque in N.m: F = T/(K d), K the nut factor
    /// (short form of the torque equation, verified in source).
    pub fn clamp_n(&self, torque_nm: f64, nut_factor: f64) -> f64 {
        torque_nm * 1000.0 / (nut_factor * self.d_mm)
    }

    /// Torque, N.m, that gives a clamp load in N: T = K F d; see [`Bolt::clamp_n`].
    pub fn torque_nm(&self, clamp_n: f64, nut_factor: f64) -> f64 {
        nut_factor * clamp_n * self.d_mm / 1000.0
    }
}

/// The range of the nut factor K in T = K F d for one finish.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NutFactor {
    /// Finish and lubrication, as a word for inputs.
    pub finish: &'static str,
    /// Lowest likely K: the most clamp load that a torque can give.
    pub low: f64,
    /// Highest likely K: the least clamp load.
    pub high: f64,
    /// Status of the range.
    pub status: &'static str,
}

/// Ranges by finish, each the widest that a source gives. No source was found for a head that
/// turns on bare plastic: put a steel washer between, or measure.
pub const NUT_FACTORS: &[NutFactor] = &[
    NutFactor {
        finish: "dry-steel",
        low: 0.18,
        high: 0.27,
        status: SEEN,
    },
    NutFactor {
        finish: "zinc-plated",
        low: 0.17,
        high: 0.35,
        status: SEEN,
    },
    NutFactor {
        finish: "oiled",
        low: 0.10,
        high: 0.26,
        status: SEEN,
    },
    NutFactor {
        finish: "anti-seize",
        low: 0.12,
        high: 0.16,
        status: SEEN,
    },
    NutFactor {
        finish: "stainless",
        low: 0.30,
        high: 0.50,
        status: SEEN,
    },
];

/// The usual nut factor of dry steel (common practice; within every range seen for it).
pub const NUT_FACTOR_USUAL: f64 = 0.20;

/// The range of a finish.
pub fn nut_factor(finish: &str) -> Option<&'static NutFactor> {
    NUT_FACTORS.iter().find(|k| k.finish == finish)
}

impl NutFactor {
    /// Standard uncertainty of ln K about `taken`: the root mean square distance of a K whose
    /// logarithm is spread evenly over the range (JCGM 100, 4.3.7, type B, off centre).
    pub fn log_u_about(&self, taken: f64) -> f64 {
        let half = 0.5 * (self.high / self.low).ln();
        let off = ((self.high * self.low).sqrt() / taken).ln();
        (half * half / 3.0 + off * off).sqrt()
    }
}

/// Proof stress of class 8.8 up to M16, MPa (ISO 898-1, verified in source).
pub const PROOF_88_MPA: f64 = 580.0;
/// 0.2 % stress of stainless class A2-70, MPa (ISO 3506-1, verified in source).
pub const RP02_A2_70_MPA: f64 = 450.0;
/// Share of the proof load in a joint that is opened again (machine-design textbook practice, verified in source).
pub const REUSABLE_PROOF_SHARE: f64 = 0.75;
/// Young's modulus of carbon steel, MPa (from memory, not verified).
pub const STEEL_MPA: f64 = 205_000.0;
/// Young's modulus of austenitic stainless steel, MPa (from memory, not verified).
pub const STAINLESS_MPA: f64 = 193_000.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_thread_geometry_gives_the_tabled_stress_area() {
        for b in bolts() {
            let mean = 0.5 * (b.pitch_diameter_mm() + b.root_diameter_mm());
            let area = std::f64::consts::FRAC_PI_4 * mean * mean;
            assert!(
                (area / b.stress_area_mm2 - 1.0).abs() < 0.006,
                "{}: {area} against {}",
                b.size,
                b.stress_area_mm2
            );
            assert!(
                (b.proof_88_n / (PROOF_88_MPA * b.stress_area_mm2) - 1.0).abs() < 0.006,
                "{}",
                b.size
            );
        }
    }

    #[test]
    fn the_list_of_sizes_is_the_table() {
        let sizes: Vec<&str> = bolts().iter().map(|b| b.size).collect();
        assert_eq!(sizes, BOLT_SIZES);
        assert!(bolt("M7").is_none());
    }

    #[test]
    fn rings_holes_and_washers_nest() {
        for b in bolts() {
            assert!(
                b.d_mm < b.washer_inner_mm && b.d_mm < b.hole_mm,
                "{}",
                b.size
            );
            assert!(b.hole_mm < b.head_bearing_mm, "{}", b.size);
            assert!(b.head_bearing_mm < b.flats_mm && b.flats_mm < b.washer_outer_mm);
            assert!(b.socket_head_mm < b.washer_outer_mm, "{}", b.size);
        }
    }

    // Common practice, no source: two turns of an M8 (pitch 1.25 mm) close 2.5 mm.
    #[test]
    fn two_turns_of_an_m8_close_two_and_a_half_millimetres() {
        assert!((bolt("M8").unwrap().closure_mm(2.0) - 2.5).abs() < 1e-12);
    }

    // Dry steel 0.18 to 0.27 about 0.20: spread 0.11705, off centre 0.09737; in all 0.15225
    // (the same by summing over the range).
    #[test]
    fn the_scatter_of_the_nut_factor_covers_its_distance_from_the_middle() {
        let u = nut_factor("dry-steel")
            .unwrap()
            .log_u_about(NUT_FACTOR_USUAL);
        assert!((u - 0.152_254_6).abs() < 1e-6, "{u}");
    }
}
