//! Curves of stress over strain: the slope at small strain, the first maximum, a level reached.

use crate::num::line;

/// Strains between which a modulus is read: 0.05 % and 0.25 % (ISO 527-1, 3.9, verified in source;
/// the same window in ISO 178). Typed as 0.005 and 0.025 they would read far past yield.
const MODULUS_FROM: f64 = 0.0005;
const MODULUS_TO: f64 = 0.0025;
/// A reading this little outside the window still counts: deflections are set by hand to
/// rounded figures (a hundredth of the window's width; ours).
const WINDOW_SLACK: f64 = 2e-5;
/// The window must hold this many steps of what the rig shows: two ends, each off by a uniform
/// half step, then leave the slope an 8 % standard uncertainty (ours).
const LEAST_STEPS: f64 = 5.0;
/// The readings must span this share of the window, or its curvature is read as noise (ours).
const LEAST_SPAN: f64 = 0.5;
/// Slack below this strain is not told from zero (a tenth of the window; ours).
const SLACK_SEEN: f64 = 0.0002;
/// Rounds for the window to settle on the straight part, and when it has.
const SLACK_ROUNDS: usize = 30;
const SLACK_SETTLED: f64 = 1e-6;
/// Share of the largest stress up to which slack is still being taken up (ours).
const TAKEN_UP: f64 = 0.02;
/// Where readings enter and leave the window in turn, slack may end this far from settled.
const SLACK_NEARLY: f64 = 1e-4;

/// A stress that falls by this share, or twice the rig's step, after a maximum has yielded;
/// less is noise (ours).
const FALL_SEEN: f64 = 0.01;
const FALL_STEPS: f64 = 2.0;
/// A stress that stands still while strain grows by this share has yielded too (ours).
const STANDSTILL: f64 = 0.1;
/// A standstill below this share of the largest stress is slack being taken up (ours).
const SLACK_SHARE: f64 = 0.1;
/// A stress that falls below this share of the line before is a break, not a yield (ours).
const BREAK_SHARE: f64 = 0.5;

/// Code and reason of a refusal.
pub(super) type Refused = (&'static str, String);

/// A modulus and how it was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Modulus {
    /// Slope of stress over strain, MPa.
    pub(super) slope: f64,
    /// Strain taken off for slack, pure number; 0 where none was seen.
    pub(super) slack: f64,
    /// Readings in the window; of two the slope is the chord.
    pub(super) readings: u32,
}

/// The slope between strains 0.0005 and 0.0025 by least squares (by the chord of two readings),
/// with the strain counted from where the straight part meets zero stress.
///
/// `curve` holds strain (pure number) and stress (MPa); `strain_step` is the strain of one step
/// of the rig. Toe compensation: the window is moved by the crossing of its own line with zero
/// stress until it stays (the idea of ASTM D638's annex, from memory, not verified). A crossing
/// at negative strain, an ordinary curved line, is no slack.
///
/// # Errors
/// `bench::window-not-resolved`, `bench::too-few-points`, `bench::no-slope`, `bench::toe-not-straight`.
pub(super) fn modulus(curve: &[(f64, f64)], strain_step: f64) -> Result<Modulus, Refused> {
    let steps = (MODULUS_TO - MODULUS_FROM) / strain_step;
    if strain_step > 0.0 && steps < LEAST_STEPS {
        return Err((
            "bench::window-not-resolved",
            format!(
                "the window of 0.05 to 0.25 % strain is {steps:.1} steps of what the rig shows, and {LEAST_STEPS} are the least"
            ),
        ));
    }
    settle(curve, 0.0, strain_step).or_else(|refused| {
        // Slack longer than the window hides the straight part from a start at zero strain.
        let floor = TAKEN_UP * largest(curve);
        let idle = curve.iter().take_while(|p| p.1 <= floor).last();
        let start = idle.map_or(0.0, |p| p.0);
        settle(curve, start, strain_step).map_err(|_| refused)
    })
}

