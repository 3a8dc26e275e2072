//! The monotone curve between runs at several temperatures, against a reference library.

use dutyfit::num::monotone_curve;

/// Reproduced by scipy 1.17.1, `scipy.interpolate.PchipInterpolator`.
#[test]
fn the_monotone_cubic_of_the_reference_library() {
    let cases: &[(&[(f64, f64)], &[(f64, f64)])] = &[
        (
            &[(23.0, 3.7), (45.0, 3.5), (70.0, 2.6)],
            &[
                (30.0, 3.673_908_976_849_779),
                (34.0, 3.639_418_841_070_824),
                (57.5, 3.162_435_069_382_764),
                (65.0, 2.843_135_408_709_764),
            ],
        ),
        // It turns between 20 and 23, and the ends are uneven.
        (
            &[
                (0.0, 4.0),
                (20.0, 3.9),
                (23.0, 3.95),
                (60.0, 3.0),
                (80.0, 0.5),
            ],
            &[
                (10.0, 3.9125),
                (21.0, 3.912_962_962_962_963),
                (40.0, 3.725_120_979_113_635),
                (70.0, 2.035_655_393_010_543),
                (79.0, 0.660_224_749_764_497),
            ],
        ),
        // The slope at the first end is held to three times the first chord's, or its sign.
        (
            &[(0.0, 0.0), (10.0, 5.0), (30.0, 4.0)],
            &[
                (1.0, 0.6935),
                (5.0, 3.354_166_666_666_667),
                (20.0, 4.875),
                (29.0, 4.142_625),
            ],
        ),
        (&[(23.0, 1.0), (60.0, 0.2)], &[(41.5, 0.6)]),
    ];
    for (points, want) in cases {
        for (x, y) in *want {
            let got = monotone_curve(points, *x).expect("inside");
            assert!((got - y).abs() < 1e-12, "{points:?} at {x}: {got}, not {y}");
        }
    }
}

#[test]
fn a_curve_says_nothing_outside_its_points() {
    let points = [(23.0, 3.7), (45.0, 3.5)];
    assert_eq!(monotone_curve(&points, 22.9), None);
    assert_eq!(monotone_curve(&points, 45.1), None);
    assert_eq!(monotone_curve(&points[..1], 23.0), None);
}
