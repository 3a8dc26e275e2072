//! Loads that come and go: what is left of a strength after so many of them, with a mean load or a notch.
//!
//! No single share serves all polymers: of those published PC keeps a tenth of its static strength
//! at ten million cycles and PA 66 nearly half (ASTM D671, verified in source; the static strengths
//! from memory). The share is a property, `fatigue-share`, with a wide spread.

use crate::duty::Trace;

/// Cycles at which the property `fatigue-share` is given.
const MANY_CYCLES: f64 = 1e7;

/// A stress, or strain, that was outlived for so many cycles.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Outlived {
    cycles: f64,
    figure: f64,
}

/// D7: a figure between two points, linear in the logarithm of cycles: with the figure itself, then
/// with its logarithm. Past the second point both lines go on, down to nothing.
///
/// PC between 13.79 MPa at 1e5 and 6.895 MPa at 1e6 bears 10.5 MPa at 3e5 by the first and 9.9 MPa by
/// the second (the points ASTM D671, verified in source; the lines ours).
fn between(cycles: f64, few: Outlived, many: Outlived) -> (f64, f64) {
    let way = (cycles / few.cycles).log10() / (many.cycles / few.cycles).log10();
    let straight = few.figure + (many.figure - few.figure) * way;
    let bent = few.figure * (many.figure / few.figure).powf(way);
    (if straight < 0.0 { 0.0 } else { straight }, bent)
}

/// What is left of a static strength, or strain, after `cycles`, in its unit: the whole for one, the
/// share of it at ten million, between them the lower of the two lines (D7). Fewer than one count as one.
///
/// The second line is steeper at first, so that the first hundred cycles cost much; published points
/// lie between the lines (the choice of the lower is the reference's, no source).
pub(in crate::duty) fn left_after(
    cycles: f64,
    (figure, unit): (f64, &str),
    share: f64,
    t: &mut Trace,
) -> f64 {
    let cycles = if cycles < 1.0 { 1.0 } else { cycles };
    t.step("D7", "cycles", cycles, "cycles");
    t.step("D7", "share left at ten million cycles", share, "1");
    let new = Outlived {
        cycles: 1.0,
        figure,
    };
    let worn = Outlived {
        cycles: MANY_CYCLES,
        figure: share * figure,
    };
    let (straight, bent) = between(cycles, new, worn);
    t.step("D7", "left, on a line in the figure", straight, unit);
    t.step("D7", "left, on a line in its logarithm", bent, unit);
    let lower = if bent < straight { bent } else { straight };
    t.step("D7", "left after these cycles", lower, unit)
}

/// D8: how much of its endurance a load that comes and goes uses up: amplitude over what is left of
/// the strength after the cycles, plus mean over the static strength (Goodman's line; derived). 1 is all.
///
/// A mean load also creeps; a limit on what is carried for the life stands beside this one.
pub(in crate::duty) fn used_up(
    amplitude_mpa: f64,
    mean_mpa: f64,
    endurance_mpa: f64,
    strength_mpa: f64,
    t: &mut Trace,
) -> f64 {
    t.step("D8", "stress up and down", amplitude_mpa, "MPa");
    t.step("D8", "mean stress", mean_mpa, "MPa");
    t.step(
        "D8",
        "share of the endurance used up",
        amplitude_mpa / endurance_mpa + mean_mpa / strength_mpa,
        "1",
    )
}

/// D9: factor on the stress at a notch whose elastic factor is `concentration`, for a material that
/// feels the share `sensitivity` of it: 1 + q (K_t - 1). 1 for brittle ones, 0.3 to 0.6 for tough,
/// ductile ones (from memory, not verified).
pub(in crate::duty) fn notch_factor(concentration: f64, sensitivity: f64) -> f64 {
    1.0 + sensitivity * (concentration - 1.0)
}