/// Moves the window from `start` until the crossing of its line with zero stress stays.
fn settle(curve: &[(f64, f64)], start: f64, strain_step: f64) -> Result<Modulus, Refused> {
    let mut slack = start;
    let mut before = f64::INFINITY;
    for _ in 0..SLACK_ROUNDS {
        let (slope, crossing, readings) = window_line(curve, slack)?;
        let seen = crossing > SLACK_SEEN.max(strain_step);
        let next = if seen { crossing } else { 0.0 };
        let moved = (next - slack).abs();
        if moved <= SLACK_SETTLED || (moved <= SLACK_NEARLY && moved >= before) {
            return Ok(Modulus {
                slope,
                slack,
                readings,
            });
        }
        before = moved;
        slack = next;
    }
    Err((
        "bench::toe-not-straight",
        format!(
            "the curve starts with slack and has no straight part of 0.2 % strain behind it (last tried at {:.3} %)",
            100.0 * slack
        ),
    ))
}

/// Slope, crossing with zero stress and number of readings in the window moved by `slack`.
fn window_line(curve: &[(f64, f64)], slack: f64) -> Result<(f64, f64, u32), Refused> {
    let (from, to) = (MODULUS_FROM - WINDOW_SLACK, MODULUS_TO + WINDOW_SLACK);
    let inside = curve
        .iter()
        .copied()
        .filter(|p| (from..=to).contains(&(p.0 - slack)));
    let (mut n, mut low, mut high) = (0_u32, f64::INFINITY, f64::NEG_INFINITY);
    for p in inside.clone() {
        n += 1;
        low = low.min(p.0);
        high = high.max(p.0);
    }
    if n < 2 || high - low < LEAST_SPAN * (MODULUS_TO - MODULUS_FROM) {
        return Err((
            "bench::too-few-points",
            format!(
                "{n} readings lie between 0.05 and 0.25 % strain, spanning {:.3} %; two that span 0.1 % are the least",
                if n == 0 { 0.0 } else { 100.0 * (high - low) }
            ),
        ));
    }
    match line(inside) {
        Some(l) if l.slope > 0.0 => Ok((l.slope, -l.intercept / l.slope, n)),
        _ => Err((
            "bench::no-slope",
            "the stress does not grow between 0.05 and 0.25 % strain".to_owned(),
        )),
    }
}

/// The part of a curve before the specimen broke: up to the line after which the stress is less
/// than half of it, once a tenth of the largest stress is passed.
pub(super) fn until_break(curve: &[(f64, f64)]) -> &[(f64, f64)] {
    let floor = SLACK_SHARE * largest(curve);
    let end = curve
        .windows(2)
        .position(|w| match w {
            [a, b] => a.1 > floor && b.1 < BREAK_SHARE * a.1,
            _ => false,
        })
        .map_or(curve.len(), |i| i + 1);
    curve.get(..end).unwrap_or(curve)
}

/// The largest stress; negative infinity without readings.
pub(super) fn largest(curve: &[(f64, f64)]) -> f64 {
    curve.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max)
}

/// The first maximum: strain and stress of the first line after which strain grows and stress
/// does not. `None` where the stress rises to the end. `step` is the stress of one step of the rig.
///
/// # Source
/// Yield as the first point where strain grows and stress does not: ISO 527-1 (from memory;
/// a test-machine maker's page says that the 2012 edition changed tensile strength to it).
pub(super) fn first_maximum(curve: &[(f64, f64)], step: f64) -> Option<(f64, f64)> {
    let floor = SLACK_SHARE * largest(curve);
    let mut top = *curve.first()?;
    for p in curve {
        if p.1 > top.1 {
            top = *p;
        } else if top.1 > floor {
            let fell = top.1 - p.1 >= (FALL_SEEN * top.1).max(FALL_STEPS * step);
            let stood = p.0 >= top.0 * (1.0 + STANDSTILL);
            if p.0 > top.0 && (fell || stood) {
                return Some(top);
            }
        }
    }
    None
}

/// y at `x` on straight lines between the readings, which stand in order of x; `None` outside them.
pub(super) fn value_at(curve: &[(f64, f64)], x: f64) -> Option<f64> {
    curve.windows(2).find_map(|w| match w {
        [a, b] if a.0 <= x && x <= b.0 && b.0 > a.0 => {
            Some(a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0))
        }
        _ => None,
    })
}

/// Where y first reaches `level`: the x on the straight line between two readings, and their x.
pub(super) fn reached(curve: &[(f64, f64)], level: f64) -> Option<(f64, f64, f64)> {
    curve.windows(2).find_map(|w| match w {
        [a, b] if a.1 < level && level <= b.1 => {
            Some((a.0 + (b.0 - a.0) * (level - a.1) / (b.1 - a.1), a.0, b.0))
        }
        _ => None,
    })
}

#[cfg(test)]
mod tests {
    use super::{first_maximum, modulus, reached, until_break, value_at};

    fn straight(from: f64, slope: f64) -> Vec<(f64, f64)> {
        (0..24)
            .map(|i| {
                let e = 0.0003 * f64::from(i);
                (e, (slope * (e - from)).max(0.0))
            })
            .collect()
    }

    #[test]
    fn slack_is_taken_off_and_does_not_change_the_slope() {
        for slack in [0.0, 0.0009, 0.0021, 0.0034] {
            let m = modulus(&straight(slack, 2000.0), 1e-5).expect("a modulus");
            assert!((m.slope - 2000.0).abs() < 1e-6, "{slack}: {m:?}");
            assert!((m.slack - slack).abs() < 1e-6, "{slack}: {m:?}");
        }
    }

    #[test]
    fn a_window_of_few_steps_or_few_readings_is_refused_by_name() {
        let code = |c: &[(f64, f64)], step| modulus(c, step).map_err(|e| e.0);
        assert_eq!(
            code(&straight(0.0, 2000.0), 0.0005),
            Err("bench::window-not-resolved")
        );
        assert!(code(&straight(0.0, 2000.0), 0.000_399).is_ok());
        let thin = [(0.0, 0.0), (0.002, 4.0), (0.0024, 4.8), (0.01, 20.0)];
        assert_eq!(code(&thin, 1e-5), Err("bench::too-few-points"));
        let flat: Vec<_> = straight(0.0, 2000.0).iter().map(|p| (p.0, 5.0)).collect();
        assert_eq!(code(&flat, 1e-5), Err("bench::no-slope"));
    }

    #[test]
    fn noise_is_no_yield_and_a_fall_or_a_standstill_is() {
        let rising = [(0.0, 0.0), (0.01, 20.0), (0.011, 19.9), (0.02, 30.0)];
        assert_eq!(first_maximum(&rising, 0.1), None);
        let fallen = [(0.0, 0.0), (0.01, 20.0), (0.011, 19.7), (0.02, 30.0)];
        assert_eq!(first_maximum(&fallen, 0.1), Some((0.01, 20.0)));
        let level = [(0.0, 0.0), (0.05, 20.0), (0.06, 20.0), (0.5, 30.0)];
        assert_eq!(first_maximum(&level, 0.1), Some((0.05, 20.0)));
        let slack = [(0.0, 0.5), (0.002, 0.5), (0.01, 20.0)];
        assert_eq!(first_maximum(&slack, 0.1), None);
    }

    #[test]
    fn lines_after_the_break_are_no_curve() {
        let c = [(0.0, 0.0), (0.01, 20.0), (0.02, 38.0), (0.021, 2.0)];
        assert_eq!(until_break(&c).len(), 3);
        let necked = [(0.0, 0.0), (0.02, 38.0), (0.03, 24.0), (0.9, 30.0)];
        assert_eq!(until_break(&necked).len(), 4);
    }

    #[test]
    fn between_readings_the_line_is_straight() {
        let c = [(0.0, 0.0), (2.0, 1.0), (4.0, 5.0)];
        assert_eq!(value_at(&c, 3.0), Some(3.0));
        assert_eq!(value_at(&c, 4.1), None);
        assert_eq!(reached(&c, 3.0), Some((3.0, 2.0, 4.0)));
        assert_eq!(reached(&c, 5.5), None);
    }
}
